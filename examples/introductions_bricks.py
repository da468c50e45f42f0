"""Where a load enters a tube: the beam with its added stresses beside bricks. It needs pip install ".[fe]".

A clamped tube carries a bracket on one web, between two ribs, and a push at its closed tip; all data invented.
python examples/introductions_bricks.py [folder for the picture]
"""

import sys
from importlib.util import find_spec
from pathlib import Path

import numpy as np
from make_pictures import save
from matplotlib import pyplot as plt

from beam import Band, BookPly, MoldLine, PlyBook, PointLoads, Rib, Strut
from materials import lamina

LENGTH = 0.40  # [m]
LINE = MoldLine(
    root=[0, 0, LENGTH], tip=[0, 0, 0], stations=[0, LENGTH], width=[0.10, 0.08], height=[0.08, 0.06],
    corner_radius=[0.020, 0.016],
)  # fmt: skip
HALF = (45.0, -45.0, 0.0, 0.0, 90.0, 0.0, 0.0) * 2
BOOK = PlyBook(
    BookPly(lamina=lamina("AS4/3501-6"), angle_deg=angle, walls=LINE.wall_names, start=0.0, end=LENGTH)
    for angle in (*HALF, *HALF[::-1])
)
BRACKET = Band(name="bracket", start=0.20, end=0.26, walls=["aft"])
STRUT = Strut(LINE, BOOK, bands=[BRACKET], ribs=[Rib(station=0.20), Rib(station=0.26)], tip_end="closed")
LOADS = PointLoads(at=[0.23, LENGTH], force=[[[0, -20e3, 0], [0, 5e3, 0]]], moment=[[[600, 0, 0], [0, 0, 0]]])


def main(folder: Path | None = None) -> None:
    """Print the largest strain of bricks over that of the beam along the span, draw both."""
    if find_spec("skfem") is None:
        print('bricks need scikit-fem: pip install ".[fe]"')
        return
    from beam.strut.bricks import Density, compare, solve
    from beam.strut.bricks.plots import plot_beam_and_bricks

    found = compare(solve(STRUT, LOADS, Density(per_corner=6, per_face=6, size=0.02, fine=0.006)))
    ratio = found.largest_ratio()
    for s, one in zip(found.stations[::4], ratio[::4], strict=True):
        print(f"{1e3 * s:5.0f} mm: largest strain, bricks / beam = {one:.2f}")
    amid = np.interp(BRACKET.middle, found.stations, ratio)
    print(f"amid the bracket: bricks / beam = {amid:.2f}")
    beside = [ratio[np.abs(found.stations - rib.station) < 0.010].max() for rib in STRUT.ribs]
    print(f"within 10 mm of the ribs, which stop the contraction of the walls: up to {max(beside):.2f}")
    assert abs(amid - 1) < 0.05
    axes = plt.figure(figsize=(9, 7), layout="constrained").subplots(2, 1, sharex=True)
    for ax, wall in zip(axes, ("aft", "inboard"), strict=True):
        plot_beam_and_bricks(found, 0, LINE.wall_names.index(wall), ax=ax)
    axes[0].legend(fontsize=8)
    save(tuple(axes), folder, "introductions_bricks")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
