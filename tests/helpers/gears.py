"""Gears for the tests: a believable trailing link, a skewed one, and the limit that moves straight up and down."""

from dataclasses import replace

import numpy as np
from tourer import GEAR

from beam.gear import CurveSpring, MainGear, Orifice, Shock, Tire, TrailingLink


def trailing_gear(*, hinge=(0.0, 1.0, 0.0), wheel_axis=(0.0, 1.0, 0.0), shift=(0.0, 0.0, 0.0), rotate=None):
    """The gear of `examples/tourer.py`; `rotate` turns and `shift` moves all of it."""
    rotate = np.eye(3) if rotate is None else rotate

    def place(x, y, z):
        return rotate @ np.array([x, y, z]) + shift

    link = TrailingLink(
        pivot=place(0.0, 0.94, -0.55),
        axle=place(0.205, 1.05, -0.77),
        shock_on_link=place(0.123, 0.92, -0.685),
        shock_on_strut=place(0.055, 0.80, -0.253),
        hinge=rotate @ hinge,
        wheel_axis=rotate @ wheel_axis,
    )
    return replace(GEAR, link=link, link_center=None)


SKEW = {"hinge": (0.12, 0.97, 0.20), "wheel_axis": (0.03, 1.0, -0.05)}
"""A hinge that leans aft and up, and an axle with some toe and camber."""


def upright_gear(
    *, spring, damper=None, max_stroke=0.5, tire_stiffness=1e10, wheel_mass=1e-3, arm=1000.0, friction=0.0
):
    """A link so long that wheel and shock move straight up and down together; a very stiff tire."""
    link = TrailingLink(
        pivot=(-arm, 0.0, 0.0),
        axle=(0.0, 0.0, 0.0),
        shock_on_link=(0.0, 0.0, 0.0),
        shock_on_strut=(0.0, 0.0, 1.0),
    )
    shock = Shock(
        spring=spring,
        damper=Orifice(compression=0.0, extension=0.0) if damper is None else damper,
        max_stroke=max_stroke,
        friction=friction,
        stop_stiffness=1e10,
    )
    # the damping keeps the wheel still on its stiff tire; what it takes out is of the order of F^2 / k
    tire = Tire.power_law(
        radius=0.2, load=0.1 * tire_stiffness, deflection=0.1, bottoming_deflection=0.15, damping=2.0
    )
    return MainGear(
        link=link,
        shock=shock,
        tire=tire,
        wheel_mass=wheel_mass,
        wheel_inertia=1.0,
        rolling_radius=0.2,
        link_mass=0.0,
    )


def linear_spring(stiffness, length=1.0):
    return CurveSpring(stroke=[0.0, length], fast_force=[0.0, stiffness * length])


def with_shock(gear, **changes):
    return replace(gear, shock=replace(gear.shock, **changes))
