"""What the shop gets: kit list, drops, flat patterns of every ply to scale, the wall along the strut.

python examples/shop_drawings.py [folder for the picture]
"""

import sys
import tempfile
from pathlib import Path

from make_pictures import save
from small_tube import LATTICE, PULL, REQUIREMENT

import beam
from beam.dossier import book_table, shop
from beam.dossier.plots import plot_longitudinal_section


def main(folder: Path | None = None) -> None:
    """Print the ply book and the kit list, write the flat patterns, draw the wall."""
    sizing = beam.lightest(LATTICE, PULL, REQUIREMENT, cases=["pull"])
    faults = shop.release_faults(sizing.margins)
    print(book_table(sizing.strut).drop(columns="walls").head(3).to_string())
    print(shop.kit_list(sizing.strut).round(3).T.to_string())
    drawings = Path(tempfile.mkdtemp())
    patterns = shop.flat_patterns(sizing.strut, seam=0.012)
    shop.write_svg(patterns, drawings, faults=faults)
    print(f"{len(patterns)} flat patterns; NOT FOR MANUFACTURE because of {len(faults)} faults")
    save(plot_longitudinal_section(sizing.strut, "aft", faults=faults), folder, "shop_drawings")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
