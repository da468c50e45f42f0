"""The airplane sheet: what stops at construction, and that the axes it is written in do not matter."""

import dataclasses

import numpy as np
import pytest
from calls_loads import LEG, SHEET
from hypothesis import given, settings
from hypothesis import strategies as st
from loads_airplane import airplanes, tourer
from scipy.constants import foot, g, knot, pound

from beam.loads import (
    Airplane,
    FlightGear,
    Landing,
    airplane_axes,
    ground_axes,
    ground_cases,
    stance,
    static_reactions,
)
from beam.loads.airplane import least_landing_mass


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"wing_area": 11.8 / foot**2}, "square feet"),
        ({"wing_area": 11.8 / foot**2, "stall_speed": 9.0}, r"wing loading.*square feet"),
        ({"wing_area": 1.0}, "wing loading"),
        ({"stall_speed": 29.0 / knot}, "knots"),
        ({"stall_speed": 29.0 * 3.6}, "km/h"),
        ({"stall_speed": 10.0}, "too small"),
        ({"max_mass": 1240.0 / pound * 9}, "pounds"),
        ({"max_mass": 1240.0 / pound, "landing_mass": 1180.0 / pound}, "masses given in pounds"),
        ({"max_mass": 1240.0 * g, "landing_mass": 1180.0 * g}, "pounds or newtons"),
        ({"landing_mass": 1300.0}, r"landing_mass \[kg\].*<= 1240"),
        ({"cg_aft": (2.84, 0, 0.2)}, "sits on its tail"),
        ({"cg_aft": (2.83, 0, 0.2)}, "sits on its tail"),
        ({"cg_forward": (0.81, 0, 0.2)}, "ahead of the nose wheel"),
        ({"cg_forward": (2.52, 0, 0.2)}, "swapped"),
        ({"cg_aft": (2.51, 0, -0.9)}, "below the ground"),
        ({"cg_aft": (2.51, 0.1, 0.2)}, "symmetric"),
        ({"nose_contact": (0.82, 0.3, -0.85)}, "symmetric"),
        ({"main_contact": (2.83, -1.05, -0.85)}, "starboard"),
        ({"main_contact": (2.83, 0.0, -0.85)}, "starboard"),
        ({"main_contact": (0.5, 1.05, -0.85)}, "nose-wheel airplanes"),
        ({"main_contact": (2830.0, 1.05, -0.85)}, "mm or inches"),
        ({"main_wheel_radius": 190.0}, "mm or inches"),
        ({"main_wheel_radius": 1.9e-4}, "mm"),
        ({"main_wheel_radius": 1.1}, r"main_wheel_radius.*up to the c\.g\."),
        ({"main_tire_pressure": 45.0}, "psi"),
        ({"main_tire_pressure": 3.1}, "bar"),
        ({"main_tire_pressure": 310.0}, "kPa"),
        ({"brake_torque": 0.4}, "kN m"),
        ({"steering_torque": 1e9}, "N mm"),
        ({"tail_down_angle_deg": 0.22}, "radians"),
        ({"tail_down_angle_deg": 0.0}, "nose must be up"),
        ({"tail_down_angle_deg": 45.0}, "below|< 30"),
        ({"moments_of_inertia": (1900.0, 2300.0, 39000.0)}, "sum of the other two"),
        ({"moments_of_inertia": (1.9, 2.3, 3.9)}, "other units"),
        ({"flight_gear": FlightGear(**LEG | {"stall_speed_clean": 28.0})}, r"stall_speed_clean.*V_S0"),
        ({"fuel_capacity": 2000.0}, "liters"),
    ],
)
def test_bad_sheet_stops_with_its_cause(changes, message):
    with pytest.raises(ValueError, match=message):
        tourer(**changes)


@pytest.mark.parametrize("lift", [1.55, 1.9, 2.3, 3.0])
def test_mistake_masses_in_pounds(lift):
    """With any flaps: a sheet that stands at a lift coefficient of 1.55 or more stalls above 3.3 in pounds."""
    speed = (1180.0 * g / 11.8 / (0.5 * 1.225 * lift)) ** 0.5
    tourer(stall_speed=speed)
    with pytest.raises(ValueError, match="masses given in pounds"):
        tourer(stall_speed=speed, max_mass=1240.0 / pound, landing_mass=1180.0 / pound)


