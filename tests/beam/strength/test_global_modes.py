"""Modes of the whole strut, and the envelope along the span."""

from dataclasses import replace

import numpy as np
import pytest
from small_strut import CASES, LENGTH, LOADS, MOLD_LINE, REQUIREMENT, TAPE, lattice

from beam.dossier.tables import lowest
from beam.strength.global_modes import WHOLE_STRUT
from beam.strength.margins import margins
from beam.strut import BookPly, MoldLine, PlyBook, PointLoads, Strut

STRUT = Strut(MOLD_LINE, lattice().book([[4, 2, 1], [3, 1, 1]]))


def test_column_is_euler_s_with_haringx_s_shear():
    """Prismatic cantilever, extension left out: P (1 + P/kGA) = pi^2 EI / (4 L^2); Haringx (from memory)."""
    line = MoldLine(
        root=[0, 0, 0],
        tip=[0, 0, -2],
        stations=[0, 2],
        width=[0.1] * 2,
        height=[0.08] * 2,
        corner_radius=[0.02] * 2,
    )
    ply = BookPly(lamina=TAPE, angle_deg=0.0, walls=line.wall_names, start=0.0, end=2.0)
    strut = Strut(line, PlyBook((ply,) * 6))
    push = np.array([1e5, 2e5])
    table = margins(
        strut, PointLoads(at=[2.0], force=-push[:, None, None] * [1.0, 0, 0]), REQUIREMENT, stations=[1.0]
    )
    C = strut.section(1.0).compliance
    euler = np.pi**2 / 16 / max(C[4, 4], C[5, 5])
    shear = C[2, 2] if C[4, 4] > C[5, 5] else C[1, 1]
    rows = table.xs("column", level="mode")
    np.testing.assert_allclose(
        rows["ratio"], (np.sqrt(1 + 4 * euler * shear) - 1) / (2 * shear) / push, rtol=1e-6
    )
    np.testing.assert_allclose(rows["reserve"], rows["ratio"] / 1.8, rtol=1e-12)
    assert set(rows.index.get_level_values("wall")) == {WHOLE_STRUT}


def test_limits_on_the_tip_are_held_at_limit_load():
    tip = STRUT.span.displacement(LOADS, at=[LENGTH])[:, 0]
    limited = replace(REQUIREMENT, deflection_limit=0.01, twist_limit=0.02)
    table = margins(STRUT, LOADS, limited, stations=[0.1], cases=CASES)
    for mode, ratio in (
        ("deflection", 0.01 / np.linalg.norm(tip[:, :3], axis=1)),
        ("twist", 0.02 / abs(tip[:, 3])),
    ):
        rows = table.xs(mode, level="mode")
        np.testing.assert_allclose(rows["ratio"], ratio, rtol=1e-12)
        np.testing.assert_allclose(rows["margin"], ratio - 1, rtol=1e-12)
    without = margins(STRUT, LOADS, REQUIREMENT, stations=[0.1], whole_strut=False)
    assert WHOLE_STRUT not in set(without.index.get_level_values("wall"))
    with pytest.raises(ValueError, match=r"twist_limit.*> 0"):
        replace(REQUIREMENT, twist_limit=0.0)


def test_envelope_over_cases_along_the_span():
    table = margins(STRUT, LOADS, REQUIREMENT, cases=CASES, stations=[0.0, 0.1, 0.3])
    rows = lowest(table, None, by=("station", "mode")).set_index(["station", "mode"])["margin"]
    expected = table["margin"].groupby(level=["station", "mode"], observed=True).min()
    assert len(rows) == len(expected)
    np.testing.assert_array_equal(rows.loc[expected.index], expected)
    with pytest.raises(ValueError, match="lowest: by"):
        lowest(table, by=("station", "leg"))


def test_a_station_given_twice_is_refused():
    with pytest.raises(ValueError, match="all different"):
        margins(STRUT, LOADS, REQUIREMENT, stations=[0.1, 0.1])
