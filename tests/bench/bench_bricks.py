"""The demonstration strut in bricks: time, memory, and how far the governing margin is from that of a finer mesh.

python tests/bench/bench_bricks.py [factor on the density ...]; without factors 0.75, 1 and 1.4.
"""

import resource
import sys
import time
from dataclasses import replace

import tarn

import beam
from beam import Band, Rib
from beam.loads import part23
from beam.strength import brick_margins
from beam.strut.bricks import Density

CONDITIONS = (*part23.LANDING_AND_ROLLING, *part23.HANDLING, part23.reserve_energy)


def main(factors):
    static = beam.static_reactions(tarn.AIRPLANE)
    envelope = beam.landing_envelope(tarn.AIRPLANE, tarn.GEAR, equipment=tarn.EQUIPMENT)
    cases = beam.ground_cases(tarn.AIRPLANE, envelope.landing, conditions=CONDITIONS)
    design = beam.design_cases(tarn.GEAR, cases, tarn.MOLD_LINE, static=static, airplane=tarn.AIRPLANE)
    strut = replace(
        tarn.FIRST_STRUT,
        bands=(Band(name="bracket", start=0.265, end=0.325), Band(name="tip", start=0.56, end=0.62)),
        ribs=(Rib(station=0.265), Rib(station=0.325), Rib(station=0.56)),
        tip_end="closed",
    )
    for factor in factors:
        wall, processor = time.perf_counter(), time.process_time()
        table = brick_margins(
            strut, design.loads, tarn.REQUIREMENT, Density().refined(factor), cases=design.labels
        )
        taken = time.perf_counter() - wall, time.process_time() - processor
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6
        low = table[table["decides"]]["margin"]
        print(f"density x {factor:g}: {taken[0]:.0f} s, {taken[1]:.0f} s of processor, {peak:.1f} GB")
        print(f"  lowest margin {low.min():+.4f} at {low.idxmin()}")


if __name__ == "__main__":
    main([float(one) for one in sys.argv[1:]] or [0.75, 1.0, 1.4])
