"""A small strut problem, invented, for tests of margin and sizing: quick to judge and to enumerate."""

from dataclasses import replace

import numpy as np

from beam.sizing import Lattice, PlyKind
from beam.strength.check import screening
from beam.strength.requirement import Requirement, Service
from beam.strut import MoldLine, PointLoads
from materials import Allowables, Factor, Lamina, Source

INVENTED = Source("invented for tests")
LENGTH = 0.5

TAPE = Lamina(
    name="test tape", kind="tape", E1=125e9, E2=8.4e9, G12=4.2e9, nu12=0.31, thickness=0.3e-3, density=1540.0,
    G13=4.2e9, G23=2.9e9,
    alpha1=-0.3e-6, alpha2=30e-6, stress_free_temperature=353.0, wet_glass_transition=480.0, source=INVENTED,
    allowables=Allowables(
        Xt=1500e6, Xc=900e6, Yt=60e6, Yc=180e6, S=90e6, e1t=0.012, e1c=0.0072, e2t=0.0071, e2c=0.0214,
        g12=0.0214, Zt=30e6, basis="B", condition="invented", source=INVENTED,
    ),
)  # fmt: skip
CLOTH = Lamina(
    name="test cloth", kind="fabric", E1=56e9, E2=55e9, G12=4.2e9, nu12=0.05, thickness=0.25e-3, density=1500.0,
    G13=3.0e9, G23=3.0e9, E3=9e9, nu13=0.35, nu23=0.35, alpha3=50e-6,
    alpha1=3.5e-6, alpha2=3.5e-6, stress_free_temperature=353.0, wet_glass_transition=480.0, source=INVENTED,
    allowables=Allowables(
        Xt=700e6, Xc=550e6, Yt=690e6, Yc=540e6, S=100e6, e1t=0.0125, e1c=0.0098, e2t=0.0125, e2c=0.0098,
        g12=0.0238, Zt=25e6, basis="B", condition="invented", source=INVENTED,
    ),
)  # fmt: skip

MOLD_LINE = MoldLine(
    root=[0.0, 0.0, 0.0], tip=[0.0, 0.0, -LENGTH], stations=[0.0, 0.2, LENGTH],
    width=[0.10, 0.09, 0.07], height=[0.08, 0.07, 0.06], corner_radius=[0.02, 0.018, 0.015],
)  # fmt: skip
STRAIGHT = replace(MOLD_LINE, width=[0.09] * 3, height=[0.07] * 3, corner_radius=[0.018] * 3)
"""The same without taper."""

WALLS = MOLD_LINE.wall_names
CAPS = tuple(wall for wall in WALLS if wall not in ("aft", "forward"))

REQUIREMENT = Requirement(
    services=(
        Service(name="room", temperature=293.0),
        Service(name="cold", temperature=233.0),
    ),
    special_factor=1.2,
    special_factor_basis="invented",
    route="allowables",
    mixed="invented",
    checks=screening(),
)

LOADS = PointLoads(
    at=[0.25, LENGTH],
    force=np.array(
        [
            [[2e3, 0.0, 1e3], [-9e3, 5e3, 2e3]],
            [[0.0, 0.0, 0.0], [-4e3, -3e3, 6e3]],
            [[1e4, 2e3, 0.0], [-1.5e4, 8e3, -3e3]],
        ]
    ),
    moment=np.array(
        [
            [[0.0, 0.0, 0.0], [600.0, 300.0, 0.0]],
            [[0.0, 100.0, 0.0], [-900.0, 0.0, 200.0]],
            [[0.0, 0.0, 300.0], [1200.0, 0.0, 500.0]],
        ]
    ),
)
CASES = ("drag", "side", "spring-back")


def lattice(bays: int = 2, *, most: tuple[int, int, int] = (4, 2, 2), most_ending: int = 9) -> Lattice:
    """A lattice of three kinds with few counts."""
    tape, cloth = {"lamina": TAPE, "walls": CAPS}, {"lamina": CLOTH, "walls": WALLS}
    kinds = (
        PlyKind(name="spanwise", angles_deg=(0.0,), least=0, most=most[0], depth=0.0, pitch=1.0, **tape),
        PlyKind(name="wrap", angles_deg=(45.0, -45.0), least=1, most=most[1], depth=-1.0, pitch=3.0, **cloth),
        PlyKind(name="hoop", angles_deg=(90.0,), least=1, most=most[2], depth=-0.5, pitch=4.0, **cloth),
    )
    return Lattice(
        mold_line=MOLD_LINE, stations=np.linspace(0.0, LENGTH, bays + 1), kinds=kinds, most_ending=most_ending
    )


def tsai_wu_polynomial(stress, a, interaction):
    """Tsai-Wu as printed (Jones, Mechanics of Composite Materials, 2nd ed. 1999, sect. 2.9.5; from memory)."""
    s1, s2, t = stress
    F12 = interaction / np.sqrt(a.Xt * a.Xc * a.Yt * a.Yc)
    return (
        (1 / a.Xt - 1 / a.Xc) * s1
        + (1 / a.Yt - 1 / a.Yc) * s2
        + s1**2 / (a.Xt * a.Xc)
        + s2**2 / (a.Yt * a.Yc)
        + t**2 / a.S**2
        + 2 * F12 * s1 * s2
    )


def tsai_wu_index(stress, lamina, a):
    """Index that is 1 at failure: Tsai-Wu of a tape; of a fabric without interaction, and maximum stress with it."""
    if lamina.kind == "tape":
        return tsai_wu_polynomial(stress, a, -0.5)
    s1, s2, t = stress
    each = (s1 / a.Xt, -s1 / a.Xc, s2 / a.Yt, -s2 / a.Yc, abs(t) / a.S)
    return max(tsai_wu_polynomial(stress, a, 0.0), *each)


def knocked(name, value):
    """A factor on every allowable."""
    on = ("Xt", "Xc", "Yt", "Yc", "S", "e1t", "e1c", "e2t", "e2c", "g12")
    return Factor(name=name, value=value, on=on, source=INVENTED)
