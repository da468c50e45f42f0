import numpy as np
import pytest
from matplotlib.figure import Figure
from struts import LENGTH, strut

from beam.strut import PointLoads, PointMass
from beam.strut.plots import plot_deflection, plot_forces, plot_modes, plot_ply_book

STRUT = strut()
LOADS = PointLoads(at=[0.5, LENGTH], force=np.random.default_rng(3).normal(size=(4, 2, 3)) * 3e3)
CASES = ["level", "spin-up", "side", "braked"]


def axes(count):
    return list(np.ravel(Figure().subplots(count, 1)))


def test_ply_book_has_one_bar_for_each_ply():
    ax = plot_ply_book(STRUT, ax=axes(1)[0])
    bars = [p for p in ax.patches if p.get_width() > 0]
    assert len(bars) == len(STRUT.ply_book.plies)
    assert max(b.get_x() + b.get_width() for b in bars) == pytest.approx(1e3 * LENGTH)
    assert "mm" in ax.get_xlabel()


def test_forces_name_the_cases_that_reach_the_extremes():
    three = axes(3)
    plot_forces(STRUT.span, LOADS, cases=CASES, axes=three, units="US")
    M2 = STRUT.span.forces(LOADS)[..., 4]
    worst = CASES[int(np.argmax(M2.max(axis=1)))]
    labels = [t.get_text() for t in three[0].get_legend().get_texts()]
    assert any(label.startswith("M2") and worst in label for label in labels)
    assert "lbf" in three[1].get_ylabel()


def test_deflected_shape_is_drawn_to_its_factor():
    three = axes(3)
    plot_deflection(STRUT.span, LOADS, cases=CASES, axes=three, magnify=2.0)
    tips = STRUT.span.displacement(LOADS, [LENGTH])[:, 0, 2] * 2e3
    drawn = [line.get_ydata()[-1] for line in three[1].get_lines() if len(line.get_ydata()) > 2]
    assert all(min(abs(tips - y)) < 1e-9 for y in drawn[1:])
    plot_deflection(STRUT.span, LOADS, cases=CASES, axes=axes(3), large=True)


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
