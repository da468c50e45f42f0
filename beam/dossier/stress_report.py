"""The stress report: one HTML file that holds the whole job, with the governing margins worked by hand."""

import datetime
import os
import re
from collections.abc import Callable, Iterable
from concurrent.futures import Executor, Future
from functools import partial
from html import escape
from pathlib import Path
from typing import Annotated, Any, Literal, get_args

import numpy as np
import pandas as pd

from beam.dossier.design import Design, write_whole
from beam.dossier.proof_tests import StaticTest, coupon_plan, element_plan, inspection_plan
from beam.dossier.shop import assumption_parts, drop_table, kit_list, release_faults
from beam.dossier.tables import book_table, lowest, schedule_table
from beam.dossier.texts import CAUTIONS, loads, proof, title
from beam.dossier.worked_joint import worked_joint_margins
from beam.dossier.worked_margin import WorkedMargin, digits, wheel_steps, worked_margin
from beam.gear import LandingEnvelope, landing_envelope
from beam.joints import assembly_margins, joint_load_table, leg_masses, with_joints
from beam.loads import ground_cases, layout_table, part23, static_reactions
from beam.sizing import Sizing
from beam.strength import Damage
from beam.strength.requirement import Requirement
from beam.strut_cases import DesignCases, design_cases
from beam.units import shown, symbol
from materials import Allowables, Lamina
from materials.allowables import ALLOWABLES
from materials.checks import Limits, Table, checked, field_hints

Units = Literal["SI", "US"]

CONDITIONS = (*part23.LANDING_AND_ROLLING, *part23.HANDLING, part23.reserve_energy)
"""Ground conditions of a report where no cases are given."""

STYLE = """
body { font: 15px/1.45 system-ui, sans-serif; color: #1a1a1a; max-width: 76rem; margin: 2rem auto; padding: 0 1rem }
h1 { font-size: 1.7rem } h2 { margin-top: 2.5rem; border-bottom: 2px solid #333 } h3 { margin-top: 1.6rem }
table { border-collapse: collapse; margin: .8rem 0; font-size: .82rem }
caption { text-align: left; font-weight: 600; padding: .2rem 0 }
th, td { border: 1px solid #bbb; padding: .18rem .5rem; text-align: right; vertical-align: top }
th { background: #eee } thead th { text-align: center }
.t { text-align: left } .t.w { min-width: 15em } ol th { text-align: left }
ol td { white-space: pre; text-align: left; font-family: monospace }
pre { font-size: .78rem; overflow-x: auto; background: #f7f7f7; padding: .6rem } .notes { font-size: .8rem }
.wide { overflow-x: auto } .unsafe { border: 3px solid #a00; padding: .2rem 1rem; background: #fff4f2 }
figure { margin: 1rem 0 } figure svg { max-width: 100%; height: auto } figcaption { font-size: .85rem }
nav li { display: inline-block; margin-right: 1rem }
@page { size: A4 landscape; margin: 12mm }
@media print {
  body { font-size: 9pt; max-width: none; margin: 0; padding: 0 } nav { display: none }
  table { font-size: 7pt } th, td { padding: .1rem .3rem }
  pre { font-size: 6.5pt; white-space: pre-wrap } .wide, pre { overflow: visible }
  h2, h3, caption, thead { break-after: avoid } tr, figure, ol > li { break-inside: avoid }
  figure svg { max-height: 165mm }
}
"""

NOT_JUDGED = ("NOT JUDGED", "NOT COUNTED")
"""How the part of an assumption begins that says what a row leaves out."""
LONG = 100  # letters of a text that stands in the notes
_CELL = re.compile(r"<td>(?![-+]?[.\d]*(?:e[-+]\d+)?</td>)([^<]+)</td>")  # of a cell that is no number


