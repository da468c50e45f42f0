"""Margins of a strut: what it must withstand, and how far it is from failing."""

from beam.strength.check import DECLARED_GUIDANCE, GUIDANCE, Caps, Check, recommended, screening
from beam.strength.damage import Damage, life_factor, load_enhancement, no_growth_reserve, rainflow
from beam.strength.margins import check_stations, margins
from beam.strength.ply_end_margins import ply_end_margins
from beam.strength.region_factors import RegionFactor
from beam.strength.requirement import Requirement, Service, TipLimit, alignment_limits
from beam.strength.solid_margins import brick_margins
from beam.strength.spectrum import LandingSpectrum, RepeatedLoad, repeated_strain
from beam.strength.strain import SpanStrain, span_strain

__all__ = [
    "DECLARED_GUIDANCE",
    "GUIDANCE",
    "Caps",
    "Check",
    "Damage",
    "LandingSpectrum",
    "RegionFactor",
    "RepeatedLoad",
    "Requirement",
    "Service",
    "SpanStrain",
    "TipLimit",
    "alignment_limits",
    "brick_margins",
    "check_stations",
    "life_factor",
    "load_enhancement",
    "margins",
    "no_growth_reserve",
    "ply_end_margins",
    "rainflow",
    "recommended",
    "repeated_strain",
    "screening",
    "span_strain",
]
