"""Sensitivity against direct re-sizing, and the order of what is relaxed and tightened."""

from dataclasses import replace

import numpy as np
import pytest
from small_strut import CASES, LOADS, REQUIREMENT, STRAIGHT, knocked, lattice
from straight_tube import TUBE

from beam.sizing import InfeasibleSizing, Problem, lightest, sensitivity
from beam.sizing.problem import scale_strength
from beam.strength import Caps, Service, margins, recommended
from beam.strut import Band, Rib
from materials import Condition, ConditionedLamina, Source

INVENTED = Source("invented for tests")
PROBLEM = Problem(
    lattice=replace(lattice(2, most=(4, 2, 1)), mold_line=STRAIGHT),
    loads=LOADS.times(0.56),
    requirement=replace(REQUIREMENT, services=REQUIREMENT.services[:1]),
    cases=CASES,
)
PULL = TUBE.loads
WET = knocked("wet", 0.9)
IN_WET = replace(
    TUBE,
    lattice=replace(TUBE.lattice, kinds=[replace(TUBE.lattice.kinds[0], most=5)]),
    requirement=replace(TUBE.requirement, services=[replace(TUBE.requirement.services[0], factors=[WET])]),
)


@pytest.fixture(scope="module")
def base():
    return PROBLEM.size()


@pytest.fixture(scope="module")
def loaded(base):
    said = []
    found = sensitivity(PROBLEM, base, step=0.2, only=["load"], progress=said.append)
    assert len(said) == len(found)
    assert said[-1].endswith("about 0 s left")
    return found


@pytest.fixture(scope="module")
def ruled():
    return sensitivity(IN_WET, step=0.3, only=["factor", "shop rule"])


def direct(problem):
    try:
        return lightest(problem.lattice, problem.loads, problem.requirement, cases=problem.cases or None).mass
    except InfeasibleSizing:
        return np.nan


def test_it_is_what_direct_sizing_finds(loaded, ruled, base):
    lines, required, kind = IN_WET.lattice, IN_WET.requirement, IN_WET.lattice.kinds[0]
    wetter = replace(required.services[0], factors=[replace(WET, value=0.7 * WET.value)])
    changed = (
        (loaded, "all loads", "tightened", replace(PROBLEM, loads=PROBLEM.loads.times(1.2))),
        (loaded, "all loads", "relaxed", replace(PROBLEM, loads=PROBLEM.loads.times(0.8))),
        (ruled, "special factor", "tightened",
         replace(IN_WET, requirement=replace(required, special_factor=1.3 * required.special_factor))),
        (ruled, "wet", "tightened", replace(IN_WET, requirement=replace(required, services=[wetter]))),
        (ruled, "least of tape [-]", "tightened",
         replace(IN_WET, lattice=replace(lines, kinds=[replace(kind, least=3)]))),
    )  # fmt: skip
    before = {id(loaded): base, id(ruled): IN_WET.size()}
    moved = 0
    for table, name, side, problem in changed:
        was = before[id(table)]
        mass = direct(problem)
        assert table.loc[(name, side), "mass"] == pytest.approx(mass, rel=1e-12, nan_ok=True), name
        moved += not np.isclose(mass, was.mass)
        if name in ("all loads", "special factor"):
            judged = problem.margins(was.strut)
            lowest = judged.loc[judged["decides"], "margin"].min()
            assert table.loc[(name, side), "margin"] == pytest.approx(lowest, abs=1e-12)
    assert moved >= 3


def test_bands_ribs_and_ends_reach_every_sizing_and_every_strut():
    """Each re-sizing starts from the strut of before, and that strut is judged with its bands under changed loads."""
    added = {
        "bands": [Band(name="wheel", start=0.3, end=0.4)],
        "ribs": [Rib(station=0.35)],
        "tip_end": "closed",
    }
    problem = replace(TUBE, **added)
    base, seen = problem.size(), []
    once = lightest(TUBE.lattice, PULL, TUBE.requirement, **added)
    assert base.counts.tolist() == once.counts.tolist()
    assert base.strut == once.strut
    assert (base.strut.bands, base.strut.ribs, base.strut.tip_end) == (
        *map(tuple, (added["bands"], added["ribs"])),
        "closed",
    )

    def size(one, *, start):
        seen.append((one.bands, one.ribs, one.tip_end, start))
        return base

    found = sensitivity(problem, base, only=["load"], step=0.4, size=size)
    assert seen == [(base.strut.bands, base.strut.ribs, "closed", base.strut)] * len(found)
    table = margins(base.strut, PULL.times(1.4), TUBE.requirement)
    assert found.loc[("all loads", "tightened"), "margin"] == table.loc[table["decides"], "margin"].min()
    assert problem.size(start=base.strut).mass == base.mass


