"""Finite plate by Rayleigh-Ritz: exact solutions, finite elements, symmetries, limits."""

import numpy as np
import pytest
import skfem
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from printed import printed
from scipy.linalg import eigh
from walls import T300_5208, buckling_ply, isotropic_D, orthotropic_D, stack_abd

from laminate.stability import NotConverged, plate_buckling_ratio, reduced_bending_stiffness
from laminate.stability.finite_plate import BLOCK

S, C, F = "simply supported", "clamped", "free"
SKEW = stack_abd(T300_5208, [45, 45, 30, 0, 30, 45, 45], 0.2e-3)[3:, 3:]


@given(
    D11=st.floats(0.2, 5.0), D22=st.floats(0.2, 5.0), nu=st.floats(0.0, 0.8), twist=st.floats(0.05, 1.5),
    a=st.floats(0.15, 0.6), nx=st.floats(0.1, 1.0), ny=st.floats(-0.5, 1.0),
)  # fmt: skip
@settings(max_examples=40, deadline=None)
def test_simply_supported_orthotropic_plate_is_navier(D11, D22, nu, twist, a, nx, ny):
    s, b = np.sqrt(D11 * D22), 0.3
    D12, D66 = nu * s, twist * s
    m, n = np.arange(1, 30)[:, None], np.arange(1, 30)
    k, l = m * np.pi / a, n * np.pi / b
    work = nx * k**2 + ny * l**2
    navier = (D11 * k**4 + 2 * (D12 + 2 * D66) * k**2 * l**2 + D22 * l**4) / np.where(work > 0, work, np.nan)
    ratio = plate_buckling_ratio(orthotropic_D(D11, D22, D12, D66), a, b, -nx, Ny=-ny, terms=(16, 12))
    assert ratio == pytest.approx(np.nanmin(navier), rel=1e-4)


def finite_element_ratio(D, a, b, load, n):
    """Conforming bicubic plate elements, n x n, simply supported; like Ritz, from above."""
    mesh = skfem.MeshQuad.init_tensor(np.linspace(0, a, n + 1), np.linspace(0, b, n + 1))
    basis = skfem.Basis(mesh, skfem.ElementQuadBFS(), intorder=8)

    def curvature(w):
        return -w.hess[0][0], -w.hess[1][1], -2 * w.hess[0][1]

    @skfem.BilinearForm
    def energy(u, v, _):
        return sum(D[i, j] * p * q for i, p in enumerate(curvature(u)) for j, q in enumerate(curvature(v)))

    @skfem.BilinearForm
    def work(u, v, _):
        (ux, uy), (vx, vy) = u.grad, v.grad
        return load[0] * ux * vx + load[1] * uy * vy + load[2] * (ux * vy + uy * vx)

    fixed = []
    for axis, slope, size in ((0, "u_y", a), (1, "u_x", b)):
        edge = mesh.facets_satisfying(lambda x, i=axis, end=size: np.isclose(x[i] * (x[i] - end), 0.0))
        fixed += [basis.get_dofs(edge).nodal[name] for name in ("u", slope)]
    free = np.setdiff1d(np.arange(basis.N), np.concatenate(fixed))
    K, G = (form.assemble(basis).toarray()[np.ix_(free, free)] for form in (energy, work))
    return -1.0 / eigh(G, K, eigvals_only=True, subset_by_index=[0, 0])[0]


@pytest.mark.parametrize("load", [(-1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, 0.0, -1.0), (-1.0, -0.5, 0.7)])
def test_against_finite_elements(load):
    """Both come from above, so ours must lie below by no more than the elements still have to fall."""
    coarse, fine = (finite_element_ratio(SKEW, 0.12, 0.1, load, n) for n in (4, 8))
    ours = plate_buckling_ratio(SKEW, 0.12, 0.1, load[0], load[2], Ny=load[1], terms=(14, 14))
    assert fine - 1.0 * (coarse - fine) < ours < fine


@pytest.mark.parametrize("edges", [(S, S, S, S), (C, C, S, S), (S, C, F, S), (C, F, C, S)])
def test_turning_the_plate_changes_nothing(edges):
    """x and y change places: D11 with D22, D16 with D26, edges in pairs; shear keeps its sign."""
    swapped = SKEW[[1, 0, 2]][:, [1, 0, 2]]
    one = plate_buckling_ratio(SKEW, 0.12, 0.1, -1.0, 0.4, Ny=-0.3, edges=edges, terms=(12, 12))
    other = plate_buckling_ratio(
        swapped, 0.1, 0.12, -0.3, 0.4, Ny=-1.0, edges=edges[2:] + edges[:2], terms=(12, 12)
    )
    assert one == pytest.approx(other, rel=1e-9)


def test_mirror_images():
    ratio = plate_buckling_ratio(SKEW, 0.12, 0.1, -1.0, 0.6, Nx_bending=1.5, edges=(S, C, F, C))
    turned = SKEW * [[1, 1, -1], [1, 1, -1], [-1, -1, 1]]
    along = plate_buckling_ratio(turned, 0.12, 0.1, -1.0, -0.6, Nx_bending=1.5, edges=(C, S, F, C))
    across = plate_buckling_ratio(turned, 0.12, 0.1, -1.0, -0.6, Nx_bending=-1.5, edges=(S, C, C, F))
    assert_allclose([along, across], ratio, rtol=1e-9)


