"""The search: what it excludes, where it judges, and the inputs that could mislead it."""

from dataclasses import replace

import numpy as np
import pytest
from small_strut import CASES, LENGTH, LOADS, MOLD_LINE, REQUIREMENT, WALLS, knocked, lattice

from beam.sizing import InfeasibleSizing, lightest
from beam.sizing.feasibility import Feasibility
from beam.sizing.lattice import bay_masses, wall_thickness
from beam.sizing.search import Search
from beam.sizing.sizing import _confirm
from beam.strength.check import Check
from beam.strength.margins import check_stations, margins
from beam.strength.requirement import Service
from beam.strut import Band, MoldLine, PointLoads, Strut
from beam.strut.point_loads import before
from laminate.failure import TsaiWu

AS_ONE = ["buckling", "curved wall buckling", "corner opening", "column"]


def relieved(shear):
    """A load whose moment takes all bending off the strut inboard of 0.07 m."""
    return PointLoads(
        at=[0.07, LENGTH],
        force=[[[0.0, -shear, 0.0], [0.0, shear, 0.0]]],
        moment=[[[0.0, 0.0, -shear * (LENGTH - 0.07)], [0.0, 0.0, 0.0]]],
    )


def test_outboard_side_of_a_load_is_judged():
    got = lightest(lattice(2, most=(6, 3, 2)), relieved(8e3), REQUIREMENT)
    just_outboard = margins(got.strut, relieved(8e3), REQUIREMENT, stations=[0.07 + 1e-6])
    assert just_outboard["margin"].min() >= 0
    stations = check_stations(got.strut, relieved(8e3))
    assert np.isclose(stations, 0.07, rtol=0, atol=1e-8).sum() == 3


def test_laminae_of_unlike_stress_free_temperature_are_refused():
    lat = lattice()
    hot = replace(lat.kinds[0], lamina=replace(lat.kinds[0].lamina, stress_free_temperature=453.0))
    mixed = replace(lat, kinds=(hot, *lat.kinds[1:]))
    with pytest.raises(ValueError, match="stress-free temperatures"):
        lightest(mixed, LOADS, REQUIREMENT)
    with pytest.raises(ValueError, match="stress-free temperatures"):
        margins(Strut(MOLD_LINE, mixed.book([[4, 2, 1], [3, 1, 1]])), LOADS, REQUIREMENT, stations=[0.1])


def test_labels_must_differ():
    with pytest.raises(ValueError, match="labels that differ"):
        lightest(lattice(), LOADS, REQUIREMENT, cases=["a", "a", "b"])


def test_confirm_refuses_a_book_that_fails_and_a_mass_off_the_bound():
    good = lightest(lattice(), LOADS.times(0.5), REQUIREMENT)
    _confirm(good, good.bound)
    over = margins(good.strut, LOADS.times(5.0), REQUIREMENT, stations=[0.0])
    blank = good.margins.copy()
    blank.iloc[0, blank.columns.get_loc("margin")] = np.nan
    light = replace(good, bound=0.99 * good.bound)
    assert light.gap == pytest.approx(1 / 0.99 - 1)
    for bad in (replace(good, margins=over), replace(good, margins=blank), light):
        with pytest.raises(RuntimeError, match="do not use it"):
            _confirm(bad, bad.bound)


def test_walls_that_hold_each_other_carry_no_force_together():
    """Residual running loads close: their sum over the section is zero, and they are not all zero."""
    from beam.strength.section_forces import wall_loads

    strut = Strut(MOLD_LINE, lattice().book([[4, 2, 1], [3, 1, 1]]))
    cold = Service(name="cold", temperature=233.0)
    fixed = wall_loads(strut, 0.1, np.zeros((1, 1, 6)), (cold,)).fixed[0]
    Nx = fixed[:, :, 0, 0] @ np.array([1, 4, 2, 4, 2, 4, 2, 4, 1]) / 24  # Simpson
    length = strut.section(0.1).contour.length
    assert abs(Nx @ length) < 1e-9 * (np.abs(Nx) @ length)
    assert np.abs(Nx).max() > 1e3


def test_knockdowns_of_a_service_reach_margin_and_search():
    """Without residual stress (at the cure temperature) half the allowables is half the ratio."""
    strut = Strut(MOLD_LINE, lattice().book([[4, 2, 1], [3, 1, 1]]))
    dry = replace(REQUIREMENT, services=(Service(name="dry", temperature=353.0),), credit_relief=True)
    half = Service(name="half", temperature=353.0, factors=(knocked("half", 0.5),))
    one = margins(strut, LOADS, dry, stations=[0.1]).drop(AS_ONE, level="mode")
    other = margins(strut, LOADS, replace(dry, services=(half,)), stations=[0.1]).drop(AS_ONE, level="mode")
    strained = one.index.get_level_values("mode") == "max_strain"
    np.testing.assert_allclose(other["ratio"][strained], one["ratio"][strained] / 2, rtol=1e-9)
    assert (
        other["ratio"] <= one["ratio"] / 2 * (1 + 1e-9)
    ).all()  # Tsai-Wu keeps the stated strengths beside them
    both = margins(strut, LOADS, replace(dry, services=(*dry.services, half)), stations=[0.1])
    both = both.drop(AS_ONE, level="mode")
    np.testing.assert_allclose(both["ratio"], other["ratio"], rtol=1e-9)
    assert (both["service"] == "half").all()


