"""The lightest ply book of a mold line, with its proof."""

from beam.sizing.lattice import Lattice, PlyKind
from beam.sizing.sizing import InfeasibleSizing, Sizing, lightest

__all__ = ["InfeasibleSizing", "Lattice", "PlyKind", "Sizing", "lightest"]
