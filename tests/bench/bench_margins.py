"""Time of the margins with both load levels, tested services and strengths in situ, over that of the screening."""

import time
from dataclasses import replace

import numpy as np

from beam import BookPly, MoldLine, PlyBook, PointLoads, Requirement, Service, Strut, margins
from beam.strength import recommended, screening
from materials import Source, conditioned, lamina

TAPE, CLOTH = "IM7/8552 tape 190 g/m2", "AS4/8552 plain weave 193 g/m2"
MOST = 4.0
INVENTED = Source("invented for the bench")


def strut() -> Strut:
    """Twelve plies of tape between wraps of cloth, ending one after the other."""
    line = MoldLine(root=[0, 0, 0.6], tip=[0, 0, 0], stations=[0, 0.6], width=[0.11, 0.08], height=[0.08, 0.06],
                    corner_radius=[0.02, 0.016])  # fmt: skip
    tape, cloth = replace(lamina(TAPE), G23=3.0e9), lamina(CLOTH)
    plies = [BookPly(lamina=cloth, angle_deg=45.0, walls=line.wall_names, start=0.0, end=0.6)]
    for i in range(12):
        end = 0.6 - 0.04 * i
        plies.append(BookPly(lamina=tape, angle_deg=0.0, walls=line.wall_names, start=0.0, end=end))
    plies.append(plies[0])
    return Strut(line, PlyBook(plies))


def required(*, both: bool) -> Requirement:
    """Screening alone on the laminae as they are; or all checks on laminae tested at each service."""
    tests = tuple(conditioned(name, between="room-dry line") for name in (TAPE, CLOTH)) if both else ()
    wet = min(one.wet_moisture for one in tests) if tests else 0.0
    return Requirement(
        services=[
            Service(name="cold", temperature=243.15, conditioned=tests),
            Service(name="hot wet", temperature=344.15, moisture=wet, conditioned=tests),
        ],
        special_factor=1.5, special_factor_basis="invented", route="factor", corner_opening=False,
        checks=recommended() if both else screening(),
    )  # fmt: skip


def main() -> None:
    one, rng = strut(), np.random.default_rng(1)
    loads = PointLoads(
        at=[0.3, 0.6], force=rng.normal(size=(112, 2, 3)) * 5e3, moment=rng.normal(size=(112, 2, 3)) * 300
    )
    took = []
    for both in (False, True):
        margins(one, loads, required(both=both))
        times = []
        for _ in range(3):
            start = time.process_time()
            rows = len(margins(one, loads, required(both=both)))
            times.append(time.process_time() - start)
        took.append(min(times))
        print(f"{'all checks, tested services' if both else 'screening'}: {took[-1]:.2f} s, {rows} rows")
    print(f"ratio {took[1] / took[0]:.2f} (limit {MOST:g})")
    assert took[1] < MOST * took[0]


if __name__ == "__main__":
    main()
