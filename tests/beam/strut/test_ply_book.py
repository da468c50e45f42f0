import pytest
from numpy.testing import assert_allclose
from struts import CAPS, LENGTH, MOLD, book, ply, strut

from beam.strut import PlyBook, Strut, steep


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
        (lambda: ply(angle="45"), "angle_deg.*must be a number"),
        (lambda: ply(end=600.0), "end.*given in mm"),
        (lambda: ply(start=0.4, end=0.3), "> start"),
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
