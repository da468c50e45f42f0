"""The files for shop and test lab: all there, read back, harmless, and marked as not for manufacture."""

import csv
import xml.etree.ElementTree as ET
from dataclasses import replace

import ezdxf
import numpy as np
import pandas as pd
import pytest
from calls_dossier import SMALL as FLAT
from calls_dossier import TEST
from calls_sizing import FOUND
from ezdxf.math import area

from beam.dossier import Design, read_ply_book, shop, write_packet, write_table
from beam.strut import PlyBook, cut_list

COUNTS = [[1, 1, 1], [0, 1, 1]]
SMALL = replace(FLAT, ply_book=FLAT.lattice.book(COUNTS))  # with plies that end inside
ODD = "=1+1 <b>&\"'\\ é 漢\n\tb"


@pytest.fixture(scope="module")
def packet(tmp_path_factory):
    folder = tmp_path_factory.mktemp("packet")
    return folder, write_packet(SMALL, FOUND.margins, folder=folder, static_test=TEST)


def test_every_file_is_there_and_nothing_half_written(packet):
    folder, files = packet
    written = {file for file in folder.rglob("*") if file.is_file()}
    assert written == set(files)
    assert not [file for file in written if file.name.startswith(".") or not file.stat().st_size]
    names = {file.relative_to(folder).as_posix() for file in files}
    assert {"shop/kit.csv", "shop/templates.svg", "shop/mandrel.svg", "shop/section inboard.svg", "tests/coupons.csv",
            "tests/static_readings.csv", "tests/inspection.csv"} <= names  # fmt: skip


def test_books_of_both_struts_are_read_back(packet):
    folder, _ = packet
    laminae = {ply.lamina.name: ply.lamina for ply in SMALL.ply_book.plies}
    here, there = (
        read_ply_book(folder / "shop" / f"{side}_ply_book.csv", laminae) for side in ("starboard", "port")
    )
    assert here == SMALL.ply_book
    assert [p.angle_deg for p in there.plies] == [
        p.angle_deg if p.angle_deg in (0.0, 90.0) else -p.angle_deg for p in here.plies
    ]
    assert any(p.angle_deg == 45.0 for p in there.plies)


def test_drawings_of_both_struts_have_the_areas_of_the_cut_list_and_are_marked(packet):
    folder, files = packet
    areas = [piece.area for piece in cut_list(SMALL.strut)]
    for side in ("starboard", "port"):
        space = ezdxf.readfile(folder / "shop" / f"{side}_plies.dxf").modelspace()
        outlines = [one for one in space.query("LWPOLYLINE") if one.dxf.layer == "outline"]
        np.testing.assert_allclose([area(one.vertices()) * 1e-6 for one in outlines], areas, rtol=1e-6)
        assert all(label.dxf.text.startswith("NOT FOR MANUFACTURE") for label in space.query("TEXT"))
    drawings = [file for file in files if file.suffix == ".svg"]
    for file in drawings:
        said = "".join(ET.parse(file).getroot().itertext())
        assert "NOT FOR MANUFACTURE" in said, file
        assert 'href="http' not in file.read_text(encoding="utf-8")


def test_templates_stand_at_the_ends_of_plies(packet):
    root = ET.parse(packet[0] / "shop" / "templates.svg").getroot()
    kind = "{http://www.w3.org/2000/svg}"
    lines = {float(one.get("d").split()[1].split(",")[0]) - 10 for one in root.iter(f"{kind}path")}
    inside = {ply.end for ply in SMALL.ply_book.plies if ply.end < SMALL.mold_line.length}
    assert inside
    assert sorted(lines) == pytest.approx(sorted(1e3 * end for end in inside), abs=1e-5)
    assert float(root.get("width").removesuffix("mm")) == float(root.get("viewBox").split()[2])  # 1 : 1


def test_mass_of_the_layup_is_that_of_the_strut(packet):
    table = pd.read_csv(packet[0] / "shop" / "starboard_layup.csv")
    assert table["mass [kg]"].sum() == pytest.approx(SMALL.strut.mass, rel=1e-9)
    assert table["ply"].tolist() == list(range(1, len(SMALL.ply_book.plies) + 1))


def test_any_text_as_a_name_is_written_and_harmless(tmp_path):
    plies = [replace(p, lamina=replace(p.lamina, name=ODD)) for p in SMALL.ply_book.plies]
    fields = {
        name: getattr(SMALL, name) for name in ("airplane", "gear", "mold_line", "lattice", "requirement")
    }
    design = Design(**fields, name=ODD, ply_book=PlyBook(plies), remarks=ODD)
    margins = FOUND.margins.rename(index=dict.fromkeys(FOUND.margins.index.levels[0], ODD), level="case")
    for file in write_packet(design, margins, folder=tmp_path / "é =1"):
        if file.suffix == ".csv":
            with file.open(encoding="utf-8", newline="") as lines:
                cells = [cell for row in csv.reader(lines) for cell in row]
            assert not [c for c in cells if c[:1] in tuple("=+@\t\r\n")]
            assert not [
                c for c in cells if c[:1] == "-" and not c[1:].replace(".", "").replace("e-", "").isdigit()
            ]
        elif file.suffix == ".svg":
            assert ET.parse(file).getroot().tag.endswith("svg")
    label = next(
        iter(ezdxf.readfile(tmp_path / "é =1" / "shop" / "port_plies.dxf").modelspace().query("TEXT"))
    )
    assert "漢" in label.dxf.text
    design.write(tmp_path / "odd.toml")
    assert Design.read(tmp_path / "odd.toml").digest == design.digest


def test_column_names_are_made_harmless_too(tmp_path):
    write_table(pd.DataFrame({"=a": [-1.0], "b": ["-x"]}), tmp_path / "a.csv")
    assert (tmp_path / "a.csv").read_text() == "'=a,b\n-1.0,'-x\n"


def test_a_folder_that_cannot_be_written_is_named(tmp_path):
    (tmp_path / "file").write_text("x")
    with pytest.raises(OSError, match="file"):
        write_packet(SMALL, FOUND.margins, folder=tmp_path / "file" / "new")


def test_a_released_strut_carries_no_mark(tmp_path):
    """Margins that rest on nothing unsafe: the same drawings without the words."""
    safe = FOUND.margins.assign(assumption="own tests, report 7")
    assert shop.release_faults(FOUND.margins)
    for file in write_packet(SMALL, safe, folder=tmp_path):
        if file.suffix == ".svg":
            assert "NOT FOR" not in file.read_text(encoding="utf-8")
