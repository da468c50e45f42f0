"""23.483 One-wheel landing conditions."""

from beam.loads.airplane import Airplane
from beam.loads.case import GroundCase, WheelLoad
from beam.loads.part23.condition import condition
from beam.loads.part23.landing import Landing
from beam.loads.part23.level_landing import main_instants


@condition
def one_wheel_landing(airplane: Airplane, landing: Landing) -> list[GroundCase]:
    """23.483: level, one main wheel touches; its load is that of the same wheel in 23.479.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet.
    landing : Landing
        The limit landing.

    Returns
    -------
    list of GroundCase
        Limit loads; the leg carries what it carries when both touch, and rolling and yawing
        inertia balance the rest.
    """
    cases = []
    for mass, cg, n in landing.corners(airplane):
        for name, (drag, vertical) in main_instants(airplane, landing, mass, n).items():
            for leg in ("starboard", "port"):
                wheel = WheelLoad(leg=leg, Fx=drag, Fz=vertical, applied_at="axle")
                cases.append(landing.case(airplane, "23.483", f"{leg} wheel only, {name}", mass, cg, wheel))
    return cases
