"""The lightest ply book of a mold line, with its proof, and how it moves with what is assumed."""

from beam.sizing.lattice import Lattice, PlyKind
from beam.sizing.problem import Problem
from beam.sizing.scatter import Scatter, Variation, scatter, usual_variations
from beam.sizing.sensitivity import sensitivity
from beam.sizing.shop_rules import AngleStep, Contiguity, LeastShare, OuterPlies
from beam.sizing.sizing import InfeasibleSizing, Sizing, lightest
from beam.sizing.sweep import Sweep, sweep

__all__ = [
    "AngleStep",
    "Contiguity",
    "InfeasibleSizing",
    "Lattice",
    "LeastShare",
    "OuterPlies",
    "PlyKind",
    "Problem",
    "Scatter",
    "Sizing",
    "Sweep",
    "Variation",
    "lightest",
    "scatter",
    "sensitivity",
    "sweep",
    "usual_variations",
]
