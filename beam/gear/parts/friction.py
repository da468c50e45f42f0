"""Friction of a tire on the ground over slip."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike

from beam.gear.checks import numbers, together
from beam.gear.parts.curve import Curve
from materials.checks import Array, array, number, reject


@dataclass(frozen=True, kw_only=True, eq=False)
class GroundFriction:
    """Friction coefficient against slip ratio, from a table.

    Parameters
    ----------
    slip : array_like, shape (point,)
        Slip ratio, rising from 0; 1 is a wheel that does not turn [-].
    coefficient : array_like, shape (point,)
        Drag over vertical load, rising from 0 [-].
    least_speed : float
        The slip ratio is slip speed over ground speed, or over this where the ground is slower, so
        that a standing wheel rolls freely instead of sticking [m/s].

    Raises
    ------
    ValueError
        If the table does not start at (0, 0) or a coefficient is beyond rubber on a runway.

    Notes
    -----
    The default rises to 0.8 at a slip of 0.15 and stays there: 0.8 is the sliding coefficient that
    14 CFR 23.479(b) has assumed; the rise is common practice, no source.
    """

    slip: ArrayLike = (0.0, 0.05, 0.10, 0.15, 1.0)
    coefficient: ArrayLike = (0.0, 0.40, 0.68, 0.80, 0.80)
    least_speed: float = 10.0
    curve: Curve = field(init=False, repr=False)

    def __post_init__(self) -> None:
        name = "GroundFriction (slip, coefficient)"
        curve = Curve(x=array(name, self.slip), y=array(name, self.coefficient), name=name)
        if curve.x[0] != 0 or curve.y[0] != 0 or not (curve.y[1:] > 0).all() or not (curve.y <= 1.5).all():
            reject(
                "GroundFriction: coefficient [-]", curve.y.tolist(), "from (0, 0), then above 0, at most 1.5"
            )
        number("GroundFriction: last slip [-]", curve.x[-1], at_most=1.0, cause="given in percent?")
        number("GroundFriction: least_speed [m/s]", self.least_speed, above=0)
        object.__setattr__(self, "curve", curve)

    def __call__(self, slip_speed: ArrayLike, ground_speed: ArrayLike) -> Array:
        """Drag over vertical load.

        Parameters
        ----------
        slip_speed : array_like, shape (...)
            Speed of the ground past the tread, positive aft [m/s].
        ground_speed : array_like, shape (...)
            Speed of the ground past the airplane, not negative [m/s].

        Returns
        -------
        ndarray, shape (...)
            Coefficient with the sign of the slip speed [-].
        """
        slip = numbers("GroundFriction: slip_speed [m/s]", slip_speed)
        ground = numbers("GroundFriction: ground_speed [m/s]", ground_speed)
        together("GroundFriction: slip_speed, ground_speed", slip, ground)
        ratio = slip / np.maximum(ground, self.least_speed)
        return np.copysign(self.curve(np.abs(ratio)), ratio)
