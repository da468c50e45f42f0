from dataclasses import replace

import numpy as np
import pytest
from matplotlib.figure import Figure
from struts import LENGTH, strut

from beam.strut import PlyBook, PointLoads, PointMass, Strut
from beam.strut.plots import plot_deflection, plot_forces, plot_modes, plot_ply_book

STRUT = strut()
LOADS = PointLoads(at=[0.5, LENGTH], force=np.random.default_rng(3).normal(size=(4, 2, 3)) * 3e3)
CASES = ["level", "spin-up", "side", "braked"]


def axes(count):
    return list(np.ravel(Figure().subplots(count, 1)))


def test_laminae_are_told_apart_without_color():
    first, *rest = STRUT.ply_book.plies
    other = replace(first, lamina=replace(first.lamina, name="glass"))
    ax = plot_ply_book(Strut(STRUT.mold_line, PlyBook([other, *rest])), ax=axes(1)[0])
    hatches = [p.get_hatch() for p in ax.patches if p.get_width() > 0]
    assert len(set(hatches)) == 2
    assert hatches.count(hatches[0]) == 1
    assert [t.get_text() for t in ax.get_legend().get_texts()][-2:] == ["glass", first.lamina.name]


def test_ply_book_has_one_bar_for_each_ply():
    ax = plot_ply_book(STRUT, ax=axes(1)[0])
    bars = [p for p in ax.patches if p.get_width() > 0]
    assert len(bars) == len(STRUT.ply_book.plies)
    assert max(b.get_x() + b.get_width() for b in bars) == pytest.approx(1e3 * LENGTH)
    assert "mm" in ax.get_xlabel()


def test_forces_name_the_cases_that_reach_the_extremes():
    four = axes(4)
    assert plot_forces(STRUT.span, LOADS, cases=CASES, axes=four, units="US") == tuple(four)
    M2 = STRUT.span.forces(LOADS)[..., 4]
    worst = CASES[int(np.argmax(M2.max(axis=1)))]
    labels = [t.get_text() for t in four[0].get_legend().get_texts()]
    assert any(label.startswith("M2") and worst in label for label in labels)
    assert [ax.get_ylabel() for ax in four] == [
        "bending, M2 [lbf in]", "bending, M3 [lbf in]", "shear [lbf]", "torsion [lbf in]"
    ]  # fmt: skip
    assert four[0].get_title() == "Section forces at limit load"


def test_forces_say_which_cases_are_ultimate():
    mixed = replace(LOADS, level=["limit", "ultimate", "limit", "limit"])
    four = plot_forces(STRUT.span, mixed, cases=CASES, axes=axes(4))
    title = "Section forces at limit or ultimate load (1 cases are given at ultimate)"
    assert four[0].get_title() == title
    for ax in four:
        for label in (t.get_text() for t in ax.get_legend().get_texts()):
            assert ("(ultimate)" in label) == ("spin-up" in label)


@pytest.mark.parametrize("large", [False, True])
def test_displacements_are_drawn_as_they_are(large):
    three = plot_deflection(STRUT.span, LOADS, cases=CASES, axes=axes(3), large=large)
    tips = STRUT.span.displacement(LOADS, large=large)[:, -1, 1:3] * 1e3
    for ax, k in zip(three, (0, 1, 1), strict=True):
        drawn = [line.get_ydata()[-1] for line in ax.get_lines()]
        assert len(drawn) >= 4
        assert all(min(abs(tips[:, k] - y)) < 1e-9 for y in drawn)
    assert "at limit load" in three[0].get_legend().get_title().get_text()


def test_modes_are_titled_with_their_frequencies():
    modes = STRUT.span.modes(2, masses=[PointMass(at=LENGTH, mass=10.0)])
    two = axes(2)
    plot_modes(STRUT.span, modes, axes=two)
    assert f"{modes.frequency[0]:.4g} Hz" in two[0].get_title()


@pytest.mark.parametrize(
    "call",
    [
        lambda: plot_forces(STRUT.span, LOADS, cases=CASES[:2], axes=axes(3)),
        lambda: plot_forces(STRUT.span, LOADS, cases=CASES, axes=axes(2)),
        lambda: plot_ply_book(STRUT, ax=axes(1)[0], units="cgs"),
    ],
)
def test_bad_input(call):
    with pytest.raises(ValueError, match="must be"):
        call()
