"""The example that compares the mesh with thin-walled theory as walls thicken."""

import contextlib
import io

import numpy as np
import pytest
import thick_walls


@pytest.fixture(scope="module")
def tables():
    """Tables of the example and what it prints."""
    with contextlib.redirect_stdout(io.StringIO()) as printed:
        return thick_walls.main(), printed.getvalue()


def test_theories_part_as_walls_thicken(tables):
    found, printed = tables
    assert printed.count("\n") == 2 * (3 + len(thick_walls.RATIOS))
    for name, table in found.items():
        assert table.shape == (len(thick_walls.RATIOS), 7)
        assert np.abs(table[0]).max() < 0.05, name
        assert (np.abs(table[3]) < 6.0).all(), name
        assert np.abs(table[-1]).max() > 5.0, name


def test_one_laminate_parts_by_the_square(tables):
    """(t/b)^2 in the box of one laminate, t/b in the one where laminates meet; from t/b of 0.01 to 0.03."""
    ratio = np.log(thick_walls.RATIOS[1] / thick_walls.RATIOS[0])
    for name, order in (("extension-twist", 2.0), ("bending-twist", 1.0)):
        first, second = np.abs(tables[0][name][:2]).max(axis=1)
        assert abs(np.log(second / first) / ratio - order) < 0.25, name
