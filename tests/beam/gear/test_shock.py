"""Springs, dampers and the shock: energies, limits, two chambers against their own equilibrium, bad input."""

import numpy as np
import pytest
from calls_gear import CALLS
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from refusals import declarations, parts_of
from scipy.constants import atm
from scipy.integrate import quad
from scipy.optimize import brentq

from beam.gear import (
    AirSpring,
    Curve,
    CurveSpring,
    DamperCurve,
    Orifice,
    Shock,
    TwoChamberSpring,
    orifice_coefficient,
)

GAS = {"pressure": 2.6e6, "volume": 221e-6, "area": 1.6e-3, "exponent": 1.3}
TWO = {**GAS, "second_pressure": 6e6, "second_volume": 60e-6}
SPRINGS = {
    "one chamber": AirSpring(**GAS),
    "isothermal": AirSpring(**{**GAS, "exponent": 1.0}),
    "two chambers": TwoChamberSpring(**TWO),
    "two chambers, slow not isothermal": TwoChamberSpring(**TWO, slow_exponent=1.1),
    "curve": CurveSpring(
        stroke=[0, 0.05, 0.1, 0.13], fast_force=[4e3, 7e3, 15e3, 40e3], slow_force=[4e3, 6e3, 12e3, 30e3]
    ),
}


@pytest.fixture(params=SPRINGS)
def spring(request):
    return SPRINGS[request.param]


def test_energy_is_the_integral_of_the_force(spring):
    for end in (-0.001, 0.02, 0.07, 0.12):
        area, _ = quad(lambda s: float(spring.force(s)), 0, end, points=[0.05, 0.0585, 0.1], limit=200)
        assert float(spring.energy(end)) == pytest.approx(area, rel=1e-6)


def test_force_rises_and_a_slow_stroke_is_softer(spring):
    stroke = np.linspace(0, 0.12, 100)
    fast, slow = spring.force(stroke), spring.force(stroke, slow=True)
    assert (np.diff(fast) > 0).all()
    assert (slow <= fast * (1 + 1e-12)).all()


def test_settled_spring_starts_fast_from_where_it_stood_slow(spring):
    for stroke in (0.03, 0.08):
        settled = spring.settled(stroke)
        assert float(settled.force(stroke)) == pytest.approx(
            float(spring.force(stroke, slow=True)), rel=1e-12
        )
        stiffness = float(settled.force(stroke + 1e-6) - settled.force(stroke - 1e-6))
        assert stiffness > 0.999 * float(
            spring.force(stroke + 1e-6, slow=True) - spring.force(stroke - 1e-6, slow=True)
        )


def test_gas_obeys_the_polytropic_law_in_absolute_pressure():
    spring = AirSpring(**GAS)
    stroke = np.array([0.0, 0.05, 0.1])
    absolute = spring.force(stroke) / spring.area + atm
    volume = spring.volume - spring.area * stroke
    assert_allclose(absolute * volume**1.3, (2.6e6 + atm) * 221e-6**1.3, rtol=1e-12)
    assert float(spring.force(0.0)) == pytest.approx(2.6e6 * 1.6e-3)


def test_energy_is_smooth_through_the_isothermal_limit():
    at = 0.1
    near, exact = (float(AirSpring(**{**GAS, "exponent": n}).energy(at)) for n in (1 + 1e-9, 1.0))
    assert near == pytest.approx(exact, rel=1e-8)


@pytest.mark.parametrize("slow", [False, True])
@pytest.mark.parametrize("stroke", [0.02, 0.06, 0.09, 0.12])
def test_two_chambers_are_in_equilibrium(slow, stroke):
    # independent: solve for the volume that the second chamber gives way, from equal absolute pressures
    spring = TwoChamberSpring(**TWO)
    n = 1.0 if slow else 1.3
    p1, p2 = 2.6e6 + atm, 6e6 + atm

    def first(way):
        return p1 * (221e-6 / (221e-6 - 1.6e-3 * stroke + way)) ** n

    def excess(way):
        return first(way) - p2 * (60e-6 / (60e-6 - way)) ** n

    way = brentq(excess, 0.0, 59e-6, xtol=1e-18) if excess(0.0) > 0 else 0.0
    assert float(spring.force(stroke, slow=slow)) == pytest.approx(1.6e-3 * (first(way) - atm), rel=1e-10)


