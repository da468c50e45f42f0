"""Scatter against brute force, against closed forms, and the batch against the margin table strut by strut."""

from dataclasses import replace
from importlib import import_module

import numpy as np
import pytest
from scipy.stats import norm
from small_strut import CASES, LOADS, REQUIREMENT, STRAIGHT, lattice
from straight_tube import TUBE

from beam.sizing import Problem, Variation, scatter, usual_variations
from beam.sizing.sampled_struts import Drawn, Row, SampledStruts
from beam.strength import Caps, Check, Service, margins, recommended
from beam.strength.section_forces import added_to_tube, in_service
from beam.strut import Band, Rib, Strut
from materials import Condition, ConditionedLamina, Source

inside = import_module("beam.sizing.scatter")
INVENTED = Source("invented for tests")
BAND = Band(name="wheel", start=0.4, end=0.5)
BOOK = [[1, 1, 2], [0, 1, 2]]
PROBLEM = Problem(
    lattice=replace(lattice(2), mold_line=STRAIGHT),
    loads=LOADS.times([0.63, 0.55, 0.325]),
    requirement=REQUIREMENT,
    cases=CASES,
)
STRUT = PROBLEM.strut(BOOK)
COLD = replace(PROBLEM, requirement=replace(REQUIREMENT, services=REQUIREMENT.services[1:]))
TAPERED = replace(PROBLEM, lattice=lattice(2))
CAPS = Caps(
    name="tested", tension=0.004, compression=0.003, basis="mean", condition="invented", shares=(1.0, 0.0, 0.0),
    source=INVENTED,
)  # fmt: skip


def rows_of(strut, problem, stations):
    """Deciding rows of the margin table at some stations."""
    table = margins(strut, problem.loads, problem.requirement, stations=stations)
    deciding = table[table["decides"]].index
    return list(dict.fromkeys(Row(int(case), s, wall, mode) for case, s, wall, _, mode in deciding))


def drawn_for(strut, size, seed=1):
    """Some draws of everything that can scatter."""
    rng = np.random.default_rng(seed)
    values = {("load", ""): rng.normal(1, 0.05, size), ("cap", ""): rng.normal(1, 0.05, size)}
    for lamina in {ply.lamina.name for ply in strut.ply_book.plies}:
        for quantity in ("E1", "E2", "G12", "thickness", "Xt", "Xc", "Yt", "Yc", "S", "Zt"):
            values[quantity, lamina] = rng.normal(1, 0.05, size)
        values["angle", lamina] = rng.normal(0, 2, size)
    return Drawn(size, values)


def in_situ_problem():
    """Checks of two levels, in situ strengths, caps, and a lamina that was tested in the service."""
    laminae = {kind.lamina.name: kind.lamina for kind in PROBLEM.lattice.kinds}
    sheared = {
        name: replace(one, allowables=replace(one.allowables, S02=0.6 * one.allowables.S))
        for name, one in laminae.items()
    }
    tape = sheared["test tape"]
    hot = replace(tape, E2=0.8 * tape.E2, allowables=replace(tape.allowables, Xc=0.8 * tape.allowables.Xc))
    conditions = [
        Condition(name="dry", temperature=250.0, moisture=0.0, lamina=tape),
        Condition(name="hot", temperature=340.0, moisture=0.0, lamina=hot),
    ]
    tested = ConditionedLamina(name="test tape", conditions=conditions)
    services = [
        Service(name="room", temperature=293.0, conditioned=[tested]),
        Service(name="warm", temperature=320.0, conditioned=[tested]),
    ]
    caps = replace(CAPS, basis="B", shares=(0.3, 0.4, 0.3), outside="mark")
    required = replace(REQUIREMENT, services=services, checks=recommended(caps))
    return replace(PROBLEM.with_laminae(sheared), requirement=required)


@pytest.mark.parametrize("problem", [PROBLEM, in_situ_problem()], ids=["screening", "recommended, tested"])
def test_the_batch_equals_the_margin_table(problem, monkeypatch):
    strut = problem.strut(BOOK)
    rows = rows_of(strut, problem, [0.25])
    drawn, judge = drawn_for(strut, 2), SampledStruts(problem, strut)
    monkeypatch.setattr("beam.sizing.sampled_struts.TRIED", len(rows))
    quick, off = judge.in_batch(rows, drawn)
    assert off < 1e-9
    left = {row.mode for row, yes in zip(rows, quick, strict=True) if not yes}
    assert left == {"curved wall buckling", "corner opening", "column"}
    some = [row for row, yes in zip(rows, quick, strict=True) if yes]
    found = judge.judge(some, drawn, batch=np.ones(len(some), dtype=bool), pieces=None)
    for i in range(len(some)):
        assert np.array_equal(found.reserve[:, found.row == i].min(axis=1), found.least[:, i])


