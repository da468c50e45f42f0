"""Stacks bent to the radius of a corner: limits, one material under a moment, work, mirror images, closed rings."""

from dataclasses import replace

import numpy as np
import pytest

from laminate import Laminate
from laminate.interlaminar import corner_stress
from laminate.interlaminar.curved_wall import curved_wall, known_of, strain_per_flat_load
from materials import lamina

T300 = replace(lamina("T300/5208"), G13=7.17e9, G23=3.5e9)
MIXED = Laminate.from_code("[45/-45/0_4/90/45/0_2]T", T300)
HOOP = Laminate.from_code("[90_60]T", T300)


def test_a_large_radius_is_lamination_theory() -> None:
    wall = curved_wall(MIXED, np.array([1e3]))
    scale = np.abs(MIXED.abd).max(axis=0)
    assert np.abs(wall.abd[0] - MIXED.abd).max() < 2e-6 * scale.max()
    assert wall.free[0, :3, 0] == pytest.approx(MIXED.free_strain(1.0)[:3], abs=1e-10)
    for stress in (True, False):
        flat = MIXED.stress_recovery if stress else MIXED.strain_recovery
        found = wall.stress[0] if stress else wall.strain[0]
        assert np.abs(found - flat).max() < 1e-5 * np.abs(flat).max()
    flat = MIXED.response(temperature_change=1.0)
    assert wall.own_stress[0, ..., 0] == pytest.approx(flat.residual_stress, abs=2e-5 * 1e6)
    assert wall.own_strain[0, ..., 0] == pytest.approx(flat.residual_strain, abs=1e-9)
    assert strain_per_flat_load(wall, MIXED)[0] == pytest.approx(MIXED.compliance, rel=1e-3, abs=1e-9)


@pytest.mark.parametrize("radius", [9e-3, 14e-3, 30e-3])
def test_one_material_under_a_moment(radius: float) -> None:
    """Lekhnitskii's curved bar in plane strain: (ex, kx, gxy, kxy) held at zero, Ny = 0."""
    h = HOOP.thickness
    wall = curved_wall(HOOP, np.array([radius]))
    free = np.array([1, 4])
    unit = np.linalg.inv(wall.abd[0][np.ix_(free, free)])[:, 1]
    # the span is direction 2 of the ply: strain there held
    nu23 = T300.E2 / (2 * 3.5e9) - 1
    S11, S13, S33 = 1 / T300.E1, -T300.nu12 / T300.E1, 1 / T300.E2
    S12, S23, S22 = -T300.nu12 / T300.E1, -nu23 / T300.E2, 1 / T300.E2
    a, b, c = S11 - S12**2 / S22, S13 - S12 * S23 / S22, S33 - S23**2 / S22
    bar = corner_stress(
        radius - h / 2, h, -1.0, E_hoop=1 / a, E_radial=1 / c, G=7e9, nu=-b / a, points=len(HOOP.plies) + 1
    )
    hoop = wall.stress[0, :, :, 0][..., free] @ unit
    assert hoop[:, 0] == pytest.approx(bar.hoop[:-1], abs=5e-4 * np.abs(bar.hoop).max())
    assert hoop[:, 1] == pytest.approx(bar.hoop[1:], abs=5e-4 * np.abs(bar.hoop).max())


@pytest.mark.parametrize("radius", [6e-3, -6e-3, 0.1])
def test_spring_in_of_one_material(radius: float) -> None:
    wall = curved_wall(HOOP, np.array([radius]))
    per_kelvin = T300.alpha1 - T300.alpha2
    assert wall.free[0, 4] == pytest.approx(
        np.array([per_kelvin, T300.beta1 - T300.beta2]) / radius, rel=1e-9
    )
    assert wall.free[0, 1, 0] == pytest.approx(T300.alpha1, rel=1e-9)
    assert np.abs(wall.own_stress).max() < 1e-9 * T300.E1


def test_running_loads_are_integrals_of_the_stress() -> None:
    wall = curved_wall(MIXED, np.array([8e-3]))
    back = np.linalg.inv(np.linalg.inv(MIXED.rotation).swapaxes(-1, -2))
    in_wall = back[:, None] @ wall.stress[0]
    z, t = MIXED.surfaces, MIXED.ply_thickness[:, None]
    area = 0.5 * t * np.ones(2)
    assert np.einsum("ps,psj->j", area, in_wall[:, :, 1]) == pytest.approx(
        wall.abd[0, 1], abs=2e-3 * np.abs(wall.abd[0, 1]).max()
    )
    assert np.einsum("ps,psj->j", area, in_wall[:, :, 2]) == pytest.approx(
        wall.abd[0, 2], abs=2e-3 * np.abs(wall.abd[0, 2]).max()
    )
    assert np.einsum("ps,psj->j", area * (1 + z / 8e-3), in_wall[:, :, 0]) == pytest.approx(
        wall.abd[0, 0], abs=2e-3 * np.abs(wall.abd[0, 0]).max()
    )
    assert wall.abd[0] == pytest.approx(wall.abd[0].T, rel=1e-12)
    assert np.linalg.eigvalsh(wall.abd[0]).min() > 0


def test_a_stack_upside_down_bent_the_other_way() -> None:
    turned = Laminate(tuple(reversed(MIXED.plies)))
    one, other = (curved_wall(wall, np.array([R])) for wall, R in ((MIXED, 7e-3), (turned, -7e-3)))
    sign = np.array([1, 1, 1, -1, -1, -1.0])
    assert other.abd[0] == pytest.approx(sign[:, None] * one.abd[0] * sign, rel=1e-9, abs=1e-3)
    assert other.free[0] == pytest.approx(sign[:, None] * one.free[0], rel=1e-9, abs=1e-14)
    assert other.stress[0, ::-1, ::-1] * sign == pytest.approx(one.stress[0], rel=1e-8, abs=1e3)


def test_loads_of_a_flat_stack_that_knows_the_same() -> None:
    wall = curved_wall(MIXED, np.array([8e-3]))
    N = np.array([2e5, 1e4, 5e4, 30.0, -20.0, 12.0])
    strain = strain_per_flat_load(wall, MIXED)[0] @ N
    flat = MIXED.compliance @ N
    assert strain[[0, 3, 5]] == pytest.approx(flat[[0, 3, 5]], rel=1e-9)
    assert (wall.abd[0] @ strain)[[1, 2, 4]] == pytest.approx(N[[1, 2, 4]], rel=1e-9)
    assert known_of(MIXED.compliance)[[1, 2, 4]] == pytest.approx(np.eye(6)[[1, 2, 4]])


def test_shear_of_a_twisted_tube_grows_with_the_radius() -> None:
    R = 12e-3
    wall = curved_wall(HOOP, np.array([R]))
    strain = wall.strain[0] @ np.array([0.0, 0.0, R, 0.0, 0.0, 2.0])
    assert np.abs(strain[..., 2]) == pytest.approx(R + HOOP.surfaces, rel=1e-9)