def test_moisture_of_a_service_changes_the_margin():
    wet_lamina = {"beta2": 0.6, "beta3": 0.6}
    lat = lattice()
    tape = replace(lat.kinds[0], lamina=replace(lat.kinds[0].lamina, **wet_lamina))
    strut = Strut(MOLD_LINE, replace(lat, kinds=(tape, *lat.kinds[1:])).book([[4, 2, 1], [3, 1, 1]]))
    dry, wet = (Service(name="x", temperature=293.0, moisture=c) for c in (0.0, 0.01))
    ratio = [
        margins(strut, LOADS, replace(REQUIREMENT, services=(s,)), stations=[0.1]).xs(
            "tsai_wu", level="mode"
        )["ratio"]
        for s in (dry, wet)
    ]
    assert not np.allclose(*ratio, rtol=1e-3)


def test_stations_hold_ply_drops_and_middles():
    # 0.37 is neither a step of the mold line nor of the loads
    lat = replace(lattice(), stations=[0.0, 0.37, LENGTH])
    strut = Strut(MOLD_LINE, lat.book([[4, 2, 1], [3, 1, 1]]))
    stations = check_stations(strut, LOADS)
    for wanted in (0.37, before(0.37, LENGTH), 0.1, 0.225, 0.31, 0.435):
        assert np.isclose(stations, wanted, rtol=0, atol=1e-16).any(), wanted


def test_interaction_reaches_the_margin():
    strut = Strut(MOLD_LINE, lattice().book([[4, 2, 1], [3, 1, 1]]))
    ratio = [
        margins(
            strut,
            LOADS,
            replace(REQUIREMENT, checks=(Check(criterion=TsaiWu(interaction=f), level="ultimate"),)),
            stations=[0.1],
        ).xs("tsai_wu", level="mode")["ratio"]
        for f in (-0.5, 0.0)
    ]
    assert not np.allclose(*ratio, rtol=1e-3)


def test_least_share_is_judged_where_the_kind_lies():
    """Tape on one web alone: its share counts in that web, whatever the caps are."""
    lat = lattice()
    tape = replace(lat.kinds[0], walls=("aft",), least_share=0.4)
    some = replace(lat, kinds=(tape, *lat.kinds[1:]))
    free = replace(some, kinds=(replace(tape, least_share=0.0), *lat.kinds[1:]))
    share = (
        free.candidates[:, 0]
        * tape.group_thickness
        / wall_thickness(free, free.candidates)[:, WALLS.index("aft")]
    )
    np.testing.assert_array_equal(some.candidates, free.candidates[share >= 0.4])
    assert 0 < len(some.candidates) < len(free.candidates)


def test_search_equals_the_margin_table_wet_and_knocked_down():
    lat = lattice(2, most=(2, 2, 1))
    kinds = [replace(k, lamina=replace(k.lamina, beta2=0.4, beta3=0.4)) for k in lat.kinds]
    lat = replace(lat, kinds=tuple(kinds))
    wet = Service(name="wet", temperature=330.0, moisture=0.008, factors=(knocked("wet", 0.7),))
    requirement = replace(REQUIREMENT, services=(wet,))
    counts = np.array([[2, 1, 1]])
    candidate = np.flatnonzero((lat.candidates == counts).all(axis=1))
    strut = Strut(MOLD_LINE, lat.book([counts[0], counts[0]]))
    F = strut.span.forces(LOADS, at=[0.1])[:, 0]
    judge = Feasibility(lattice=lat, requirement=requirement)
    judge.hold([(strut, LOADS, np.arange(3))], np.array([0.1]))
    got = judge.reserve(candidate, np.array([0.1]), F[None])
    expected = margins(strut, LOADS, requirement, stations=[0.1])["reserve"].min()
    assert got.min() == pytest.approx(expected, rel=1e-9)


def searched(loads):
    """A search run to its end, and the chain it ends with."""
    search = Search(lattice(2, most=(4, 2, 2)), loads, REQUIREMENT, str)
    while True:
        _, chain = search.lightest()
        if not search.judge(chain):
            return search, chain


@pytest.mark.parametrize("scale", [0.4, 0.6, 0.7, 0.8])
def test_every_excluded_lay_up_fails_and_every_kept_one_holds(scale):
    """The proof: nothing is closed that holds its bay in all cases, and the chain holds in all."""
    search, chain = searched(LOADS.times(scale))
    for bay in range(2):
        closed = np.flatnonzero(~search.open_[bay] & np.isfinite(search.mass[bay]))
        for candidate in closed.tolist():
            assert search.reserve(candidate, bay).min() < 1
        assert search.reserve(int(chain[bay]), bay).min() >= 1 - 1e-9


