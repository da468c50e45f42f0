"""Conditions of the gear in flight: in transit, locked down, locked up."""

from typing import Annotated, Literal

from materials.checks import Frozen, Limits, Numbers, checked, default, reject

State = Literal["retracting", "extending", "down", "up"]


class FlightCondition(Frozen):
    """One condition of the gear in flight.

    Parameters
    ----------
    name : str
        Paragraph and condition.
    state : str
        "retracting", "extending", "down" (locked down) or "up" (locked up).
    load_factor : array_like, shape (3,)
        Load factors of the airplane aft, starboard and up [-].
    dynamic_pressure : float
        rho V**2 / 2 of the air speed [Pa].
    sideslip_deg : float
        Sideslip, positive with the wind from port [deg].
    wheel_speed : float
        Speed at which the wheel rolls forward at the start [rad/s].
    brake_torque : float
        Torque of the brake, on from the start of the travel until the wheel stands [N m].
    actuator_force : float
        Force of the actuator while a lock holds the gear, positive when it pushes its pins apart [N].

    Raises
    ------
    ValueError
        If a locked gear or a standing wheel has a brake torque, or a moving gear an actuator force, which follows from
        the motion.

    Examples
    --------
    >>> FlightCondition(name="pull-up, gear up", state="up", load_factor=(0, 0, 3.8)).load_factor.tolist()
    [0.0, 0.0, 3.8]
    """

    name: str
    state: State
    load_factor: Annotated[Numbers, Limits("-", shape=(3,), at_least=-20.0, at_most=20.0)] = default(
        (0.0, 0.0, 1.0)
    )
    dynamic_pressure: Annotated[float, Limits("Pa", at_least=0.0, at_most=5e4, cause="given as a speed?")] = (
        0.0
    )
    sideslip_deg: Annotated[float, Limits("deg", at_least=-45.0, at_most=45.0)] = 0.0
    wheel_speed: Annotated[
        float, Limits("rad/s", at_least=0.0, at_most=1e3, cause="given in rpm or m/s?")
    ] = 0.0
    brake_torque: Annotated[float, Limits("N m", at_least=0.0, at_most=1e5)] = 0.0
    actuator_force: Annotated[float, Limits("N", at_least=-1e6, at_most=1e6)] = 0.0

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.brake_torque and not self.moving:
            limit = "0 where the gear is locked"
            reject("FlightCondition: brake_torque [N m]", f"{self.brake_torque:g}", limit)
        if self.brake_torque and not self.wheel_speed:
            limit = "above 0 where there is a brake torque"
            reject("FlightCondition: wheel_speed [rad/s]", 0, limit, "a brake acts on a turning wheel only")
        if self.actuator_force and self.moving:
            limit = "0 where the gear moves"
            reject("FlightCondition: actuator_force [N]", f"{self.actuator_force:g}", limit, "it is a result")

    @property
    def moving(self) -> bool:
        """True in transit, False where a lock holds the gear."""
        return self.state in ("retracting", "extending")


@checked
def flight_conditions(
    *,
    flight_load_factor: Annotated[float, Limits("-", above=1.0, at_most=10.0)],
    negative_load_factor: Annotated[float, Limits("-", at_most=0.0, at_least=-10.0, cause="negative up")],
    stall_speed_clean: Annotated[
        float, Limits("m/s", at_least=5.0, at_most=100.0, cause="given in knots or km/h?")
    ],
    transit_load_factor: Annotated[float, Limits("-", at_least=1.0, at_most=10.0)] = 2.0,
    sideslip_deg: Annotated[float, Limits("deg", at_least=0.0, at_most=45.0)] = 0.0,
    wheel_speed: Annotated[
        float, Limits("rad/s", at_least=0.0, at_most=1e3, cause="given in rpm or m/s?")
    ] = 0.0,
    brake_torque: Annotated[float, Limits("N m", at_least=0.0, at_most=1e5)] = 0.0,
    density: Annotated[float, Limits("kg/m3", above=0.0, at_most=2.0)] = 1.225,
) -> tuple[FlightCondition, ...]:
    """Conditions of 14 CFR 23.729(a) on one main leg: in transit, locked down, locked up.

    Parameters
    ----------
    flight_load_factor, negative_load_factor : float
        Largest and least limit load factor with the gear up [-].
    stall_speed_clean : float
        V_S1, flaps up [m/s].
    transit_load_factor : float
        Largest load factor with the gear moving or down; 2.0 by 23.345 [-].
    sideslip_deg : float
        Sideslip to either side with the gear moving or down [deg].
    wheel_speed : float
        Speed of the wheel as the gear starts up, after take-off [rad/s].
    brake_torque : float
        Torque that stops it; with one, the gear goes up both braked and unbraked [N m].
    density : float
        Density of the air [kg/m3].

    Returns
    -------
    tuple of FlightCondition
        In transit and down at load factors 0 and the largest, without sideslip and with it to either side.

    Notes
    -----
    q = rho (1.6 V_S1)^2 / 2. Reactions are linear in the load factor, so values between 0 and the largest add nothing.
    Source: 14 CFR 23.729(a)(1), (2) and 23.345(a), through Amendment 23-62 (from memory).

    Examples
    --------
    >>> found = flight_conditions(flight_load_factor=3.8, negative_load_factor=-1.5, stall_speed_clean=30.0)
    >>> [one.state for one in found], round(found[0].dynamic_pressure, 1)
    (['retracting', 'retracting', 'extending', 'extending', 'down', 'down', 'up', 'up'], 1411.2)
    """
    air = {"dynamic_pressure": density * (1.6 * stall_speed_clean) ** 2 / 2}
    states: tuple[tuple[State, str], ...] = (
        ("retracting", "23.729(a)(1) retraction"),
        ("extending", "23.729(a)(1) extension"),
        ("down", "23.729(a)(2) locked down"),
    )
    found = []
    for state, what in states:
        rolls = state == "retracting"
        spin = wheel_speed if rolls else 0.0
        for brake in (0.0, brake_torque) if rolls and brake_torque else (0.0,):
            for slip in (0.0, sideslip_deg, -sideslip_deg) if sideslip_deg else (0.0,):
                for factor in (0.0, transit_load_factor):
                    name = f"{what}, n {factor:g}" + (f", sideslip {slip:g} deg" if slip else "")
                    name += ", braked" if brake else ""
                    found.append(
                        FlightCondition(
                            name=name,
                            state=state,
                            load_factor=(0.0, 0.0, factor),
                            sideslip_deg=slip,
                            wheel_speed=spin,
                            brake_torque=brake,
                            **air,
                        )
                    )
    for factor in (flight_load_factor, negative_load_factor):
        name = f"23.729(a)(1) locked up, n {factor:g}"
        found.append(FlightCondition(name=name, state="up", load_factor=(0.0, 0.0, factor)))
    return tuple(found)
