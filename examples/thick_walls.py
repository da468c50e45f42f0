"""How far thin-walled theory carries: two coupled boxes, by wall theory and by a mesh through their plies.

Both theories must give one answer as t/b goes to 0. What parts them grows as (t/b)^2 where one laminate goes all
around, and as t/b where walls of different laminates meet. The terms of the 6 x 6 stiffness shown are those of
extension, shear, torsion and bending, and the coupling the box is laid up for.
"""

from functools import partial

import numpy as np

from beam.section import Section
from beam.section.solid import Orthotropic, mesh_walls, solve
from laminate import Laminate
from materials import Lamina, Source

WIDTH, HEIGHT, RADIUS = 0.060, 0.040, 0.014  # of the mid-line [m]
PLIES = 6
RATIOS = (0.01, 0.03, 0.1, 0.2, 0.3, 0.5)  # wall thickness / height of the box
NU23 = 0.4  # across the fiber; the plies are taken as transversely isotropic
BOXES = {
    "extension-twist": (("[15]6",) * 8, (0, 3)),
    "bending-twist": (("[15]6", "[0/45]s", "[0/45]s", "[0/45]s", "[-15]6") + ("[0/45]s",) * 3, (3, 4)),
}
TERMS = {"EA": (0, 0), "kGA2": (1, 1), "kGA3": (2, 2), "GJ": (3, 3), "EI2": (4, 4), "EI3": (5, 5)}


def box(codes: tuple[str, ...], ratio: float) -> Section:
    """Box on one mid-line whose thickest walls are `ratio` of its height."""
    tape = Lamina(
        name="carbon tape", kind="tape", E1=181e9, E2=10.3e9, G12=7.17e9, nu12=0.28, thickness=ratio * HEIGHT / PLIES,
        density=1600.0, source=Source("Tsai & Hahn 1980, T300/5208", note="from memory"),
    )  # fmt: skip
    walls = [Laminate.from_code(code, tape) for code in codes]
    return Section.rounded_box(WIDTH, HEIGHT, RADIUS, walls, surface="middle")


def main() -> dict[str, np.ndarray]:
    """Print (mesh / thin-walled - 1) in percent and return it, (ratio, term), for each box."""
    constants = partial(Orthotropic.transversely_isotropic, nu23=NU23)
    out = {}
    for name, (codes, coupling) in BOXES.items():
        terms = TERMS | {"coupling": coupling}
        rows = []
        for ratio in RATIOS:
            thin = box(codes, ratio)
            thick = solve(mesh_walls(thin, constants, size=0.003, per_layer=2))
            rows.append([100 * (thick.stiffness[ij] / thin.stiffness[ij] - 1) for ij in terms.values()])
        out[name] = np.array(rows)
        print(f"\n{name} box: mesh / thin-walled - 1 [%]\n  t/b  " + "".join(f"{term:>10}" for term in terms))
        for ratio, row in zip(RATIOS, rows, strict=True):
            print(f"{ratio:6.3f} " + "".join(f"{value:10.3f}" for value in row))
    return out


if __name__ == "__main__":
    main()
