"""The swinging leg in space: equilibrium, virtual work, the gyroscopic couple, and the swing as a second way."""

from dataclasses import replace

import numpy as np
import pytest
from gear_landing import FLIGHT, SKEWED, SKEWED_GEAR
from numpy.testing import assert_allclose
from scipy.constants import g
from scipy.spatial.transform import Rotation

from beam.gear import (
    Lock,
    OverCenterBrace,
    PivotAxis,
    RetractingGear,
    leg_loads,
    leg_reactions,
    lock_load,
    swing,
)

X, Y, Z = np.eye(3)
AXIS = SKEWED_GEAR.axis
BEARINGS = AXIS.point + np.outer([0.12, -0.2], AXIS.direction)
GEAR = replace(SKEWED_GEAR, center=SKEWED["center"])
HOOK = Lock(on_gear=(0.05, 0.1, -0.5), line=(0.2, 0.4, 1.0))


def moving(gear=GEAR, **changes):
    """Loads along a braked retraction, and the swing itself."""
    motion = swing(gear, duration=2.5, steps=24, **(FLIGHT | changes))
    stop = gear.wheel_inertia * FLIGHT["wheel_speed"] / FLIGHT["brake_torque"]
    still = {name: FLIGHT[name] for name in ("load_factor", "dynamic_pressure", "sideslip_deg")} | {
        name: value for name, value in changes.items() if name in ("load_factor", "dynamic_pressure")
    }
    loads = leg_loads(
        gear,
        motion.angle,
        angle_rate=motion.angle_rate,
        angle_acceleration=motion.angle_acceleration,
        wheel_speed=np.maximum(FLIGHT["wheel_speed"] * (1 - motion.time / stop), 0.0),
        brake_torque=np.where(motion.time <= stop, FLIGHT["brake_torque"], 0.0),
        friction=motion.friction,
        **still,
    )
    return motion, loads


MOTION, LOADS = moving()
REACTIONS = leg_reactions(GEAR, LOADS, bearings=BEARINGS)


def pendulum(**changes):
    numbers = {
        "axis": PivotAxis(point=np.zeros(3), direction=-X, angle=np.radians(100.0)),
        "mass": [20.0],
        "center": [[0.0, 0.0, -0.8]],
        "actuator_on_gear": [0.0, -0.05, -0.25],
        "actuator_on_airplane": [0.0, -0.5, 0.5],
        "wheel_axle": Y,
        "wheel_inertia": 0.5,
    }
    return RetractingGear(**(numbers | changes))


@pytest.mark.parametrize("about", [np.zeros(3), np.array([0.7, -0.4, 1.1])])
def test_loads_and_reactions_sum_to_zero(about):
    link = REACTIONS.link_force[:, None] * REACTIONS.link_line
    force = LOADS.force.sum(axis=1) + REACTIONS.bearing_force.sum(axis=1) + link
    moment = (LOADS.moment + np.cross(LOADS.points - about, LOADS.force)).sum(axis=1)
    moment += np.cross(BEARINGS - about, REACTIONS.bearing_force).sum(axis=1)
    moment += np.cross(REACTIONS.link_point - about, link)
    assert np.abs(LOADS.force).max() > 100
    assert np.abs(force).max() < 1e-10 * np.abs(LOADS.force).max()
    assert np.abs(moment).max() < 1e-10 * np.abs(LOADS.force).max()


def test_second_bearing_takes_no_thrust():
    assert np.abs(REACTIONS.bearing_force[:, 1] @ AXIS.direction).max() < 1e-10
    total = LOADS.force.sum(axis=1) + REACTIONS.link_force[:, None] * REACTIONS.link_line
    assert_allclose(REACTIONS.thrust, -total @ AXIS.direction, atol=1e-10)
    assert_allclose(
        np.hypot(REACTIONS.thrust, REACTIONS.radial[:, 0]),
        np.linalg.norm(REACTIONS.bearing_force[:, 0], axis=1),
        rtol=1e-12,
    )


def test_actuator_is_that_of_the_swing():
    assert_allclose(REACTIONS.link_force, MOTION.force, atol=1e-10 * np.abs(MOTION.force).max())


