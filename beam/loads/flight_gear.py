"""One main leg in the air: what the retraction rules of 23.729 need to know about it."""

from typing import Annotated

from materials.checks import Frozen, Limits, Numbers, number, reject

_AREA = Limits("m2", at_least=1e-4, at_most=2.0, cause="given in square feet?")


class FlightGear(Frozen):
    """One main leg in flight, its shock extended; the starboard leg where the sides differ.

    Parameters
    ----------
    mass : float
        Mass of wheel, tire, brake and link, taken at the axle [kg].
    drag_area : float
        Drag of leg and wheel over dynamic pressure, along the wind, taken at the axle [m2].
    stall_speed_clean : float
        V_S1, flaps up [m/s].
    wheel_inertia : float
        Moment of inertia of the rolling assembly about its axle [kg m2].
    take_off_speed : float
        Speed of the tire's circumference when the brake is applied [m/s].
    retraction_rate : array_like, shape (3,)
        Largest angular velocity of the starboard leg on the way up, on airplane axes [rad/s].
    brake_torque : float
        Torque that stops the wheel on the way up [N m].
    flight_load_factor : float
        Largest limit maneuvering load factor with the gear out [-].
    sideslip_deg : float
        Largest sideslip of the yawing conditions with the gear out (23.351) [deg].
    side_area : float, optional
        Side force over dynamic pressure and sine of the sideslip, taken at the axle; None takes the drag
        area [m2].

    Notes
    -----
    With q = rho V^2 / 2 at V = 1.6 V_S1 the leg feels drag q A cos(beta) and side force q A_s sin(beta). A wheel
    broadside to the wind has a larger area than edge on.
    Source: 14 CFR 23.351, 23.729(a).

    Examples
    --------
    >>> leg = FlightGear(
    ...     mass=14.0, drag_area=0.06, stall_speed_clean=32.0, wheel_inertia=0.25, take_off_speed=36.0,
    ...     retraction_rate=(0.5, 0.0, -0.2), brake_torque=120.0, flight_load_factor=3.8, sideslip_deg=12.0,
    ... )
    >>> leg.retraction_rate
    array([ 0.5,  0. , -0.2])
    """

    mass: Annotated[float, Limits("kg", at_least=0.01, at_most=500.0, cause="given in pounds or grams?")]
    drag_area: Annotated[float, _AREA]
    stall_speed_clean: Annotated[
        float, Limits("m/s", at_least=5.0, at_most=100.0, cause="given in knots or km/h?")
    ]
    wheel_inertia: Annotated[
        float, Limits("kg m2", at_least=1e-5, at_most=100.0, cause="given in other units?")
    ]
    take_off_speed: Annotated[
        float, Limits("m/s", at_least=0.0, at_most=150.0, cause="given in knots or km/h?")
    ]
    retraction_rate: Annotated[
        Numbers, Limits("rad/s", shape=(3,), at_least=-5.0, at_most=5.0, cause="given in deg/s?")
    ]
    brake_torque: Annotated[float, Limits("N m", at_least=0.0, at_most=1e5, cause="given in N mm?")]
    flight_load_factor: Annotated[float, Limits("-", above=1.0, at_most=10.0, cause="1 is level flight")]
    sideslip_deg: Annotated[float, Limits("deg", at_least=0.0, at_most=45.0)]
    side_area: Annotated[float, _AREA] | None = None

    def __post_init__(self) -> None:
        super().__post_init__()
        most = 2.0 * self.stall_speed_clean
        number("FlightGear: take_off_speed [m/s]", self.take_off_speed, at_most=most,
               cause="more than twice V_S1: given in km/h?")  # fmt: skip
        if 0.0 < self.sideslip_deg < 0.8:
            reject(
                "FlightGear: sideslip_deg [deg]", self.sideslip_deg, "0, or 0.8 and more", "given in radians?"
            )
