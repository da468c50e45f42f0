"""Flattening of a round tube in bending: L. G. Brazier, Proc. R. Soc. A 116 (1927) 104-114, from memory."""

import numpy as np
import pytest
from section_cases import carbon, metal

from beam.section import solve
from beam.section.outline import round_tube
from beam.section.ovalization import ovalization_loads
from laminate import Laminate, stability

R, T, E, NU = 0.05, 1e-3, 70e9, 0.3
AT = np.linspace(0, 1, 9)


def tube(laminate):
    return solve(round_tube(R), np.stack([laminate.abd] * 4))


@pytest.mark.parametrize("axis", [4, 5])
def test_hoop_moment_and_flattening(axis):
    """w = -zeta R cos 2 phi from the plane of bending, zeta = (1 - nu^2) R^4 kappa^2 / t^2; My = D (w'' + w)/R^2."""
    states, M = tube(metal(T, E, NU)), 900.0
    F = np.zeros(6)
    F[axis] = M
    kappa = states.compliance[axis, axis] * M
    D = E * T**3 / (12 * (1 - NU**2))
    zeta = (1 - NU**2) * R**4 * kappa**2 / T**2
    y = states.contour.position(AT)
    phi = np.arctan2(y[..., 0], y[..., 1]) if axis == 4 else np.arctan2(y[..., 1], y[..., 0])
    Ny, My = np.moveaxis(ovalization_loads(states, F, AT), -1, 0)
    # phi is measured from the side of largest stress, where the tube gets flatter. Wall bending adds (t/R)^2.
    np.testing.assert_allclose(My, -3 * D * zeta / R * np.cos(2 * phi), atol=1e-3 * 3 * D * zeta / R)
    # Half the tube is pressed toward the neutral axis with the sum of Nx kappa.
    largest = E * T * R**2 * kappa**2
    np.testing.assert_allclose(Ny[np.abs(np.cos(phi)) < 1e-9], -largest, rtol=1e-3)


@pytest.mark.parametrize("laminate", [metal(T, E, NU), Laminate.from_code("[0/90]4s", carbon())])
def test_collapse_moment_of_the_same_theory(laminate):
    """Energy of the ring softens the tube; M(kappa) is largest at (2 sqrt 2 pi / 9) E R t^2 / sqrt(1 - nu^2).

    With the shape free, M = EI kappa - 4 U / kappa, U ~ kappa^4 the bending energy of the ring.
    """
    states, M = tube(laminate), 1.0
    kappa = states.compliance[4, 4] * M
    D = laminate.D[1, 1]
    x, weight = np.polynomial.legendre.leggauss(20)
    My = ovalization_loads(states, [0, 0, 0, 0, M, 0], 0.5 * (1 + x))[..., 1]
    U = (My**2 * 0.5 * weight * states.contour.length[:, None]).sum() / (2 * D)
    EI, soft = 1 / states.compliance[4, 4], 4 * U / kappa**4
    collapse = 2 / 3 * EI * np.sqrt(EI / (3 * soft))
    assert collapse == pytest.approx(float(stability.brazier_moment(laminate.abd, R)), rel=2e-3)
    if laminate.is_symmetric and len(laminate.plies) == 1:
        assert collapse == pytest.approx(
            2 * np.sqrt(2) * np.pi / 9 * E * R * T**2 / np.sqrt(1 - NU**2), rel=1e-3
        )
