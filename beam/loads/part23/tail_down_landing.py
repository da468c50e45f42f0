"""23.481 Tail-down landing conditions."""

from scipy.constants import g

from beam.loads.airplane import Airplane
from beam.loads.case import GroundCase, pair
from beam.loads.part23.condition import condition
from beam.loads.part23.landing import Landing


@condition
def tail_down_landing(airplane: Airplane, landing: Landing) -> list[GroundCase]:
    """23.481(a)(2), (b): main wheels only, nose high, reactions vertical.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet; its tail-down angle is needed.
    landing : Landing
        The limit landing.

    Returns
    -------
    list of GroundCase
        Limit loads; each main wheel carries half of (n - L) W, without drag: the wheels have spun
        up before the vertical load peaks. There is no spring-back here (Appendix D (c)).
    """
    pitch = airplane.required("tail_down_angle_deg", "23.481(a)(2)")
    cases = []
    for mass, cg, n in landing.corners(airplane):
        wheels = pair(0.0, (n - landing.lift_ratio) * mass * g / 2, applied_at="axle")
        cases.append(
            landing.case(airplane, "23.481(a)(2)", "tail-down", mass, cg, *wheels, attitude_deg=pitch)
        )
    return cases