@pytest.mark.parametrize(
    ("introduced", "station"),
    [({}, 0.0), ({"bands": [BAND], "ribs": [Rib(station=0.35)]}, 0.3)],
    ids=["taper", "band"],
)
def test_what_taper_and_bands_add_is_all_that_is_held(introduced, station, monkeypatch):
    """With the added loads of the drawn book the batch is the margin table.

    With those of the nominal book a ratio errs by no more than the change of the added loads takes alone: the factor at
    which loads leave a convex set is the inverse of a gauge g, and g(a + b) <= g(a) + g(b).
    """
    monkeypatch.setattr(Strut, "thick_corners", False)  # the batch has their loads, not their curved stacks
    problem = replace(TAPERED, **introduced)
    strut = problem.strut(BOOK)
    rows = [
        row for row in rows_of(strut, problem, [station]) if row.mode in ("tsai_wu", "max_strain", "buckling")
    ]
    drawn, nominal = drawn_for(strut, 1), SampledStruts(problem, strut)
    exact, held = nominal.table(rows, drawn, 0), least(nominal, rows, drawn)
    drawn_one, drawn_strut = nominal.drawn_problem(drawn, 0)
    unloaded = replace(problem, loads=problem.loads.times(0.0))
    own, more, less = (SampledStruts(one, strut) for one in (problem, unloaded, unloaded))
    for (indices, at), added in nominal._held.items():
        now = next(
            one.strut for one in in_service(drawn_strut, problem.requirement) if one.indices == indices
        )
        new = added_to_tube(now, drawn_one.loads, np.array([at]))[0] / drawn.of("load")[0]
        own._held[indices, at] = new
        more._held[indices, at], less._held[indices, at] = new - added, added - new
    assert np.allclose(least(own, rows, drawn), exact, rtol=1e-9)
    change = 1 / exact - 1 / held
    assert np.abs(change).max() > 1e-5, "a strut on which nothing changes proves nothing"
    assert (change <= 1 / least(more, rows, drawn) + 1e-9).all()
    assert (-change <= 1 / least(less, rows, drawn) + 1e-9).all()


def least(judge, rows, drawn):
    """Reserves (row,) of the first sample by the batch."""
    return judge.judge(
        rows, drawn, batch=np.ones(len(rows), dtype=bool), pieces=np.zeros(0, dtype=int)
    ).least[0]


def test_a_drawn_strut_is_what_it_says():
    judge, drawn = SampledStruts(PROBLEM, STRUT), drawn_for(STRUT, 1)
    problem, strut = judge.drawn_problem(drawn, 0)
    for before, after in zip(STRUT.ply_book.plies, strut.ply_book.plies, strict=True):
        name = before.lamina.name
        for quantity in ("E1", "E2", "G12", "thickness"):
            ratio = getattr(after.lamina, quantity) / getattr(before.lamina, quantity)
            assert ratio == pytest.approx(drawn.of(quantity, name)[0])
        assert after.angle_deg - before.angle_deg == pytest.approx(drawn.of("angle", name)[0])
        strengths = after.lamina.allowables, before.lamina.allowables
        for quantity, strain in (("Xt", "e1t"), ("Xc", "e1c"), ("Yt", "e2t"), ("Yc", "e2c"), ("S", "g12")):
            for one in (quantity, strain):
                ratio = getattr(strengths[0], one) / getattr(strengths[1], one)
                assert ratio == pytest.approx(drawn.of(quantity, name)[0])
    assert np.allclose(problem.loads.force, drawn.of("load")[0] * PROBLEM.loads.force)


def test_slow_rows_and_quick_ones_go_together():
    rows = rows_of(STRUT, PROBLEM, [0.0])
    chosen = [
        next(r for r in rows if r.mode == mode)
        for mode in ("column", "tsai_wu", "corner opening", "buckling")
    ]
    judge, drawn = SampledStruts(PROBLEM, STRUT), drawn_for(STRUT, 1)
    quick = np.array([False, True, False, True])
    found = judge.judge(chosen, drawn, batch=quick, pieces=None)
    assert np.allclose(found.least, judge.table(chosen, drawn, 0), rtol=1e-9)


@pytest.fixture(scope="module")
def found():
    """Three cases compete, each in a wall of its own."""
    said = []
    varied = ("load", "thickness", "angle", "Xt", "Xc", "S")
    variations = [one for one in usual_variations(COLD, STRUT) if one.quantity in varied]
    out = scatter(COLD, STRUT, variations, samples=1 << 15, most_rechecked=32, progress=said.append)
    assert len(said) == 5
    assert set(out.rows["case"]) == {0, 1, 2}
    return variations, out


