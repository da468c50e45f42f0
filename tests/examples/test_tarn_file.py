"""The Tarn in one file is the Tarn in Python."""

from pathlib import Path

import tarn
import tarn_joints

from beam import Design
from beam.dossier import compare

FILE = Path(tarn.__file__).with_name("tarn.toml")


def test_file_and_script_hold_one_design():
    design = Design.read(FILE)
    assert compare(tarn_joints.DESIGN, design).empty
    assert design.digest == tarn_joints.DESIGN.digest
    assert design.strut.mass == tarn.FIRST_STRUT.mass
