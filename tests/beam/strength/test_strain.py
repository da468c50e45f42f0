"""The strains that the plots draw are those of the margins."""

from dataclasses import replace

import numpy as np
import pytest
from small_strut import CASES, CLOTH, LOADS, MOLD_LINE, REQUIREMENT, TAPE, lattice

from beam.strength.margins import margins
from beam.strength.requirement import Service
from beam.strength.strain import (
    FIBER_COMPRESSION,
    FIBER_TENSION,
    SHEAR,
    TRANSVERSE_COMPRESSION,
    TRANSVERSE_TENSION,
    span_strain,
)
from beam.strut import PointLoads, Strut

STRUT = Strut(MOLD_LINE, lattice().book([[4, 2, 1], [3, 1, 1]]))
COLD = REQUIREMENT.services[1]
STATIONS = np.array([0.0, 0.11, 0.24, 0.37, 0.5])


def test_signs_and_allowables():
    got = span_strain(STRUT, LOADS, REQUIREMENT, COLD, stations=STATIONS)
    assert got.strain.shape == (2, 5, 8, 5)
    tape, cloth = (got.laminae.index(lamina.name) for lamina in (TAPE, CLOTH))
    flat = [got.walls.index(name) for name in ("aft", "forward")]
    assert np.isnan(got.strain[tape][:, flat]).all()
    assert np.isfinite(np.delete(got.strain[tape], flat, axis=1)).all()
    assert np.isfinite(got.strain[cloth]).all()
    there = got.strain[cloth]
    assert (there[..., FIBER_TENSION] >= there[..., FIBER_COMPRESSION]).all()
    assert (there[..., TRANSVERSE_TENSION] >= there[..., TRANSVERSE_COMPRESSION]).all()
    assert (there[..., SHEAR] >= 0).all()
    a = TAPE.allowables
    np.testing.assert_allclose(got.allowable[tape], [a.e1t, -a.e1c, a.g12, a.e2t, -a.e2c])


def test_a_strain_beyond_its_allowable_is_a_negative_margin():
    """Where a drawn strain passes its drawn line, maximum strain has a margin below zero there."""
    heavy = PointLoads(at=LOADS.at, force=1.6 * LOADS.force, moment=1.6 * LOADS.moment)
    got = span_strain(STRUT, heavy, REQUIREMENT, COLD, stations=STATIONS)
    table = margins(STRUT, heavy, REQUIREMENT, stations=STATIONS, cases=CASES)
    worst = (
        table.xs("max_strain", level="mode").groupby(level=["station", "wall"], observed=True)["margin"].min()
    )
    used = got.strain / got.allowable[:, None, None]
    over = (np.nan_to_num(used) > 1).any(axis=(0, -1))
    assert over.any()
    assert not over.all()
    for i, s in enumerate(STATIONS):
        for w, name in enumerate(got.walls):
            if over[i, w]:
                assert worst[s, name] < 0


def test_no_load_leaves_the_residual():
    nothing = PointLoads(at=[0.5], force=np.zeros((1, 1, 3)))
    cold = span_strain(STRUT, nothing, REQUIREMENT, COLD, stations=[0.1])
    tape = cold.strain[cold.laminae.index(TAPE.name), 0, 0]
    assert tape[FIBER_TENSION] < 0, "along its fibers the tape is squeezed by the cloth, which shrinks more"
    assert tape[TRANSVERSE_COMPRESSION] > 0, "across them it would shrink more, and is pulled"
    assert np.abs(tape[SHEAR]) < 1e-3 * np.abs(tape[FIBER_TENSION])


def test_names_the_case_that_makes_the_extreme():
    got = span_strain(STRUT, LOADS, REQUIREMENT, COLD, stations=STATIONS)
    for case in range(3):
        one = PointLoads(
            at=LOADS.at, force=LOADS.force[case : case + 1], moment=LOADS.moment[case : case + 1]
        )
        alone = span_strain(STRUT, one, REQUIREMENT, COLD, stations=STATIONS)
        mine = got.case == case
        np.testing.assert_allclose(got.strain[mine], alone.strain[mine], rtol=1e-12)
        assert not (alone.strain[..., SHEAR] > got.strain[..., SHEAR] + 1e-15).any()


def test_governing_is_the_station_of_the_extreme():
    got = span_strain(STRUT, LOADS, REQUIREMENT, COLD, stations=STATIONS)
    for lamina in range(len(got.laminae)):
        for wall in range(len(got.walls)):
            for part, best in ((FIBER_TENSION, np.max), (FIBER_COMPRESSION, np.min), (SHEAR, np.max),
                               (TRANSVERSE_TENSION, np.max), (TRANSVERSE_COMPRESSION, np.min)):  # fmt: skip
                at = got.governing(lamina, wall, part)
                column = got.strain[lamina, :, wall, part]
                assert (at is None) == bool(np.isnan(column).all())
                if at is not None:
                    assert column[at] == best(column)


def test_the_lowest_maximum_strain_is_one_of_the_extremes():
    """Of pure load (at the cure temperature) reserve is allowable over drawn strain, and the lowest the least."""
    warm = Service(name="cure", temperature=353.0)
    asked = replace(REQUIREMENT, services=(warm,), credit_relief=True)
    got = span_strain(STRUT, LOADS, asked, warm, stations=STATIONS)
    reserve = got.allowable[:, None, None] / got.strain
    lowest = np.nanmin(np.where(reserve > 0, reserve, np.inf), axis=(0, -1))
    table = margins(STRUT, LOADS, asked, stations=STATIONS, cases=CASES).xs("max_strain", level="mode")
    worst = table.groupby(level=["station", "wall"], observed=True)["reserve"].min()
    for i, s in enumerate(STATIONS):
        for w, name in enumerate(got.walls):
            assert lowest[i, w] == pytest.approx(worst[s, name], rel=1e-9)
