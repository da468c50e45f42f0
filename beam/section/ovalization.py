r"""Ovalization (Brazier): hoop force and hoop moment of a bent and twisted section, quadratic in the load.

**Pressure.** In a section bent to kappa2, kappa3 and twisted to kappa1 the running loads of a wall act as a pressure on
it in the plane of the section, by the equilibrium of a strip of wall in axes that turn with the section:

    p = Nx (kappa3, -kappa2) + 2 kappa1 Nxy n

The first part is that of a taut string: in pure bending it pushes every wall toward the neutral axis (Brazier). The
second is that of shear on a warped surface: torsion pushes all walls of a skin inward.

**Equilibrium.** p has a resultant P = N (kappa3, -kappa2) + 2 kappa1 e1 x V, and a moment about e1. A curved rod under
N, V balances them by growth of its transverse force and torque along the span, dV/dx = -P and dT/dx likewise. So the
shear flow, the twisting moments and the bending moments of the walls grow as those of the unit states of V, T, M do.
With what grows (suffix x) the force F and moment M0 transmitted around the section follow

    l = p + Nxy_x t + Mx_xx n,   dF/ds = -l,   dM0/ds = -r x l + 2 Mxy_x
    Ny = F . t,   My = -M0 + y2 F3 - y3 F2

**Closure.** F and M0 are zero at free edges. Along each closed path a constant F, M0 and q, and the section strains,
follow from the equations of `states`: the walls close and no section force is added. p is that of the linear theory,
and the walls respond with their unloaded hoop stiffness.

**Limits.** The next order in load is omitted. The pressure rises with ovalization, which ends in Brazier's collapse
moment of a round tube; and a flat wall in compression yields more to pressure by about 1/(1 - N/N_buckling). So loads
must be well below collapse and below wall buckling. Omitted as well are the couple Mx (kappa2 t3 - kappa3 t2), of order
(t/b)^2, and what the Poisson contraction of the section adds where the moment grows, of order (b/x)^2 at x from where
the moment is zero.

**Exactness.** On straight walls all fields are polynomials and Gauss's rule is exact; on arcs the error falls
exponentially with the number of nodes, here to 1e-12 of the largest value.

References
----------
L. G. Brazier, "On the flexure of thin cylindrical shells and other thin sections", Proc. R. Soc. A 116 (1927)
104-114: the pressure, for a round tube.
"""

from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike

from beam.section.contour import Places
from beam.section.states import HOOP, States, closing_hoop_loads
from materials.checks import Array, Limits, checked, common_shape


@checked
def ovalization_loads(
    states: States, F: Annotated[ArrayLike, Limits("N, N m", last=(6,))], at: Places = 0.5
) -> Array:
    """Hoop force and hoop moment that bending and twisting of the section put on its walls.

    Parameters
    ----------
    states : States
        The solved section, or batch.
    F : array_like, shape (..., 6)
        Section forces (N, V2, V3, T, M2, M3); leading axes broadcast against the batch [N], [N m].
    at : array_like, shape () or (place,)
        Fractions of the length of each wall [-].

    Returns
    -------
    ndarray, shape (..., wall, place, 2)
        Ny [N/m] and My [N], in addition to those of `States.recovery`; they grow with the square of the load.

    Raises
    ------
    ValueError
        If the forces do not broadcast against the batch.

    Notes
    -----
    The pressure p = Nx (kappa3, -kappa2) + 2 kappa1 Nxy n on the ring of walls (Brazier 1927), in equilibrium; see
    `beam.section.ovalization`. A round tube of one material takes

        My = -3 D zeta / R cos 2 phi,  zeta = (1 - nu^2) R^4 kappa^2 / t^2

    Examples
    --------
    Aluminum tube, R = 50 mm, t = 1 mm, under 900 N m: hoop moment at the side of largest stress.

    >>> import numpy as np
    >>> from beam.section.outline import round_tube
    >>> from beam.section.states import solve
    >>> A = 70e6 / 0.91 * np.array([[1, 0.3, 0], [0.3, 1, 0], [0, 0, 0.35]])
    >>> wall = np.block([[A, 0 * A], [0 * A, A * 1e-6 / 12]])
    >>> states = solve(round_tube(0.05), np.stack([wall] * 4))
    >>> ovalization_loads(states, [0, 0, 0, 0, 900, 0])[0, 0, 1].round(2)
    np.float64(-2.34)
    """
    forces = np.asarray(F)
    common_shape("ovalization_loads: F, states", forces.shape[:-1], states.compliance.shape[:-2])
    form = ovalization_form(states, np.asarray(at))
    pairs = forces[..., :, None] * forces[..., None, :]
    flat = form.reshape(*form.shape[:-5], -1, 36)
    out = (flat @ pairs.reshape(*pairs.shape[:-2], 36, 1))[..., 0]
    return out.reshape(*out.shape[:-1], *form.shape[-5:-2])


