"""Joints of the strut: lugs, pins, bushings, bolts, bonds and saddles, in the margin table of the plies."""

from beam.joints.bond import BondedSleeve
from beam.joints.joint_rows import JointFactors, JointLoads, with_joints

__all__ = [
    "BondedSleeve",
    "JointFactors",
    "JointLoads",
    "with_joints",
]
