"""Every script of the gallery runs, is short and prints the number given here; its picture and its entry are there."""

import importlib
import re
from pathlib import Path

import pytest
from make_pictures import GALLERY
from matplotlib import image

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
PRINTS = {
    "laminate_from_code": "Ex 85.9 GPa",
    "failure_envelope": "TsaiWu: first ply at 0.947",
    "coupons_to_allowables": "allowable Xc 764 MPa",
    "in_situ_and_notch": "with a 6.35 mm hole 0.620",
    "wall_buckling": "coupled: compression 35.2 kN/m",
    "corner_opening": "inner radius 5 mm: 7.41 MPa",
    "section_against_mesh": "GJ    walls 1.439e+04, mesh / walls - 1 = -0.07 %",
    "tapered_strut": "14 plies, 0.358 kg",
    "introductions_bricks": "amid the bracket: bricks / beam = 0.98",
    "braced_strut": "second bearing: [[-12000.0], [0.0]]",
    "joint_margins": "pivot lugs 0.044 m wide   +1.18",
    "shock_for_gear": "n = 2.98",
    "landings_of_gear": "largest limit load factor 3.741",
    "drop_test_and_back": "n measured 3.034, predicted 2.986",
    "gear_in_the_air": "actuator, negative              -1112.7",
    "alignment_under_load": "527.0      0.0           0.206",
    "heat_of_brakes": "tip of the strut 306.9 K after 52 min",
    "sizing_with_limits": "3.5 mm: 0.345 kg, tip 3.0 mm",
    "sensitivity_and_scatter": "all loads, relaxed by a quarter: -27.5 g of 350 g",
    "own_regulations": "6 cases on the strut, largest force 30.08 kN",
    "design_file": "read back the same: True",
    "shop_drawings": "14 flat patterns",
    "plan_of_tests": "230 kN at limit in the test",
}


def test_every_script_is_listed():
    assert tuple(PRINTS) == GALLERY
    assert len(GALLERY) >= 15


@pytest.mark.parametrize("name", PRINTS)
def test_script_runs_and_prints_its_number(name, capsys):
    importlib.import_module(name).main()
    assert PRINTS[name] in capsys.readouterr().out


def test_a_script_draws_into_the_folder_it_is_given(tmp_path):
    importlib.import_module("laminate_from_code").main(tmp_path / "new")
    assert image.imread(tmp_path / "new" / "laminate_from_code.png")[..., :3].std() > 0.05


@pytest.mark.parametrize("name", PRINTS)
def test_script_is_short_and_in_the_gallery(name):
    assert len((EXAMPLES / f"{name}.py").read_text().splitlines()) < 60
    entries = (EXAMPLES / "README.md").read_text()
    assert f"({name}.py)" in entries
    assert f"(pictures/{name}.png)" in entries
    assert (EXAMPLES / "pictures" / f"{name}.png").stat().st_size < 60e3


def test_every_link_of_the_gallery_is_there():
    for link in re.findall(r"\]\(([^)]+)\)", (EXAMPLES / "README.md").read_text()):
        assert (EXAMPLES / link).exists(), link
    assert sum(path.stat().st_size for path in (EXAMPLES / "pictures").iterdir()) < 1e6
