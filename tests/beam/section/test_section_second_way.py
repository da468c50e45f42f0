"""The closed fields against two other ways: finite strips along the mid-lines, and booms."""

import numpy as np
import pytest
from section_cases import membrane, metal, mixed_walls, stiffness_of
from strip_section import strip_compliance

from beam.section import network, solve
from beam.section.outline import round_tube

SKIN = [[-0.04, 0.025], [0.03, 0.03], [0.04, -0.02], [-0.03, -0.025]]
STRAIGHT = {
    "one cell": (SKIN, [[0, 1], [1, 2], [2, 3], [3, 0]]),
    "two cells and a flange": (
        [*SKIN, [0.01, 0.028], [0.012, -0.022], [0.06, 0.04]],
        [[0, 4], [4, 1], [1, 2], [2, 5], [5, 3], [3, 0], [4, 5], [1, 6]],
    ),
    "open channel": ([[0.04, 0.04], [0.0, 0.04], [0.0, -0.04], [0.04, -0.04]], [[0, 1], [1, 2], [2, 3]]),
}


@pytest.mark.parametrize("name", STRAIGHT)
def test_finite_strips_converge_to_it(name):
    """Walls with every coupling there is: membrane, bending, hoop; the error falls with the strip squared."""
    joints, walls = STRAIGHT[name]
    abd = stiffness_of(mixed_walls(len(walls)))
    exact = solve(network(joints, walls), abd).compliance
    d = 1 / np.sqrt(np.diag(exact))
    coarse, fine = ((strip_compliance(joints, walls, abd, n) - exact) * np.outer(d, d) for n in (6, 12))
    assert np.abs(fine).max() < 0.01
    assert np.log2(np.abs(coarse).max() / np.abs(fine).max()) == pytest.approx(2, abs=0.1)
    np.testing.assert_allclose((4 * fine - coarse) / 3, 0.0, rtol=0, atol=5e-5)


def test_facets_converge_to_the_arc():
    """A tube as a polygon of n walls: the same laminates, the error falls with the facet squared."""
    abd = np.repeat(stiffness_of(mixed_walls(4)), 8, axis=0)
    exact = solve(round_tube(0.05), abd[::8]).compliance
    d = 1 / np.sqrt(np.diag(exact))
    error = []
    for pieces in (8, 16):
        angle = 0.75 * np.pi - 0.5 * np.pi * np.arange(4 * pieces) / pieces
        joints = 0.05 * np.stack([np.cos(angle), np.sin(angle)], axis=-1)
        ends = np.stack([np.arange(4 * pieces), (np.arange(4 * pieces) + 1) % (4 * pieces)], axis=-1)
        walls = np.repeat(stiffness_of(mixed_walls(4)), pieces, axis=0)
        error.append(np.abs((solve(network(joints, ends), walls).compliance - exact) * np.outer(d, d)).max())
    assert error[1] < 0.01
    assert np.log2(error[0] / error[1]) == pytest.approx(2, abs=0.1)


def boom_flow(joints, walls, cells, t, shear_modulus, pieces):
    """Shear flow of a unit V3 without twist, (wall, piece), as in textbooks: booms, sums, closure of each cell.

    It omits Poisson's contraction, so it is exact for nu = 0 alone.
    """
    joints, walls = np.asarray(joints), np.asarray(walls)
    run = joints[walls[:, 1]] - joints[walls[:, 0]]
    length = np.linalg.norm(run, axis=1)
    at = joints[walls[:, 0], None] + ((np.arange(pieces) + 0.5) / pieces)[:, None] * run[:, None]
    area = np.outer(t * length / pieces, np.ones(pieces))
    y = at - np.einsum("wp,wpk->k", area, at) / area.sum()
    pull = area * (y @ np.linalg.solve(np.einsum("wp,wpi,wpj->ij", area, y, y), [0.0, 1.0]))
    drop, whole = np.cumsum(pull, axis=1) - 0.5 * pull, pull.sum(axis=1)
    leaves, arrives = np.zeros((2, len(joints), len(walls)))
    leaves[walls[:, 0], np.arange(len(walls))] = arrives[walls[:, 1], np.arange(len(walls))] = 1.0
    slip = length / (shear_modulus * t)
    rows = np.concatenate([leaves - arrives, cells * slip / slip.max()])
    known = np.concatenate([-arrives @ whole, cells @ (slip * drop.mean(axis=1)) / slip.max()])
    start, _, rank, _ = np.linalg.lstsq(rows, known)
    assert rank == len(walls)
    return start[:, None] - drop


def test_shear_flow_of_two_cells_against_booms():
    joints, walls = STRAIGHT["two cells and a flange"]
    cells = np.array([[1, 0, 0, 0, 1, 1, 1, 0], [0, 1, 1, 1, 0, 0, -1, 0]], dtype=float)
    t = np.array([1.0, 1.5, 2.0, 1.0, 0.8, 1.2, 2.5, 1.0]) * 1e-3
    states = solve(network(joints, walls), membrane(stiffness_of([metal(x, nu=0.0) for x in t])))
    pieces = 200
    q = boom_flow(joints, walls, cells, t, 35e9, pieces)
    ours = states.recovery((np.arange(pieces) + 0.5) / pieces)[..., 2, :]
    S = states.compliance
    at_shear_center = ours[..., 2] - ours[..., 3] * S[3, 2] / S[3, 3]
    np.testing.assert_allclose(at_shear_center, q, rtol=0, atol=2e-5 * np.abs(q).max())