@pytest.mark.parametrize("lift", [1.05, 1.9, 3.2])
@pytest.mark.parametrize(
    "slip", [{"stall_speed": 1 / knot}, {"wing_area": 1 / foot**2}, {"stall_speed": 3.6}]
)
def test_mistake_of_units_at_any_lift(lift, slip):
    speed = (1180.0 * g / 11.8 / (0.5 * 1.225 * lift)) ** 0.5
    wrong = {"stall_speed": speed, "wing_area": 11.8}
    with pytest.raises(ValueError, match=r"square feet|knots"):
        tourer(**{name: value * slip.get(name, 1.0) for name, value in wrong.items()})


@pytest.mark.parametrize("field", ["main_wheel_radius", "nose_wheel_radius", "tail_down_angle_deg"])
def test_unknown_field_stops_the_condition_that_needs_it(field):
    with pytest.raises(ValueError, match=f"{field}.*never guessed"):
        ground_cases(tourer(**{field: None}), Landing(load_factor=3.0))


def test_the_eight_required_fields_are_enough_to_stand():
    names = [f.name for f in dataclasses.fields(Airplane) if f.default is dataclasses.MISSING]
    assert len(names) == 8
    assert len(static_reactions(Airplane(**{name: SHEET[name] for name in names}))) == 4


def test_a_plane_body_has_the_largest_yaw_inertia_there_is():
    assert tourer(moments_of_inertia=(1900.0, 2300.0, 4200.0)).moments_of_inertia[2] == 4200.0


@pytest.mark.parametrize(("radius", "outside"), [(0.2, 0.999), (10.0, 1.001)])
def test_radii_of_gyration_from_200_mm_to_10_m_are_believed(radius, outside):
    inertia = np.full(3, radius**2 * tourer().max_mass)
    assert tourer(moments_of_inertia=inertia).moments_of_inertia.tolist() == inertia.tolist()
    with pytest.raises(ValueError, match="given in other units"):
        tourer(moments_of_inertia=outside * inertia)


@pytest.mark.parametrize(
    ("field", "slip", "message"),
    [
        ("take_off_speed", 130.0, "km/h"),
        ("sideslip_deg", 0.2, "radians"),
        ("retraction_rate", (28.0, 0.0, -11.0), "deg/s"),
        ("drag_area", 3.0, "square feet"),
        ("flight_load_factor", 1.0, "level flight"),
    ],
)
def test_slips_of_the_leg_in_flight(field, slip, message):
    with pytest.raises(ValueError, match=rf"{field}.*{message}"):
        FlightGear(**LEG | {field: slip})


@pytest.mark.parametrize(
    ("fuel", "half_hour", "lowest"),
    [
        (200.0, None, 1190.0),  # maximum less a quarter of the fuel
        (200.0, 40.0, 1178.0),  # 95 %: 200 >= 40 + 60
        (200.0, 141.0, 1190.0),  # 200 < 141 + 60
        (200.0, 140.0, 1178.0),  # exactly enough
        (400.0, 40.0, 1140.0),  # the lower of the two
    ],
)
def test_landing_mass_of_23_473_b(fuel, half_hour, lowest):
    assert least_landing_mass(1240.0, 1180.0, fuel, half_hour) == pytest.approx(lowest, rel=1e-15)
    given_fuel = {"fuel_capacity": fuel, "half_hour_fuel": half_hour}
    if lowest <= 1180.0:
        tourer(**given_fuel)
    else:
        with pytest.raises(ValueError, match=r"23\.473\(b\)"):
            tourer(**given_fuel)


def test_landing_mass_just_at_and_below_the_limit():
    tourer(landing_mass=1240.0 - 0.25 * 200.0, fuel_capacity=200.0)
    with pytest.raises(ValueError, match=r"23\.473\(b\)"):
        tourer(landing_mass=1240.0 - 0.25 * 200.0 - 1e-6, fuel_capacity=200.0)


