"""Distortion modes: published ring of a tube, decay lengths, no stretch, no circulation, and the states they leave."""

import time

import numpy as np
import pytest
from ring_cases import iso, walls_of

from beam.section import distortion
from beam.section.outline import network, round_tube

# The method at 52 to 56 facets with walls rigid in transverse shear; finer rings move it by less than 1 percent.
DECAY = {
    "iso3": (172.0, 66.0, 41.4, 36.8, 27.6, 22.0, 20.2, 15.5),
    "iso6": (116.5, 45.6, 29.2, 28.9, 20.8, 20.0, 17.2, 14.6),
    "lam": (144.6, 60.0, 38.0, 37.6, 27.7, 25.3, 21.8, 18.4),
}


def ring_at(name, x=0.25, stiff=1.0):
    """Ring of a strut at one station, its transverse shear stiffness times a factor."""
    walls, _ = walls_of(name)
    abd, shear, t = walls.lay_up(np.array([x]))
    return distortion.ring_of(walls.contour(np.array([x])), walls.facets, abd, stiff * shear, t)


@pytest.mark.parametrize("name", DECAY)
def test_decay_lengths(name):
    modes = distortion.modes_of(ring_at(name, stiff=1e4))
    assert 1e3 * (4 / modes.eigenvalue[:8]) ** 0.25 == pytest.approx(DECAY[name], rel=0.01)


def test_modes_of_a_round_tube_are_those_of_its_ring(monkeypatch):
    """lambda = D (n^2 - 1)^2 / R^4 over (E t R^2 / n^4 + D), the semi-membrane shell of Vlasov (from memory)."""
    monkeypatch.setattr(distortion, "CORNER", 16)
    E, R, t = 70e9, 0.05, 0.002
    tube = round_tube(np.array([R]), np.full((1, 4), t))
    law = np.broadcast_to(iso(E, 0.0, t), (1, 4, 6, 6))
    shear = np.broadcast_to(1e12 * np.eye(2), (1, 4, 2, 2))
    ring = distortion.ring_of(tube, distortion.facets_of(tube), law, shear, np.full((1, 4), t))
    n, D = np.array([2, 2, 3, 3, 4, 4]), E * t**3 / 12
    closed = D * (n**2 - 1) ** 2 / R**4 / (E * t * R**2 / n**4 + D)
    assert distortion.modes_of(ring).eigenvalue[:6] == pytest.approx(closed, rel=0.01)


def test_ramps_between_unequal_walls_have_their_mean():
    """At both ends of each flat wall: between caps of 7.6 mm and webs of 6.1 mm, corners as the caps."""
    walls, _ = walls_of("lam")
    t, facets = ring_at("lam").thickness[0], walls.facets
    cap, web = t.max(), t.min()
    ramps = (facets.wall % 2 == 0) & ((facets.start == 0.0) | (facets.end == 1.0))
    assert (cap, web) == pytest.approx((7.612e-3, 6.092e-3))
    assert ramps.sum() == 8
    assert t[ramps & np.isin(facets.wall, [2, 6])] == pytest.approx(np.full(4, (cap + web) / 2))
    assert t[~ramps & np.isin(facets.wall, [2, 6])] == pytest.approx(web)
    law = ring_at("lam").law[0]
    assert law[ramps & (facets.wall == 2)] == pytest.approx(
        np.stack([(law[facets.wall == 1][0] + law[facets.wall == 2][3]) / 2] * 2), rel=0.05, abs=1e6
    )


@pytest.mark.parametrize("x", [0.05, 0.45])
def test_shapes_carried_to_another_section_stretch_no_wall_and_carry_no_flow(x):
    """Nor do they pull on the ring of the static turns: the turns are in equilibrium."""
    there, modes = ring_at("taper", x), distortion.modes_of(ring_at("taper"))
    plane = distortion.carried(there, modes.plane[..., :8])
    stretch = np.einsum("sfni,snim->sfm", distortion.hoop_stretch(there), plane[:, :, :2])
    assert abs(stretch).max() < 1e-12 * abs(plane[:, :, :2]).max()
    size = abs(plane[:, :, :2]).max() * there.length.sum()
    assert abs(distortion.circulation(there, plane)).max() < 1e-12 * size
    count = there.nodes.shape[1]
    turns = np.zeros((1, count, 3, count))
    turns[0, :, 2] = np.eye(count)
    nothing = np.zeros((1, count, 1))
    every = distortion.Functions(nothing, np.concatenate([plane, turns], axis=-1))
    S = distortion.section_matrices(there, every)[0, 0, 0]
    assert abs(S[8 : 8 + count, :8]).max() < 1e-10 * abs(S[:8, :8]).max() * 1e2


def test_lowest_shape_of_a_square_tube_is_the_lozenge():
    """Each corner moves along its diagonal, opposite ones alike: Y = z, Z = y up to a factor."""
    ring = ring_at("iso3")
    plane = distortion.modes_of(ring).plane[0, :, :2, 0]
    for i, other in ((0, 1), (1, 0)):
        along = np.corrcoef(plane[:, i], ring.nodes[0, :, other])[0, 1]
        assert abs(along) > 0.98


@pytest.mark.parametrize("name", ["iso3", "lam"])
def test_states_without_end_effects_have_unit_resultants(name):
    """N, T, M2, M3 each alone; V2 and V3 alone but for what the walls' own transverse shear leaves."""
    ring = ring_at(name)
    modes = distortion.modes_of(ring)
    plane = np.concatenate([distortion.rigid(ring), modes.plane[..., :6]], axis=-1)
    own = np.concatenate([np.ones((1, ring.nodes.shape[1], 1)), ring.nodes], axis=-1)
    warping = np.concatenate([own, modes.twist[None, :, None], modes.warping[None, :, :6]], axis=-1)
    S = distortion.section_matrices(ring, distortion.Functions(warping, plane))
    made = distortion.prismatic_states(S, plane.shape[-1])[1][0]
    scale = np.array([1, 1, 1, 0.1, 0.1, 0.1])
    fixed = made[np.ix_([0, 3, 4, 5], [0, 3, 4, 5])]
    assert fixed == pytest.approx(np.eye(4), abs=1e-8)
    assert made[1:3, 1:3] == pytest.approx(np.eye(2), abs=1e-8)
    assert (made * scale[None] / scale[:, None])[[0, 4, 5]][:, 1:3] == pytest.approx(0, abs=1e-6)


def test_a_section_that_is_no_single_ring_is_refused():
    open_walls = network([[0.0, 0.0], [0.1, 0.0], [0.1, -0.1]], [[0, 1], [1, 2]])
    with pytest.raises(ValueError, match="no single ring"):
        distortion.facets_of(open_walls)


def test_modes_take_less_than_20_milliseconds():
    ring, runs = ring_at("lam"), []
    for _ in range(5):
        start = time.process_time()
        distortion.modes_of(ring)
        runs.append(time.process_time() - start)
    assert min(runs) < 0.02
