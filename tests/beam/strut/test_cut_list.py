import numpy as np
import pytest
from struts import LENGTH, MOLD, book, ply, strut

from beam.strut import PlyBook, Strut, cut_list


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
