"""Ground loads of the airworthiness code on each wheel, from the airplane sheet."""

from beam.loads.airplane import Airplane
from beam.loads.balance import Balance, balance
from beam.loads.case import Condition, GroundCase, WheelLoad, pair, standing
from beam.loads.case_tables import (
    case_list,
    case_table,
    ground_cases,
    inertia_balance,
    read_cases,
    static_reactions,
)
from beam.loads.equipment import Equipment
from beam.loads.flight_gear import FlightGear
from beam.loads.layout import layout_table, tail_clearance_angle, tip_back_angle, turnover_angle
from beam.loads.part23.appendices import SpinUp, drag_factor, spin_up_drag
from beam.loads.part23.landing import (
    DropInstant,
    Landing,
    LandingPoint,
    limit_descent_speed,
    required_load_factor,
    reserve_descent_speed,
)
from beam.loads.part23.level_landing import contact_speed
from beam.loads.part23.limit_drop import (
    drop_height,
    drop_load_factor,
    effective_mass,
    reserve_drop_height,
    unit_masses,
)
from beam.loads.stance import Stance, airplane_axes, ground_axes, split, stance
from beam.loads.weight_and_balance import CgRange, MassItem, cg_range
from beam.loads.wheels import brake_energy, braking_torque, nose_tire_load, stopping_distance

__all__ = [
    "Airplane",
    "Balance",
    "CgRange",
    "Condition",
    "DropInstant",
    "Equipment",
    "FlightGear",
    "GroundCase",
    "Landing",
    "LandingPoint",
    "MassItem",
    "SpinUp",
    "Stance",
    "WheelLoad",
    "airplane_axes",
    "balance",
    "brake_energy",
    "braking_torque",
    "case_list",
    "case_table",
    "cg_range",
    "contact_speed",
    "drag_factor",
    "drop_height",
    "drop_load_factor",
    "effective_mass",
    "ground_axes",
    "ground_cases",
    "inertia_balance",
    "layout_table",
    "limit_descent_speed",
    "nose_tire_load",
    "pair",
    "read_cases",
    "required_load_factor",
    "reserve_descent_speed",
    "reserve_drop_height",
    "spin_up_drag",
    "split",
    "stance",
    "standing",
    "static_reactions",
    "stopping_distance",
    "tail_clearance_angle",
    "tip_back_angle",
    "turnover_angle",
    "unit_masses",
]
