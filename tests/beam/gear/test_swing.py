"""Retraction: moments from vectors, works from paths, locks from levers."""

from dataclasses import replace

import numpy as np
import pytest
from gear_landing import DOOR, FLIGHT, SKEWED_GEAR
from numpy.testing import assert_allclose
from scipy.constants import g
from scipy.integrate import quad
from scipy.spatial.transform import Rotation

from beam.gear import Curve, PivotAxis, RetractingGear, lock_load, swing

X, Y, Z = np.eye(3)


def pendulum(**changes):
    """One mass of 20 kg on 0.8 m, hanging from a hinge fore and aft; the actuator inboard of it."""
    numbers = {
        "axis": PivotAxis(point=np.zeros(3), direction=-X, angle=np.radians(100.0)),
        "mass": [20.0],
        "center": [[0.0, 0.0, -0.8]],
        "actuator_on_gear": [0.0, -0.05, -0.25],
        "actuator_on_airplane": [0.0, -0.5, 0.5],
    }
    return RetractingGear(**(numbers | changes))


def test_a_slow_pendulum_is_statics():
    # m g l sin q, closed form; the actuator's arm by the cross product of its line
    found = swing(pendulum(), duration=120.0)
    moment = 20.0 * g * 0.8 * np.sin(found.angle)
    assert_allclose(found.weight, -moment, atol=1e-9)
    turn = Rotation.from_rotvec(np.outer(found.angle, -X))
    lug, fixed = turn.apply([0.0, -0.05, -0.25]), np.array([0.0, -0.5, 0.5])
    line = (lug - fixed) / np.linalg.norm(lug - fixed, axis=1)[:, np.newaxis]
    arm = np.cross(lug, line) @ -X
    assert_allclose(found.force * arm, moment, atol=0.05)
    # the lug is drawn toward the airplane: it pulls
    assert found.force[200] < 0
    assert_allclose(found.length, np.linalg.norm(lug - fixed, axis=1), rtol=1e-12)


def test_a_fast_pendulum_adds_its_inertia():
    fast, slow = (swing(pendulum(own_inertia=0.7), duration=t) for t in (1.5, 120.0))
    inertia = 20.0 * 0.8**2 + 0.7
    arm = pendulum().actuator_arm(fast.angle)
    assert_allclose(
        (fast.force - slow.force) * arm,
        inertia * (fast.angle_acceleration - slow.angle_acceleration),
        atol=1e-9,
    )
    assert_allclose(np.gradient(fast.angle, fast.time)[1:-1], fast.angle_rate[1:-1], atol=2e-3)
    assert_allclose(np.gradient(fast.angle_rate, fast.time)[1:-1], fast.angle_acceleration[1:-1], atol=2e-2)
    assert np.abs(fast.angle_acceleration).max() == pytest.approx(
        2 * np.pi * np.radians(100) / 1.5**2, rel=1e-4
    )
    assert_allclose(fast.angle_rate[[0, -1]], 0, atol=1e-12)


def test_the_gear_swings_freely_as_a_pendulum_does():
    # without an actuator J q'' = weight moment: small swings of a bar about its end, omega^2 = 3 g / (2 l), closed form
    length, m = 0.9, 12.0
    bar = pendulum(mass=[m], center=[[0.0, 0.0, -length / 2]], own_inertia=m * length**2 / 12)
    q = 1e-4
    assert -float(bar.weight_moment(q)) / bar.inertia / q == pytest.approx(1.5 * g / length, rel=1e-7)