@checked
def report(
    design: Design,
    sizing: Sizing,
    *,
    folder: str | os.PathLike[str],
    units: Units = "SI",
    envelope: LandingEnvelope | None = None,
    cases: Table | None = None,
    loading: DesignCases | None = None,
    static_test: StaticTest | None = None,
    damages: Annotated[Iterable[Damage], Limits(items=0)] = (),
    more: Iterable[tuple[str, Table]] = (),
    progress: Callable[[str], object] | None = None,
    executor: Executor | None = None,
) -> Path:
    """Write the stress report of a sized design as one HTML file, which needs no network and prints well.

    Parameters
    ----------
    design : Design
        The design.
    sizing : Sizing
        From `beam.lightest`.
    folder : str or Path
        Where to write ``report.html``; made if it is not there.
    units : {"SI", "US"}
        Units of tables, plots and the lines of joints; the worked margins of plies are in base SI.
    envelope : LandingEnvelope, optional
        The landing that the cases come from; dropped anew if not given.
    cases : DataFrame, optional
        Ground cases; those of 14 CFR 23.479 to 23.511, handling and reserve energy if not given.
    loading : DesignCases, optional
        The cases on the strut; carried through the gear anew if not given.
    static_test : StaticTest, optional
        Plan of the static test, to print.
    damages : sequence of Damage
        Categories of damage, for the inspection in service.
    more : sequence of (title, DataFrame)
        Tables to print besides, as of joints or sensitivities.
    progress : callable, optional
        Called with a line of text for each part.
    executor : concurrent.futures.Executor, optional
        Draws the figures while the worked margins are found.

    Returns
    -------
    Path
        The file.

    Raises
    ------
    OSError
        If the folder cannot be written.

    Examples
    --------
    >>> import beam
    >>> design = beam.Design.read("my_airplane.toml")  # doctest: +SKIP
    >>> sizing = beam.lightest(design.lattice, loads, design.requirement)  # doctest: +SKIP
    >>> beam.report(design, sizing, folder="out")  # doctest: +SKIP
    PosixPath('out/report.html')
    """
    from beam.dossier.plots import report_figures

    place = Path(folder)
    place.mkdir(parents=True, exist_ok=True)
    say = progress or (lambda line: None)
    static = static_reactions(design.airplane)
    strut, requirement, table = sizing.strut, design.requirement, sizing.margins
    if envelope is None:
        say("landing envelope")
        flexibility = strut.flexibility(bracket=design.gear.link.shock_on_strut)
        envelope = landing_envelope(
            design.airplane, design.gear, flexibility=flexibility, equipment=design.equipment
        )
    if cases is None:
        cases = ground_cases(design.airplane, envelope.landing, conditions=CONDITIONS)
    if loading is None:
        loading = design_cases(design.gear, cases, design.mold_line, static=static, airplane=design.airplane)
    say("figures")
    draw = partial(report_figures, design, sizing, loading, envelope, units=units)
    drawn = draw() if executor is None else executor.submit(draw)
    say("worked margins")
    worked = list(governing(design, sizing, loading, cases))
    joint_rows, joint_parts, joint_worked = _joints(design, sizing, loading, cases, units)
    worked += joint_worked
    figures = drawn.result() if isinstance(drawn, Future) else drawn
    every = table if joint_rows is None else with_joints(table, joint_rows)
    parts = [
        ("Airplane", _airplane(design, static, envelope, units)),
        ("Landing", _text(envelope.summary()) + figures["envelope"]),
        ("Loads", _loads(cases, loading, strut, units) + figures["bodies"] + figures["forces"]),
        ("Ply book", _book(design, sizing, units) + figures["book"]),
        ("Margins", _margins(table, units) + figures["margins"] + figures["reserve"]
         + "".join(figures[f"strain {k}"] for k in ("fiber", "transverse", "shear"))),
        *joint_parts,
        ("Worked margins", "".join(map(_worked, worked)) or "<p>No row of a ply check decides.</p>"),
        ("Requirement and materials", _requirement(requirement) + _materials(design)),
        ("Reactions", _reactions(strut, loading, units)),
        *((name, _table(one, name, index=one.index.names != [None])) for name, one in more),
        ("Tests", _tests(design, sizing, static_test, damages, units)),
        ("Cautions", _list(CAUTIONS)),
    ]  # fmt: skip
    body, notes = _with_notes(
        "".join(f'<h2 id="p{i}">{escape(name)}</h2>{content}' for i, (name, content) in enumerate(parts))
    )
    parts.append(("Notes", notes))
    body += f'<h2 id="p{len(parts) - 1}">Notes</h2>{notes}'
    nav = "".join(f'<li><a href="#p{i}">{escape(name)}</a></li>' for i, (name, _) in enumerate(parts))
    not_judged = [one for one in assumption_parts(every) if one.startswith(NOT_JUDGED)]
    unsafe = dict.fromkeys([*_remarks(design, requirement), *not_judged, *release_faults(every)])
    box = (
        f'<div class="unsafe"><h3>Not released: what this rests on</h3>{_list(unsafe)}</div>'
        if unsafe
        else ""
    )
    head = (
        f"<h1>Stress report: {escape(design.name)}</h1><p>{escape(title())}; input {design.digest}; "
        f"{datetime.date.today().isoformat()}; "
        f"{shown(sizing.mass, 'mass', units):.4f} {symbol('mass', units)} per strut; "
        f"lowest deciding margin {table.loc[table['decides'], 'margin'].min():+.4f}"
        f"{_lowest_joint(joint_rows)}</p>"
    )
    text = (
        f'<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">'
        f"<title>Stress report: {escape(design.name)}</title>"
        f"<style>{STYLE}</style></head><body>{head}{box}<nav><ul>{nav}</ul></nav>{body}</body></html>\n"
    )
    file = place / "report.html"
    write_whole(file, text)
    return file


