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
    """Every candidate at two of four stations, in turn."""
    station = np.resize(np.roll([0.0, 0.19, 0.25, 0.41], -first), len(LATTICE.candidates))
    counts = LATTICE.candidates
    every = np.arange(len(counts))
    struts = [Strut(MOLD_LINE, LATTICE.book(np.tile(n, (2, 1)))) for n in counts]
    forces = np.moveaxis(struts[0].span.forces(LOADS, at=np.unique(station)), 0, 1)
    forces = forces[np.searchsorted(np.unique(station), station)]
    got = JUDGE.reserve(every, station, forces)
    for i, strut in enumerate(struts):
        expected = np.full(got.shape[1:-1], np.inf)
        for r in station_ratios(strut, float(station[i]), forces[i][None], REQUIREMENT):
            if r.mode in ("curved wall buckling", "corner opening"):
                continue
            state = len(REQUIREMENT.services) if r.mode == "buckling" else r.service
            expected[:, state, r.wall] = np.minimum(expected[:, state, r.wall], r.ratio.min(axis=1))
        np.testing.assert_allclose(got[i].min(axis=-1), expected / REQUIREMENT.ultimate_factor, rtol=1e-9)


def test_pieces_are_a_part_of_the_whole():
    F = np.broadcast_to([[3e3, 1e3, -2e3, 500.0, 900.0, -1500.0]], (4, 1, 6))
    at, which = np.array([0.0, 0.1, 0.2, 0.3]), np.array([0, 5, 7, 11])
    whole = JUDGE.reserve(which, at, F)
    pieces = Piece(0, 3, "tsai_wu"), Piece(1, 6, "max_strain"), Piece(0, 0, "buckling")
    for piece in pieces:
        alone = JUDGE.in_piece(
            piece, which, at, F[:, 0], PLACES, {k: np.full(4, v) for k, v in FACTORS.items()}
        )
        np.testing.assert_allclose(
            JUDGE.reserve(which, at, F, (piece,)).min(axis=(1, 2, 3, 4)), alone, rtol=1e-12
        )
    every = [JUDGE.reserve(which, at, F, (piece,)) for piece in JUDGE.pieces]
    np.testing.assert_array_equal(np.min(every, axis=0), whole)


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
