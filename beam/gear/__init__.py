"""The gear below the strut: tire, shock, trailing link, their drop, and the loads on the strut.

Every name is loaded on first use.
"""

from typing import TYPE_CHECKING

from materials.lazy import lazy_names

_NAMES = {
    "brake_heat": "BrakeHeat BrakeStop BrakeTemperatures",
    "clearances": "bay_clearances strut_clearances sweep_clearances wheel_extent",
    "landing.drop_comparison": "ChannelError DropComparison compare_drop",
    "landing.drop_record": "DropRecord read_drop",
    "landing.drop_test_plan": "Channel DropTestPlan plan_drop_test",
    "landing.landing_envelope": "LandingEnvelope landing_envelope",
    "landing.shock_choice": "ShockChoice ShockTrade choose_shock shock_trade",
    "landing.shock_demand": "Bump Constraint NoShock ShockDemand",
    "landing.variants": "VARIANTS Variant",
    "main_gear": "MainGear",
    "main_legs": "LegCases leg_cases",
    "motion.many_drops": "Drops drops",
    "motion.bump": "BumpRide taxi_bump",
    "motion.drop": "Bottomed Drop Instant drop free_fall_speed reserve_energy",
    "parts.curve": "Curve",
    "parts.link": "Alignment TrailingLink alignment",
    "parts.orifice": "DamperCurve Orifice orifice_coefficient",
    "parts.shock": "Shock",
    "parts.shocks": "Shocks",
    "parts.spring": "AirSpring CurveSpring TwoChamberSpring",
    "parts.tire": "GroundFriction Tire fore_aft_stiffness",
    "retraction.actuator": "DoorRod",
    "retraction.brace": "Fold Lock OverCenterBrace",
    "retraction.conditions": "FlightCondition flight_conditions",
    "retraction.leg_reactions": "LegLoads LegReactions leg_loads leg_reactions",
    "retraction.pivot_axis": "PivotAxis pivot_axis wheel_pivot_axis",
    "retraction.retracting_gear": "RetractingGear",
    "retraction.swing": "Swing lock_load swing",
    "strut_loads": "StrutLoads",
    "thermal_network": "Conduction Convection Radiation ThermalNode",
    "walk": "GearWalk gear_walk",
}
__all__ = [
    "VARIANTS",
    "AirSpring",
    "Alignment",
    "Bottomed",
    "BrakeHeat",
    "BrakeStop",
    "BrakeTemperatures",
    "Bump",
    "BumpRide",
    "Channel",
    "ChannelError",
    "Conduction",
    "Constraint",
    "Convection",
    "Curve",
    "CurveSpring",
    "DamperCurve",
    "DoorRod",
    "Drop",
    "DropComparison",
    "DropRecord",
    "DropTestPlan",
    "Drops",
    "FlightCondition",
    "Fold",
    "GearWalk",
    "GroundFriction",
    "Instant",
    "LandingEnvelope",
    "LegCases",
    "LegLoads",
    "LegReactions",
    "Lock",
    "MainGear",
    "NoShock",
    "Orifice",
    "OverCenterBrace",
    "PivotAxis",
    "Radiation",
    "RetractingGear",
    "Shock",
    "ShockChoice",
    "ShockDemand",
    "ShockTrade",
    "Shocks",
    "StrutLoads",
    "Swing",
    "ThermalNode",
    "Tire",
    "TrailingLink",
    "TwoChamberSpring",
    "Variant",
    "alignment",
    "bay_clearances",
    "choose_shock",
    "compare_drop",
    "drop",
    "drops",
    "flight_conditions",
    "fore_aft_stiffness",
    "free_fall_speed",
    "gear_walk",
    "landing_envelope",
    "leg_cases",
    "leg_loads",
    "leg_reactions",
    "lock_load",
    "orifice_coefficient",
    "pivot_axis",
    "plan_drop_test",
    "read_drop",
    "reserve_energy",
    "shock_trade",
    "strut_clearances",
    "sweep_clearances",
    "swing",
    "taxi_bump",
    "wheel_extent",
    "wheel_pivot_axis"
]  # fmt: skip
__getattr__, __dir__ = lazy_names(
    "beam.gear", {name: f"beam.gear.{module}" for module, names in _NAMES.items() for name in names.split()}
)

if TYPE_CHECKING:
    from beam.gear.brake_heat import BrakeHeat, BrakeStop, BrakeTemperatures
    from beam.gear.clearances import bay_clearances, strut_clearances, sweep_clearances, wheel_extent
    from beam.gear.landing.drop_comparison import ChannelError, DropComparison, compare_drop
    from beam.gear.landing.drop_record import DropRecord, read_drop
    from beam.gear.landing.drop_test_plan import Channel, DropTestPlan, plan_drop_test
    from beam.gear.landing.landing_envelope import LandingEnvelope, landing_envelope
    from beam.gear.landing.shock_choice import ShockChoice, ShockTrade, choose_shock, shock_trade
    from beam.gear.landing.shock_demand import Bump, Constraint, NoShock, ShockDemand
    from beam.gear.landing.variants import VARIANTS, Variant
    from beam.gear.main_gear import MainGear
    from beam.gear.main_legs import LegCases, leg_cases
    from beam.gear.motion.bump import BumpRide, taxi_bump
    from beam.gear.motion.drop import Bottomed, Drop, Instant, drop, free_fall_speed, reserve_energy
    from beam.gear.motion.many_drops import Drops, drops
    from beam.gear.parts.curve import Curve
    from beam.gear.parts.link import Alignment, TrailingLink, alignment
    from beam.gear.parts.orifice import DamperCurve, Orifice, orifice_coefficient
    from beam.gear.parts.shock import Shock
    from beam.gear.parts.shocks import Shocks
    from beam.gear.parts.spring import AirSpring, CurveSpring, TwoChamberSpring
    from beam.gear.parts.tire import GroundFriction, Tire, fore_aft_stiffness
    from beam.gear.retraction.actuator import DoorRod
    from beam.gear.retraction.brace import Fold, Lock, OverCenterBrace
    from beam.gear.retraction.conditions import FlightCondition, flight_conditions
    from beam.gear.retraction.leg_reactions import LegLoads, LegReactions, leg_loads, leg_reactions
    from beam.gear.retraction.pivot_axis import PivotAxis, pivot_axis, wheel_pivot_axis
    from beam.gear.retraction.retracting_gear import RetractingGear
    from beam.gear.retraction.swing import Swing, lock_load, swing
    from beam.gear.strut_loads import StrutLoads
    from beam.gear.thermal_network import Conduction, Convection, Radiation, ThermalNode
    from beam.gear.walk import GearWalk, gear_walk