@pytest.mark.parametrize("extending", [False, True])
def test_work_of_the_actuator_is_weight_air_and_friction(extending):
    gear = pendulum(
        axis=PivotAxis(point=[0.0, 0.0, 0.0], direction=[-0.9, 0.3, 0.1], angle=1.6),
        mass=[12.0, 6.0],
        center=[[0.05, 0.1, -0.8], [0.0, 0.02, -0.4]],
        own_inertia=0.4,
        drag_area=0.08,
        drag_center=[0.02, 0.05, -0.6],
        pivot_friction=9.0,
    )
    found = swing(gear, duration=2.0, dynamic_pressure=1500.0, extending=extending, steps=2000)
    ends = (
        gear.axis.at(gear.center[0], found.angle[[0, -1]]),
        gear.axis.at(gear.center[1], found.angle[[0, -1]]),
    )
    lifted = g * (12.0 * (ends[0][1, 2] - ends[0][0, 2]) + 6.0 * (ends[1][1, 2] - ends[1][0, 2]))
    drag = gear.axis.at(gear.drag_center, found.angle[[0, -1]])
    against = -1500.0 * 0.08 * (drag[1, 0] - drag[0, 0])
    # it starts and ends at rest: no kinetic energy is left
    assert found.work == pytest.approx(lifted + against + 9.0 * 1.6, rel=1e-4)
    arm = gear.actuator_arm(found.angle)
    total = found.force * arm + found.weight + found.air + found.friction + found.inertia
    assert_allclose(total, 0, atol=1e-9)
    assert_allclose(np.gradient(found.length, found.angle)[1:-1], arm[1:-1], atol=1e-4)


def test_air_load_pushes_aft_and_hides_in_the_bay():
    # a hinge athwart, leg straight down, stowing aft: the wind helps, and less so as the leg goes into its bay
    axis = PivotAxis(point=np.zeros(3), direction=-Y, angle=np.pi / 2)
    assert_allclose(axis.at([0, 0, -1.0], np.pi / 2), X, atol=1e-12)
    numbers = {
        "axis": axis,
        "center": [[0.0, 0.0, -0.8]],
        "actuator_on_gear": [0.05, 0.0, -0.25],
        "actuator_on_airplane": [0.6, 0.0, 0.2],
        "drag_area": 0.1,
        "drag_center": [0.0, 0.0, -0.7],
    }
    open_wind = pendulum(**numbers)
    q = np.array([0.0, np.pi / 4, np.pi / 2])
    assert_allclose(open_wind.air_moment(q, 1000.0), 100.0 * 0.7 * np.cos(q), atol=1e-9)
    bay = pendulum(**numbers, exposure=Curve(x=[0.0, 1.0], y=[1.0, 0.0]))
    assert_allclose(bay.air_moment(q, 1000.0), 100.0 * 0.7 * np.cos(q) * [1, 0.5, 0], atol=1e-9)


def test_load_factor_scales_the_weight_and_turns_with_the_airplane():
    gear, q = pendulum(), np.array([0.3, 1.2])
    assert_allclose(gear.weight_moment(q, (0, 0, 2.0)), 2 * gear.weight_moment(q))
    # an acceleration of the airplane to starboard leaves the wheel behind, to port: toward stowed here
    assert_allclose(gear.weight_moment(q, (0, 1.0, 0)), 20 * g * 0.8 * np.cos(q), atol=1e-9)


def test_lock_load_is_a_lever():
    # stowed flat at 90 deg, the mass 0.8 m inboard; a hook 0.5 m inboard lifts straight up: 20 g n 0.8 / 0.5
    gear = pendulum(axis=PivotAxis(point=np.zeros(3), direction=-X, angle=np.pi / 2))
    moment = gear.weight_moment(np.pi / 2, (0, 0, 3.0))
    found = lock_load(gear.axis, np.pi / 2, moment, lock_at=[0, 0, -0.5], lock_line=[0, 0, 2.0])
    assert float(found) == pytest.approx(20 * g * 3.0 * 0.8 / 0.5)
    with pytest.raises(ValueError, match="passes through the axis"):
        lock_load(gear.axis, np.pi / 2, moment, lock_at=[0, 0, -0.5], lock_line=[0, 1.0, 0])
    with pytest.raises(ValueError, match="not zero"):
        lock_load(gear.axis, np.pi / 2, moment, lock_at=[0, 0, -0.5], lock_line=[0, 0, 0])


