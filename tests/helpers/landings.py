"""The landing that the tests of the drop look at from several sides, made once for each set of options."""

from functools import cache

from gears import SKEW, trailing_gear

from beam.gear import StrutSway, drop

GEAR, SKEWED = trailing_gear(), trailing_gear(**SKEW)
LIMIT = {"mass": 500.0, "speed": 2.9, "lift_ratio": 2 / 3, "ground_speed": 35.0}
SWAY = StrutSway(stiffness=6e5, mass=2.0, damping_ratio=0.03)


@cache
def limit_drop(skewed=False, flexible=False, rtol=1e-7):
    """The limit landing, with a skewed hinge, with a strut that sways."""
    return drop(SKEWED if skewed else GEAR, **LIMIT, sway=SWAY if flexible else None, rtol=rtol, duration=0.3)
