"""What the retraction rules need to know about one main leg in the air."""

from dataclasses import dataclass

from numpy.typing import ArrayLike

from materials.checks import array, number


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

    def __post_init__(self) -> None:
        number("FlightGear: mass [kg]", self.mass, above=0.0)
        number(
            "FlightGear: drag_area [m2]", self.drag_area, above=0.0, below=2.0, cause="given in square feet?"
        )
        number("FlightGear: stall_speed_clean [m/s]", self.stall_speed_clean, above=0.0)
        number("FlightGear: wheel_inertia [kg m2]", self.wheel_inertia, above=0.0)
        number("FlightGear: take_off_speed [m/s]", self.take_off_speed, at_least=0.0)
        number("FlightGear: brake_torque [N m]", self.brake_torque, at_least=0.0)
        number("FlightGear: flight_load_factor [-]", self.flight_load_factor, above=1.0, below=10.0)
        number("FlightGear: sideslip_deg [deg]", self.sideslip_deg, at_least=0.0, below=45.0)
        rate = array("FlightGear: retraction_rate [rad/s]", self.retraction_rate, last=(3,))
        object.__setattr__(self, "retraction_rate", rate)
