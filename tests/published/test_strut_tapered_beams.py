"""Vibration of tapered cantilevers."""

import numpy as np
import pytest
from printed import printed

from beam.strut import Span


# omega L^2 sqrt(rho A_root/(E I_root)) of a cantilever that tapers to a point: Kirchhoff (1879), as given in
# S. P. Timoshenko, Vibration Problems in Engineering; from memory. Wedge: depth only. Cone: depth and width.
# Of the cone the first only: where EI vanishes with the fourth power the last piece adds a mode of its own.
@pytest.mark.parametrize(("bending", "mass", "modes"), [(3, 1, ["5.315", "15.207"]), (4, 2, ["8.719"])])
def test_pointed_cantilevers_vibrate(bending, mass, modes):
    def stiffness(s):
        h = 1 - s
        return np.diag([1e9 * h**mass] * 3 + [1e9 * h**bending] + [h**bending] * 2)

    def inertia(s):
        h = 1 - s
        return np.diag([h**mass] * 3 + [1e-9 * h**bending] * 3)

    omega = 2 * np.pi * Span(axis=1.0, stiffness=stiffness, inertia=inertia).frequencies(2 * len(modes))
    for found, value in zip(omega[::2], modes, strict=True):
        assert found == printed(value)
