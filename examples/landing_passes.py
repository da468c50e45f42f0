"""The passes of `size_strut.py`: the strut is sized to the landing on it, until the landing no longer changes."""

import numpy as np

import beam
from beam.dossier import texts
from beam.loads import part23

CONDITIONS = (*part23.LANDING_AND_ROLLING, *part23.HANDLING, part23.reserve_energy)
MOST_PASSES = 5


def land_and_size(design, static):
    """Size the strut to the landing on it, until load factors and spin-up drags change by less than 1 %."""
    strut, before, sizing = design.strut, None, None
    print(texts.heading("Size, stiffness, landing: passes"))
    for turn in range(1, MOST_PASSES + 1):
        flexibility = strut.flexibility(bracket=design.gear.link.shock_on_strut)
        envelope = beam.landing_envelope(design.airplane, design.gear, flexibility=flexibility,
                                         equipment=design.equipment, workers=2)  # fmt: skip
        points = envelope.landing.points
        now = np.array([p.load_factor for p in points] + [i.drag for p in points for i in p.instants[:1]])
        change = 1.0 if before is None else abs(now / before - 1).max()
        print(f"pass {turn}: strut {strut.mass:.3f} kg, n {now[: len(points)].round(3).tolist()}, "
              f"spin-up drag {now[len(points) :].round().tolist()} N, largest change {change:.2%}")  # fmt: skip
        cases = beam.ground_cases(design.airplane, envelope.landing, conditions=CONDITIONS)
        loading = beam.design_cases(design.gear, cases, design.mold_line, static=static)
        if change < 0.01:
            return envelope, loading, cases, sizing
        print(f"{len(loading.labels)} load cases on the strut, {len(design.requirement.services)} services")
        sizing = design.lightest(loading, start=strut)
        print(
            f"{sizing.mass:.4f} kg after {sizing.passes} passes; taper and bands held as in {', '.join(sizing.held)}"
        )
        strut, before = sizing.strut, now
    raise RuntimeError(f"strut and landing do not agree after {MOST_PASSES} passes: a strut too soft?")
