"""Texts that a person reads: headings, tables in fixed width, and the cautions that belong to every result."""

import math
import textwrap
from collections.abc import Iterable, Mapping
from typing import Literal

import numpy as np

from beam.dossier.tables import lowest
from beam.gear import Drop
from beam.loads import Airplane
from beam.sizing import Sizing
from beam.strength.requirement import Requirement
from beam.units import shown, symbol
from beam.version import __version__
from materials.checks import Table, checked

__all__ = [
    "airplane",
    "cautions",
    "heading",
    "landing",
    "layout",
    "loads",
    "margins",
    "proof",
    "reactions",
    "screened",
    "title",
]

Units = Literal["SI", "US"]
WIDTH = 110
CAUTIONS = (
    "A preliminary-design aid. Have every result checked independently before anything is built.",
    "The search sizes the walls. Fittings, lugs, bushings and bonded joints are judged where you give them.",
    "Allowables must come from your own coupons, laid up and cured as the strut is, in the worst environment.",
    "The special factor, the load conditions and the proof belong to the responsible authority; local rules govern.",
    "Analysis alone does not prove a composite gear: test the actual article, and have a licensed engineer approve it.",
)


def title() -> str:
    """Name and version of the library, for the head of a report.

    Returns
    -------
    str
        One line.

    Examples
    --------
    >>> title().split()[0]
    'plystrut'
    """
    return f"plystrut {__version__}"


@checked
def heading(text: str) -> str:
    r"""Underline a heading.

    Parameters
    ----------
    text : str
        The heading.

    Returns
    -------
    str
        With an empty line above.

    Examples
    --------
    >>> heading("Margins")
    '\nMargins\n-------'
    """
    return f"\n{text}\n{'-' * len(text)}"


def cautions() -> str:
    """Return the cautions that every printed result ends with.

    Returns
    -------
    str
        Wrapped to the width of the page.

    Examples
    --------
    >>> "licensed engineer" in cautions()
    True
    """
    lines = [textwrap.fill(f"* {text}", WIDTH, subsequent_indent="  ") for text in CAUTIONS]
    return "\n".join([heading("Cautions"), *lines])


@checked
def airplane(sheet: Airplane, *, units: Units = "SI") -> str:
    """Print the airplane sheet.

    Parameters
    ----------
    sheet : Airplane
        The airplane.
    units : {"SI", "US"}
        Units to print in.

    Returns
    -------
    str
        A few lines.

    Examples
    --------
    >>> import tarn  # examples/tarn.py
    >>> print(airplane(tarn.AIRPLANE, units="US").splitlines()[0])
    maximum mass, landing mass [lb]                       2734, 2601
    """
    from_nose = np.array([sheet.cg_forward, sheet.cg_aft, sheet.main_contact])[:, 0] - sheet.nose_contact[0]
    forward, aft, wheelbase = from_nose.tolist()
    rows = (
        ("maximum mass, landing mass", (sheet.max_mass, sheet.landing_mass), "mass", ".0f"),
        ("c.g. forward, aft, behind the nose wheel", (forward, aft), "distance", ".3f"),
        ("wheelbase, track", (wheelbase, 2 * float(sheet.main_contact[1])), "distance", ".3f"),
        ("stall speed in landing configuration", (sheet.stall_speed,), "speed", ".1f"),
    )
    lines = []
    for name, values, quantity, form in rows:
        numbers = ", ".join(f"{value:{form}}" for value in shown(values, quantity, units))
        lines.append(f"{f'{name} [{symbol(quantity, units)}]':<54}{numbers}")
    return "\n".join(lines)


@checked
def reactions(static: Table, *, units: Units = "SI") -> str:
    """Print the static wheel reactions.

    Parameters
    ----------
    static : DataFrame
        From `beam.static_reactions`.
    units : {"SI", "US"}
        Units to print in.

    Returns
    -------
    str
        The table.

    Examples
    --------
    >>> import beam, tarn  # examples/tarn.py
    >>> print(reactions(beam.static_reactions(tarn.AIRPLANE)).splitlines()[1])
     1240.000 forward      2.432           4.864           0.800
    """
    table = static.rename(columns={"main": "each main", "main_share": "main share [-]"})
    quantities = {"mass": ("mass",), "force": ("nose", "each main")}
    return _in_units(table, quantities, units).to_string(index=False, float_format="{:.3f}".format)