def _joints(
    design: Design, sizing: Sizing, loading: DesignCases, cases: Table, units: Units
) -> tuple[pd.DataFrame | None, list[tuple[str, str]], list[WorkedMargin]]:
    """Rows of the joints, their part of the report with loads and free bodies, and the worked margin of each part."""
    from beam.dossier.plots import joint_figures

    if not any(one.joints for one in design.fittings):
        return None, [], []
    strut, loads, requirement = sizing.strut, loading.loads, design.requirement
    labels = loading.labels.tolist()
    rows = assembly_margins(design.fittings, strut, loads, requirement, cases=labels)
    low = lowest(rows, None, by="wall")
    columns = ["margin", "case", "level", "wall", "mode", "service", "assumption"]
    html = _table(
        low[columns], "Lowest deciding margin of each part of a joint, lowest first", digits_shown=4
    )
    table = joint_load_table(design.fittings, strut, loads, requirement, cases=labels, units=units)
    html += _extreme_loads(table)
    html += joint_figures(design.fittings, strut, loads, requirement, rows, labels, units=units)
    masses = leg_masses(strut, design.fittings)
    masses["mass"] = shown(masses["mass"], "mass", units)
    masses["station"] = shown(masses["station"], "length", units)
    title = {"mass": f"mass [{symbol('mass', units)}]", "station": f"station [{symbol('length', units)}]"}
    html += _table(masses.rename(columns=title), "Masses of strut and fittings", digits_shown=4)
    kinds = low["wall"].astype(str).str.replace(r", (row|bolt) \d+|(?<=bolt) \d+", "", regex=True)
    few = _records(low[~kinds.duplicated() & np.isfinite(low["ratio"])])
    worked = worked_joint_margins(
        design.fittings, strut, loads, requirement, few, cases=labels, units=units,
        first=lambda label: wheel_steps(design.gear, design.mold_line, cases, loading, label),
    )  # fmt: skip
    return rows, [("Joints", html)], worked


def _extreme_loads(table: pd.DataFrame) -> str:
    """Most and least of each component of every load, each with the number of its case, and these cases."""
    numbers: dict[Any, int] = {}
    rows = []
    for (fitting, load, level), own in table.groupby(level=[0, 1, 2], observed=True, sort=False):
        words = own.index.get_level_values("extreme").astype(str).str.split(", ")
        for most in ("most", "least"):
            row = {"fitting": fitting, "load": load, "level": level, "extreme": most}
            for name in table.columns[2:]:
                found = own[[f"{most} {name.partition(' ')[0]}" in one for one in words]]
                row[name] = "0"
                if len(found):
                    case = numbers.setdefault(found["case"].iloc[0], len(numbers) + 1)
                    row[name] = f"{found[name].iloc[0]:+.4g} (c{case})"
            rows.append(row)
    caption = (
        "Loads of the fittings at limit and ultimate load, each component alone at its most and least, with its case; "
        "joint_load_table has what acts beside it"
    )
    cases = pd.DataFrame({"number": [f"c{i}" for i in numbers.values()], "case": list(numbers)})
    return _table(pd.DataFrame(rows), caption) + _table(cases, "Cases of these loads")


