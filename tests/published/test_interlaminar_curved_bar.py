"""Curved bars against printed stresses."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from printed import printed

from laminate.interlaminar import corner_stress, radial_peak

ISOTROPIC = {"E_hoop": 70e9, "E_radial": 70e9, "G": 70e9 / 2.6, "nu": 0.3}


# S. P. Timoshenko, J. N. Goodier, Theory of Elasticity, 3rd ed. 1970, art. 29: hoop stress times a^2/M at the
# inner and the outer radius, from memory; the peak of the radial stress and its place derived.
@pytest.mark.parametrize(
    ("ratio", "inner", "outer", "peak", "place"),
    [
        (1.3, "73.05", "-61.35", "4.3911", "1.1337"),
        (2.0, "7.755", "-4.917", "1.0699", "1.3596"),
        (3.0, "2.292", "-1.130", "0.44139", "1.5722"),
    ],
)
def test_pure_bending(ratio, inner, outer, peak, place):
    a, M = 4e-3, 50.0
    found = corner_stress(a, a * (ratio - 1), M, points=2, **ISOTROPIC)
    assert found.hoop[0] * a**2 / M == printed(inner)
    assert found.hoop[1] * a**2 / M == printed(outer)
    stress, radius = radial_peak(a, a * (ratio - 1), M, **ISOTROPIC)
    assert stress * a**2 / M == printed(peak)
    assert radius / a == printed(place)


@pytest.mark.parametrize(("ratio", "below"), [(1.3, "0.001"), (2.0, "0.009"), (3.0, "0.019")])
def test_quick_estimate(ratio, below):
    """3 M/(2 t sqrt(a b)), common in corner sizing, lies this far below the peak. Derived."""
    estimate = 3 / (2 * (ratio - 1) * np.sqrt(ratio))
    peak, _ = radial_peak(1.0, ratio - 1, 1.0, **ISOTROPIC)
    assert peak / estimate - 1 == printed(below)


@pytest.mark.parametrize("ratio", [1.2, 2.0, 3.0])
def test_force_at_the_end(ratio):
    """Radial force P on the section theta = 0: Timoshenko and Goodier, art. 33, from memory.

    sigma_r = (P/N) (r + a^2 b^2/r^3 - (a^2+b^2)/r) sin(theta), N = a^2 - b^2 + (a^2+b^2) ln(b/a),
    sigma_theta = (P/N) (3 r - a^2 b^2/r^3 - (a^2+b^2)/r) sin(theta).
    """
    a, b = 1.0, ratio
    # At theta = 90 degrees the resultant N passes through the center of the arc, so that the moment about
    # mid-thickness is N (a + b)/2, opening.
    found = corner_stress(a, b - a, (a + b) / 2, 1.0, 0.7, **ISOTROPIC)
    r = found.radius
    scale = a**2 - b**2 + (a**2 + b**2) * np.log(b / a)
    radial = (r + a**2 * b**2 / r**3 - (a**2 + b**2) / r) / scale
    hoop = (3 * r - a**2 * b**2 / r**3 - (a**2 + b**2) / r) / scale
    # Their P turns both signs: here N is tension.
    assert_allclose(found.radial, -radial, atol=1e-10 * abs(radial).max())
    assert_allclose(found.hoop, -hoop, atol=1e-10 * abs(hoop).max())
    assert_allclose(found.shear, -0.7 * radial, atol=1e-10 * abs(radial).max())
