"""Toe and camber of the standing wheel over the mass on it, with the bending and twist of the strut.

python examples/alignment_under_load.py [folder for the picture]
"""

import sys
from pathlib import Path

import numpy as np
import tarn
from make_pictures import save

from beam import wheel_alignment
from beam.gear.plots import plot_alignment


def main(folder: Path | None = None) -> None:
    """Print the angles on the rigid and on the loaded strut, draw them over the stroke."""
    strut = tarn.FIRST_STRUT
    masses = np.linspace(380.0, 527.0, 6)
    legs = wheel_alignment.standing_legs(tarn.GEAR, masses)
    table = wheel_alignment.alignment_under_load(tarn.GEAR, strut, legs, labels=["standing"] * len(masses))
    shown = table.assign(mass=masses)[
        ["mass", "toe_deg", "toe_loaded_deg", "camber_deg", "camber_loaded_deg"]
    ]
    print(shown.round(3).to_string(index=False))
    save(plot_alignment(table), folder, "alignment_under_load")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
