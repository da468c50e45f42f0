"""From the weight-and-balance sheet to a ply book: the main gear strut of the Tarn, an invented airplane.

Run it: python examples/size_strut.py [folder for pictures and tables]. The airplane stands in `tarn.py`. This script
does no physics of its own: it calls the library in the order of the job.
"""

import sys
from contextlib import contextmanager
from pathlib import Path

import numpy as np
import tarn
from matplotlib.figure import Figure
from scipy.constants import g

import beam
from beam.dossier import book_table, lowest, report, schedule_table
from beam.gear.plots import plot_drop, plot_shock
from beam.loads import contact_speed, limit_descent_speed, required_load_factor
from beam.strength import plots
from beam.strength.margins import check_stations
from beam.strength.strain import span_strain
from beam.strut.plots import plot_forces, plot_ply_book


def main(folder: Path) -> None:
    """Size the strut, print what was found, write pictures and tables to `folder`."""
    folder.mkdir(parents=True, exist_ok=True)
    airplane, gear, requirement = tarn.AIRPLANE, tarn.GEAR, tarn.REQUIREMENT

    print(report.title())
    print(report.heading(f"The airplane: {airplane.name}, invented for this demonstration"))
    static = beam.static_reactions(airplane)
    print(report.airplane(airplane), report.reactions(static), sep="\n")

    print(report.heading("Limit landing on one main unit: 14 CFR 23.473(d), 23.725"))
    mass = airplane.landing_mass
    sink = limit_descent_speed(mass * g / airplane.wing_area)
    touchdown = contact_speed(airplane, mass)
    ride = beam.drop(gear, mass=mass / 2, speed=sink, lift_ratio=2 / 3, ground_speed=touchdown)
    n = required_load_factor(ride.load_factor, 2 / 3)
    wheel = beam.SpinUp(
        wheel_inertia=gear.wheel_inertia, rolling_radius=gear.rolling_radius, time_to_peak=ride.time_to_peak
    )
    landing = beam.Landing(load_factor=n, max_mass_load_factor=n, lift_ratio=2 / 3, spin_up=wheel)
    print(report.landing(ride))

    print(report.heading(f"Limit loads, starboard wheel, n = {n:.2f}: 14 CFR 23.473 to 23.493"))
    cases = beam.ground_cases(airplane, landing)
    print(report.loads(cases, leg="starboard"))

    print(report.heading("Layout and equipment"))
    print(report.layout(beam.layout_table(airplane, tarn.EQUIPMENT, landing)))

    print(report.heading("Sizing the ply book"))
    design = beam.design_cases(gear, cases, tarn.MOLD_LINE, static=static)
    print(
        f"{len(design.labels)} different load cases on the strut, each in {len(requirement.services)} services"
    )
    sizing = beam.lightest(tarn.LATTICE, design.loads, requirement, cases=design.labels, progress=print)

    print(report.heading("Ply schedule, root to tip"))
    print(schedule_table(sizing).to_string(float_format="{:.3f}".format))
    print(report.proof(sizing, requirement))

    print(report.heading("The ten lowest margins, one for each case"))
    rows = lowest(sizing.margins, 10, by="case")
    print(report.margins(rows))
    ten = np.flatnonzero(np.isin(design.labels, rows["case"]))
    bent = beam.margins(
        sizing.strut, design.loads.take(ten), requirement, cases=design.labels[ten], deflected=True
    )
    low = bent.loc[bent["decides"], "margin"].min()
    print(f"lowest of these with the loads on the deflected strut, 23.301(c): {low:+.4f}")

    print(report.heading("The lowest margin of each mode; Zt, which corners open at, is invented"))
    print(report.margins(lowest(sizing.margins, None, by="mode")))
    print(report.heading("Checks that do not decide"))
    print(report.screened(sizing.margins) or "none")

    cases.to_csv(folder / "loads.csv", index=False)
    sizing.margins.to_csv(folder / "margins.csv", float_format="%.6g")
    book_table(sizing.strut).to_csv(folder / "ply_book.csv")
    draw(folder, sizing, design, requirement, ride)
    print(f"\npictures and tables are in {folder}", report.cautions(), sep="\n")


def draw(folder, sizing, design, requirement, ride):
    """Write the pictures that go into a report."""
    strut, name = sizing.strut, lowest(sizing.margins, 1)["service"].iloc[0]
    governing = next(state for state in requirement.states if state.title == name)
    stations = np.union1d(check_stations(strut, design.loads), np.linspace(0.0, strut.mold_line.length, 32))
    strain = span_strain(strut, design.loads, requirement, governing, stations=stations)
    for part in ("fiber", "transverse", "shear"):
        plots.strain_figure(strain, part, cases=design.labels).savefig(folder / f"strain_{part}.png", dpi=150)

    with picture(folder / "forces.png", 11, 7, rows=3) as axes:
        plot_forces(strut.span, design.loads, cases=design.labels, axes=axes)
    with picture(folder / "ply_book.png", 11, 7) as axes:
        plot_ply_book(strut, ax=axes[0])
    with picture(folder / "margins.png", 11, 7) as axes:
        plots.plot_margin_map(sizing.margins, strut, ax=axes[0])
    with picture(folder / "landing.png", 9, 6, rows=2) as axes:
        plot_drop(ride, axes=axes)
    with picture(folder / "shock.png", 7, 5) as axes:
        plot_shock(ride, tarn.GEAR.shock, ax=axes[0])


@contextmanager
def picture(path, width, height, rows=1):
    """Give axes, one above the other, to draw on, and save the figure."""
    fig = Figure(figsize=(width, height), layout="constrained")
    yield fig.subplots(rows, 1, sharex=True, squeeze=False)[:, 0]
    fig.savefig(path, dpi=150)


if __name__ == "__main__":
    main(Path(sys.argv[1] if len(sys.argv) > 1 else "out"))
