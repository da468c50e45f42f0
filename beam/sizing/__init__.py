"""The lightest ply book of a mold line, with its proof, and how it moves with what is assumed."""

from beam.sizing.diagnosis import InfeasibleSizing
from beam.sizing.lattice import Lattice, PlyKind
from beam.sizing.problem import Problem
from beam.sizing.scatter import Scatter, Variation, scatter, usual_variations
from beam.sizing.shop_rules import AngleStep, Contiguity, LeastShare, OuterPlies
from beam.sizing.sizing import Sizing, lightest, size
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
    "size",
    "sweep",
    "usual_variations",
]
