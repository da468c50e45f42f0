"""From the weight-and-balance sheet to a ply book: the main gear strut of the Tarn, an invented airplane.

Run it: python examples/size_strut.py [folder for pictures and tables]. The airplane stands in `tarn.py`. This script
does no physics of its own: it calls the library in the order of the job.
"""

import sys
from pathlib import Path

import numpy as np
import tarn
from scipy.constants import g
from strut_pictures import draw, picture

import beam
from beam.dossier import book_table, lowest, schedule_table, texts
from beam.gear.plots import plot_landing_envelope
from beam.loads import contact_speed, limit_descent_speed, part23

CONDITIONS = (*part23.LANDING_AND_ROLLING, *part23.HANDLING, part23.reserve_energy)
MOST_PASSES = 5


def main(folder: Path) -> None:
    """Size the strut, print what was found, write pictures and tables to `folder`."""
    folder.mkdir(parents=True, exist_ok=True)
    airplane, gear, requirement = tarn.AIRPLANE, tarn.GEAR, tarn.REQUIREMENT

    print(texts.title())
    print(texts.heading(f"The airplane: {airplane.name}, invented for this demonstration"))
    static = beam.static_reactions(airplane)
    print(texts.airplane(airplane), texts.reactions(static), sep="\n")

    envelope, design, cases, sizing = land_and_size(airplane, gear, requirement, static)

    print(texts.heading("Landing envelope of one main unit: 14 CFR 23.473, 23.479, 23.481, 23.723, 23.725"))
    print(envelope.summary())
    print(texts.heading("The nominal limit landing, level"))
    mass = airplane.landing_mass
    ride = beam.drop(
        gear,
        mass=mass / 2,
        speed=float(limit_descent_speed(mass * g / airplane.wing_area)),
        lift_ratio=envelope.lift_ratio,
        ground_speed=contact_speed(airplane, mass),
        flexibility=sizing.strut.flexibility(bracket=gear.link.shock_on_strut),
    )
    print(texts.landing(ride))

    print(texts.heading("Limit loads, starboard wheel: 14 CFR 23.473 to 23.511"))
    print(texts.loads(cases[cases["level"] == "limit"], leg="starboard"))

    print(texts.heading("Layout and equipment"))
    print(texts.layout(beam.layout_table(airplane, tarn.EQUIPMENT, envelope.landing)))

    print(texts.heading("Ply schedule, root to tip"))
    print(schedule_table(sizing).to_string(float_format="{:.3f}".format))
    print(texts.proof(sizing, requirement))

    print(texts.heading("The ten lowest margins, one for each case"))
    rows = lowest(sizing.margins, 10, by="case")
    print(texts.margins(rows))
    ten = np.flatnonzero(np.isin(design.labels, rows["case"]))
    bent = beam.margins(
        sizing.strut, design.loads.take(ten), requirement, cases=design.labels[ten], deflected=True
    )
    low = bent.loc[bent["decides"], "margin"].min()
    print(f"lowest of these with the loads on the deflected strut, 23.301(c): {low:+.4f}")

    print(texts.heading("The lowest margin of each mode; Zt, which corners open at, is invented"))
    print(texts.margins(lowest(sizing.margins, None, by="mode")))
    print(texts.heading("Checks that do not decide"))
    print(texts.screened(sizing.margins) or "none")

    cases.to_csv(folder / "loads.csv", index=False)
    sizing.margins.to_csv(folder / "margins.csv", float_format="%.6g")
    book_table(sizing.strut).to_csv(folder / "ply_book.csv")
    draw(folder, sizing, design, requirement, ride)
    with picture(folder / "envelope.png", 12, 7, columns=2) as axes:
        plot_landing_envelope(envelope, axes=axes)
    print(f"\npictures and tables are in {folder}", texts.cautions(), sep="\n")


def land_and_size(airplane, gear, requirement, static):
    """Size the strut to the landing on it, until load factors and spin-up drags change by less than 1 %."""
    strut, before, sizing = tarn.FIRST_STRUT, None, None
    print(texts.heading("Size, stiffness, landing: passes"))
    for turn in range(1, MOST_PASSES + 1):
        envelope = beam.landing_envelope(
            airplane,
            gear,
            flexibility=strut.flexibility(bracket=gear.link.shock_on_strut),
            equipment=tarn.EQUIPMENT,
            workers=2,
        )
        points = envelope.landing.points
        now = np.array([p.load_factor for p in points] + [i.drag for p in points for i in p.instants[:1]])
        change = 1.0 if before is None else abs(now / before - 1).max()
        print(f"pass {turn}: strut {strut.mass:.3f} kg, n {now[: len(points)].round(3).tolist()}, "
              f"spin-up drag {now[len(points) :].round().tolist()} N, largest change {change:.2%}")  # fmt: skip
        cases = beam.ground_cases(airplane, envelope.landing, conditions=CONDITIONS)
        design = beam.design_cases(gear, cases, tarn.MOLD_LINE, static=static, airplane=airplane)
        if change < 0.01:
            return envelope, design, cases, sizing
        print(f"{len(design.labels)} load cases on the strut, each in {len(requirement.services)} services")
        sizing = beam.lightest(tarn.LATTICE, design.loads, requirement, cases=design.labels, progress=print)
        strut, before = sizing.strut, now
    raise RuntimeError(f"strut and landing do not agree after {MOST_PASSES} passes: a strut too soft?")


if __name__ == "__main__":
    main(Path(sys.argv[1] if len(sys.argv) > 1 else "out"))
