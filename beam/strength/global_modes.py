"""Modes of the whole strut: buckling as a column at ultimate load, deflection and twist of the tip at limit load."""

import numpy as np

from beam.strength.requirement import COLUMN, DEFLECTION, TWIST, Requirement, Service, case_factors
from beam.strength.section_forces import free_strains
from beam.strut import PointLoads, Strut
from materials.checks import Array

WHOLE_STRUT = "whole strut"
GlobalRatios = dict[str, tuple[Array, Array]]
"""For each mode of the whole strut the ratio and the factor on load that it is divided by, (case,) each [-]."""


def global_ratios(
    strut: Strut,
    loads: PointLoads,
    requirement: Requirement,
    *,
    states: tuple[Service, ...] | None = None,
    deflected: bool = False,
    tip: Array | None = None,
) -> GlobalRatios:
    """Ratios of the whole strut in one stiffness; `tip` (case, 6) is its motion where another model gives it."""
    # Column: buckling factor under all loads of the case, over the ultimate factor; on redundant supports with the
    # forces of heat and moisture present and constant, the lowest over the services. Deflection and twist: the limit
    # over the motion of the tip at limit load, measured from the strut at rest in its service.
    strains = dict.fromkeys(
        free_strains(strut, requirement, requirement.states if states is None else states)
    )
    factors = [strut.span.buckling_factor(loads, free_strain=strain) for strain in strains]
    by_case = case_factors(requirement, loads)
    out = {COLUMN: (np.min(factors, axis=0), by_case["ultimate"])}
    if tip is None:
        tip = strut.span.displacement(loads, at=[strut.mold_line.length], large=deflected)[..., 0, :]
    moved = {DEFLECTION: np.linalg.norm(tip[..., :3], axis=-1), TWIST: np.abs(tip[..., 3])}
    limits = {DEFLECTION: requirement.deflection_limit, TWIST: requirement.twist_limit}
    for mode, limit in limits.items():
        if limit is not None:
            with np.errstate(divide="ignore"):
                out[mode] = (limit / moved[mode], np.where(by_case["limit"] > 0.0, 1.0, 0.0))
    return out


def lowest_modes(known: GlobalRatios, found: GlobalRatios) -> None:
    """Lower the known ratios of the whole strut to those found in another stiffness."""
    for mode, (ratio, divisor) in found.items():
        known[mode] = np.minimum(ratio, known[mode][0]) if mode in known else ratio, divisor