def test_bays_are_judged_at_both_ends_and_at_every_step():
    search = Search(lattice(2), LOADS, REQUIREMENT, str)
    first, second = search.stations
    for bay, wanted in ((first, [0.0, 0.125, 0.2, before(0.25, LENGTH)]), (second, [0.25, 0.375, LENGTH])):
        assert set(wanted) <= set(bay.tolist())


def test_reason_tells_the_number_of_the_best_lay_up():
    """Second way: every lay-up over the whole span, judged by the margin table inside the bay."""
    lat, loads = lattice(2, most=(2, 2, 1)), LOADS.times(6.0)
    with pytest.raises(InfeasibleSizing) as caught:
        lightest(lat, loads, REQUIREMENT, cases=CASES)
    stations = Search(lat, loads, REQUIREMENT, str).stations[0]
    tables = [
        margins(Strut(MOLD_LINE, lat.book([n, n])), loads, REQUIREMENT, stations=stations, cases=CASES)[
            "margin"
        ]
        for n in lat.candidates
    ]
    best = max(tables, key=lambda table: table.min())
    assert f"margin {best.min():+.3f} in case {best.idxmin()[0]} " in str(caught.value)


def test_kinds_at_their_upper_count_are_named():
    got = lightest(lattice(2, most=(4, 2, 2)), LOADS.times(0.8), REQUIREMENT)
    names = ("spanwise", "wrap", "hoop")
    assert got.kinds_at_limit == tuple(
        n for n, column, most in zip(names, got.counts.T, (4, 2, 2), strict=True) if column.max() == most
    )
    assert 0 < len(got.kinds_at_limit) < 3


def test_one_wall_too_thick_for_the_corner_is_enough():
    lat = lattice()
    least_radius = MOLD_LINE.corner_radius.min()
    counts = np.array([[30, 1, 1]])
    thickness = wall_thickness(lat, counts)[0]
    assert thickness.min() < least_radius < thickness.max()
    assert np.isinf(bay_masses(lat, counts)[-1]).all()


def test_a_chain_is_judged_in_every_case_whatever_excluded_others_before():
    """Only the last case is heavy; the cases tried first hold."""
    loads = PointLoads(
        at=LOADS.at,
        force=LOADS.force * [[[0.01]], [[0.01]], [[2.0]]],
        moment=LOADS.moment * [[[0.01]], [[0.01]], [[2.0]]],
    )
    search = Search(lattice(2), loads, REQUIREMENT, str)
    _, chain = search.lightest()
    assert search.judge(chain) > 0


def test_cuts_are_sound_where_the_strut_grows_toward_the_tip():
    grows = MoldLine(
        root=MOLD_LINE.root, tip=MOLD_LINE.tip, stations=[0.0, 0.2, LENGTH],
        width=[0.06, 0.08, 0.11], height=[0.05, 0.065, 0.09], corner_radius=[0.02, 0.02, 0.02],
    )  # fmt: skip
    end = PointLoads(at=[LENGTH], force=[[[0.0, 2.0, 0.0]]], moment=[[[0.0, 0.0, 4.0e3]]])
    for scale in (0.3, 0.5, 0.7, 0.9):
        search = Search(replace(lattice(2), mold_line=grows), end.times(scale), REQUIREMENT, str)
        for bay in range(2):
            closed = np.flatnonzero(~search.open_[bay] & np.isfinite(search.mass[bay]))
            assert all(search.reserve(c, bay).min() < 1 for c in closed.tolist())


def test_last_open_lay_up_that_fails_ends_in_a_reason():
    """The lay-up judged may be the last of its bay: nothing is left to exclude with it."""
    with pytest.raises(InfeasibleSizing, match="in case"):
        lightest(lattice(1, most=(1, 1, 1)), LOADS.times(0.34692), REQUIREMENT, cases=CASES)


def test_the_table_excludes_in_thick_corners_whatever_the_search_excludes():
    """The search judges plies of thick corners as flat; the table counts the lower of that and of the curved stack."""
    given = {"bands": [Band(name="wheel", start=0.3, end=0.4)]}
    got = lightest(lattice(2, most=(2, 2, 1)), LOADS.times(0.3), REQUIREMENT, **given)
    assert got.strut.thick_corners
    table = margins(got.strut, LOADS.times(0.3), REQUIREMENT)
    assert table.loc[table["decides"], "margin"].min() >= -1e-9
    assert not got.notes
    search = Search(lattice(2, most=(2, 2, 1)), LOADS.times(0.3), REQUIREMENT, str, **given)
    search.hold(got.strut)
    counts = [int(np.flatnonzero((search.counts == row).all(axis=1))[0]) for row in got.counts]
    flat = min(float(search.reserve(one, bay).min()) for bay, one in enumerate(counts))
    plies = table[table["decides"] & table.index.isin([c.mode for c in REQUIREMENT.ply_checks], level="mode")]
    assert plies["reserve"].min() <= flat * (1 + 1e-9)
