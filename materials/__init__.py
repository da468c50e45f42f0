"""What a strut is made of: laminae, metals, allowables, knockdown factors, and where each number comes from.

Every class and function refuses an argument outside of its declared limits by a ValueError that says what, got,
limit and likely cause. "Raises" names only what goes beyond.
"""

from materials.adhesive import Adhesive, AdhesiveCurve
from materials.allowables import Allowables, Factor
from materials.catalog import catalog, conditioned, lamina, metal, metals
from materials.environment import (
    Condition,
    ConditionedLamina,
    check_glass_transition,
)
from materials.fiber_content import cured_thickness, fiber_volume, void_volume
from materials.lamina import Lamina
from materials.metal import Metal
from materials.micromechanics import (
    Fiber,
    Matrix,
    halpin_tsai,
    mixture,
    unidirectional,
)
from materials.moisture import (
    diffusivity,
    equilibrium_moisture,
    moisture_profile,
    moisture_uptake,
)
from materials.source import Source
from materials.statistics import CouponBasis, basis_from_coupons, basis_value, tolerance_factor
from materials.through_thickness import ThroughThickness, through_thickness

__all__ = [
    "Adhesive",
    "AdhesiveCurve",
    "Allowables",
    "Condition",
    "ConditionedLamina",
    "CouponBasis",
    "Factor",
    "Fiber",
    "Lamina",
    "Matrix",
    "Metal",
    "Source",
    "ThroughThickness",
    "basis_from_coupons",
    "basis_value",
    "catalog",
    "check_glass_transition",
    "conditioned",
    "cured_thickness",
    "diffusivity",
    "equilibrium_moisture",
    "fiber_volume",
    "halpin_tsai",
    "lamina",
    "metal",
    "metals",
    "mixture",
    "moisture_profile",
    "moisture_uptake",
    "through_thickness",
    "tolerance_factor",
    "unidirectional",
    "void_volume",
]
