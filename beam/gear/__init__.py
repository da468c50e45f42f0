"""The gear below the strut: tire, shock, trailing link, their drop, and what reaches the strut."""

from beam.gear.air_spring import AirSpring, TwoChamberSpring
from beam.gear.alignment import Alignment, alignment
from beam.gear.bottomed import Bottomed
from beam.gear.bump import BumpRide, taxi_bump
from beam.gear.cases import STROKE_FRACTIONS, LegCases, leg_cases
from beam.gear.curve import Curve
from beam.gear.drop import drop, free_fall_speed, reserve_energy
from beam.gear.drop_result import Drop, Instant
from beam.gear.friction import GroundFriction
from beam.gear.gear import MainGear
from beam.gear.link import TrailingLink
from beam.gear.orifice import DamperCurve, Orifice, orifice_coefficient
from beam.gear.shock import Shock
from beam.gear.spring import CurveSpring
from beam.gear.strut_loads import StrutLoads
from beam.gear.strut_sway import StrutSway
from beam.gear.tire import Tire

__all__ = [
    "STROKE_FRACTIONS",
    "AirSpring",
    "Alignment",
    "Bottomed",
    "BumpRide",
    "Curve",
    "CurveSpring",
    "DamperCurve",
    "Drop",
    "GroundFriction",
    "Instant",
    "LegCases",
    "MainGear",
    "Orifice",
    "Shock",
    "StrutLoads",
    "StrutSway",
    "Tire",
    "TrailingLink",
    "TwoChamberSpring",
    "alignment",
    "drop",
    "free_fall_speed",
    "leg_cases",
    "orifice_coefficient",
    "reserve_energy",
    "taxi_bump",
]
