"""Thin-walled sections: 10,000 laminate choices for one outline under a second, cost linear in their number.

Run as a script: python tests/bench/bench_section.py
"""

import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "helpers"))

from section_cases import mixed_walls, stiffness_of

from beam.section import rounded_box, solve

COUNT = 10_000
TARGET = 1.0


def best_of(runs, f):
    """Least processor time of several runs, and the result; other work on the machine does not count."""
    least = np.inf
    for _ in range(runs):
        start = time.process_time()
        out = f()
        least = min(least, time.process_time() - start)
    return least, out


def main():
    rng = np.random.default_rng(0)
    walls = mixed_walls()
    t = np.array([w.thickness for w in walls])
    abd = stiffness_of(walls) * rng.uniform(0.5, 2.0, (COUNT, 1, 1, 1))
    many = t * rng.uniform(0.9, 1.1, (COUNT, 1))
    shared, _ = best_of(5, lambda: solve(rounded_box(0.08, 0.05, 0.012, t), abd).stiffness)
    own, states = best_of(5, lambda: solve(rounded_box(0.08, 0.05, 0.012, many), abd))
    recovery, _ = best_of(5, lambda: states.recovery((0.0, 0.5, 1.0)))
    print(f"{COUNT} stiffnesses, one mid-line for all:    {shared:.3f} s")
    print(f"{COUNT} compliances, own mid-lines:           {own:.3f} s")
    print(f"{COUNT} recoveries at 3 places of 8 walls:    {recovery:.3f} s")
    sizes = np.array([500, 2000, 8000])
    times = [
        best_of(5, lambda n=n: solve(rounded_box(0.08, 0.05, 0.012, many[:n]), abd[:n]))[0] for n in sizes
    ]
    exponent = np.polyfit(np.log(sizes), np.log(times), 1)[0]
    print(f"time grows with the number to the power {exponent:.2f}")
    assert shared < TARGET
    assert own < TARGET
    assert exponent < 1.1


if __name__ == "__main__":
    main()
