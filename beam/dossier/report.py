"""The text that a person reads: headings, tables in fixed width, and the cautions that belong to every result."""

import textwrap
from typing import TYPE_CHECKING

import numpy as np

from beam.units import shown, symbol

if TYPE_CHECKING:
    import pandas as pd

    from beam.gear import Drop
    from beam.loads import Airplane
    from beam.sizing import Sizing
    from beam.strength.requirement import Requirement

WIDTH = 110
CAUTIONS = (
    "A preliminary-design aid. Have every result checked independently before anything is built.",
    "It covers the walls of the strut. Fittings, lugs, bushings, bonded joints, the shock's bracket and the root "
    "are not sized here.",
    "Allowables must come from your own coupons, laid up and cured as the strut is, in the worst environment.",
    "The special factor, the load conditions and the proof belong to the responsible authority; local rules govern.",
    "Analysis alone does not prove a composite gear: test the actual article, and have a licensed engineer approve it.",
)


def heading(text: str) -> str:
    """Underline a heading.

    Parameters
    ----------
    text : str
        The heading.

    Returns
    -------
    str
        With an empty line above.
    """
    return f"\n{text}\n{'-' * len(text)}"


def cautions() -> str:
    """Return the cautions that every printed result ends with.

    Returns
    -------
    str
        Wrapped to the width of the page.
    """
    lines = [textwrap.fill(f"* {text}", WIDTH, subsequent_indent="  ") for text in CAUTIONS]
    return "\n".join([heading("Cautions"), *lines])


def loads(cases: "pd.DataFrame", *, leg: str, units: str = "SI") -> str:
    """Print the limit loads of one leg, conditions that load it alike written once.

    Parameters
    ----------
    cases : DataFrame
        From `beam.loads.ground_cases`.
    leg : str
        "starboard", "port" or "nose".
    units : str
        "SI" or "US".

    Returns
    -------
    str
        The table.
    """
    rows = cases[cases["leg"] == leg]
    forces = ["Fx", "Fy", "Fz"]
    table = rows[
        ["paragraph", "condition", "mass", "cg", *forces, "applied_at", "shock", "attitude_deg"]
    ].copy()
    table[forces] = shown(table[forces].to_numpy(), "force", units)
    table["mass"] = shown(table["mass"].to_numpy(), "mass", units)
    table = table.drop_duplicates(["condition", "mass", *forces, "applied_at", "shock", "attitude_deg"])
    names = {f: f"{f} [{symbol('force', units)}]" for f in forces} | {
        "mass": f"mass [{symbol('mass', units)}]"
    }
    return table.rename(columns=names).to_string(index=False, float_format=lambda v: f"{v:.2f}")


def landing(drop: "Drop", *, units: str = "SI") -> str:
    """Print what the limit landing gave.

    Parameters
    ----------
    drop : Drop
        From `beam.gear.motion.drop`.
    units : str
        "SI" or "US".

    Returns
    -------
    str
        A few lines.
    """
    force, length, speed = (symbol(q, units) for q in ("force", "length", "speed"))
    rows = (
        (f"descent speed [{speed}]", shown(drop.speed, "speed", units), ".3f"),
        ("lift over weight [-]", drop.lift_ratio, ".3f"),
        (f"peak ground load of one leg [{force}]", shown(drop.peak_ground_force, "force", units), ".2f"),
        (f"peak drag, spin-up [{force}]", shown(drop.drag_force.max(), "force", units), ".2f"),
        (f"peak shock force [{force}]", shown(drop.shock_force.max(), "force", units), ".2f"),
        (f"stroke used [{length}]", shown(drop.max_stroke_used, "length", units), ".1f"),
        ("shock efficiency [-]", drop.efficiency, ".3f"),
        ("inertia load factor n [-]", drop.load_factor, ".3f"),
        ("energy in less energy found, over energy in [-]", drop.energy_error, ".1e"),
    )
    return "\n".join(f"{name:<50}{value:{form}}" for name, value, form in rows)