def test_a_second_chamber_on_its_seat_does_not_settle():
    # standing at 0.03 m the first chamber has cooled, the second is still as charged
    spring, n = TwoChamberSpring(**TWO), 1.3
    at, stroke = 0.03, 0.11
    assert at < spring.break_stroke(slow=True) < stroke
    v1 = 221e-6 - 1.6e-3 * at
    p1, p2 = (2.6e6 + atm) * 221e-6 / v1, 6e6 + atm

    def first(way):
        return p1 * (v1 / (221e-6 - 1.6e-3 * stroke + way)) ** n

    way = brentq(lambda x: first(x) - p2 * (60e-6 / (60e-6 - x)) ** n, 0.0, 59e-6, xtol=1e-18)
    assert float(spring.settled(at).force(stroke)) == pytest.approx(1.6e-3 * (first(way) - atm), rel=1e-10)


def test_two_chambers_meet_at_the_break():
    spring = TwoChamberSpring(**TWO)
    at = spring.break_stroke()
    assert 0.04 < at < 0.1
    assert float(spring.force(at)) == pytest.approx(6e6 * 1.6e-3, rel=1e-9)
    assert float(spring.force(at + 1e-9)) == pytest.approx(float(spring.force(at)), rel=1e-6)
    # softer beyond than one chamber alone
    assert float(spring.force(0.12)) < float(AirSpring(**GAS).force(0.12))


def test_orifice_squares_the_rate_and_has_two_coefficients():
    orifice = Orifice(compression=2e4, extension=3e5)
    assert float(orifice.force(0.0, 2.0)) == 8e4
    assert float(orifice.force(0.0, -0.5)) == -7.5e4
    assert float(orifice.force(0.0, 0.0)) == 0.0


def test_metering_multiplies_over_the_stroke():
    pin = Curve(x=[0.0, 0.1], y=[1.0, 3.0])
    orifice = Orifice(compression=1e4, extension=1e4, metering=pin)
    assert_allclose(orifice.force([0.0, 0.05, 0.1, 0.2], 1.0), [1e4, 2e4, 3e4, 3e4])


def test_orifice_coefficient_scales():
    base = {"density": 860.0, "hydraulic_area": 4e-3, "orifice_area": 6e-5, "discharge_coefficient": 0.9}
    c = orifice_coefficient(**base)
    assert orifice_coefficient(**{**base, "orifice_area": 3e-5}) == pytest.approx(4 * c)
    assert orifice_coefficient(**{**base, "hydraulic_area": 8e-3}) == pytest.approx(8 * c)
    # Bernoulli: the oil leaves at v Ah / (Cd A0) and the pressure drop is rho w^2 / 2
    outflow = 1.7 * 4e-3 / (0.9 * 6e-5)
    assert c * 1.7**2 == pytest.approx(860 * outflow**2 / 2 * 4e-3)


def test_damper_curve_passes_through_its_points():
    damper = DamperCurve(rate=[-1.0, -0.2, 0.0, 0.5, 2.0], force_at_rate=[-9e3, -4e3, 0.0, 2e3, 5e3])
    assert_allclose(damper.force(0.0, [-1.0, 0.0, 2.0]), [-9e3, 0.0, 5e3], atol=1e-9)
    assert damper.force(np.zeros((2, 1)), np.zeros(3)).shape == (2, 3)


def shock(**changes):
    plain = {
        "spring": AirSpring(**GAS),
        "damper": Orifice(compression=2e4, extension=3e5),
        "max_stroke": 0.12,
    }
    return Shock(**{**plain, **changes})


def test_force_is_the_sum_of_its_parts():
    one = shock(friction=300.0)
    stroke, rate = 0.05, 0.4
    want = float(one.spring.force(stroke)) + 2e4 * rate**2 + 300 * np.tanh(rate / 0.02)
    assert float(one.force(stroke, rate)) == pytest.approx(want, rel=1e-14)
    assert float(one.force(stroke, -rate)) == pytest.approx(
        float(one.spring.force(stroke)) - 3e5 * rate**2 - 300 * np.tanh(rate / 0.02)
    )


def test_stops_act_at_both_ends_only():
    one = shock(stop_stiffness=1e7)
    inside = np.array([0.0, 0.06, 0.12])
    assert_allclose(one.elastic_force(inside), one.spring.force(inside))
    extra = one.elastic_force([-1e-4, 0.1201]) - one.spring.force([-1e-4, 0.1201])
    assert_allclose(extra, [-1e3, 1e3], rtol=1e-9)
    area, _ = quad(lambda s: float(one.elastic_force(s)), 0, 0.1205, points=[0.12])
    assert float(one.energy(0.1205)) == pytest.approx(area, rel=1e-9)


