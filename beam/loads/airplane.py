"""The airplane sheet: what the ground-load rules need to know about the airplane.

Airplane axes: x aft, y starboard, z up; any origin. The contact points are those of the
standing airplane (shocks and tires at static position), so the ground line runs through them.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.constants import g

from beam.loads.flight_gear import FlightGear
from beam.loads.sheet_checks import LEAST_TAIL_DOWN_DEG, check_inertia, check_masses, check_stance, check_wing
from materials.checks import Array, array, number, one_of, reject
from materials.kinds import instance, text

_POINTS = ("cg_forward", "cg_aft", "nose_contact", "main_contact")
_NEEDED = ("max_mass", "landing_mass", "wing_area", "stall_speed")
_QUANTITIES = {
    "max_mass": "[kg]",
    "landing_mass": "[kg]",
    "wing_area": "[m2]",
    "stall_speed": "[m/s]",
    "main_wheel_radius": "[m]",
    "nose_wheel_radius": "[m]",
    "main_tire_pressure": "[Pa]",
    "brake_torque": "[N m]",
    "steering_torque": "[N m]",
    "fuel_capacity": "[kg]",
    "half_hour_fuel": "[kg]",
}


_BANDS = {
    "main_wheel_radius": (0.05, 2.0, "given in mm or inches?"),
    "nose_wheel_radius": (0.05, 2.0, "given in mm or inches?"),
    "main_tire_pressure": (2e4, 5e6, "given in bar, psi or kPa?"),
    "brake_torque": (5.0, 1e5, "given in kN m or N mm?"),
    "steering_torque": (1.0, 1e5, "given in kN m or N mm?"),
}
"""Values outside these bands are taken for a slip of units; common practice, no source."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Airplane:
    """A tricycle airplane with two main wheels and a nose wheel, symmetric about y = 0.

    A field left at None is unknown; a condition that needs it says so and stops.

    Parameters
    ----------
    max_mass : float
        Design maximum (take-off) mass [kg].
    landing_mass : float
        Design landing mass, 23.473(b) [kg].
    wing_area : float
        Wing area [m2].
    cg_forward, cg_aft : array_like, shape (3,)
        Foremost and aftmost center of gravity [m].
    nose_contact : array_like, shape (3,)
        Ground contact of the nose wheel, airplane standing [m].
    main_contact : array_like, shape (3,)
        Ground contact of the starboard main wheel, airplane standing [m].
    stall_speed : float
        V_S0: power off, landing configuration, landing mass, sea level [m/s].
    main_wheel_radius, nose_wheel_radius : float, optional
        Height of the axle above the ground, airplane standing [m].
    tail_down_angle_deg : float, optional
        Nose-up pitch of the airplane x axis in the tail-down landing: at stall, or the largest with
        everything clear of the ground, whichever is less (23.481(a)(2)) [deg].
    brake_torque : float, optional
        Largest torque of the brake of one main wheel [N m]; None leaves the brake unlimited.
    main_tire_pressure : float, optional
        Inflation pressure of a main tire above the air around it [Pa].
    steering_torque : float, optional
        Full torque of a powered nose-wheel steering [N m]; None: no powered steering.
    fuel_capacity : float, optional
        Mass of all the fuel the tanks hold [kg]; given, it holds the landing mass to 23.473(b): leave it
        out where another code rules.
    half_hour_fuel : float, optional
        Fuel mass for half an hour at maximum continuous power [kg].
    moments_of_inertia : array_like, shape (3,), optional
        About the c.g. in roll (x), pitch (y), yaw (z), without products of inertia [kg m2].
    flight_gear : FlightGear, optional
        One main leg in the air, for the retraction conditions.
    name : str
        For titles and messages.

    Raises
    ------
    ValueError
        If the sheet contradicts itself or a value looks like a slip of units.

    References
    ----------
    14 CFR 23.473(b), 23.479, 23.481 (through Amendment 23-62).
    """

    max_mass: float
    landing_mass: float
    wing_area: float
    cg_forward: ArrayLike
    cg_aft: ArrayLike
    nose_contact: ArrayLike
    main_contact: ArrayLike
    stall_speed: float
    main_wheel_radius: float | None = None
    nose_wheel_radius: float | None = None
    tail_down_angle_deg: float | None = None
    brake_torque: float | None = None
    main_tire_pressure: float | None = None
    steering_torque: float | None = None
    fuel_capacity: float | None = None
    half_hour_fuel: float | None = None
    moments_of_inertia: ArrayLike | None = None
    flight_gear: FlightGear | None = None
    name: str = "airplane"

    def __post_init__(self) -> None:
        text("Airplane: name", self.name)
        if self.flight_gear is not None:
            instance(f"{self.name}: flight_gear", self.flight_gear, FlightGear)
        for key, unit in _QUANTITIES.items():
            value = getattr(self, key)
            if value is not None or key in _NEEDED:
                low, high, cause = _BANDS.get(key, (0.0, np.inf, ""))
                what = f"{self.name}: {key} {unit}"
                held = number(what, value, above=0.0, at_least=low, at_most=high, cause=cause)
                object.__setattr__(self, key, held)
        for key in (*_POINTS, "moments_of_inertia"):
            value = getattr(self, key)
            if value is not None or key in _POINTS:
                three = array(f"{self.name}: {key}", value, last=(3,))
                if three.ndim != 1:
                    reject(f"{self.name}: {key}", f"shape {three.shape}", "three numbers")
                object.__setattr__(self, key, three)
        check_masses(self.name, self.max_mass, self.landing_mass, self.fuel_capacity, self.half_hour_fuel)
        check_wing(self.name, self.max_mass, self.landing_mass, self.wing_area, self.stall_speed)
        forward, aft, nose, main = map(self.point, _POINTS)
        check_stance(self.name, nose, main, forward, aft)
        lowest = min(arm[2] for arm in (forward - main, aft - main))
        for key in ("main_wheel_radius", "nose_wheel_radius"):
            if getattr(self, key) is not None:
                cause = "given in mm or inches? A wheel does not reach up to the c.g."
                number(f"{self.name}: {key} [m]", getattr(self, key), below=lowest, cause=cause)
        if self.moments_of_inertia is not None:
            check_inertia(self.name, self.max_mass, np.asarray(self.moments_of_inertia))
        if self.flight_gear is not None:
            what, cause = (
                f"{self.name}: flight_gear.stall_speed_clean [m/s]",
                "below V_S0 with the flaps down?",
            )
            number(what, self.flight_gear.stall_speed_clean, at_least=self.stall_speed, cause=cause)
        if self.tail_down_angle_deg is not None:
            what, cause = f"{self.name}: tail_down_angle_deg [deg]", "the nose must be up; given in radians?"
            least = self.level_attitude_deg + LEAST_TAIL_DOWN_DEG
            number(what, self.tail_down_angle_deg, above=least, below=30.0, cause=cause)

    def point(self, name: str) -> Array:
        """Return the point of that name in airplane axes.

        Parameters
        ----------
        name : str
            "cg_forward", "cg_aft", "nose_contact" or "main_contact".

        Returns
        -------
        ndarray, shape (3,)
            The point [m].
        """
        return np.asarray(getattr(self, one_of("Airplane.point: name", name, _POINTS)), dtype=float)

    def required(self, name: str, paragraph: str) -> float:
        """Return a field that may be unknown, or stop and say which paragraph needs it.

        Parameters
        ----------
        name : str
            The field.
        paragraph : str
            The paragraph that asks for it.

        Returns
        -------
        float
            Its value, in the unit of the field [any].

        Raises
        ------
        ValueError
            If the field was left at None, or is no number of the sheet.
        """
        what = "Airplane.required: name"
        text("Airplane.required: paragraph", paragraph)
        value = getattr(self, one_of(what, name, (*_QUANTITIES, "tail_down_angle_deg")))
        if value is None:
            reject(f"{self.name}: {name}", None, f"given: {paragraph} needs it", "it is never guessed")
        return float(value)

    @property
    def wheelbase(self) -> float:
        """Distance along the ground from nose to main contacts [m]."""
        span = self.point("main_contact") - self.point("nose_contact")
        return float(np.hypot(span[0], span[2]))

    @property
    def level_attitude_deg(self) -> float:
        """Nose-up pitch of the airplane x axis with all three wheels on level ground [deg]."""
        span = self.point("main_contact") - self.point("nose_contact")
        return float(np.degrees(np.arctan2(span[2], span[0])))

    def wing_loading(self, mass: float) -> float:
        """Return the weight per wing area.

        Parameters
        ----------
        mass : float
            Airplane mass [kg].

        Returns
        -------
        float
            Wing loading [Pa].
        """
        return number("Airplane.wing_loading: mass [kg]", mass, above=0.0) * g / self.wing_area
