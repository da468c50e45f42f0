"""Landing spectrum: cycles counted by hand, against the whole block of a thousand landings, and in a strut."""

from dataclasses import replace

import landing_spectrum
import numpy as np
import pytest
from small_strut import INVENTED, LENGTH, LOADS, MOLD_LINE, REQUIREMENT, STRAIGHT, TAPE, WALLS, lattice

from beam.strength import (
    LandingSpectrum,
    RepeatedLoad,
    load_enhancement,
    no_growth_reserve,
    rainflow,
    repeated_strain,
)
from beam.strength.damage import NO_GROWTH_SHARE
from beam.strut import BookPly, PlyBook, PointLoads, Strut


def load(name, levels, exceedances, steps):
    return RepeatedLoad(
        name=name, unit="-", levels=levels, exceedances=exceedances, steps=steps, source=INVENTED
    )


SINK = load("sink", [0, 1, 2, 3], [1000, 40, 2, 0], ["down", "up"])
ROLL = load("roll", [0, 1, 2, 3], [5000, 900, 20, 0], ["up", "down"])
BRAKE = load("brake", [0, 1], [2000, 0], ["brake"])
SMALL = LandingSpectrum(landing=SINK, ground=[ROLL, BRAKE])


def test_one_landing_by_hand():
    """0, -1, 4, standing 1, braking 2 and back twice, 0: one range of 5, and 1 to 2 twice; all a thousand times."""
    spectrum = LandingSpectrum(landing=load("sink", [0, 1], [1000, 0], ["back", "up"]), ground=[BRAKE])
    found = spectrum.cycles([1.0, -1.0, 4.0, 2.0])
    np.testing.assert_allclose(found, [[5.0, 1.5, 1001.0], [1.0, 1.5, 2000.0]])


def test_block_of_a_thousand_landings():
    """Second way: every landing written out, the hardest first, and counted in one run; never less, a little more."""
    rng = np.random.default_rng(4)
    for _ in range(6):
        values = rng.normal(size=len(SMALL.rows)) * [1.0, *[4.0] * (len(SMALL.rows) - 1)]
        given = dict(zip(SMALL.rows, values, strict=True))
        stand = values[0]

        def steps(one, level, given=given):
            return [given[row] for row in given if row.name == one.name and row.level == level]

        path = []
        for rank in range(1000):
            path += [0.0, *steps(SINK, 3 if rank < 2 else 2 if rank < 40 else 1), stand]
            for one in (ROLL, BRAKE):
                for level, count in zip(one.levels[1:], one.counts, strict=True):
                    times = int(count // 1000) + (rank < count % 1000)
                    path += [*steps(one, level), stand] * times
        block = rainflow(path)
        found = SMALL.cycles(values)
        assert found[0, 0] == pytest.approx(np.ptp([0.0, *values]), rel=1e-8)
        for power in (3, 8):
            got, whole = ((one[:, 0] ** power * one[:, 2]).sum() for one in (found, block))
            assert whole * (1 - 1e-3) <= got <= whole * 1.1 + found[0, 0] ** power


def test_counts_follow_a_linear_response():
    rng = np.random.default_rng(1)
    values = rng.normal(size=len(SMALL.rows))
    one, two = SMALL.cycles(values), SMALL.cycles(-3e-4 * values)
    np.testing.assert_allclose(two[:, 0], 3e-4 * one[:, 0], rtol=1e-8)
    np.testing.assert_allclose(np.sort(two[:, 1]), np.sort(-3e-4 * one[:, 1]), atol=1e-12)
    assert one[:, 2].sum() == pytest.approx(two[:, 2].sum(), rel=0.2)
    assert len(SMALL.cycles(np.zeros(len(values)))) == 0


def test_default_spectrum():
    spectrum = LandingSpectrum()
    assert spectrum.landing.counts.sum() == 1000
    for one in (spectrum.landing, *spectrum.ground):
        assert one.source.standing == "memory" or "own choice" in one.source.document
    counts = spectrum.cycles([row.level if row.name == "taxi" else 0.0 for row in spectrum.rows])[:, 2]
    assert counts.sum() == pytest.approx(494e3, rel=0.01)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: load("x", [0, 1], [10, 1], ["a"]), "falling to 0"),
        (lambda: load("x", [0, 1], [10, 5, 0], ["a"]), "one for each level"),
        (lambda: load("x", [0, 1, 1], [10, 5, 0], ["a"]), "rising"),
        (lambda: load("x", [0], [0], ["a"]), "two at least"),
        (lambda: LandingSpectrum(landing=ROLL), "one touchdown each"),
        (lambda: LandingSpectrum(landing=SINK, ground=[replace(BRAKE, name="sink")]), "distinct"),
        (lambda: SMALL.cycles([1.0, 2.0]), "got 2 values, must be 14, as rows"),
    ],
)
def test_bad_spectrum(make, words):
    with pytest.raises(ValueError, match=words):
        make()


