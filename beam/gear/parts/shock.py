"""The shock absorber: spring, damper, friction and stops in one two-force member."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from beam.gear.checks import able, numbers, together
from beam.gear.parts.orifice import Damper
from beam.gear.parts.spring import Spring
from materials.checks import Array, number


@dataclass(frozen=True, kw_only=True)
class Shock:
    """A shock absorber; force is positive when it pushes its ends apart.

    Parameters
    ----------
    spring : Spring
        Gas spring, or the published curve of a bought unit.
    damper : Damper
        Orifice or damper curve.
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
    With the shock extended the spring's preload is carried by the extension stop inside it, so an
    extended shock puts no force on its ends; the stop then has given way by preload / k.
    """

    spring: Spring
    damper: Damper
    max_stroke: float
    friction: float = 0.0
    friction_speed: float = 0.02
    stop_stiffness: float = 1e7

    def __post_init__(self) -> None:
        able("Shock: spring", self.spring, "force", "energy", "settled", "stroke_limit")
        able("Shock: damper", self.damper, "force")
        most, cause = self.spring.stroke_limit, "more stroke than the spring has, or given in mm?"
        number("Shock: max_stroke [m]", self.max_stroke, above=0, at_most=most, cause=cause)
        number("Shock: friction [N]", self.friction, at_least=0, at_most=1e5)
        number("Shock: friction_speed [m/s]", self.friction_speed, above=0, at_most=1)
        what, cause = "Shock: stop_stiffness [N/m]", "given in N/mm?"
        number(what, self.stop_stiffness, at_least=1e5, at_most=1e10, cause=cause)

    def elastic_force(self, stroke: ArrayLike, *, slow: bool = False) -> Array:
        """Force of spring and stops at rest.

        Parameters
        ----------
        stroke : array_like, shape (...)
            Stroke from fully extended [m].
        slow : bool
            Take the spring's curve of a slow stroke.

        Returns
        -------
        ndarray, shape (...)
            Force, positive when it pushes the ends apart [N].
        """
        stroke = numbers("Shock.elastic_force: stroke [m]", stroke)
        beyond = np.minimum(stroke, 0.0) + np.maximum(stroke - self.max_stroke, 0.0)
        return self.spring.force(stroke, slow=slow) + self.stop_stiffness * beyond

    def damper_force(self, stroke: ArrayLike, rate: ArrayLike) -> Array:
        """Force of the damper.

        Parameters
        ----------
        stroke : array_like, shape (...)
            Stroke from fully extended [m].
        rate : array_like, shape (...)
            Rate of the stroke, positive in compression [m/s].

        Returns
        -------
        ndarray, shape (...)
            Force with the sign of the rate [N].
        """
        stroke, rate = numbers("Shock: stroke [m]", stroke), numbers("Shock: rate [m/s]", rate)
        together("Shock: stroke, rate", stroke, rate)
        return self.damper.force(stroke, rate)

    def friction_force(self, rate: ArrayLike) -> Array:
        """Friction of the seals.

        Parameters
        ----------
        rate : array_like, shape (...)
            Rate of the stroke, positive in compression [m/s].

        Returns
        -------
        ndarray, shape (...)
            Force with the sign of the rate [N].
        """
        return self.friction * np.tanh(numbers("Shock: rate [m/s]", rate) / self.friction_speed)

    def force(self, stroke: ArrayLike, rate: ArrayLike) -> Array:
        """Force of the whole shock in a fast stroke.

        Parameters
        ----------
        stroke : array_like, shape (...)
            Stroke from fully extended [m].
        rate : array_like, shape (...)
            Rate of the stroke, positive in compression [m/s].

        Returns
        -------
        ndarray, shape (...)
            Force, positive when it pushes the ends apart [N].
        """
        damping = self.damper_force(stroke, rate)
        return self.elastic_force(stroke) + damping + self.friction_force(rate)

    def energy(self, stroke: ArrayLike) -> Array:
        """Energy stored in spring and stops in a fast stroke.

        Parameters
        ----------
        stroke : array_like, shape (...)
            Stroke from fully extended [m].

        Returns
        -------
        ndarray, shape (...)
            Integral of the elastic force from zero stroke [J].
        """
        stroke = numbers("Shock.energy: stroke [m]", stroke)
        beyond = np.minimum(stroke, 0.0) ** 2 + np.maximum(stroke - self.max_stroke, 0.0) ** 2
        return self.spring.energy(stroke) + 0.5 * self.stop_stiffness * beyond

    def settled(self, stroke: float) -> "Shock":
        """Return the shock after it has stood at a stroke, its gas at the outside temperature.

        Parameters
        ----------
        stroke : float
            Stroke at which it stands [m].

        Returns
        -------
        Shock
            The shock whose fast curve starts from there.
        """
        what, cause = "Shock.settled: stroke [m]", "given in mm?"
        number(what, stroke, at_least=0, at_most=self.max_stroke, cause=cause)
        return replace(self, spring=self.spring.settled(stroke))
