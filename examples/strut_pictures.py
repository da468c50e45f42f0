"""The pictures of `size_strut.py` that go into a report."""

from contextlib import contextmanager

import numpy as np
from matplotlib.figure import Figure

from beam.dossier import lowest
from beam.gear.plots import plot_drop, plot_landing_envelope, plot_shock
from beam.strength import plots
from beam.strength.margins import check_stations
from beam.strength.strain import span_strain
from beam.strut.plots import plot_forces, plot_ply_book


def draw(folder, sizing, design, requirement, envelope, ride):
    """Write the pictures that go into a report."""
    strut, name = sizing.strut, lowest(sizing.margins, 1)["service"].iloc[0]
    governing = next(state for state in requirement.states if state.title == name)
    stations = np.union1d(check_stations(strut, design.loads), np.linspace(0.0, strut.mold_line.length, 32))
    strain = span_strain(strut, design.loads, requirement, governing, stations=stations)
    for part in ("fiber", "transverse", "shear"):
        figure = plots.strain_figure(strain, part, cases=design.labels, table=sizing.margins)
        figure.savefig(folder / f"strain_{part}.png", dpi=150)

    with picture(folder / "forces.png", 11, 10, rows=4) as axes:
        plot_forces(strut.span, design.loads, cases=design.labels, axes=axes)
    with picture(folder / "ply_book.png", 11, 7) as axes:
        plot_ply_book(strut, ax=axes[0])
    with picture(folder / "margins.png", 11, 7) as axes:
        plots.plot_margin_map(sizing.margins, strut, ax=axes[0])
    with picture(folder / "reserve.png", 11, 6) as axes:
        plots.plot_reserve_along_span(sizing.margins, ax=axes[0])
        axes[0].figure.legend(loc="outside lower center", fontsize=8, ncols=2)
    with picture(folder / "landing.png", 9, 6, rows=2) as axes:
        plot_drop(ride, axes=axes)
    with picture(folder / "shock.png", 7, 5) as axes:
        plot_shock(ride, envelope.gear.shock, ax=axes[0])
    with picture(folder / "envelope.png", 12, 7, columns=2) as axes:
        plot_landing_envelope(envelope, axes=axes)


@contextmanager
def picture(path, width, height, rows=1, columns=1):
    """Give axes, one above the other or side by side, to draw on, and save the figure."""
    fig = Figure(figsize=(width, height), layout="constrained")
    yield fig.subplots(rows, columns, sharex=columns == 1, sharey=columns > 1, squeeze=False).ravel()
    fig.savefig(path, dpi=150)
