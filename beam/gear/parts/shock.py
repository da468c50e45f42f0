"""The shock absorber: spring, damper, friction and stops between two ends."""

from collections.abc import Callable
from dataclasses import replace
from functools import cached_property
from typing import Annotated, NamedTuple

import numpy as np

from beam.gear.parts.orifice import Damper, Rate
from beam.gear.parts.spring import Spring, Standing, Stroke, Values
from materials.checks import Array, Frozen, Limits, checked, number, unchecked

FRICTION = Limits("N", at_least=0.0, at_most=1e5)
FRICTION_SPEED = Limits("m/s", above=0.0, at_most=1.0)
STOP_STIFFNESS = Limits("N/m", at_least=1e5, at_most=1e10, cause="given in N/mm?")


class ShockLaws(NamedTuple):
    """Forces [N] and energy [J] of one shock or of many, as functions of stroke [m] and its rate [m/s]."""

    elastic: Callable[..., Array]
    damper: Callable[[Array, Array], Array]
    friction: Callable[[Array], Array]
    energy: Callable[[Array], Array]


def stop_force(stroke: Array, max_stroke: Values, stiffness: Values) -> Array:
    """Force [N] of the stops at both ends, shape (...): k min(s, 0) + k max(s - s_max, 0)."""
    return np.asarray(stiffness * (np.minimum(stroke, 0.0) + np.maximum(stroke - max_stroke, 0.0)))


def stop_energy(stroke: Array, max_stroke: Values, stiffness: Values) -> Array:
    """Energy [J] in the stops, shape (...)."""
    beyond = np.minimum(stroke, 0.0) ** 2 + np.maximum(stroke - max_stroke, 0.0) ** 2
    return np.asarray(0.5 * stiffness * beyond)


def seal_friction(rate: Array, friction: Values, friction_speed: Values) -> Array:
    """Friction [N] of the seals, shape (...): F_f tanh(v / v_f)."""
    return np.asarray(friction * np.tanh(rate / friction_speed))


class Shock(Frozen, eq=True):
    """A shock absorber; force is positive when it pushes its ends apart.

    Parameters
    ----------
    spring : AirSpring, TwoChamberSpring, CurveSpring
        The spring, or any object with `force`, `energy`, `settled` and `stroke_limit`.
    damper : Orifice, DamperCurve
        The damper, or any object with `force`.
    max_stroke : float
        Stroke between the extension and the compression stop [m].
    friction : float
        Friction of the seals [N].
    friction_speed : float
        Rate at which friction has reached 76 percent of its size [m/s].
    stop_stiffness : float
        Stiffness of the stops at both ends [N/m].

    Raises
    ------
    ValueError
        If the stroke is more than the spring has, or a value is outside its limits.

    Notes
    -----
    F = F_spring(s) + F_damper(s, v) + F_f tanh(v / v_f) + k min(s, 0) + k max(s - s_max, 0).
    With the shock extended, the extension stop inside it carries the spring's preload. An extended shock therefore
    puts no force on its ends; the stop has then given way by preload / k.

    Examples
    --------
    >>> from beam.gear import AirSpring, Orifice, Shock
    >>> spring = AirSpring(pressure=2.6e6, volume=221e-6, area=1.6e-3, exponent=1.1)
    >>> shock = Shock(spring=spring, damper=Orifice(compression=2e4, extension=25e4), max_stroke=0.115)
    >>> float(shock.force(0.05, 1.0).round())
    26924.0
    """

    spring: Spring
    damper: Damper
    max_stroke: Annotated[float, Limits("m", above=0.0)]
    friction: Annotated[float, FRICTION] = 0.0
    friction_speed: Annotated[float, FRICTION_SPEED] = 0.02
    stop_stiffness: Annotated[float, STOP_STIFFNESS] = 1e7

    def __post_init__(self) -> None:
        super().__post_init__()
        most, cause = self.spring.stroke_limit, "more stroke than the spring has, or given in mm?"
        number("Shock: max_stroke [m]", self.max_stroke, at_most=most, cause=cause)

    @cached_property
    def laws(self) -> ShockLaws:
        """The forces and the energy as functions that check nothing, for an integrator."""
        force, energy, damping = (
            unchecked(f) for f in (self.spring.force, self.spring.energy, self.damper.force)
        )
        ends, seals = (self.max_stroke, self.stop_stiffness), (self.friction, self.friction_speed)
        return ShockLaws(
            elastic=lambda stroke, slow=False: force(stroke, slow=slow) + stop_force(stroke, *ends),
            damper=damping,
            friction=lambda rate: seal_friction(rate, *seals),
            energy=lambda stroke: energy(stroke) + stop_energy(stroke, *ends),
        )

    @checked
    def elastic_force(self, stroke: Stroke, *, slow: bool = False) -> Array:
        """Force of spring and stops at rest, shape (...) [N].

        Parameters
        ----------
        stroke : array_like, shape (...)
            Stroke from fully extended [m].
        slow : bool
            Take the spring's curve of a slow stroke.
        """
        return self.laws.elastic(np.asarray(stroke), slow)

    @checked
    def force(self, stroke: Stroke, rate: Rate) -> Array:
        """Force of the whole shock in a fast stroke, shape (...) [N].

        Parameters
        ----------
        stroke : array_like, shape (...)
            Stroke from fully extended [m].
        rate : array_like, shape (...)
            Rate of the stroke, positive in compression [m/s].
        """
        stroke, rate = np.asarray(stroke), np.asarray(rate)
        return self.laws.elastic(stroke) + self.laws.damper(stroke, rate) + self.laws.friction(rate)

    @checked
    def energy(self, stroke: Stroke) -> Array:
        """Energy stored in spring and stops: integral of the elastic force from zero stroke, shape (...) [J].

        Parameters
        ----------
        stroke : array_like, shape (...)
            Stroke from fully extended [m].
        """
        return self.laws.energy(np.asarray(stroke))

    @checked
    def settled(self, stroke: Standing) -> "Shock":
        """Return the shock after it has stood at a stroke, its gas at the outside temperature.

        Parameters
        ----------
        stroke : float
            Stroke at which it stands [m].
        """
        number("Shock.settled: stroke [m]", stroke, at_most=self.max_stroke, cause="given in mm?")
        return replace(self, spring=self.spring.settled(stroke))
