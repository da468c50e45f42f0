"""Refusals that hold between several inputs of a section; those of single inputs follow from their declarations."""

from dataclasses import replace

import numpy as np
import pytest
from section_cases import metal, mixed_walls, outlines, stiffness_of

from beam.section import Contour, Section, centroid, network, ovalization_loads, rounded_box, solve
from beam.section.outline import box, ellipse, filleted, polygon, round_tube, wall_names

WALL = metal(2e-3)
ABD = WALL.abd
SQUARE = [[-0.02, 0.02], [0.02, 0.02], [0.02, -0.02], [-0.02, -0.02]]
RING = [[0, 1], [1, 2], [2, 3], [3, 0]]
FOUR = {"start": SQUARE, "direction": np.zeros(4), "length": np.ones(4), "turn": np.zeros(4), "ends": RING}
T = np.full(8, 1e-3)


def spoiled(place, factor):
    """Four walls, the first with entries of its stiffness multiplied."""
    abd = np.stack([ABD] * 4)
    for i, j in place:
        abd[0, i, j] *= factor
    return abd


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
        (lambda: Section.box(0.1, 0.008, metal(0.01)), "0.008 m apart.*0.01 m; walls thicker than the space"),
        (lambda: Section.from_walls(SQUARE[::-1], WALL), "counter-clockwise"),
        (lambda: Section(network(SQUARE[::-1], RING), [WALL] * 4), "counter-clockwise"),
        (lambda: Section(network(SQUARE, [[0, 1], [2, 1], [2, 3], [3, 0]]), [WALL] * 4), "both ways"),
        (lambda: Section.from_walls([*SQUARE, SQUARE[0]], WALL), "repeated at the end"),
        (lambda: Section.from_walls(SQUARE[:2], WALL), "three or more"),
        (lambda: Section(network(SQUARE, RING), [WALL] * 3), "got 3, must be 4, one for each wall"),
        (lambda: Section.box(0.08, 0.05, [WALL] * 3), "one, or 4"),
        (lambda: Section.rounded_box(0.08, 0.05, 0.012, [WALL] * 4), "one, or 8"),
        (lambda: Section.from_walls(SQUARE, [WALL] * 4, radius=5e-3), "one, or 8"),
        (lambda: Section.box(0.08, 0.05, 3.0), "walls"),
        (lambda: Section.box(0.08, 0.05, [WALL, WALL, WALL, "wall"]), r"walls\[3\].*Laminate"),
        (lambda: Section.tube(0.5e-3, WALL), "0.0005 .*0.002 m thick.*half the thickness"),
        (lambda: Section.rounded_box(0.08, 0.05, 0.026, WALL), "corners overlap"),
        (lambda: Section.rounded_box(0.08, 0.05, 0.012, WALL, faces=("a", "b", "c")), "four names"),
        (lambda: Section.rounded_box(0.08, 0.05, 0.012, WALL, faces=("a", "b", "a", "c")), "all different"),
        (lambda: Section.box(1e-3, 0.05, WALL, surface="outside"), "length.*> 0; wall thicker"),
        (lambda: Section.ellipse(0.2, 0.01, metal(5e-3)), "sharpest arc"),
        (lambda: Section(rounded_box([0.08, 0.09], 0.05, 0.012, T), [WALL] * 8), "one section"),
        (
            lambda: Section(
                network([[-4e-3, 0], [4e-3, 0]], [[0, 1], [1, 0]], turn=[-3.0, -3.0]), [metal(0.015)] * 2
            ),
            "got 0.0040.* with a wall 0.015 m thick, must be at least half the thickness, 0.0075$",
        ),
        (lambda: solve(network(SQUARE, RING), spoiled([(0, 1)], 1.1)), "not symmetric"),
        (lambda: solve(network(SQUARE, RING), spoiled([(0, 0)], -1.0)), "positive definite"),
        (lambda: solve(network(SQUARE, RING), spoiled([(0, 1), (1, 0)], 4.0)), "positive definite"),
        (lambda: solve(network(SQUARE, RING), spoiled([(5, 5)], 0.0)), "positive definite"),
        (lambda: solve(network(SQUARE, RING), [ABD] * 3), "solve: abd.*for 4 walls"),
        (
            lambda: solve(network(np.ones((2, 1, 1)) * SQUARE, RING), np.ones((3, 4, 1, 1)) * ABD),
            "broadcastable",
        ),
        (
            lambda: ovalization_loads(
                solve(network(np.ones((2, 1, 1)) * SQUARE, RING), [ABD] * 4), np.ones((3, 6))
            ),
            "F.*broadcastable",
        ),
        (lambda: centroid(-np.eye(6)), "compliance.*on the diagonal"),
        (lambda: polygon(SQUARE, np.ones(3)), "thickness.*for 4 walls"),
        (lambda: box([1.0, 2.0], [1.0, 2.0, 3.0]), "width, height.*broadcastable"),
        (lambda: ellipse(0.08, 0.05, faces=("a", "b", "a", "c")), "all different"),
        (lambda: filleted([[-4, 2], [0, 2], [4, 2], [0, -2]], [1e-3], 1e-3), "does not turn"),
        (lambda: network(SQUARE, [[0, 1], [1, 4]]), "from 0 to 3"),
        (lambda: network(SQUARE, [[0, 1], [2, 3]]), "connected"),
        (lambda: network(SQUARE, [[0, 1], [1, 3]]), "without a gap"),
        (lambda: network(SQUARE, [[0, 1], [1, 1]]), "> 0"),
        (lambda: network(SQUARE, RING, turn=np.zeros(3)), "turn.*broadcastable"),
        (lambda: Contour(**FOUR | {"start": SQUARE[:3]}), "start.*for 4 walls"),
        (lambda: Contour(**FOUR | {"turn": np.zeros(5)}), "turn.*for 4 walls"),
        (lambda: Contour(**FOUR | {"names": ("a", "b", "c")}), "4 names, all different"),
        (lambda: Contour(**FOUR | {"names": ("a", "b", "c", "a")}), "4 names, all different"),
        (lambda: Contour(**FOUR | {"turn": np.zeros((2, 4)), "length": np.ones((3, 4))}), "broadcastable"),
        (lambda: Contour(**FOUR | {"ends": np.zeros((0, 2))}), "one or more pairs"),
        (lambda: round_tube(0.05).offset([-0.06] * 4), "length.*> 0; wall thicker"),
        (lambda: round_tube(0.05).offset([0.0] * 3), "distance.*for 4 walls"),
        (lambda: wall_names(("a",)), "four names"),
    ],
)
def test_refused(make, says):
    with pytest.raises(ValueError, match=f"(?s){says}"):
        make()


