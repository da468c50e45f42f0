"""The joints of the Tarn under all its load cases: sizes of a lug, margins, loads for the metal, masses. All invented.

Run it: python examples/joint_margins.py [folder for pictures]. The fittings stand in `tarn_joints.py`.
"""

import sys
from pathlib import Path

import numpy as np
import tarn
import tarn_joints
from make_pictures import save
from matplotlib import pyplot as plt

import beam
from beam.dossier import lowest, texts
from beam.joints import assembly_margins, joint_load_table, leg_masses
from beam.joints.plots import plot_free_body


def main(folder: Path | None = None) -> None:
    """Print the lowest margins, the loads of the joints and the masses of the leg."""
    strut, requirement = tarn.FIRST_STRUT, tarn.REQUIREMENT
    cases = beam.ground_cases(tarn.AIRPLANE, beam.Landing(load_factor=2.96))
    static = beam.static_reactions(tarn.AIRPLANE)
    design = beam.design_cases(tarn.GEAR, cases, tarn.MOLD_LINE, static=static, airplane=tarn.AIRPLANE)
    loads, labels = design.loads, design.labels

    print("Sizes, the lowest margin that follows, and the mass of the fitting")
    pivot, trunnion = tarn_joints.pivot, tarn_joints.trunnion
    sizes = [(f"pivot lugs {w} m wide", pivot(lug_width=w), ": lug") for w in (0.036, 0.044, 0.052)]
    sizes += [(f"trunnion bolts {b}", trunnion(bolt=b), "bond gone") for b in ("M8 8.8", "M10 8.8")]
    sizes += [(f"trunnion overlap {o} m", trunnion(overlap=o), "socket: ") for o in (0.12, 0.15, 0.18)]
    for said, one, part in sizes:
        rows = assembly_margins([one], strut, loads, requirement, cases=labels, whole=False).query("decides")
        low = rows.loc[rows.index.get_level_values("wall").astype(str).str.contains(part), "margin"].min()
        print(f"{said:25s} {low:+.2f} {one.on(strut).mass:6.3f} kg")

    fittings = tarn_joints.FITTINGS
    table = assembly_margins(fittings, strut, loads, requirement, cases=labels)
    print("\nThe lowest margin of each mode of the joints; every strength that is invented says so")
    print(texts.margins(lowest(table, 12, by="mode")))
    print("\nUltimate loads of the trunnion [N], [N m]: extremes of each component with what acts beside it")
    every = joint_load_table(fittings, strut, loads, requirement, cases=labels)
    print(every.xs("ultimate", level="level").loc["trunnion"].round(2).to_string())
    masses = leg_masses(strut, fittings)
    print(f"\n{masses.round(3).to_string(index=False)}\nleg with its fittings: {masses['mass'].sum():.2f} kg")
    worst = int(np.argmax(np.linalg.norm(strut.span.forces(loads, at=[0.0])[:, 0, 4:], axis=-1)))
    case = {"case": worst, "label": labels[worst]}
    ax = plt.figure(figsize=(9, 4.2)).add_axes((0.09, 0.3, 0.88, 0.57))
    save(plot_free_body(fittings[0], strut, loads, requirement, **case, ax=ax), folder, "joint_margins")
    assert round(float(table.loc[table["decides"], "margin"].min()), 3) == 0.128


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
