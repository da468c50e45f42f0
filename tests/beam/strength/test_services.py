"""Services: stiffness and strengths of the tested condition, wet glass transition, heat that relaxes the cure."""

from dataclasses import replace

import numpy as np
import pytest
from small_strut import CASES, CLOTH, LOADS, MOLD_LINE, REQUIREMENT, TAPE, lattice

from beam.strength import Service, margins
from beam.strength.requirement import ROOM
from beam.strength.section_forces import in_service
from beam.strut import Strut
from materials import Condition, ConditionedLamina

STRUT = Strut(MOLD_LINE, lattice().book([[4, 2, 1], [3, 1, 1]]))
SOME = [0.0, 0.3]
KEYS = ["case", "station", "wall", "mode"]


def hot(lamina):
    """The lamina as tested hot and wet: softer, weaker, longer."""
    a = lamina.allowables
    values = {name: 0.8 * getattr(a, name) for name in ("Xc", "Yt", "Yc", "S", "e1c", "e2t", "e2c", "g12")}
    return replace(
        lamina, E1=0.97 * lamina.E1, E2=0.7 * lamina.E2, G12=0.6 * lamina.G12, alpha2=1.3 * lamina.alpha2,
        allowables=replace(a, **values, condition="hot wet"),
    )  # fmt: skip


TESTS = tuple(
    ConditionedLamina(
        name=ply.name,
        wet_glass_transition=ply.wet_glass_transition,
        conditions=(
            Condition(name="room dry", temperature=293.0, moisture=0.0, lamina=ply),
            Condition(name="hot wet", temperature=344.0, moisture=0.008, lamina=hot(ply)),
        ),
    )
    for ply in (TAPE, CLOTH)
)
WET = Service(name="wet", temperature=344.0, moisture=0.008, conditioned=TESTS)


def lowest(table):
    return table.groupby(level=KEYS, observed=True)["reserve"].min()


def test_section_span_and_margins_take_the_stiffness_of_the_service():
    """At a tested point the strut is the one built of the tested laminae: every mode, the column and the tip."""
    required = replace(REQUIREMENT, services=(WET,), deflection_limit=0.01, credit_relief=True)
    found = margins(STRUT, LOADS, required, cases=CASES, stations=SOME)
    kinds = [replace(kind, lamina=hot(kind.lamina)) for kind in lattice().kinds]
    soft = Strut(MOLD_LINE, replace(lattice(), kinds=kinds).book([[4, 2, 1], [3, 1, 1]]))
    plain = replace(required, services=(replace(WET, conditioned=()),))
    same = margins(soft, LOADS, plain, cases=CASES, stations=SOME)
    of_stated = (
        found.index.get_level_values("mode") == "tsai_wu"
    )  # its opposite strengths are the highest of all tests
    np.testing.assert_allclose(found["ratio"][~of_stated], same["ratio"][~of_stated], rtol=1e-9)
    of = [one["ratio"].to_numpy()[of_stated] for one in (found, same)]
    np.testing.assert_allclose(of[0], of[1], rtol=0.12)
    ((_, _, inside),) = in_service(STRUT, required)
    np.testing.assert_allclose(inside.section(0.1).stiffness, soft.section(0.1).stiffness, rtol=1e-12)
    cool = margins(
        STRUT, LOADS, replace(plain, services=REQUIREMENT.services[:1]), cases=CASES, stations=SOME
    )
    for mode in ("column", "deflection"):
        stiffer = cool.xs(mode, level="mode")["reserve"].min()
        assert found.xs(mode, level="mode")["reserve"].min() < 0.99 * stiffer
    assert found["assumption"].astype(str).str.contains("hot wet").any()


def test_only_what_is_warmer_or_wetter_than_room_is_judged_twice():
    services = [Service(name=f"{T}, {c}", temperature=T, moisture=c)
                for T, c in ((243.0, 0.0), (293.0, 0.0), (293.0, 0.005), (344.0, 0.0))]  # fmt: skip
    states = replace(REQUIREMENT, services=services).states
    assert [one.name for one in states] == [
        "243.0, 0.0",
        "293.0, 0.0",
        *["293.0, 0.005"] * 2,
        *["344.0, 0.0"] * 2,
    ]
    assert [one.residual_temperature for one in states if one.residual_temperature] == [293.0, 293.0]
    assert states[3].free_moisture == 0.0


def test_a_service_outside_the_tests_is_refused_by_name():
    beyond = replace(REQUIREMENT, services=(replace(WET, temperature=350.0),))
    with pytest.raises(ValueError, match=r"ConditionedLamina 'test cloth': .* 350, 0.008.*hot wet: 344"):
        margins(STRUT, LOADS, beyond, stations=[0.1])


@pytest.mark.parametrize(
    ("transition", "limit", "words"),
    [(372.0, 344.0, "wet glass transition 372 K less 28 K"), (None, 323.15, "ASTM D7028")],
)
def test_gate_of_the_glass_transition(transition, limit, words):
    kinds = [replace(k, lamina=replace(k.lamina, wet_glass_transition=transition)) for k in lattice().kinds]
    strut = Strut(MOLD_LINE, replace(lattice(), kinds=kinds).book([[1, 1, 1], [1, 1, 1]]))
    for temperature, holds in ((limit, True), (limit + 0.01, False)):
        service = Service(name="hot", temperature=temperature)
        required = replace(REQUIREMENT, services=(service,), corner_opening=False)
        if holds:
            assert len(margins(strut, LOADS, required, stations=[0.1]))
            continue
        with pytest.raises(ValueError, match=f"Service 'hot', lamina '.*{words}"):
            margins(strut, LOADS, required, stations=[0.1])


@pytest.mark.parametrize(
    ("temperature", "moisture"), [(310.0, 0.0), (344.0, 0.0), (293.0, 0.01), (353.0, 0.01)]
)
def test_a_hotter_service_of_equal_allowables_never_has_a_higher_margin(temperature, moisture):
    room, warm = (
        Service(name="s", temperature=T, moisture=c) for T, c in ((ROOM, 0.0), (temperature, moisture))
    )
    kinds = [replace(k, lamina=replace(k.lamina, beta2=0.3, beta3=0.3)) for k in lattice().kinds]
    strut = Strut(MOLD_LINE, replace(lattice(), kinds=kinds).book([[4, 2, 1], [3, 1, 1]]))
    cold, hotter, relaxed = (
        lowest(
            margins(
                strut,
                LOADS,
                replace(REQUIREMENT, services=(one,), credit_relief=credit),
                cases=CASES,
                stations=SOME,
            )
        )
        for one, credit in ((room, False), (warm, False), (warm, True))
    )
    assert (hotter <= cold * (1 + 1e-9)).all()
    assert (relaxed > cold * (1 + 1e-6)).any()  # what the rule takes away