@checked
def landing(drop: Drop, *, units: Units = "SI") -> str:
    """Print the results of the limit landing.

    Parameters
    ----------
    drop : Drop
        From `beam.drop`.
    units : {"SI", "US"}
        Units to print in.

    Returns
    -------
    str
        A few lines.

    Examples
    --------
    >>> import beam, tarn  # examples/tarn.py
    >>> ride = beam.drop(tarn.GEAR, mass=590, speed=2.85, lift_ratio=2 / 3)
    >>> print(landing(ride).splitlines()[0])
    descent speed [m/s]                               2.850
    """
    rows = (
        ("descent speed", drop.speed, "speed", ".3f"),
        ("lift over weight", drop.lift_ratio, "", ".3f"),
        ("peak ground load of one leg", drop.peak_ground_force, "force", ".2f"),
        ("peak drag, spin-up", drop.drag_force.max(), "force", ".2f"),
        ("peak shock force", drop.shock_force.max(), "force", ".2f"),
        ("stroke used", drop.max_stroke_used, "length", ".1f"),
        ("shock efficiency", drop.efficiency, "", ".3f"),
        ("inertia load factor n", drop.load_factor, "", ".3f"),
        ("energy in less energy found, over energy in", drop.energy_error, "", ".1e"),
    )
    lines = []
    for name, value, quantity, form in rows:
        unit = symbol(quantity, units) if quantity else "-"
        number = float(shown(value, quantity, units)) if quantity else value
        lines.append(f"{f'{name} [{unit}]':<50}{number:{form}}")
    return "\n".join(lines)


@checked
def loads(cases: Table, *, leg: Literal["starboard", "port", "nose"], units: Units = "SI") -> str:
    """Print the limit loads of one leg; conditions of a paragraph that load it alike are written once.

    Parameters
    ----------
    cases : DataFrame
        From `beam.ground_cases`.
    leg : {"starboard", "port", "nose"}
        The leg.
    units : {"SI", "US"}
        Units to print in.

    Returns
    -------
    str
        The table.

    Examples
    --------
    >>> import beam, tarn  # examples/tarn.py
    >>> landing = beam.Landing(load_factor=2.96)
    >>> cases = beam.ground_cases(tarn.AIRPLANE, landing)
    >>> "23.485" in loads(cases, leg="starboard")
    True
    """
    forces, rows = ["Fx", "Fy", "Fz"], cases[cases["leg"] == leg]
    moments = [name for name in ("Mx", "My", "Mz") if rows[name].any()]
    columns = [
        "paragraph",
        "condition",
        "mass",
        "cg",
        *forces,
        *moments,
        "applied_at",
        "shock",
        "attitude_deg",
    ]
    quantities = {"force": forces, "moment": moments, "mass": ("mass",)}
    alike = ["paragraph", "mass", *forces, *moments, "applied_at", "shock", "attitude_deg"]
    table = _in_units(rows.drop_duplicates(alike)[columns], quantities, units)
    return table.to_string(index=False, float_format="{:.2f}".format)


@checked
def layout(checks: Table) -> str:
    """Print the layout and equipment checks.

    Parameters
    ----------
    checks : DataFrame
        From `beam.layout_table`.

    Returns
    -------
    str
        The table; a value not given shows as NaN.

    Examples
    --------
    >>> import beam, tarn  # examples/tarn.py
    >>> checks = beam.layout_table(tarn.AIRPLANE, tarn.EQUIPMENT, beam.Landing(load_factor=2.96))
    >>> "tip-back angle" in layout(checks)
    True
    """
    table = checks.copy()
    table["met"] = table["met"].map({True: "yes", False: "NO"}).fillna("not given")
    return table.to_string(index=False, float_format="{:.5g}".format)


