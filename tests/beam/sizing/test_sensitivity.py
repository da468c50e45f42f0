"""Sensitivity against direct re-sizing, and the order of what is relaxed and tightened."""

from dataclasses import replace
from importlib import import_module

import numpy as np
import pytest
from small_strut import CASES, LOADS, REQUIREMENT, STRAIGHT, knocked, lattice
from straight_tube import TUBE

from beam.sizing import Problem, lightest, size
from beam.sizing.problem import scale_strength
from beam.strength import Caps, Service, margins, recommended
from beam.strut import Band, Rib
from materials import Condition, ConditionedLamina, Source

inside = import_module("beam.sizing.sensitivity")
INVENTED = Source("invented for tests")
PROBLEM = Problem(
    lattice=replace(lattice(2, most=(4, 2, 1)), mold_line=STRAIGHT),
    loads=LOADS.times(0.56),
    requirement=replace(REQUIREMENT, services=REQUIREMENT.services[:1]),
    cases=CASES,
)
WET = knocked("wet", 0.9)
TUBE = replace(
    TUBE,
    loads=TUBE.loads.times(1.3),
    requirement=replace(TUBE.requirement, services=[replace(TUBE.requirement.services[0], factors=[WET])]),
)
PULL, TAPE = TUBE.loads, TUBE.lattice.kinds[0].lamina


@pytest.fixture(scope="module")
def base():
    return size(TUBE)


@pytest.fixture(scope="module")
def table(base):
    said = []
    soft = {"soft tire": PULL.times(0.5)}
    found = base.sensitivity(step=0.4, only=["load"], variants=soft, progress=said.append)
    assert len(said) == len(found)
    assert said[-1].endswith("about 0 s left")
    return found


def table_of(problem, base, sized, only):
    """The table of a problem with another way to size it."""
    return inside.sensitivity(
        problem, base, sized, step=0.4, variants=None, only=only, workers=None, progress=None
    )


def direct(problem):
    return lightest(problem.lattice, problem.loads, problem.requirement).mass


def test_it_is_what_direct_sizing_finds(table, base):
    """Loads here; every assumption in bench_sizing_studies.py."""
    for key, factor in (("all loads", "tightened"), 1.4), (("loads soft tire", "variant"), 0.5):
        problem = replace(TUBE, loads=PULL.times(factor))
        mass = direct(problem)
        assert table.loc[key, "mass"] == pytest.approx(mass, rel=1e-12), key
        assert mass != pytest.approx(base.mass)
    judged = problem.margins(base.strut)
    lowest = judged.loc[judged["decides"], "margin"].min()
    assert table.loc[key, "margin"] == pytest.approx(lowest, abs=1e-12)


def changes(problem, margins=None):
    """Every change of a problem by assumption and side, without a sizing."""
    return {(one.assumption, one.side): one for one in inside.assumptions(problem, margins, 0.4, {})}


def test_bands_ribs_and_ends_reach_every_sizing_and_every_strut(base, monkeypatch):
    """Each re-sizing starts from the strut of before, and that strut is judged with its bands under changed loads."""
    added = {
        "bands": [Band(name="wheel", start=0.3, end=0.4)],
        "ribs": [Rib(station=0.35)],
        "tip_end": "closed",
    }
    problem = replace(TUBE, **added)
    base, seen = replace(base, strut=problem.strut(base.counts)), []
    assert (base.strut.bands, base.strut.ribs, base.strut.tip_end) == (
        *map(tuple, (added["bands"], added["ribs"])),
        "closed",
    )

    def sized(one, *, start):
        seen.append((one.bands, one.ribs, one.tip_end, start))
        return base

    found = table_of(problem, base, sized, only=["load"])
    assert seen
    assert all(one == (base.strut.bands, base.strut.ribs, "closed", base.strut) for one in seen)
    table = margins(base.strut, PULL.times(1.4), TUBE.requirement)
    assert found.loc[("all loads", "tightened"), "margin"] == table.loc[table["decides"], "margin"].min()
    monkeypatch.setattr(import_module("beam.sizing.sizing"), "lightest", lambda *_, **given: given)
    asked = size(problem, start=base.strut)
    assert asked["start"] is base.strut
    assert {name: asked[name] for name in added} == {name: getattr(problem, name) for name in added}


def test_relaxed_is_never_heavier_and_tightened_never_lighter(table):
    change = table["change_g"]
    side = change.index.get_level_values("side")
    assert change.notna().all()
    assert (change[side == "relaxed"] <= 1e-6).all()
    assert (change[side == "tightened"] >= -1e-6).all()
    assert (change[side == "relaxed"] < -1).any()
    assert (change[side == "tightened"] > 1).any()
    largest = change.abs().groupby(level=0, sort=False).max()
    assert (np.diff(largest) <= 0).all()


def test_every_assumption_is_there(base):
    """Rules, factors, limits, and the cases that govern a bay; each changed to both sides, and nothing else with it."""
    found = changes(PROBLEM, size(PROBLEM).margins)
    rules = {f"{rule} of {kind.name} [-]" for rule in ("least", "most") for kind in PROBLEM.lattice.kinds}
    names = {name for name, _ in found}
    assert (
        rules | {"drop length [-]", "most ending [-]", "special factor", "deflection allowance", "all loads"}
        <= names
    )
    left_out = [one for (name, _), one in found.items() if name.startswith("case ")]
    assert left_out
    for one in left_out:
        assert set(CASES) - set(one.problem.cases) == {one.assumption.removeprefix("case ")}
        assert len(one.problem.loads.force) == len(one.problem.cases) == 2
    assert found["most of hoop [-]", "relaxed"].problem.lattice.kinds[2].most == 2
    assert found["most ending [-]", "tightened"].problem.lattice.most_ending == 8
    stronger = found["special factor", "tightened"].problem
    assert stronger.requirement.special_factor == pytest.approx(1.4 * 1.2)
    assert stronger.lattice is PROBLEM.lattice
    wetter = changes(TUBE, base.margins)["wet", "tightened"].problem.requirement.services[0]
    assert [one.value for one in wetter.factors] == [pytest.approx(0.6 * WET.value)]


