"""From the weight-and-balance sheet to a ply book: the main gear strut of the Tarn, an invented airplane.

Run it: python examples/size_strut.py [folder for report, pictures and tables]. The design stands in `tarn.toml`, and
built in Python in `tarn.py`. This script does no physics of its own: it calls the library in the order of the job.
"""

import sys
from pathlib import Path

import numpy as np
import tarn_joints
from scipy.constants import g
from strut_pictures import draw

import beam
from beam.dossier import book_table, lowest, schedule_table, shop, texts, write_margins
from beam.joints import assembly_margins, joint_load_table, with_joints
from beam.loads import contact_speed, limit_descent_speed, part23

CONDITIONS = (*part23.LANDING_AND_ROLLING, *part23.HANDLING, part23.reserve_energy)
MOST_PASSES = 5


def main(folder: Path) -> None:
    """Size the strut, print what was found, write report, pictures and tables to `folder`."""
    folder.mkdir(parents=True, exist_ok=True)
    design = beam.Design.read(Path(__file__).with_name("tarn.toml"))
    airplane, gear, requirement = design.airplane, design.gear, design.requirement

    print(texts.title())
    print(texts.heading(f"The airplane: {airplane.name}, invented for this demonstration"))
    static = beam.static_reactions(airplane)
    print(texts.airplane(airplane), texts.reactions(static), sep="\n")

    envelope, loading, cases, sizing = land_and_size(design, static)

    print(texts.heading("Landing envelope of one main unit: 14 CFR 23.473, 23.479, 23.481, 23.723, 23.725"))
    print(envelope.summary())
    print(texts.heading("The nominal limit landing, level"))
    ride = beam.drop(
        gear,
        mass=airplane.landing_mass / 2,
        speed=float(limit_descent_speed(airplane.landing_mass * g / airplane.wing_area)),
        lift_ratio=envelope.lift_ratio,
        ground_speed=contact_speed(airplane, airplane.landing_mass),
        flexibility=sizing.strut.flexibility(bracket=gear.link.shock_on_strut),
    )
    print(texts.landing(ride))

    print(texts.heading("Limit loads, starboard wheel: 14 CFR 23.473 to 23.511"))
    print(texts.loads(cases[cases["level"] == "limit"], leg="starboard"))

    layout = beam.layout_table(airplane, design.equipment, envelope.landing)
    print(texts.heading("Layout and equipment"), texts.layout(layout), sep="\n")

    print(texts.heading("Ply schedule, root to tip"))
    print(schedule_table(sizing).to_string(float_format="{:.3f}".format))
    print(texts.proof(sizing, requirement))

    fittings, labels = tarn_joints.joints(sizing.strut), loading.labels
    rows = assembly_margins(fittings, sizing.strut, loading.loads, requirement, cases=labels)
    table = with_joints(sizing.margins, rows)
    print(texts.heading("The ten lowest margins, one for each case"))
    ten = lowest(table, 10, by="case")
    print(texts.margins(ten))
    few = np.flatnonzero(np.isin(labels, ten["case"]))
    some = loading.loads.take(few)
    bent = beam.margins(sizing.strut, some, requirement, cases=labels[few], deflected=True)
    low = bent.loc[bent["decides"], "margin"].min()
    print(f"lowest of these with the loads on the deflected strut, 23.301(c): {low:+.4f}")

    print(texts.heading("The lowest margin of each mode; Zt, which corners open at, is invented"))
    print(texts.margins(lowest(sizing.margins, None, by="mode")))
    of_fittings = lowest(rows, None, by="wall")
    print(
        texts.heading("The lowest margin of each part of the fittings, invented"),
        texts.margins(of_fittings),
        sep="\n",
    )
    print(texts.heading("Checks that do not decide"), texts.screened(sizing.margins) or "none", sep="\n")

    sized = design.sized(sizing)
    cases.to_csv(folder / "loads.csv", index=False)
    write_margins(table, folder / "margins.csv")
    book_table(sized.strut).to_csv(folder / "ply_book.csv")
    joint_loads = joint_load_table(fittings, sizing.strut, loading.loads, requirement, cases=labels)
    joint_loads.to_csv(folder / "joint_loads.csv", index=False)
    shop.write_svg(shop.flat_patterns(sized.strut), folder / "plies", faults=shop.release_faults(table))
    draw(folder, sizing, loading, requirement, envelope, ride)
    more = (("Margins of the fittings", of_fittings), ("Loads of the fittings", joint_loads))
    given = {"envelope": envelope, "cases": cases, "loading": loading, "more": more}
    print(f"\nreport: {beam.report(design, sizing, folder=folder, **given)}; pictures and tables beside it")
    print(texts.cautions())


def land_and_size(design, static):
    """Size the strut to the landing on it, until load factors and spin-up drags change by less than 1 %."""
    strut, before, sizing = design.strut, None, None
    print(texts.heading("Size, stiffness, landing: passes"))
    for turn in range(1, MOST_PASSES + 1):
        flexibility = strut.flexibility(bracket=design.gear.link.shock_on_strut)
        envelope = beam.landing_envelope(design.airplane, design.gear, flexibility=flexibility,
                                         equipment=design.equipment, workers=2)  # fmt: skip
        points = envelope.landing.points
        now = np.array([p.load_factor for p in points] + [i.drag for p in points for i in p.instants[:1]])
        change = 1.0 if before is None else abs(now / before - 1).max()
        print(f"pass {turn}: strut {strut.mass:.3f} kg, n {now[: len(points)].round(3).tolist()}, "
              f"spin-up drag {now[len(points) :].round().tolist()} N, largest change {change:.2%}")  # fmt: skip
        cases = beam.ground_cases(design.airplane, envelope.landing, conditions=CONDITIONS)
        loading = beam.design_cases(design.gear, cases, design.mold_line, static=static)
        if change < 0.01:
            return envelope, loading, cases, sizing
        print(f"{len(loading.labels)} load cases on the strut, {len(design.requirement.services)} services")
        sizing = design.lightest(loading, start=strut, progress=print)
        strut, before = sizing.strut, now
    raise RuntimeError(f"strut and landing do not agree after {MOST_PASSES} passes: a strut too soft?")


if __name__ == "__main__":
    main(Path(sys.argv[1] if len(sys.argv) > 1 else "out"))
