"""Sensitivity against direct re-sizing, and the order of what is relaxed and tightened."""

from dataclasses import replace

import numpy as np
import pytest
from small_strut import CASES, LOADS, REQUIREMENT, lattice

from beam.sizing import InfeasibleSizing, Problem, lightest, sensitivity
from beam.strength import Caps, recommended
from materials import Factor, Source

INVENTED = Source("invented for tests")
WET = Factor(name="wet", value=0.9, on=("Xc", "S", "e1c", "g12"), source=INVENTED)
SERVICES = [replace(one, factors=(WET,)) for one in REQUIREMENT.services]
PROBLEM = Problem(
    lattice=lattice(2, most=(4, 2, 1)),
    loads=LOADS.times(0.62),
    requirement=replace(REQUIREMENT, services=SERVICES),
    cases=CASES,
)


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
        return lightest(problem.lattice, problem.loads, problem.requirement, cases=problem.cases).mass
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
        ("most of hoop [-]", "relaxed"): replace(PROBLEM, lattice=lattice(2, most=(4, 2, 2))),
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
    assert rules | {"drop length [-]", "most ending [-]", "wet", "special factor", "deflection allowance"} <= names
    assert any(name.startswith("case ") for name in names)
    assert table["note"].loc["least of wrap [-]", "tightened"] is not None


def test_the_largest_stands_first(table):
    largest = table["change_g"].abs().groupby(level=0, sort=False).max().fillna(-1.0)
    assert (np.diff(largest) <= 0).all()


def test_strengths_caps_limits_and_variants(base):
    caps = Caps(
        name="tested", tension=0.004, compression=0.003, basis="B", condition="invented", shares=(0.3, 0.4, 0.3),
        source=INVENTED, outside="mark",
    )  # fmt: skip
    checks = [one for one in recommended(caps) if one.name == "fiber strain"]
    required = replace(REQUIREMENT, checks=checks, deflection_limit=0.5, twist_limit=0.3)
    problem = Problem(lattice=lattice(1, most=(2, 1, 1)), loads=LOADS.times(0.1), requirement=required, cases=CASES)
    said = sensitivity(problem, only=["limit"])
    names = set(said.index.get_level_values("assumption"))
    assert {"deflection limit [m]", "twist limit [rad]"} <= names
    assert sum("cap in" in name for name in names) == 2
    problem = Problem(lattice=lattice(1, most=(2, 1, 1)), loads=LOADS.times(0.2), requirement=REQUIREMENT, cases=CASES)
    found = sensitivity(problem, only=["allowable"])
    assert len(found) == 2 * 6 * 2
    found = sensitivity(problem, only=["load"], variants={"soft tire": LOADS.times(0.1)})
    assert found.loc[("loads soft tire", "variant"), "change_g"] <= 0


def test_a_change_that_is_refused_or_finds_no_book_says_so():
    bare = sensitivity(replace(PROBLEM, lattice=lattice(1, most=(1, 1, 1))), only=["shop rule"], size=small)
    note = bare.loc[("least of wrap [-]", "tightened"), "note"]
    assert "refused" in note
    assert "least <= most" in note
    assert np.isnan(bare.loc[("least of wrap [-]", "tightened"), "mass"])
    heavy = sensitivity(replace(PROBLEM, lattice=lattice(1, most=(1, 1, 1))), only=["load"], size=only_light)
    assert heavy.loc[("all loads", "tightened"), "note"].startswith("no book: ")


def small(problem):
    return lightest(problem.lattice, problem.loads.times(0.1), problem.requirement)


def only_light(problem):
    if problem.loads.force[0, 1, 0] < PROBLEM.loads.force[0, 1, 0] * 1.01:
        raise InfeasibleSizing("too much")
    return small(problem)


def test_what_is_refused(base):
    with pytest.raises(ValueError, match="only"):
        sensitivity(PROBLEM, base, only=["guess"])
    with pytest.raises(ValueError, match="variants 'other'"):
        sensitivity(PROBLEM, base, variants={"other": LOADS.take([0])})
    with pytest.raises(ValueError, match="workers"):
        sensitivity(PROBLEM, base, only=["load"], workers="two")