def _lowest_joint(rows: pd.DataFrame | None) -> str:
    """Words for the lowest margin of the joints."""
    return "" if rows is None else f", of the joints {rows.loc[rows['decides'], 'margin'].min():+.4f}"


def governing(design: Design, sizing: Sizing, loading: DesignCases, cases: Table) -> Iterable[WorkedMargin]:
    """The worked margin of the lowest row of every deciding ply check."""
    requirement, labels = design.requirement, loading.labels.tolist()
    modes = {check.mode for check in requirement.ply_checks}
    for row in _records(lowest(sizing.margins, None, by="mode")):
        if row["mode"] in modes and int(row["ply"]):
            first = wheel_steps(design.gear, design.mold_line, cases, loading, str(row["case"]))
            yield worked_margin(sizing.strut, loading.loads, requirement, row, cases=labels, first=first)


def _records(table: pd.DataFrame) -> list[dict[str, Any]]:
    """Rows of a table by the names of its columns."""
    return [dict(zip(map(str, table.columns), row, strict=True)) for row in table.itertuples(index=False)]


def _text(text: str) -> str:
    return f"<pre>{escape(text)}</pre>"


def _list(items: Iterable[str]) -> str:
    return "<ul>" + "".join(f"<li>{escape(one)}</li>" for one in items) + "</ul>"


def _table(table: pd.DataFrame, caption: str, *, digits_shown: int = 5, index: bool = False) -> str:
    """A table with its caption, numbers to some digits."""
    html = table.to_html(
        index=index, border=0, na_rep="-", float_format=f"{{:.{digits_shown}g}}".format, justify="center"
    )
    head, _, rows = html.partition("</thead>")
    rows = _CELL.sub(_cell, rows.replace("<th>", '<th scope="row">'))
    html = head.replace("<th>", '<th scope="col">') + "</thead>" + rows
    start = html.index(">") + 1
    return f'<div class="wide">{html[:start]}<caption>{escape(caption)}</caption>{html[start:]}</div>'


def _cell(found: re.Match[str]) -> str:
    """A cell of text, set from the left; that of a longer text is wider."""
    text = {"True": "yes", "False": "no"}.get(found[1], found[1])
    return f'<td class="t{" w" if len(text) > 24 else ""}">{text}</td>'


def _with_notes(body: str) -> tuple[str, str]:
    """A body whose tables name their long texts by the number of a note, and the notes."""
    notes: dict[str, int] = {}

    def numbered(found: re.Match[str]) -> str:
        number = notes.setdefault(found[1], len(notes) + 1)
        return f'<td class="t"><a href="#n{number}">note {number}</a></td>'

    body = re.sub(rf'<td class="t w">([^<]{{{LONG},}})</td>', numbered, body)
    rows = "".join(f'<li id="n{number}">{text}</li>' for text, number in notes.items())
    return body, f'<ol class="notes">{rows}</ol>'


def _remarks(design: Design, requirement: Requirement) -> list[str]:
    """What the designer declared."""
    out = [design.remarks] if design.remarks != "-" else []
    if requirement.mixed:
        out.append(f"routes are mixed: {requirement.mixed}")
    if requirement.credit_relief:
        out.append("the relief of residual stress by heat and moisture is counted on")
    if not requirement.corner_opening:
        out.append("corner opening is not judged: prove it by test")
    return out


def _airplane(design: Design, static: pd.DataFrame, envelope: LandingEnvelope, units: Units) -> str:
    from beam.dossier import texts

    out = _text(texts.airplane(design.airplane, units=units)) + _text(texts.reactions(static, units=units))
    if design.equipment is not None:
        checks = layout_table(design.airplane, design.equipment, envelope.landing, units=units)
        out += _table(checks, "Layout and equipment")
    return out


