"""The stiffness of a box by thin-walled theory against a mesh through its plies. It needs pip install ".[fe]".

python examples/section_against_mesh.py [folder for the picture]
"""

import sys
from functools import partial
from importlib.util import find_spec
from pathlib import Path

from make_pictures import save

from beam.section import Section
from beam.section.plots import plot_wall_load
from laminate import Laminate
from materials import lamina

CODES = ("[±45/0_4]s", "[±45/0]s")
TERMS = {"EA": 0, "kGA2": 1, "kGA3": 2, "GJ": 3, "EI2": 4, "EI3": 5}


def main(folder: Path | None = None) -> None:
    """Print both stiffnesses, draw the shear flow of a shear force."""
    tape = lamina("IM7/8552")
    caps, webs = (Laminate.from_code(code, tape) for code in CODES)
    box = Section.rounded_box(0.10, 0.07, 0.015, [webs, webs, caps, webs, webs, webs, caps, webs])
    print(f"shear center at y2 = {1e3 * box.shear_center[0]:.3f} mm, EI2 {box.stiffness[4, 4]:.4g} N m2")
    save(plot_wall_load(box, [0.0, 0.0, 10e3, 400.0, 0.0, 0.0]), folder, "section_against_mesh")
    if find_spec("skfem") is None:
        print('the mesh needs scikit-fem: pip install ".[fe]"')
        return
    from beam.section.solid import Orthotropic, mesh_walls, solve

    mesh = solve(mesh_walls(box, partial(Orthotropic.transversely_isotropic, nu23=0.4), size=0.004))
    for name, i in TERMS.items():
        print(f"{name:5} walls {box.stiffness[i, i]:.4g}, mesh / walls - 1 = "
              f"{100 * (mesh.stiffness[i, i] / box.stiffness[i, i] - 1):+.2f} %")  # fmt: skip


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
