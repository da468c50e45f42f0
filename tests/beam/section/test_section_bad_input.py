"""Every wrong section stops at the door with what, got and the likely cause."""

import numpy as np
import pytest
from section_cases import metal, mixed_walls, stiffness_of

from beam.section import Contour, Section, network, rounded_box, solve
from beam.section.outline import box, ellipse, filleted, polygon, round_tube, wall_names

WALL = metal(2e-3)
SQUARE = [[-0.02, 0.02], [0.02, 0.02], [0.02, -0.02], [-0.02, -0.02]]
RING = [[0, 1], [1, 2], [2, 3], [3, 0]]


class Fake:
    """A wall with whatever stiffness a test wants."""

    def __init__(self, abd, thickness=1e-3):
        self.abd, self.thickness, self.areal_density = np.asarray(abd, dtype=float), thickness, 1.0


def fake(change):
    abd = np.array(metal(1e-3).abd)
    change(abd)
    return Fake(abd)


def swap(abd):
    abd[0, 0] *= -1


def singular(abd):
    abd[5, 5] = 0.0


def indefinite(abd):
    abd[0, 1] = abd[1, 0] = 2 * abd[0, 0]


def lopsided(abd):
    abd[0, 1] *= 1.1


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (
            lambda: Section.from_walls([[-0.04, 0.02], [0.04, -0.02], [0.04, 0.02], [-0.05, -0.03]], WALL),
            "'wall 0' and 'wall 2' cross",
        ),
        (
            lambda: Section(
                network(
                    [[-0.04, 0.02], [0.04, 0.02], [0.04, -0.02], [-0.04, -0.02], [0, 0.03], [0, 0.01]],
                    [*RING, [0, 4], [4, 5]],
                ),
                [WALL] * 6,
            ),
            "'wall 0' and 'wall 5' cross",
        ),
        (
            lambda: Section.from_walls([[0, 0.02], [0.04, 0.02], [0.02, 0.02], [0.02, -0.02]], WALL),
            "cross|fold back",
        ),
        (lambda: Section(network([[0, 0], [0.04, 0], [0.02, 0]], [[0, 1], [0, 2]]), [WALL] * 2), "fold back"),
        (
            lambda: Section.from_walls(
                [[-0.05, 0.05], [0, 0], [0.05, 0.05], [0.05, -0.05], [0, 0], [-0.05, -0.05]], WALL
            ),
            "cross",
        ),
        (
            lambda: Section.from_walls(
                [[-0.05, 0.05], [0.05, 0.05], [0.05, -0.05], [0, 0.05], [-0.05, -0.05]], WALL
            ),
            "cross",
        ),
        (lambda: Section.box(0.1, 0.008, metal(0.01)), "thicker than the room"),
        (lambda: solve(network(SQUARE, RING), [fake(lopsided).abd] * 4), "symmetric"),
        (lambda: Section.from_walls(SQUARE[::-1], WALL), "counter-clockwise"),
        (lambda: Section(network(SQUARE[::-1], RING), [WALL] * 4), "counter-clockwise"),
        (lambda: Section(network(SQUARE, [[0, 1], [2, 1], [2, 3], [3, 0]]), [WALL] * 4), "both ways"),
        (lambda: Section.from_walls([*SQUARE, SQUARE[0]], WALL), "repeated at the end"),
        (lambda: Section.from_walls(SQUARE[:2], WALL), "three or more"),
        (lambda: Section(network(SQUARE, RING), [WALL] * 3), "one for each wall"),
        (lambda: Section.box(0.08, 0.05, [WALL] * 3), "one, or 4"),
        (lambda: Section.rounded_box(0.08, 0.05, 0.012, [WALL] * 4), "one, or 8"),
        (lambda: Section.tube(0.5e-3, WALL), "half the thickness"),
        (lambda: Section.tube(-0.05, WALL), "> 0"),
        (lambda: Section.rounded_box(0.08, 0.05, 1e-3, WALL), "thicker than the corner radius"),
        (lambda: Section.rounded_box(0.08, 0.05, 0.026, WALL), "corners overlap"),
        (lambda: Section.rounded_box(0.08, 0.05, -0.01, WALL), ">= 0"),
        (
            lambda: Section.rounded_box(0.08, 0.05, 0.012, WALL, surface="outer"),
            "'outside', 'middle', 'inside'",
        ),
        (lambda: Section.rounded_box(0.08, np.nan, 0.012, WALL), "finite"),
        (lambda: Section.rounded_box(0.08, 0.05, 0.012, WALL, faces=("a", "b", "c")), "four names"),
        (lambda: Section.rounded_box(0.08, 0.05, 0.012, WALL, faces=("a", "b", "a", "c")), "all different"),
        (lambda: Section.box(-0.08, 0.05, WALL), "> 0"),
        (lambda: Section.box(1e-3, 0.05, WALL, surface="outside"), "> 0"),
        (lambda: Section.ellipse(0.08, 0.0, WALL), "> 0"),
        (lambda: Section.ellipse(0.2, 0.01, metal(5e-3)), "sharpest arc"),
        (lambda: ellipse(0.08, 0.05, pairs=0), ">= 1"),
        (lambda: Section(network(SQUARE, RING), [fake(swap)] * 4), "positive definite"),
        (lambda: Section(network(SQUARE, RING), [fake(indefinite)] * 4), "positive definite"),
        (lambda: Section(network(SQUARE, RING), [fake(singular)] * 4), "diagonal"),
        (lambda: Section(network(SQUARE, RING), [fake(lopsided)] * 4), "symmetric"),
        (lambda: Section(network(SQUARE, RING), [Fake(metal(1e-3).abd, 0.0)] * 4), "thickness"),
        (lambda: Section(network(SQUARE, RING), [Fake(np.eye(3))] * 4), r"\(..., 6, 6\)"),
        (
            lambda: Section(rounded_box([0.08, 0.09], 0.05, 0.012, np.full(8, 1e-3)), [WALL] * 8),
            "one section",
        ),
        (
            lambda: Section(
                network([[-4e-3, 0], [4e-3, 0]], [[0, 1], [1, 0]], turn=[-3.0, -3.0]), [metal(0.015)] * 2
            ),
            "half the thickness",
        ),
        (lambda: solve(network(SQUARE, RING), [fake(swap).abd] * 4), "positive definite"),
        (lambda: solve(network(SQUARE, RING), [metal(1e-3).abd] * 3), r"\(..., 4, 6, 6\)"),
        (lambda: round_tube(0.05, -1e-3, surface="outside"), "> 0"),
        (lambda: round_tube(0.05, 0.0, surface="inside"), "> 0"),
        (lambda: rounded_box(0.08, 0.05, 0.012, [0.0] + [1e-3] * 7), "> 0"),
        (lambda: rounded_box(0.08, 0.05, 0.012, np.full(4, 1e-3)), r"\(..., 8\)"),
        (lambda: box(0.08, 0.05, "thick"), "numbers"),
        (lambda: polygon([[0, 0, 0]] * 4), r"\(..., -1, 2\)"),
        (
            lambda: filleted([[-0.04, 0.02], [0, 0.02], [0.04, 0.02], [0, -0.02]], [1e-3], 1e-3),
            "does not turn",
        ),
        (lambda: filleted(SQUARE, [5e-3], 0.0), "> 0"),
        (lambda: network(SQUARE, [[0, 1], [1, 4]]), "from 0 to 3"),
        (lambda: network(SQUARE, [[0.0, 1.0]]), "whole numbers"),
        (lambda: network(SQUARE, [[0, 1], [2, 3]]), "connected"),
        (lambda: network(SQUARE, [[0, 1], [1, 3]]), "without a gap"),
        (lambda: network(SQUARE, [[0, 1], [1, 1]]), "> 0"),
        (lambda: network(SQUARE, [[0, 1], [1, 2], [2, 3]], turn=6.4), "less than a full turn"),
        (
            lambda: Contour(start=[[0, 0]], direction=[0], length=[1], turn=[7.0], ends=[[0, 1]]),
            "one full turn",
        ),
        (lambda: Contour(start=[[0, 0]], direction=[0], length=[1], turn=[0], ends=[0, 1]), "wall, 2"),
        (lambda: round_tube(0.05).offset([-0.06] * 4), "thicker than its radius"),
        (lambda: wall_names(("a",)), "four names"),
        (lambda: wall_names(("a", "b", "a", "c")), "all different"),
        (lambda: Section.tube(0.05, WALL).wall_loads(np.zeros(5)), r"\(..., 6\)"),
        (lambda: Section.tube(0.05, WALL).wall_loads([np.inf] * 6), "finite"),
        (lambda: Section.tube(0.05, WALL).wall_loads(np.zeros(6), 1.5), "at.*<= 1; a fraction"),
        (lambda: Section.tube(0.05, WALL).residual_wall_loads(10.0, at=-0.1), "at.*>= 0; a fraction"),
        (lambda: Section.tube(0.05, WALL).free_strain(np.nan), "finite"),
    ],
)
def test_stops_at_the_door(make, says):
    with pytest.raises(ValueError, match=says):
        make()


