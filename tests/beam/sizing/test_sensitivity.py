"""Sensitivity against direct re-sizing, and the order of what is relaxed and tightened."""

from dataclasses import replace

import numpy as np
import pytest
from small_strut import CASES, LOADS, MOLD_LINE, REQUIREMENT, lattice
from small_tube import LATTICE, PULL
from small_tube import REQUIREMENT as OF_TUBE

from beam.sizing import InfeasibleSizing, Problem, lightest, sensitivity
from beam.sizing.problem import scale_strength
from beam.strength import Caps, Service, recommended
from materials import Condition, ConditionedLamina, Factor, Source

INVENTED = Source("invented for tests")
WET = Factor(name="wet", value=0.9, on=("Xc", "S", "e1c", "g12"), source=INVENTED)
SERVICES = [replace(one, factors=(WET,)) for one in REQUIREMENT.services]
STRAIGHT = replace(MOLD_LINE, width=[0.09] * 3, height=[0.07] * 3, corner_radius=[0.018] * 3)
PROBLEM = Problem(
    lattice=replace(lattice(2, most=(4, 2, 1)), mold_line=STRAIGHT),
    loads=LOADS.times(0.56),
    requirement=replace(REQUIREMENT, services=SERVICES),
    cases=CASES,
)
TUBE = Problem(lattice=LATTICE, loads=PULL, requirement=OF_TUBE)


@pytest.fixture(scope="module")
def base():
    return PROBLEM.size()


@pytest.fixture(scope="module")
def table(base):
    said = []
    found = sensitivity(PROBLEM, base, step=0.2, only=["factor", "load", "shop rule"], progress=said.append)
    assert len(said) == len(found)
    assert said[-1].endswith("about 0 s left")
    return found


def direct(problem):
    try:
        return lightest(problem.lattice, problem.loads, problem.requirement, cases=problem.cases or None).mass
    except InfeasibleSizing:
        return np.nan


def test_it_is_what_direct_sizing_finds(table, base):
    changed = {
        ("all loads", "tightened"): replace(PROBLEM, loads=PROBLEM.loads.times(1.2)),
        ("all loads", "relaxed"): replace(PROBLEM, loads=PROBLEM.loads.times(0.8)),
        ("special factor", "tightened"): replace(
            PROBLEM, requirement=replace(PROBLEM.requirement, special_factor=1.44)
        ),
        ("wet", "tightened"): replace(
            PROBLEM,
            requirement=replace(
                PROBLEM.requirement,
                services=[replace(one, factors=(replace(WET, value=0.72),)) for one in REQUIREMENT.services],
            ),
        ),
        ("most of hoop [-]", "relaxed"): replace(
            PROBLEM, lattice=replace(lattice(2, most=(4, 2, 2)), mold_line=STRAIGHT)
        ),
    }
    moved = 0
    for key, problem in changed.items():
        mass = direct(problem)
        assert table.loc[key, "mass"] == pytest.approx(mass, rel=1e-12, nan_ok=True), key
        moved += not np.isclose(mass, base.mass)
        if key[0] in ("all loads", "special factor"):
            margins = problem.margins(base.strut)
            least = margins.loc[margins["decides"], "margin"].min()
            assert table.loc[key, "margin"] == pytest.approx(least, abs=1e-12)
    assert moved >= 2


def test_relaxed_is_never_heavier_and_tightened_never_lighter(table):
    change = table["change_g"].dropna()
    side = change.index.get_level_values("side")
    assert (change[side == "relaxed"] <= 1e-6).all()
    assert (change[side == "tightened"] >= -1e-6).all()
    assert (change[side == "relaxed"] < -1).any()
    assert (change[side == "tightened"] > 1).any()


def test_every_assumption_is_there(table):
    names = set(table.index.get_level_values("assumption"))
    rules = {f"{rule} of {kind.name} [-]" for rule in ("least", "most") for kind in PROBLEM.lattice.kinds}
    assert (
        rules | {"drop length [-]", "most ending [-]", "wet", "special factor", "deflection allowance"}
        <= names
    )
    assert any(name.startswith("case ") for name in names)
    assert table["note"].loc["least of wrap [-]", "tightened"] is not None


def test_the_largest_stands_first(table):
    largest = table["change_g"].abs().groupby(level=0, sort=False).max().fillna(-1.0)
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
