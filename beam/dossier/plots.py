"""Drawings of the dossier: figures of the report, plies along the strut, mandrel, gauges.

Every function draws on axes and never saves.
"""

import io
import warnings
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from html import escape
from pathlib import Path
from typing import Annotated, Literal

import matplotlib
import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Circle

from beam.dossier.design import Design, write_whole
from beam.dossier.shop import NOT_RELEASED, both_sides, mandrel_table, plain
from beam.dossier.tables import lowest
from beam.gear import LandingEnvelope, MainGear
from beam.gear.parts.rotation import position
from beam.gear.plots import plot_landing_envelope
from beam.joints.fitting import Fitting
from beam.joints.plots import plot_free_body
from beam.plots import BLUE, COLORS, INK, MARKS, PALE, given_or_new, one_or_new
from beam.sizing import Sizing
from beam.strength.check import Level
from beam.strength.margins import check_stations
from beam.strength.plots import plot_margin_map, plot_reserve_along_span, strain_figure
from beam.strength.requirement import Requirement
from beam.strength.strain import span_strain
from beam.strut import PointLoads, Strut
from beam.strut.plots import HATCHES, plot_forces, plot_ply_book
from beam.strut_cases import DesignCases
from beam.units import shown, symbol
from materials.checks import Array, Limits, Table, checked, reject

__all__ = ["plot_gauges", "plot_gear_bodies", "plot_longitudinal_section", "plot_mandrel"]

Units = Literal["SI", "US"]


@checked
def plot_longitudinal_section(
    strut: Strut,
    wall: str,
    *,
    ax: Axes | None = None,
    exaggeration: Annotated[float, Limits("-", at_least=1.0)] = 20.0,
    faults: Annotated[Iterable[str], Limits(items=0)] = (),
    units: Units = "SI",
) -> Axes:
    """Draw the plies of one wall along the strut, thickness exaggerated, the mold line straight.

    Parameters
    ----------
    strut : Strut
        The strut.
    wall : str
        Name of the wall.
    ax : Axes, optional
        Where to draw; None makes a figure.
    exaggeration : float
        Scale of thickness over that of length [-].
    faults : sequence of str
        From `release_faults`: with any, the drawing says NOT FOR MANUFACTURE.
    units : {"SI", "US"}
        Units to show.

    Returns
    -------
    Axes
        The axes, stations along x, depth below the mold line along y.
    """
    ax, book = one_or_new(ax, (11.0, 4.0)), strut.ply_book
    s, at = both_sides(strut)
    depth: dict[int, list[tuple[float, float, float]]] = {}
    for station, look in zip(s.tolist(), at.tolist(), strict=True):
        numbers = book.numbers(wall, look)
        t = np.array([book.plies[n - 1].lamina.thickness for n in numbers])
        outer = t.sum() - np.cumsum(t)
        for n, top, thick in zip(numbers.tolist(), outer.tolist(), t.tolist(), strict=True):
            depth.setdefault(n, []).append((station, -top, -top - thick))
    angles = sorted({abs(ply.angle_deg) for ply in book.plies})
    laminae = list(dict.fromkeys(ply.lamina.name for ply in book.plies))
    for n, rows in depth.items():
        x, top, bottom = shown(np.array(rows).T, "length", units)
        family = angles.index(abs(book.plies[n - 1].angle_deg))
        hatch = HATCHES[laminae.index(book.plies[n - 1].lamina.name) % len(HATCHES)]
        ax.fill_between(x, bottom, top, fc=COLORS[family % len(COLORS)], ec="white", lw=0.3, hatch=hatch)
    for family, angle in enumerate(angles):
        label = f"±{angle:g}°" if 0 < angle < 90 else f"{angle:g}°"
        ax.fill_between([], [], [], fc=COLORS[family % len(COLORS)], ec="white", label=label)
    for name, hatch in zip(laminae, HATCHES, strict=False):
        ax.fill_between([], [], [], fc=PALE, ec="white", hatch=hatch, label=name)
    for station in shown(strut.bays[1:-1], "length", units):
        ax.axvline(station, color=INK, lw=0.5, ls=":")
    ax.axhline(0.0, color="black", lw=1.2)
    ax.set_aspect(exaggeration)
    length = symbol("length", units)
    ax.set_xlabel(f"station from the root [{length}]")
    ax.set_ylabel(f"below the mold line [{length}]")
    ax.set_title(f"{NOT_RELEASED + ': ' if faults else ''}plies of wall {wall}, thickness x {exaggeration:g}")
    ax.legend(
        title="color: fiber angle, hatch: lamina",
        title_fontsize=8,
        fontsize=8,
        loc=2,
        bbox_to_anchor=(1.0, 1.0),
    )
    return ax


