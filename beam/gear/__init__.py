"""The gear below the strut: tire, shock, trailing link, their drop, and what reaches the strut."""

from beam.gear.air_spring import AirSpring, TwoChamberSpring
from beam.gear.alignment import Alignment, alignment
from beam.gear.bottomed import Bottomed
from beam.gear.bump import BumpRide, taxi_bump
from beam.gear.cases import LegCases, leg_cases
from beam.gear.choose_shock import ShockChoice, choose_shock
from beam.gear.curve import Curve
from beam.gear.drop import drop, free_fall_speed, reserve_energy
from beam.gear.drop_compare import ChannelError, DropComparison, compare_drop
from beam.gear.drop_record import DropRecord, read_drop
from beam.gear.drop_result import Drop, Instant
from beam.gear.drop_test import Channel, DropTestPlan, plan_drop_test
from beam.gear.drops import Drops, drops
from beam.gear.friction import GroundFriction
from beam.gear.gear import MainGear
from beam.gear.link import TrailingLink
from beam.gear.orifice import DamperCurve, Orifice, orifice_coefficient
from beam.gear.pivot_axis import PivotAxis, pivot_axis, wheel_pivot_axis
from beam.gear.retracting_gear import RetractingGear
from beam.gear.retraction import Swing, lock_load, swing
from beam.gear.rod import DoorRod
from beam.gear.shock import Shock
from beam.gear.shock_demand import Bump, Constraint, NoShock, ShockDemand
from beam.gear.shock_trade import ShockTrade, shock_trade
from beam.gear.shocks import Shocks
from beam.gear.spring import CurveSpring
from beam.gear.strut_loads import StrutLoads
from beam.gear.strut_sway import StrutSway
from beam.gear.tire import Tire

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
