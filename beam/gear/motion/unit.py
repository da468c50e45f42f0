"""The numbers of one unit in motion, the order of its state, and what acts at a state."""

from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple, Protocol

import numpy as np
from numpy.typing import ArrayLike

from beam.gear.parts.friction import GroundFriction
from beam.gear.parts.tire import Tire
from materials.checks import Array

STATES = (
    "sink", "angle", "sway", "sink_rate", "angle_rate", "sway_rate", "spin",
    "damper_loss", "friction_loss", "tire_loss", "slip_loss", "sway_loss", "drag_impulse", "ground_work",
)  # fmt: skip
"""Order of the state vector: motion, then integrals [m, rad, m, m/s, rad/s, m/s, rad/s, J x 5, N s, J]."""


class ShockLaw(Protocol):
    """What the equations of motion ask of a shock; `Shock` is one, `Shocks` are many."""

    @property
    def stop_stiffness(self) -> Array | float:
        """Stiffness of the stops at both ends [N/m]."""

    def elastic_force(self, stroke: ArrayLike) -> Array:
        """Force of spring and stops [N]."""

    def damper_force(self, stroke: ArrayLike, rate: ArrayLike) -> Array:
        """Force of the damper [N]."""

    def friction_force(self, rate: ArrayLike) -> Array:
        """Friction [N]."""

    def energy(self, stroke: ArrayLike) -> Array:
        """Energy in spring and stops [J]."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Unit:
    """Numbers of the equations of motion; terms A, B, C stand for A + B cos q + C sin q, see `circle`.

    Parameters
    ----------
    mass : ndarray, shape (...)
        Mass on the unit, its own included [kg].
    net_weight : ndarray, shape (...)
        Weight less lift [N].
    gravity : float
        Acceleration of gravity [m/s2].
    hinge_inertia : ndarray, shape (...)
        Inertia of link and wheel about the hinge, J [kg m2].
    mass_up, mass_aft : ndarray, shape (3, ...)
        Terms of the mass moment, up and aft [kg m].
    axle_up, axle_aft : ndarray, shape (3, ...)
        Terms of the axle's position, up and aft [m].
    wheel_axis_up : ndarray, shape (3, ...)
        Terms of the rise of the wheel's axis [-].
    length : ndarray, shape (3, ...)
        Terms of the squared length of the shock [m2].
    free_length : ndarray, shape (...)
        Length of the shock fully extended [m].
    hanging_angle : ndarray, shape (...)
        Link angle with the wheel in the air [rad].
    touch_height : ndarray, shape (...)
        Height of the wheel's lowest point at touchdown, in airplane axes [m].
    wheel_inertia : ndarray, shape (...)
        Inertia of the rolling parts [kg m2].
    rolling_radius : ndarray, shape (...)
        Effective rolling radius [m].
    ground_speed : ndarray, shape (...)
        Speed of the ground past the airplane [m/s].
    sway_stiffness : ndarray, shape (...)
        Fore-aft stiffness of the strut, k [N/m].
    sway_damping : ndarray, shape (...)
        Its damping, c [N s/m].
    sway_mobility : ndarray, shape (...)
        One over the swaying mass M; zero for a rigid strut [1/kg].
    shock : ShockLaw
        The shock.
    tire : Tire
        The tire.
    friction : GroundFriction
        Friction of the tire on the ground.
    """

    mass: Array | float
    net_weight: Array | float
    gravity: float
    hinge_inertia: Array | float
    mass_up: Array
    mass_aft: Array
    axle_up: Array
    axle_aft: Array
    wheel_axis_up: Array
    length: Array
    free_length: Array | float
    hanging_angle: Array | float
    touch_height: Array | float
    wheel_inertia: Array | float
    rolling_radius: Array | float
    ground_speed: Array | float
    sway_stiffness: Array | float
    sway_damping: Array | float
    sway_mobility: Array | float
    shock: ShockLaw
    tire: Tire
    friction: GroundFriction

    @cached_property
    def rigid(self) -> bool:
        """Whether no strut of these sways."""
        return not np.any(self.sway_mobility)


class Forces(NamedTuple):
    """What acts at a state, all of one shape (...).

    Parameters
    ----------
    stroke, arm : ndarray, shape (...)
        Stroke of the shock and its arm about the hinge [m].
    stroke_rate : ndarray, shape (...)
        Rate of the stroke [m/s].
    deflection : ndarray, shape (...)
        Deflection of the tire, negative when clear of the ground [m].
    deflection_rate : ndarray, shape (...)
        Its rate [m/s].
    ground, ground_elastic : ndarray, shape (...)
        Vertical load of the ground, and what of it is elastic [N].
    drag : ndarray, shape (...)
        Drag of the ground on the tire, positive aft [N].
    slip_speed : ndarray, shape (...)
        Speed of the ground past the tread, positive aft [m/s].
    rise, reach : ndarray, shape (...)
        Derivative by the angle of the wheel's lowest point up and of the axle aft [m/rad].
    spring, damper, friction : ndarray, shape (...)
        Parts of the shock's force [N].
    """

    stroke: Array
    arm: Array
    stroke_rate: Array
    deflection: Array
    deflection_rate: Array
    ground: Array
    ground_elastic: Array
    drag: Array
    slip_speed: Array
    rise: Array
    reach: Array
    spring: Array
    damper: Array
    friction: Array

    @property
    def shock(self) -> Array:
        """Force of the shock, positive when it pushes its ends apart [N]."""
        return self.spring + self.damper + self.friction
