"""Peaks of My and Nx near bands by the added stresses of the strut, over those of bricks.

python tests/bench/bench_distortion.py        the cases of a solid model that is kept as numbers, grouped
python tests/bench/bench_distortion.py own    other struts, solved in bricks here; some minutes
"""

import sys
import time
from itertools import groupby
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "helpers"))

import band_cases
import ring_cases


def kept():
    """Ranges of the errors over the cases of each strut, rib layout and kind of load."""
    found = {}
    for key, rows in groupby(sorted(ring_cases.PEAKS), key=lambda row: row[:3]):
        along, loads = ring_cases.strut_of(*key)
        for name, _, ribs, load, My, Nx in rows:
            errors = ring_cases.peaks(along, loads[load], key[1]) / (Nx, My) - 1
            found.setdefault((name, load.split()[0], ribs), []).append((*errors[::-1], My))
    print(f"{'strut':8}{'load':9}{'ribs':6}{'cases':>6}{'My of the bricks, N':>22}{'My, %':>14}{'Nx, %':>14}")
    for (name, load, ribs), errors in found.items():
        My, Nx, size = np.array(errors).T
        ranges = [f"{100 * one.min():+.0f} to {100 * one.max():+.0f}" for one in (My, Nx)]
        sizes = ", ".join(f"{one:.0f}" for one in size)
        print(f"{name:8}{load:9}{ribs:6}{len(errors):6}{sizes:>22}{ranges[0]:>14}{ranges[1]:>14}")


def own():
    """Errors case by case against bricks solved here."""
    print(
        f"{'strut':10}{'ribs':6}{'load':13}{'My, N':>8}{'error, %':>10}{'Nx, kN/m':>10}{'error, %':>10}{'s':>6}"
    )
    for name, ribs, kinds in band_cases.every():
        start = time.process_time()
        found = band_cases.peaks(name, ribs, kinds)
        taken = time.process_time() - start
        for kind, (beam, bricks) in zip(kinds, found, strict=True):
            My, Nx = 100 * (beam / bricks - 1)
            sizes = f"{bricks[0]:8.0f}{My:+10.1f}{bricks[1] / 1e3:10.1f}{Nx:+10.1f}{taken:6.1f}"
            print(f"{name:10}{ribs:6}{kind:13}{sizes}",
                  flush=True)  # fmt: skip


if __name__ == "__main__":
    own() if sys.argv[1:] == ["own"] else kept()
