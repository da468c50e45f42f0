"""Modes of the whole strut: buckling as a column at ultimate load, deflection and twist of the tip at limit load."""

import numpy as np

from beam.strength.requirement import COLUMN, DEFLECTION, TWIST, Requirement
from beam.strength.section_forces import free_strains
from beam.strut import PointLoads, Strut
from materials.checks import Array

WHOLE_STRUT = "whole strut"


def whole_strut_ratios(
    strut: Strut, loads: PointLoads, requirement: Requirement, *, deflected: bool = False
) -> dict[str, tuple[Array, float]]:
    """Find the ratios of the modes that belong to no wall.

    Parameters
    ----------
    strut : Strut
        The strut; its supports must be without play.
    loads : PointLoads
        Limit loads.
    requirement : Requirement
        Factors on load, and limits on the motion of the tip where there are any.
    deflected : bool
        Let the loads follow the strut for the motion of the tip.

    Returns
    -------
    dict of str to (ndarray, float)
        For each mode the ratio, shape (case,), and the factor on load it has to hold [-].

    Notes
    -----
    Column: `Span.buckling_factor` under all loads of the case, against the ultimate factor; of a strut on redundant
    supports with the forces of heat and moisture present and not growing, the lowest over the services.
    Deflection and twist: the limit over what the loads make the tip do at limit load, measured from the strut at
    rest in its service, against 1; deflection is the size of the displacement of the axis, twist the rotation
    about it.
    """
    strains = dict.fromkeys(free_strains(strut, requirement))
    factors = [strut.span.buckling_factor(loads, free_strain=strain) for strain in strains]
    out = {COLUMN: (np.min(factors, axis=0), requirement.ultimate_factor)}
    tip = strut.span.displacement(loads, at=[strut.mold_line.length], large=deflected)[..., 0, :]
    moved = {DEFLECTION: np.linalg.norm(tip[..., :3], axis=-1), TWIST: np.abs(tip[..., 3])}
    limits = {DEFLECTION: requirement.deflection_limit, TWIST: requirement.twist_limit}
    for mode, limit in limits.items():
        if limit is not None:
            with np.errstate(divide="ignore"):
                out[mode] = (limit / moved[mode], 1.0)
    return out
