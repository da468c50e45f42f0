"""Ground loads of 14 CFR Part 23, through Amendment 23-62: one function per paragraph.

Covered: airplanes with a nose wheel and one wheel on each leg. Left out: tail wheels (23.497), skis (23.505),
several wheels on a leg (23.511(b), (c)), water loads; landing mass below that of 23.473(b) by 23.473(c) and the relief
in taxi of (g); tip tanks (23.479(d)); pedal forces on the nose-wheel linkage (23.499(e)); the relieving reactions of
23.509(c); the stowed leg on its up-lock (23.729(a)(1)); wheels-up landing and turnover (23.561(c), (d)).
"""

from beam.loads.part23.extension_retraction import gear_extended, retraction
from beam.loads.part23.handling import jacking, pivoting, towing
from beam.loads.part23.level_landing import (
    nose_clear_landing,
    one_wheel_landing,
    tail_down_landing,
    three_point_landing,
)
from beam.loads.part23.reserve_energy import reserve_energy
from beam.loads.part23.rolling import braked_roll, nose_wheel, side_load

LANDING_AND_ROLLING = (
    three_point_landing,
    nose_clear_landing,
    tail_down_landing,
    one_wheel_landing,
    side_load,
    braked_roll,
    nose_wheel,
)
"""23.479 to 23.499: what sizes a leg; each takes the airplane and the landing."""

HANDLING = (jacking, towing, pivoting)
"""23.507 to 23.511: loads of the ground crew and of a locked wheel."""

SYSTEM = (reserve_energy, retraction, gear_extended)
"""23.723 and 23.729 as far as they load a leg."""

EVERY = (*LANDING_AND_ROLLING, *HANDLING, *SYSTEM)

__all__ = [
    "EVERY",
    "HANDLING",
    "LANDING_AND_ROLLING",
    "SYSTEM",
    "braked_roll",
    "gear_extended",
    "jacking",
    "nose_clear_landing",
    "nose_wheel",
    "one_wheel_landing",
    "pivoting",
    "reserve_energy",
    "retraction",
    "side_load",
    "tail_down_landing",
    "three_point_landing",
    "towing",
]
