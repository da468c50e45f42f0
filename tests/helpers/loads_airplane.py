"""The invented tourer with some fields changed, a way to invent other airplanes, and rows of a table of cases."""

from dataclasses import replace
from typing import Any

import numpy as np
from hypothesis import strategies as st
from tourer import TOURER

from beam.loads import Airplane


def tourer(**changes: Any) -> Airplane:
    """Return the invented tourer with fixed gear, and some fields changed."""
    return replace(TOURER, **{"flight_gear": None} | changes)


def rows(cases: Any, condition: str, **where: Any) -> Any:
    """Return the rows of a condition with the given values in other columns; at least one."""
    found = cases[cases.condition == condition]
    for column, value in where.items():
        found = found[found[column] == value]
    assert len(found)
    return found


def wheels(cases: Any, condition: str, cg: str = "aft") -> Any:
    """Return the loads of a condition by leg."""
    (case,) = [case for case in cases if case.condition == condition and case.cg == cg]
    return {wheel.leg: wheel for wheel in case.wheels}


@st.composite
def airplanes(draw: Any) -> Airplane:
    """Draw a believable airplane, on axes with any origin and any pitch."""

    def between(low: float, high: float) -> float:
        return float(draw(st.floats(low, high, allow_nan=False)))

    wheelbase, height = between(1.2, 3.0), between(0.7, 1.6)
    aft = wheelbase * between(0.05, 0.12)
    forward = aft + wheelbase * between(0.0, 0.15)
    pitch = np.radians(between(-4.0, 4.0))
    turn = np.array([[np.cos(pitch), 0, -np.sin(pitch)], [0, 1, 0], [np.sin(pitch), 0, np.cos(pitch)]])
    origin = np.array([between(-2.0, 5.0), 0.0, between(-1.0, 2.0)])
    points = {
        "cg_forward": (wheelbase - forward, 0.0, height),
        "cg_aft": (wheelbase - aft, 0.0, height + between(-0.1, 0.1)),
        "nose_contact": (0.0, 0.0, 0.0),
        "main_contact": (wheelbase, between(0.6, 1.6), 0.0),
    }
    x2, y2, z2 = (between(0.3, 2.0) for _ in range(3))  # mean squares of the mass distribution
    mass, speed = between(300.0, 5000.0), between(18.0, 35.0)
    landing = mass * between(0.9, 1.0)
    return Airplane(
        max_mass=mass,
        landing_mass=landing,
        wing_area=landing * 9.80665 / (0.6125 * speed**2 * between(1.2, 2.2)),
        stall_speed=speed,
        main_wheel_radius=between(0.12, 0.3),
        nose_wheel_radius=between(0.12, 0.3),
        tail_down_angle_deg=float(np.degrees(pitch)) + between(6.0, 14.0),
        moments_of_inertia=(mass * (y2 + z2), mass * (z2 + x2), mass * (x2 + y2)),
        main_tire_pressure=between(1.5e5, 4e5),
        **{name: tuple(turn @ np.array(point) + origin) for name, point in points.items()},
    )
