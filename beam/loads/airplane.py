"""The airplane sheet: what the ground-load rules need to know about the airplane.

Airplane axes: x aft, y starboard, z up; any origin. The contact points are those of the standing airplane (shocks
and tires at static position), so the ground line runs through them.
"""

from typing import Annotated, Literal

import numpy as np
from scipy.constants import g, pound

from beam.loads.flight_gear import FlightGear
from materials.checks import (
    Array,
    Frozen,
    Limits,
    Numbers,
    OptionalNumbers,
    checked,
    default,
    number,
    one_of,
    reject,
)

Cg = Literal["forward", "aft"]
CENTERS: tuple[Cg, ...] = ("forward", "aft")
"""Ends of the range of the center of gravity."""

HEAVIEST = 19_000 * pound
"""Largest take-off mass of Part 23, commuter category (23.3(d), from memory) [kg]."""

SEA_LEVEL_DENSITY = 1.225
"""Standard atmosphere at sea level [kg/m3]."""

WING_LOADING = Limits("Pa", at_least=150.0, at_most=3500.0, cause="given in kg/m2 or lb/ft2?")
"""Wing loadings of light airplanes; others are taken for a slip of units (common practice, no source)."""

LIFT_COEFFICIENT = (1.0, 3.3)
"""Largest lift coefficients, power off and flaps down; others are taken for a slip of units [-].

Common practice, no source. Plain flaps reach 1.5 to 2.2, the best slotted ones about 3. Masses in pounds make the
coefficient 2.2 times as large, so they are caught from a true 1.5 up.
"""

GYRATION = (0.2, 10.0)
"""Radii of gyration outside this band are taken for a slip of units [m]; common practice, no source."""

LEAST_TAIL_DOWN_DEG = 0.6
"""Least pitch of a tail-down landing over the level attitude: 30 deg are 0.52 rad [deg]."""

LANDING_SHARE = 0.95
FUEL_SHARE = 0.25
"""23.473(b): parts of the maximum mass and of the fuel that set the least landing mass [-]."""

Mass = Annotated[float, Limits("kg", above=0.0, at_most=HEAVIEST, cause="given in pounds or newtons?")]
_Point = Annotated[Numbers, Limits("m", shape=(3,))]
_Radius = Annotated[float, Limits("m", at_least=0.05, at_most=2.0, cause="given in mm or inches?")]
_Fuel = Annotated[float, Limits("kg", above=0.0)]
_TORQUE_SLIP = "given in kN m or N mm?"
_NUMBERS = (
    *("max_mass", "landing_mass", "wing_area", "stall_speed", "main_wheel_radius", "nose_wheel_radius"),
    *("tail_down_angle_deg", "brake_torque", "main_tire_pressure", "steering_torque", "fuel_capacity"),
    "half_hour_fuel",
)


