"""A design as a file: written, read back, changed, and the two compared. It needs pip install ".[files]" to write.

python examples/design_file.py [folder for the picture]
"""

import sys
import tempfile
from dataclasses import replace
from importlib.util import find_spec
from pathlib import Path

import tarn
from make_pictures import save

import beam
from beam.dossier import compare
from beam.loads.plots import plot_airplane

DESIGN = beam.Design(
    name="Tarn", airplane=tarn.AIRPLANE, gear=tarn.GEAR, mold_line=tarn.MOLD_LINE, lattice=tarn.LATTICE,
    requirement=tarn.REQUIREMENT,
)  # fmt: skip


def main(folder: Path | None = None) -> None:
    """Print the length of the file and what a change makes, draw the airplane."""
    design = DESIGN
    if find_spec("tomli_w") is None:
        print('writing needs tomli-w: pip install ".[files]"')
    else:
        path = Path(tempfile.mkdtemp()) / "tarn.toml"
        DESIGN.write(path)
        design = beam.Design.read(path)
        print(f"{path.name}: {len(path.read_text().splitlines())} lines; read back the same: "
              f"{compare(DESIGN, design).empty}")  # fmt: skip
    heavier = replace(design, airplane=replace(design.airplane, max_mass=1260.0, stall_speed=29.4))
    print(compare(design, heavier).to_string(index=False))
    save(plot_airplane(design.airplane), folder, "design_file")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
