"""What a strut is made of: laminae, allowables, knockdowns, and where each number comes from."""

from materials.allowables import Allowables
from materials.catalog import lamina, metal
from materials.constituents import Fiber, Matrix, unidirectional
from materials.environment import Condition, ConditionedLamina
from materials.fiber_content import cured_thickness, fiber_volume, void_volume
from materials.glass_transition import GlassTransitionWarning, check_glass_transition
from materials.knockdown import Factor
from materials.lamina import Lamina
from materials.metal import Metal
from materials.micromechanics import (
    halpin_tsai,
    longitudinal_expansion,
    mixture,
    series,
    transverse_expansion,
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
from materials.tables import catalog, metals
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
