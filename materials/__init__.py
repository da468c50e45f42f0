"""What a strut is made of: laminae, metals, allowables, knockdown factors, and where each number comes from."""

from materials.allowables import Allowables, Factor
from materials.catalog import catalog, lamina, metal, metals
from materials.environment import (
    Condition,
    ConditionedLamina,
    GlassTransitionWarning,
    check_glass_transition,
)
from materials.fiber_content import cured_thickness, fiber_volume, void_volume
from materials.lamina import Lamina
from materials.metal import Metal
from materials.micromechanics import (
    Fiber,
    Matrix,
    halpin_tsai,
    longitudinal_expansion,
    mixture,
    series,
    transverse_expansion,
    unidirectional,
)
from materials.moisture import (
    diffusivity,
    equilibrium_moisture,
    moisture_profile,
    moisture_uptake,
    uptake_fraction,
)
from materials.source import Source
from materials.statistics import CouponBasis, basis_from_coupons, basis_value, tolerance_factor
from materials.through_thickness import ThroughThickness, through_thickness

__all__ = [
    "Allowables",
    "Condition",
    "ConditionedLamina",
    "CouponBasis",
    "Factor",
    "Fiber",
    "GlassTransitionWarning",
    "Lamina",
    "Matrix",
    "Metal",
    "Source",
    "ThroughThickness",
    "basis_from_coupons",
    "basis_value",
    "catalog",
    "check_glass_transition",
    "cured_thickness",
    "diffusivity",
    "equilibrium_moisture",
    "fiber_volume",
    "halpin_tsai",
    "lamina",
    "longitudinal_expansion",
    "metal",
    "metals",
    "mixture",
    "moisture_profile",
    "moisture_uptake",
    "series",
    "through_thickness",
    "tolerance_factor",
    "transverse_expansion",
    "unidirectional",
    "uptake_fraction",
    "void_volume",
]
