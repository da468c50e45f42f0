"""The joints of the Tarn under all its load cases: sizes of a lug, margins, loads for the metal, masses. All invented.

Run it: python examples/joint_margins.py [folder for pictures]. The fittings stand in `tarn_joints.py`.
"""

import sys
from pathlib import Path

import numpy as np
import pandas as pd
import tarn
import tarn_joints
from strut_pictures import picture

import beam
from beam.dossier import lowest, texts
from beam.joints import assembly_margins, joint_load_table, leg_masses
from beam.joints.plots import plot_free_body


def main(folder: Path | None = None) -> None:
    """Print the lowest margins, the loads of the joints and the masses of the leg."""
    pd.set_option("display.width", 250, "display.max_columns", 20, "display.max_colwidth", 80)
    strut, requirement = tarn.FIRST_STRUT, tarn.REQUIREMENT
    cases = beam.ground_cases(tarn.AIRPLANE, beam.Landing(load_factor=2.96))
    design = beam.design_cases(
        tarn.GEAR, cases, tarn.MOLD_LINE, static=beam.static_reactions(tarn.AIRPLANE), airplane=tarn.AIRPLANE
    )
    loads, labels = design.loads, design.labels

    print("Width of the pivot lugs, and their lowest margin")
    for width in (36e-3, 44e-3, 52e-3):
        only = tarn_joints.pivot(strut, lug_width=width)
        table = assembly_margins([only], strut, loads, requirement, cases=labels, whole=False)
        rows = table[table.index.get_level_values("wall").astype(str).str.contains(": lug")]
        print(f"{width * 1e3:5.0f} mm {rows['margin'].min():+.2f} {only.mass:6.3f} kg")

    fittings = tarn_joints.joints(strut)
    table = assembly_margins(fittings, strut, loads, requirement, cases=labels)
    print("\nThe lowest margin of each mode of the joints; every strength that is invented says so")
    print(texts.margins(lowest(table, 12, by="mode")))
    print("\nUltimate loads of the trunnion [N], [N m]: extremes of each component with what acts beside it")
    every = joint_load_table(fittings, strut, loads, requirement, cases=labels)
    print(every.xs("ultimate", level="level").loc["trunnion"].round(2).to_string())
    masses = leg_masses(strut, fittings)
    print(f"\n{masses.round(3).to_string(index=False)}\nleg with its fittings: {masses['mass'].sum():.2f} kg")
    if folder is not None:
        worst = int(np.argmax(np.linalg.norm(strut.span.forces(loads, at=[0.0])[:, 0, 4:], axis=-1)))
        with picture(folder / "trunnion.png", 9, 6) as axes:
            plot_free_body(fittings[0], strut, loads, requirement, case=worst, label=labels[worst], ax=axes)
    assert round(float(table["margin"].min()), 3) == 0.030


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