def _loads(cases: pd.DataFrame, loading: DesignCases, strut: Any, units: Units) -> str:
    limit, ultimate = (cases[cases["level"] == level] for level in ("limit", "ultimate"))
    out = _text("LIMIT loads, starboard wheel\n" + loads(limit, leg="starboard", units=units))
    if len(ultimate):
        out += _text("Cases given at ULTIMATE load\n" + loads(ultimate, leg="starboard", units=units))
    force, moment = symbol("force", units), symbol("moment", units)
    wrench = loading.loads.wrench
    columns = {}
    for j, at in enumerate(loading.loads.at):
        where = f"{float(shown(at, 'length', units)):.0f} {symbol('length', units)}"
        for k in range(3):
            columns[f"F{k + 1} at {where} [{force}]"] = shown(wrench[:, j, k], "force", units)
        for k in range(3):
            columns[f"M{k + 1} at {where} [{moment}]"] = shown(wrench[:, j, 3 + k], "moment", units)
    columns[f"shock [{force}]"] = shown(loading.shock_force, "force", units)
    table = pd.DataFrame(columns, index=pd.Index(loading.labels, name="case"))
    caption = "Free body of link, wheel and shock: what they put on the strut, strut axes, about its axis"
    extreme = table.loc[sorted({*table.idxmax(), *table.idxmin()})]
    return out + _table(
        extreme.reset_index(), f"{caption}; the cases of the largest and least of each", digits_shown=4
    )


def _book(design: Design, sizing: Sizing, units: Units) -> str:
    return (
        _table(
            schedule_table(sizing, units=units).reset_index(),
            "Plies of every kind, root to tip",
            digits_shown=4,
        )
        + _text(proof(sizing, design.requirement, units=units))
        + _table(kit_list(sizing.strut, units=units).reset_index(), "Material", digits_shown=4)
        + _table(
            book_table(sizing.strut, units=units).reset_index(),
            "Ply book, from the mandrel outwards; the port strut's angles have the other sign",
            digits_shown=4,
        )
        + _table(drop_table(sizing.strut, units=units).reset_index(), "Ends of plies", digits_shown=4)
    )


def _placed(rows: pd.DataFrame, units: Units) -> pd.DataFrame:
    """Rows with the station in the unit shown."""
    station = f"station [{symbol('length', units)}]"
    far = [shown(one, "length", units) if isinstance(one, float) else one for one in rows["station"]]
    return rows.assign(station=np.array(far, dtype=object)).rename(columns={"station": station})


def _margins(table: pd.DataFrame, units: Units) -> str:
    shown_columns = ["margin", "case", "level", "station", "wall", "ply", "mode", "service", "assumption"]
    out = []
    for by, caption in (("mode", "check"), ("wall", "wall"), ("station", "station")):
        rows = lowest(table, None, by=by)[shown_columns]
        out.append(
            _table(
                _placed(rows, units),
                f"Lowest deciding margin of each {caption}, lowest first",
                digits_shown=4,
            )
        )
    rest = lowest(table, None, by="mode", decides=False)[shown_columns]
    if len(rest):
        low = rest["margin"].min()
        warn = (
            ""
            if low >= 0
            else f"<p><b>Warning: a check that does not decide is negative: {low:+.3f}.</b></p>"
        )
        out.insert(0, warn)
        out.append(_table(_placed(rest, units), "Checks that do not decide", digits_shown=4))
    return "".join(out)


def _worked(margin: WorkedMargin) -> str:
    """A worked margin, step by step."""
    out = [
        f"<h3>{escape(margin.title)}: MS {margin.margin:+.4f}</h3><p>Rests on: {escape(margin.assumption)}.</p><ol>"
    ]
    for name, formula, numbers in margin.steps:
        rows = "".join(
            f'<tr><th scope="row">{escape(str(key))}</th><td>{"<br>".join(map(escape, digits(value)))}</td></tr>'
            for key, value in numbers.items()
        )
        table = f'<table aria-label="{escape(name)}">{rows}</table>'
        out.append(f"<li><b>{escape(name)}</b>. {escape(formula)}.{table}</li>")
    return "".join([*out, "</ol>"])


