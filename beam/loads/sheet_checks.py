"""Does the airplane sheet hang together? Slips of units and contradictions stop here."""

import numpy as np
from scipy.constants import g, pound

from beam.loads.landing_mass import least_landing_mass
from materials.checks import Array, number, reject

HEAVIEST = 19_000 * pound
"""Largest take-off mass of Part 23, commuter category (23.3(d), from memory) [kg]."""

WING_LOADING = (150.0, 3500.0)
"""Wing loadings outside this band are taken for a slip of units [Pa]; common practice, no source."""

LIFT_COEFFICIENT = (1.0, 3.3)
"""Largest lift coefficients, power off and flaps down, outside this band are taken for a slip of units [-].

Common practice, no source. Plain flaps reach 1.5 to 2.2, the best slotted ones about 3. Masses in pounds make it
2.2 times as large, so they are caught from a true 1.5 up; below, such a sheet is that of another airplane.
"""

GYRATION = (0.2, 10.0)
"""Radii of gyration outside this band are taken for a slip of units [m]; common practice, no source."""

LEAST_TAIL_DOWN_DEG = 0.6
"""Least pitch of a tail-down landing over the level attitude: 30 deg are 0.52 rad [deg]."""

SEA_LEVEL_DENSITY = 1.225
"""Standard atmosphere at sea level [kg/m3]."""


def check_masses(
    name: str, max_mass: float, landing_mass: float, fuel_capacity: float | None, half_hour_fuel: float | None
) -> None:
    """Refuse masses that Part 23 does not know and a landing mass it does not allow.

    Parameters
    ----------
    name : str
        Airplane, for the message.
    max_mass, landing_mass : float
        Design maximum and landing mass [kg].
    fuel_capacity, half_hour_fuel : float, optional
        All fuel, and that for half an hour at maximum continuous power [kg].

    Raises
    ------
    ValueError
        If a mass is out of its range.
    """
    number(f"{name}: max_mass [kg]", max_mass, at_most=HEAVIEST, cause="given in pounds or newtons?")
    swapped = "landing and maximum mass swapped?"
    number(f"{name}: landing_mass [kg]", landing_mass, at_most=max_mass, cause=swapped)
    if fuel_capacity is None:
        return
    number(f"{name}: fuel_capacity [kg]", fuel_capacity, below=max_mass, cause="given in liters or newtons?")
    lowest = least_landing_mass(max_mass, landing_mass, fuel_capacity, half_hour_fuel)
    if landing_mass < lowest * (1 - 1e-12):
        reject(
            f"{name}: landing_mass [kg]",
            f"{landing_mass:g}",
            f">= {lowest:g} (23.473(b): maximum mass less a quarter of the fuel, or 95 % of it)",
            "95 % needs fuel for half an hour at full continuous power plus that mass difference",
        )


def check_wing(name: str, max_mass: float, landing_mass: float, wing_area: float, stall_speed: float) -> None:
    """Refuse a wing area and stall speed that no light airplane has.

    Parameters
    ----------
    name : str
        Airplane, for the message.
    max_mass, landing_mass : float
        Design maximum and landing mass [kg].
    wing_area : float
        Wing area [m2].
    stall_speed : float
        V_S0 at landing mass [m/s].

    Raises
    ------
    ValueError
        If wing loading or maximum lift coefficient is out of its band.
    """
    low, high = WING_LOADING
    loading = max_mass * g / wing_area
    slip = "wing_area given in square feet?" if loading < low else "max_mass given in pounds?"
    number(
        f"{name}: wing loading max_mass g / wing_area [Pa]", loading, at_least=low, at_most=high, cause=slip
    )
    low, high = LIFT_COEFFICIENT
    lift = landing_mass * g / wing_area / (0.5 * SEA_LEVEL_DENSITY * stall_speed**2)
    slow = "wing_area given in square feet, or stall_speed in knots or km/h?"
    fast = "masses given in pounds, or stall_speed or wing_area too small for that mass?"
    given = f"wing_area {wing_area:g} m2 and stall_speed {stall_speed:g} m/s"
    what = f"{name}: lift coefficient at stall with {given} [-]"
    number(what, lift, at_least=low, at_most=high, cause=slow if lift < low else fast)


def check_inertia(name: str, max_mass: float, inertia: Array) -> None:
    """Refuse moments of inertia that no body has, or none of this mass.

    Parameters
    ----------
    name : str
        Airplane, for the message.
    max_mass : float
        Design maximum mass [kg].
    inertia : ndarray, shape (3,)
        Moments of inertia in roll, pitch and yaw [kg m2].

    Raises
    ------
    ValueError
        If one is not positive, is larger than the other two together, or out of its band for the mass.
    """
    what, got = f"{name}: moments_of_inertia [kg m2]", inertia.tolist()
    if not (inertia > 0.0).all():
        reject(what, got, "> 0")
    if 2.0 * inertia.max() > inertia.sum() * (1 + 1e-9):
        reject(what, got, "each at most the sum of the other two", "no body has such; a digit too many?")
    low, high = GYRATION
    if not ((inertia >= low**2 * max_mass) & (inertia <= high**2 * max_mass)).all():
        limit = f"from {low**2 * max_mass:.4g} to {high**2 * max_mass:.4g} for {max_mass:g} kg"
        reject(what, got, limit, "given in other units?")


def check_stance(name: str, nose: Array, main: Array, forward: Array, aft: Array) -> None:
    """Refuse wheels and centers of gravity that do not stand.

    Parameters
    ----------
    name : str
        Airplane, for the message.
    nose, main : ndarray, shape (3,)
        Contact of the nose wheel and of the starboard main wheel [m].
    forward, aft : ndarray, shape (3,)
        Centers of gravity [m].

    Raises
    ------
    ValueError
        If the airplane is not symmetric, has its wheels swapped, or a c.g. that does not stand on them.
    """
    for key, point in (("cg_forward", forward), ("cg_aft", aft), ("nose_contact", nose)):
        if abs(point[1]) > 1e-9:
            reject(f"{name}: {key} y [m]", point[1], "0", "the airplane is taken symmetric about y = 0")
    starboard = "it is the starboard wheel, y to starboard, in meters"
    number(f"{name}: main_contact y [m]", main[1], above=0.0, below=10.0, cause=starboard)
    tricycle = "x runs aft; only nose-wheel airplanes are covered"
    number(f"{name}: main_contact x [m]", main[0], above=nose[0], cause=tricycle)
    base = float(np.hypot(main[0] - nose[0], main[2] - nose[2]))
    number(f"{name}: wheelbase [m]", base, below=20.0, cause="given in mm or inches?")
    along = (main - nose) / base
    reach = float((aft - forward)[0] * along[0] + (aft - forward)[2] * along[2])
    swapped = "x runs aft: forward and aft swapped?"
    number(f"{name}: cg_aft behind cg_forward along the ground [m]", reach, at_least=-1e-9, cause=swapped)
    for key, point in (("cg_forward", forward), ("cg_aft", aft)):
        arm = point - nose
        station = arm[0] * along[0] + arm[2] * along[2]
        height = arm[2] * along[0] - arm[0] * along[2]
        what = f"{name}: {key}, distance behind the nose wheel along the ground [m]"
        number(what, station, above=0.0, cause="ahead of the nose wheel: another datum?")
        behind = "behind the main wheels: the airplane sits on its tail"
        number(what, station, below=base, cause=behind)
        below = "below the ground line: z runs up, wheels and c.g. need one origin"
        number(f"{name}: {key}, height above the ground [m]", height, above=0.0, below=10.0, cause=below)
