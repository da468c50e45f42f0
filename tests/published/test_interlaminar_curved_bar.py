"""Curved bars against printed stresses."""

import pytest
from printed import printed

from laminate.interlaminar import corner_stress

ISOTROPIC = {"E_hoop": 70e9, "E_radial": 70e9, "G": 70e9 / 2.6, "nu": 0.3}


# S. P. Timoshenko, J. N. Goodier, Theory of Elasticity, 3rd ed. 1970, art. 29: hoop stress times a^2/M at the
# inner and the outer radius, from memory.
@pytest.mark.parametrize(
    ("ratio", "inner", "outer"),
    [(1.3, "73.05", "-61.35"), (2.0, "7.755", "-4.917"), (3.0, "2.292", "-1.130")],
)
def test_pure_bending(ratio, inner, outer):
    a, M = 4e-3, 50.0
    found = corner_stress(a, a * (ratio - 1), M, points=2, **ISOTROPIC)
    assert found.hoop[0] * a**2 / M == printed(inner)
    assert found.hoop[1] * a**2 / M == printed(outer)
