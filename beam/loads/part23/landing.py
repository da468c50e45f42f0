"""23.473 Ground load conditions and assumptions: descent speed, load factor, masses.

The printed numbers are in feet, seconds and pounds per square foot and are kept so; the
functions take and return SI. Left out: the lower landing mass of 23.473(c) for airplanes of several engines
with fuel jettison, the relief in taxi of 23.473(g), and the load factor from tests under 23.473(f), which is the
user's drop.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.constants import foot

from beam.loads.airplane import Airplane
from beam.loads.case import GroundCase, WheelLoad
from beam.loads.part23.appendix_d import SpinUp
from beam.loads.part23.limit_drop import MOST_LIFT, PSF, RESERVE_SPEED, check_wing_loading
from beam.loads.stance import CENTERS
from materials.checks import Array, number
from materials.kinds import instance

LEAST_LOAD_FACTOR = 2.67
LEAST_REACTION_FACTOR = 2.0
"""23.473(g): inertia load factor and ground reaction factor, at design maximum weight [-]."""


def limit_descent_speed(wing_loading: ArrayLike) -> Array:
    """Return the descent speed at which the limit landing is made.

    Parameters
    ----------
    wing_loading : array_like
        Weight per wing area W/S [Pa].

    Returns
    -------
    ndarray
        Descent speed [m/s].

    Raises
    ------
    ValueError
        If the wing loading is not positive, or outside the band of light airplanes.

    Notes
    -----
    V = 4.4 (W/S)^(1/4) in ft/s and lb/ft2, not below 7 ft/s, and need not exceed 10 ft/s.

    References
    ----------
    14 CFR 23.473(d) (through Amendment 23-62).
    """
    loading = check_wing_loading("limit_descent_speed", wing_loading) / PSF
    return np.asarray(np.clip(4.4 * loading**0.25, 7.0, 10.0) * foot)


def reserve_descent_speed(wing_loading: ArrayLike) -> Array:
    """Return the descent speed of the reserve energy landing, made with lift equal to weight.

    Parameters
    ----------
    wing_loading : array_like
        Weight per wing area W/S [Pa].

    Returns
    -------
    ndarray
        Descent speed [m/s].

    Raises
    ------
    ValueError
        If the wing loading is not positive, or outside the band of light airplanes.

    Notes
    -----
    1.2 times the limit descent speed.

    References
    ----------
    14 CFR 23.723(b) (through Amendment 23-62).
    """
    return RESERVE_SPEED * limit_descent_speed(wing_loading)


def required_load_factor(drop_load_factor: float, lift_ratio: float) -> float:
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
    n = max(drop, 2.67, 2.0 + L): both floors as printed, though 2.0 + L stays below 2.67 for every lift
    allowed. Left out: the relief of 23.473(g) for airplanes shown in taxi not to reach the floors.

    References
    ----------
    14 CFR 23.473(d), (e), (g) (through Amendment 23-62).
    """
    cause = "23.473(e) allows lift of 2/3 of the weight"
    lift = number(
        "required_load_factor: lift_ratio [-]", lift_ratio, at_least=0.0, at_most=MOST_LIFT, cause=cause
    )
    drop = number("required_load_factor: drop_load_factor [-]", drop_load_factor, at_least=0.0)
    return max(drop, LEAST_LOAD_FACTOR, LEAST_REACTION_FACTOR + lift)