class Airplane(Frozen):
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
        Nose-up pitch of the airplane x axis in the tail-down landing: at stall, or the largest with everything
        clear of the ground, whichever is less (23.481(a)(2)) [deg].
    brake_torque : float, optional
        Largest torque of the brake of one main wheel; None leaves the brake unlimited [N m].
    main_tire_pressure : float, optional
        Inflation pressure of a main tire above the air around it [Pa].
    steering_torque : float, optional
        Full torque of a powered nose-wheel steering; None: no powered steering [N m].
    fuel_capacity : float, optional
        Mass of all the fuel the tanks hold. If given, the landing mass is checked by 23.473(b): leave it out where
        another code rules [kg].
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

    Notes
    -----
    Slips of units show in two ratios: wing loading m g / S and lift coefficient m g / (S rho V_S0^2 / 2).
    Source: 14 CFR 23.473(b), 23.479, 23.481.

    Examples
    --------
    >>> tourer = Airplane(
    ...     max_mass=1240.0, landing_mass=1180.0, wing_area=11.8, stall_speed=29.0,
    ...     cg_forward=(2.43, 0.0, 0.2), cg_aft=(2.51, 0.0, 0.2),
    ...     nose_contact=(0.82, 0.0, -0.85), main_contact=(2.83, 1.05, -0.85), name="tourer",
    ... )
    >>> round(tourer.wheelbase, 3), round(tourer.wing_loading(1240.0))
    (2.01, 1031)
    """

    max_mass: Mass
    landing_mass: Mass
    wing_area: Annotated[float, Limits("m2", above=0.0)]
    cg_forward: _Point
    cg_aft: _Point
    nose_contact: _Point
    main_contact: _Point
    stall_speed: Annotated[float, Limits("m/s", above=0.0)]
    main_wheel_radius: _Radius | None = None
    nose_wheel_radius: _Radius | None = None
    tail_down_angle_deg: (
        Annotated[float, Limits("deg", below=30.0, cause="the nose must be up; given in radians?")] | None
    ) = None
    brake_torque: Annotated[float, Limits("N m", at_least=5.0, at_most=1e5, cause=_TORQUE_SLIP)] | None = None
    main_tire_pressure: (
        Annotated[float, Limits("Pa", at_least=2e4, at_most=5e6, cause="given in bar, psi or kPa?")] | None
    ) = None
    steering_torque: Annotated[float, Limits("N m", at_least=1.0, at_most=1e5, cause=_TORQUE_SLIP)] | None = (
        None
    )
    fuel_capacity: _Fuel | None = None
    half_hour_fuel: _Fuel | None = None
    moments_of_inertia: Annotated[OptionalNumbers, Limits("kg m2", shape=(3,), above=0.0)] = default(None)
    flight_gear: FlightGear | None = None
    name: str = "airplane"

    def __post_init__(self) -> None:
        super().__post_init__()
        self._check_masses(who := self._owner())
        self._check_wing(who)
        self._check_stance(who)
        if self.moments_of_inertia is not None:
            self._check_inertia(f"{who}: moments_of_inertia [kg m2]", self.moments_of_inertia)
        if self.flight_gear is not None:
            what = f"{who}: flight_gear.stall_speed_clean [m/s]"
            number(what, self.flight_gear.stall_speed_clean, at_least=self.stall_speed,
                   cause="below V_S0 with the flaps down?")  # fmt: skip
        if self.tail_down_angle_deg is not None:
            least = self.level_attitude_deg + LEAST_TAIL_DOWN_DEG
            number(f"{who}: tail_down_angle_deg [deg]", self.tail_down_angle_deg, above=least,
                   cause="the nose must be up; given in radians?")  # fmt: skip

    def _check_masses(self, who: str) -> None:
        """Refuse a landing mass that 23.473(b) does not allow."""
        what, landing = f"{who}: landing_mass [kg]", self.landing_mass
        number(what, landing, at_most=self.max_mass, cause="landing and maximum mass swapped?")
        if self.fuel_capacity is not None:
            number(f"{who}: fuel_capacity [kg]", self.fuel_capacity, below=self.max_mass,
                   cause="given in liters or newtons?")  # fmt: skip
            least = least_landing_mass(self.max_mass, landing, self.fuel_capacity, self.half_hour_fuel)
            number(what, landing, at_least=least * (1 - 1e-12), cause="23.473(b): maximum mass less a quarter of "
                   "the fuel, or 95 % of it with fuel for half an hour beyond that mass difference")  # fmt: skip

    def _check_wing(self, who: str) -> None:
        """Refuse a wing area and a stall speed that no light airplane has."""
        low, high = WING_LOADING.at_least, WING_LOADING.at_most
        loading = self.max_mass * g / self.wing_area
        number(f"{who}: wing loading max_mass g / wing_area [Pa]", loading, at_least=low, at_most=high,
               cause="wing_area given in square feet?" if loading < low else "max_mass given in pounds?")  # fmt: skip
        low, high = LIFT_COEFFICIENT
        pressure = 0.5 * SEA_LEVEL_DENSITY * self.stall_speed**2
        lift = self.landing_mass * g / self.wing_area / pressure
        slow = "wing_area given in square feet, or stall_speed in knots or km/h?"
        fast = "masses given in pounds, or stall_speed or wing_area too small for that mass?"
        given = f"wing_area {self.wing_area:g} m2 and stall_speed {self.stall_speed:g} m/s"
        number(f"{who}: lift coefficient at stall with {given} [-]", lift, at_least=low, at_most=high,
               cause=slow if lift < low else fast)  # fmt: skip

    def _check_stance(self, who: str) -> None:
        """Refuse wheels and centers of gravity that do not stand."""
        nose, main = self.nose_contact, self.main_contact
        for name, point in (("cg_forward", self.cg_forward), ("cg_aft", self.cg_aft), ("nose_contact", nose)):
            if abs(point[1]) > 1e-9:
                reject(f"{who}: {name} y [m]", point[1], "0", "the airplane is taken symmetric about y = 0")
        number(f"{who}: main_contact y [m]", main[1], above=0.0, below=10.0,
               cause="it is the starboard wheel, y to starboard, in meters")  # fmt: skip
        number(f"{who}: main_contact x [m]", main[0], above=nose[0],
               cause="x runs aft; only nose-wheel airplanes are covered")  # fmt: skip
        number(f"{who}: wheelbase [m]", self.wheelbase, below=20.0, cause="given in mm or inches?")
        along = (main - nose)[[0, 2]] / self.wheelbase
        reach = float((self.cg_aft - self.cg_forward)[[0, 2]] @ along)
        number(f"{who}: cg_aft behind cg_forward along the ground [m]", reach, at_least=-1e-9,
               cause="x runs aft: forward and aft swapped?")  # fmt: skip
        for name, cg in (("cg_forward", self.cg_forward), ("cg_aft", self.cg_aft)):
            arm = (cg - nose)[[0, 2]]
            what = f"{who}: {name}, distance behind the nose wheel along the ground [m]"
            station, height = float(arm @ along), float(arm[1] * along[0] - arm[0] * along[1])
            number(what, station, above=0.0, cause="ahead of the nose wheel: another datum?")
            number(what, station, below=self.wheelbase,
                   cause="behind the main wheels: the airplane sits on its tail")  # fmt: skip
            number(f"{who}: {name}, height above the ground [m]", height, above=0.0, below=10.0,
                   cause="below the ground line: z runs up, wheels and c.g. need one origin")  # fmt: skip
        lowest = min(self.cg_forward[2], self.cg_aft[2]) - main[2]
        for name in ("main_wheel_radius", "nose_wheel_radius"):
            if (radius := getattr(self, name)) is not None:
                number(f"{who}: {name} [m]", radius, below=lowest,
                       cause="given in mm or inches? A wheel does not reach up to the c.g.")  # fmt: skip

    def _check_inertia(self, what: str, inertia: Array) -> None:
        """Refuse moments of inertia that no body has, or none of this mass."""
        if 2.0 * inertia.max() > inertia.sum() * (1 + 1e-9):
            limit = "each at most the sum of the other two"
            reject(what, inertia.tolist(), limit, "no body has such; a digit too many?")
        low, high = (radius**2 * self.max_mass for radius in GYRATION)
        if not ((inertia >= low) & (inertia <= high)).all():
            limit = f"from {low:.4g} to {high:.4g} for {self.max_mass:g} kg"
            reject(what, inertia.tolist(), limit, "given in other units?")

    @checked
    def required(self, name: str, paragraph: str) -> float:
        """Return a number that may be unknown, or stop and say which paragraph needs it.

        Parameters
        ----------
        name : str
            Field of the sheet.
        paragraph : str
            Paragraph that asks for it.

        Returns
        -------
        float
            Its value, in the unit of the field [any].

        Raises
        ------
        ValueError
            If the field was left at None, or is no number of the sheet.
        """
        value = getattr(self, one_of("Airplane.required: name", name, _NUMBERS))
        if value is None:
            reject(f"{self._owner()}: {name}", None, f"given: {paragraph} needs it", "it is never guessed")
        return float(value)

    @checked
    def wing_loading(self, mass: Mass) -> float:
        """Return the weight per wing area m g / S.

        Parameters
        ----------
        mass : float
            Airplane mass [kg].

        Returns
        -------
        float
            Wing loading [Pa].
        """
        return mass * g / self.wing_area

    @property
    def wheelbase(self) -> float:
        """Distance along the ground from nose to main contacts [m]."""
        span = self.main_contact - self.nose_contact
        return float(np.hypot(span[0], span[2]))

    @property
    def level_attitude_deg(self) -> float:
        """Nose-up pitch of the airplane x axis with all three wheels on level ground [deg]."""
        span = self.main_contact - self.nose_contact
        return float(np.degrees(np.arctan2(span[2], span[0])))


def least_landing_mass(
    max_mass: float, landing_mass: float, fuel_capacity: float, half_hour_fuel: float | None
) -> float:
    """Lowest landing mass that 23.473(b) allows where `landing_mass` is the one chosen [kg]."""
    by_fuel = max_mass - FUEL_SHARE * fuel_capacity
    if half_hour_fuel is None or fuel_capacity < half_hour_fuel + (max_mass - landing_mass):
        return by_fuel
    return min(by_fuel, LANDING_SHARE * max_mass)


def check_within_max_mass(what: str, airplane: Airplane, mass: float) -> None:
    """Refuse a mass above the maximum mass of the airplane; `what` ends with the unit."""
    most = airplane.max_mass * (1 + 1e-9)
    number(what, mass, at_most=most, cause="more than the maximum mass; given in pounds?")
