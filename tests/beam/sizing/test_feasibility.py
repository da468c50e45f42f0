"""The batch judge of the search against the margin table."""

import numpy as np
import pytest
from small_strut import LOADS, MOLD_LINE, REQUIREMENT, WALLS, lattice

from beam.sizing.feasibility import Feasibility, Piece
from beam.strength.section_forces import PLACES
from beam.strength.station_ratios import station_ratios
from beam.strut import Strut

LATTICE = lattice(2, most=(3, 2, 2))
JUDGE = Feasibility(lattice=LATTICE, requirement=REQUIREMENT)
FACTORS = {"limit": REQUIREMENT.limit_factor, "ultimate": REQUIREMENT.ultimate_factor}


@pytest.mark.parametrize("first", [0, 1])
def test_equals_the_margin_table_for_every_candidate(first):
    """Every candidate at two of four stations, in turn, with what taper adds in it held."""
    judge = Feasibility(lattice=LATTICE, requirement=REQUIREMENT)
    station = np.resize(np.roll([0.0, 0.19, 0.25, 0.41], -first), len(LATTICE.candidates))
    counts = LATTICE.candidates
    every = np.arange(len(counts))
    struts = [Strut(MOLD_LINE, LATTICE.book(np.tile(n, (2, 1)))) for n in counts]
    forces = np.moveaxis(struts[0].span.forces(LOADS, at=np.unique(station)), 0, 1)
    forces = forces[np.searchsorted(np.unique(station), station)]
    for i, strut in enumerate(struts):
        judge.held.clear()
        judge.hold([(strut, LOADS, np.arange(3))], station[[i]])
        got = judge.reserve(every[[i]], station[[i]], forces[[i]])[0]
        expected = np.full(got.shape[:-1], np.inf)
        for r in station_ratios(strut, float(station[i]), forces[i][None], REQUIREMENT):
            if r.mode in ("curved wall buckling", "corner opening"):
                continue
            state = len(REQUIREMENT.services) if r.mode == "buckling" else r.service
            expected[:, state, r.wall] = np.minimum(expected[:, state, r.wall], r.ratio.min(axis=1))
        np.testing.assert_allclose(got.min(axis=-1), expected / REQUIREMENT.ultimate_factor, rtol=1e-9)


def test_pieces_are_a_part_of_the_whole():
    F = np.broadcast_to([[3e3, 1e3, -2e3, 500.0, 900.0, -1500.0]], (4, 1, 6))
    at, which = np.array([0.0, 0.1, 0.2, 0.3]), np.array([0, 5, 7, 11])
    whole = JUDGE.reserve(which, at, F)
    pieces = Piece(0, 3, "tsai_wu"), Piece(1, 6, "max_strain"), Piece(0, 0, "buckling")
    for piece in pieces:
        alone = JUDGE.in_piece(
            piece,
            which,
            at,
            F[:, 0],
            PLACES,
            {k: np.full(4, v) for k, v in FACTORS.items()},
            np.zeros(4, int),
        )
        np.testing.assert_allclose(
            JUDGE.reserve(which, at, F, (piece,)).min(axis=(1, 2, 3, 4)), alone, rtol=1e-12
        )
    every = [JUDGE.reserve(which, at, F, (piece,)) for piece in JUDGE.pieces]
    np.testing.assert_array_equal(np.min(every, axis=0), whole)


def test_held_loads_count_once_in_every_judgement():
    """In one case, in all, and in the screen: three ways to the same reserve with random held loads."""
    rng = np.random.default_rng(2)
    judge = Feasibility(lattice=LATTICE, requirement=REQUIREMENT)
    at, which = np.array([0.1, 0.3, 0.1]), np.array([2, 9, 15])
    held = {s: rng.normal(size=(5, 8, len(PLACES), 6)) * [3e4, 3e3, 1e4, 5.0, 5.0, 2.0] for s in (0.1, 0.3)}
    judge.held.update(dict.fromkeys(range(2), held))
    F = rng.normal(size=(3, 5, 6)) * np.array([1e4, 2e3, 2e3, 2e2, 5e2, 5e2])
    factors = {level: rng.uniform(1.0, 2.0, 5) for level in FACTORS}
    whole = judge.reserve(which, at, F, factors=factors)
    slow = judge.worst(which, at, F, factors, screen=False)
    np.testing.assert_allclose(
        np.min([one.reserve for one in slow], axis=0), whole.min(axis=(1, 2, 3, 4)), rtol=1e-12
    )
    for quick, one in zip(judge.worst(which, at, F, factors), slow, strict=True):
        assert (one.reserve[np.isinf(quick.reserve)] >= 1).all()
    piece, case = Piece(1, 3, "tsai_wu"), np.array([4, 0, 2])
    alone = judge.in_piece(piece, which, at, F[range(3), case], PLACES,
                           {level: one[case] for level, one in factors.items()}, case)  # fmt: skip
    every = judge.reserve(which, at, F, (piece,), factors=factors).min(axis=(2, 3, 4))
    np.testing.assert_allclose(alone, every[range(3), case], rtol=1e-12)
    without = Feasibility(lattice=LATTICE, requirement=REQUIREMENT).reserve(which, at, F, factors=factors)
    finite = np.isfinite(without)
    assert abs(whole[finite] / without[finite] - 1).max() > 0.01


def test_what_is_safe_without_a_closer_look_is_safe():
    """Corners of the box around many cases, against every case."""
    rng = np.random.default_rng(4)
    F = (
        rng.normal(size=(24, 40, 6))
        * np.array([2e4, 4e3, 4e3, 5e2, 1e3, 1e3])
        * rng.uniform(0.2, 2.0, (24, 1, 1))
    )
    at, which = rng.uniform(0.0, 0.5, 24), rng.integers(0, len(LATTICE.candidates), 24)
    factors = {level: np.full(40, value) for level, value in FACTORS.items()}
    quick = JUDGE.worst(which, at, F, factors)
    slow = JUDGE.worst(which, at, F, factors, screen=False)
    sure = 0
    for one, other in zip(quick, slow, strict=True):
        safe = np.isinf(one.reserve)
        assert (other.reserve[safe] >= 1).all()
        np.testing.assert_array_equal(one.reserve[~safe], other.reserve[~safe])
        sure += safe.sum()
    lowest = np.min([one.reserve for one in slow], axis=0)
    np.testing.assert_allclose(lowest, JUDGE.reserve(which, at, F).min(axis=(1, 2, 3, 4)), rtol=1e-12)
    assert 0 < sure < len(slow) * 24
    assert (lowest < 1).any()


def test_curved_walls_do_not_buckle_here():
    F = np.broadcast_to([[-5e4, 0.0, 0.0, 0.0, 0.0, 0.0]], (1, 1, 6))
    got = JUDGE.reserve(np.array([3]), np.array([0.1]), F)[0, 0, -1]
    flat = [name in MOLD_LINE.flat_walls for name in WALLS]
    assert np.isfinite(got[flat]).all()
    assert np.isinf(got[~np.array(flat)]).all()
