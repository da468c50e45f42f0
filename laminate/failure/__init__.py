"""Failure criteria of a ply in plane stress: one frozen object each, its parameters declared as fields.

Every criterion takes the stress (or strain) that grows with the load and, apart from it, the residual
part that does not. Its strength ratio is the factor on the load at which it is met: inf if it is never met, 0 if
the residual part alone is beyond it.
"""

from laminate.failure.criterion import Criterion
from laminate.failure.fiber_checks import Crush, Fabric, FiberStrain, ShearOffset, ShearStrength
from laminate.failure.hashin import Hashin
from laminate.failure.larc03 import LaRC03
from laminate.failure.max_limits import MaxStrain, MaxStress
from laminate.failure.modes import Mode, labels
from laminate.failure.puck import Puck
from laminate.failure.quadratic import Hoffman, TsaiHill, TsaiWu

CRITERIA: tuple[Criterion, ...] = (
    MaxStress(),
    MaxStrain(),
    TsaiHill(),
    Hoffman(),
    TsaiWu(),
    Hashin(),
    Puck(),
    LaRC03(),
)
"""One of each criterion that judges every stress of a ply, with default parameters."""

__all__ = [
    "CRITERIA",
    "Criterion",
    "Crush",
    "Fabric",
    "FiberStrain",
    "Hashin",
    "Hoffman",
    "LaRC03",
    "MaxStrain",
    "MaxStress",
    "Mode",
    "Puck",
    "ShearOffset",
    "ShearStrength",
    "TsaiHill",
    "TsaiWu",
    "labels",
]
