"""Joints of the strut: lugs, pins, bushings, bolts, bonds and saddles, in the margin table of the plies."""

from beam.joints.bolt_rows import RowJoint, row_loads
from beam.joints.bolts import BoltGroup, InstalledBolt, LaminatePlate, MetalPlate, prying_share
from beam.joints.bond import BondedSleeve
from beam.joints.bushing import Bushing, FitStress, PressFit
from beam.joints.fasteners import Fastener, Preload, fastener, fastener_flexibility, fasteners
from beam.joints.joint_rows import JointFactors, JointLoads, with_joints
from beam.joints.lug import Lug, LugCurves, LugStrength, ReadCurve
from beam.joints.pin import BalancedPin, Pin

__all__ = [
    "BalancedPin",
    "BoltGroup",
    "BondedSleeve",
    "Bushing",
    "Fastener",
    "FitStress",
    "InstalledBolt",
    "JointFactors",
    "JointLoads",
    "LaminatePlate",
    "Lug",
    "LugCurves",
    "LugStrength",
    "MetalPlate",
    "Pin",
    "Preload",
    "PressFit",
    "ReadCurve",
    "RowJoint",
    "fastener",
    "fastener_flexibility",
    "fasteners",
    "prying_share",
    "row_loads",
    "with_joints",
]
