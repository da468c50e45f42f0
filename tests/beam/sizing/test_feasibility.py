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
    for piece in (Piece(0, 3), Piece(1, 6), Piece(2, 0)):
        part = JUDGE.reserve(which, at, F, (piece,))
        np.testing.assert_allclose(
            part[:, :, piece.state, piece.wall], whole[:, :, piece.state, piece.wall], rtol=1e-12
        )
    only = JUDGE.reserve(which, at, F, (Piece(1, 6),))
    assert np.isfinite(only).sum() == 4 * len(PLACES)


def test_curved_walls_do_not_buckle_here():
    F = np.broadcast_to([[-5e4, 0.0, 0.0, 0.0, 0.0, 0.0]], (1, 1, 6))
    got = JUDGE.reserve(np.array([3]), np.array([0.1]), F)[0, 0, -1]
    flat = [name in MOLD_LINE.flat_walls for name in WALLS]
    assert np.isfinite(got[flat]).all()
    assert np.isinf(got[~np.array(flat)]).all()
