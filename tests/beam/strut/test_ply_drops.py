import dataclasses

import numpy as np
import pytest
from numpy.testing import assert_allclose
from struts import LENGTH, MOLD, TAPE, book, ply, strut

from beam.strut import BookPly, PlyBook, PointLoads, Strut, at_steps, end_of_ply, steep, steps

STRUT = strut()
LOADS = PointLoads(at=[0.5, LENGTH], force=np.random.default_rng(1).normal(size=(3, 2, 3)) * 5e3)


def test_steps_and_their_rate():
    found = [s for s in steps(book()) if s.wall == "inboard"]
    assert [(s.station, s.ends, len(s.plies)) for s in found] == [(0.3, True, 6), (0.4, True, 6)]
    assert found[0].thickness == pytest.approx(6 * 0.2e-3)
    assert found[0].run == pytest.approx(0.1), "to the next step"
    assert found[1].run == pytest.approx(LENGTH - 0.4), "to the tip"
    assert found[0].rate == pytest.approx(0.1 / 1.2e-3)


def test_a_ply_that_begins_runs_up_from_the_inboard_side():
    b = PlyBook((ply(), ply(start=0.25, end=0.5)))
    begin, end = steps(b)
    assert (begin.ends, begin.station, begin.run) == (False, 0.25, 0.25)
    assert (end.ends, end.station) == (True, 0.5)
    assert end.run == pytest.approx(LENGTH - 0.5)


@pytest.mark.parametrize(("gap", "count"), [(0.0041, 0), (0.0039, 1)])
def test_twenty_lengths_per_thickness(gap, count):
    """Common practice, no source: 20 x 0.2 mm = 4 mm for one ply."""
    b = PlyBook((ply(), ply(end=0.3), ply(end=0.3 + gap)))
    assert len(steep(b)) == count
    assert len(steep(b, least_rate=10.0)) == 0


def test_end_of_ply_frees_the_energy_of_a_cut_ply_whatever_the_layer():
    N, Ad, Ac = 5e5, 3e7, 9e7
    for g in (1e13, 1e15):
        for faces in (1, 2):
            found = end_of_ply(N * Ad / (Ad + Ac), Ad, Ac, layer_stiffness=g, faces=faces)
            assert found.energy_release * faces == pytest.approx(N**2 / 2 * (1 / Ac - 1 / (Ac + Ad)))


def test_end_of_ply_against_the_long_lap_of_volkersen():
    """Volkersen's single lap, derived: 16.942 MPa for 100 N/mm, E t 105 kN/mm both, G/t 6 GPa/mm, 20 mm.

    At its end a strap loses half of the load over the decay length; the finite lap multiplies by coth(b l/2).
    """
    found = end_of_ply(50e3, 105e6, 105e6, layer_stiffness=1.2e9 / 0.2e-3, faces=1)
    finite = found.shear / np.tanh(0.020 / found.decay / 2)
    assert finite / 1e6 == pytest.approx(16.942, abs=5e-4)


def test_steps_of_a_strut_in_all_cases():
    found = at_steps(STRUT, LOADS, resin_shear_modulus=1.3e9, resin_thickness=20e-6)
    assert len(found) == 16
    for step, estimate in found:
        assert estimate.shear.shape == (3,)
        assert (estimate.shear > 0).all(), step
    twice = at_steps(
        STRUT,
        PointLoads(at=LOADS.at, force=2 * LOADS.force),
        resin_shear_modulus=1.3e9,
        resin_thickness=20e-6,
    )
    for (_, a), (_, b) in zip(found, twice, strict=True):
        assert_allclose(b.shear, 2 * a.shear)
        assert_allclose(b.energy_release, 4 * a.energy_release)
    with pytest.raises(ValueError, match="> 0"):
        at_steps(STRUT, LOADS, resin_shear_modulus=0.0, resin_thickness=20e-6)


def test_shear_at_a_step_is_that_of_its_own_ply():
    """One ply of three ends: on the surface it leaves its load through one face, in the middle through two."""
    walls = MOLD.wall_names
    for place, faces in ((0, 1), (1, 2), (2, 1)):
        plies = [BookPly(lamina=TAPE, angle_deg=0, walls=walls, start=0, end=LENGTH)] * 3
        plies[place] = dataclasses.replace(plies[place], end=0.3)
        built = Strut(MOLD, PlyBook(tuple(plies)))
        found = at_steps(built, LOADS, resin_shear_modulus=1e9, resin_thickness=1e-5)
        here = 0.3 - 2e-9 * LENGTH
        running = built.wall_loads(built.span.forces(LOADS, [here])[:, 0], here, [0, 0.5, 1])
        for step, estimate in found:
            N = np.abs(running[:, walls.index(step.wall), :, 0]).max(axis=-1)
            Et = TAPE.E1 * TAPE.thickness
            exact = end_of_ply(N / 3, Et, 2 * Et, layer_stiffness=1e14, faces=faces)
            assert_allclose(estimate.shear, exact.shear, rtol=1e-9)
