"""Batch drops: 2,000 drops per second on two cores at 1e-3 of the peak; on a flexible strut 0.3 of the rigid rate.

Run as a script: python tests/bench/bench_drops.py

One process and two are timed in turn, several times. Drops per second of processor time are what an idle core gives;
wall clock suffers from whatever else the machine does.
"""

import sys
import time
from dataclasses import replace
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "helpers"))
sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "examples"))

import tarn
from gears import trailing_gear

from beam.gear import drop
from beam.gear.motion.many_drops import drops
from beam.gear.parts.shocks import Shocks

COUNT, JUDGED, ROUNDS = 4096, 48, 5
RATE, ACCURACY, FLEXIBLE = 2000, 1e-3, 0.3


def main():
    rng = np.random.default_rng(0)
    gear = trailing_gear()
    shocks = Shocks.of(
        gear.shock,
        pressure=rng.uniform(1.5e6, 3.5e6, COUNT),
        volume=rng.uniform(200e-6, 320e-6, COUNT),
        compression=rng.uniform(8e3, 40e3, COUNT),
        extension=rng.uniform(50e3, 300e3, COUNT),
    )
    landing = {
        "mass": rng.uniform(400, 550, COUNT),
        "speed": rng.uniform(1.5, 3.2, COUNT),
        "lift_ratio": rng.uniform(0.5, 1, COUNT),
        "ground_speed": rng.uniform(0, 40, COUNT),
    }
    rates = {
        "one process, wall clock": [],
        "one process, processor time": [],
        "two processes, wall clock": [],
    }
    for _ in range(ROUNDS):
        wall, processor = time.perf_counter(), time.process_time()
        found = drops(gear, **landing, shocks=shocks)
        rates["one process, wall clock"].append(COUNT / (time.perf_counter() - wall))
        rates["one process, processor time"].append(COUNT / (time.process_time() - processor))
        wall = time.perf_counter()
        shared = drops(gear, **landing, shocks=shocks, processes=2)
        rates["two processes, wall clock"].append(COUNT / (time.perf_counter() - wall))
    for name, values in rates.items():
        print(f"{name}: {np.median(values):.0f} drops per second ({min(values):.0f} to {max(values):.0f})")
    picked = np.linspace(0, COUNT - 1, JUDGED).astype(int)
    tight = [
        drop(
            replace(gear, shock=shocks.shock(i)),
            **{name: float(values[i]) for name, values in landing.items()},
            bottoming="record",
            rtol=1e-8,
        ).peak_ground_force
        for i in picked.tolist()
    ]
    error = np.abs(found.peak_ground_force[picked] / tight - 1).max()
    print(f"peak ground force of {JUDGED} of them against the tight drop: within {error:.1e}")
    print(f"{found.bottomed.sum()} bottomed")
    assert np.allclose(shared.peak_ground_force, found.peak_ground_force, rtol=1e-9)
    assert error < ACCURACY
    assert np.median(rates["two processes, wall clock"]) > RATE
    assert np.median(rates["one process, processor time"]) > RATE
    on_a_flexible_strut()


def on_a_flexible_strut():
    """Rate of flexible over rigid drops in turn, of processor time, at one tolerance."""
    rng, count = np.random.default_rng(1), 1024
    landing = {
        "mass": rng.uniform(500, 650, count),
        "speed": rng.uniform(2, 3, count),
        "lift_ratio": 2 / 3,
        "ground_speed": rng.uniform(0, 40, count),
    }
    strut = tarn.FIRST_STRUT.flexibility(bracket=tarn.GEAR.link.shock_on_strut)
    times = {None: [], strut: []}
    for _ in range(ROUNDS):
        for flexibility, spent in times.items():
            start = time.process_time()
            drops(tarn.GEAR, **landing, flexibility=flexibility)
            spent.append(time.process_time() - start)
    ratio = np.median(times[None]) / np.median(times[strut])
    print(f"flexible over rigid drops per second of processor time: {ratio:.2f}")
    assert ratio > FLEXIBLE


if __name__ == "__main__":
    main()
