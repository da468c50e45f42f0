"""What the shop gets: flat patterns of the areas of the cut list, kit list, mandrel, port strut."""

import xml.etree.ElementTree as ET

import ezdxf
import numpy as np
import pytest
import tarn
from ezdxf.math import area
from matplotlib.figure import Figure

from beam import Strut
from beam.dossier import plots, shop
from beam.strut import PlyBook, cut_list

STRUT = tarn.FIRST_STRUT
PATTERNS = shop.flat_patterns(STRUT)


def svg_outline(file):
    root = ET.parse(file).getroot()
    path = next(p for p in root.iter("{http://www.w3.org/2000/svg}path") if p.get("id") == "outline")
    numbers = path.get("d").removeprefix("M ").removesuffix(" Z").split(" L ")
    text = [t.text for t in root.iter("{http://www.w3.org/2000/svg}text")]
    return np.array([[float(n) for n in point.split(",")] for point in numbers]), text, root


def test_drawn_areas_are_those_of_the_cut_list(tmp_path):
    pieces = cut_list(STRUT)
    files = shop.write_svg(PATTERNS, tmp_path / "svg")
    shop.write_dxf(PATTERNS, tmp_path / "plies.dxf")
    drawing = ezdxf.readfile(tmp_path / "plies.dxf")
    assert not drawing.audit().has_errors
    outlines = [e for e in drawing.modelspace().query("LWPOLYLINE") if e.dxf.layer == "outline"]
    assert len(files) == len(outlines) == len(pieces) == len(PATTERNS)
    for piece, file, outline in zip(pieces, files, outlines, strict=True):
        points, _, root = svg_outline(file)
        assert outline.closed
        assert area(outline.vertices()) * 1e-6 == pytest.approx(piece.area, rel=1e-6)
        assert area([tuple(p) for p in points]) * 1e-6 == pytest.approx(piece.area, rel=1e-6)
        assert np.ptp(points[:, 0]) == pytest.approx((piece.end - piece.start) * 1e3, abs=1e-4)
        assert float(root.get("width").removesuffix("mm")) == float(root.get("viewBox").split()[2])  # 1 : 1
    laminae = [STRUT.ply_book.plies[piece.ply - 1].lamina for piece in pieces]
    sheet = [
        area(o.vertices()) * 1e-6 * t.thickness * t.density for o, t in zip(outlines, laminae, strict=True)
    ]
    assert sum(sheet) == pytest.approx(STRUT.mass, rel=1e-6)


def test_fiber_arrow_has_the_angle_of_the_ply(tmp_path):
    """Seen from outside the way around runs up, and y of the file runs down: +45 rises to the right."""
    pattern = next(p for p in PATTERNS if p.piece.angle_deg == 45.0)
    _, _, root = svg_outline(shop.write_svg([pattern], tmp_path)[0])
    path = next(p for p in root.iter("{http://www.w3.org/2000/svg}path") if p.get("id") == "fiber")
    points = [point.split(",") for point in path.get("d").removeprefix("M ").split(" L ")]
    (x0, y0), (x1, y1) = np.array(points[:2], dtype=float)
    assert (y1 - y0) / (x1 - x0) == pytest.approx(-1.0, abs=1e-6)


def test_ends_of_a_wrap_are_arcs_of_the_fan():
    """Development of a cone: an arc of radius W / w, seen over the angle w, has a rise of R (1 - cos(w / 2))."""
    wrap = next(p for p in PATTERNS if len(p.piece.walls) == 8 and p.piece.end == STRUT.mold_line.length)
    narrowing = (wrap.piece.width_start - wrap.piece.width_end) / (wrap.piece.end - wrap.piece.start)
    radius = wrap.piece.width_start / narrowing
    assert wrap.end_rise == pytest.approx(radius * (1 - np.cos(narrowing / 2)), rel=0.02)
    assert all(p.end_rise == 0.0 for p in PATTERNS if len(p.piece.walls) == 1)


def test_kit_list_adds_up():
    table = shop.kit_list(STRUT)
    assert table.loc["sum", "mass of one strut [kg]"] == pytest.approx(STRUT.mass, rel=1e-9)
    assert table.loc["sum", "mass of the airplane's [kg]"] == pytest.approx(2 * STRUT.mass, rel=1e-9)
    assert table.loc["sum", "pieces"] == len(PATTERNS)
    assert (table["scrap [-]"] > 0).all()
    pounds = shop.kit_list(STRUT, units="US").loc["sum", "mass of one strut [lb]"]
    assert pounds == pytest.approx(STRUT.mass / 0.45359237, rel=1e-9)


