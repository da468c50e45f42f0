"""23.473 Ground load conditions and assumptions: descent speed, load factor, masses.

The printed numbers are in feet, seconds and pounds per square foot and are kept so; the functions take and return
SI. Left out: the lower landing mass of 23.473(c) for airplanes of several engines with fuel jettison, the relief in
taxi of 23.473(g), and the load factor from tests under 23.473(f), which is the user's drop.
"""

from collections.abc import Iterable
from typing import Annotated, Literal, NamedTuple

import numpy as np
from scipy.constants import foot

from beam.loads.airplane import CENTERS, Airplane, Cg
from beam.loads.case import GroundCase, WheelLoad
from beam.loads.part23.appendices import SpinUp
from beam.loads.part23.limit_drop import MOST_LIFT, PSF, WingLoadings
from materials.checks import Array, Frozen, Items, Limits, checked, default, number, reject

LEAST_LOAD_FACTOR = 2.67
LEAST_REACTION_FACTOR = 2.0
"""23.473(g): inertia load factor and ground reaction factor, at design maximum weight [-]."""

RESERVE_SPEED = 1.2
"""23.723(b): descent speed of the reserve energy landing over that of the limit landing [-]."""

_Lift = Annotated[
    float,
    Limits("-", at_least=0.0, at_most=MOST_LIFT, cause="23.473(e) allows lift of 2/3 of the weight"),
]
_Factor = Annotated[
    float,
    Limits("-", at_least=LEAST_LOAD_FACTOR * (1 - 1e-12), below=20.0,
           cause="23.473(g); raise the drop's with required_load_factor; was n - L given for n?"),
]  # fmt: skip
_Reserve = Annotated[
    float,
    Limits("-", above=1.0, below=30.0,
           cause="the inertia factor counts the lift, which is 1 here; was the reaction factor given?"),
]  # fmt: skip


@checked
def limit_descent_speed(wing_loading: WingLoadings) -> Array:
    """Return the descent speed at which the limit landing is made.

    Parameters
    ----------
    wing_loading : array_like
        Weight per wing area W/S [Pa].

    Returns
    -------
    ndarray
        Descent speed [m/s].

    Notes
    -----
    V = 4.4 (W/S)^(1/4) in ft/s and lb/ft2, not below 7 ft/s, and need not exceed 10 ft/s.
    Source: 14 CFR 23.473(d).

    Examples
    --------
    >>> limit_descent_speed([300.0, 600.0, 1000.0]).round(3)
    array([2.134, 2.523, 2.867])
    """
    return np.asarray(np.clip(4.4 * (np.asarray(wing_loading) / PSF) ** 0.25, 7.0, 10.0) * foot)


@checked
def reserve_descent_speed(wing_loading: WingLoadings) -> Array:
    """Return the descent speed of the reserve energy landing, made with lift equal to weight.

    Parameters
    ----------
    wing_loading : array_like
        Weight per wing area W/S [Pa].

    Returns
    -------
    ndarray
        Descent speed [m/s].

    Notes
    -----
    1.2 times the limit descent speed.
    Source: 14 CFR 23.723(b).

    Examples
    --------
    >>> reserve_descent_speed([300.0, 600.0, 1000.0]).round(3)
    array([2.56 , 3.028, 3.44 ])
    """
    return RESERVE_SPEED * limit_descent_speed(wing_loading)


@checked
def required_load_factor(
    drop_load_factor: Annotated[float, Limits("-", at_least=0.0)], lift_ratio: _Lift
) -> float:
    """Raise the load factor found in a drop to the floors of the code.

    Parameters
    ----------
    drop_load_factor : float
        Inertia load factor at the c.g. from the drop (23.725(e)) [-].
    lift_ratio : float
        Wing lift over weight during the impact [-].

    Returns
    -------
    float
        The limit load factor to design for [-].

    Notes
    -----
    n = max(drop, 2.67, 2.0 + L): both floors as printed, though 2.0 + L stays below 2.67 for every lift allowed.
    Left out: the relief of 23.473(g) for airplanes shown in taxi not to reach the floors.
    Source: 14 CFR 23.473(d), (e), (g).

    Examples
    --------
    >>> required_load_factor(2.4, 2 / 3), required_load_factor(2.96, 2 / 3)
    (2.67, 2.96)
    """
    return max(drop_load_factor, LEAST_LOAD_FACTOR, LEAST_REACTION_FACTOR + lift_ratio)


