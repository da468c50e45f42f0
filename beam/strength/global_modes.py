"""Modes of the whole strut: buckling as a column at ultimate load, motion of the tip at limit load, frequency."""

import numpy as np

from beam.strength.requirement import (
    COLUMN,
    DEFLECTION,
    FREQUENCY,
    TWIST,
    Requirement,
    Service,
    case_factors,
)
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
    # forces of heat and moisture present and constant, the lowest over the services. Deflection, twist and other forms
    # of the tip's motion: the limit over the motion at limit load, measured from the strut at rest in its service.
    # Frequency: the lowest one over its limit, the same in every case.
    strains = dict.fromkeys(
        free_strains(strut, requirement, requirement.states if states is None else states)
    )
    factors = [strut.span.buckling_factor(loads, free_strain=strain) for strain in strains]
    ultimate = case_factors(requirement, loads)["ultimate"]
    stiff = stiffness_ratios(strut, loads, requirement, deflected=deflected, tip=tip)
    return {COLUMN: (np.min(factors, axis=0), ultimate)} | stiff


def stiffness_ratios(
    strut: Strut,
    loads: PointLoads,
    requirement: Requirement,
    *,
    deflected: bool = False,
    tip: Array | None = None,
) -> GlobalRatios:
    """`global_ratios` of the limits on the tip and on the frequency that are set."""
    out: GlobalRatios = {}
    limits = tip_limits(requirement)
    if limits and tip is None:
        tip = strut.span.displacement(loads, at=[strut.mold_line.length], large=deflected)[..., 0, :]
    met = np.where(case_factors(requirement, loads)["limit"] > 0.0, 1.0, 0.0)
    for mode, (forms, limit) in limits.items():
        with np.errstate(divide="ignore"):
            out[mode] = limit / np.linalg.norm(np.asarray(tip) @ forms.T, axis=-1), met
    if requirement.frequency_limit is not None:
        lowest = strut.span.frequencies(1, masses=requirement.carried)[0]
        every = np.ones(len(loads.force))
        out[FREQUENCY] = lowest / requirement.frequency_limit * every, every
    return out


def tip_limits(requirement: Requirement) -> dict[str, tuple[Array, float]]:
    """Forms (form, 6) of the tip's motion, of which the root of the sum of squares has a limit, by mode."""
    six = np.eye(6)
    found = {
        DEFLECTION: (six[:3], requirement.deflection_limit),
        TWIST: (six[3:4], requirement.twist_limit),
    } | {one.name: (np.array([one.form], dtype=float), one.limit) for one in requirement.tip_limits}
    return {mode: (forms, limit) for mode, (forms, limit) in found.items() if limit is not None}


def lowest_modes(known: GlobalRatios, found: GlobalRatios) -> None:
    """Lower the known ratios of the whole strut to those found in another stiffness."""
    for mode, (ratio, divisor) in found.items():
        known[mode] = np.minimum(ratio, known[mode][0]) if mode in known else ratio, divisor
