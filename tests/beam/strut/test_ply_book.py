import numpy as np
import pytest
from numpy.testing import assert_allclose
from struts import CAPS, LENGTH, MOLD, TAPE, book, strut

from beam.strut import BookPly, PlyBook, Strut, cut_list, steep, steps


def ply(angle=0.0, walls=("inboard",), start=0.0, end=LENGTH):
    return BookPly(lamina=TAPE, angle_deg=angle, walls=walls, start=start, end=end)


def test_laminate_is_the_ordered_list_from_the_mandrel_outward():
    b = book()
    stack = b.laminate("inboard", 0.35)
    assert [p.angle_deg for p in stack.plies] == [45, -45, 0] * 3 + [0, -45, 45] * 3
    assert [p.angle_deg for p in b.laminate("aft", 0.5).plies] == [45, -45, 45, -45, -45, 45, -45, 45]
    assert b.laminate("inboard", 0.35) is b.laminate("inboard", 0.32), "one laminate for one lay-up"


def test_at_a_drop_the_thinner_outboard_lay_up_holds_and_at_the_tip_the_last():
    b = book()
    inboard, outboard = len(b.at("inboard", 0.3 - 2e-9)), len(b.at("inboard", 0.3))
    assert (inboard, outboard) == (24, 18)
    assert len(b.at("inboard", LENGTH)) == 12
    assert_allclose(b.drops, [0.3, 0.4])
    assert b.tip == LENGTH


def test_numbers_count_through_the_book_from_one():
    b = book()
    assert list(b.numbers("aft", 0.0)) == [1, 2, 4, 5, 7, 8, 10, 11, 14, 15, 17, 18, 20, 21, 23, 24]
    assert list(b.numbers("inboard", LENGTH)) == [1, 2, 3, 4, 5, 6, 19, 20, 21, 22, 23, 24]
    assert b.present("aft", [[0.0, 0.35]]).shape == (1, 2, 24)


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: PlyBook(()), "plies: got none, must be at least 1"),
        (lambda: ply(end=0.0), "> 0"),
        (lambda: ply(start=-0.1), ">= 0"),
        (lambda: ply(walls=()), "walls: got none, must be at least 1"),
        (lambda: ply(walls="inboard"), "put it in brackets"),
        (lambda: ply(walls=("aft", "aft")), "each once"),
        (lambda: ply(angle=4500.0), "<= 180"),
        (lambda: book().laminate("inner", 0.1), "one of inboard"),
        (lambda: PlyBook((ply(start=0.2),)).laminate("inboard", 0.1), "gap"),
        (lambda: Strut(MOLD, PlyBook((ply(walls=("left",)),))), "misspelt"),
        (lambda: Strut(MOLD, PlyBook((ply(walls=MOLD.wall_names, end=0.5),))), "tip of the mold line"),
        (lambda: Strut(MOLD, PlyBook((ply(walls=MOLD.wall_names, end=0.7),))), "tip of the mold line"),
        (lambda: Strut(MOLD, PlyBook((ply(walls=CAPS),))), "'inboard-aft'"),
        (lambda: Strut(MOLD, PlyBook((ply(walls=MOLD.wall_names, start=0.1),))), "gap"),
        (lambda: Strut(MOLD, PlyBook((ply(walls=MOLD.wall_names),) * 90)), "corner"),
        (lambda: strut().section(0.7), "from 0"),
        (lambda: steep(book(), least_rate=0.0), "> 0"),
    ],
)
def test_bad_input(make, message):
    with pytest.raises(ValueError, match=message):
        make()


def test_steps_and_their_rate():
    found = [s for s in steps(book()) if s.wall == "inboard"]
    assert [(s.station, s.ends, len(s.plies)) for s in found] == [(0.3, True, 6), (0.4, True, 6)]
    assert found[0].thickness == pytest.approx(6 * 0.2e-3)
    assert found[0].run == pytest.approx(0.1), "to the next step"
    assert found[1].run == pytest.approx(LENGTH - 0.4), "to the tip"
    assert found[0].rate == pytest.approx(0.1 / 1.2e-3)


def test_a_ply_that_begins_runs_up_from_the_inboard_side():
    b = PlyBook((ply(), ply(start=0.25, end=0.5)))
    begin, end = steps(b)
    assert (begin.ends, begin.station, begin.run) == (False, 0.25, 0.25)
    assert (end.ends, end.station) == (True, 0.5)
    assert end.run == pytest.approx(LENGTH - 0.5)


@pytest.mark.parametrize(("gap", "count"), [(0.0041, 0), (0.0039, 1)])
def test_twenty_lengths_per_thickness(gap, count):
    """Common practice, no source: 20 x 0.2 mm = 4 mm for one ply."""
    b = PlyBook((ply(), ply(end=0.3), ply(end=0.3 + gap)))
    assert len(steep(b)) == count
    assert len(steep(b, least_rate=10.0)) == 0


def test_cut_list_weighs_what_the_strut_weighs():
    s = strut()
    pieces = cut_list(s)
    assert sum(p.mass for p in pieces) == pytest.approx(s.mass, rel=1e-12)
    caps = [p for p in pieces if p.ply == 3]
    assert {p.walls for p in caps} == {("inboard",), ("outboard",)}, "walls that do not touch are two pieces"
    assert caps[0].width_start == pytest.approx(0.07)
    assert caps[0].width_end == pytest.approx(0.04)
    assert caps[0].area == pytest.approx(LENGTH * 0.055)
    outer = next(p for p in pieces if p.ply == 24)
    # Outermost ply, its middle half a ply below the mold line: flats and a full circle of the corners.
    assert outer.width_start == pytest.approx(2 * 0.07 + 2 * 0.04 + 2 * np.pi * (0.02 - 0.1e-3))
    assert outer.width_end == pytest.approx(2 * 0.04 + 2 * 0.025 + 2 * np.pi * (0.015 - 0.1e-3))
    assert [p.ply for p in pieces] == sorted(p.ply for p in pieces)


def test_walls_that_touch_are_one_piece_even_across_the_first_wall():
    walls = ("forward-inboard", "inboard", "inboard-aft", "outboard")
    s = Strut(MOLD, PlyBook((*book().plies, ply(walls=walls))))
    last = [p.walls for p in cut_list(s) if p.ply == 25]
    assert sorted(last) == [("forward-inboard", "inboard", "inboard-aft"), ("outboard",)]
