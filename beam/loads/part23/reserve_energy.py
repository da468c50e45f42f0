"""23.723(b) Shock absorption: the reserve energy landing."""

from scipy.constants import g

from beam.loads.airplane import CENTERS, Airplane
from beam.loads.case import GroundCase, pair
from beam.loads.part23.landing import Landing
from materials.checks import checked, reject


@checked
def reserve_energy(airplane: Airplane, landing: Landing) -> list[GroundCase]:
    """23.723(b): descent at 1.2 times the limit speed with wing lift equal to weight.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet.
    landing : Landing
        The landing; its load factor at reserve energy is needed.

    Returns
    -------
    list of GroundCase
        ULTIMATE loads, at each attitude and mass whose point of the landing has a load factor at reserve energy; from
        a landing without points at landing mass, level, nose clear. The gear may yield but must not fail, so no
        factor of safety is laid on them.

    Raises
    ------
    ValueError
        If the landing has no load factor at reserve energy.

    Notes
    -----
    Each main wheel carries (n - 1) W / 2. The peak comes from the dynamics of the gear; no drag is prescribed.
    Source: 14 CFR 23.723(b).

    Examples
    --------
    >>> from tourer import TOURER  # examples/tourer.py
    >>> case = reserve_energy(TOURER, Landing(load_factor=3.0, reserve_load_factor=4.5))[0]
    >>> case.level, round(case.wheels[0].Fz)
    ('ultimate', 20251)
    """
    rows = [
        (f"reserve energy, {point.condition}", point.mass, point.reserve_load_factor, point.attitude_deg)
        for point in landing.points
        if point.reserve_load_factor is not None and point.condition != "three-point"
    ]
    if not rows:
        if landing.reserve_load_factor is None:
            cause = "take it from the reserve drop"
            reject("Landing: reserve_load_factor", None, "given: 23.723(b) needs it", cause)
        rows = [("reserve energy, nose clear", airplane.landing_mass, landing.reserve_load_factor, None)]
    return [
        GroundCase(
            paragraph="23.723(b)",
            condition=condition,
            mass=mass,
            cg=cg,
            shock="landing",
            attitude_deg=airplane.level_attitude_deg if pitch is None else pitch,
            wheels=pair(0.0, (n - 1.0) * mass * g / 2, applied_at="axle"),
            lift_ratio=1.0,
            level="ultimate",
        )
        for condition, mass, n, pitch in rows
        for cg in CENTERS
    ]
