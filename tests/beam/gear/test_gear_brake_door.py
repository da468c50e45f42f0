"""Retraction with a braked wheel, sideslip and a door rod: moments from vectors, works from paths."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.constants import g, inch, pound_force
from scipy.integrate import quad
from scipy.spatial.transform import Rotation

from beam.gear import Curve, DoorRod, PivotAxis, RetractingGear, lock_load, swing

X, Y, Z = np.eye(3)
DOOR = DoorRod(
    on_gear=[0.05, 0.1, -0.3],
    on_airplane=[0.1, 0.45, -0.1],
    force=Curve(x=[0.0, 0.4, 1.0], y=[-200.0, 50.0, 600.0]),
)
# an axis that leans every way, so that every load has a part about it
SKEWED = RetractingGear(
    axis=PivotAxis(point=[0.1, 0.0, 0.05], direction=[-0.8, 0.5, 0.2], angle=1.6),
    mass=[12.0, 6.0],
    center=[[0.05, 0.1, -0.8], [0.0, 0.02, -0.4]],
    own_inertia=0.4,
    actuator_on_gear=[0.0, -0.05, -0.25],
    actuator_on_airplane=[0.0, -0.5, 0.5],
    drag_area=0.08,
    side_area=0.2,
    drag_center=[0.02, 0.05, -0.6],
    pivot_friction=9.0,
    wheel_axle=[0.05, -1.0, 0.1],
    wheel_inertia=0.3,
    door=DOOR,
)
FLIGHT = {
    "load_factor": (0.1, -0.2, 1.8),
    "dynamic_pressure": 1500.0,
    "sideslip_deg": 12.0,
    "wheel_speed": 150.0,
    "brake_torque": 60.0,
}


@pytest.mark.parametrize("extending", [False, True])
def test_vectors_of_all_forces_turn_the_gear(extending):
    # every force as a vector at its turned place, its moment about the axis by the cross product: J q'' is the sum
    found = swing(SKEWED, duration=2.0, extending=extending, **FLIGHT)
    n, point = SKEWED.axis.direction, SKEWED.axis.point
    turn = Rotation.from_rotvec(np.outer(found.angle, n))

    def about(place, force):
        return np.cross(turn.apply(np.asarray(place) - point), force) @ n

    def rod(on_gear, on_airplane):
        line = turn.apply(np.asarray(on_gear) - point) + point - np.asarray(on_airplane)
        return line / np.linalg.norm(line, axis=1)[:, np.newaxis]

    slip = np.radians(12.0)
    total = about([0.02, 0.05, -0.6], 1500.0 * np.array([0.08 * np.cos(slip), 0.2 * np.sin(slip), 0.0]))
    for mass, center in zip(SKEWED.mass, SKEWED.center, strict=True):
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
    assert_allclose(total, SKEWED.inertia * found.angle_acceleration, atol=1e-9 * np.abs(total).max() + 1e-9)


def test_work_is_raised_weight_wind_brake_door_and_friction():
    found = swing(SKEWED, duration=2.0, steps=4000, **FLIGHT)
    axis, ends = SKEWED.axis, found.angle[[0, -1]]
    n = np.array([0.1, -0.2, 1.8])
    raised = sum(
        m * g * np.diff(axis.at(c, ends) @ n)[0] for m, c in zip(SKEWED.mass, SKEWED.center, strict=True)
    )
    slip = np.radians(12.0)
    wind = 1500.0 * np.array([0.08 * np.cos(slip), 0.2 * np.sin(slip), 0.0])
    blown = np.diff(axis.at(SKEWED.drag_center, ends) @ wind)[0]

    def door_length(q):
        return float(np.linalg.norm(axis.at(DOOR.on_gear, q) - DOOR.on_airplane))

    def door_power(q):
        return float(DOOR.force(q / 1.6)) * (door_length(q + 1e-6) - door_length(q - 1e-6)) / 2e-6

    dragged = quad(door_power, 1e-6, 1.6 - 1e-6, points=[0.64], epsrel=1e-9)[0]
    stopped = float(np.interp(0.3 * 150.0 / 60.0, found.time, found.angle))
    braked = SKEWED.brake_moment(60.0) * stopped
    assert abs(braked) > 1.0
    # at rest at both ends: no kinetic energy of the swing is left
    assert found.work == pytest.approx(raised - blown - dragged - braked + 9.0 * 1.6, rel=1e-5)
    assert found.energy_error < 1e-5
    coarse = swing(SKEWED, duration=2.0, steps=10, **FLIGHT)
    assert coarse.energy_error > 10 * found.energy_error


def test_the_brake_hands_the_spin_of_the_wheel_to_the_leg():
    # hinge athwart, stowing aft: the bottom of a wheel that rolls forward goes aft, and takes the leg along
    aft = replace(
        SKEWED,
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
    inboard = replace(SKEWED, axis=PivotAxis(point=np.zeros(3), direction=-X, angle=1.5), wheel_axle=Y)
    assert inboard.brake_moment(60.0) == pytest.approx(0.0, abs=1e-12)
    # either way round, an axle is the same axle
    assert replace(aft, wheel_axle=-Y).brake_moment(60.0) == pytest.approx(60.0)


def test_wind_from_port_pushes_a_hanging_leg_to_starboard():
    # hinge fore and aft, stowing inboard (port): p S sin(b) on an arm of 0.7 m, against stowing when the leg hangs down
    gear = replace(
        SKEWED,
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
    angle, wind = SKEWED.axis.angle, {"dynamic_pressure": 1500.0, "sideslip_deg": 12.0}
    held = SKEWED.held_moment(angle, load_factor=(0, 0, 2.0), **wind)
    slow = swing(replace(SKEWED, pivot_friction=0.0), duration=120.0, load_factor=(0, 0, 2.0), **wind)
    line = SKEWED.axis.at(SKEWED.actuator_on_gear, angle) - SKEWED.actuator_on_airplane
    found = lock_load(SKEWED.axis, angle, held, lock_at=SKEWED.actuator_on_gear, lock_line=line)
    assert float(found) == pytest.approx(slow.force[-1], rel=1e-9)
    # and the couple of a brake that is on adds to it
    braked = SKEWED.held_moment(angle, load_factor=(0, 0, 2.0), brake_torque=60.0, **wind)
    assert float(braked - held) == pytest.approx(SKEWED.brake_moment(60.0), rel=1e-9)


def test_push_and_pull_are_the_ends_of_the_force():
    found = swing(SKEWED, duration=2.0, **FLIGHT)
    assert found.pull == pytest.approx(-found.force.min())
    assert found.push == max(found.force.max(), 0.0)
    assert replace(found, force=np.abs(found.force)).pull == 0


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"wheel_axle": [1.0, 0.1, 0.0]}, r"wheel_axle.*athwart"),
        ({"wheel_axle": np.zeros(3)}, r"wheel_axle.*not zero"),
        ({"wheel_inertia": -1.0}, "wheel_inertia"),
        ({"side_area": -0.1}, "side_area"),
        ({"drag_area": 0.0, "drag_center": None}, "drag_center"),
        ({"door": 5.0}, "door.*DoorRod"),
        ({"exposure": 0.5}, "exposure.*Curve"),
    ],
)
def test_bad_gears_are_refused(change, message):
    with pytest.raises(ValueError, match=message):
        replace(SKEWED, **change)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"wheel_speed": -1.0}, "wheel_speed"),
        ({"wheel_speed": 3000.0}, r"wheel_speed.*rpm"),
        ({"brake_torque": -5.0}, "brake_torque"),
        ({"sideslip_deg": 80.0}, "sideslip_deg"),
        ({"extending": "yes"}, "extending"),
        ({"steps": 12.5}, "steps"),
    ],
)
def test_bad_swings_are_refused(change, message):
    with pytest.raises(ValueError, match=message):
        swing(SKEWED, duration=2.0, **FLIGHT | change)


def test_a_brake_without_a_wheel_is_refused():
    with pytest.raises(
        ValueError, match=r"wheel: got.*an axle and an inertia above zero, where there is a brake"
    ):
        swing(replace(SKEWED, wheel_axle=None), duration=2.0, wheel_speed=100.0, brake_torque=50.0)


def test_the_swing_is_drawn():
    import matplotlib

    matplotlib.use("Agg")
    from matplotlib import pyplot as plt

    from beam.gear.plots import plot_swing

    found = swing(SKEWED, duration=2.0, **FLIGHT)
    for units, newton, meter in (("SI", 1e3, 1e3), ("US", pound_force, pound_force * inch)):
        force, moments = plot_swing(found, units=units)
        assert_allclose(force.get_lines()[0].get_ydata(), found.force / newton)
        drawn = {line.get_label(): line.get_ydata() for line in moments.get_lines()}
        for name in ("weight", "inertia", "air", "friction", "brake", "door"):
            assert_allclose(drawn[name], getattr(found, name) / meter)
    # what is not there is not drawn
    bare = swing(replace(SKEWED, door=None), duration=2.0)
    names = {line.get_label() for line in plot_swing(bare)[1].get_lines()}
    assert not {"brake", "door", "air"} & names
    with pytest.raises(ValueError, match="units"):
        plot_swing(found, units="metric")
    plt.close("all")
