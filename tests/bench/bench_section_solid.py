"""A section as a warping problem: 5,000 elements under 5 s, from mesh to stresses.

Run as a script: python tests/bench/bench_section_solid.py
"""

import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "helpers"))

from section_cases import mixed_walls
from solid_cases import ply3d

from beam.section import Section
from beam.section.solid import mesh_walls, solve

TARGET = 5.0
SIZES = (1.2e-3, 0.6e-3, 0.28e-3)


def timed(f):
    """Wall-clock time of one run, and the result."""
    start = time.perf_counter()
    out = f()
    return time.perf_counter() - start, out


def main():
    section = Section.rounded_box(0.08, 0.05, 0.012, mixed_walls())
    solve(mesh_walls(section, ply3d, size=0.01))
    counts, times = [], []
    for size in SIZES:
        meshing, mesh = timed(lambda size=size: mesh_walls(section, ply3d, size=size))
        solving, solved = timed(lambda mesh=mesh: solve(mesh))
        recovery, _ = timed(lambda solved=solved: solved.stress(np.eye(6)))
        count, nodes = len(mesh.elements), len(mesh.points)
        print(
            f"rounded box of eight laminates, {count} elements, {3 * nodes} unknowns: "
            f"mesh {meshing:.2f} s, 6 x 6 stiffness {solving:.2f} s, stresses of 6 unit forces {recovery:.2f} s"
        )
        counts.append(count)
        times.append(meshing + solving + recovery)
    print(f"time grows with the number to the power {np.polyfit(np.log(counts), np.log(times), 1)[0]:.2f}")
    assert counts[-1] >= 5000
    assert times[-1] < TARGET


if __name__ == "__main__":
    main()