def test_no_growth_of_a_tube_under_its_spectrum():
    """Axial load on one material: strain N / (E1 A) in every wall; the joint carries N itself."""
    book = PlyBook([BookPly(lamina=TAPE, angle_deg=0.0, walls=WALLS, start=0.0, end=LENGTH)] * 4)
    strut = Strut(STRAIGHT, book)
    N = np.array([2e4 + 1e4 * row.level * (-1 if row.step in ("up", "left") else 1) for row in SMALL.rows])
    loads = PointLoads(at=[LENGTH], force=N[:, None, None] * [1.0, 0.0, 0.0])
    strain = repeated_strain(strut, loads, REQUIREMENT, REQUIREMENT.services[0], stations=[0.0, 0.3])
    for i, s in enumerate((0.0, 0.3)):
        area = strut.section(s).mass_per_length / TAPE.density
        np.testing.assert_allclose(strain[:, i], np.repeat((N / area / TAPE.E1)[:, None], len(WALLS), axis=1))
    cycles, joint = SMALL.cycles(strain[:, 1, 0]), SMALL.cycles(N)
    np.testing.assert_allclose(cycles[:, 0] / cycles[0, 0], joint[:, 0] / joint[0, 0], rtol=1e-7)
    np.testing.assert_allclose(cycles[:, 2], joint[:, 2])
    size = np.abs(cycles[:, 1]) + cycles[:, 0] / 2
    reserve = no_growth_reserve(size, strain=NO_GROWTH_SHARE * 0.003)
    assert reserve.min() == pytest.approx(0.0018 / np.abs(strain[:, 1, 0]).max(), rel=1e-8)


def test_repeated_strain_is_the_most_moving_point():
    """No point of a wall moves more; a fabric counts in both yarn directions."""
    strut = Strut(MOLD_LINE, lattice().book([[4, 2, 1], [3, 1, 1]]))
    found = repeated_strain(strut, LOADS, REQUIREMENT, REQUIREMENT.services[0], stations=[0.1])
    assert found.shape == (3, 1, 8)
    forces = strut.span.forces(LOADS, at=[0.1])[:, 0]
    for w, wall in enumerate(WALLS):
        laminate = strut.ply_book.laminate(wall, 0.1)
        places = np.linspace(0.0, 1.0, 9)
        running = np.moveaxis(strut.wall_loads(forces, 0.1, at=places)[:, w], 1, 0)
        e = laminate.response(N=running[..., :3], M=running[..., 3:]).load_strain
        most = np.ptp(e[..., 0], axis=1).max()
        fabric = [i for i, ply in enumerate(laminate.plies) if ply.lamina.kind == "fabric"]
        most = max(most, np.ptp(e[..., 1][:, :, fabric], axis=1).max())
        assert np.ptp(found[:, 0, w]) == pytest.approx(most, rel=1e-9)


def test_example(capsys):
    """Range of the drag on the pin: spin-up less spring-back of the hardest landing."""
    found = landing_spectrum.main()
    assert found["growth"] > 1
    hardest = 350.0 * 9.80665 * (1 + 0.6 * 3.2004) * 0.8 * (0.5 + 0.4)
    assert f"drag on the pin: largest range {hardest / 1e3:.1f} kN" in capsys.readouterr().out


def test_load_enhancement_where_it_does_not_hold():
    assert load_enhancement(1.0, basis="B", static_reserve=1.2) == pytest.approx(1.177, abs=5e-4)
    with pytest.raises(ValueError, match=r"static_reserve .* got 1.1, must be above the factor 1.177"):
        load_enhancement([10.0, 1.0], basis="B", static_reserve=1.1)
    with pytest.raises(ValueError, match="metal"):
        load_enhancement(1.0, basis="B", metal=True)
    assert load_enhancement(20.0, basis="B", metal=True) == 1.0
