"""The strut along its span: mold line, ply book, and the equilibrium of a flexible line in space."""

from beam.strut.axis import Axis
from beam.strut.cut_list import CutPiece, cut_list
from beam.strut.influence import flexibility, force_influence, point_stiffness
from beam.strut.introductions import Band, IntroductionNote, Rib
from beam.strut.mold_line import MoldLine, Profile
from beam.strut.ply_book import BookPly, PlyBook
from beam.strut.ply_drops import EndOfPly, Step, at_steps, end_of_ply, steep, steps
from beam.strut.ply_ends import PlyEnd, beside_ends, end_factor, end_stations, ply_end_ratios
from beam.strut.point_loads import PointLoads
from beam.strut.solver.large import NoEquilibrium
from beam.strut.solver.vibration import Modes, PointMass
from beam.strut.span import Span
from beam.strut.strut import Strut
from beam.strut.supports import Held, Support

__all__ = [
    "Axis",
    "Band",
    "BookPly",
    "CutPiece",
    "EndOfPly",
    "Held",
    "IntroductionNote",
    "Modes",
    "MoldLine",
    "NoEquilibrium",
    "PlyBook",
    "PlyEnd",
    "PointLoads",
    "PointMass",
    "Profile",
    "Rib",
    "Span",
    "Step",
    "Strut",
    "Support",
    "at_steps",
    "beside_ends",
    "cut_list",
    "end_factor",
    "end_of_ply",
    "end_stations",
    "flexibility",
    "force_influence",
    "ply_end_ratios",
    "point_stiffness",
    "steep",
    "steps",
]