def test_points_are_copied_and_frozen():
    point = np.array(SHEET["main_contact"])
    airplane = tourer(main_contact=point)
    point[0] = 99.0
    assert airplane.main_contact[0] == 2.83
    with pytest.raises(ValueError, match="read-only"):
        airplane.main_contact[0] = 1.0
    with pytest.raises(dataclasses.FrozenInstanceError):
        airplane.max_mass = 1.0


@settings(max_examples=8, deadline=None)
@given(airplane=airplanes(), shift=st.floats(-3, 3), tilt=st.floats(-5, 5))
def test_loads_do_not_depend_on_the_axes_of_the_sheet(airplane, shift, tilt):
    """Another origin changes nothing; axes pitched by `tilt` change the pitch in the table alone."""

    def moved(point):
        return tuple(ground_axes(point, tilt) + (shift, 0.0, shift))

    names = ("cg_forward", "cg_aft", "nose_contact", "main_contact")
    changes = {name: moved(getattr(airplane, name)) for name in names}
    other = dataclasses.replace(airplane, **changes, tail_down_angle_deg=airplane.tail_down_angle_deg - tilt)
    one, two = ground_cases(airplane, Landing(load_factor=3.0)), ground_cases(other, Landing(load_factor=3.0))
    weight = airplane.max_mass * 9.80665
    for column in ("Fx", "Fy", "Fz"):
        np.testing.assert_allclose(one[column], two[column], rtol=1e-9, atol=1e-9 * weight)
    np.testing.assert_allclose(one.attitude_deg, two.attitude_deg + tilt, atol=1e-9)


def test_ground_axes_turn_nose_up():
    """Nose up 90 deg: what pointed forward points up; what pointed up points aft."""
    np.testing.assert_allclose(ground_axes([-1.0, 0, 0], 90.0), [0, 0, 1], atol=1e-15)
    np.testing.assert_allclose(ground_axes([0, 0, 1.0], 90.0), [1, 0, 0], atol=1e-15)
    np.testing.assert_allclose(ground_axes([0, 1.0, 0], 37.0), [0, 1, 0], atol=1e-15)
    v, angles = np.random.default_rng(1).normal(size=(4, 5, 3)), np.array([-7.0, 0.0, 3.0, 12.0, 80.0])
    there = ground_axes(v, angles)
    assert there.shape == (4, 5, 3)
    np.testing.assert_allclose(airplane_axes(there, angles), v, atol=1e-14)
    np.testing.assert_allclose(there[2, 3], ground_axes(v[2, 3], 12.0), rtol=1e-15)


def test_sloping_contacts_are_measured_along_the_ground():
    """A nose leg 0.1 m longer sits the airplane nose up; arms are along the ground line it stands on."""
    airplane = tourer(nose_contact=(0.82, 0, -0.95))
    assert airplane.level_attitude_deg == pytest.approx(np.degrees(np.arctan(0.1 / 2.01)))
    at = stance(airplane, "aft")
    assert at.wheelbase == pytest.approx(np.hypot(2.01, 0.1))
    assert airplane.wheelbase == pytest.approx(at.wheelbase)
    # distance from a point to a line, by the area of the triangle
    nose, main, cg = ((0.82, -0.95), (2.83, -0.85), (2.51, 0.2))
    area = (main[0] - nose[0]) * (cg[1] - nose[1]) - (cg[0] - nose[0]) * (main[1] - nose[1])
    assert at.height == pytest.approx(area / np.hypot(2.01, 0.1))


def test_static_reactions_sum_and_share():
    table = static_reactions(tourer())
    np.testing.assert_allclose(table.nose + 2 * table.main, table.mass * 9.80665, rtol=1e-14)
    np.testing.assert_allclose(table.main_share.iloc[:2], [1.61 / 2.01, 1.69 / 2.01], rtol=1e-12)
    assert len(static_reactions(tourer(landing_mass=1240.0))) == 2