def _requirement(requirement: Requirement) -> str:
    services = pd.DataFrame(
        [{"service": one.title, "temperature [K]": one.temperature, "moisture [-]": one.moisture,
          "factors": "; ".join(f"{f.name} x {f.value:g} on {' '.join(f.on)} ({f.source})" for f in one.factors),
          "tested laminae": "; ".join(c.name for c in one.conditioned) or "none: room-temperature stiffness"}
         for one in requirement.states]
    )  # fmt: skip
    checks = pd.DataFrame(
        [{"check": one.mode, "level": one.level, "applies to": one.applies_to, "decides": one.decides,
          "rests on": "; ".join(x for x in (one.assumption, one.caps.note if one.caps else None) if x)}
         for one in requirement.ply_checks]
    )  # fmt: skip
    factors = (
        f"<p>Factor of safety {requirement.factor_of_safety:g} (14 CFR 23.303); special factor "
        f"{requirement.special_factor:g} (23.619): {escape(requirement.special_factor_basis)}; route: "
        f"{escape(requirement.route)}; deflection allowance {requirement.deflection_allowance:g} (23.301(c)).</p>"
    )
    return factors + _table(services, "Services") + _table(checks, "Checks")


def _materials(design: Design) -> str:
    out = []
    for lamina in dict.fromkeys(kind.lamina for kind in design.lattice.kinds):
        out.append(
            _table(_lamina_rows(lamina), f"{lamina.name} ({lamina.kind}), as in the ply book, base SI")
        )
    return "".join(out)


def _lamina_rows(lamina: Lamina) -> pd.DataFrame:
    """Every value of a lamina with basis and source."""
    rows = [
        {"value": name, "number": float(getattr(lamina, name)), "unit": _unit(Lamina, name), "basis": "",
         "source": str(lamina.source)}
        for name in ("E1", "E2", "G12", "nu12", "thickness", "density", "alpha1", "alpha2")
        if getattr(lamina, name) is not None
    ]  # fmt: skip
    allowables = lamina.allowables
    for name in ALLOWABLES:
        if allowables is not None and getattr(allowables, name) is not None:
            factors = " ".join(f"x {f.value:.4g} {f.name}" for f in allowables.factors if name in f.on)
            source = dict(allowables.sources).get(name, allowables.source)
            basis = f"{allowables.basis} {factors}".strip()
            rows.append(
                {
                    "value": name,
                    "number": float(getattr(allowables, name)),
                    "unit": _unit(Allowables, name),
                    "basis": basis,
                    "source": str(source),
                }
            )
    return pd.DataFrame(rows)


def _unit(cls: Any, name: str) -> str:
    """Declared unit of a field."""
    found, search = "-", [field_hints(cls)[name]]
    while search:
        hint = search.pop()
        if isinstance(hint, Limits):
            found = hint.unit
        search.extend([*get_args(hint)])
    return found


def _reactions(strut: Any, loading: DesignCases, units: Units) -> str:
    """Largest and least reaction of every supported direction, with its case."""
    reaction, names = strut.span.reactions(loading.loads), strut.span.held.names
    rows = []
    for i, name in enumerate(names):
        quantity: Any = "moment" if "rotation" in name or "moment" in name else "force"
        for word, pick in (("largest", np.argmax), ("least", np.argmin)):
            k = int(pick(reaction[:, i]))
            rows.append({"direction": name, "": word, "reaction": float(shown(reaction[k, i], quantity, units)),
                         "unit": symbol(quantity, units), "case": loading.labels[k]})  # fmt: skip
    return _table(
        pd.DataFrame(rows), "Reactions of the supports on the strut, at the given load", digits_shown=4
    )


def _tests(
    design: Design, sizing: Sizing, static_test: StaticTest | None, damages: Iterable[Damage], units: Units
) -> str:
    laminae = [kind.lamina for kind in design.lattice.kinds]
    out = _table(coupon_plan(design.requirement, laminae), "Coupons (sampling and standards from memory)")
    out += _table(_placed(element_plan(sizing.margins), units), "Elements")
    if static_test is not None:
        basis = f"overload {static_test.overload:g}: {static_test.overload_basis}"
        out += _table(static_test.loads(), f"Static test, jack loads; {basis}") + _table(
            static_test.sequence(), "Sequence"
        )
        limit = static_test.readings()
        out += _table(
            limit[limit["load / limit"] == 1.0],
            "Predicted readings at limit load of the test",
            digits_shown=4,
        )
    return out + _table(inspection_plan(damages), "Inspection in service")