@checked
def plot_mandrel(
    strut: Strut,
    *,
    axes: Sequence[Axes] | None = None,
    faults: Annotated[Iterable[str], Limits(items=0)] = (),
    units: Units = "SI",
) -> tuple[Axes, ...]:
    """Draw the mandrel, the inner surface of the strut, in two side views with the mold line around it.

    Parameters
    ----------
    strut : Strut
        The strut.
    axes : pair of Axes, optional
        Where to draw: width and height over the stations; None makes a figure.
    faults : sequence of str
        From `release_faults`: with any, the drawing says NOT FOR MANUFACTURE.
    units : {"SI", "US"}
        Units to show.

    Returns
    -------
    tuple of Axes
        The axes.
    """
    axes = given_or_new("plot_mandrel", axes, 2, size=(10.0, 6.0), sharex=True)
    length = symbol("length", units)
    inner = mandrel_table(strut, units=units)
    outer = strut.mold_line.at(strut.bays)
    for ax, name, size in zip(axes, ("width", "height"), (outer.width, outer.height), strict=False):
        for sign, shown_in in (
            (1, "{}"),
            (-1, "_{}"),
        ):  # a label that starts with _ is left out of the legend
            half = sign * inner[f"{name} [{length}]"] / 2
            ax.plot(inner.index, half, color=BLUE, label=shown_in.format("mandrel"))
            x, y = shown(strut.bays, "length", units), sign * shown(size, "length", units) / 2
            ax.plot(x, y, color="black", lw=0.8, ls="--", label=shown_in.format("mold line"))
        ends = inner[f"{name} [{length}]"].iloc[[0, -1]]
        ax.set_title(f"{NOT_RELEASED + ': ' if faults else ''}mandrel, {name} {ends.iloc[0]:.2f} {length} at the root, "
                     f"{ends.iloc[1]:.2f} {length} at the tip")  # fmt: skip
        ax.set_ylabel(f"{name} [{length}]")
        ax.set_aspect("equal", adjustable="datalim")
        ax.legend(loc="center right", fontsize=8)
    axes[-1].set_xlabel(f"station from the root [{length}]")
    return axes


def shop_drawings(strut: Strut, place: Path, *, faults: tuple[str, ...], units: Units) -> list[Path]:
    """Write mandrel and longitudinal sections as SVG files, one section for all walls of the same plies."""
    figure = Figure(figsize=(10, 6), layout="constrained")
    plot_mandrel(strut, axes=figure.subplots(2, 1, sharex=True).tolist(), faults=faults, units=units)
    figures = {"mandrel": figure}
    alike: dict[tuple[bool, ...], str] = {}
    for wall in strut.mold_line.wall_names:
        alike.setdefault(tuple(wall in ply.walls for ply in strut.ply_book.plies), wall)
    for wall in alike.values():
        figure = Figure(figsize=(11, 4), layout="constrained")
        plot_longitudinal_section(strut, wall, ax=figure.subplots(), faults=faults, units=units)
        figures[f"section {plain(wall)}"] = figure
    for name, figure in figures.items():
        write_whole(place / f"{name}.svg", _svg(figure, name))
    return [place / f"{name}.svg" for name in figures]


