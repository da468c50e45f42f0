"""23.473 Ground load conditions and assumptions: descent speed, load factor, masses.

The printed numbers are in feet, seconds and pounds per square foot and are kept so; the functions take and return
SI. Left out: the lower landing mass of 23.473(c) for airplanes of several engines with fuel jettison, the relief in
taxi of 23.473(g), and the load factor from tests under 23.473(f), which is the user's drop.
"""

from collections.abc import Iterable
from typing import Annotated

import numpy as np
from scipy.constants import foot

from beam.loads.airplane import CENTERS, Airplane, Cg
from beam.loads.case import GroundCase, WheelLoad
from beam.loads.part23.appendices import SpinUp
from beam.loads.part23.limit_drop import MOST_LIFT, PSF, WingLoadings
from materials.checks import Array, Frozen, Limits, checked

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

    Raises
    ------
    ValueError
        If a load factor is below the floors of 23.473(g), or the lift ratio above 2/3.

    Notes
    -----
    n >= 2.67 and n - L >= 2.0; with L <= 2/3 the first floor includes the second.
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
    reserve_load_factor: (
        Annotated[
            float,
            Limits("-", above=1.0, below=30.0, cause="the inertia factor counts the lift, which is 1 here; "
                   "was the reaction factor given?"),
        ]
        | None
    ) = None  # fmt: skip


def corners(airplane: Airplane, landing: Landing) -> list[tuple[float, Cg, float]]:
    """Mass [kg], c.g. and load factor n [-] of the landing conditions: landing mass, then maximum mass."""
    factors = {airplane.landing_mass: landing.load_factor}
    at_max = landing.max_mass_load_factor or required_load_factor(0.0, landing.lift_ratio)
    factors[airplane.max_mass] = max(at_max, factors.get(airplane.max_mass, 0.0))
    return [(mass, cg, factor) for mass, factor in factors.items() for cg in CENTERS]


def landing_case(
    airplane: Airplane,
    landing: Landing,
    paragraph: str,
    condition: str,
    mass: float,
    cg: Cg,
    wheels: Iterable[WheelLoad],
    attitude_deg: float | None = None,
) -> GroundCase:
    """A case of the landing, level if no attitude is given."""
    return GroundCase(
        paragraph=paragraph,
        condition=condition,
        mass=mass,
        cg=cg,
        shock="landing",
        attitude_deg=airplane.level_attitude_deg if attitude_deg is None else attitude_deg,
        wheels=wheels,
        lift_ratio=landing.lift_ratio,
    )
