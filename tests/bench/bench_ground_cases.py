"""All ground cases of 23.479 to 23.499 at four corners of mass and c.g.: under 50 ms."""

import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "helpers"))

from loads_airplane import tourer

from beam.loads import Landing, SpinUp, ground_cases, inertia_balance
from beam.loads.part23 import HANDLING, LANDING_AND_ROLLING

TARGET = 0.050
WHEEL = SpinUp(wheel_inertia=0.25, rolling_radius=0.17, time_to_peak=0.1)


def best(work, repeats=20):
    """Return the shortest time of a call after one to warm up, and what it returned."""
    found, spent = work(), []
    for _ in range(repeats):
        start = time.perf_counter()
        found = work()
        spent.append(time.perf_counter() - start)
    return min(spent), found


def main():
    """Print rows and times; fail if the target is missed."""
    airplane = tourer()
    landing = Landing(load_factor=3.0, spin_up=WHEEL)
    both = (*LANDING_AND_ROLLING, *HANDLING)
    for name, work in (
        ("ground cases 23.479 to 23.499", lambda: ground_cases(airplane, landing)),
        ("with 23.507 to 23.511", lambda: ground_cases(airplane, landing, conditions=both)),
        ("inertia balance of all of them", lambda: inertia_balance(airplane, landing, conditions=both)),
    ):
        spent, table = best(work)
        print(f"{name}: {len(table)} rows in {spent * 1e3:.1f} ms")
        assert spent < TARGET, (name, spent)


if __name__ == "__main__":
    main()