@dataclass(frozen=True, kw_only=True)
class Landing:
    """The limit landing: load factor, lift, and how the wheels spin up.

    Parameters
    ----------
    load_factor : float
        Limit inertia load factor n at the c.g., at landing mass [-]; the ground carries n - L.
    lift_ratio : float
        Wing lift L over weight during the impact, at most 2/3 [-].
    spin_up : SpinUp, optional
        Main wheels; None takes the most Appendix D asks for: 0.8 of the peak vertical load.
    nose_spin_up : SpinUp, optional
        Nose wheel; None as for `spin_up`.
    max_mass_load_factor : float, optional
        Limit inertia load factor at maximum mass [-]; None takes the floor of 23.473(g), which is
        stated at that mass.
    reserve_load_factor : float, optional
        Inertia load factor of the reserve energy landing (23.723(b)), lift 1, landing mass [-].

    Raises
    ------
    ValueError
        If a load factor is below the floors of 23.473(g), or the lift ratio above 2/3.

    References
    ----------
    14 CFR 23.473 (through Amendment 23-62).
    """

    load_factor: float
    lift_ratio: float = 2 / 3
    spin_up: SpinUp | None = None
    nose_spin_up: SpinUp | None = None
    max_mass_load_factor: float | None = None
    reserve_load_factor: float | None = None

    def __post_init__(self) -> None:
        allowed = "23.473(e) allows lift of 2/3 of the weight"
        lift = number(
            "Landing: lift_ratio [-]", self.lift_ratio, at_least=0.0, at_most=MOST_LIFT, cause=allowed
        )
        floor = required_load_factor(0.0, lift) * (1 - 1e-12)
        below = "23.473(g); raise the drop's with required_load_factor; was n - L given for n?"
        held: dict[str, float | None] = {"lift_ratio": lift}
        for name in ("load_factor", "max_mass_load_factor"):
            given = getattr(self, name)
            if given is not None or name == "load_factor":
                held[name] = number(f"Landing: {name} [-]", given, at_least=floor, below=20.0, cause=below)
        if self.reserve_load_factor is not None:
            what = "Landing: reserve_load_factor [-]"
            counts = "the inertia factor counts the lift, which is 1 here; was the reaction factor given?"
            held["reserve_load_factor"] = number(
                what, self.reserve_load_factor, above=1.0, below=30.0, cause=counts
            )
        for name, value in held.items():
            object.__setattr__(self, name, value)
        for name in ("spin_up", "nose_spin_up"):
            if getattr(self, name) is not None:
                instance(f"Landing: {name}", getattr(self, name), SpinUp)

    def corners(self, airplane: Airplane) -> Iterator[tuple[float, str, float]]:
        """Yield the masses and centers of gravity of the landing conditions.

        Parameters
        ----------
        airplane : Airplane
            The airplane sheet.

        Yields
        ------
        mass : float
            Landing mass with the landing factor, then maximum mass with its own [kg].
        cg : str
            "forward" or "aft".
        load_factor : float
            Limit inertia load factor n at that mass [-].
        """
        instance("Landing.corners: airplane", airplane, Airplane)
        factors = {airplane.landing_mass: self.load_factor}
        at_max = self.max_mass_load_factor
        if at_max is None:
            at_max = required_load_factor(0.0, self.lift_ratio)
        factors[airplane.max_mass] = max(at_max, factors.get(airplane.max_mass, 0.0))
        for mass, factor in factors.items():
            for cg in CENTERS:
                yield mass, cg, factor

    def case(
        self,
        airplane: Airplane,
        paragraph: str,
        condition: str,
        mass: float,
        cg: str,
        *wheels: WheelLoad,
        attitude_deg: float | None = None,
    ) -> GroundCase:
        """Return a case of this landing.

        Parameters
        ----------
        airplane : Airplane
            The airplane sheet.
        paragraph : str
            Paragraph of the code.
        condition : str
            The condition in words.
        mass : float
            Airplane mass [kg].
        cg : str
            "forward" or "aft".
        *wheels : WheelLoad
            The loads.
        attitude_deg : float, optional
            Nose-up pitch; None: level [deg].

        Returns
        -------
        GroundCase
            The case.
        """
        instance("Landing.case: airplane", airplane, Airplane)
        return GroundCase(
            paragraph=paragraph,
            condition=condition,
            mass=mass,
            cg=cg,
            shock="landing",
            attitude_deg=airplane.level_attitude_deg if attitude_deg is None else attitude_deg,
            wheels=wheels,
            lift_ratio=self.lift_ratio,
        )