@pytest.mark.parametrize(
    ("surface", "radius", "least"),
    [("outside", 1.28e-3, 2e-3), ("middle", 0.9e-3, 1e-3), ("inside", 0.0, 0.0)],
)
def test_a_corner_thicker_than_its_radius_is_named(surface, radius, least):
    """Corner, section, radius and thickness stand in the message; the least radius just passes."""
    thickness = np.tile(T, (3, 1))
    thickness[2, 3] = 2e-3
    names = {"surface": surface, "faces": ("lid", "aft", "keel", "front")}
    least_passes = rounded_box(0.08, 0.05, max(least, 1e-9), thickness, **names)
    assert len(least_passes.names) == 8
    if surface != "inside":
        says = (
            rf"radius \[m\] of corner 'aft-keel' of section \(2,\): got {radius:g} on the {surface} surface "
            rf"with a wall 0.002 m thick, must be at least {least:g}; wall thicker"
        )
        with pytest.raises(ValueError, match=says):
            rounded_box(0.08, 0.05, radius, thickness, **names)


def test_a_hollow_corner_thicker_than_its_radius_is_named():
    """On the inside surface only a corner that turns the other way can be too thick."""
    points = np.array([[0, 0.06], [0.03, 0.06], [0.03, 0.03], [0.08, 0.03], [0.08, 0], [0, 0]])
    with pytest.raises(
        ValueError, match=r"corner wall 3: got 0.005 on the inside.*0.006 m thick.*at least 0.006"
    ):
        filleted(points, [5e-3], 6e-3, surface="inside")


def test_walls_that_do_not_close():
    """A gap wider than the walls are thick is a mistake; a step between thicknesses is not."""
    start, length = np.array(SQUARE), np.full(4, 0.04)
    ring = {"direction": [0.0, -np.pi / 2, np.pi, np.pi / 2], "turn": np.zeros(4), "ends": RING}
    Section(Contour(start=start + [[0, -1e-3], [0, 0], [0, 0], [0, 0]], length=length, **ring), [WALL] * 4)
    with pytest.raises(ValueError, match="do not close"):
        Section(Contour(start=start, length=length - [0.01, 0, 0, 0], **ring), [WALL] * 4)


def test_walls_of_a_batch_that_do_not_close():
    """A batch measures gaps by the thickness that the stiffness gives: sqrt(12 tr D / tr A)."""
    wall = mixed_walls(1)[0]
    square = network(SQUARE, RING)

    def with_step(step):
        start = np.array([square.start] * 5)
        start[3, 0, 1] += step
        return replace(square, start=start)

    # Two walls share a joint: each stands half the step off it.
    solve(with_step(1.99 * wall.thickness), wall.abd * np.ones((4, 1, 1)))
    with pytest.raises(ValueError, match=r"'wall 0' of section \(3,\) starts .* do not close"):
        solve(with_step(2.01 * wall.thickness), wall.abd * np.ones((4, 1, 1)))


def test_one_bad_wall_of_a_batch_is_found():
    abd = stiffness_of(mixed_walls(4)) * np.ones((300, 1, 1, 1))
    abd[299, 2, 0, 0] = -1.0
    with pytest.raises(ValueError, match="positive definite"):
        solve(round_tube(0.05), abd)


@pytest.mark.parametrize("name", outlines())
def test_sound_outlines_are_accepted(name):
    contour = outlines()[name]
    assert len(Section(contour, mixed_walls(len(contour.names))).laminates) == len(contour.names)