def test_caps_and_limits(base):
    caps = Caps(
        name="tested", tension=0.012, compression=0.009, basis="mean", condition="invented", shares=(1.0, 0.0, 0.0),
        source=INVENTED,
    )  # fmt: skip
    checks = [one for one in recommended(caps) if one.name == "fiber strain"]
    required = replace(TUBE.requirement, checks=checks, deflection_limit=0.5, twist_limit=0.3)
    found = changes(replace(TUBE, requirement=required), base.margins)
    capped = found["cap in tension, fiber strain [-]", "tightened"].problem.requirement.checks[0]
    assert (capped.caps.tension, capped.caps.compression) == (pytest.approx(0.6 * 0.012), 0.009)
    assert capped.criterion == capped.caps.criterion
    for name, value in (("deflection limit [m]", 0.5), ("twist limit [rad]", 0.3)):
        one = found[name, "relaxed"].problem.requirement
        assert getattr(one, "_".join(name.split()[:2])) == pytest.approx(1.4 * value)


def test_strengths_of_every_lamina_also_where_they_are_tested(base):
    found = changes(TUBE, base.margins)
    assert len([one for one in found.values() if one.group == "allowable"]) == 2 * 5
    strong = found[f"Xt of {TAPE.name} [MPa]", "relaxed"].problem.lattice.kinds[0].lamina.allowables
    for name in ("Xt", "e1t", "Xc", "e1c"):
        factor = 1.4 if name in ("Xt", "e1t") else 1.0
        assert getattr(strong, name) == pytest.approx(factor * getattr(TAPE.allowables, name))
    tested = ConditionedLamina(
        name=TAPE.name, conditions=[Condition(name="dry", temperature=297.0, moisture=0.0, lamina=TAPE)]
    )
    service = Service(name="room", temperature=297.0, conditioned=[tested])
    changed = scale_strength(
        replace(TUBE, requirement=replace(TUBE.requirement, services=[service])), TAPE.name, "Xt", 1.4
    )
    here = changed.requirement.services[0].lamina(changed.lattice.kinds[0].lamina)
    assert here.allowables.Xt == pytest.approx(strong.Xt)


def test_a_change_that_is_refused_or_finds_no_book_says_so(base):
    count = int(base.counts.max())
    kind = replace(TUBE.lattice.kinds[0], least=count, most=count)
    narrow = replace(TUBE, lattice=replace(TUBE.lattice, kinds=[kind]))
    found = table_of(narrow, base, lambda one, start: quick(one, base), only=["shop rule", "load"])
    note, mass = found.loc[("least of tape [-]", "tightened"), ["note", "mass"]]
    assert note.startswith("refused: ")
    assert "least <= most" in note
    assert np.isnan(mass)
    assert found.loc[("all loads", "tightened"), "note"].startswith("no book: ")
    assert found.loc[("all loads", "tightened"), "margin"] < 0


def quick(problem, base):
    """The sizing of loads that are not those of before; else that of before."""
    if np.array_equal(problem.loads.force, PULL.force):
        return base
    return size(problem)


def test_what_is_refused(base):
    with pytest.raises(ValueError, match="only"):
        base.sensitivity(only=["guess"])
    with pytest.raises(ValueError, match="variants 'other'"):
        base.sensitivity(variants={"other": LOADS})
    with pytest.raises(ValueError, match="workers"):
        base.sensitivity(only=["load"], workers="two")


def test_order_of_the_plies_moves_the_mass_as_direct_sizing_says():
    """Each order sized directly; the groups nearest the surfaces are those that the name says."""
    problem = replace(
        PROBLEM, lattice=replace(lattice(1, most=(3, 2, 1)), mold_line=STRAIGHT), loads=LOADS.times(0.488)
    )
    base = size(problem)
    found = base.sensitivity(only=["stacking"])
    orders = inside.stacking_orders(problem.lattice.kinds)
    assert set(found.index.get_level_values(0)) <= {f"order: {name}" for name in orders}
    for (name, side), row in found.iterrows():
        assert side == "variant"
        kinds = orders[name.removeprefix("order: ")]
        other = replace(problem, lattice=replace(problem.lattice, kinds=kinds))
        assert row["mass"] == pytest.approx(direct(other), rel=1e-12)
        judged = other.margins(other.strut(base.counts))
        assert row["margin"] == pytest.approx(judged.loc[judged["decides"], "margin"].min(), abs=1e-9)
        first, last = (other.lattice.kinds[other.lattice.groups[i][0]].name for i in (0, -1))
        assert first in name or "outermost" not in name
        assert last in name or "innermost" not in name
    assert found["change_g"].abs().max() > 1.0
    assert found["margin"].nunique() > 2


def test_orders_that_change_nothing_are_left_out_and_the_study_is_made_on_request_alone():
    assert inside.STACKING not in inside.USUAL
    one = replace(PROBLEM, lattice=replace(lattice(1, most=(3, 2, 1)), mold_line=STRAIGHT))
    names = [change.assumption for change in inside._orders(one)]
    assert "order: wrap spread" not in names  # two wraps lie at the two ends already
    assert len(set(names)) == len(names) == 8
    assert not list(inside._orders(TUBE))  # one kind lies in one order
