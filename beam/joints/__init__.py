"""Joints of the strut: lugs, pins, bushings, bolts, bonds and saddles, in the margin table of the plies."""

from beam.joints.assembly import assembly_margins, joint_load_table, leg_masses
from beam.joints.bolt_rows import RowJoint, row_loads
from beam.joints.bolted_plates import InstalledBolt, LaminatePlate, MetalPlate
from beam.joints.bolts import BoltGroup, prying_share
from beam.joints.bond import BondedSleeve
from beam.joints.bushing import Bushing, FitStress, PressFit
from beam.joints.crushing import Spacer, ThroughBolt, squeezed_box, squeezed_ring
from beam.joints.drawn import DrawnSaddle, DrawnSocket
from beam.joints.fasteners import Fastener, Preload, fastener, fastener_flexibility, fasteners
from beam.joints.fitting import FittedJoint, Fitting, FreeBody, free_body, hinge_shares, joint_loads
from beam.joints.joint_rows import JointFactors, JointLoads, with_joints
from beam.joints.lug import Lug, LugCurves, LugStrength, ReadCurve
from beam.joints.pin import BalancedPin, Pin
from beam.joints.saddle import Clamp, Glue, Saddle

__all__ = [
    "BalancedPin",
    "BoltGroup",
    "BondedSleeve",
    "Bushing",
    "Clamp",
    "DrawnSaddle",
    "DrawnSocket",
    "Fastener",
    "FitStress",
    "FittedJoint",
    "Fitting",
    "FreeBody",
    "Glue",
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
    "Saddle",
    "Spacer",
    "ThroughBolt",
    "assembly_margins",
    "fastener",
    "fastener_flexibility",
    "fasteners",
    "free_body",
    "hinge_shares",
    "joint_load_table",
    "joint_loads",
    "leg_masses",
    "prying_share",
    "row_loads",
    "squeezed_box",
    "squeezed_ring",
    "with_joints",
]
