"""What every assumption weighs, and how often a tube fails whose strength and load scatter. All numbers invented.

python examples/sensitivity_and_scatter.py [folder for the picture]
"""

import sys
from pathlib import Path

import numpy as np
from make_pictures import save
from matplotlib import pyplot as plt
from sizing_with_limits import BEND
from small_tube import LATTICE, REQUIREMENT, TAPE

from beam.sizing import Problem, Variation, size
from beam.sizing.plots import plot_scatter, plot_tornado

VARIATIONS = [
    Variation(quantity="load", deviation=0.10),
    Variation(quantity="Xc", lamina=TAPE.lamina.name, deviation=0.10),
]


def main(folder: Path | None = None) -> None:
    """Print the heaviest assumption and the probability that the margin is below zero, draw both."""
    tube = Problem(lattice=LATTICE, loads=BEND, requirement=REQUIREMENT)
    sizing = size(tube)
    table = sizing.sensitivity(step=0.25, only=["factor", "load"])
    change = table["change_g"].to_numpy()
    largest = int(np.nanargmax(abs(change)))  # nan: no book holds
    name, side = table.index.tolist()[largest]
    print(f"{name}, {side} by a quarter: {change[largest]:+.1f} g of {1e3 * sizing.mass:.0f} g")
    found = sizing.scatter(VARIATIONS, samples=1 << 13)
    print(
        f"margin below zero: {found.probability:.3f} of all, bounds {found.bounds[0]:.3f} to {found.bounds[1]:.3f}"
    )
    axes = plt.figure(figsize=(11, 5), layout="constrained").subplots(1, 2)
    plot_tornado(table, ax=axes[0])
    save((axes[0], plot_scatter(found, ax=axes[1])), folder, "sensitivity_and_scatter")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