def test_box_of_a_ply_at_90_degrees_is_turned():
    """A rectangle 0.5 m long and 0.1 m wide with fibers across: 0.1 m of roll length, 0.5 m of width."""
    from beam.strut import CutPiece

    piece = CutPiece(ply=1, lamina="tape", angle_deg=90, walls=["aft"], start=0, end=0.5, width_start=0.1,
                     width_end=0.1, area=0.05, mass=0.01)  # fmt: skip
    outline = [[0, 0.05], [0.5, 0.05], [0.5, -0.05], [0, -0.05]]
    pattern = shop.FlatPattern(piece=piece, outline=outline, stations=[0, 0.5])
    np.testing.assert_allclose(pattern.box, [0.1, 0.5], rtol=1e-12)
    assert pattern.area == pytest.approx(0.05)


def test_drawings_say_what_they_must_not_be_used_for(tmp_path):
    _, text, _ = svg_outline(shop.write_svg(PATTERNS[:1], tmp_path, faults=["caps are guidance"])[0])
    assert text[0].startswith("NOT FOR MANUFACTURE")
    _, text, _ = svg_outline(shop.write_svg(PATTERNS[:1], tmp_path)[0])
    assert "NOT FOR" not in text[0]
    shop.write_dxf(PATTERNS[:1], tmp_path / "a.dxf", faults=["caps are guidance"])
    labels = ezdxf.readfile(tmp_path / "a.dxf").modelspace().query("TEXT")
    assert [label.dxf.text.startswith("NOT FOR MANUFACTURE") for label in labels] == [True]
    assert not list(tmp_path.glob(".*"))


def test_mandrel_is_the_mold_line_less_the_plies():
    table = shop.mandrel_table(STRUT)
    contour = STRUT.section(0.0).contour
    root = STRUT.ply_book.laminate("aft", 0.0).thickness + STRUT.ply_book.laminate("forward", 0.0).thickness
    assert table.iloc[0]["width [mm]"] == pytest.approx(112.0 - root * 1e3)
    corner = STRUT.mold_line.wall_names[1]
    middle = float(contour.length[1] / abs(contour.turn[1]))
    inner = middle - STRUT.ply_book.laminate(corner, 0.0).thickness / 2
    assert table.iloc[0][f"radius {corner} [mm]"] == pytest.approx(inner * 1e3)


def test_port_strut_couples_the_other_way():
    """The mirror image has A16, A26, D16, D26 of the other sign and all else alike."""
    book = STRUT.ply_book
    odd = PlyBook([p for p in book.plies if p.angle_deg != -45.0])
    here, there = odd.laminate("aft", 0.1).abd, shop.port_book(odd).laminate("aft", 0.1).abd
    sign = np.outer([1, 1, -1] * 2, [1, 1, -1] * 2)
    np.testing.assert_allclose(there, here * sign, rtol=1e-12, atol=1e-9 * abs(here).max())
    assert abs(here[0, 2]) > 1e5
    assert Strut(STRUT.mold_line, shop.port_book(book)).mass == pytest.approx(STRUT.mass, rel=1e-12)


def test_drop_table_names_every_ply_that_ends():
    table = shop.drop_table(STRUT)
    ended = {int(n) for text in table["plies that end"] for n in text.split()}
    length = STRUT.mold_line.length
    assert ended == {i for i, p in enumerate(STRUT.ply_book.plies, 1) if p.end < length}
    assert shop.drop_table(STRUT, units="US").index[0] == pytest.approx(table.index[0] / 25.4)


def test_section_and_mandrel_are_drawn_to_the_numbers():
    ax = Figure().subplots()
    plots.plot_longitudinal_section(STRUT, "aft", ax=ax, faults=["x"])
    assert ax.get_title().startswith("NOT FOR MANUFACTURE")
    drawn = np.vstack([path.vertices for c in ax.collections for path in c.get_paths()])
    ends = STRUT.ply_book.laminate("aft", 0.0), STRUT.ply_book.laminate("aft", STRUT.mold_line.length)
    for laminate, x in zip(ends, (0.0, STRUT.mold_line.length * 1e3), strict=True):
        depth = drawn[np.isclose(drawn[:, 0], x), 1].min()
        assert depth == pytest.approx(-laminate.thickness * 1e3)
    middles = (STRUT.bays[1:] + STRUT.bays[:-1]) / 2
    thickest = max(STRUT.ply_book.laminate("aft", at).thickness for at in middles)  # doublers at the bracket
    assert drawn[:, 1].min() == pytest.approx(-thickest * 1e3)
    axes = plots.plot_mandrel(STRUT, axes=Figure().subplots(2, 1))
    assert axes[0].lines[0].get_ydata()[0] * 2 == pytest.approx(
        shop.mandrel_table(STRUT)["width [mm]"].iloc[0]
    )