LandingCondition = Literal["three-point", "nose clear", "tail-down"]
"""Attitudes of 23.479(a)(2)(i), (ii) and 23.481(a)(2); the one-wheel landing of 23.483 is that with the nose clear."""

CONDITIONS: tuple[LandingCondition, ...] = ("three-point", "nose clear", "tail-down")

FactorChoice = Literal["per condition", "one for all"]
"""Whether each condition and mass has its own load factor, or all take the largest: the choice of the user."""

_Share = Annotated[float, Limits("-", at_least=0.0, at_most=1.0, cause="given in percent or meters?")]


class DropInstant(Frozen, eq=True):
    """Load of one main wheel at the end of spin-up or at spring-back in a drop, and where the shock stands then.

    Parameters
    ----------
    name : str
        "spin-up" or "spring-back".
    drag : float
        Fore-aft force of the wheel on its axle, positive aft, inertia of wheel and link included [N].
    ground_drag : float
        Drag of the ground at the same instant; it alone enters the balance of the airplane [N].
    vertical : float
        Vertical load of the ground at that instant [N].
    fraction : float
        Stroke over full stroke at that instant [-].
    basis : str
        The drop behind it.

    Notes
    -----
    On a flexible strut the wheel swings, so that the force on the axle may exceed 0.8 of the vertical load; the drag
    of the ground may not.
    Source: 14 CFR 23.479(b): drag goes with the vertical reaction of its own instant.

    Examples
    --------
    >>> DropInstant(name="spin-up", drag=7861.0, ground_drag=6250.0, vertical=7817.0, fraction=0.16).drag
    7861.0
    """

    name: Literal["spin-up", "spring-back"]
    drag: Annotated[float, Limits("N")]
    ground_drag: Annotated[float, Limits("N")]
    vertical: Annotated[float, Limits("N", at_least=0.0)]
    fraction: _Share
    basis: str = "given by hand"


class LandingPoint(Frozen, eq=True):
    """What one landing condition comes to at one mass: attitude, load factor, instants of the drop.

    Parameters
    ----------
    condition : str
        "three-point", "nose clear" or "tail-down".
    mass : float
        Airplane mass [kg].
    load_factor : float
        Limit inertia load factor n at the c.g. [-].
    attitude_deg : float, optional
        Nose-up pitch of the airplane x axis; None takes that of the airplane sheet [deg].
    instants : iterable
        `DropInstant` objects: spin-up and spring-back of the drop, as cases of their own beside Appendix D; none for
        a condition without drag.
    reserve_load_factor : float, optional
        Inertia load factor of the reserve energy landing, lift 1 [-].
    basis : str
        The drop that gave the load factor.

    Raises
    ------
    ValueError
        If a load factor is below the floors of 23.473(g), or a tail-down landing has spin-up.

    Notes
    -----
    A condition is judged with the larger of Appendix D and the drop: both are rows of the case table.
    Source: 14 CFR 23.479(b), 23.481(b) (no drag), 23.723(b).

    Examples
    --------
    >>> LandingPoint(condition="tail-down", mass=1180.0, load_factor=3.6, attitude_deg=12.0).load_factor
    3.6
    """

    condition: LandingCondition
    mass: Annotated[float, Limits("kg", above=0.0)]
    load_factor: _Factor
    attitude_deg: (
        Annotated[float, Limits("deg", above=-30.0, below=30.0, cause="given in radians?")] | None
    ) = None
    instants: Annotated[Items[DropInstant], Limits(items=0)] = default(())
    reserve_load_factor: _Reserve | None = None
    basis: str = "given by hand"

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.condition == "tail-down" and self.instants:
            reject("LandingPoint: instants", f"{len(self.instants)} for tail-down", "none",
                   "23.481(b): the wheels have spun up before the vertical load peaks")  # fmt: skip