@checked
def plot_gauges(comparison: Table, case: str, *, ax: Axes | None = None) -> Axes:
    """Draw measured strains of one case of the static test over the load, with the predicted lines.

    Parameters
    ----------
    comparison : DataFrame
        From `beam.dossier.compare_gauges`.
    case : str
        The load case.
    ax : Axes, optional
        Where to draw, the eight channels of the largest prediction; None makes a figure.

    Returns
    -------
    Axes
        The axes, load over limit load along x.
    """
    ax = one_or_new(ax)
    rows = comparison[(comparison["case"] == case) & (comparison["unit"] == "-")]
    channels = rows.groupby("channel")["predicted"].agg(lambda v: v.abs().max()).nlargest(8).index
    for i, channel in enumerate(channels):
        one = rows[rows["channel"] == channel].sort_values("load / limit")
        color, marker = COLORS[i % len(COLORS)], MARKS[i]
        ax.plot(one["load / limit"], one["predicted"] * 1e6, color=color, lw=1.0)
        ax.plot(one["load / limit"], one["measured"] * 1e6, marker, color=color, mfc="none", label=channel)
    ax.axvline(1.0, color=INK, lw=0.8, ls=":")
    ax.text(1.0, 0.99, " limit load", transform=ax.get_xaxis_transform(), va="top", fontsize=8)
    ax.axhline(0.0, color=INK, lw=0.5)
    ax.set_xlabel("load / limit load of the test [-]")
    ax.set_ylabel("strain of load alone [microstrain]")
    ax.set_title(f"{case}: lines predicted, marks measured", fontsize=9)
    ax.legend(fontsize=7, title="rosette on the outer surface", title_fontsize=8)
    return ax


def gear_bodies(
    gear: MainGear, strut: Strut, loading: DesignCases, case: int
) -> dict[str, dict[str, tuple[Array, Array, Array]]]:
    """What acts on the free bodies of link and strut in one case: point, force and moment, airplane axes."""
    line, loads, link = strut.mold_line, loading.loads, gear.link
    turn, at = line.frame, line.position(loads.at)
    force = loads.force[case] @ turn
    moment = np.broadcast_to(loads.moment, loads.force.shape)[case] @ turn
    names = [
        "bracket of the shock" if np.linalg.norm(one - link.pivot) > 1e-6 else "pivot of the link"
        for one in at
    ]
    on_strut = {n: (a, f, m) for n, a, f, m in zip(names, at, force, moment, strict=True)}
    held, reaction = strut.span.held, strut.span.reactions(loads.take([case]))[0]
    for station in np.unique(held.at).tolist():
        wrench = (reaction[:, None] * held.rows)[held.at == station].sum(axis=0)
        name = f"support at {station:.3g} m"
        on_strut[name] = (line.position(station), wrench[:3] @ turn, wrench[3:] @ turn)
    wheel, lug = loading.contact[case], position(link.lug_terms, link.angle(loading.stroke[case]))
    total = force.sum(axis=0)
    couple = (np.cross(at - wheel, force) + moment).sum(axis=0)
    pivot = next(i for i, name in enumerate(names) if name == "pivot of the link")
    at_pivot = moment[pivot] + np.cross(at[pivot] - link.pivot, force[pivot])
    shock = total - force[pivot]
    on_link = {
        "ground on the wheel": (wheel, total, couple),
        "shock": (lug, -shock, np.zeros(3)),
        "strut at the pivot": (link.pivot, -force[pivot], -at_pivot),
    }
    return {"link and wheel": on_link, "strut": on_strut}


