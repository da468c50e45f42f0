"""What the retraction rules need to know about one main leg in the air."""

from dataclasses import dataclass

from numpy.typing import ArrayLike

from materials.checks import array, number, reject
from materials.limits import Limit, hold_within

_LIMITS: tuple[Limit, ...] = (
    ("mass", "kg", 0.01, 500.0, "given in pounds or grams?"),
    ("drag_area", "m2", 1e-4, 2.0, "given in square feet?"),
    ("stall_speed_clean", "m/s", 5.0, 100.0, "given in knots or km/h?"),
    ("wheel_inertia", "kg m2", 1e-5, 100.0, "given in other units?"),
    ("take_off_speed", "m/s", 0.0, 150.0, "given in knots or km/h?"),
    ("brake_torque", "N m", 0.0, 1e5, "given in N mm?"),
    ("flight_load_factor", "-", 1.0, 10.0, ""),
    ("sideslip_deg", "deg", 0.0, 45.0, ""),
)


@dataclass(frozen=True, kw_only=True, eq=False)
class FlightGear:
    """One main leg in flight, its shock extended; the starboard one where sides differ.

    Parameters
    ----------
    mass : float
        Mass of wheel, tire, brake and link, taken at the axle [kg].
    drag_area : float
        Drag over dynamic pressure of leg and wheel, taken at the axle, along the wind [m2].
    stall_speed_clean : float
        V_S1, flaps up [m/s].
    wheel_inertia : float
        Rolling assembly about its axle [kg m2].
    take_off_speed : float
        Speed of the tire's circumference when the brake is applied [m/s].
    retraction_rate : array_like, shape (3,)
        Largest angular velocity of the starboard leg on the way up, on airplane axes [rad/s].
    brake_torque : float
        Torque that stops the wheel on the way up [N m].
    flight_load_factor : float
        Largest limit maneuvering factor with the gear out [-].
    sideslip_deg : float
        Largest sideslip of the yawing conditions with the gear out (23.351) [deg].
    side_area : float, optional
        Side force over dynamic pressure and sine of the sideslip, taken at the axle; as the drag area if not
        given. A wheel broadside to the wind has more than one edge on [m2].

    Raises
    ------
    ValueError
        If a value is out of its range.
    """

    mass: float
    drag_area: float
    stall_speed_clean: float
    wheel_inertia: float
    take_off_speed: float
    retraction_rate: ArrayLike
    brake_torque: float
    flight_load_factor: float
    sideslip_deg: float
    side_area: float | None = None

    def __post_init__(self) -> None:
        hold_within(self, "FlightGear", _LIMITS)
        number(
            "FlightGear: flight_load_factor [-]",
            self.flight_load_factor,
            above=1.0,
            cause="1 is level flight",
        )
        if self.side_area is not None:
            what, cause = "FlightGear: side_area [m2]", "given in square feet?"
            object.__setattr__(
                self, "side_area", number(what, self.side_area, at_least=1e-4, at_most=2.0, cause=cause)
            )
        most, cause = 2.0 * self.stall_speed_clean, "more than twice V_S1: given in km/h?"
        number("FlightGear: take_off_speed [m/s]", self.take_off_speed, at_most=most, cause=cause)
        if 0.0 < self.sideslip_deg < 0.8:
            reject(
                "FlightGear: sideslip_deg [deg]", self.sideslip_deg, "0, or 0.8 and more", "given in radians?"
            )
        what = "FlightGear: retraction_rate [rad/s]"
        rate = array(what, self.retraction_rate, last=(3,))
        if rate.ndim != 1:
            reject(what, f"shape {rate.shape}", "three numbers")
        most = float(abs(rate).max())
        number(what, most, at_most=5.0, cause="given in deg/s?")
        object.__setattr__(self, "retraction_rate", rate)
