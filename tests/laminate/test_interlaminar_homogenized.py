"""A stack seen through its thickness: exact sums, a layered arc, limits."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from laminate import Laminate, Ply
from laminate.interlaminar.homogenized import corner_moduli, thickness_compliance, thickness_expansion
from materials import Lamina, Source

PLY = Lamina(
    name="ply", kind="tape", E1=140e9, E2=9e9, G12=5e9, nu12=0.3, G13=5e9, G23=3.2e9, thickness=0.2e-3, density=1600.0,
    alpha1=-0.3e-6, alpha2=28e-6, beta2=0.5, source=Source("made up for tests"),
)  # fmt: skip
NU23 = PLY.E2 / (2 * PLY.G23) - 1
METAL = Lamina(
    name="metal", kind="fabric", E1=70e9, E2=70e9, G12=70e9 / 2.6, nu12=0.3, G13=70e9 / 2.6, G23=70e9 / 2.6,
    thickness=0.5e-3, density=2700.0, alpha1=23e-6, alpha2=23e-6, source=Source("made up for tests"),
)  # fmt: skip


def solid(angle):
    """Stiffness and expansion of a ply on (x, y, z) in three dimensions, fibers along x (0) or y (90)."""
    S = np.diag([1 / PLY.E1, 1 / PLY.E2, 1 / PLY.E2])
    S[0, 1] = S[1, 0] = S[0, 2] = S[2, 0] = -PLY.nu12 / PLY.E1
    S[1, 2] = S[2, 1] = -NU23 / PLY.E2
    order = [0, 1, 2] if angle == 0 else [1, 0, 2]
    alpha = np.array([PLY.alpha1, PLY.alpha2, PLY.alpha2])
    return np.linalg.inv(S[np.ix_(order, order)]), alpha[order]


@pytest.mark.parametrize("angle", [0.0, 35.0, 90.0])
def test_a_ply_alone_expands_as_it_says(angle):
    wall = Laminate.from_code(f"[{angle:g}]3", PLY)
    found = thickness_expansion(wall, [-150.0, 20.0, 0.0], [0.0, 0.01, 0.01])
    assert_allclose(found, [28e-6 * -150, 28e-6 * 20 + 0.5 * 0.01, 0.5 * 0.01], rtol=1e-9)


def test_cross_ply_expansion_in_three_dimensions():
    """[0/90] in free expansion: three unknown strains of each ply, common in the plane, no stress across."""
    (C0, a0), (C90, a90) = solid(0), solid(90)
    # Unknowns ex = ey by symmetry, ez of either ply: forces in the plane and sz of either ply vanish.
    K = np.array([
        [C0[0, :2].sum() + C90[0, :2].sum(), C0[0, 2], C90[0, 2]],
        [C0[2, :2].sum(), C0[2, 2], 0.0], [C90[2, :2].sum(), 0.0, C90[2, 2]]])  # fmt: skip
    load = np.array([(C0 @ a0)[0] + (C90 @ a90)[0], (C0 @ a0)[2], (C90 @ a90)[2]])
    _, ez, other = np.linalg.solve(K, load)
    assert other == pytest.approx(ez, rel=1e-12)
    # The effect of the stacking on the corner falls as the plies get many and thin.
    few, many = (thickness_expansion(Laminate.from_code(f"[0/90]{n}s", PLY), 1.0) / ez - 1 for n in (5, 40))
    assert 0 < 7 * many < few < 0.02
    assert ez > 1.3 * PLY.alpha2  # its strain in the plane is suppressed


def arc(angles, R, dT):
    """Change of the angle of a layered arc that nothing holds, over its angle: least energy by elements across it.

    Displacement u(r) outward and r phi along the arc; hoop strain u/r + phi, radial u', along the span one strain.
    """
    per = 12
    n = per * len(angles)
    r = R + (np.arange(n + 1) / n - 0.5) * len(angles) * PLY.thickness
    K, f = np.zeros((n + 3, n + 3)), np.zeros(n + 3)
    for e in range(n):
        C, alpha = solid(angles[e // per])
        h = r[e + 1] - r[e]
        for s in (-(0.6**0.5), 0.0, 0.6**0.5):
            weight = (8 if s == 0.0 else 5) / 18 * h
            u, at = 0.5 * (1 + s), r[e] + 0.5 * (1 + s) * h
            B = np.zeros((3, n + 3))
            B[0, n + 2], B[1, n + 1] = 1.0, 1.0
            B[1, [e, e + 1]] = (1 - u) / at, u / at
            B[2, [e, e + 1]] = -1 / h, 1 / h
            K += B.T @ C @ B * weight * at
            f += B.T @ C @ alpha * dT * weight * at
    return np.linalg.solve(K, f)[n + 1]


@pytest.mark.parametrize("code", ["[0/90/90/90]s", "[90/90/90/0]s", "[90/0/0/0]s"])
def test_layered_arc_turns_by_the_weighted_strain(code):
    """Plies of unlike e_z: where each lies counts. What is left falls with the square of the radius."""
    wall, dT, error = Laminate.from_code(code, PLY), -1.0, []
    e_y, e_z = wall.free_strain(dT)[1], thickness_expansion(wall, dT)
    for R in (0.02, 0.04):
        error.append(arc(wall.angles_deg, R, dT) / (e_y - e_z) - 1)
    assert abs(error[1]) < 2e-3
    assert np.log2(error[0] / error[1]) == pytest.approx(2.0, abs=0.3)


def test_thickness_compliance_is_poissons_effect():
    """One ply: -nu13/E1 and -nu23/E2 over h; in bending, the weights take even parts only."""
    h = 3 * PLY.thickness
    per = thickness_compliance(Laminate.from_code("[0]3", PLY))
    assert_allclose(per, [-0.3 / 140e9 / h, -NU23 / 9e9 / h, 0, 0, 0, 0], atol=1e-9 * NU23 / 9e9 / h)
    turned = thickness_compliance(Laminate.from_code("[90]3", PLY))
    assert_allclose(turned[:2], per[1::-1], rtol=1e-9)


def test_isotropic_stack():
    moduli = corner_moduli(Laminate.from_code("[0/30]2", METAL))
    assert_allclose(moduli, [70e9, 70e9, 70e9 / 2.6, 0.3], rtol=1e-12)


def test_moduli_along_and_across_the_fibers():
    hoop, span = (corner_moduli(Laminate.from_code(code, PLY)) for code in ("[90]4", "[0]4"))
    assert_allclose(hoop, [140e9, 9e9, 5e9, 0.3], rtol=1e-12)
    assert_allclose(span, [9e9, 9e9, 3.2e9, NU23], rtol=1e-12)
    half = corner_moduli(Laminate.from_code("[0/90]s", PLY))
    assert pytest.approx(2 / (1 / 5e9 + 1 / 3.2e9)) == half.G  # in series
    assert 70e9 < half.E_hoop < 80e9


def test_unlike_plies_lie_in_series_through_the_thickness():
    wall = Laminate((Ply(PLY, 0.0), Ply(METAL, 0.0), Ply(PLY, 0.0)))
    found = corner_moduli(wall)
    assert found.E_radial == pytest.approx(0.9e-3 / (0.4e-3 / 9e9 + 0.5e-3 / 70e9), rel=1e-12)
    assert pytest.approx(0.9e-3 / (0.4e-3 / 3.2e9 + 0.5e-3 * 2.6 / 70e9), rel=1e-12) == found.G


@pytest.mark.parametrize(
    ("angles", "tenths"),
    [((0, 90, 90), (2, 2, 2)), ((30, 0, -45, 90), (1, 4, 2, 3)), ((0, 45, -45, 90), (3, 1, 5, 2))],
)
def test_weights_by_brute_force(angles, tenths):
    """e_z = integral of (g e3 - t S) on a fine grid, of any stack of unlike plies under any running loads."""
    plies = [Ply(replace(PLY, thickness=t * 1e-4), a) for a, t in zip(angles, tenths, strict=True)]
    wall, loads = Laminate(plies), np.array([3e3, 2e3, -1e3, 2.0, 1.0, 0.5])
    n = 2000
    ply = np.repeat(np.arange(len(plies)), n * np.array(tenths))
    dz = 1e-4 / n
    z = -wall.thickness / 2 + (np.arange(len(ply)) + 0.5) * dz

    def stress(deformation):
        return np.einsum("zij,zj->zi", wall.q_bar[ply], deformation[:3] + z[:, None] * deformation[3:])

    state = np.zeros(6)
    state[[1, 2, 4]] = np.linalg.solve(wall.abd[np.ix_([1, 2, 4], [1, 2, 4])], [0.0, 0.0, 1.0])
    unit, actual = stress(state), stress(np.linalg.solve(wall.abd, loads))

    def contraction(s):
        in_ply = np.einsum("zji,zj->zi", np.linalg.inv(wall.rotation)[ply], s)
        return -(PLY.nu12 / PLY.E1 * in_ply[:, 0] + NU23 / PLY.E2 * in_ply[:, 1])

    g = np.cumsum(unit[::-1, 1])[::-1] * dz
    S = np.cumsum(actual[:, 1] - loads[1] / wall.thickness) * dz
    expected = ((g * contraction(actual) - contraction(unit) * S) * dz).sum()
    assert thickness_compliance(wall) @ loads == pytest.approx(expected, rel=2e-3)


@pytest.mark.parametrize("left_out", [{"G13": None}, {"G23": None, "nu23": None}])
def test_says_what_is_missing(left_out):
    wall = Laminate.from_code("[0/90]s", replace(PLY, **left_out))
    with pytest.raises(ValueError, match=f"ply.*no.*{next(iter(left_out))}|no nu23"):
        corner_moduli(wall)
