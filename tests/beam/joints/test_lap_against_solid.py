"""A bond on both faces of a wall against a solid model of wall, adhesive and fitting in plane strain."""

import numpy as np
import pytest
import skfem
from bonded import BOX, sleeve
from skfem.helpers import ddot, grad, sym_grad, trace
from small_strut import REQUIREMENT

from beam.joints import JointLoads, lap

LENGTH, ARM, LOAD, NU, NU_BOND, WALL_E, METAL_E = 50e-3, 30e-3, 100e3, 0.3, 0.35, 60e9, 110e9


def solid(wall, metal, bond, G):
    """Distance from the mouth of the fitting [m], shear and tension across the middle of the bond [Pa].

    Half of the joint: its middle plane is held across it; the fitting is held at its far end, the wall is pulled.
    """
    x = np.unique(np.r_[-ARM, np.linspace(-ARM, 0, 12), LENGTH * (1 - np.cos(np.linspace(0, np.pi, 70))) / 2,
                        LENGTH + np.linspace(0, ARM, 12)])  # fmt: skip
    z = np.unique(
        np.r_[np.linspace(0, wall, 6), wall + np.linspace(0, bond, 4), wall + bond + np.linspace(0, metal, 6)]
    )
    mesh = skfem.MeshQuad.init_tensor(x, z)
    cx, cz = mesh.p[:, mesh.t].mean(axis=1)
    inside = (cz < wall) & (cx > 0) | (cz > wall) & (cz < wall + bond) & (cx > 0) & (cx < LENGTH)
    mesh = mesh.restrict(np.flatnonzero(inside | (cz > wall + bond) & (cx < LENGTH)))
    cx, cz = mesh.p[:, mesh.t].mean(axis=1)
    glued = (cz > wall) & (cz < wall + bond)
    E = np.select([cz < wall, glued], [WALL_E, 2 * G * (1 + NU_BOND)], METAL_E)
    nu = np.where(glued, NU_BOND, NU)
    basis = skfem.Basis(mesh, skfem.ElementVector(skfem.ElementQuad2()), intorder=4)
    row = np.ones((1, basis.X.shape[1]))
    lame, mu = (E * nu / (1 + nu) / (1 - 2 * nu))[:, None] * row, (E / 2 / (1 + nu))[:, None] * row

    @skfem.BilinearForm
    def stiffness(u, v, w):
        e, d = sym_grad(u), sym_grad(v)
        return w["lame"] * trace(e) * trace(d) + 2 * w["mu"] * ddot(e, d)

    @skfem.LinearForm
    def pull(v, w):
        return LOAD / wall * v[0]

    end = mesh.facets_satisfying(lambda p: np.isclose(p[0], LENGTH + ARM))
    force = pull.assemble(skfem.FacetBasis(mesh, basis.elem, facets=end, intorder=4))
    held = np.concatenate([basis.get_dofs(lambda p: np.isclose(p[0], -ARM)).all("u^1"),
                           basis.get_dofs(lambda p: np.isclose(p[1], 0.0)).all("u^2")])  # fmt: skip
    u = basis.interpolate(
        skfem.solve(*skfem.condense(stiffness.assemble(basis, lame=lame, mu=mu), force, D=held))
    )
    g = grad(u)
    shear, across = mu * (g[0, 1] + g[1, 0]), lame * (g[0, 0] + g[1, 1]) + 2 * mu * g[1, 1]
    middle = glued & (abs(cz - wall - bond / 2) < bond / 6)
    order = np.argsort(-cx[middle])
    mean = [(s[middle] * basis.dx[middle]).sum(1) / basis.dx[middle].sum(1) for s in (-shear, across)]
    return LENGTH - cx[middle][order], abs(mean[0][order]), mean[1][order]


@pytest.mark.parametrize(
    ("wall", "metal", "bond", "G", "most"),
    [(2e-3, 2e-3, 1e-3, 0.05e9, 1.05), (4e-3, 4e-3, 0.6e-3, 0.3e9, 1.12), (4e-3, 3e-3, 0.3e-3, 0.8e9, 1.2)],
)
def test_shear_lag_of_a_wall_bonded_on_both_faces(wall, metal, bond, G, most):
    """Near in a soft, thick bond; in a stiff one the shear of the adherends lowers the peak. At most 1.5 % unsafe."""
    x, shear, _ = solid(wall, metal, bond, G)
    at = lap.mesh(LENGTH, (0.0, LENGTH), 48)
    ones = np.ones(len(at) - 1)
    K1, K2 = WALL_E / (1 - NU**2) * wall, METAL_E / (1 - NU**2) * metal
    line = lap.Bondline(G, 2 * G * (1 + NU_BOND), bond, 1)
    ours = lap.shear_lag(np.diff(at), K1 * ones, K2 * ones, line)[:, 0] * LOAD
    assert np.trapezoid(shear, x) == pytest.approx(LOAD, rel=0.02)  # the solid hands the whole load over
    inner = (x > 0.2 * LENGTH) & (x < 0.8 * LENGTH)
    theirs, own = (
        [one[x < LENGTH / 2].max(), one[x > LENGTH / 2].max()] for one in (shear, np.interp(x, at, ours))
    )
    assert 0.985 <= max(own) / max(theirs) <= most  # the end that governs
    assert min(np.array(own) / theirs) >= 0.985
    assert np.interp(x, at, ours)[inner] == pytest.approx(shear[inner], abs=0.1 * ours.max())


@pytest.mark.parametrize(("metal", "over"), [(4e-3, 1.08), (2e-3, 0.96), (1e-3, 0.82), (0.5e-3, 0.64)])
def test_peel_of_a_bond_on_both_faces_is_safe_in_thin_bonds_only(metal, over):
    """Formula over solid by the edge of the fitting: below 1 it is not safe, and the rows say so."""
    wall, bond, G = 4e-3, 0.62e-3, 0.33e9
    x, _, across = solid(wall, metal, bond, G)
    at = lap.mesh(LENGTH, (0.0, LENGTH), 48)
    ones = np.ones(len(at) - 1)
    K1, K2 = WALL_E / (1 - NU**2) * wall, METAL_E / (1 - NU**2) * metal
    line = lap.Bondline(G, 2 * G * (1 + NU_BOND), bond, 1)
    shear = lap.shear_lag(np.diff(at), K1 * ones, K2 * ones, line)[0, 0] * LOAD
    peel = shear * (3 * line.E * (1 - NU**2) * metal / (METAL_E * bond)) ** 0.25
    assert peel / across[x < 0.1 * LENGTH].max() == pytest.approx(over, abs=0.02)
    said = "NOT SAFE: bond"
    loads = JointLoads(force=[[2e4, 0, 0]])
    joint = sleeve(**BOX, side="both", thickness=metal, bond_thickness=bond)
    words = joint.margins(loads, REQUIREMENT).reset_index().set_index("mode")["assumption"]
    for mode in ("peel", "ply next to bond"):
        told = words.loc[[mode]].astype(str).str.contains(said).all()
        assert told == (over < 0.99)
