"""A strut on two trunnion bearings and a side brace, against one clamped at the root: reactions, motion, buckling.

python examples/braced_strut.py [folder for the picture]
"""

import sys
from pathlib import Path

import numpy as np
from make_pictures import save
from small_tube import LATTICE, LINE

from beam import PointLoads, Strut, Support
from beam.strut.plots import plot_forces

BEARING = np.eye(3)
SUPPORTS = [
    Support(at=0.0, translations=BEARING, rotations=[[1.0, 0.0, 0.0]], name="root bearing"),
    Support(at=0.1, translations=[[0.0, 1.0, 0.0]], name="second bearing"),
    Support(at=0.25, translations=[[0.0, 0.0, 1.0]], stiffness=2e7, name="side brace"),
]
LOADS = PointLoads(at=[0.4], force=[[[-9e3, 3e3, 1e3]], [[-4e3, 0.0, 4e3]]])  # limit [N]
CASES = ["landing", "side load"]


def main(folder: Path | None = None) -> None:
    """Print reactions and the motion of the tip on both kinds of support, draw the section forces."""
    book = LATTICE.book([[8], [6]])
    braced = Strut(LINE, book, supports=SUPPORTS).span
    clamped = Strut(LINE, book).span
    for name, span in (("clamped", clamped), ("braced", braced)):
        tip = 1e3 * np.linalg.norm(span.displacement(LOADS)[:, -1, :3], axis=-1)
        factor = span.buckling_factor(LOADS)
        print(
            f"{name}: tip moves {tip[0]:.3f} and {tip[1]:.3f} mm, buckles at {factor[0]:.0f} times the landing"
        )
    for support, reaction in zip(SUPPORTS, np.split(braced.reactions(LOADS), [4, 5], axis=-1), strict=True):
        print(f"{support.name}: {reaction.round(0).tolist()} [N, N m]")
    save(plot_forces(braced, LOADS, cases=CASES), folder, "braced_strut")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
