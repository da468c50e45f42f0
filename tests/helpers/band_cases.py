"""Struts with a band on one web or on two, and the peaks of My and Nx near it by beam and by bricks."""

from dataclasses import replace

import numpy as np
from small_strut import CLOTH, TAPE

from beam.strut import Band, BookPly, MoldLine, PlyBook, PointLoads, Rib, Strut
from beam.strut.bricks import Density, solve
from materials import Lamina, Source

LENGTH = 0.4
E, NU = 70e9, 0.3
METAL = Lamina(
    name="metal", kind="fabric", E1=E, E2=E, G12=E / 2.6, nu12=NU, G13=E / 2.6, G23=E / 2.6, thickness=1e-3,
    density=2700.0, source=Source("round values"),
)  # fmt: skip
HALF = [(CLOTH, 45.0), (TAPE, 0.0), (CLOTH, -45.0), (TAPE, 0.0), (CLOTH, 90.0), (TAPE, 0.0), (CLOTH, 45.0), (TAPE, 0.0),
        (CLOTH, -45.0), (TAPE, 0.0)]  # fmt: skip
STACKS = {
    "iso3": [(replace(METAL, thickness=3e-3), 0.0)],
    "iso6": [(replace(METAL, thickness=6e-3), 0.0)],
    "laminate": HALF + HALF[::-1],
    "taper": [(replace(METAL, thickness=4e-3), 0.0)],
}
BANDS = {"none": (0.34, 0.40), "one": (0.17, 0.23), "two": (0.17, 0.23)}
"""Band by the ribs: at the free tip without any; mid-span with a rib at its outboard edge, and at both edges."""

RIBS = {"none": (), "one": (0.23,), "two": (0.17, 0.23)}
LOADS = {"torque pair": (("aft", "forward"), 3), "normal": (("aft",), 1), "lateral": (("aft",), 2)}
"""Walls of the band and number of the force or moment: 10 kN or 1 kN m."""

NEAR = 0.02
FINE = Density(per_corner=8, per_face=6, size=0.03, fine=0.010)
GAUSS = np.array([-1, 1]) / np.sqrt(3)
PLACES = np.sort(((np.arange(8) + 0.5)[:, None] / 8 + GAUSS / 16).ravel())


def strut_of(name, ribs, walls):
    """The strut of a section and a rib layout with its band on some walls."""
    size = {"width": [0.090] * 2, "height": [0.070] * 2, "corner_radius": [0.018] * 2}
    if name == "taper":
        size = {"width": [0.110, 0.080], "height": [0.080, 0.062], "corner_radius": [0.022, 0.017]}
    line = MoldLine(root=[0, 0, LENGTH], tip=[0, 0, 0], stations=[0, LENGTH], **size)
    plies = [
        BookPly(lamina=lamina, angle_deg=angle, walls=line.wall_names, start=0.0, end=LENGTH)
        for lamina, angle in STACKS[name]
    ]
    start, end = BANDS[ribs]
    band = Band(name="band", start=start, end=end, walls=walls)
    return Strut(line, PlyBook(plies), bands=[band], ribs=[Rib(station=s) for s in RIBS[ribs]])


def peaks(name, ribs, kinds, density=FINE):
    """Largest My [N] and Nx [N/m] near the band, (kind of load, beam or bricks, 2); kinds share a band."""
    walls = LOADS[kinds[0]][0]
    assert all(LOADS[kind][0] == walls for kind in kinds)
    strut, band = strut_of(name, ribs, walls), BANDS[ribs]
    wrench = np.zeros((len(kinds), 1, 6))
    for case, kind in enumerate(kinds):
        component = LOADS[kind][1]
        wrench[case, 0, component] = 1e3 if component == 3 else 1e4
    loads = PointLoads(at=[sum(band) / 2], force=wrench[..., :3], moment=wrench[..., 3:])
    found = solve(strut, loads, density)
    rows = (found.mesh.lines[1:] + found.mesh.lines[:-1]) / 2
    half = np.diff(found.mesh.lines) / 2
    keep = (rows > band[0] - NEAR) & (rows < band[1] + NEAR)
    x = np.sort((rows[keep, None] + half[keep, None] * GAUSS).ravel())
    running = strut.wall_loads(strut.span.forces(loads, at=x), x, PLACES)
    beam = running + strut.added_wall_loads(loads, x, PLACES)
    both = np.stack([beam, found.wall_loads(x, PLACES)], axis=1)[..., [4, 0]]
    return np.abs(both).max(axis=(2, 3, 4))


def every():
    """Every case: section, ribs, kinds of load that share a band."""
    for name in STACKS:
        for ribs in RIBS:
            yield name, ribs, ("torque pair",)
            yield name, ribs, ("normal", "lateral")