def test_walls_that_do_not_close():
    """A gap wider than the walls are thick is a mistake; a step between thicknesses is not."""
    start = np.array(SQUARE)
    direction, length = [0.0, -np.pi / 2, np.pi, np.pi / 2], np.full(4, 0.04)
    ring = {"direction": direction, "turn": np.zeros(4), "ends": RING}
    Section(Contour(start=start + [[0, -1e-3], [0, 0], [0, 0], [0, 0]], length=length, **ring), [WALL] * 4)
    with pytest.raises(ValueError, match="do not close"):
        Section(Contour(start=start, length=length - [0.01, 0, 0, 0], **ring), [WALL] * 4)


def test_walls_of_a_batch_that_do_not_close():
    """The batch door measures gaps by the thickness that the stiffness tells: sqrt(12 tr D / tr A)."""
    wall = mixed_walls(1)[0]
    square = network(SQUARE, RING).flat((5,))

    def with_step(step):
        start = np.array(square.start)
        start[3, 0, 1] += step
        return Contour(
            start=start, direction=square.direction, length=square.length, turn=square.turn, ends=RING
        )

    # Two walls share a joint: each stands half the step off it.
    solve(with_step(1.99 * wall.thickness), wall.abd * np.ones((4, 1, 1)))
    with pytest.raises(ValueError, match=r"'wall 0' of section \(3,\) starts .* do not close"):
        solve(with_step(2.01 * wall.thickness), wall.abd * np.ones((4, 1, 1)))


def test_one_bad_wall_of_a_batch_is_found():
    abd = stiffness_of(mixed_walls(4)) * np.ones((300, 1, 1, 1))
    abd[299, 2, 0, 0] = -1.0
    with pytest.raises(ValueError, match="positive definite"):
        solve(round_tube(0.05), abd)
