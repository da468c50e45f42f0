"""A tube sized for every width and height of its section: which is the lightest that bends no more than 3.5 mm?

python examples/sizing_with_limits.py [folder for the picture]
"""

import sys
from pathlib import Path

from make_pictures import save
from small_tube import LATTICE, REQUIREMENT

from beam import PointLoads
from beam.sizing import Problem, sweep
from beam.sizing.plots import plot_pareto

BEND = PointLoads(at=[0.4], force=[[[5e4, 0, 6e3]]], moment=[[[0, 0, 0]]])
LIMIT = 0.0035  # of the tip's motion at limit load [m]


def main(folder: Path | None = None) -> None:
    """Print mass and deflection of the lightest tube with and without the limit, draw all."""
    tube = Problem(lattice=LATTICE, loads=BEND, requirement=REQUIREMENT)
    found = sweep(tube.reshaped, {"width_factor": [0.8, 1.0, 1.2], "height_factor": [0.8, 1.0, 1.2]})
    for name, rows in (("no limit", found.table), ("3.5 mm", found.table.query(f"deflection <= {LIMIT}"))):
        best = rows.iloc[int(rows["mass"].to_numpy().argmin())]
        print(f"{name}: {best['mass']:.3f} kg, tip {1e3 * best['deflection']:.1f} mm, margin {best['margin']:+.2f}, "
              f"width x {best['width_factor']:g}, height x {best['height_factor']:g}")  # fmt: skip
    ax = plot_pareto(found)
    ax.axhline(1e3 * LIMIT, color="black", lw=0.8, ls=":")
    ax.annotate(" limit", (0.0, 1e3 * LIMIT), xycoords=ax.get_yaxis_transform(), va="bottom", fontsize=8)
    save(ax, folder, "sizing_with_limits")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
