"""Equations of motion: against Lagrange's, derived from positions by sympy; frame, momentum, many designs at once."""

from functools import cache

import numpy as np
import pytest
import sympy as sp
from gears import SKEW, trailing_gear
from numpy.testing import assert_allclose
from scipy.constants import g

from beam.flexibility import Flexibility
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
from beam.gear.motion.strut_modes import strut_modes
from beam.gear.parts.rotation import position, slope

GEARS = {"plane": trailing_gear(), "skewed": trailing_gear(**SKEW)}
MASS, LIFT, GROUND = 500.0, 2 / 3, 35.0
ROOT = np.random.default_rng(5).normal(size=(12, 12)) + 3 * np.eye(12)
SIZE = np.array([1e-3] * 3 + [3e-3] * 3 + [3e-4] * 3 + [1e-3] * 3) / 3
SOFT = Flexibility(
    points=[GEARS["plane"].link.pivot, GEARS["plane"].link.shock_on_strut],
    compliance=(ROOT @ ROOT.T) * np.outer(SIZE, SIZE) / 10,
    inertia=0.2 * np.eye(12),
    damping_ratio=0.03,
)
MODES = {name: strut_modes(gear, SOFT) for name, gear in GEARS.items()}


def lagrange_rates(name, state, attitude_deg):
    """Accelerations (s, q, modes) of a state from Lagrange's equations, with the forces of the gear's parts."""
    gear, modes = GEARS[name], MODES[name]
    count, shape = len(modes.frequency), modes.shape
    a = np.radians(attitude_deg)
    up, aft = np.array([-np.sin(a), 0.0, np.cos(a)]), np.array([np.cos(a), 0.0, np.sin(a)])
    s, q, s_rate, q_rate, spin = state[:5]
    b = state[6 + count : 6 + 2 * count]
    link, tire = gear.link, gear.tire

    def carried(point):
        return shape[:3] + np.cross(shape[3:6], point - link.pivot, axisa=0).T

    lug, axle = (position(terms, q) for terms in (link.lug_terms, link.axle_terms))
    line = (lug - link.shock_on_strut) / np.linalg.norm(lug - link.shock_on_strut)
    shorter = -line @ (carried(lug) - shape[6:9])
    stroke = float(link.shock_length(0.0) - link.shock_length(q))
    arm = float(link.shock_arm(q))
    shock = float(gear.shock.force(stroke, arm * q_rate + shorter @ b))

    def low(angle):
        return position(link.axle_terms, angle) @ up - tire.radius * np.sqrt(
            1 - (position(link.wheel_axis_terms, angle) @ up) ** 2
        )

    step = 1e-6
    rise = (low(q + step) - low(q - step)) / (2 * step)
    hanging = hanging_angle(gear, gear.shock, attitude_deg)
    deflection = s - (low(q) - low(hanging))
    raised, drawn = up @ carried(axle), aft @ carried(axle)
    N = float(tire.load(deflection, s_rate - rise * q_rate - raised @ b))
    reach = slope(link.axle_terms, q) @ aft
    slip = GROUND - reach * q_rate - drawn @ b - spin * gear.rolling_radius
    D = N * float(gear.friction(slip, GROUND))
    resist = 2 * SOFT.damping_ratio * 2 * np.pi * modes.frequency * b
    # the hanging gear is what the modes are measured from: its own weight and shock are taken off
    at_rest = position(link.lug_terms, hanging)
    bracket = link.shock_on_strut
    line0 = (at_rest - bracket) / np.linalg.norm(at_rest - bracket)
    force0 = float(gear.shock.force(float(link.free_length - link.shock_length(hanging)), 0.0))
    weight = gear.wheel_mass * up @ carried(position(link.axle_terms, hanging))
    weight = weight + gear.link_mass * up @ carried(position(gear.link_center_terms, hanging))
    preload = g * weight - force0 * line0 @ (carried(at_rest) - shape[6:9])
    push = [LIFT * -MASS * g - N, N * rise + D * reach - shock * arm]
    push += list(N * raised + D * drawn - shock * shorter - resist + preload)
    mass, weights = _equations(name)
    x, v = np.r_[s, q, np.zeros(count)], np.r_[s_rate, q_rate, b]
    step = 1e-5 * np.eye(len(x))
    by_x = [(mass(x + one, up) - mass(x - one, up)) / 2e-5 for one in step]
    turning = sum(rate * one for rate, one in zip(v, by_x, strict=True)) @ v
    turning = turning - np.array([v @ one @ v for one in by_x]) / 2
    return np.linalg.solve(mass(x, up), np.array(push) - turning - weights(x, up))


