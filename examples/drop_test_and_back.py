"""Plan of the limit drop test, and the way back: a record of it, here an invented one, against the prediction.

python examples/drop_test_and_back.py [folder for the picture]
"""

import sys
from pathlib import Path

import numpy as np
from make_pictures import save
from scipy.constants import g
from tourer import GEAR, TOURER

from beam.gear import DropRecord, compare_drop, plan_drop_test
from beam.gear.plots import plot_drop_test
from beam.loads import drop_height, drop_load_factor, effective_mass


def main(folder: Path | None = None) -> None:
    """Print mass, height and predicted peaks, then the errors of a record; draw both."""
    mass = TOURER.landing_mass
    plan = plan_drop_test(
        GEAR, mass=mass / 2, height=float(drop_height(mass * g / TOURER.wing_area)), lift_ratio=2 / 3,
        rule=effective_mass, load_factor_rule=drop_load_factor, ground_speed=TOURER.stall_speed,
    )  # fmt: skip
    print(f"drop {plan.effective_mass:.1f} kg from {1e3 * plan.height:.0f} mm, wheel spun backward at "
          f"{plan.wheel_speed:.0f} rad/s, at least {plan.sample_rate:.0f} samples a second")  # fmt: skip
    for channel in plan.channels[:4]:
        print(f"  {channel.quantity}: peak {channel.peak:.4g} {channel.unit}, set {channel.full_scale:.4g}")

    time = np.arange(-0.05, 0.3, 2.5e-4)
    forces = plan.prediction.history.forces_at(np.maximum(time, 0.0))
    record = DropRecord(
        time=time, stroke=0.97 * forces.stroke, force=1.04 * forces.ground,
        acceleration=np.where(time < 0, -g, 1.03 * plan.acceleration_at(np.maximum(time, 0.0))),
    )  # fmt: skip
    found = compare_drop(plan, record)
    print(f"n measured {found.load_factor:.3f}, predicted {plan.load_factor:.3f}")
    save(plot_drop_test(found), folder, "drop_test_and_back")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
