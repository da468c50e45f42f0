"""Time of 40 cases x 101 stations on a clamped strut: forces, displacements, all ply states; growth with both.

Run as a script. Target: under 0.3 s, fitted exponents <= 1.1.
"""

import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "helpers"))

from struts import LENGTH, MOLD, strut

from beam.section import rounded_box, solve
from beam.strut import PointLoads

RNG = np.random.default_rng(0)


def loads(cases):
    return PointLoads(at=[0.45, LENGTH], force=RNG.normal(size=(cases, 2, 3)) * 5e3)


def best(work, repeat=5):
    times = []
    for _ in range(repeat):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def ply_states(built, cases, stations):
    """Forces, displacements and the stresses of every ply at the middle of every wall."""
    s = np.linspace(0, LENGTH, stations)
    forces = built.span.forces(cases, s)
    moved = built.span.displacement(cases, s)
    bay = np.clip(np.searchsorted(built.bays, s, side="right") - 1, 0, len(built.laminates) - 1)
    thickness = np.array([[w.thickness for w in walls] for walls in built.laminates])[bay]
    abd = np.array([[w.abd for w in walls] for walls in built.laminates])[bay]
    states = solve(rounded_box(*MOLD.at(s), thickness, surface="outside", faces=MOLD.names), abd)
    running = np.einsum("swfk,csk->cswf", states.recovery([0.5])[:, :, 0], forces)
    stress = []
    for here, walls in enumerate(built.laminates):
        on = bay == here
        for wall, laminate in enumerate(walls):
            one = running[:, on, wall]
            stress.append(laminate.response(N=one[..., :3], M=one[..., 3:]).stress)
    return moved, stress


def main():
    built = strut()
    _ = built.span
    whole = best(lambda: ply_states(built, loads(40), 101))
    bare = best(lambda: (built.span.forces(loads(40)), built.span.displacement(loads(40))))
    print(f"forces, displacements, all ply states, 40 x 101: {whole:.3f} s (target 0.3 s)")
    print(f"forces and displacements alone: {bare * 1e3:.1f} ms")
    n = np.array([200, 400, 800])
    at = np.linspace(0, LENGTH, 101)

    def both(cases, s):
        return built.span.forces(cases, s), built.span.displacement(cases, s)

    by_case = [best(lambda k=k: both(loads(k), at)) for k in n]
    by_station = [best(lambda k=k: both(loads(40), np.linspace(0, LENGTH, k))) for k in 5 * n]
    slopes = [np.polyfit(np.log(n), np.log(t), 1)[0] for t in (by_case, by_station)]
    print(f"exponent with cases {slopes[0]:.2f}, with stations {slopes[1]:.2f} (target 1.1)")
    large = best(lambda: built.span.displacement(loads(40), large=True), repeat=1)
    buckling = best(lambda: built.span.buckling_factor(loads(40)), repeat=1)
    modes = best(lambda: built.span.frequencies(6), repeat=1)
    print(f"40 cases: large displacement {large:.2f} s, buckling {buckling:.2f} s; six modes {modes:.3f} s")
    assert whole < 0.3
    assert max(slopes) <= 1.1


if __name__ == "__main__":
    main()
