"""Pictures carry axes, units and the governing cases; they draw on what they are given."""

from dataclasses import replace

import numpy as np
import pytest
from matplotlib.figure import Figure
from small_strut import CASES, LOADS, MOLD_LINE, REQUIREMENT, lattice

from beam.strength import Check, plots
from beam.strength.global_modes import WHOLE_STRUT
from beam.strength.margins import margins
from beam.strength.plots import plot_margin_map
from beam.strength.strain import span_strain
from beam.strut import Strut
from laminate.failure import MaxStress

STRUT = Strut(MOLD_LINE, lattice().book([[4, 2, 1], [3, 1, 1]]))
STRAIN = span_strain(STRUT, LOADS, REQUIREMENT, REQUIREMENT.services[1], stations=np.linspace(0.0, 0.5, 6))


@pytest.mark.parametrize(("part", "lines"), [("fiber", 4), ("transverse", 4), ("shear", 2)])
@pytest.mark.parametrize(("units", "unit", "tip"), [("SI", "mm", 500.0), ("US", "in", 0.5 / 0.0254)])
def test_strain_figure(part, lines, units, unit, tip):
    fig = plots.strain_figure(STRAIN, part, cases=CASES, units=units)
    panels = fig.axes
    assert [ax.get_title(loc="left") for ax in panels] == [STRAIN.walls[i] for i in (0, 2, 4, 6, 1, 3, 5, 7)]
    assert panels[-1].get_xlabel() == f"station from root [{unit}]"
    assert panels[0].get_ylabel() == f"{part} strain of the plies [microstrain]"
    assert panels[0].get_xlim()[1] == pytest.approx(tip)
    legend = fig.legends[0]
    assert len(legend.get_texts()) == 2 * lines
    assert any(case in legend.get_title().get_text() for case in CASES)
    assert "cold" in fig.get_suptitle()


def test_strain_lines_are_the_strains():
    ax = Figure().subplots()
    letters = dict(enumerate(CASES))
    assert plots.plot_strain_along_span(STRAIN, "fiber", 0, letters=letters, ax=ax) is ax
    drawn = [line.get_ydata() for line in ax.lines if len(line.get_ydata()) == 6]
    expected = [STRAIN.strain[m, :, 0, k] * 1e6 for m in range(2) for k in range(2)]
    for got, want in zip(drawn, expected, strict=True):
        np.testing.assert_allclose(got, want)


def test_unknown_part_and_too_many_laminae():
    with pytest.raises(ValueError, match="part"):
        plots.strain_figure(STRAIN, "axial", cases=CASES)
    with pytest.raises(ValueError, match="an index of 8 walls"):
        plots.plot_strain_along_span(STRAIN, "fiber", 8, letters={}, ax=Figure().subplots())
    many = replace(STRAIN, laminae=("a", "b", "c", "d", "e"))
    with pytest.raises(ValueError, match="no more colors"):
        plots.plot_strain_along_span(many, "fiber", 0, letters={}, ax=Figure().subplots())


def test_margin_map_shows_the_lowest_of_every_wall_and_station():
    stations = np.array([0.0, 0.1, 0.3])
    table = margins(STRUT, LOADS, REQUIREMENT, stations=stations, cases=CASES)
    ax = plot_margin_map(table, STRUT, ax=Figure().subplots(), highest=99.0)
    drawn = np.asarray(ax.collections[0].get_array()).reshape(8, 3)
    for i, wall in enumerate(MOLD_LINE.wall_names):
        for j, s in enumerate(stations):
            here = table.xs((s, wall), level=("station", "wall"))["margin"].min()
            assert drawn[i, j] == pytest.approx(here, rel=1e-12)
    skin = table.drop(WHOLE_STRUT, level="wall")["margin"]
    assert f"{skin.min():+.3f}" in ax.get_title(loc="left")
    assert [t.get_text() for t in ax.get_yticklabels()] == list(MOLD_LINE.wall_names)


