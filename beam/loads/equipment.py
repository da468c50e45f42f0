"""Points and ratings that the layout and equipment checks ask for."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.constants import g

from materials.checks import Array, array, number, one_of, reject

_RATINGS = {
    "main_wheel_static_rating": "[N]",
    "main_wheel_limit_rating": "[N]",
    "main_tire_static_rating": "[N]",
    "nose_wheel_static_rating": "[N]",
    "nose_wheel_limit_rating": "[N]",
    "nose_tire_dynamic_rating": "[N]",
    "brake_energy_rating": "[J]",
    "braking_deceleration": "[m/s2]",
    "nose_sink": "[m]",
}

_BANDS = {
    "braking_deceleration": (0.65, 1.5 * g, "given in g or ft/s2?"),
    "nose_sink": (0.0, 2.0, "given in mm?"),
}
"""Values outside these bands are taken for a slip of units; common practice, no source."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Equipment:
    """Bought wheels, tires and brakes, and the points of the airframe that come near the ground.

    What is left at None is listed as not given.

    Parameters
    ----------
    main_wheel_static_rating, main_wheel_limit_rating : float, optional
        Static and radial limit rating of a main wheel [N].
    main_tire_static_rating : float, optional
        Static rating of a main tire [N].
    nose_wheel_static_rating, nose_wheel_limit_rating : float, optional
        Static and radial limit rating of the nose wheel [N].
    nose_tire_dynamic_rating : float, optional
        Dynamic rating of the nose tire [N].
    brake_energy_rating : float, optional
        Kinetic energy one brake is rated for [J].
    braking_deceleration : float, optional
        Mean deceleration of the stop, for its distance and torque [m/s2].
    propeller_tip : array_like, shape (3,), optional
        Lowest point of the propeller disk, airplane axes [m].
    nose_sink : float, optional
        How far the nose comes down with strut bottomed and tire flat [m].
    tail_point : array_like, shape (3,), optional
        What touches first when the nose rises, airplane axes [m].

    Raises
    ------
    ValueError
        If a rating is not positive or a point is not three numbers.
    """

    main_wheel_static_rating: float | None = None
    main_wheel_limit_rating: float | None = None
    main_tire_static_rating: float | None = None
    nose_wheel_static_rating: float | None = None
    nose_wheel_limit_rating: float | None = None
    nose_tire_dynamic_rating: float | None = None
    brake_energy_rating: float | None = None
    braking_deceleration: float | None = None
    propeller_tip: ArrayLike | None = None
    nose_sink: float | None = None
    tail_point: ArrayLike | None = None

    def __post_init__(self) -> None:
        for key, unit in _RATINGS.items():
            value = getattr(self, key)
            if value is not None:
                low, high, cause = _BANDS.get(key, (0.0, np.inf, ""))
                held = number(
                    f"Equipment: {key} {unit}", value, above=0.0, at_least=low, at_most=high, cause=cause
                )
                object.__setattr__(self, key, held)
        for key in ("propeller_tip", "tail_point"):
            value = getattr(self, key)
            if value is not None:
                point = array(f"Equipment: {key} [m]", value, last=(3,))
                if point.ndim != 1:
                    reject(f"Equipment: {key} [m]", f"shape {point.shape}", "three numbers")
                object.__setattr__(self, key, point)

    def point(self, name: str) -> Array | None:
        """Return a point in airplane axes, or None if it was not given.

        Parameters
        ----------
        name : str
            "propeller_tip" or "tail_point".

        Returns
        -------
        ndarray or None, shape (3,)
            The point [m].
        """
        value = getattr(self, one_of("Equipment.point: name", name, ("propeller_tip", "tail_point")))
        return None if value is None else np.asarray(value, dtype=float)