@pytest.mark.parametrize("side", range(4))
def test_spring_acts_on_its_own_edge(side):
    """A spring on one edge lies between simple support and clamping of that very edge."""
    springs = np.zeros((4, 4))
    springs[:, side] = [0.0, 20.0, 1e3, 1e9]
    D, load = isotropic_D(0.3), (-1.0, 0.3)
    ratio = plate_buckling_ratio(D, 0.12, 0.1, *load, edge_stiffness=springs, terms=(14, 12))
    assert (np.diff(ratio) > 0).all()
    edges = tuple(C if i == side else S for i in range(4))
    assert ratio[-1] == pytest.approx(plate_buckling_ratio(D, 0.12, 0.1, *load, edges=edges), rel=1e-4)
    others = [np.where(np.arange(4) == i, 20.0, 0.0) for i in range(4)]
    alone = plate_buckling_ratio(D, 0.12, 0.1, -1.0, edge_stiffness=others)
    # Without shear the plate is its own mirror image: opposite edges count alike, neighbors do not.
    assert_allclose(alone[[0, 2]], alone[[1, 3]], rtol=1e-9)
    assert abs(alone[0] / alone[2] - 1) > 0.01


@pytest.mark.parametrize("side", range(4))
def test_spring_does_not_act_on_the_opposite_edge(side):
    """All other edges clamped: the spring alone makes up the difference."""
    springs = np.zeros((3, 4))
    springs[:, side] = [0.0, 20.0, 1e9]
    edges = tuple(S if i == side else C for i in range(4))
    ratio = plate_buckling_ratio(isotropic_D(0.3), 0.12, 0.1, -1.0, edges=edges, edge_stiffness=springs)
    assert ratio[0] < ratio[1] < ratio[2]
    clamped = plate_buckling_ratio(isotropic_D(0.3), 0.12, 0.1, -1.0, edges=(C, C, C, C))
    assert ratio[2] == pytest.approx(clamped, rel=1e-4)


def test_cantilever_is_a_column():
    """Clamped at x = 0, free elsewhere, narrow: pi^2 EI/(4 L^2) with EI/b = 1/d11."""
    ratio = plate_buckling_ratio(SKEW, 0.5, 0.01, -1.0, edges=(C, F, F, F))
    assert ratio == pytest.approx(np.pi**2 / 4 / 0.25 / np.linalg.inv(SKEW)[0, 0], rel=0.02)


def test_terms():
    ratio = [plate_buckling_ratio(SKEW, 0.12, 0.1, -1.0, terms=(n, n)) for n in (10, 12, 16)]
    assert (np.diff(ratio) <= 0).all()
    assert plate_buckling_ratio(SKEW, 0.12, 0.1, -1.0, terms=(4, 4)) == pytest.approx(ratio[-1], rel=0.02)
    # Slight shear under tension: four functions see no way to buckle, more do.
    pulled = [plate_buckling_ratio(SKEW, 0.12, 0.1, 4.0, 1.0, terms=(n, n)) for n in (4, 20)]
    assert pulled[0] == pytest.approx(pulled[1], rel=0.02)
    assert np.isfinite(pulled[0])
    with pytest.raises(NotConverged, match=r"terms give .* many buckles long"):
        plate_buckling_ratio(SKEW, 3.0, 0.1, -1.0)


def test_tension_never_buckles():
    assert plate_buckling_ratio(SKEW, 0.1, 0.1, [1.0, 0.0], Ny=[2.0, 0.0]).tolist() == [np.inf, np.inf]


def test_cases_in_several_blocks():
    D = np.array([SKEW, isotropic_D(0.3, 9.0)])
    one = plate_buckling_ratio(D, 0.15, 0.1, -1.0, 0.4, terms=(8, 8))
    many = plate_buckling_ratio(D, 0.15, 0.1, -1.0, np.full((BLOCK, 1), 0.4), terms=(8, 8))
    assert_allclose(many, np.broadcast_to(one, (BLOCK, 2)), rtol=1e-10)
    assert plate_buckling_ratio(SKEW, np.ones(0), 0.1, -1.0).shape == (0,)


@pytest.mark.parametrize(
    ("change", "match"),
    [
        ({"terms": (30, 30)}, "product <= 600"),
        ({"edges": (F,) * 4}, "rigid body"),
        ({"edges": (F, S, F, F)}, "rigid body"),
    ],
)
def test_arguments_that_do_not_go_together_are_refused(change, match):
    with pytest.raises(ValueError, match=match):
        plate_buckling_ratio(SKEW, 0.1, 0.1, -1.0, **change)


def test_a_plate_supported_on_two_neighboring_edges_has_an_answer():
    """Three corners in a row stay in place: no rigid motion is left."""
    assert 0.0 < plate_buckling_ratio(SKEW, 0.1, 0.1, -1.0, edges=(S, F, S, F), terms=(10, 10)) < np.inf


def test_quasi_isotropic_panel():
    """[45/-45/0/90]s T300/5208, 0.125 mm plies, 250 mm square, D16 = D26 = 0: 4.7980 N/mm, derived."""
    D = stack_abd(T300_5208, [45, -45, 0, 90, 90, 0, -45, 45], 0.125e-3)[3:, 3:]
    uncoupled = D * [[1, 1, 0], [1, 1, 0], [0, 0, 1]]
    assert plate_buckling_ratio(uncoupled, 0.25, 0.25, -1e3) == printed("4.7980")


@pytest.mark.parametrize(
    ("r", "plies", "value"), [(3, 2, "5.0338"), (20, 2, "8.8158"), (40, 4, "30.359"), (40, 8, "34.710")]
)
def test_antisymmetric_cross_ply(r, plies, value):
    """Square plate, N a^2 / (E2 h^3): derived from the closed form with the reduced bending stiffness."""
    abd = stack_abd(buckling_ply(r), [0, 90] * (plies // 2), 1e-3 / plies)
    reduced = plate_buckling_ratio(reduced_bending_stiffness(abd), 0.1, 0.1, -1.0, terms=(6, 6))
    assert reduced * 0.1**2 / (10e9 * 1e-3**3) == printed(value)
