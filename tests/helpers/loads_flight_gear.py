"""An invented main leg in the air."""

from typing import Any

LEG: dict[str, Any] = {
    "mass": 14.0,
    "drag_area": 0.06,
    "stall_speed_clean": 32.0,
    "wheel_inertia": 0.25,
    "take_off_speed": 36.0,
    "retraction_rate": (0.5, 0.0, -0.2),
    "brake_torque": 120.0,
    "flight_load_factor": 3.8,
    "sideslip_deg": 12.0,
}
