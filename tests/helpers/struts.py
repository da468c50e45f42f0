"""A strut for tests: rounded box, caps of 0 degree plies, wraps of +-45, plies that end along the span."""

import numpy as np

from beam.strut import BookPly, MoldLine, PlyBook, Strut
from materials.lamina import Lamina
from materials.source import Source

MADE_UP = Source("made up for tests", note="round numbers of a usual size")
TAPE = Lamina(
    name="tape",
    kind="tape",
    E1=140e9,
    E2=9e9,
    G12=5e9,
    nu12=0.3,
    thickness=0.2e-3,
    density=1580.0,
    alpha1=-0.3e-6,
    alpha2=28e-6,
    source=MADE_UP,
)
ROOT, TIP = np.array([2.0, 0.4, 0.9]), np.array([2.0, 0.75, 0.4])
LENGTH = float(np.linalg.norm(TIP - ROOT))
MOLD = MoldLine(
    root=ROOT,
    tip=TIP,
    stations=[0.0, LENGTH],
    width=[0.11, 0.07],
    height=[0.08, 0.055],
    corner_radius=[0.02, 0.015],
)
CAPS = ("inboard", "outboard")


def book(ends=(LENGTH, LENGTH, 0.4, 0.3), lamina=TAPE):
    """Return a symmetric book: for every end, +45, -45 all round and 0 on the caps, from the outside in."""
    half = []
    for end in ends:
        half += [
            BookPly(lamina=lamina, angle_deg=45, walls=MOLD.wall_names, start=0.0, end=end),
            BookPly(lamina=lamina, angle_deg=-45, walls=MOLD.wall_names, start=0.0, end=end),
            BookPly(lamina=lamina, angle_deg=0, walls=CAPS, start=0.0, end=end),
        ]
    return PlyBook(tuple(half + half[::-1]))


def strut(**changed):
    """Return the strut of that book."""
    return Strut(MOLD, book(), **changed)


def ply(angle=0.0, walls=("inboard",), start=0.0, end=LENGTH):
    """Return one ply of the book's material."""
    return BookPly(lamina=TAPE, angle_deg=angle, walls=walls, start=start, end=end)