@pytest.mark.parametrize("extending", [False, True])
def test_vectors_of_all_forces_turn_the_gear(extending):
    # every force as a vector at its turned place, its moment about the axis by the cross product: J q'' is the sum
    found = swing(SKEWED_GEAR, duration=2.0, extending=extending, **FLIGHT)
    n, point = SKEWED_GEAR.axis.direction, SKEWED_GEAR.axis.point
    turn = Rotation.from_rotvec(np.outer(found.angle, n))

    def about(place, force):
        return np.cross(turn.apply(np.asarray(place) - point), force) @ n

    def rod(on_gear, on_airplane):
        line = turn.apply(np.asarray(on_gear) - point) + point - np.asarray(on_airplane)
        return line / np.linalg.norm(line, axis=1)[:, np.newaxis]

    slip = np.radians(12.0)
    total = about([0.02, 0.05, -0.6], 1500.0 * np.array([0.08 * np.cos(slip), 0.2 * np.sin(slip), 0.0]))
    for mass, center in zip(SKEWED_GEAR.mass, SKEWED_GEAR.center, strict=True):
        total = total - mass * g * about(center, np.array([0.1, -0.2, 1.8]))
    push = found.force[:, np.newaxis] * rod([0.0, -0.05, -0.25], [0.0, -0.5, 0.5])
    total = total + about([0.0, -0.05, -0.25], push)
    door = DOOR.force(found.angle / 1.6)[:, np.newaxis] * rod(DOOR.on_gear, DOOR.on_airplane)
    total = total + about(DOOR.on_gear, door)
    # the wheel rolls forward about its axle to port; what stops it drags the leg the way it spins
    axle = np.array([-0.05, 1.0, -0.1]) / np.linalg.norm([0.05, 1.0, 0.1])
    braked = found.time <= 0.3 * 150.0 / 60.0
    total = total + np.where(braked, 60.0 * turn.apply(-axle) @ n, 0.0)
    total = total + (9.0 if extending else -9.0)
    assert braked.any()
    assert not braked.all()
    assert_allclose(
        total, SKEWED_GEAR.inertia * found.angle_acceleration, atol=1e-9 * np.abs(total).max() + 1e-9
    )


def test_work_is_raised_weight_wind_brake_door_and_friction():
    found = swing(SKEWED_GEAR, duration=2.0, steps=4000, **FLIGHT)
    axis, ends = SKEWED_GEAR.axis, found.angle[[0, -1]]
    n = np.array([0.1, -0.2, 1.8])
    raised = sum(
        m * g * np.diff(axis.at(c, ends) @ n)[0]
        for m, c in zip(SKEWED_GEAR.mass, SKEWED_GEAR.center, strict=True)
    )
    slip = np.radians(12.0)
    wind = 1500.0 * np.array([0.08 * np.cos(slip), 0.2 * np.sin(slip), 0.0])
    blown = np.diff(axis.at(SKEWED_GEAR.drag_center, ends) @ wind)[0]

    def door_length(q):
        return float(np.linalg.norm(axis.at(DOOR.on_gear, q) - DOOR.on_airplane))

    def door_power(q):
        return float(DOOR.force(q / 1.6)) * (door_length(q + 1e-6) - door_length(q - 1e-6)) / 2e-6

    dragged = quad(door_power, 1e-6, 1.6 - 1e-6, points=[0.64], epsrel=1e-9)[0]
    stopped = float(np.interp(0.3 * 150.0 / 60.0, found.time, found.angle))
    braked = SKEWED_GEAR.brake_moment(60.0) * stopped
    assert abs(braked) > 1.0
    # at rest at both ends: no kinetic energy of the swing is left
    assert found.work == pytest.approx(raised - blown - dragged - braked + 9.0 * 1.6, rel=1e-5)
    assert found.energy_error < 1e-5
    coarse = swing(SKEWED_GEAR, duration=2.0, steps=10, **FLIGHT)
    assert coarse.energy_error > 10 * found.energy_error


