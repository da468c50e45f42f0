"""What a requirement refuses, and that knockdowns and factors stay apart."""

from dataclasses import replace

import pytest
from small_strut import INVENTED, REQUIREMENT, TAPE

from beam.strength.check import Check, screening
from beam.strength.requirement import Requirement, Service
from laminate.failure import MaxStress, TsaiWu
from materials import Factor


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"services": (Service(name="a", temperature=300.0),) * 2}, "services: .* distinct"),
        ({"checks": (*screening(), *screening())}, "checks: .* distinct"),
        ({"checks": ("tsai_wu",)}, r"checks\[0\]: got 'tsai_wu', must be of type Check"),
        ({"checks": (Check,)}, "must be of type Check"),
        ({"checks": screening(decides=False)}, "every strut would pass"),
        ({"checks": (Check(criterion=TsaiWu(), level="limit", services=("hot",)),)}, "services: .*hot"),
        ({"checks": (Check(criterion=TsaiWu(), level="limit", name="buckling"),)}, "none of buckling"),
        ({"route": "both"}, "route"),
        ({"route": "factor", "special_factor": 1.1, "mixed": None}, "1.5 tested dry"),
        (
            {"special_factor": 1.01, "mixed": None},
            "got 1.01, must be 1 on route .*counts twice; state the reason",
        ),
        ({"route": None}, "route"),
        ({"special_factor": 0.8}, "not a knockdown"),
        ({"assembly_temperature": 70.0}, "degC or degF"),
    ],
)
def test_bad_requirement(change, words):
    with pytest.raises(ValueError, match=words):
        replace(REQUIREMENT, **change)


def test_special_factor_has_no_default():
    """14 CFR 23 prints no composite factor, so the library has none to offer."""
    with pytest.raises(TypeError, match="special_factor"):
        Requirement(services=REQUIREMENT.services)


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"temperature": 71.0}, "degC or degF"),
        ({"temperature": 160.0}, "degC or degF"),
        ({"temperature": 460.0}, "degC or degF"),
        ({"temperature": 300.0, "moisture": 1.2}, "percent"),
    ],
)
def test_bad_service(given, words):
    with pytest.raises(ValueError, match=words):
        Service(name="hot", **given)


def test_ultimate_factor_is_the_product():
    assert replace(REQUIREMENT, factor_of_safety=1.5, special_factor=1.25).ultimate_factor == pytest.approx(
        1.875
    )


def test_service_knocks_down_allowables_only():
    wet = Factor(name="wet", value=0.8, on=("Xc",), source=INVENTED)
    service = Service(name="wet", temperature=344.0, factors=(wet,))
    got = service.allowables(TAPE)
    assert got.Xc == pytest.approx(0.8 * TAPE.allowables.Xc)
    assert got.Xt == TAPE.allowables.Xt
    assert service.temperature_change(TAPE) == pytest.approx(344.0 - 353.0)


@pytest.mark.parametrize(
    ("lamina", "words"),
    [
        (replace(TAPE, allowables=None), "stiffness alone"),
        (replace(TAPE, stress_free_temperature=None), "cure stress"),
    ],
)
def test_lamina_without_what_a_service_needs(lamina, words):
    service = REQUIREMENT.services[0]
    ask = service.allowables if lamina.allowables is None else service.temperature_change
    with pytest.raises(ValueError, match=words):
        ask(lamina)
    with pytest.raises(ValueError, match="share one stress-free state"):
        service.temperature_change(TAPE, replace(TAPE, name="other", stress_free_temperature=393.0))
    with pytest.raises(ValueError, match=r"laminae.*\[1\]: got 3"):
        service.temperature_change(TAPE, 3.0)


def test_modes_are_those_of_the_requirement():
    asked = replace(
        REQUIREMENT,
        checks=(Check(criterion=MaxStress(), level="limit"),),
        corner_opening=False,
        twist_limit=0.1,
    )
    assert asked.modes == (
        "max_stress",
        "tsai_wu",
        "max_strain",
        "buckling",
        "curved wall buckling",
        "column",
        "twist",
    )
