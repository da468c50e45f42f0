"""The landing that the tests of the drop look at from several sides, made once for each set of options."""

from functools import cache

import numpy as np
from gears import SKEW, trailing_gear

from beam.flexibility import Flexibility
from beam.gear import drop

GEAR, SKEWED = trailing_gear(), trailing_gear(**SKEW)
LIMIT = {"mass": 500.0, "speed": 2.9, "lift_ratio": 2 / 3, "ground_speed": 35.0}


def swaying(gear, *, stiffness, mass=0.0, damping_ratio=0.02):
    """A strut that only sways fore and aft, pivot and bracket together, under a drag at the pivot."""
    together = np.zeros(12)
    together[[0, 6]] = 1.0
    rest = np.diag([1e-13] * 3 + [1e-16] * 3 + [1e-13] * 3 + [1e-16] * 3)
    return Flexibility(
        points=[gear.link.pivot, gear.link.shock_on_strut],
        compliance=np.outer(together, together) / stiffness + rest,
        inertia=np.outer(together, together) * mass / 4,
        damping_ratio=damping_ratio,
    )


SWAY = swaying(GEAR, stiffness=6e5, mass=2.0, damping_ratio=0.03)


@cache
def limit_drop(skewed=False, flexible=False, rtol=1e-7):
    """The limit landing, with a skewed hinge, with a strut that sways."""
    return drop(
        SKEWED if skewed else GEAR, **LIMIT, flexibility=SWAY if flexible else None, rtol=rtol, duration=0.3
    )
