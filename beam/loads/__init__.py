"""Ground loads of the airworthiness code on each wheel, from the airplane sheet."""

from beam.loads.airplane import Airplane
from beam.loads.balance import Balance, balance
from beam.loads.case import GroundCase, WheelLoad
from beam.loads.equipment import Equipment
from beam.loads.flight_gear import FlightGear
from beam.loads.ground_cases import case_list
from beam.loads.layout import tail_clearance_angle, tip_back_angle, turnover_angle
from beam.loads.layout_checks import Check, layout_checks
from beam.loads.part23.appendix_c import drag_factor
from beam.loads.part23.appendix_d import SpinUp, spin_up_drag
from beam.loads.part23.assumptions import Landing, limit_descent_speed, required_load_factor
from beam.loads.part23.drop_test import drop_height, drop_load_factor, effective_mass, unit_masses
from beam.loads.stance import Stance, airplane_axes, ground_axes, split, stance
from beam.loads.tables import ground_cases, inertia_balance, layout_table, static_reactions
from beam.loads.wheels import brake_energy, braking_torque, nose_tire_load, stopping_distance

__all__ = [
    "Airplane",
    "Balance",
    "Check",
    "Equipment",
    "FlightGear",
    "GroundCase",
    "Landing",
    "SpinUp",
    "Stance",
    "WheelLoad",
    "airplane_axes",
    "balance",
    "brake_energy",
    "braking_torque",
    "case_list",
    "drag_factor",
    "drop_height",
    "drop_load_factor",
    "effective_mass",
    "ground_axes",
    "ground_cases",
    "inertia_balance",
    "layout_checks",
    "layout_table",
    "limit_descent_speed",
    "nose_tire_load",
    "required_load_factor",
    "spin_up_drag",
    "split",
    "stance",
    "static_reactions",
    "stopping_distance",
    "tail_clearance_angle",
    "tip_back_angle",
    "turnover_angle",
    "unit_masses",
]