@cache
def _equations(name):
    """Mass matrix and weights, as functions of coordinates (s, q, modes) and the upward direction, from positions."""
    gear, modes = GEARS[name], MODES[name]
    link, count = gear.link, len(modes.frequency)
    x, up = sp.symbols(f"x0:{2 + count}"), sp.symbols("k0:3")
    h = sp.Matrix(link.hinge.tolist())
    K = sp.Matrix([[0, -h[2], h[1]], [h[2], 0, -h[0]], [-h[1], h[0], 0]])
    turn = sp.eye(3) + sp.sin(x[1]) * K + (1 - sp.cos(x[1])) * K * K
    moved = sp.Matrix(modes.shape[:6].tolist()) * sp.Matrix(x[2:])
    shift, tilt = moved[:3, :], moved[3:, :]

    def arm(vector):
        there = turn * sp.Matrix(np.asarray(vector).tolist())
        return there + tilt.cross(there)

    wheel, center = (
        shift + arm(np.asarray(p) - link.pivot) - x[0] * sp.Matrix(up) for p in (link.axle, gear.link_center)
    )
    along = link.axle - link.pivot
    along = along - (along @ link.hinge) * link.hinge
    bar = gear.link_mass * link.length**2 / 12
    sprung = MASS - gear.unsprung_mass
    across = tilt - h * (h.T * tilt)[0]
    parts = [
        (gear.wheel_mass, wheel),
        (gear.link_mass, center),
        (bar, arm(along / np.linalg.norm(along))),
        (sprung, sp.Matrix([x[0]])),
        (gear.wheel_inertia / 2, across),
    ]
    matrix = sp.zeros(2 + count)
    for m, at in parts:
        J = at.jacobian(x)
        matrix += m * J.T * J
    matrix[2:, 2:] += sp.Matrix((modes.shape.T @ SOFT.inertia @ modes.shape).tolist())
    # the strut comes down with the airplane
    own = (SOFT.inertia @ modes.shape)[:3] + (SOFT.inertia @ modes.shape)[6:9]
    for i in range(count):
        matrix[0, 2 + i] -= sp.Matrix(up).dot(sp.Matrix(own[:, i].tolist()))
        matrix[2 + i, 0] = matrix[0, 2 + i]
    lifted = gear.wheel_mass * wheel.dot(sp.Matrix(up)) + gear.link_mass * center.dot(sp.Matrix(up))
    weights = sp.Matrix([g * (lifted - sprung * x[0])]).jacobian(x)
    found = [sp.lambdify([*x, *up], part, cse=True) for part in (matrix, weights)]
    return tuple(lambda at, k, f=f: np.squeeze(np.array(f(*at, *k), dtype=float)) for f in found)


def random_state(seed, modes=0, bent=0.0):
    rng = np.random.default_rng(seed)
    state = np.zeros(len(STATES) + 2 * modes)
    state[:5] = rng.uniform([0.0, 0.1, -1, -3, 0], [0.08, 0.8, 3, 6, 170])
    state[6 : 6 + modes] = bent * rng.normal(size=modes)
    state[6 + modes : 6 + 2 * modes] = rng.normal(size=modes)
    # the tire on the ground: what was drawn for the sink is about its deflection
    link = GEARS["plane"].link
    state[0] += 0.01 + position(link.axle_terms, state[1])[2] - link.axle[2]
    return state


@pytest.mark.parametrize("name", GEARS)
@pytest.mark.parametrize("attitude_deg", [0.0, 11.0])
def test_accelerations_are_those_of_lagrange(name, attitude_deg):
    unit = unit_of(
        GEARS[name],
        mass=MASS,
        lift_ratio=LIFT,
        ground_speed=GROUND,
        attitude_deg=attitude_deg,
        flexibility=SOFT,
    )
    count = unit.modes
    assert count > 2
    for seed in range(4):
        state = random_state(seed, count)
        assert attitude_deg or float(forces(state, unit).ground) > 0
        found = rates(state, unit)
        want = lagrange_rates(name, state, attitude_deg)
        assert_allclose(
            np.r_[found[2:4], found[6 + count : 6 + 2 * count]], want, rtol=1e-6, atol=1e-5 * abs(want).max()
        )