def test_the_brake_hands_the_spin_of_the_wheel_to_the_leg():
    # hinge athwart, stowing aft: the bottom of a wheel that rolls forward goes aft, and takes the leg along
    aft = replace(
        SKEWED_GEAR,
        axis=PivotAxis(point=np.zeros(3), direction=-Y, angle=1.5),
        wheel_axle=Y,
        actuator_on_airplane=[0.6, 0.0, 0.2],
        door=None,
    )
    found = swing(aft, duration=2.0, wheel_speed=150.0, brake_torque=60.0)
    assert found.brake[0] == pytest.approx(60.0)
    # angular momentum: the impulse of the brake is what the wheel had
    assert np.trapezoid(found.brake, found.time) == pytest.approx(0.3 * 150.0, rel=1e-6)
    assert found.brake[-1] == 0
    weak = swing(aft, duration=2.0, wheel_speed=150.0, brake_torque=6.0)
    assert_allclose(weak.brake, 6.0)
    assert (swing(aft, duration=2.0, brake_torque=60.0).brake == 0).all()
    # a wheel folded inboard about a fore and aft hinge: the couple is square to the hinge
    inboard = replace(SKEWED_GEAR, axis=PivotAxis(point=np.zeros(3), direction=-X, angle=1.5), wheel_axle=Y)
    assert inboard.brake_moment(60.0) == pytest.approx(0.0, abs=1e-12)
    # either way round, an axle is the same axle
    assert replace(aft, wheel_axle=-Y).brake_moment(60.0) == pytest.approx(60.0)


def test_wind_from_port_pushes_a_hanging_leg_to_starboard():
    # hinge fore and aft, stowing inboard (port): p S sin(b) on an arm of 0.7 m, against stowing when the leg hangs down
    gear = replace(
        SKEWED_GEAR,
        axis=PivotAxis(point=np.zeros(3), direction=-X, angle=1.5),
        drag_center=[0.0, 0.0, -0.7],
        door=None,
    )
    q = np.array([0.0, 0.5, 1.5])
    moment = 1000.0 * 0.2 * np.sin(np.radians(10)) * 0.7
    assert_allclose(gear.air_moment(q, 1000.0, 10.0), -moment * np.cos(q), atol=1e-9)
    assert_allclose(gear.air_moment(q, 1000.0, -10.0), moment * np.cos(q), atol=1e-9)
    # without a side area the drag lies along the wind
    assert replace(gear, side_area=None).broadside == 0.08


def test_the_lock_holds_what_the_actuator_held():
    # at rest just before the lock takes over, actuator and lock hold one moment
    angle, wind = SKEWED_GEAR.axis.angle, {"dynamic_pressure": 1500.0, "sideslip_deg": 12.0}
    held = SKEWED_GEAR.held_moment(angle, load_factor=(0, 0, 2.0), **wind)
    slow = swing(replace(SKEWED_GEAR, pivot_friction=0.0), duration=120.0, load_factor=(0, 0, 2.0), **wind)
    line = SKEWED_GEAR.axis.at(SKEWED_GEAR.actuator_on_gear, angle) - SKEWED_GEAR.actuator_on_airplane
    found = lock_load(SKEWED_GEAR.axis, angle, held, lock_at=SKEWED_GEAR.actuator_on_gear, lock_line=line)
    assert float(found) == pytest.approx(slow.force[-1], rel=1e-9)
    # and the couple of a brake that is on adds to it
    braked = SKEWED_GEAR.held_moment(angle, load_factor=(0, 0, 2.0), brake_torque=60.0, **wind)
    assert float(braked - held) == pytest.approx(SKEWED_GEAR.brake_moment(60.0), rel=1e-9)


def test_push_and_pull_are_the_ends_of_the_force():
    found = swing(SKEWED_GEAR, duration=2.0, **FLIGHT)
    assert found.pull == pytest.approx(-found.force.min())
    assert found.push == max(found.force.max(), 0.0)
    assert replace(found, force=np.abs(found.force)).pull == 0


