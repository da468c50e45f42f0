"""Time of the margins of 112 cases at 50 stations with bands, ribs and closed ends over that without, in one run.

Each run has a strut of its own, so that what a strut keeps from one call to the next is found anew. Taper is in both:
the batch of all stations takes no longer than the sections one by one.
python tests/bench/bench_introductions.py
"""

import sys
import time
from dataclasses import replace
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "examples"))

import tarn

from beam import PointLoads, Strut, margins

CASES, STATIONS, ROUNDS, MOST = 112, 50, 3, 1.5
LENGTH = tarn.STRUT_LENGTH


def processor_time(strut: Strut, loads: PointLoads) -> tuple[float, int]:
    """Seconds of processor for the margins of a fresh strut, and how many rows they have."""
    fresh = replace(strut)
    at = np.linspace(0.0, LENGTH, STATIONS)
    start = time.process_time()
    rows = len(margins(fresh, loads, tarn.REQUIREMENT, stations=at))
    return time.process_time() - start, rows


def main() -> None:
    """Print both times and their ratio; stop where it is above the limit."""
    draw = np.random.default_rng(1).normal
    loads = PointLoads(
        at=[tarn.BRACKET_STATION, LENGTH],
        force=1e4 * draw(size=(CASES, 2, 3)),
        moment=500 * draw(size=(CASES, 2, 3)),
    )
    introduced = tarn.FIRST_STRUT
    plain = replace(introduced, bands=(), ribs=(), tip_end="open")
    assert introduced.bands
    assert introduced.ribs
    took: dict[str, float] = {}
    for _ in range(ROUNDS):
        for name, strut in (("plain", plain), ("with bands and ribs", introduced)):
            seconds, rows = processor_time(strut, loads)
            took[name] = min(seconds, took.get(name, np.inf))
    for name, seconds in took.items():
        print(f"{name}: {seconds:.2f} s, {rows} rows")
    ratio = took["with bands and ribs"] / took["plain"]
    print(f"ratio {ratio:.2f} (limit {MOST:g})")
    assert ratio < MOST


if __name__ == "__main__":
    main()
