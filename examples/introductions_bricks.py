"""Where a load enters a tube: beam theory with its added stresses beside bricks. All data invented.

A clamped tube carries a bracket on one web, between two ribs, and a pull at its closed tip. Run it:
python examples/introductions_bricks.py [folder for the picture]. It needs `pip install "plystrut[fe]"`.
"""

import sys
from importlib.util import find_spec
from pathlib import Path

import numpy as np
from matplotlib.figure import Figure

from beam import Band, BookPly, MoldLine, PlyBook, PointLoads, Rib, Strut
from materials import lamina

LENGTH = 0.40  # [m]
LINE = MoldLine(
    root=[0, 0, LENGTH], tip=[0, 0, 0], stations=[0, LENGTH], width=[0.10, 0.08], height=[0.08, 0.06],
    corner_radius=[0.020, 0.016],
)  # fmt: skip
BOOK = PlyBook(
    BookPly(lamina=lamina("AS4/3501-6"), angle_deg=angle, walls=LINE.wall_names, start=0.0, end=LENGTH)
    for angle in (45.0, -45.0, 0.0, 0.0, 90.0, 0.0, 0.0) * 2 + (0.0, 0.0, 90.0, 0.0, 0.0, -45.0, 45.0) * 2
)
BRACKET = Band(name="bracket", start=0.20, end=0.26, walls=["aft"])
STRUT = Strut(LINE, BOOK, bands=[BRACKET], ribs=[Rib(station=0.20), Rib(station=0.26)], tip_end="closed")
LOADS = PointLoads(at=[0.23, LENGTH], force=[[[0, -20e3, 0], [0, 5e3, 0]]], moment=[[[600, 0, 0], [0, 0, 0]]])


def main(folder: Path | None = None) -> float:
    """Print largest strains of bricks and beam; draw them; return bricks over beam amid the bracket [-]."""
    if find_spec("skfem") is None:
        print('This example needs scikit-fem: pip install "plystrut[fe]"')
        return np.nan
    from beam.strut.bricks import Density, compare, solve
    from beam.strut.bricks.plots import plot_beam_and_bricks

    found = compare(solve(STRUT, LOADS, Density(per_corner=5, per_face=4, size=0.02, fine=0.01)))
    ratio = found.largest_ratio()
    for s, one in zip(found.stations, ratio, strict=True):
        print(f"{1000 * s:5.0f} mm: largest strain of bricks over that of the beam {one:.2f}")
    if folder:
        folder.mkdir(parents=True, exist_ok=True)
        fig = Figure(figsize=(9, 8), layout="constrained")
        for ax, wall in zip(fig.subplots(2, 1, sharex=True), ("aft", "inboard"), strict=True):
            plot_beam_and_bricks(found, 0, LINE.wall_names.index(wall), ax=ax)
        fig.axes[0].legend(fontsize=8)
        fig.savefig(folder / "introductions_bricks.png", dpi=150)
    return float(np.interp(BRACKET.middle, found.stations, ratio))


if __name__ == "__main__":
    assert abs(main(Path(sys.argv[1]) if len(sys.argv) > 1 else None) - 1) < 0.05