DEGREES = {"x": [0.0, 90.0], "y": [0.5, 1.0]}


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"wheel_axle": [1.0, 0.1, 0.0]}, r"wheel_axle.*athwart"),
        ({"wheel_axle": np.zeros(3)}, r"wheel_axle.*not zero"),
        ({"drag_center": None}, "drag_center"),
        ({"drag_area": 0.0, "drag_center": None}, "drag_center"),
        ({"exposure": Curve(**DEGREES)}, r"exposure.*degrees"),
        ({"exposure": Curve(x=[0.0, 1.0], y=[1.1, 0.0])}, r"exposure.*percent"),
        ({"exposure": Curve(x=[0.0, 1.0], y=[1.0, -0.1])}, r"exposure.*percent"),
        ({"actuator_on_airplane": [0.0, 0.5, 0.5]}, "dead center"),
        ({"mass": [1.0]}, "1 masses and 2 centers"),
        ({"mass": [], "center": np.zeros((0, 3))}, "at least one"),
        ({"center": [[50.0, 100.0, -800.0], [0.0, 20.0, -400.0]]}, r"center.*mm"),
    ],
)
def test_bad_gears_are_refused(change, message):
    with pytest.raises(ValueError, match=message):
        replace(SKEWED_GEAR, **change)


def test_a_door_force_over_degrees_is_refused():
    # the curve keeps its end values: the force of the first degree would act all the way
    with pytest.raises(ValueError, match=r"DoorRod: force.*degrees"):
        replace(DOOR, force=Curve(**DEGREES))


def test_a_gear_without_air_loads_needs_no_drag_center():
    bare = replace(SKEWED_GEAR, drag_area=0.0, side_area=None, drag_center=None)
    assert_allclose(bare.air_moment([0.0, 1.0], 1500.0), [0.0, 0.0])


def test_level_flight_at_rest_is_the_usual_case():
    level = SKEWED_GEAR.weight_moment(0.7, (0.0, 0.0, 1.0))
    assert SKEWED_GEAR.weight_moment(0.7) == level
    bare = replace(SKEWED_GEAR, door=None)
    assert bare.held_moment(0.7) == level
    assert_allclose(swing(bare, duration=2.0).weight, bare.weight_moment(swing(bare, duration=2.0).angle))
    assert (swing(bare, duration=2.0).air == 0).all()


@pytest.mark.parametrize(
    ("name", "limit", "beyond"),
    [
        ("own_inertia", 1e4, 1.01e4),
        ("drag_area", 5.0, 5.1),
        ("side_area", 0.0, -0.01),
        ("pivot_friction", 1e6, 1.01e6),
        ("wheel_inertia", 100.0, 101.0),
    ],
)
def test_limits_of_a_gear(name, limit, beyond):
    replace(SKEWED_GEAR, **{name: limit})
    with pytest.raises(ValueError, match=name):
        replace(SKEWED_GEAR, **{name: beyond})


@pytest.mark.parametrize(
    ("name", "limit", "beyond"),
    [
        ("duration", 0.05, 0.049),
        ("duration", 120.0, 121.0),
        ("dynamic_pressure", 5e4, 5.1e4),
        ("sideslip_deg", 45.0, 45.1),
        ("sideslip_deg", -45.0, -45.1),
        ("wheel_speed", 1e3, 1001.0),
        ("brake_torque", 1e5, 1.01e5),
        ("steps", 10, 9),
    ],
)
def test_limits_of_a_swing(name, limit, beyond):
    swing(SKEWED_GEAR, **{"duration": 2.0, "steps": 10, **FLIGHT, name: limit})
    with pytest.raises(ValueError, match=name):
        swing(SKEWED_GEAR, **{"duration": 2.0, "steps": 10, **FLIGHT, name: beyond})


def test_a_lock_is_at_one_of_the_ends():
    lock = {"lock_at": [0.0, 0.3, -0.5], "lock_line": [0.2, 0.1, 1.0]}
    lock_load(SKEWED_GEAR.axis, 1.6, 100.0, **lock)
    with pytest.raises(ValueError, match=r"angle.*<= 1.6; given in degrees"):
        lock_load(SKEWED_GEAR.axis, 1.61, 100.0, **lock)


def test_a_brake_without_a_wheel_is_refused():
    with pytest.raises(
        ValueError, match=r"wheel: got.*an axle and an inertia above zero, where there is a brake"
    ):
        swing(replace(SKEWED_GEAR, wheel_axle=None), duration=2.0, wheel_speed=100.0, brake_torque=50.0)


def test_steps_of_time_are_equal_and_as_many_as_asked():
    assert_allclose(swing(pendulum(), duration=6.0, steps=12).time, 0.5 * np.arange(13), rtol=1e-15)
