"""Moduli in plane and in bending, polar moduli, and the measures of coupling."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from printed import printed
from stacks import CARBON, stacks
from walls import ply_Q, turned

from laminate import Laminate, Ply, constants
from laminate.lamina_stiffness import OffAxisModuli, moduli_of

TWO = Laminate.from_code("[0/90]", CARBON)
SYMMETRIC = Laminate.from_code("[0/±45/90]s", CARBON)


@given(st.floats(-90, 90))
@settings(max_examples=30, deadline=None)
def test_one_ply_has_the_moduli_of_the_ply_in_plane_and_in_bending(theta: float) -> None:
    stack = Laminate((Ply(CARBON, theta),) * 3)
    S = np.linalg.inv(turned(ply_Q(CARBON.E1, CARBON.E2, CARBON.G12, CARBON.nu12), theta))
    expected = moduli_of(S)
    for moduli in (stack.moduli(), stack.flexural_moduli(), stack.moduli(curvature="held")):
        assert_allclose(moduli, expected, rtol=1e-9, atol=1e-9)


def test_a_symmetric_stack_does_not_care_for_the_curvature() -> None:
    assert_allclose(SYMMETRIC.moduli(), SYMMETRIC.moduli(curvature="held"), rtol=1e-10, atol=1e-12)
    assert_allclose(SYMMETRIC.flexural_moduli(), SYMMETRIC.flexural_moduli(midplane="held"), rtol=1e-10)


def test_a_coupon_test_gives_the_free_modulus() -> None:
    r = TWO.response(N=(1e4, 0, 0))
    assert_allclose(TWO.moduli().Ex, 1e4 / TWO.thickness / r.midplane_strain[0], rtol=1e-12)
    held = TWO.response(N=(1e4, 0, 0), prescribed={"kx": 0.0, "ky": 0.0, "kxy": 0.0})
    assert_allclose(
        TWO.moduli(curvature="held").Ex, 1e4 / TWO.thickness / held.midplane_strain[0], rtol=1e-12
    )
    bent = TWO.response(M=(2.0, 0, 0))
    assert_allclose(TWO.flexural_moduli().Ex, 12 * 2.0 / (TWO.thickness**3 * bent.curvature[0]), rtol=1e-12)


@given(stacks())
@settings(max_examples=40, deadline=None)
def test_holding_never_makes_a_sheet_softer(stack: Laminate) -> None:
    for free, held in (
        (stack.moduli(), stack.moduli(curvature="held")),
        (stack.flexural_moduli(), stack.flexural_moduli(midplane="held")),
    ):
        assert held.Ex >= free.Ex * (1 - 1e-9)
        assert held.Gxy >= free.Gxy * (1 - 1e-9)
        assert_allclose(free.nu_xy / free.Ex, free.nu_yx / free.Ey, rtol=1e-8, atol=1e-16)


@pytest.mark.parametrize("code", ["[0/±45/90]s", "[10/40_2/80]", "[30]"])
def test_polar_moduli_are_those_of_the_turned_stack(code: str) -> None:
    stack = Laminate.from_code(code, CARBON)
    around = np.linspace(-90, 90, 7)
    polar = constants.moduli_along(stack.moduli(), around)
    for i, a in enumerate(around):
        turned = Laminate(tuple(Ply(p.lamina, p.angle_deg - a) for p in stack.plies)).moduli()
        assert_allclose([v[i] for v in polar], turned, rtol=1e-9, atol=1e-9)


# rounded as tables print them
PRINTED = OffAxisModuli(Ex=181e9, Ey=10.3e9, Gxy=7.17e9, nu_xy=0.28, nu_yx=0.016, eta_xy_x=0.0, eta_xy_y=0.0)


def test_printed_moduli_are_close_enough_to_be_turned() -> None:
    assert constants.moduli_along(PRINTED, 90.0).Ex == pytest.approx(10.3e9, rel=1e-9)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"nu_xy": 0.016, "nu_yx": 0.28}, "swapped"),
        ({"Ex": np.nan}, "Ex: got NaN"),
        ({"Ex": 0.0, "nu_xy": 0.0}, "as a compliance"),
        ({"Gxy": -7e9}, "as a compliance"),
        ({"Ex": [1e9, 2e9], "Ey": [1e9] * 3}, "broadcastable"),
    ],
)
def test_moduli_that_no_material_has_are_refused(change: dict, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        constants.moduli_along(PRINTED._replace(**change), 30.0)
    with pytest.raises(ValueError, match="moduli and angle_deg"):
        constants.moduli_along(PRINTED._replace(Ex=[181e9] * 2), [0.0, 30.0, 60.0])


# T300/5208 off axis: the closed form evaluated
@pytest.mark.parametrize(
    ("theta", "Ex", "Gxy", "nu_xy", "eta"),
    [
        (15, "72.629", "7.6319", "0.26562", "-2.1934"),
        (30, "28.780", "8.7606", "0.22672", "-1.3515"),
        (60, "12.418", "8.7606", "0.09783", "-0.4016"),
    ],
)
def test_off_axis_moduli(theta: float, Ex: str, Gxy: str, nu_xy: str, eta: str) -> None:
    m = Laminate((Ply(CARBON, theta),)).moduli()
    assert (m.Ex / 1e9, m.Gxy / 1e9) == (printed(Ex), printed(Gxy))
    assert (m.nu_xy, m.eta_xy_x) == (printed(nu_xy), printed(eta))


def test_quasi_isotropic_modulus() -> None:
    """E = (U1 - U4)(U1 + U4)/U1 of the invariants."""
    m = Laminate.from_code("[±45/0/90]s", CARBON).moduli()
    assert m.Ex / 1e9 == printed("69.676")
    assert m.Ey == pytest.approx(m.Ex, rel=1e-12)
    assert m.Gxy == pytest.approx(m.Ex / (2 * (1 + m.nu_xy)), rel=1e-12)
