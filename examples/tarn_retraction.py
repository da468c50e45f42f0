"""The Tarn's gear in the air: reactions over the travel, the over-center brace, alignment of the wheel. All invented.

python examples/tarn_retraction.py [folder for two pictures]
"""

import sys
from pathlib import Path

import numpy as np
import pandas as pd
import tarn

from beam import Landing, design_cases, ground_cases, static_reactions
from beam.gear import (
    Curve,
    DoorRod,
    Lock,
    OverCenterBrace,
    PivotAxis,
    RetractingGear,
    flight_conditions,
    leg_cases,
)
from beam.retraction_cases import down_lock_force, retraction_cases, sizing_cases
from beam.wheel_alignment import alignment_under_load, standing_legs

T, LINK = tarn.TRUNNION, tarn.GEAR.link
AXIS = PivotAxis(point=T, direction=tarn.TRUNNION_AXIS, angle=1.4)
BEARINGS = T + np.outer([0.1, -0.12], AXIS.direction)
RETRACTING = RetractingGear(
    axis=AXIS,
    mass=[9.0, 5.0, 1.0, 1.2],  # wheel, link, two halves of the strut
    center=[LINK.axle, (LINK.axle + LINK.pivot) / 2, T + (0.0, 0.08, -0.19), T + (0.0, 0.16, -0.4)],
    own_inertia=0.3,
    actuator_on_gear=T + (0.0, 0.0, -0.2),
    actuator_on_airplane=T + (0.0, -0.5, 0.2),
    drag_area=0.05,
    side_area=0.1,
    drag_center=T + (0.05, 0.2, -0.5),
    pivot_friction=8.0,
    wheel_axle=(0.0, 1.0, 0.0),
    wheel_inertia=tarn.GEAR.wheel_inertia,
    door=DoorRod(
        on_gear=T + (0.05, 0.15, -0.3),
        on_airplane=T + (0.05, 0.5, -0.1),
        force=Curve(x=[0.0, 0.4, 1.0], y=[-100.0, 50.0, 300.0]),
    ),
)
DOWN_LOCK = OverCenterBrace(
    on_airplane=tarn.BRACE_ON_AIRPLANE,
    hinge=(1.0, 0.0, 0.0),
    knee=T + (0.0, -0.1525, -0.13),
    on_gear=tarn.BRACE_ON_STRUT,
    folds_toward=(0.0, 0.0, 1.0),
    play=0.001,
    spring_moment=5.0,
    pin_radius=(0.006, 0.007, 0.008),
    pin_friction=0.15,
    knee_mass=0.8,
)
UP_LOCK = Lock(on_gear=T + (0.0, 0.2, -0.5), line=(0.1, 0.1, 1.0))
CONDITIONS = flight_conditions(
    flight_load_factor=3.8,
    negative_load_factor=-1.52,
    stall_speed_clean=31.0,
    sideslip_deg=10.0,
    wheel_speed=170.0,
    brake_torque=90.0,
)


def main(folder: Path | None = None) -> None:
    """Print the worst reactions, the margin of the brace to unlock, and the alignment; draw both."""
    print("The Tarn in the air. Airplane and gear are invented. Limit loads.\n")
    cases = retraction_cases(
        RETRACTING, tarn.MOLD_LINE, bearings=BEARINGS, down_lock=DOWN_LOCK, up_lock=UP_LOCK,
        conditions=CONDITIONS, duration=6.0, steps=20, link=LINK,
    )  # fmt: skip
    print(cases.worst.round(1).to_string(), "\n")
    print("Assumed:", *cases.assumptions, sep="\n  ")

    ground = ground_cases(tarn.AIRPLANE, Landing(load_factor=2.96, max_mass_load_factor=2.93))
    static = static_reactions(tarn.AIRPLANE)
    design = design_cases(tarn.GEAR, ground, tarn.MOLD_LINE, static=static)
    force = down_lock_force(RETRACTING, tarn.MOLD_LINE, design.loads, down_lock=DOWN_LOCK)
    print(
        f"\nOver-center offset {1e3 * DOWN_LOCK.offset:.2f} mm, less play {1e3 * DOWN_LOCK.offset_left:.2f} mm"
    )
    for what, row in (("compression", np.argmax(force)), ("tension", np.argmin(force))):
        moment = float(DOWN_LOCK.locking_moment(force[row]))
        print(f"largest {what} {force[row]:.0f} N, locking moment {moment:+.1f} N m: {design.labels[row]}")
    print(
        "A negative moment in tension: the knee leaves its stop. Without a lock of its own the brace is not safe."
    )

    sized = sizing_cases(cases, design)
    print(
        f"\nCases to size for: {len(design.labels)} on the ground, {len(cases.labels)} in the air, "
        f"the latter on {len(cases.groups)} sets of supports; as loads on a clamped root {len(sized.labels)} together"
    )

    strut = tarn.FIRST_STRUT
    masses = np.linspace(380.0, 527.0, 4)
    standing = alignment_under_load(
        tarn.GEAR, strut, standing_legs(tarn.GEAR, masses), labels=["standing"] * len(masses)
    )
    columns = ["stroke", "vertical", "toe_deg", "toe_loaded_deg", "camber_deg", "camber_loaded_deg"]
    print("\nAlignment of the wheel, standing, strut of the most plies")
    print(standing[columns].round(3).to_string(index=False))
    heavy = {"mass": tarn.LANDING_MASS, "cg": "aft"}
    chosen = ground[(ground[list(heavy)] == pd.Series(heavy)).all(axis=1) & (ground["shock"] == "landing")]
    chosen = chosen[chosen["leg"] == "starboard"].reset_index(drop=True)
    load = float(static.loc[(static[list(heavy)] == pd.Series(heavy)).all(axis=1), "main"].iloc[0])
    legs = leg_cases(tarn.GEAR, chosen, static_load=load, fractions=np.linspace(0.0, 1.0, 6))
    landing = alignment_under_load(tarn.GEAR, strut, legs, labels=chosen["condition"].iloc[legs.row])
    print(f"\nLanding, {tarn.LANDING_MASS:.0f} kg aft: least and largest over the stroke [deg], limit loads")
    print(landing.groupby("case", sort=False)[columns[3::2]].agg(["min", "max"]).round(2).to_string())
    if folder is not None:
        from beam.gear.plots import plot_alignment, plot_retraction

        folder.mkdir(parents=True, exist_ok=True)
        for name, axes in (
            ("retraction", plot_retraction(cases.table)),
            ("alignment", plot_alignment(pd.concat([standing, landing]))),
        ):
            figure = axes[0].get_figure(root=True)
            assert figure is not None
            figure.savefig(folder / f"{name}.png", dpi=120)


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
