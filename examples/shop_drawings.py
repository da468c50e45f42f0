"""What the shop gets: ply book, kit list, flat patterns of every ply to scale, the plies of a wall along the strut.

python examples/shop_drawings.py [folder for the picture]
"""

import sys
import tempfile
from pathlib import Path

from make_pictures import save
from small_tube import REQUIREMENT
from tapered_strut import CASES, LOADS, STRUT

import beam
from beam.dossier import book_table, shop
from beam.dossier.plots import plot_longitudinal_section


def main(folder: Path | None = None) -> None:
    """Print the ply book and the kit list, write the flat patterns, draw the plies of a wall."""
    faults = shop.release_faults(beam.margins(STRUT, LOADS, REQUIREMENT, cases=CASES))
    print(book_table(STRUT).drop(columns="walls").head(5).to_string())
    print(shop.kit_list(STRUT).round(3).T.to_string())
    patterns = shop.flat_patterns(STRUT, seam=0.012)
    shop.write_svg(patterns, Path(tempfile.mkdtemp()), faults=faults)
    print(f"{len(patterns)} flat patterns; NOT FOR MANUFACTURE: {len(faults)} reasons")
    save(plot_longitudinal_section(STRUT, "aft", faults=faults, exaggeration=40.0), folder, "shop_drawings")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
