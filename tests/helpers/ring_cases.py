"""Struts of a solid model of 27-node bricks under loads on one wall: peaks of My and Nx, and the thin-walled model.

The bricks: one through the thickness, 10 per cap, 8 per web and per corner, 58 along x; refining to 14/10/14 moves
peaks by at most 0.6 percent. Length 0.5 m, clamped at x = 0. Walls: 0 at +e3, 2 at +e2, 4 at -e3, 6 at -e2.
"""

import numpy as np

from beam.section import distortion
from beam.section.outline import rounded_box
from beam.strut.distortion_along_span import AlongSpan, Hoop, Patch, Walls
from laminate import Laminate, Ply
from laminate.transverse_shear import shear_modulus_rotated
from materials import Lamina
from materials.source import Source

LENGTH = 0.5
BANDS = {"A": (0.44, 0.50), "B": (0.22, 0.28)}
RIBS = {"none": (), "one": (0.28, 0.50), "both": (0.22, 0.28, 0.44, 0.50)}
FACES = (2, 6, 0, 4)
GAUSS = np.array([-1, 1]) / np.sqrt(3)
PLACES = np.sort(((np.arange(8) + 0.5)[:, None] / 8 + GAUSS / 16).ravel())
INVENTED = Source("made up for tests", note="lay-up of the solid model")


def iso(E, nu, t):
    """A, B, D of one isotropic wall."""
    A = E * t / (1 - nu**2) * np.array([[1, nu, 0], [nu, 1, 0], [0, 0, (1 - nu) / 2]])
    return np.block([[A, 0 * A], [0 * A, A * t**2 / 12]])


def lay_up():
    """A, B, D and thickness of the eight walls of the laminated strut."""
    both = {"density": 1600.0, "source": INVENTED}
    tape = Lamina(name="tape", kind="tape", E1=125e9, E2=8.41e9, G12=4.23e9, nu12=0.309, G13=4.23e9, G23=3.0e9,
                  thickness=0.152e-3, **both)  # fmt: skip
    cloth = Lamina(name="cloth", kind="fabric", E1=55.9e9, E2=54.4e9, G12=4.21e9, nu12=0.042, G13=3.0e9, G23=3.0e9,
                   thickness=0.218e-3, **both)  # fmt: skip

    def wall(outer, inner, middle):
        half = [45, -45, 90, *[None] * outer, 45, -45, *[None] * 5, 45, -45, *[None] * inner]
        other = [-45, 45, *[None] * 5, -45, 45, *[None] * outer, 90, -45, 45]
        plies = [Ply(tape, 0.0) if a is None else Ply(cloth, float(a)) for a in half + other]
        assert len(plies) == middle
        return Laminate(plies)

    cap, web = wall(5, 10, 44), wall(4, 2, 34)
    walls = [cap, cap, web, cap] * 2
    # one quadratic brick through the thickness takes the transverse shear strain as even: the sum of the moduli
    sums = {w: sum(p.lamina.thickness * shear_modulus_rotated(*p.lamina.transverse_shear, p.angle_deg) for p in w.plies)
            for w in (cap, web)}  # fmt: skip
    return (
        np.array([w.abd for w in walls]),
        np.array([sums[w] for w in walls]),
        np.array([w.thickness for w in walls]),
    )


def walls_of(name):
    """Walls along the span of a strut, and its width and height at a station."""
    if name == "lam":
        abd, shear, t = lay_up()
    else:
        t = np.full(8, {"iso3": 0.003, "iso6": 0.006, "taper": 0.004}[name])
        abd = np.array([iso(70e9, 0.3, t[0])] * 8)
        shear = 70e9 / 2.6 * t[:, None, None] * np.eye(2)
    root = {"taper": (0.112, 0.082, 0.022), "lam": (0.096, 0.072, 0.019)}.get(name, (0.094, 0.071, 0.019))
    tip = (0.076, 0.060, 0.016) if name == "taper" else root

    def size(i, s):
        return root[i] + (tip[i] - root[i]) * np.asarray(s) / LENGTH

    def contour(s):
        return rounded_box(*(size(i, s) for i in range(3)), np.broadcast_to(t, (len(s), 8)))

    def of(s):
        return tuple(np.broadcast_to(f, (len(s), *f.shape)) for f in (abd, shear, t))

    facets = distortion.facets_of(contour(np.linspace(0, LENGTH, 5)))
    return Walls(contour, of, facets), size


