"""The gear below the strut: tire, shock, trailing link, their drop, and what reaches the strut."""

from beam.gear.alignment import Alignment, alignment
from beam.gear.landing import (
    Bump,
    Channel,
    ChannelError,
    Constraint,
    DropComparison,
    DropRecord,
    DropTestPlan,
    NoShock,
    ShockChoice,
    ShockDemand,
    ShockTrade,
    choose_shock,
    compare_drop,
    plan_drop_test,
    read_drop,
    shock_trade,
)
from beam.gear.leg_cases import LegCases, leg_cases
from beam.gear.main_gear import MainGear
from beam.gear.motion.bottomed import Bottomed
from beam.gear.motion.bump import BumpRide, taxi_bump
from beam.gear.motion.drop import drop, free_fall_speed, reserve_energy
from beam.gear.motion.drop_result import Drop, Instant
from beam.gear.motion.drops import Drops, drops
from beam.gear.parts.air_spring import AirSpring, TwoChamberSpring
from beam.gear.parts.curve import Curve
from beam.gear.parts.friction import GroundFriction
from beam.gear.parts.link import TrailingLink
from beam.gear.parts.orifice import DamperCurve, Orifice, orifice_coefficient
from beam.gear.parts.shock import Shock
from beam.gear.parts.shocks import Shocks
from beam.gear.parts.spring import CurveSpring
from beam.gear.parts.strut_sway import StrutSway
from beam.gear.parts.tire import Tire
from beam.gear.retraction import (
    DoorRod,
    PivotAxis,
    RetractingGear,
    Swing,
    lock_load,
    pivot_axis,
    swing,
    wheel_pivot_axis,
)
from beam.gear.strut_loads import StrutLoads

__all__ = [
    "AirSpring",
    "Alignment",
    "Bottomed",
    "Bump",
    "BumpRide",
    "Channel",
    "ChannelError",
    "Constraint",
    "Curve",
    "CurveSpring",
    "DamperCurve",
    "DoorRod",
    "Drop",
    "DropComparison",
    "DropRecord",
    "DropTestPlan",
    "Drops",
    "GroundFriction",
    "Instant",
    "LegCases",
    "MainGear",
    "NoShock",
    "Orifice",
    "PivotAxis",
    "RetractingGear",
    "Shock",
    "ShockChoice",
    "ShockDemand",
    "ShockTrade",
    "Shocks",
    "StrutLoads",
    "StrutSway",
    "Swing",
    "Tire",
    "TrailingLink",
    "TwoChamberSpring",
    "alignment",
    "choose_shock",
    "compare_drop",
    "drop",
    "drops",
    "free_fall_speed",
    "leg_cases",
    "lock_load",
    "orifice_coefficient",
    "pivot_axis",
    "plan_drop_test",
    "read_drop",
    "reserve_energy",
    "shock_trade",
    "swing",
    "taxi_bump",
    "wheel_pivot_axis",
]
