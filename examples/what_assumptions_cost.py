"""What the assumptions of a design cost: its strut is sized with one of them changed at a time, under the same loads.

Run it: python examples/what_assumptions_cost.py [design file]; without a file `small_design.toml`, in a minute or two.
"""

import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

from landing_passes import CONDITIONS

import beam
from beam.sizing import InfeasibleSizing
from beam.strength import DECLARED_GUIDANCE, recommended, screening

AS_REQUIRED = "as required"
BASIS = "A-basis allowables in the worst environment cover scatter; to be agreed with the authority"
CHOICES: dict[str, dict[str, Any]] = {
    AS_REQUIRED: {},
    "caps of industry practice": {"checks": recommended(DECLARED_GUIDANCE)},
    "special factor 1.0": {"special_factor": 1.0, "special_factor_basis": BASIS, "mixed": None},
    "first ply decides": {"checks": screening()},
    "no deflection allowance": {"deflection_allowance": 1.0},
}
"""What each choice changes in the requirement."""


def loads_of(design):
    """Load cases on the strut, of the landing on the strut as it stands in the file; it is not landed again."""
    flexibility = design.strut.flexibility(bracket=design.gear.link.shock_on_strut)
    envelope = beam.landing_envelope(design.airplane, design.gear, flexibility=flexibility,
                                     equipment=design.equipment, workers=2)  # fmt: skip
    cases = beam.ground_cases(design.airplane, envelope.landing, conditions=CONDITIONS)
    static = beam.static_reactions(design.airplane)
    return beam.design_cases(design.gear, cases, design.mold_line, static=static)


def main(file: Path | None = None, choices: tuple[str, ...] = tuple(CHOICES)) -> None:
    """Print mass and change of every choice, or why it has no book."""
    design = beam.Design.read(file or Path(__file__).with_name("small_design.toml"))
    loading, strut, before = loads_of(design), design.strut, None
    print(
        f"{design.name}, invented: {len(loading.labels)} load cases\n{'choice':26s} {'kg':>7s} {'change':>8s}"
    )
    for name in choices:
        chosen = replace(design, requirement=replace(design.requirement, **CHOICES[name]))
        try:
            sizing = chosen.lightest(loading, start=strut)
        except InfeasibleSizing as error:
            print(f"{name:26s} no book: {str(error).splitlines()[0]}", flush=True)
            continue
        if name == AS_REQUIRED:
            strut, before = sizing.strut, sizing.mass
        change = "" if before is None else f"{1e3 * (sizing.mass - before):+6.0f} g"
        print(f"{name:26s} {sizing.mass:7.4f} {change}", flush=True)


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
