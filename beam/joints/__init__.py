"""Joints of the strut: lugs, pins, bushings, bolts, bonds and saddles, in the margin table of the plies."""

from beam.joints.bond import BondedSleeve
from beam.joints.bushing import Bushing, FitStress, PressFit
from beam.joints.joint_rows import JointFactors, JointLoads, with_joints
from beam.joints.lug import Lug, LugCurves, LugStrength, ReadCurve
from beam.joints.pin import BalancedPin, Pin

__all__ = [
    "BalancedPin",
    "BondedSleeve",
    "Bushing",
    "FitStress",
    "JointFactors",
    "JointLoads",
    "Lug",
    "LugCurves",
    "LugStrength",
    "Pin",
    "PressFit",
    "ReadCurve",
    "with_joints",
]
