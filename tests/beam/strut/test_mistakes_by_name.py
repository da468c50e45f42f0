"""The mistakes most easily made with a section and a span, each stopped by name."""

from dataclasses import replace

import numpy as np
import pytest
from section_cases import metal
from spans import PLAIN
from struts import MOLD, book

from beam.section import Contour, Section, rounded_box, solve
from beam.section.outline import round_tube
from beam.strut import PointLoads, Span, Strut, Support

WALL = metal(2e-3)
RING = [[0, 1], [1, 2], [2, 3], [3, 0]]
GAPING = Contour(
    start=[[-0.02, 0.02], [0.02, 0.02], [0.02, -0.02], [-0.02, -0.02]],
    direction=[0.0, -np.pi / 2, np.pi, np.pi / 2], length=[0.03, 0.04, 0.04, 0.04], turn=np.zeros(4), ends=RING,
)  # fmt: skip
INDEFINITE = np.array(WALL.abd)
INDEFINITE[0, 1] = INDEFINITE[1, 0] = 2 * INDEFINITE[0, 0]
HELD = Support.motions(0.0, ("u1", "u2", "u3"), name="ball")
L = 2.0
CLAMPED = Span(axis=L, stiffness=PLAIN)

MISTAKES = {
    "self-crossing outline": (
        lambda: Section.from_walls([[-0.04, 0.02], [0.04, -0.02], [0.04, 0.02], [-0.05, -0.03]], WALL),
        "walls 'wall 0' and 'wall 2' cross",
    ),
    "zero-thickness wall": (
        lambda: rounded_box(0.08, 0.05, 0.012, [0.0] + [1e-3] * 7),
        r"thickness \[m\]: got 0, must be > 0",
    ),
    "zero-thickness lamina": (lambda: metal(0.0), "thickness.*got 0, must be > 0"),
    "laminate not positive definite": (
        lambda: solve(round_tube(0.05), [WALL.abd] * 3 + [INDEFINITE]),
        "a wall that is not positive definite",
    ),
    "walls that do not close": (lambda: Section(GAPING, [WALL] * 4), "off its joint.*do not close"),
    "walls of a batch that do not close": (
        lambda: solve(replace(GAPING, start=[GAPING.start] * 3), [WALL.abd] * 4),
        r"of section \(0,\) .* off its joint.*do not close",
    ),
    "corner thicker than its radius at the root of a bay": (
        lambda: Strut(replace(MOLD, corner_radius=np.linspace(1e-3, 12e-3, len(MOLD.stations))), book()),
        r"Strut: thickness \[m\] of corner '.*-.*' at station 0 m: got 0.00.*, must be at most the corner radius "
        "there, 0.001; fewer plies",
    ),
    "supports that leave a mechanism": (
        lambda: Span(axis=L, stiffness=PLAIN, supports=[HELD]),
        r"turn about \(1, 0, 0\)",
    ),
    "supports that contradict each other": (
        lambda: Span(axis=L, stiffness=PLAIN, supports=[Support.clamp(), HELD]),
        "clamp u1, .*ball u1.*held rigidly twice",
    ),
    "load beyond the tip": (
        lambda: CLAMPED.forces(PointLoads(at=[2.1], force=[[[0.0, 0.0, 1.0]]])),
        "PointLoads: at.*got 2.1, must be from 0 to the tip at 2",
    ),
    "support beyond the tip": (
        lambda: Span(axis=L, stiffness=PLAIN, supports=[Support.clamp(2.1)]),
        "got 2.1, must be from 0 to the tip at 2",
    ),
    "stations out of order": (
        lambda: Span(axis=L, stiffness=PLAIN, stations=[0.0, 1.5, 1.0, L]),
        "stations.*must be growing from 0 to the tip at 2",
    ),
}


@pytest.mark.parametrize("name", MISTAKES)
def test_mistake_is_stopped_by_name(name):
    make, says = MISTAKES[name]
    with pytest.raises(ValueError, match=f"(?s){says}"):
        make()
