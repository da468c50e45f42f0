"""The examples run, print what they promise and return believable numbers; README's lines run as written."""

import pydoc
import re
import shutil
from pathlib import Path

import matplotlib.image
import pandas as pd
import pytest
import size_strut
import tarn_retraction

from beam import Design, lightest
from beam.dossier import read_margins
from beam.loads import read_cases

ROOT = Path(__file__).resolve().parents[2]
PICTURES = ("strain_fiber", "strain_shear", "forces", "ply_book", "landing", "envelope", "shock")


@pytest.fixture(scope="module")
def run(tmp_path_factory):
    """The main job, once, on the Tarn with four bays and one service: what it printed and where it wrote."""
    import contextlib
    import io

    folder, said = tmp_path_factory.mktemp("out"), io.StringIO()
    with contextlib.redirect_stdout(said):
        size_strut.main(folder, ROOT / "examples" / "small_design.toml")
    return said.getvalue(), folder


def test_main_job_prints_what_a_designer_asks(run):
    said, _ = run
    for words in (
        "invented",
        "main share",
        "descent speed",
        "inertia load factor n",
        "23.479(a)(2)(ii)",
        "23.485",
        "23.493",
        "23.507",
        "Landing envelope",
        "pass 2: strut",
        "tail-down: no drag",
        "fittings, invented",
        "Ply schedule",
        "lower bound",
        "ten lowest margins",
        "licensed engineer",
    ):
        assert words in said, words


def test_main_job_proves_its_mass(run):
    said, _ = run
    mass, bound, gap = re.search(r"one strut ([\d.]+) kg, lower bound ([\d.]+) kg, gap (\S+)", said).groups()
    assert mass == bound
    assert abs(float(gap)) < 1e-9
    assert 0.5 < float(mass) < 5.0


def test_main_job_writes_tables_that_agree(run):
    said, folder = run
    table = read_margins(folder / "margins.csv")
    low = table.loc[table["decides"], "margin"].min()
    assert -1e-9 <= low < 0.1
    assert f"{low:+.4f}" in said
    book = pd.read_csv(folder / "shop" / "starboard_layup.csv")
    assert book["angle_deg"].tolist() == book["angle_deg"].tolist()[::-1]
    assert f"{book['mass [kg]'].sum():.3f} kg" in said
    readings = pd.read_csv(folder / "tests" / "static_readings.csv")
    assert {"predicted", "stop below", "stop above"} <= set(readings)
    loads = read_cases(folder / "loads.csv")
    assert {"starboard", "port", "nose"} == set(loads["leg"])


@pytest.mark.parametrize("name", PICTURES)
def test_main_job_draws(run, name):
    """A picture is there, is large enough for a report and is not blank."""
    picture = matplotlib.image.imread(run[1] / f"{name}.png")
    assert min(picture.shape[:2]) > 600
    assert picture[..., :3].std() > 0.05


def test_script_is_short_and_does_no_physics():
    text = (ROOT / "examples" / "size_strut.py").read_text()
    assert len(text.splitlines()) < 120
    assert not re.search(r"np\.(sqrt|sin|cos|cross|linalg)", text)


def test_readme_lines_run(capsys, tmp_path, monkeypatch):
    """As written, in a folder that holds the design file and nothing else."""
    code = re.search(r"```python\n(.*?)```", (ROOT / "README.md").read_text(), re.S).group(1)
    assert len(code.splitlines()) <= 16
    (tmp_path / "examples").mkdir()
    shutil.copy(ROOT / "examples" / "small_design.toml", tmp_path / "examples")
    monkeypatch.chdir(tmp_path)
    exec(compile(code, "README.md", "exec"), {})
    mass, bound, margin = re.match(
        r"(\d\.\d{3}) kg, lower bound (\d\.\d{3}) kg, lowest margin (\+\d\.\d{3})", capsys.readouterr().out
    ).groups()
    assert mass == bound
    assert float(margin) < 0.1
    assert (tmp_path / "out" / "report.html").stat().st_size > 1e5
    assert Design.read(tmp_path / "out" / "sized.toml").strut.mass == pytest.approx(float(mass), abs=5e-4)


def test_help_of_the_search_fits_a_screen():
    assert len(pydoc.render_doc(lightest).splitlines()) <= 50


def test_readme_commands_are_the_ones_checked():
    blocks = re.findall(r"```sh\n(.*?)```", (ROOT / "README.md").read_text(), re.S)
    assert len(blocks) == 2
    assert "examples/size_strut.py" in blocks[0]
    assert "pytest" in blocks[1]


def test_retraction_prints_reactions_brace_and_alignment(capsys, tmp_path):
    tarn_retraction.main(tmp_path)
    said = capsys.readouterr().out
    for words in (
        "invented",
        "Limit loads",
        "up-lock, positive",
        "down-lock, least locking moment",
        "bearing 1, thrust",
        "Assumed:",
        "Over-center offset",
        "the knee leaves its stop",
        "toe_loaded_deg",
    ):
        assert words in said, words
    for name in ("retraction", "alignment"):
        assert matplotlib.image.imread(tmp_path / f"{name}.png")[..., :3].std() > 0.05
