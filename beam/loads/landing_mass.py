"""23.473(b): how far the design landing mass may lie below the maximum mass."""

LANDING_SHARE = 0.95
FUEL_SHARE = 0.25


def least_landing_mass(
    max_mass: float, landing_mass: float, fuel_capacity: float, half_hour_fuel: float | None = None
) -> float:
    """Return the lowest landing mass the code allows an airplane that wants to land at `landing_mass`.

    Parameters
    ----------
    max_mass : float
        Design maximum mass [kg].
    landing_mass : float
        Landing mass wanted [kg].
    fuel_capacity : float
        Mass of all the fuel the tanks hold [kg].
    half_hour_fuel : float, optional
        Fuel mass for half an hour at maximum continuous power [kg]; None forgoes the 95 %.

    Returns
    -------
    float
        Lowest landing mass allowed [kg].

    Notes
    -----
    Either maximum mass less a quarter of all fuel; or 95 % of maximum mass, if the tanks hold fuel for
    half an hour at maximum continuous power and, beyond it, the mass landed below maximum. The further
    relief of 23.473(c) for multi-engine airplanes with fuel jettison is not covered.

    References
    ----------
    14 CFR 23.473(b) (through Amendment 23-62).
    """
    by_fuel = max_mass - FUEL_SHARE * fuel_capacity
    if half_hour_fuel is None or fuel_capacity < half_hour_fuel + (max_mass - landing_mass):
        return by_fuel
    return min(by_fuel, LANDING_SHARE * max_mass)
