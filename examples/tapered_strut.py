"""A tapered strut from mold line and ply book: mass, section forces, margins. Airplane, loads and requirement invented.

python examples/tapered_strut.py [folder for the picture]
"""

import sys
from pathlib import Path

from make_pictures import save
from small_tube import LINE, REQUIREMENT

from beam import BookPly, PlyBook, PointLoads, Strut, margins
from beam.dossier import lowest
from beam.strength.plots import plot_margin_map
from materials import lamina

TAPE, CLOTH = lamina("T700S/2510"), lamina("T700S/2510 plain weave")
CASES = ["landing", "side load"]
LOADS = PointLoads(  # limit loads in strut axes at the tip
    at=[0.4],
    force=[[[-9e3, 6e3, 0.5e3]], [[-4e3, 0.0, 5e3]]],
    moment=[[[250.0, 0.0, 0.0]], [[0.0, 300.0, 0.0]]],
)


def ply(angle_deg: float, end: float) -> BookPly:
    """A ply around the section from the root to a station [m]."""
    return BookPly(
        lamina=TAPE if angle_deg == 0 else CLOTH,
        angle_deg=angle_deg,
        walls=LINE.wall_names,
        start=0.0,
        end=end,
    )


HALF = [ply(45.0, 0.4), ply(-45.0, 0.4), *(ply(0.0, end) for end in (0.4, 0.4, 0.3, 0.25, 0.2))]
STRUT = Strut(LINE, PlyBook(HALF + HALF[::-1]))


def main(folder: Path | None = None) -> None:
    """Print mass and lowest margins, draw the margins over span and walls."""
    root, tip = (1e3 * STRUT.section(s).laminates[0].thickness for s in (0.0, 0.4))
    print(
        f"{len(STRUT.ply_book.plies)} plies, {STRUT.mass:.3f} kg, walls {root:.2f} mm, {tip:.2f} mm at the tip"
    )
    table = margins(STRUT, LOADS, REQUIREMENT, cases=CASES)
    print(
        lowest(table, None, by="mode")[["margin", "level", "mode", "station", "wall", "case"]].to_string(
            index=False
        )
    )
    save(plot_margin_map(table, STRUT), folder, "tapered_strut")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