def test_actuator_by_virtual_work():
    """Power of the actuator and of every load sum to zero; velocities by differences of turned points."""
    step = 1e-6

    def at(turn):
        turned = Rotation.from_rotvec(np.outer(turn, AXIS.direction))
        points = np.stack([AXIS.point + turned.apply(p - AXIS.point) for p in LOADS.extended.copy()], axis=1)
        pin = AXIS.point + turned.apply(GEAR.actuator_on_gear - AXIS.point)
        return points, np.linalg.norm(pin - GEAR.actuator_on_airplane, axis=1)

    (ahead, longer), (behind, shorter) = at(LOADS.angle + step), at(LOADS.angle - step)
    work = np.sum(LOADS.force * (ahead - behind), axis=(1, 2)) + 2 * step * (
        LOADS.moment.sum(axis=1) @ AXIS.direction
    )
    work += REACTIONS.link_force * (longer - shorter)
    assert np.abs(work).max() < 1e-7 * 2 * step * np.abs(LOADS.force).max()


def test_inertia_is_the_second_difference_of_the_path():
    time = MOTION.time[12]
    a, T = AXIS.angle, 2.5

    def angle(t):
        x = t / T
        return a * (x - np.sin(2 * np.pi * x) / (2 * np.pi))

    step = 1e-4
    paths = [AXIS.at(GEAR.center[0], angle(time + k * step)) for k in (-1, 0, 1)]
    acceleration = (paths[0] - 2 * paths[1] + paths[2]) / step**2
    expected = -12.0 * (acceleration + g * np.array(FLIGHT["load_factor"]))
    k = int(np.argmin(np.abs(MOTION.time - time)))
    assert_allclose(LOADS.force[k, 0], expected, rtol=1e-5)


def test_gyroscopic_couple_is_minus_the_turn_cross_the_momentum():
    """Wheel on an athwart axle, rolling forward, leg folding inboard: I w W, which yaws the leg."""
    loads = leg_loads(pendulum(), [0.0, 0.6], angle_rate=[0.7, 0.4], wheel_speed=150.0)
    couple = loads.moment[:, loads.names.index("gyroscopic couple")]
    for got, angle, rate in zip(couple, (0.0, 0.6), (0.7, 0.4), strict=True):
        axle = Rotation.from_rotvec(-X * angle).apply(Y)
        # rolling forward (-x) the top of the wheel moves forward: it spins about -axle
        momentum = 0.5 * 150.0 * -axle
        assert_allclose(got, -np.cross(rate * -X, momentum), atol=1e-12)
        assert np.linalg.norm(got) == pytest.approx(0.5 * 150.0 * rate)
    assert_allclose(couple[0], [0.0, 0.0, -0.5 * 150 * 0.7], atol=1e-12)
    # square to the axis, it costs the actuator nothing, but the bearings carry it
    still = leg_loads(pendulum(), [0.0, 0.6], angle_rate=[0.7, 0.4])
    bearings = [[0.1, 0, 0], [-0.1, 0, 0]]
    one, other = (leg_reactions(pendulum(), each, bearings=bearings) for each in (loads, still))
    assert_allclose(one.link_force, other.link_force, atol=1e-9)
    extra = one.bearing_force - other.bearing_force
    assert_allclose(np.linalg.norm(extra, axis=-1), np.outer([0.7, 0.4], [1, 1]) * 75 / 0.2, rtol=1e-9)


def test_brake_turns_the_leg_against_the_roll():
    loads = leg_loads(pendulum(), 0.0, brake_torque=80.0, wheel_speed=100.0)
    # the wheel that rolls forward spins about -y; the brake takes the leg along
    assert_allclose(loads.moment[0, loads.names.index("brake")], [0.0, -80.0, 0.0])


def test_slow_and_without_air_there_is_weight_alone():
    loads = leg_loads(pendulum(), [0.0, 0.9], load_factor=[(0, 0, 1), (0, 0, 2.5)])
    found = leg_reactions(pendulum(), loads, bearings=[[0.1, 0, 0], [-0.3, 0, 0]])
    assert_allclose(loads.force.sum(axis=1)[:, 2], [-20 * g, -50 * g])
    # hanging straight: the bearings share 3 to 1 by their distances
    assert_allclose(found.bearing_force[0, :, 2], [15 * g, 5 * g])
    assert float(found.link_force[0]) == pytest.approx(0.0, abs=1e-9)
    arm = float(pendulum().actuator_arm(0.9))
    assert float(found.link_force[1]) * arm == pytest.approx(50 * g * 0.8 * np.sin(0.9))


def test_moment_about_the_axis_is_that_of_the_gear_at_rest():
    angle = np.linspace(0.0, AXIS.angle, 7)
    flight = {name: FLIGHT[name] for name in ("load_factor", "dynamic_pressure", "sideslip_deg")}
    loads = leg_loads(GEAR, angle, brake_torque=60.0, **flight)
    got = (loads.moment + np.cross(loads.points - AXIS.point, loads.force)).sum(axis=1) @ AXIS.direction
    assert_allclose(got, GEAR.held_moment(angle, brake_torque=60.0, **flight), rtol=1e-11)