def test_margin_map_sets_apart_what_has_failed():
    """Below zero the color is of another kind than any above."""
    table = margins(STRUT, LOADS.times(1.5), REQUIREMENT, stations=[0.0, 0.3], cases=CASES)
    ax = plot_margin_map(table, STRUT, ax=Figure().subplots())
    drawn = ax.collections[0]
    values, colors = (
        np.asarray(drawn.get_array()).ravel(),
        drawn.to_rgba(np.asarray(drawn.get_array()).ravel()),
    )
    assert (values < 0).any()
    assert (values >= 0).any()
    failed = {tuple(color) for color in colors[values < 0]}
    assert len(failed) == 1
    assert not failed & {tuple(color) for color in drawn.to_rgba(np.linspace(0, 2, 50))}
    # in gray print a hatch says it
    assert ax.collections[1].get_hatch()
    assert np.ma.count(ax.collections[1].get_array()) == (values < 0).sum()


def test_margin_map_separates_small_margins_and_names_the_lowest():
    table = margins(STRUT, LOADS, REQUIREMENT, stations=[0.0, 0.3], cases=CASES)
    ax = plot_margin_map(table, STRUT, ax=Figure().subplots())
    colors = ax.collections[0].to_rgba(np.array([0.02, 0.07, 0.15, 0.25, 0.4, 0.6, 0.9, 1.2, 1.7]))
    gray = colors[:, :3] @ [0.299, 0.587, 0.114]
    assert (np.diff(gray) < -0.02).all()
    assert gray[0] - gray[5] > 0.25
    rows = table.reset_index()
    worst = rows[rows["wall"] != WHOLE_STRUT].nsmallest(1, "margin").iloc[0]
    for said in (worst["level"] + " load", worst["case"], worst["service"], worst["mode"]):
        assert said in ax.get_title(loc="left")


TABLE = margins(STRUT, LOADS, replace(REQUIREMENT, checks=(Check(criterion=MaxStress(), level="limit"),)),
                cases=CASES, stations=[0.0, 0.3, 0.5])  # fmt: skip


def test_reserve_along_the_span_of_every_check():
    ax = Figure().subplots()
    assert plots.plot_reserve_along_span(TABLE, ax=ax, units="US") is ax
    lines = {line.get_label().partition(",")[0]: line for line in ax.lines if ":" in str(line.get_label())}
    modes = TABLE.index.get_level_values("mode").unique()
    assert {label.partition(": ")[2] for label in lines} == set(modes)
    for mode in modes:
        rows = TABLE.xs(mode, level="mode")
        level = rows["level"].iloc[0]
        line = lines[f"{level}: {mode}"]
        lowest = rows.groupby(level="station")["reserve"].min()
        np.testing.assert_allclose(line.get_ydata(), lowest)
        np.testing.assert_allclose(line.get_xdata(), lowest.index / 0.0254)
        assert (line.get_linestyle() == "--") == (level == "limit")
        assert ("does not decide" in line.get_label()) == (not rows["decides"].iloc[0])
    assert ax.get_xlabel() == "station from root [in]"
    with pytest.raises(ValueError, match="modes: got buckle, must be modes of the table"):
        plots.plot_reserve_along_span(TABLE, ax=ax, modes=["buckle"])


def test_tsai_wu_stands_beside_the_strain():
    fig = plots.strain_figure(STRAIN, "fiber", cases=CASES, table=TABLE)
    lower = [ax for ax in fig.axes if not ax.get_title(loc="left")]
    assert len(lower) == len(STRAIN.walls)
    for ax, wall in zip(lower, [STRAIN.walls[i] for i in (0, 2, 4, 6, 1, 3, 5, 7)], strict=True):
        rows = TABLE.xs((wall, "tsai_wu"), level=("wall", "mode"))["reserve"]
        np.testing.assert_allclose(ax.lines[0].get_ydata(), rows.groupby(level="station").min())
    decides = TABLE.xs("tsai_wu", level="mode")["decides"].any()
    said = "Tsai-Wu reserve\nat ultimate load [-]"
    assert lower[0].get_ylabel() == said + ("" if decides else "\ndoes not decide")
    screened = TABLE.assign(decides=False, reserve=0.0)
    fig = plots.strain_figure(STRAIN, "fiber", cases=CASES, table=screened)
    first = next(ax for ax in fig.axes if not ax.get_title(loc="left"))
    assert first.get_ylabel() == f"{said}\ndoes not decide\n0: failed by heat alone"
    assert first.get_ylim()[0] < 0.0  # the curve at zero is not hidden by the frame
