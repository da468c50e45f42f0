"""From the weight-and-balance sheet to a ply book: the main gear strut of the Tarn, an invented airplane.

Run it: python examples/size_strut.py [folder for report, pictures and tables]. The design stands in `tarn.toml`, and
built in Python in `tarn.py`. This script does no physics of its own: it calls the library in the order of the job.
"""

import sys
from concurrent.futures import Executor, ProcessPoolExecutor
from pathlib import Path

import numpy as np
from landing_passes import land_and_size
from scipy.constants import g
from strut_pictures import draw

import beam
from beam.dossier import lowest, plan_static_test, schedule_table, texts, write_packet, write_table
from beam.joints import assembly_margins, joint_load_table, with_joints
from beam.loads import contact_speed, limit_descent_speed
from beam.strength import ply_end_margins

OVERLOAD = 1.25  # of the static test, on the room-temperature article
OVERLOAD_BASIS = "invented: hot wet over room-temperature strength of the fabric is about 0.8"


def main(folder: Path, file: Path | None = None) -> None:
    """Size the strut of a design file, print what was found, write report, pictures and tables to `folder`."""
    with ProcessPoolExecutor(1) as second:
        size(folder, file or Path(__file__).with_name("tarn.toml"), second)


def size(folder: Path, file: Path, second: Executor) -> None:
    """The job; pictures are drawn by a second process."""
    folder.mkdir(parents=True, exist_ok=True)
    design = beam.Design.read(file)
    assert design.equipment
    airplane, gear, requirement = design.airplane, design.gear, design.requirement

    print(
        texts.title(),
        texts.heading(f"The airplane: {airplane.name}, invented for this demonstration"),
        sep="\n",
    )
    static = beam.static_reactions(airplane)
    print(texts.airplane(airplane), texts.reactions(static), sep="\n")

    envelope, loading, cases, sizing = land_and_size(design, static)

    say(
        "Landing envelope of one main unit: 14 CFR 23.473, 23.479, 23.481, 23.723, 23.725", envelope.summary()
    )
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
    drawn = second.submit(draw, folder, sizing, loading, requirement, envelope, ride)

    say(
        "Limit loads, starboard wheel: 14 CFR 23.473 to 23.511",
        texts.loads(cases[cases["level"] == "limit"], leg="starboard"),
    )

    layout = beam.layout_table(airplane, design.equipment, envelope.landing)
    say("Layout and equipment", texts.layout(layout))

    say("Ply schedule, root to tip", schedule_table(sizing).to_string(float_format="{:.3f}".format))
    print(texts.proof(sizing, requirement))

    fittings, labels = design.fittings, loading.labels
    rows = assembly_margins(fittings, sizing.strut, loading.loads, requirement, cases=labels)
    ends = ply_end_margins(sizing.strut, loading.loads, requirement, cases=labels, table=sizing.margins)
    table = with_joints(sizing.margins, rows, ends)
    print(texts.heading("The ten lowest margins, one for each case"))
    ten = lowest(table, 10, by="case")
    print(texts.margins(ten))
    few = np.flatnonzero(np.isin(labels, ten["case"]))
    some = loading.loads.take(few)
    bent = beam.margins(sizing.strut, some, requirement, cases=labels[few], deflected=True)
    low = bent.loc[bent["decides"], "margin"].min()
    print(f"lowest of these with the loads on the deflected strut, 23.301(c): {low:+.4f}")

    say(
        "The lowest margin of each mode; Zt, which corners open at, is invented",
        texts.margins(lowest(sizing.margins, None, by="mode")),
    )
    of_fittings = texts.margins(lowest(rows, None, by="wall"))
    say("The lowest margin of each part of the fittings, invented", of_fittings)
    say("Checks that do not decide", texts.screened(table) or "none")

    sized = design.sized(sizing)
    cases.to_csv(folder / "loads.csv", index=False)
    places = lowest(table, None, by=("station", "wall", "mode"), decides=None)  # of all cases the lowest
    write_table(places.set_index(table.index.names), folder / "margins.csv")
    joint_loads = joint_load_table(fittings, sizing.strut, loading.loads, requirement, cases=labels)
    write_table(joint_loads, folder / "joint_loads.csv")
    test = plan_static_test(sized.strut, loading.loads, requirement, table, cases=labels, overload=OVERLOAD,
                            overload_basis=OVERLOAD_BASIS)  # fmt: skip
    files = write_packet(sized, table, folder=folder, static_test=test)
    print(f"\n{len(files)} files for shop and tests")
    given = {"envelope": envelope, "cases": cases, "loading": loading, "static_test": test}
    made = beam.report(design, sizing, folder=folder, executor=second, **given)
    drawn.result()
    print(f"\nreport: {made}; pictures and tables beside it")
    print(texts.cautions())


def say(title, text):
    """Print a part under its heading."""
    print(texts.heading(title), text, sep="\n")


if __name__ == "__main__":
    main(Path(sys.argv[1] if len(sys.argv) > 1 else "out"))
