"""The choice of the shock, and the drop test: its plan, its record, and both compared."""

from beam.gear.landing.drop_comparison import ChannelError, DropComparison, compare_drop
from beam.gear.landing.drop_record import DropRecord, read_drop
from beam.gear.landing.drop_test_plan import Channel, DropTestPlan, plan_drop_test
from beam.gear.landing.shock_choice import ShockChoice, ShockTrade, choose_shock, shock_trade
from beam.gear.landing.shock_demand import Bump, Constraint, NoShock, ShockDemand

__all__ = [
    "Bump",
    "Channel",
    "ChannelError",
    "Constraint",
    "DropComparison",
    "DropRecord",
    "DropTestPlan",
    "NoShock",
    "ShockChoice",
    "ShockDemand",
    "ShockTrade",
    "choose_shock",
    "compare_drop",
    "plan_drop_test",
    "read_drop",
    "shock_trade",
]