def test_it_agrees_with_brute_force_samples(found):
    """The surrogate near the quantile, and the probability, against exact samples that it has not seen."""
    variations, out = found
    population = inside._sobol(len(variations), (0, 0), 1 << 15)
    chosen = np.random.default_rng(3).choice(inside._near(out.margin, 0.01), 40)
    rows = rows_of(STRUT, COLD, sorted(set(out.rows["station"])))
    rows = [row for row in rows if row.mode in ("tsai_wu", "max_strain", "buckling")]
    judge = SampledStruts(COLD, STRUT)
    quick = np.ones(len(rows), dtype=bool)
    drawn = inside._drawn(variations, population[chosen].astype(float))
    exact = judge.judge(rows, drawn, batch=quick, pieces=np.zeros(0, dtype=int)).least.min(axis=1) - 1
    assert np.quantile(np.abs(out.margin[chosen] - exact), 0.95) < 0.005
    for sample in range(2):
        problem, strut = judge.drawn_problem(drawn, sample)
        table = problem.margins(strut)
        assert table.loc[table["decides"], "margin"].min() == pytest.approx(exact[sample], abs=1e-6)
    few = inside._drawn(variations, np.random.default_rng(4).normal(size=(100, len(variations))))
    kept = [Row(*one) for one in out.rows[list(Row._fields)].itertuples(index=False)]
    least = judge.judge(kept, few, batch=out.rows["batch"].to_numpy(), pieces=np.zeros(0, dtype=int)).least
    low, high = inside.clopper_pearson(int((least.min(axis=1) < 1).sum()), 100, 0.999)
    assert low <= out.probability <= high


def test_its_own_measures_hold_together(found):
    _, out = found
    assert out.bounds[0] < out.probability < out.bounds[1]
    assert out.error[0] <= out.error[1] < 0.05
    assert out.missed <= 0.005
    assert out.held < 1e-9
    assert out.importance["share"].sum() == pytest.approx(1.0)
    assert out.rows["governs"].sum() == pytest.approx(1.0)
    assert 0 < out.rechecked <= 32 < out.exact
    assert f"{len(out.margin)} samples" in out.summary


@pytest.mark.parametrize("distribution", ["normal", "lognormal"])
def test_closed_form_of_a_linear_case(distribution):
    """One load against one strength, strain of the load alone: reserve = cap / load times that of the means."""
    check = Check(criterion=CAPS.criterion, level="ultimate", name="fiber strain", caps=CAPS)
    tube = replace(TUBE, requirement=replace(TUBE.requirement, checks=[check]))
    strut = tube.strut([[7]])
    table = tube.margins(strut)
    reserve = table.loc[table["decides"], "reserve"].min()
    aim = 1.12
    tube = replace(tube, loads=TUBE.loads.times(reserve / aim))
    load = Variation(quantity="load", deviation=0.06, distribution=distribution)
    cap = Variation(quantity="cap", deviation=0.04, distribution=distribution)
    out = scatter(tube, strut, [load, cap], samples=1 << 16)
    if distribution == "normal":
        exact = norm.sf((aim - 1) / np.hypot(0.06, 0.04 * aim))
    else:
        spread = np.log1p(np.square([0.06, 0.04]))
        exact = norm.sf((np.log(aim) + (spread[0] - spread[1]) / 2) / np.sqrt(spread.sum()))
        assert out.importance["share"]["load"] == pytest.approx(spread[0] / spread.sum(), abs=1e-3)
    assert out.first_order[0] == pytest.approx(exact, rel=1e-2)
    assert out.probability == pytest.approx(exact, rel=0.02)
    assert out.bounds[0] <= exact <= out.bounds[1]
    assert out.error[1] < 2e-3


def test_clopper_pearson():
    """No failure in n trials: 1 - (a/2)^(1/n) from above. One in two: symmetric about one half."""
    low, high = inside.clopper_pearson(0, 30, 0.95)
    assert low == 0.0
    assert high == pytest.approx(1 - 0.025 ** (1 / 30))
    low, high = inside.clopper_pearson(1, 2, 0.95)
    assert low + high == pytest.approx(1.0)
    assert low == pytest.approx(1 - np.sqrt(1 - 0.025))
    assert inside.clopper_pearson(5, 5, 0.95)[1] == 1.0


def test_a_band_judged_in_part_has_wider_bounds():
    whole = inside._probability(100, 50, 25, 50, 10_000, 0.95)
    part = inside._probability(100, 50, 10, 20, 10_000, 0.95)
    none = inside._probability(100, 50, 0, 0, 10_000, 0.95)
    assert whole[0] == part[0] == none[0] == 0.0125
    for narrow, wide in ((whole[1], part[1]), (part[1], none[1])):
        assert wide[0] < narrow[0]
        assert narrow[1] < wide[1]


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ({"quantity": "load", "lamina": "test tape"}, "not given"),
        ({"quantity": "E1"}, "the name of a lamina"),
        ({"quantity": "E1", "lamina": "test tape", "deviation": 5.0}, "given in percent"),
    ],
)
def test_variations_that_are_refused(given, message):
    with pytest.raises(ValueError, match=message):
        Variation(**{"deviation": 0.05, **given})


def test_what_is_refused():
    load = Variation(quantity="load", deviation=0.05)
    for variations, message in (
        ([], "at least 1"),
        ([load, load], "each once"),
        ([Variation(quantity="E1", lamina="wood", deviation=0.1)], "among"),
    ):
        with pytest.raises(ValueError, match=message):
            scatter(PROBLEM, STRUT, variations)
    with pytest.raises(ValueError, match="those of the problem"):
        scatter(PROBLEM, STRUT, [load], nominal=margins(STRUT, LOADS, REQUIREMENT, stations=[0.0]))
