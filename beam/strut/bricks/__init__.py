"""The strut in layered bricks, from the same mold line and ply book: a three-dimensional check of the beam.

It needs the optional extra `fe` (scikit-fem), whose elements and quadrature it uses.
"""

from beam.strut.bricks.brick_mesh import Density
from beam.strut.bricks.brick_model import Bricks, PlyStates, solve
from beam.strut.bricks.comparison import Comparison, Convergence, compare, converge

__all__ = [
    "Bricks",
    "Comparison",
    "Convergence",
    "Density",
    "PlyStates",
    "compare",
    "converge",
    "solve",
]