@pytest.mark.parametrize("name", ["loaded", "ruled"])
def test_relaxed_is_never_heavier_and_tightened_never_lighter(name, request):
    change = request.getfixturevalue(name)["change_g"].dropna()
    side = change.index.get_level_values("side")
    assert (change[side == "relaxed"] <= 1e-6).all()
    assert (change[side == "tightened"] >= -1e-6).all()
    assert (change[side == "relaxed"] < -1).any()
    assert (change[side == "tightened"] > 1).any()


def test_every_assumption_is_there(loaded, ruled):
    names = {*loaded.index.get_level_values("assumption"), *ruled.index.get_level_values("assumption")}
    rules = {"least of tape [-]", "most of tape [-]"}
    assert (
        rules | {"drop length [-]", "most ending [-]", "wet", "special factor", "deflection allowance"}
        <= names
    )
    assert any(name.startswith("case ") for name in names)


def test_the_largest_stands_first(ruled):
    largest = ruled["change_g"].abs().groupby(level=0, sort=False).max().fillna(-1.0)
    assert (np.diff(largest) <= 0).all()


def test_caps_limits_and_variants():
    caps = Caps(
        name="tested", tension=0.012, compression=0.009, basis="mean", condition="invented", shares=(1.0, 0.0, 0.0),
        source=INVENTED,
    )  # fmt: skip
    checks = [one for one in recommended(caps) if one.name == "fiber strain"]
    required = replace(TUBE.requirement, checks=checks, deflection_limit=0.5, twist_limit=0.3)
    found = sensitivity(
        replace(TUBE, requirement=required),
        only=["limit", "load"],
        step=0.4,
        variants={"soft tire": PULL.times(0.5)},
    )
    names = [f"cap in {side}, fiber strain [-]" for side in ("tension", "compression")]
    assert {*names, "deflection limit [m]", "twist limit [rad]"} <= set(
        found.index.get_level_values("assumption")
    )
    lower = replace(caps, tension=caps.tension * 0.6)
    tighter = [replace(one, caps=lower, criterion=lower.criterion) for one in checks]
    mass = direct(replace(TUBE, requirement=replace(required, checks=tighter)))
    assert found.loc[(names[0], "tightened"), "mass"] == pytest.approx(mass, rel=1e-12)
    assert found.loc[(names[0], "tightened"), "change_g"] > 1
    half = direct(replace(TUBE, requirement=required, loads=PULL.times(0.5)))
    assert found.loc[("loads soft tire", "variant"), "mass"] == pytest.approx(half, rel=1e-12)


def test_strengths_of_every_lamina_also_where_they_are_tested():
    found = sensitivity(TUBE, only=["allowable"], step=0.4)
    assert len(found) == 2 * 5
    tape = TUBE.lattice.kinds[0].lamina
    stronger = replace(tape.allowables, Xt=1.4 * tape.allowables.Xt, e1t=1.4 * tape.allowables.e1t)
    mass = direct(TUBE.with_laminae({tape.name: replace(tape, allowables=stronger)}))
    assert found.loc[(f"Xt of {tape.name} [MPa]", "relaxed"), "mass"] == pytest.approx(mass, rel=1e-12)
    tested = ConditionedLamina(
        name=tape.name, conditions=[Condition(name="dry", temperature=297.0, moisture=0.0, lamina=tape)]
    )
    service = Service(name="room", temperature=297.0, conditioned=[tested])
    changed = scale_strength(
        replace(TUBE, requirement=replace(TUBE.requirement, services=[service])), tape.name, "Xt", 1.4
    )
    here = changed.requirement.services[0].lamina(changed.lattice.kinds[0].lamina)
    assert here.allowables.Xt == pytest.approx(stronger.Xt)


def test_a_change_that_is_refused_or_finds_no_book_says_so():
    kind = replace(TUBE.lattice.kinds[0], least=3, most=3)
    narrow = replace(TUBE, lattice=replace(TUBE.lattice, kinds=[kind]))
    found = sensitivity(narrow, only=["shop rule", "load"], step=0.4)
    note, mass = found.loc[("least of tape [-]", "tightened"), ["note", "mass"]]
    assert note.startswith("refused: ")
    assert "least <= most" in note
    assert np.isnan(mass)
    assert found.loc[("all loads", "tightened"), "note"].startswith("no book: ")
    assert found.loc[("all loads", "tightened"), "margin"] < 0


def test_what_is_refused(base):
    with pytest.raises(ValueError, match="only"):
        sensitivity(PROBLEM, base, only=["guess"])
    with pytest.raises(ValueError, match="variants 'other'"):
        sensitivity(PROBLEM, base, variants={"other": LOADS.take([0])})
    with pytest.raises(ValueError, match="workers"):
        sensitivity(PROBLEM, base, only=["load"], workers="two")
