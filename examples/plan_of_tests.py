"""The test plan: coupons, elements, the static test with its gauges; and the way back, readings against predictions.

python examples/plan_of_tests.py [folder for the picture]
"""

import sys
from pathlib import Path

from make_pictures import save
from small_tube import LATTICE, PULL, REQUIREMENT, TAPE

import beam
from beam.dossier import compare_gauges, coupon_plan, element_plan, plan_static_test
from beam.dossier.plots import plot_gauges


def main(folder: Path | None = None) -> None:
    """Print the plan and the errors of invented readings, draw these."""
    sizing = beam.lightest(LATTICE, PULL, REQUIREMENT, cases=["pull"])
    coupons = coupon_plan(REQUIREMENT, [TAPE.lamina], basis="B")
    elements = element_plan(sizing.margins)
    print(f"{coupons['specimens'].sum()} coupons of {len(coupons)} properties, {len(elements)} elements")
    test = plan_static_test(
        sizing.strut,
        PULL,
        REQUIREMENT,
        sizing.margins,
        cases=["pull"],
        overload=1.15,
        overload_basis="invented",
        count=1,
    )
    readings = test.readings()
    print(
        f"{test.limit[0, 0, 0] / 1e3:.0f} kN at limit in the test, {readings['channel'].nunique()} channels"
    )
    measured = readings.rename(columns={"predicted": "measured"})
    measured["measured"] *= 1.0 + 0.03 * (readings.index.to_numpy() % 3 - 1)  # invented: up to 3 % off
    found = compare_gauges(test, measured)
    print(f"largest error {1e6 * found.loc[found['unit'] == '-', 'error'].abs().max():.0f} microstrain")
    save(plot_gauges(found, "pull"), folder, "plan_of_tests")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