@checked
def plot_gear_bodies(
    gear: MainGear,
    strut: Strut,
    loading: DesignCases,
    label: str,
    *,
    axes: Sequence[Axes] | None = None,
    units: Units = "SI",
) -> tuple[Axes, ...]:
    """Draw the free bodies of link and strut in one case, from the side and from behind.

    Parameters
    ----------
    gear : MainGear
        The starboard gear.
    strut : Strut
        The strut with its supports.
    loading : DesignCases
        The cases.
    label : str
        Label of the case.
    axes : four Axes, optional
        Where to draw: link from the side and from behind, strut likewise; None makes a figure.
    units : {"SI", "US"}
        Units to show.

    Returns
    -------
    tuple of Axes
        The axes, in airplane axes; every force and moment stands below.

    Raises
    ------
    ValueError
        If no case has that label.
    """
    labels = loading.labels.tolist()
    if label not in labels:
        reject("plot_gear_bodies: label", repr(label), "one of the labels of the cases")
    case = labels.index(label)
    axes = given_or_new("plot_gear_bodies", axes, 2, 2, size=(11.0, 9.0))
    link, line = gear.link, strut.mold_line
    angle = link.angle(loading.stroke[case])
    axle, lug = (position(terms, angle) for terms in (link.axle_terms, link.lug_terms))
    shapes = {
        "link and wheel": ([[link.pivot, axle, loading.contact[case]], [axle, lug], [lug, link.shock_on_strut]]),
        "strut": [[line.root, line.tip]],
    }  # fmt: skip
    level = "ultimate" if loading.loads.at_ultimate[case] else "limit"
    length, force_unit, moment_unit = (symbol(one, units) for one in ("distance", "force", "moment"))
    bodies = gear_bodies(gear, strut, loading, case).items()
    for (name, acting), pair in zip(bodies, (axes[:2], axes[2:]), strict=True):
        points, force, moment = (shown(np.array(one), quantity, units) for one, quantity in zip(
            zip(*acting.values(), strict=True), ("distance", "force", "moment"), strict=True))  # fmt: skip
        force, moment = (np.where(abs(one) < 1e-9 * abs(one).max(), 0.0, one) for one in (force, moment))
        size = float(np.ptp(points, axis=0).max())
        scale = 0.5 * size / max(float(np.linalg.norm(force, axis=1).max()), 1e-12)
        for ax, (across, view) in zip(pair, ((0, "from the side"), (1, "from behind")), strict=True):
            plane = [across, 2]
            for part in shapes[name]:
                x, y = shown(np.array(part), "distance", units)[:, plane].T
                ax.plot(x, y, color=INK, lw=3.0 if part[-1] is not link.shock_on_strut else 1.0, alpha=0.5)
            if name != "strut" and across == 0:
                center, radius = (
                    shown(one, "distance", units).tolist() for one in (axle[plane], gear.tire.radius)
                )
                ax.add_patch(Circle(center, radius, fill=False, ec=INK, ls=":"))
            for i, (at, pull) in enumerate(zip(points[:, plane], scale * force[:, plane], strict=True)):
                arrow = {"arrowstyle": "-|>", "color": COLORS[i % len(COLORS)], "lw": 2.0}
                ax.annotate("", at + pull, at, arrowprops=arrow)
                x, y = (at + 1.12 * pull).tolist()
                tint = COLORS[i % len(COLORS)]
                ax.text(x, y, "ABCDEFGH"[i % 8], color=tint, weight="bold", ha="center", va="center")
                ax.update_datalim([at, at + 1.15 * pull])
            ax.plot(*points[:, plane].T, "o", color=INK, ms=4)
            ax.set_aspect("equal", adjustable="datalim")
            ax.margins(0.1)
            ax.autoscale_view()
            ax.set_xlabel(f"{('x aft', 'y starboard')[across]} [{length}]")
            ax.set_ylabel(f"z up [{length}]")
            ax.set_title(f"{name}, {view}, at {level} load", fontsize=9)
        rows = [
            f"{'ABCDEFGH'[i % 8]}  {one}: F ({', '.join(f'{v:.4g}' for v in force[i])}) {force_unit}, "
            f"M ({', '.join(f'{v:.4g}' for v in moment[i])}) {moment_unit}"
            for i, one in enumerate(acting)
        ]
        pair[0].text(0.0, -0.2, "\n".join(rows), transform=pair[0].transAxes, va="top", fontsize=8)
    figure = axes[0].get_figure(root=True)
    assert figure is not None
    figure.suptitle(f"Free bodies, {label}; airplane axes, moments about the points drawn", fontsize=10)
    return axes