def test_extended_the_stop_carries_the_preload():
    one = shock()
    give = float(one.spring.force(0.0)) / one.stop_stiffness
    assert float(one.elastic_force(-give)) == pytest.approx(0.0, abs=0.01 * float(one.spring.force(0.0)))


@given(st.floats(-0.001, 0.12), st.floats(-2, 2))
@settings(max_examples=40, deadline=None)
def test_damper_and_friction_only_take_energy(stroke, rate):
    one = shock(friction=300.0)
    assert float(one.damper.force(stroke, rate)) * rate >= 0
    assert float(one.laws.friction(rate)) * rate >= 0


def test_arrays_equal_loops(spring):
    one = shock(spring=spring, max_stroke=0.11)
    stroke, rate = np.linspace(-0.001, 0.115, 3)[:, None], np.linspace(-1, 1, 4)
    whole = one.force(stroke, rate)
    assert whole.shape == (3, 4)
    for i, j in np.ndindex(whole.shape):
        assert whole[i, j] == pytest.approx(float(one.force(stroke[i, 0], rate[j])), rel=1e-14)


LAWS = {
    function: call
    for function, call in CALLS.items()
    if "self" in call and any(not parts_of(hint)[1].finite for hint in declarations(function).values())
}
"""What an integrator asks: its trial steps may be anywhere."""


def test_numbers_that_are_none_go_through_every_law():
    assert len(LAWS) >= 10
    for function, call in LAWS.items():
        names = [name for name, hint in declarations(function).items() if not parts_of(hint)[1].finite]
        given = {name: np.full_like(call[name], np.nan) for name in names}
        arguments = call | given
        assert np.isnan(function(arguments.pop("self"), **arguments)).all(), function.__qualname__
    for spring in SPRINGS.values():
        assert np.isnan([spring.force(np.nan), spring.force(np.nan, slow=True), spring.energy(np.nan)]).all()


def test_two_rows_that_do_not_fit_are_named_by_every_law():
    pairs = 0
    for function, call in LAWS.items():
        names = [name for name, hint in declarations(function).items() if not parts_of(hint)[1].finite]
        if len(names) == 2:
            pairs += 1
            message = rf"{names[0]}, {names[1]}: got shapes \(3,\), \(2,\), must be broadcastable"
            with pytest.raises(ValueError, match=message):
                function(*(call | {names[0]: np.zeros(3)}).values())
    assert pairs >= 4


@pytest.mark.parametrize(
    ("build", "message"),
    [
        (lambda: AirSpring(**{**GAS, "pressure": 26.0}), "pressure.*bar, psi or MPa"),
        (lambda: AirSpring(**GAS, slow_exponent=1.35), "slow_exponent.*isothermal"),
        (lambda: TwoChamberSpring(**{**TWO, "second_pressure": 1e6}), "second_pressure.*swapped"),
        (lambda: CurveSpring(stroke=[0, 0.1], fast_force=[2e3, 1e3]), "rising"),
        (
            lambda: CurveSpring(stroke=[0, 0.1], fast_force=[1e3, 2e3], slow_force=[2e3, 1e3]),
            "slow_force.*rising",
        ),
        (lambda: CurveSpring(stroke=[0.01, 0.1], fast_force=[1e3, 2e3]), "first stroke"),
        (lambda: Orifice(compression=1.0, extension=1.0, metering=Curve(x=[0, 1], y=[1, -1])), "metering"),
        (lambda: DamperCurve(rate=[-1, 0, 1], force_at_rate=[1e3, 0, 1e3]), "sign of the extension side"),
        (lambda: DamperCurve(rate=[-1, 1], force_at_rate=[-1e3, 1e3]), r"\(0, 0\)"),
        (lambda: shock(max_stroke=0.14), "max_stroke.*more stroke than the spring has"),
        (
            lambda: orifice_coefficient(
                density=860, hydraulic_area=6e-5, orifice_area=4e-3, discharge_coefficient=0.9
            ),
            "orifice_area.*swapped",
        ),
    ],
)
def test_bad_input_is_refused(build, message):
    with pytest.raises(ValueError, match=message):
        build()
