"""From the weight-and-balance sheet to a ply book: the main gear strut of the Tarn, an invented airplane.

Run it: python examples/size_strut.py [folder for pictures and tables]. The airplane stands in `tarn.py`; this
script does no physics of its own, it asks the questions a designer asks, in the order a designer asks them.
"""

import sys
from contextlib import contextmanager
from pathlib import Path

import numpy as np
import tarn
from matplotlib.figure import Figure
from scipy.constants import g

from beam import loads
from beam.design_cases import design_cases
from beam.dossier import report, tables
from beam.gear import drop
from beam.gear.plots import plot_drop, plot_shock
from beam.sizing import lightest
from beam.strength import plots
from beam.strength.margins import check_stations, margins
from beam.strength.strain import span_strain
from beam.strut.plots import plot_forces, plot_ply_book


def main(folder: Path) -> None:
    """Size the strut, print what was found, write pictures and tables to `folder`."""
    folder.mkdir(parents=True, exist_ok=True)
    airplane, gear, requirement = tarn.AIRPLANE, tarn.GEAR, tarn.REQUIREMENT

    print(report.heading(f"The airplane: {airplane.name}, invented for this demonstration"))
    static = loads.static_reactions(airplane)
    print(report.airplane(airplane), report.reactions(static), sep="\n")

    print(report.heading("Limit landing on one main unit: 14 CFR 23.473(d), 23.725"))
    mass = airplane.landing_mass
    speed = loads.limit_descent_speed(mass * g / airplane.wing_area)
    touchdown = loads.contact_speed(airplane, mass)
    landing = drop(gear, mass=mass / 2, speed=speed, lift_ratio=2 / 3, ground_speed=touchdown)
    load_factor = loads.required_load_factor(landing.load_factor, 2 / 3)
    print(report.landing(landing))

    print(report.heading(f"Limit loads, starboard wheel, n = {load_factor:.2f}: 14 CFR 23.473 to 23.493"))
    spin_up = loads.SpinUp(
        wheel_inertia=gear.wheel_inertia,
        rolling_radius=gear.rolling_radius,
        time_to_peak=landing.time_to_peak,
    )
    cases = loads.ground_cases(
        airplane, load_factor=load_factor, max_mass_load_factor=load_factor, spin_up=spin_up
    )
    print(report.loads(cases, leg="starboard"))

    print(report.heading("Layout and equipment"))
    landings = loads.case_list(airplane, loads.Landing(load_factor=load_factor, lift_ratio=2 / 3))
    print(report.layout(loads.layout_table(airplane, tarn.EQUIPMENT, landings)))

    print(report.heading("Sizing the ply book"))
    design = design_cases(gear, cases, tarn.MOLD_LINE, static=static)
    print(
        f"{len(design.labels)} different load cases on the strut, each in {len(requirement.services)} services"
    )
    sizing = lightest(tarn.LATTICE, design.loads, requirement, cases=design.labels, progress=print)

    print(report.heading("Ply schedule, root to tip"))
    print(tables.schedule_table(sizing).to_string(float_format="{:.3f}".format))
    print(report.proof(sizing, requirement))

    print(report.heading("The ten lowest margins at ultimate load, one for each case"))
    lowest = tables.lowest(sizing.margins, 10, by="case")
    print(report.margins(lowest))
    ten = np.flatnonzero(np.isin(design.labels, lowest["case"]))
    bent = margins(
        sizing.strut, design.loads.take(ten), requirement, cases=design.labels[ten], deflected=True
    )
    print(f"lowest of these with the loads on the deflected strut, 23.301(c): {bent['margin'].min():+.4f}")

    print(report.heading("The lowest margin of each mode; Zt, which corners open at, is invented"))
    print(report.margins(tables.lowest(sizing.margins, 10, by="mode")))

    cases.to_csv(folder / "loads.csv", index=False)
    sizing.margins.to_csv(folder / "margins.csv", float_format="%.6g")
    tables.book_table(sizing.strut).to_csv(folder / "ply_book.csv")
    draw(folder, sizing, design, requirement, landing)
    print(f"\npictures and tables are in {folder}", report.cautions(), sep="\n")


def draw(folder, sizing, design, requirement, landing):
    """Write the pictures that go into a report."""
    strut, name = sizing.strut, sizing.margins.loc[sizing.margins["margin"].idxmin(), "service"]
    governing = next(service for service in requirement.services if service.name == name)
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
        plot_drop(landing, axes=axes)
    with picture(folder / "shock.png", 7, 5) as axes:
        plot_shock(landing, tarn.GEAR.shock, ax=axes[0])


@contextmanager
def picture(path, width, height, rows=1):
    """Give axes, one above the other, to draw on, and save the figure."""
    fig = Figure(figsize=(width, height), layout="constrained")
    yield fig.subplots(rows, 1, sharex=True, squeeze=False)[:, 0]
    fig.savefig(path, dpi=150)


if __name__ == "__main__":
    main(Path(sys.argv[1] if len(sys.argv) > 1 else "out"))
