"""Failure of a ply in plane stress: one criterion per file, one signature for all.

Every criterion takes the stress (or strain) that grows with the load and, apart from it, the residual
part that does not, and returns the factor on the load at which it is met: inf if it is never met, 0 if
the residual part alone is beyond it. `CRITERIA` holds them all, `MODE_OF` gives the function with the
same arguments that tells the mode.
"""

from laminate.failure.hashin import hashin, hashin_mode
from laminate.failure.hoffman import hoffman, hoffman_mode, hoffman_surfaces
from laminate.failure.larc03 import larc03, larc03_mode
from laminate.failure.max_strain import max_strain, max_strain_mode, max_strain_surfaces
from laminate.failure.max_stress import max_stress, max_stress_mode, max_stress_surfaces
from laminate.failure.modes import Mode, labels
from laminate.failure.puck import fracture_angle, puck, puck_mode
from laminate.failure.tsai_hill import tsai_hill, tsai_hill_mode
from laminate.failure.tsai_wu import tsai_wu, tsai_wu_mode, tsai_wu_surfaces

MODE_OF = {
    max_stress: max_stress_mode,
    max_strain: max_strain_mode,
    tsai_hill: tsai_hill_mode,
    hoffman: hoffman_mode,
    tsai_wu: tsai_wu_mode,
    hashin: hashin_mode,
    puck: puck_mode,
    larc03: larc03_mode,
}
CRITERIA = tuple(MODE_OF)
STRAIN_CRITERIA = (max_strain,)
"""Those that take strain; all others take stress."""

__all__ = [
    "CRITERIA",
    "MODE_OF",
    "STRAIN_CRITERIA",
    "Mode",
    "fracture_angle",
    "hashin",
    "hashin_mode",
    "hoffman",
    "hoffman_mode",
    "hoffman_surfaces",
    "labels",
    "larc03",
    "larc03_mode",
    "max_strain",
    "max_strain_mode",
    "max_strain_surfaces",
    "max_stress",
    "max_stress_mode",
    "max_stress_surfaces",
    "puck",
    "puck_mode",
    "tsai_hill",
    "tsai_hill_mode",
    "tsai_wu",
    "tsai_wu_mode",
    "tsai_wu_surfaces",
]
