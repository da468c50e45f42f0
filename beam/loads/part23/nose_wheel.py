"""23.499 Supplementary conditions for nose wheels.

Left out: the pilot's forces on a direct mechanical linkage, 23.499(e), which size the mechanism.
"""

from scipy.constants import g

from beam.loads.airplane import Airplane
from beam.loads.case import GroundCase, WheelLoad, standing
from beam.loads.part23.condition import condition
from beam.loads.part23.landing import Landing
from beam.loads.stance import split, stance

VERTICAL = 2.25
AFT, FORWARD, SIDE = 0.8, 0.4, 0.7
STEERED = 1.33
"""Vertical over static load; drag, forward and side load over that vertical; powered steering [-]."""


@condition
def nose_wheel(airplane: Airplane, landing: Landing) -> list[GroundCase]:
    """23.499(a) to (d): aft, forward and side load on the nose wheel, and powered steering.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet; with a steering torque, (d) is added.
    landing : Landing
        Not used: the factors are printed.

    Returns
    -------
    list of GroundCase
        Limit loads (2.25 is not a factor of safety) at maximum mass; aft and forward loads at the
        axle, side loads at the ground.
    """
    cases = []
    for cg in ("forward", "aft"):
        at = stance(airplane, cg)
        static = float(split(airplane.max_mass * g, at.nose_arm, at.main_arm)[0])
        up = VERTICAL * static
        aft = WheelLoad(leg="nose", Fx=AFT * up, Fz=up, applied_at="axle")
        forward = WheelLoad(leg="nose", Fx=-FORWARD * up, Fz=up, applied_at="axle")
        cases.append(standing(airplane, "23.499(a)", "nose wheel, aft load", cg, aft))
        cases.append(standing(airplane, "23.499(b)", "nose wheel, forward load", cg, forward))
        for way, sense in (("starboard", 1.0), ("port", -1.0)):
            side = WheelLoad(leg="nose", Fy=sense * SIDE * up, Fz=up, applied_at="ground")
            cases.append(standing(airplane, "23.499(c)", f"nose wheel, side load to {way}", cg, side))
            if airplane.steering_torque is not None:
                torque = sense * STEERED * airplane.steering_torque
                steered = WheelLoad(leg="nose", Fz=STEERED * static, Mz=torque, applied_at="ground")
                cases.append(standing(airplane, "23.499(d)", f"nose wheel, steering to {way}", cg, steered))
    return cases