@pytest.mark.parametrize("soft", [None, SOFT])
@pytest.mark.parametrize("name", GEARS)
def test_the_balance_closes_along_the_rate_of_any_state(name, soft):
    # the change of (energy found - energy supplied) along the motion is zero at every state, not only on a solution
    unit = unit_of(
        GEARS[name], mass=MASS, lift_ratio=LIFT, ground_speed=GROUND, attitude_deg=5.0, flexibility=soft
    )
    for seed in range(4):
        state = random_state(seed, unit.modes, bent=0.01)
        rate, step = rates(state, unit), 1e-7

        def gap(at):
            supplied, found = balance(at, unit)
            return float(found - supplied)

        power = (gap(state + step * rate) - gap(state - step * rate)) / (2 * step)
        flow = np.abs(rate[-7:-2]).sum() + float(forces(state, unit).ground) * 3
        assert abs(power) < 1e-6 * flow


def test_a_moving_ground_does_work():
    unit = unit_of(GEARS["plane"], mass=MASS, lift_ratio=0.0, ground_speed=GROUND)
    state, climb, step = random_state(1), 0.7, 1e-7
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
    assert_allclose(rate[2:4], 0.0, atol=1e-5)
    f = forces(start, unit)
    assert -1e-3 < float(f.stroke) < 0
    assert float(f.deflection) == pytest.approx(0.0, abs=1e-12)


def test_the_place_of_the_airplane_does_not_matter():
    gear, moved = GEARS["plane"], trailing_gear(shift=(3.0, -1.0, 2.0))
    one, other = (
        unit_of(x, mass=MASS, lift_ratio=LIFT, ground_speed=GROUND, flexibility=None) for x in (gear, moved)
    )
    state = random_state(3)
    assert_allclose(rates(state, one), rates(state, other), rtol=1e-9, atol=1e-8)


def test_the_port_gear_is_the_mirror_of_the_starboard_one():
    mirror = np.diag([1.0, -1.0, 1.0])
    skewed, port = GEARS["skewed"], trailing_gear(**SKEW, rotate=mirror)
    one, other = (
        unit_of(x, mass=MASS, lift_ratio=LIFT, ground_speed=GROUND, flexibility=None) for x in (skewed, port)
    )
    state = random_state(4)
    assert_allclose(rates(state, one), rates(state, other), rtol=1e-9, atol=1e-8)


def test_gravity_enters_by_its_weight():
    # half the net weight, half the sink acceleration of a unit in the air
    gear = GEARS["plane"]
    units = [unit_of(gear, mass=MASS, lift_ratio=lift, ground_speed=0.0) for lift in (0.0, 0.5, 1.0)]
    state = touchdown(units[0], 1.0)
    state[0] = -1.0
    falls = [rates(state, unit)[2] for unit in units]
    assert falls[0] - falls[1] == pytest.approx(falls[1] - falls[2], rel=1e-9)
    assert falls[0] > falls[1] > falls[2]


def test_many_designs_at_once_equal_one_at_a_time():
    gear = GEARS["skewed"]
    mass, tilt = np.array([400.0, 500.0, 600.0]), np.array([0.0, 4.0, 9.0])
    landing = {"lift_ratio": LIFT, "ground_speed": GROUND, "flexibility": SOFT}
    units = [unit_of(gear, mass=m, attitude_deg=a, **landing) for m, a in zip(mass, tilt, strict=True)]
    together = unit_of(gear, mass=mass, attitude_deg=tilt, **landing)
    count = together.modes
    states = np.stack([random_state(seed, count, bent=0.01) for seed in range(3)], axis=-1)
    found = rates(states, together)
    assert found.shape == (len(STATES) + 2 * count, 3)
    for i, unit in enumerate(units):
        assert_allclose(found[:, i], rates(states[:, i], unit), rtol=1e-8, atol=1e-6)
    supplied, found = balance(states, together)
    assert supplied.shape == found.shape == (3,)
