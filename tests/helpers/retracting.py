"""The retracting gear of `examples/tarn_retraction.py` and one good call with it."""

import tarn
from tarn_retraction import AXIS, BEARINGS, DOWN_LOCK, LINK, RETRACTING, UP_LOCK, T

from beam.gear import flight_conditions

__all__ = [
           "AXIS",
           "BEARINGS",
           "BRACE",
           "CARRIED",
           "CONDITIONS",
           "DOWN_LOCK",
           "HOLDING",
           "LINK",
           "RETRACTING",
           "UP_LOCK",
           "T",
]  # fmt: skip
BRACE = {name: getattr(DOWN_LOCK, name) for name in type(DOWN_LOCK).__dataclass_fields__}
CONDITIONS = {
    "flight_load_factor": 3.8,
    "negative_load_factor": -1.5,
    "stall_speed_clean": 29.0,
    "transit_load_factor": 2.0,
    "sideslip_deg": 10.0,
    "wheel_speed": 160.0,
    "brake_torque": 90.0,
    "density": 1.225,
}
HOLDING = {"bearings": BEARINGS, "down_lock": DOWN_LOCK}
CARRIED = {
    "gear": RETRACTING,
    "mold_line": tarn.MOLD_LINE,
    **HOLDING,
    "up_lock": UP_LOCK,
    "conditions": flight_conditions(**CONDITIONS),
    "duration": 5.0,
}