@checked
def proof(
    sizing: Sizing, requirement: Requirement, *, widened: Table | None = None, units: Units = "SI"
) -> str:
    """Print mass, lower bound, factors and shop rules of a sizing.

    Parameters
    ----------
    sizing : Sizing
        From `beam.lightest`.
    requirement : Requirement
        What it was sized to.
    widened : DataFrame, optional
        From `Sizing.widened`: what a wider lattice buys is printed too.
    units : {"SI", "US"}
        Units to print in.

    Returns
    -------
    str
        A few lines.

    Examples
    --------
    >>> import beam
    >>> from small_tube import LATTICE, PULL, REQUIREMENT  # examples/small_tube.py
    >>> sizing = beam.lightest(LATTICE, PULL, REQUIREMENT)
    >>> print(proof(sizing, REQUIREMENT).splitlines()[0].partition(",")[0])
    mass of one strut 0.1613 kg
    """
    found, bound = shown([sizing.mass, sizing.bound], "mass", units)
    unit, rules = symbol("mass", units), sizing.lattice
    counts = ", ".join(f"{k.least} to {k.most} {k.name}" for k in rules.kinds)
    lines = [
        f"mass of one strut {found:.4f} {unit}, lower bound {bound:.4f} {unit}, gap {sizing.gap:.1e}",
        f"proved the lightest of its lattice in {sizing.passes} passes, "
        f"{sizing.evaluations} judgements of a lay-up in a case",
        *sizing.held,
        *sizing.notes,
        f"load factor at limit = deflection allowance {requirement.deflection_allowance}; at ultimate = limit x "
        f"{requirement.factor_of_safety} x special factor {requirement.special_factor} "
        f"({requirement.special_factor_basis}) x deflection allowance {requirement.deflection_allowance}",
        f"route of the special factor: {requirement.route}"
        + (f", MIXED because {requirement.mixed}" if requirement.mixed else ""),
        f"shop rules: counts never grow toward the tip; at one station at most {rules.most_ending} groups of a kind "
        f"end, over {rules.drop_length:g} times the thickness that ends; counts per side from {counts}",
        *(
            f"{kind.name} is local, {kind.start or 0.0:.4g} to {kind.end or rules.mold_line.length:.4g} m: there its "
            "counts may grow, by the same rules for plies that start"
            for kind in rules.kinds
            if kind.is_local
        ),
        *(f"every wall: {rule}" for rule in rules.rules),
    ]
    guidance = [one.caps.name for one in requirement.checks if one.decides and one.caps and one.caps.guidance]
    if guidance:
        lines.append(f"NOT RELEASABLE: fiber strain is judged by guidance, not by allowables ({guidance[0]})")
    if sizing.kinds_at_limit:
        kinds = ", ".join(sizing.kinds_at_limit)
        lines.append(f"at its upper count somewhere: {kinds}; a wider lattice may be lighter")
    for change, row in () if widened is None else widened.iterrows():
        note = f" ({row['note']})" if row["note"] else ""
        if math.isnan(row["change_g"]):
            found_words = note
        else:
            buys = float(shown(row["change_g"] / 1e3, "mass", units))
            found_words = f" {buys:+.4f} {unit}, {row['percent']:+.1f} %{note}"
        lines.append(f"a wider lattice, {change}:{found_words}")
    return "\n".join(textwrap.fill(line, WIDTH) for line in lines)


@checked
def margins(rows: Table, *, units: Units = "SI") -> str:
    """Print rows of a margin table with where they are.

    Parameters
    ----------
    rows : DataFrame
        From `beam.dossier.lowest`.
    units : {"SI", "US"}
        Units to print in.

    Returns
    -------
    str
        The table, a line where it shows one load level only, and what the rows rest on.

    Examples
    --------
    >>> import beam
    >>> from small_tube import LATTICE, PULL, REQUIREMENT  # examples/small_tube.py
    >>> from beam.dossier import lowest
    >>> sizing = beam.lightest(LATTICE, PULL, REQUIREMENT)
    >>> margins(lowest(sizing.margins, 3)).splitlines()[4]
    'Only checks at ultimate load stand in this table.'
    """
    columns = ["margin", "level", "mode", "station", "wall", "ply", "angle_deg", "surface", "service", "case"]
    table = rows[columns].rename(columns={"angle_deg": "angle [deg]"})
    station = "{:.2f}" if units == "US" else "{:.0f}"
    form = {"margin": "{:+.4f}".format, f"station [{symbol('length', units)}]": station.format}
    table = _in_units(table, {"length": ("station",)}, units)
    text = table.to_string(index=False, formatters=form, float_format="{:.0f}".format)
    levels = set(rows["level"])
    only = f"\nOnly checks at {levels.pop()} load stand in this table." if len(levels) == 1 else ""
    rests = rows.drop_duplicates(["mode", "assumption"])
    said = [
        textwrap.fill(f"* {mode}: {assumption}", WIDTH, subsequent_indent="  ")
        for mode, assumption in zip(rests["mode"], rests["assumption"], strict=True)
    ]
    return "\n".join([text + only, "What these rows rest on:", *said])


@checked
def screened(table: Table, *, units: Units = "SI") -> str:
    """Print the lowest margin of each check that does not decide, with a warning where it is negative.

    Parameters
    ----------
    table : DataFrame
        From `beam.margins`.
    units : {"SI", "US"}
        Units to print in.

    Returns
    -------
    str
        The table and the reason; blank where every check decides.

    Examples
    --------
    >>> import beam
    >>> from small_tube import LATTICE, PULL, REQUIREMENT  # examples/small_tube.py
    >>> screened(beam.lightest(LATTICE, PULL, REQUIREMENT).margins)
    ''
    """
    rows = lowest(table, None, by="mode", decides=False)
    if rows.empty:
        return ""
    negative = rows.loc[rows["margin"] < 0.0, "mode"].tolist()
    warning = f"WARNING: negative, though it does not decide: {', '.join(negative)}\n" if negative else ""
    return warning + margins(rows, units=units)


def _in_units(table: Table, quantities: Mapping[str, Iterable[str]], units: Units) -> Table:
    """Copy of a table with some columns, by their quantity, in the units printed, which their names then say."""
    out, names = table.copy(), {}
    for quantity, columns in quantities.items():
        for column in columns:
            out[column] = shown(out[column].to_numpy(), quantity, units)
            names[column] = f"{column} [{symbol(quantity, units)}]"
    return out.rename(columns=names)
