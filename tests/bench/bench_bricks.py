"""The demonstration strut in bricks: time and memory, and the reserves of the beam beside those of the bricks.

python tests/bench/bench_bricks.py [factor on the density ...]; without factors 0.75, 1 and 1.4.
python tests/bench/bench_bricks.py reserves [factor on the density]; row by row, for the cases that govern.
"""

import resource
import sys
import time
from dataclasses import replace
from pathlib import Path

import numpy as np
import pandas as pd

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "examples"))

import tarn

import beam
from beam.loads import part23
from beam.strength import brick_margins
from beam.strength.requirement import decides
from beam.strut.bricks import Density

CONDITIONS = (*part23.LANDING_AND_ROLLING, *part23.HANDLING, part23.reserve_energy)
LENGTH = tarn.STRUT_LENGTH
INBOARD, OUTBOARD = (15, 20, 6, 1), (13, 16, 6, 1)
"""Groups of each kind of ply, which end between bracket and pivot."""
NEAR_DROP = 0.010


def design():
    """The load cases of the demonstration."""
    static = beam.static_reactions(tarn.AIRPLANE)
    envelope = beam.landing_envelope(tarn.AIRPLANE, tarn.GEAR, equipment=tarn.EQUIPMENT)
    cases = beam.ground_cases(tarn.AIRPLANE, envelope.landing, conditions=CONDITIONS)
    return beam.design_cases(tarn.GEAR, cases, tarn.MOLD_LINE, static=static, airplane=tarn.AIRPLANE)


def laid_up():
    """A strut of even lay-up on the Tarn's bands and ribs whose tapes end at one station."""
    book = tarn.LATTICE.book([INBOARD] * 11 + [OUTBOARD] * (tarn.BAYS - 11))
    return replace(tarn.FIRST_STRUT, ply_book=book)


def times(factors):
    """Time, memory and lowest margin at some densities."""
    strut, found = tarn.FIRST_STRUT, design()
    for factor in factors:
        wall, processor = time.perf_counter(), time.process_time()
        table = brick_margins(
            strut, found.loads, tarn.REQUIREMENT, Density().refined(factor), cases=found.labels
        )
        taken = time.perf_counter() - wall, time.process_time() - processor
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6
        low = table[table["decides"]]["margin"]
        print(f"density x {factor:g}: {taken[0]:.0f} s, {taken[1]:.0f} s of processor, {peak:.1f} GB")
        print(f"  lowest margin {low.min():+.4f} at {low.idxmin()}")


def region(strut, station):
    """What is near a station."""
    wall = max(laminate.thickness for laminate in strut.section(station).laminates)
    reach = np.sqrt(wall * float(strut.mold_line.at(station).corner_radius))
    stiff = [
        0.0,
        LENGTH,
        *(rib.station for rib in strut.ribs),
        *(s for b in strut.bands for s in (b.start, b.end)),
    ]
    band = strut.band_at(station)
    if np.abs(np.subtract(stiff, station)).min() <= reach:
        return "rib, end of a fitting, clamp" + (f" in {band.name}" if band else "")
    if band:
        return f"in {band.name}"
    if np.abs(np.subtract(strut.ply_book.drops, station)).min(initial=1.0) <= NEAR_DROP:
        return "drop"
    return "free"


def reserves(strut, loads, labels, density, cases=8):
    """Reserve of every row that decides by beam and by bricks, for the cases that govern anywhere."""
    own = {"stations": np.unique(np.round([*np.arange(0.005, LENGTH, 0.015), *strut.ply_book.drops], 6))}
    every = beam.margins(strut, loads, tarn.REQUIREMENT, cases=labels, whole_strut=False, **own)
    low = (
        every.loc[every["decides"], "margin"]
        .unstack("case")
        .groupby(["station", "mode"], observed=True)
        .min()
    )
    governing = low.idxmin(axis=1).value_counts().index[:cases]
    chosen = np.flatnonzero(np.isin(labels, governing.to_numpy(dtype=str)))
    solid = brick_margins(strut, loads.take(chosen), tarn.REQUIREMENT, density, cases=labels[chosen], **own)
    both = {
        name: one["reserve"].groupby(level=["case", "station", "wall", "mode"], observed=True).min()
        for name, one in (("beam", every), ("bricks", solid))
    }
    rows = pd.DataFrame(both).dropna()
    return rows[[decides(tarn.REQUIREMENT, mode) for mode in rows.index.get_level_values("mode")]]


def by_region(strut, both):
    """Reserve of bricks over that of the beam for each region and mode, of rows whose reserve is below 5."""
    rows = both[both.min(axis=1) < 5.0]
    where = {s: region(strut, s) for s in rows.index.unique("station")}
    station, mode = (rows.index.get_level_values(name) for name in ("station", "mode"))
    ratio = (rows["bricks"] / rows["beam"]).groupby([station.map(where), mode], observed=True)
    return pd.DataFrame(
        {
            "rows": ratio.size(),
            "lowest": ratio.min(),
            "1 %": ratio.quantile(0.01),
            "median": ratio.median(),
            "99 %": ratio.quantile(0.99),
            "highest": ratio.max(),
            "within 10 %": ratio.apply(lambda one: (abs(one - 1) <= 0.1).mean()),
            "over 0.9": ratio.apply(lambda one: (one >= 0.9).mean()),
            "over 0.8": ratio.apply(lambda one: (one >= 0.8).mean()),
        }
    ).round(3)


if __name__ == "__main__":
    if sys.argv[1:2] == ["reserves"]:
        found, strut = design(), laid_up()
        density = Density().refined(float((sys.argv[2:] or [0.75])[0]))
        print(
            "bricks over beam",
            by_region(strut, reserves(strut, found.loads, found.labels, density)),
            sep="\n",
        )
    else:
        times([float(one) for one in sys.argv[1:]] or [0.75, 1.0, 1.4])