def report_figures(
    design: Design, sizing: Sizing, loading: DesignCases, envelope: LandingEnvelope, *, units: Units
) -> dict[str, str]:
    """Figures of the report by name, each an HTML figure with the drawing inside as SVG."""
    strut, requirement, table, labels = sizing.strut, design.requirement, sizing.margins, loading.labels
    out: dict[str, str] = {}

    @contextmanager
    def drawn(
        name: str,
        caption: str,
        width: float,
        height: float,
        rows: int = 1,
        columns: int = 1,
        *,
        share: bool = True,
    ) -> Iterator[Sequence[Axes]]:
        fig = Figure(figsize=(width, height), layout="constrained")
        yield (
            fig.subplots(
                rows, columns, sharex=share and columns == 1, sharey=share and columns > 1, squeeze=False
            )
            .ravel()
            .tolist()
        )
        out[name] = _figure(fig, caption)

    with drawn("envelope", "Landing envelope", 11, 6.5, columns=2) as axes:
        plot_landing_envelope(envelope, axes=axes, units=units)
    with drawn(
        "forces",
        "Section forces at the given load: limit, and ultimate where the case says so",
        11,
        10,
        rows=4,
    ) as axes:
        plot_forces(strut.span, loading.loads, cases=labels.tolist(), axes=axes, units=units)
    worst = str(lowest(table, 1)["case"].iloc[0])
    with drawn("bodies", f"Free bodies of link and strut in the case of the lowest margin, {worst}", 11, 8, 2, 2,
               share=False) as axes:  # fmt: skip
        plot_gear_bodies(design.gear, strut, loading, worst, axes=axes, units=units)
    with drawn("book", "Ply book", 11, 8) as axes:
        plot_ply_book(strut, ax=axes[0], units=units)
    with drawn("margins", "Lowest margin over all cases, by station and wall", 11, 6) as axes:
        plot_margin_map(table, strut, ax=axes[0], units=units)
    with drawn("reserve", "Reserve of every check along the span", 11, 5.5) as axes:
        plot_reserve_along_span(table, ax=axes[0], units=units)
        axes[0].figure.legend(loc="outside right upper", fontsize=8)
    service = str(lowest(table, 1)["service"].iloc[0])
    state = next(one for one in requirement.states if one.title == service)
    stations = np.union1d(check_stations(strut, loading.loads), np.linspace(0.0, strut.mold_line.length, 32))
    strain = span_strain(strut, loading.loads, requirement, state, stations=stations)
    for part in ("fiber", "transverse", "shear"):
        figure = strain_figure(strain, part, cases=labels.tolist(), units=units)
        out[f"strain {part}"] = _figure(
            figure, f"Extreme {part} strain along the span at ultimate load, {service}"
        )
    return out


def joint_figures(
    fittings: Sequence[Fitting],
    strut: Strut,
    loads: PointLoads,
    requirement: Requirement,
    rows: Table,
    labels: list[str],
    *,
    units: Units,
) -> str:
    """Free body of every fitting with joints as HTML figures, each in the case and at the load of its lowest row."""
    out, stations = "", rows.index.get_level_values("station").to_numpy(float)
    for fitting in fittings:
        own = rows[np.isclose(stations, fitting.middle) & rows["decides"].to_numpy(bool)]
        if not len(own):
            continue
        row = own.reset_index().loc[own["margin"].to_numpy(float).argmin()]
        case = str(row["case"])
        level: Level = "limit" if row["level"] == "limit" else "ultimate"
        fig = Figure(figsize=(11, 4.8))
        sides: tuple[Literal["e2", "e3"], ...] = ("e2", "e3")
        for across, ax in zip(sides, fig.subplots(1, 2), strict=True):
            plot_free_body(fitting, strut, loads, requirement, case=labels.index(case), label=case, level=level,
                           across=across, units=units, ax=ax)  # fmt: skip
        fig.suptitle(fig.axes[0].get_title(), fontsize=10)
        for ax in fig.axes:  # both have the same legend
            ax.set_title("")
            legend = ax.get_legend()
            assert legend
            legend.remove()
        assert legend
        fig.legend(handles=legend.legend_handles, title=legend.get_title().get_text(), loc="lower center", fontsize=8,
                   title_fontsize=8, frameon=False)  # fmt: skip
        fig.subplots_adjust(bottom=0.28, top=0.9, left=0.07, right=0.98)
        heat = "; without the reactions of heat and moisture" if len(strut.span.held.rows) > 6 else ""
        if any(word in str(row["wall"]) for word in ("bond gone", "unbonded")):
            heat += "; that row, without the bond, has limit load"
        out += _figure(
            fig,
            f"Free body of {fitting.name} at {level} load in the case of its lowest margin, {row['margin']:+.4f} "
            f"({row['wall']}, {row['mode']}): {case}{heat}",
        )
    return out


def _figure(fig: Figure, caption: str) -> str:
    """A figure as HTML with its drawing as SVG inside."""
    drawing = _svg(fig, caption)
    drawing = drawing[drawing.index("<svg") :].replace(
        "<svg ", f'<svg role="img" aria-label="{escape(caption)}" ', 1
    )
    return f"<figure>{drawing}<figcaption>{escape(caption)}</figcaption></figure>"


def _svg(fig: Figure, salt: str) -> str:
    """A figure as the text of an SVG file."""
    text = io.StringIO()
    with matplotlib.rc_context({"svg.hashsalt": salt, "svg.fonttype": "none"}), warnings.catch_warnings():
        warnings.filterwarnings("ignore", "Glyph")  # text stays text: the reader's font draws it
        fig.savefig(text, format="svg", metadata={"Date": None}, dpi=150)
    return text.getvalue()