def strut_of(name, band, ribs):
    """The strut with a patch on each flat wall over a band; and its load cases by name, as loads of the patches."""
    walls, size = walls_of(name)
    start, end = BANDS[band]
    b, h = (float(size(i, (start + end) / 2)) for i in (0, 1))
    patches = [Patch(start, end, np.flatnonzero(walls.facets.wall == w)) for w in FACES]
    along = AlongSpan(walls, LENGTH, patches, [Hoop(s) for s in RIBS[ribs]])
    at = {0: (0, 0, h / 2), 2: (0, b / 2, 0), 4: (0, 0, -h / 2), 6: (0, -b / 2, 0)}

    def load(*parts):
        out = np.zeros((4, 6))
        for wall, force in parts:
            out[FACES.index(wall)] = np.r_[force, np.cross(at[wall], force)]
        return out.ravel()

    return along, {
        "T webs": load((2, (0, 0, 1000 / b)), (6, (0, 0, -1000 / b))),
        "T caps": load((0, (0, -1000 / h, 0)), (4, (0, 1000 / h, 0))),
        "normal web": load((2, (0, -1e4, 0))),
        "normal cap": load((0, (0, 0, -1e4))),
        "lateral web": load((2, (0, 0, 1e4))),
        "lateral cap": load((0, (0, 1e4, 0))),
        "axial web": load((2, (1e4, 0, 0))),
    }


def peaks(along, load, band):
    """Largest Nx [N/m] and My [N] under a load at the places of the bricks, their 2 x 2 Gauss points."""
    start, end = BANDS[band]
    cells = np.arange(start - 0.03, min(end + 0.03, LENGTH) - 1e-9, 0.005) + 0.0025
    x = np.sort((cells[:, None] + 0.0025 * GAUSS).ravel())
    found = abs(along.wall_loads(x, PLACES, whole=True)[..., [0, 4], :] @ load)
    near = (x > start - 0.02) & (x < end + 0.02)
    return np.array([found[near][..., 0].max(), found[..., 1].max()])


