"""Speed of the whole landing envelope of the Tarn: 3 attitudes x 2 masses x 2 speeds x 21 variants, strut flexible.

Run it: python tests/bench/bench_landing_envelope.py. At most 2 s on two free cores.
"""

import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "examples"))

import tarn

import beam


def main():
    """Print wall and processor time with one process and with two."""
    gear = tarn.GEAR
    flexibility = tarn.FIRST_STRUT.flexibility(bracket=gear.link.shock_on_strut)
    beam.landing_envelope(tarn.AIRPLANE, gear, variants=())
    for strut in (None, flexibility):
        for workers in (1, 2):
            wall, own = time.perf_counter(), time.process_time()
            found = beam.landing_envelope(
                tarn.AIRPLANE, gear, flexibility=strut, nose_clear_attitude_deg=1.0, workers=workers
            )
            wall, own = time.perf_counter() - wall, time.process_time() - own
            print(
                f"{'rigid' if strut is None else 'flexible'}, {workers} process(es): {len(found.table)} drops in "
                f"{wall:.2f} s, own processor time {own:.2f} s, energy balance {found.table.energy_error.max():.1e}"
            )


if __name__ == "__main__":
    main()
