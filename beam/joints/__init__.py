"""Joints of the strut: lugs, pins, bushings, bolts, bonds and saddles, in the margin table of the plies."""

from beam.joints.joint_rows import JointFactors, JointLoads, with_joints

__all__ = [
    "JointFactors",
    "JointLoads",
    "with_joints",
]