# strut, band, ribs, load; largest My [N] and largest Nx within 20 mm of the band [N/m]
PEAKS = (
    ("iso3", "A", "none", "T webs", 759, 144200),
    ("iso3", "B", "none", "T caps", 240.6, 221800),
    ("iso3", "A", "none", "normal web", 1192, 160600),
    ("iso3", "B", "none", "normal cap", 804.1, 180200),
    ("iso3", "A", "none", "lateral web", 385.7, 131000),
    ("iso3", "B", "none", "lateral cap", 102.7, 101100),
    ("iso3", "A", "none", "axial web", 106.2, 170800),
    ("iso3", "B", "one", "T webs", 48.09, 88760),
    ("iso3", "A", "one", "T caps", 47.38, 124000),
    ("iso3", "B", "one", "normal web", 619, 175600),
    ("iso3", "A", "one", "normal cap", 631.3, 222600),
    ("iso3", "B", "one", "lateral web", 44.71, 98290),
    ("iso3", "A", "one", "lateral cap", 31.9, 90600),
    ("iso3", "B", "one", "axial web", 39.72, 145800),
    ("iso3", "A", "both", "T webs", 30.17, 52490),
    ("iso3", "B", "both", "T caps", 22.3, 33590),
    ("iso3", "A", "both", "normal web", 492, 166200),
    ("iso3", "B", "both", "normal cap", 335.3, 116900),
    ("iso3", "A", "both", "lateral web", 28.99, 74340),
    ("iso3", "B", "both", "lateral cap", 16.77, 63540),
    ("iso3", "A", "both", "axial web", 7.192, 133600),
    ("iso6", "B", "none", "T webs", 362.3, 131500),
    ("iso6", "A", "none", "T caps", 874.8, 94820),
    ("iso6", "B", "none", "normal web", 843.7, 76640),
    ("iso6", "A", "none", "normal cap", 1158, 97430),
    ("iso6", "B", "none", "lateral web", 190.2, 99460),
    ("iso6", "A", "none", "lateral cap", 323.9, 93200),
    ("iso6", "B", "none", "axial web", 68.11, 147200),
    ("iso6", "A", "one", "T webs", 115.6, 105300),
    ("iso6", "B", "one", "T caps", 99.84, 64270),
    ("iso6", "A", "one", "normal web", 715, 78120),
    ("iso6", "B", "one", "normal cap", 582.8, 87100),
    ("iso6", "A", "one", "lateral web", 73.46, 104700),
    ("iso6", "B", "one", "lateral cap", 46.97, 77150),
    ("iso6", "A", "one", "axial web", 79, 150500),
    ("iso6", "B", "both", "T webs", 42.5, 46710),
    ("iso6", "A", "both", "T caps", 42.18, 40280),
    ("iso6", "B", "both", "normal web", 480.3, 84950),
    ("iso6", "A", "both", "normal cap", 402.7, 93630),
    ("iso6", "B", "both", "lateral web", 37.24, 79270),
    ("iso6", "A", "both", "lateral cap", 42.91, 68700),
    ("iso6", "B", "both", "axial web", 12.97, 134800),
    ("lam", "A", "none", "T webs", 767, 126600),
    ("lam", "B", "none", "T caps", 289.3, 151500),
    ("lam", "A", "none", "normal web", 857, 119100),
    ("lam", "B", "none", "normal cap", 715.1, 97440),
    ("lam", "A", "none", "lateral web", 382.7, 124900),
    ("lam", "B", "none", "lateral cap", 115.3, 94880),
    ("lam", "A", "none", "axial web", 111, 171000),
    ("lam", "B", "one", "T webs", 66.59, 92990),
    ("lam", "A", "one", "T caps", 80.28, 105800),
    ("lam", "B", "one", "normal web", 449.1, 92870),
    ("lam", "A", "one", "normal cap", 505.2, 99160),
    ("lam", "B", "one", "lateral web", 45.4, 96980),
    ("lam", "A", "one", "lateral cap", 37.73, 94490),
    ("lam", "B", "one", "axial web", 47.6, 141400),
    ("lam", "A", "both", "T webs", 37.62, 55170),
    ("lam", "B", "both", "T caps", 37.42, 32790),
    ("lam", "A", "both", "normal web", 343, 87650),
    ("lam", "B", "both", "normal cap", 217.9, 90020),
    ("lam", "A", "both", "lateral web", 40.91, 87640),
    ("lam", "B", "both", "lateral cap", 26.93, 73840),
    ("lam", "A", "both", "axial web", 9.767, 138400),
    ("taper", "A", "none", "T caps", 946.3, 140600),
    ("taper", "A", "none", "normal cap", 1021, 127100),
    ("taper", "A", "none", "lateral cap", 304.3, 119900),
    ("taper", "A", "one", "T webs", 121.1, 178900),
    ("taper", "A", "one", "normal web", 679.7, 121300),
    ("taper", "A", "one", "lateral web", 66.9, 135500),
    ("taper", "A", "both", "T caps", 39.23, 67020),
    ("taper", "A", "both", "normal cap", 450.1, 127400),
    ("taper", "A", "both", "lateral cap", 29.53, 88320),
    ("taper", "B", "none", "T webs", 275.6, 190600),
    ("taper", "B", "none", "normal web", 841.8, 108600),
    ("taper", "B", "none", "lateral web", 152.7, 108200),
    ("taper", "B", "one", "T caps", 56.24, 74420),
    ("taper", "B", "one", "normal cap", 579.2, 114900),
    ("taper", "B", "one", "lateral cap", 33.07, 74920),
    ("taper", "B", "both", "T webs", 31.89, 48190),
    ("taper", "B", "both", "normal web", 465, 98250),
    ("taper", "B", "both", "lateral web", 30.1, 69580),
)