def test_lock_is_that_of_lock_load():
    loads = leg_loads(GEAR, AXIS.angle, load_factor=(0, 0, 3.8))
    found = leg_reactions(GEAR, loads, bearings=BEARINGS, held_by=HOOK)
    expected = lock_load(
        AXIS, AXIS.angle, GEAR.held_moment(AXIS.angle, load_factor=(0, 0, 3.8)),
        lock_at=HOOK.on_gear, lock_line=HOOK.line,
    )  # fmt: skip
    assert found.link_force[0] == pytest.approx(float(expected), rel=1e-12)


def test_air_shared_among_points_keeps_all_reactions():
    center = np.array(SKEWED["drag_center"])
    points, shares = [center + (0, 0, 0.3), center - (0, 0, 0.1)], [0.25, 0.75]
    flight = {"dynamic_pressure": 1500.0, "sideslip_deg": 8.0, "load_factor": (0, 0, 0)}
    one = leg_loads(GEAR, [0.2, 1.0], **flight)
    shared = leg_loads(GEAR, [0.2, 1.0], air_points=points, air_shares=shares, **flight)
    assert len(shared.names) == len(one.names) + 1
    for name in ("link_force", "bearing_force"):
        a, b = (getattr(leg_reactions(GEAR, x, bearings=BEARINGS), name) for x in (one, shared))
        assert_allclose(a, b, rtol=1e-9, atol=1e-9)


def test_a_skewed_brace_at_the_extended_gear():
    """The brace takes moment about the axis over its arm; the arm by the slope of its pin distance."""
    brace = OverCenterBrace(
        on_airplane=(0.0, -0.5, 0.05), hinge=X, knee=(0.0, -0.2, -0.148), on_gear=(0.0, 0.05, -0.3),
        folds_toward=Z,
    )  # fmt: skip
    loads = leg_loads(GEAR, 0.0, load_factor=(0, 1.0, 2))
    found = leg_reactions(GEAR, loads, bearings=BEARINGS, held_by=brace)
    ends = [np.linalg.norm(AXIS.at(brace.on_gear, q) - brace.on_airplane) for q in (1e-6, -1e-6)]
    arm = (ends[0] - ends[1]) / 2e-6
    assert found.link_force[0] == pytest.approx(
        -float(GEAR.held_moment(0.0, load_factor=(0, 1.0, 2))) / arm, rel=1e-7
    )


def refuses(match, **changes):
    call = {"gear": GEAR, "angle": [0.0, 1.0]} | changes
    with pytest.raises(ValueError, match=match):
        leg_loads(**call)


def test_loads_that_cannot_be_are_refused():
    refuses("travel of the gear", angle=[0.0, AXIS.angle + 0.01])
    refuses("travel of the gear", angle=-0.01)
    refuses("the number of parts", wheel=2)
    refuses("where it turns", gear=replace(GEAR, wheel_axle=None), wheel_speed=10.0)
    refuses("both or none", air_shares=[1.0])
    refuses("given in percent", air_points=[[0, 0, 0]], air_shares=[0.5])
    refuses("from the drag center", air_points=[[0, 0, 0]], air_shares=[1.0])
    refuses("equally many", air_points=[[0, 0, 0]], air_shares=[0.5, 0.5])
    refuses("one row of cases", angle=[[0.0, 1.0]])
    refuses("broadcastable", angle_rate=[0.1, 0.2, 0.3])


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"bearings": BEARINGS + [0.0, 0.01, 0.0]}, "distance from the pivot axis"),
        ({"bearings": [BEARINGS[0], BEARINGS[0]]}, "twice the same"),
        ({"held_by": Lock(on_gear=HOOK.on_gear, line=AXIS.direction)}, r"at 0 deg .* passes through the axis"),
        ({"held_by": Lock(on_gear=AXIS.point + AXIS.direction, line=Z)}, "passes through the axis"),
        (
            {
                "held_by": OverCenterBrace(
                    on_airplane=(0.0, -0.5, 0.05), hinge=X, knee=(0.0, -0.2, -0.148),
                    on_gear=(0.0, 0.05, -0.3), folds_toward=Z,
                )
            },
            "a brace locks the extended gear",
        ),
    ],
)  # fmt: skip
def test_what_cannot_hold_the_leg_is_refused(change, message):
    with pytest.raises(ValueError, match=message):
        leg_reactions(**({"gear": GEAR, "loads": LOADS, "bearings": BEARINGS} | change))


def test_an_actuator_through_the_axis_is_refused():
    with pytest.raises(ValueError, match="a dead center: move a pin"):
        pendulum(actuator_on_airplane=[0.0, 0.1, 0.5])
