"""Equations of motion: against Lagrange's, derived from positions by sympy; frame, momentum, many designs at once."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
import sympy as sp
from gears import SKEW, trailing_gear
from numpy.testing import assert_allclose
from scipy.constants import g

from beam.gear import StrutSway
from beam.gear.motion.equations import (
    STATES,
    balance,
    descent_energy,
    forces,
    hanging_angle,
    kinetic,
    rates,
    touchdown,
    unit_of,
)
from beam.gear.parts.rotation import position, slope

GEARS = {"plane": trailing_gear(), "skewed": trailing_gear(**SKEW)}
SWAY = StrutSway(stiffness=6e5, mass=2.0, damping_ratio=0.03)
MASS, LIFT, GROUND = 500.0, 2 / 3, 35.0


def lagrange_rates(name, sway, state, attitude_deg):
    """Accelerations (s, q, u) of a state from Lagrange's equations, with the forces of the gear's parts."""
    gear, equations = GEARS[name], _equations(name)
    a = np.radians(attitude_deg)
    up, aft = np.array([-np.sin(a), 0.0, np.cos(a)]), np.array([np.cos(a), 0.0, np.sin(a)])
    s, q, u, s_rate, q_rate, u_rate, spin = state[:7]
    link, tire = gear.link, gear.tire
    stroke = float(link.shock_length(0.0) - link.shock_length(q))
    shock = float(gear.shock.force(stroke, float(link.shock_arm(q)) * q_rate))

    def low(angle):
        return position(link.axle_terms, angle) @ up - tire.radius * np.sqrt(
            1 - (position(link.wheel_axis_terms, angle) @ up) ** 2
        )

    step = 1e-6
    rise = (low(q + step) - low(q - step)) / (2 * step)
    deflection = s - (low(q) - low(hanging_angle(gear, gear.shock, attitude_deg)))
    N = float(tire.load(deflection, s_rate - rise * q_rate))
    reach = slope(link.axle_terms, q) @ aft
    D = N * float(gear.friction(GROUND - u_rate - reach * q_rate - spin * gear.rolling_radius, GROUND))
    swaying = gear.unsprung_mass + sway.mass
    resist = sway.stiffness * u + 2 * sway.damping_ratio * np.sqrt(sway.stiffness * swaying) * u_rate
    push = [LIFT * -MASS * g - N, N * rise + D * reach - shock * float(link.shock_arm(q)), D - resist]
    matrix, rest = equations(q, s_rate, q_rate, u_rate, sway.mass, *up, *aft)
    return np.linalg.solve(
        np.array(matrix, dtype=float), np.array(push) - np.array(rest, dtype=float).ravel()
    )


@cache
def _equations(name):
    """Mass matrix and remaining terms of d/dt(dT/dv) - dT/dx + dV/dx, as functions of the state."""
    gear = GEARS[name]
    link = gear.link
    t = sp.Symbol("t")
    s, q, u = (sp.Function(n)(t) for n in "squ")
    up, aft, extra = sp.Matrix(sp.symbols("k0:3")), sp.Matrix(sp.symbols("i0:3")), sp.Symbol("m_extra")
    h = sp.Matrix(link.hinge.tolist())
    K = sp.Matrix([[0, -h[2], h[1]], [h[2], 0, -h[0]], [-h[1], h[0], 0]])
    turn = sp.eye(3) + sp.sin(q) * K + (1 - sp.cos(q)) * K * K
    pivot = sp.Matrix(link.pivot.tolist())

    def place(point):
        return pivot + turn * (sp.Matrix(np.asarray(point).tolist()) - pivot) - s * up + u * aft

    def half_m_v2(mass, at):
        v = at.diff(t)
        return mass * (v.T * v)[0] / 2

    wheel, center = place(link.axle), place(gear.link_center)
    bar = gear.link_mass * link.length**2 / 12
    sprung = MASS - gear.unsprung_mass
    T = half_m_v2(gear.wheel_mass, wheel) + half_m_v2(gear.link_mass, center) + bar * q.diff(t) ** 2 / 2
    T += sprung * s.diff(t) ** 2 / 2 + extra * u.diff(t) ** 2 / 2
    V = g * (gear.wheel_mass * (wheel.T * up)[0] + gear.link_mass * (center.T * up)[0] - sprung * s)
    names = sp.symbols("s q u s1 q1 u1 s2 q2 u2")
    lines = []
    for x in (s, q, u):
        line = T.diff(x.diff(t)).diff(t) - T.diff(x) + V.diff(x)
        for order in (2, 1, 0):
            for y, symbol in zip((s, q, u), names[3 * order : 3 * order + 3], strict=True):
                line = line.subs(y.diff(t, order) if order else y, symbol)
        lines.append(line)
    matrix = [[line.diff(a).subs(dict.fromkeys(names[6:], 0)) for a in names[6:]] for line in lines]
    rest = [line.subs(dict.fromkeys(names[6:], 0)) for line in lines]
    unknown = [names[1], *names[3:6], extra, *up, *aft]
    # up and aft are unit vectors square to each other; sympy does not know, numbers do
    return sp.lambdify(unknown, (sp.Matrix(matrix), sp.Matrix(rest)), cse=True)


def random_state(seed):
    rng = np.random.default_rng(seed)
    state = np.zeros(len(STATES))
    state[:7] = rng.uniform([0.0, 0.1, -0.01, -1, -3, -2, 0], [0.08, 0.8, 0.02, 3, 6, 2, 170])
    # the tire on the ground: what was drawn for the sink is about its deflection
    link = GEARS["plane"].link
    state[0] += 0.01 + position(link.axle_terms, state[1])[2] - link.axle[2]
    return state


@pytest.mark.parametrize("name", GEARS)
@pytest.mark.parametrize("attitude_deg", [0.0, 11.0])
def test_accelerations_are_those_of_lagrange(name, attitude_deg):
    unit = unit_of(
        GEARS[name], mass=MASS, lift_ratio=LIFT, ground_speed=GROUND, attitude_deg=attitude_deg, sway=SWAY
    )
    for seed in range(6):
        state = random_state(seed)
        assert attitude_deg or float(forces(state, unit).ground) > 0
        want = lagrange_rates(name, SWAY, state, attitude_deg)
        assert_allclose(rates(state, unit)[3:6], want, rtol=2e-7, atol=1e-6)


@pytest.mark.parametrize("name", GEARS)
def test_a_rigid_strut_is_the_limit_of_a_heavy_one(name):
    gear = GEARS[name]
    rigid = unit_of(gear, mass=MASS, lift_ratio=LIFT, ground_speed=GROUND)
    heavy = rigid._replace(sway_mobility=1e-12, rigid=False)
    for seed in range(3):
        state = random_state(seed)
        state[[2, 5]] = 0.0
        assert rates(state, rigid)[5] == 0.0
        assert_allclose(rates(state, rigid), rates(state, heavy), rtol=1e-8, atol=1e-7)


@pytest.mark.parametrize("sway", [None, SWAY])
@pytest.mark.parametrize("name", GEARS)
def test_the_balance_closes_along_the_rate_of_any_state(name, sway):
    # the change of (energy found - energy supplied) along the motion is zero at every state, not only on a solution
    unit = unit_of(GEARS[name], mass=MASS, lift_ratio=LIFT, ground_speed=GROUND, attitude_deg=5.0, sway=sway)
    for seed in range(4):
        state = random_state(seed)
        if sway is None:
            state[[2, 5]] = 0.0
        rate, step = rates(state, unit), 1e-7

        def gap(at):
            supplied, found = balance(at, unit)
            return float(found - supplied)

        power = (gap(state + step * rate) - gap(state - step * rate)) / (2 * step)
        flow = np.abs(rate[7:12]).sum() + float(forces(state, unit).ground) * 3
        assert abs(power) < 1e-6 * flow


def test_a_moving_ground_does_work():
    unit = unit_of(GEARS["plane"], mass=MASS, lift_ratio=0.0, ground_speed=GROUND)
    state, climb, step = random_state(1), 0.7, 1e-7
    state[[2, 5]] = 0.0
    rate = rates(state, unit, 0.03, climb)

    def gap(at, height):
        supplied, found = balance(at, unit, height)
        return float(found - supplied)

    power = gap(state + step * rate, 0.03 + step * climb) - gap(state - step * rate, 0.03 - step * climb)
    assert abs(power / (2 * step)) < 1e-6 * abs(rate[-1])
    assert rate[-1] == pytest.approx(float(forces(state, unit, 0.03, climb).ground) * climb)


def test_kinetic_energy_at_touchdown_is_that_of_the_whole_mass():
    gear = GEARS["plane"]
    unit = unit_of(gear, mass=MASS, lift_ratio=LIFT, ground_speed=GROUND)
    start = touchdown(unit, 3.0)
    assert float(kinetic(start, unit)) == pytest.approx(0.5 * MASS * 9.0, rel=1e-12)
    start[STATES.index("spin")] = 100.0
    assert descent_energy(start, unit) == pytest.approx(0.5 * MASS * 9.0, rel=1e-12)


@pytest.mark.parametrize("name", GEARS)
def test_the_hanging_link_is_at_rest_against_its_stop(name):
    gear = GEARS[name]
    unit = unit_of(gear, mass=MASS, lift_ratio=1.0, ground_speed=0.0)
    start = touchdown(unit, 0.0)
    rate = rates(start, unit)
    assert_allclose(rate[3:6], 0.0, atol=1e-5)
    f = forces(start, unit)
    assert -1e-3 < float(f.stroke) < 0
    assert float(f.deflection) == pytest.approx(0.0, abs=1e-12)


def test_the_place_of_the_airplane_does_not_matter():
    gear, moved = GEARS["plane"], trailing_gear(shift=(3.0, -1.0, 2.0))
    one, other = (
        unit_of(x, mass=MASS, lift_ratio=LIFT, ground_speed=GROUND, sway=SWAY) for x in (gear, moved)
    )
    state = random_state(3)
    assert_allclose(rates(state, one), rates(state, other), rtol=1e-9, atol=1e-8)


def test_the_port_gear_is_the_mirror_of_the_starboard_one():
    mirror = np.diag([1.0, -1.0, 1.0])
    skewed, port = GEARS["skewed"], trailing_gear(**SKEW, rotate=mirror)
    one, other = (
        unit_of(x, mass=MASS, lift_ratio=LIFT, ground_speed=GROUND, sway=SWAY) for x in (skewed, port)
    )
    state = random_state(4)
    assert_allclose(rates(state, one), rates(state, other), rtol=1e-9, atol=1e-8)


def test_gravity_enters_by_its_weight():
    # half the net weight, half the sink acceleration of a unit in the air
    gear = GEARS["plane"]
    units = [unit_of(gear, mass=MASS, lift_ratio=lift, ground_speed=0.0) for lift in (0.0, 0.5, 1.0)]
    state = touchdown(units[0], 1.0)
    state[0] = -1.0
    falls = [rates(state, unit)[3] for unit in units]
    assert falls[0] - falls[1] == pytest.approx(falls[1] - falls[2], rel=1e-9)
    assert falls[0] > falls[1] > falls[2]


def test_many_designs_at_once_equal_one_at_a_time():
    gear = GEARS["skewed"]
    mass, stiffness = np.array([400.0, 500.0, 600.0]), np.array([3e5, 6e5, 9e5])
    units = [
        unit_of(gear, mass=m, lift_ratio=LIFT, ground_speed=GROUND, sway=replace(SWAY, stiffness=k))
        for m, k in zip(mass, stiffness, strict=True)
    ]
    together = units[0]._replace(
        **{
            name: np.array([getattr(unit, name) for unit in units])
            for name in ("mass", "net_weight", "sway_stiffness", "sway_damping")
        },
    )
    states = np.stack([random_state(seed) for seed in range(3)], axis=-1)
    found = rates(states, together)
    assert found.shape == (len(STATES), 3)
    for i, unit in enumerate(units):
        assert_allclose(found[:, i], rates(states[:, i], unit), rtol=1e-12, atol=1e-9)
    supplied, found = balance(states, together)
    assert supplied.shape == found.shape == (3,)