def ovalization_form(states: States, at: ArrayLike, *, nodes: int | None = None) -> Array:
    """Symmetric G, (..., wall, place, 2, 6, 6), with Ny = F'G[0]F and My = F'G[1]F [1/(N m)], [1/N] ...

    The number of Gauss nodes on each wall gives an error of 1e-12 unless given.
    """
    places = np.atleast_1d(np.asarray(at, dtype=float))
    contour, graph = states.contour, states.contour.topology
    x, gauss = np.polynomial.legendre.leggauss(nodes or _nodes(contour.turn))
    inner, weight = 0.5 * (1 + x), 0.5 * gauss * contour.length[..., None]
    load, ends = _pressure(states, inner, weight)
    place = states.measure
    swept = place.swept[..., None]
    before, after = place.start - place.joint, place.joint + place.chord - contour.finish
    first = np.concatenate([before[..., None], swept[..., :1, :]], axis=-2) * ends[..., :1, :]
    last = np.concatenate([after[..., None], swept[..., 2:, :]], axis=-2) * ends[..., 1:, :]
    growth = -(first + last + np.einsum("...wn,...wnic->...wic", weight, load))
    # Flows balance at the joints.
    start = np.moveaxis(graph.flow_at_start @ np.moveaxis(growth, -2, -3), -3, -2) - first

    def known(u: Array) -> Array:
        """Ny and My that balance the pressure, shape (..., wall, place, 2, column)."""
        passed = np.einsum("un,...w,...wnic->...wuic", _running(x, 2 * u - 1), 0.5 * contour.length, load)
        F2, F3, M0 = np.moveaxis(start[..., None, :, :] - passed, -2, 0)
        r, t = contour.position(u)[..., None], contour.tangent(u)[..., None]
        Ny = t[..., 0, :] * F2 + t[..., 1, :] * F3
        return np.stack([Ny, r[..., 0, :] * F3 - r[..., 1, :] * F2 - M0], axis=-2)

    image = np.moveaxis(states.law[..., None, :, HOOP] @ known(inner), -3, -2)
    found = known(places) + closing_hoop_loads(states, image, inner, weight, places)
    per_force = found.reshape(*found.shape[:-1], 3, 6)
    turn = states.compliance[..., None, None, None, 3:, :]
    form = np.swapaxes(turn, -1, -2) @ per_force
    return 0.5 * (form + np.swapaxes(form, -1, -2))


def _nodes(turn: Array) -> int:
    """Gauss nodes of a wall: cubic loads on straight walls, products of harmonics on arcs."""
    bend = float(np.abs(turn).max())
    return 5 if bend == 0.0 else 8 + int(np.ceil(5 * bend))


def _running(nodes: Array, upto: Array) -> Array:
    """Weights of the integral from -1 to each place, of the polynomial through values at nodes, (place, node)."""
    legendre = np.polynomial.legendre
    values = legendre.legvander(nodes, len(nodes) - 1)
    integral = legendre.legval(upto, legendre.legint(np.eye(len(nodes)), lbnd=-1)).T
    return np.asarray(np.linalg.solve(values.T, integral.T).T)


def _pressure(states: States, inner: Array, weight: Array) -> tuple[Array, Array]:
    """Load on the ring of walls for each curvature (kappa1, kappa2, kappa3) times each section force.

    First l and r x l - 2 Mxy_x at nodes, (..., wall, node, 3, column), columns curvature by curvature; then the growth
    of the shear flow at both ends of each wall, (..., wall, 2, column), which the connectors carry.
    """
    contour = states.contour
    loads, at_ends = states.recovery(inner), states.recovery([0.0, 1.0])
    Nx, q = loads[..., 0, :], loads[..., 2, :]
    r, t, n = (f(inner)[..., None] for f in (contour.position, contour.tangent, contour.normal))
    none = np.zeros_like(Nx)
    p2 = np.stack([2 * q * n[..., 0, :], none, Nx], axis=-2)
    p3 = np.stack([2 * q * n[..., 1, :], -Nx, none], axis=-2)
    p2, p3 = (p.reshape(*p.shape[:-2], 18) for p in (p2, p3))
    moment = r[..., 0, :] * p3 - r[..., 1, :] * p2
    force = np.stack([p2, p3, moment], axis=-2)
    growing = -np.einsum("...wn,...wnic->...ic", weight, force)[..., None, None, :, :]
    V2, V3 = growing[..., 0, :], growing[..., 1, :]
    flow = (loads[..., 2:3, 1:4] @ growing)[..., 0, :]
    Mxy = (loads[..., 5:6, 1:4] @ growing)[..., 0, :]
    # dM2/dx = V3, dM3/dx = -V2: moments grow with the square of the distance along the span.
    Mx = loads[..., 3, 4, None] * V3 - loads[..., 3, 5, None] * V2
    l2 = p2 + flow * t[..., 0, :] + Mx * n[..., 0, :]
    l3 = p3 + flow * t[..., 1, :] + Mx * n[..., 1, :]
    load = np.stack([l2, l3, r[..., 0, :] * l3 - r[..., 1, :] * l2 - 2 * Mxy], axis=-2)
    return load, (at_ends[..., 2:3, 1:4] @ growing)[..., 0, :]