class Landing(Frozen, eq=True):
    """The limit landing: load factors, lift, and how the wheels spin up. The only place where these stand.

    Parameters
    ----------
    load_factor : float
        Limit inertia load factor n at the c.g., at landing mass; the ground carries n - L [-].
    lift_ratio : float
        Wing lift L over weight during the impact, at most 2/3 [-].
    spin_up : SpinUp, optional
        Main wheels; None takes the most Appendix D asks for: 0.8 of the peak vertical load.
    nose_spin_up : SpinUp, optional
        Nose wheel; None as for `spin_up`.
    max_mass_load_factor : float, optional
        Limit inertia load factor at maximum mass; None takes the floor of 23.473(g), which is stated at that
        mass [-].
    reserve_load_factor : float, optional
        Inertia load factor of the reserve energy landing (23.723(b)), lift 1, landing mass [-].
    points : iterable
        `LandingPoint` objects: load factor, attitude and drop of each condition at each mass, as
        `beam.landing_envelope` finds them. They stand in place of the load factors above; none takes these for
        every condition.
    factors : str
        "per condition": each condition at each mass has its own n. "one for all": all take the largest of them.

    Raises
    ------
    ValueError
        If a load factor is below the floors of 23.473(g), the lift ratio above 2/3, or a condition stands twice at
        one mass.

    Notes
    -----
    n >= 2.67 and n - L >= 2.0; with L <= 2/3 the first floor includes the second.
    23.473(d) asks for what the descent gives, and 23.725(c) for the attitude of the landing. A trailing link loses
    lever nose-up, so the tail-down landing has the larger n.
    Source: 14 CFR 23.473.

    Examples
    --------
    >>> wheel = SpinUp(wheel_inertia=0.13, rolling_radius=0.2, time_to_peak=0.08)
    >>> Landing(load_factor=2.96, max_mass_load_factor=2.93, spin_up=wheel).lift_ratio
    0.6666666666666666
    """

    load_factor: _Factor
    lift_ratio: _Lift = 2 / 3
    spin_up: SpinUp | None = None
    nose_spin_up: SpinUp | None = None
    max_mass_load_factor: _Factor | None = None
    reserve_load_factor: _Reserve | None = None
    points: Annotated[Items[LandingPoint], Limits(items=0)] = default(())
    factors: FactorChoice = "per condition"

    def __post_init__(self) -> None:
        super().__post_init__()
        for point in self.points:
            number(f"Landing: {point.condition}, reaction factor n - L [-]", point.load_factor - self.lift_ratio,
                   at_least=LEAST_REACTION_FACTOR * (1 - 1e-12), cause="23.473(g)")  # fmt: skip
        keys = [(point.condition, point.mass) for point in self.points]
        for key in keys:
            if keys.count(key) > 1:
                reject(
                    "Landing: points", f"{key[0]} at {key[1]:g} kg twice", "each condition once at each mass"
                )

    def _point(self, condition: LandingCondition, mass: float) -> LandingPoint | None:
        """The point of a condition at a mass [kg]; None where there are no points at all."""
        for point in self.points:
            if point.condition == condition and abs(point.mass - mass) <= 1e-9 * mass:
                return point
        if self.points:
            got = f"none for {condition} at {mass:g} kg"
            reject(
                "Landing: points", got, "one for each condition and mass", "made for another airplane sheet?"
            )
        return None


class Corner(NamedTuple):
    """Mass [kg], c.g., load factor n [-] and point of one landing condition."""

    mass: float
    cg: Cg
    load_factor: float
    point: LandingPoint | None


def corners(airplane: Airplane, landing: Landing, condition: LandingCondition) -> list[Corner]:
    """Masses, centers of gravity and load factors of a landing condition: landing mass, then maximum mass."""
    factors = {airplane.landing_mass: landing.load_factor}
    at_max = landing.max_mass_load_factor or required_load_factor(0.0, landing.lift_ratio)
    factors[airplane.max_mass] = max(at_max, factors.get(airplane.max_mass, 0.0))
    out = []
    for mass, usual in factors.items():
        point = landing._point(condition, mass)
        n = usual if point is None else point.load_factor
        if point is not None and landing.factors == "one for all":
            n = max(one.load_factor for one in landing.points)
        out += [Corner(mass, cg, n, point) for cg in CENTERS]
    return out


def landing_case(
    airplane: Airplane,
    landing: Landing,
    paragraph: str,
    condition: str,
    mass: float,
    cg: Cg,
    wheels: Iterable[WheelLoad],
    attitude_deg: float | None = None,
    strokes: Iterable[float] = (),
) -> GroundCase:
    """A case of the landing, level if no attitude is given, at the strokes of Appendix C if none are."""
    return GroundCase(
        paragraph=paragraph,
        condition=condition,
        mass=mass,
        cg=cg,
        shock="landing",
        attitude_deg=airplane.level_attitude_deg if attitude_deg is None else attitude_deg,
        wheels=wheels,
        lift_ratio=landing.lift_ratio,
        strokes=tuple(strokes),
    )