def proof(sizing: "Sizing", requirement: "Requirement", *, units: str = "SI") -> str:
    """Print mass, bound and what the search did.

    Parameters
    ----------
    sizing : Sizing
        The result of the search.
    requirement : Requirement
        What it was sized to.
    units : str
        "SI" or "US".

    Returns
    -------
    str
        A few lines.
    """
    found, bound = shown([sizing.mass, sizing.bound], "mass", units)
    unit = symbol("mass", units)
    lines = [
        f"mass of one strut {found:.4f} {unit}, lower bound {bound:.4f} {unit}, gap {sizing.gap:.1e}",
        f"proved the lightest of its lattice in {sizing.passes} passes, "
        f"{sizing.evaluations} judgements of a lay-up in a case",
        f"ultimate = limit x {requirement.factor_of_safety} x special factor {requirement.special_factor} "
        f"({requirement.special_factor_basis}) x deflection allowance {requirement.deflection_allowance}",
    ]
    rules = sizing.lattice
    lines.append(
        f"shop rules: counts never grow toward the tip; at one station at most {rules.most_ending} "
        f"groups of a kind end, over {rules.drop_length:g} times the thickness that ends; counts per side from "
        + ", ".join(f"{k.least} to {k.most} {k.name}" for k in rules.kinds)
    )
    if sizing.kinds_at_limit:
        lines.append(
            f"at its upper count somewhere: {', '.join(sizing.kinds_at_limit)}; a wider lattice may be lighter"
        )
    return "\n".join(textwrap.fill(line, WIDTH) for line in lines)


def airplane(sheet: "Airplane", *, units: str = "SI") -> str:
    """Print the airplane sheet and the angles that make it stand and land.

    Parameters
    ----------
    sheet : Airplane
        The airplane.
    units : str
        "SI" or "US".

    Returns
    -------
    str
        A few lines.
    """
    from_nose = np.array([sheet.cg_forward, sheet.cg_aft, sheet.main_contact], dtype=float)[:, 0]
    forward, aft, wheelbase = from_nose - np.asarray(sheet.nose_contact, dtype=float)[0]
    track = 2 * float(np.asarray(sheet.main_contact)[1])
    rows = (
        ("maximum mass, landing mass", (sheet.max_mass, sheet.landing_mass), "mass", ".0f"),
        ("c.g. forward, aft, behind the nose wheel", (forward, aft), "distance", ".3f"),
        ("wheelbase, track", (wheelbase, track), "distance", ".3f"),
        ("stall speed in landing configuration", (sheet.stall_speed,), "speed", ".1f"),
    )
    lines = []
    for name, values, quantity, form in rows:
        numbers = ", ".join(f"{value:{form}}" for value in shown(values, quantity, units))
        lines.append(f"{f'{name} [{symbol(quantity, units)}]':<54}{numbers}")
    return "\n".join(lines)


def reactions(static: "pd.DataFrame", *, units: str = "SI") -> str:
    """Print the static wheel reactions.

    Parameters
    ----------
    static : DataFrame
        From `beam.loads.static_reactions`.
    units : str
        "SI" or "US".

    Returns
    -------
    str
        The table.
    """
    force = symbol("force", units)
    table = static.copy()
    table["mass"] = shown(table["mass"].to_numpy(), "mass", units)
    for name in ("nose", "main"):
        table[name] = shown(table[name].to_numpy(), "force", units)
    names = {
        "mass": f"mass [{symbol('mass', units)}]",
        "nose": f"nose [{force}]",
        "main": f"each main [{force}]",
        "main_share": "main share [-]",
    }
    return table.rename(columns=names).to_string(index=False, float_format="{:.3f}".format)


def margins(rows: "pd.DataFrame", *, units: str = "SI") -> str:
    """Print rows of a margin table with where they are.

    Parameters
    ----------
    rows : DataFrame
        From `beam.dossier.tables.lowest`.
    units : str
        "SI" or "US".

    Returns
    -------
    str
        The table.
    """
    table = rows[
        ["margin", "mode", "station", "wall", "ply", "angle_deg", "surface", "service", "case"]
    ].copy()
    table["station"] = shown(table["station"].to_numpy(), "length", units)
    names = {"station": f"station [{symbol('length', units)}]", "angle_deg": "angle [deg]"}
    return table.rename(columns=names).to_string(
        index=False, formatters={"margin": "{:+.4f}".format}, float_format="{:.0f}".format
    )


def layout(checks: "pd.DataFrame") -> str:
    """Print the layout and equipment checks.

    Parameters
    ----------
    checks : DataFrame
        From `beam.loads.layout_table`.

    Returns
    -------
    str
        The table; what was not given shows as NaN.
    """
    table = checks.copy()
    table["met"] = table["met"].map({True: "yes", False: "NO"}).fillna("not given")
    return table.to_string(index=False, float_format="{:.5g}".format)
