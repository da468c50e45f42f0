"""Processor seconds and memory of `beam.sizing` over bays, lay-ups and cases, and the exponents of their growth.

Run it: ``PYTHONPATH=. python tests/bench/bench_sizing_speed.py [large]``. One thread; the problem is invented. With
"large" also 64 bays x 15,000 lay-ups x 112 cases, with two criteria and with the recommended checks, and 16 bays x
150,000 lay-ups.
"""

import os
import resource
import sys
import time

os.environ.update(dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"), "1"))

import numpy as np

from beam import Lattice, MoldLine, PlyKind, PointLoads, Requirement, Service
from beam.sizing.search import Search
from beam.strength import recommended, screening
from materials import conditioned, lamina

LENGTH = 0.62
LINE = MoldLine(
    root=[0, 0, LENGTH], tip=[0, 0, 0], stations=[0, LENGTH],
    width=[0.112, 0.076], height=[0.082, 0.060], corner_radius=[0.022, 0.018],
)  # fmt: skip
TAPE, CLOTH = (lamina(name) for name in ("IM7/8552 tape 190 g/m2", "AS4/8552 plain weave 193 g/m2"))
TESTS = tuple(conditioned(one.name, between="room-dry line") for one in (TAPE, CLOTH))
SERVICES = (
    Service(name="cold", temperature=243.15, conditioned=TESTS),
    Service(name="hot wet", temperature=344.15, moisture=0.008, conditioned=TESTS),
)


def requirement(checks):
    """Two services, each with its own stiffness."""
    return Requirement(
        services=SERVICES, special_factor=1.2, special_factor_basis="invented", route="factor",
        mixed="an example", checks=checks, corner_opening=False,
    )  # fmt: skip


NAMES = ("name", "lamina", "angles_deg", "walls", "least", "depth", "pitch", "most")


def lattice(bays, most):
    """Five kinds of plies: `most` groups of each."""
    faces = LINE.flat_walls
    caps = tuple(name for name in LINE.wall_names if name not in (faces[0], faces[2]))
    kinds = (
        ("cap tape", TAPE, (0.0,), caps, 2, 0.0, 1.0),
        ("web tape", TAPE, (0.0,), (faces[0], faces[2]), 1, 0.1, 1.0),
        ("wrap", CLOTH, (45.0, -45.0), LINE.wall_names, 1, -1.0, 5.0),
        ("hoop", CLOTH, (90.0,), LINE.wall_names, 1, -0.5, 4.0),
        ("belt", TAPE, (90.0,), LINE.wall_names, 0, 0.5, 6.0),
    )
    return Lattice(
        mold_line=LINE,
        stations=np.linspace(0.0, LENGTH, bays + 1),
        kinds=[
            PlyKind(**dict(zip(NAMES, (*kind, top), strict=True)))
            for kind, top in zip(kinds, most, strict=True)
        ],
        drop_length=4.0,
    )  # fmt: skip


def loads(count):
    """Drag, side and vertical loads at the tip and at a bracket, invented."""
    rng = np.random.default_rng(1)
    force = rng.normal(size=(count, 2, 3)) * [9e3, 7e3, 9e3]
    moment = rng.normal(size=(count, 2, 3)) * [600.0, 900.0, 900.0]
    return PointLoads(at=[LENGTH, 0.3], force=0.3 * force, moment=0.3 * moment)


def seconds(bays, most, cases, checks):
    """Processor seconds of the search, its bound [kg], passes and judgements, and the lay-ups of a bay."""
    problem = lattice(bays, most), loads(cases), requirement(checks)
    start, passes = time.process_time(), 0
    search = Search(*problem, lambda _: None)
    while True:
        bound, chain = search.lightest()
        passes += 1
        if not np.isfinite(bound) or not search.judge(chain):
            spent = time.process_time() - start
            memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6
            print(
                f"{bays:3d} bays x {len(search.counts):6d} lay-ups x {cases:3d} cases, {checks[0].mode:12s}: "
                f"{spent:6.1f} s, {memory:.2f} GB at most so far, {passes} passes, {search.evaluations} judgements, "
                f"{bound:.4f} kg",
                flush=True,
            )
            return spent, len(search.counts)


def exponent(runs):
    """Slope of log seconds over log size."""
    size, spent = np.array(runs).T
    return float(np.polyfit(np.log(size), np.log(spent), 1)[0])


def main():
    """Print the table."""
    few = (14, 12, 4, 3, 2)
    for checks in (screening(), recommended()):
        print(
            "exponent over bays",
            round(exponent([(n, seconds(n, few, 40, checks)[0]) for n in (8, 16, 32)]), 2),
        )
        grown = [seconds(8, (a, b, 4, 3, 2), 40, checks) for a, b in ((8, 6), (14, 12), (26, 24))]
        print("exponent over lay-ups", round(exponent([(n, s) for s, n in grown]), 2))
        print(
            "exponent over cases",
            round(exponent([(n, seconds(8, few, n, checks)[0]) for n in (40, 80, 160)]), 2),
        )
    if "large" in sys.argv:
        for checks in (screening(), recommended()):
            seconds(64, (20, 17, 4, 3, 3), 112, checks)
            seconds(16, (60, 60, 5, 3, 3), 112, checks)


if __name__ == "__main__":
    main()
