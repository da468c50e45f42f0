"""Plate kernel of plain arrays: from the plies to A, B, D, resultants and back.

The six components are ordered (Nx, Ny, Nxy, Mx, My, Mxy) and (ex, ey, gxy, kx, ky, kxy).
Ply 0 lies at z = -h/2, z along the outward normal::

        z ^   surface 1 of the last ply   z = +h/2     Nx = integral of sx dz      [N/m]
          |  ===========================               Mx = integral of sx z dz    [N]
          |  ---------------------------  z = 0        strain(z) = midplane strain + z curvature
          |  ===========================
          |   surface 0 of ply 0          z = -h/2
"""

from collections.abc import Iterable

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, array, common_shape, flag, reject, sequence

ROUNDING = 1e-8
"""Difference of the two halves of a symmetric matrix of unit diagonal that rounding may leave."""


def interfaces(thickness: ArrayLike) -> Array:
    """Heights of the ply boundaries about mid-thickness.

    Parameters
    ----------
    thickness : array_like, shape (..., ply)
        Ply thicknesses, ply 0 first; zero leaves a ply out, so that stacks of different numbers of
        plies can share an array [m].

    Returns
    -------
    ndarray, shape (..., ply + 1)
        z of the boundaries, from -h/2 to h/2 [m].

    Raises
    ------
    ValueError
        If there is no ply, a thickness is negative, or all are zero.
    """
    t = array("thickness [m]", thickness, last=(-1,), copy=False)
    if not t.shape[-1]:
        reject("thickness [m]", "no ply", "at least one")
    if not (t >= 0).all():
        reject("thickness [m]", f"{t.min():g}", ">= 0, where zero leaves a ply out")
    if not t.any(axis=-1).all():
        reject("thickness [m]", "zero for all plies of a stack", "> 0 for one of them")
    z = np.concatenate([np.zeros((*t.shape[:-1], 1)), np.cumsum(t, axis=-1)], axis=-1)
    return z - z[..., -1:] / 2


def abd(q_bar: ArrayLike, thickness: ArrayLike) -> Array:
    """Stiffness of a stack about its mid-thickness.

    Parameters
    ----------
    q_bar : array_like, shape (..., ply, 3, 3)
        Laminate-axis stiffness of each ply [Pa].
    thickness : array_like, shape (..., ply)
        Ply thicknesses [m].

    Returns
    -------
    ndarray, shape (..., 6, 6)
        [[A, B], [B, D]], with A [N/m], B [N], D [N m].

    Raises
    ------
    ValueError
        If the two differ in the number of plies, or a thickness is negative.

    Notes
    -----
    A = sum Q-bar t, B = sum Q-bar t z, D = sum Q-bar (t z^2 + t^3/12), z at the middle of the ply.

    References
    ----------
    R. M. Jones, Mechanics of Composite Materials, 2nd ed. 1999, eqs. 4.22 to 4.24.
    """
    Q, t, z = _plies(q_bar, thickness)
    A, B, D = (np.einsum("...p,...pij->...ij", w, Q) for w in (t, t * z, t * z * z + t**3 / 12))
    return np.concatenate([np.concatenate([A, B], axis=-1), np.concatenate([B, D], axis=-1)], axis=-2)


def unit_diagonal(what: str, stiffness: Array) -> tuple[Array, Array]:
    """Scale a stiffness to a unit diagonal, after checking that it can be one.

    Scaled so, one threshold serves every unit and anisotropy: A and D differ by the square of a
    thickness and so by many powers of ten.

    Parameters
    ----------
    what : str
        Name for the message, with the unit.
    stiffness : ndarray, shape (..., n, n)
        The matrix, in consistent units [any].

    Returns
    -------
    unit : ndarray, shape (..., n, n)
        The matrix over `scale` [-].
    scale : ndarray, shape (..., n, n)
        Roots of the products of the diagonal, in the unit of `stiffness` [any].

    Raises
    ------
    ValueError
        If the matrix is not symmetric and positive definite.
    """
    diagonal = np.diagonal(stiffness, axis1=-2, axis2=-1)
    if not (diagonal > 0).all():
        reject(what, f"diagonal down to {diagonal.min():g}", "> 0 on the diagonal, as of any stack of plies")
    d = np.sqrt(diagonal)
    scale = d[..., :, None] * d[..., None, :]
    unit = stiffness / scale
    if (abs(unit - unit.swapaxes(-1, -2)) > ROUNDING).any():
        reject(what, "an unsymmetric matrix", "symmetric")
    try:
        np.linalg.cholesky(unit)
    except np.linalg.LinAlgError:
        reject(what, "a matrix that is not positive definite", "positive definite, as of any stack of plies")
    return unit, scale


def inverse(abd: ArrayLike) -> Array:
    """Compliance of a plate: the symmetric inverse of its stiffness.

    Parameters
    ----------
    abd : array_like, shape (..., n, n)
        Symmetric positive definite stiffness, any consistent mix of [N/m], [N] and [N m].

    Returns
    -------
    ndarray, shape (..., n, n)
        The inverse, in the inverse units: [m/N], [1/N] and [1/(N m)].

    Raises
    ------
    ValueError
        If the matrix is not square, symmetric and positive definite.
    """
    K = array("stiffness abd", abd, last=(-1, -1), copy=False)
    if K.shape[-1] != K.shape[-2]:
        reject("stiffness abd", f"shape {K.shape}", "square in its last two axes")
    unit, scale = unit_diagonal("stiffness abd", K)
    out = np.linalg.inv(unit) / scale
    return (out + out.swapaxes(-1, -2)) / 2


def thermal_resultants(q_bar: ArrayLike, thickness: ArrayLike, free_strain: ArrayLike) -> Array:
    """Running loads and moments that would hold back the free strains of the plies.

    Parameters
    ----------
    q_bar : array_like, shape (..., ply, 3, 3)
        Laminate-axis stiffness of each ply [Pa].
    thickness : array_like, shape (..., ply)
        Ply thicknesses [m].
    free_strain : array_like, shape (..., ply, surface, 3)
        Strain that each ply would take if alone (thermal, moisture), in laminate axes, at its two
        surfaces and linear between; a surface axis of length 1 means uniform in the ply [-].

    Returns
    -------
    ndarray, shape (..., 6)
        (Nx, Ny, Nxy) [N/m] and (Mx, My, Mxy) [N].

    Raises
    ------
    ValueError
        If an array does not fit the others, or a thickness is negative.

    Notes
    -----
    N = sum of the integral of Q-bar e(z) dz, M = the same with z, exact for linear e(z).
    """
    Q, t, z = _plies(q_bar, thickness)
    e = array("free_strain [-]", free_strain, last=(-1, -1, 3), copy=False)
    if e.shape[-2] not in (1, 2):
        reject("free_strain [-]", f"shape {e.shape}", "of shape (..., ply, 1 or 2 surfaces, 3)")
    common_shape("q_bar, thickness, free_strain, leading and ply", Q.shape[:-2], t.shape, e.shape[:-2])
    t, z = t[..., None], z[..., None]
    mean, rise = (e[..., 0, :] + e[..., -1, :]) / 2, e[..., -1, :] - e[..., 0, :]
    N = np.einsum("...pij,...pj->...i", Q, mean * t)
    M = np.einsum("...pij,...pj->...i", Q, mean * t * z + rise * t * t / 12)
    return np.concatenate(np.broadcast_arrays(N, M), axis=-1)


def solve_mixed(abd: ArrayLike, load: ArrayLike, deformation: ArrayLike, given: Iterable[bool]) -> Array:
    """Deformation when some components are prescribed and the loads of the others are known.

    Parameters
    ----------
    abd : array_like, shape (6, 6)
        Stiffness of the plate [N/m], [N], [N m].
    load : array_like, shape (..., 6)
        Running loads [N/m] and moments [N]; read only where the deformation is not given.
    deformation : array_like, shape (..., 6)
        Midplane strain [-] and curvature [1/m]; read only where it is given.
    given : sequence of bool, length 6
        True where the deformation is prescribed [-].

    Returns
    -------
    ndarray, shape (..., 6)
        Midplane strain [-] and curvature [1/m].

    Raises
    ------
    ValueError
        If an array does not fit, `given` is not True or False six times, or `abd` is not symmetric and
        positive definite.

    Notes
    -----
    With f the free and p the prescribed components: u_f = K_ff^-1 (P_f - K_fp u_p).
    """
    K = array("abd", abd, last=(6, 6), copy=False)
    if K.ndim != 2:
        reject("abd", f"shape {K.shape}", "of shape (6, 6)")
    unit_diagonal("abd", K)
    P = array("load [N/m], [N]", load, last=(6,), copy=False)
    u = array("deformation [-], [1/m]", deformation, last=(6,), copy=False)
    p = np.array([flag("given", one) for one in sequence("given", given, empty=True)])
    if p.shape != (6,):
        reject("given", f"shape {p.shape}", "of shape (6,)")
    f = ~p
    common_shape("load and deformation", P.shape, u.shape)
    P, u = np.broadcast_arrays(P, u)
    out = np.array(u)
    rest = P[..., f] - u[..., p] @ K[np.ix_(p, f)]
    out[..., f] = rest @ inverse(K[np.ix_(f, f)])
    return out


def _plies(q_bar: ArrayLike, thickness: ArrayLike) -> tuple[Array, Array, Array]:
    """Stiffness, thickness and middle height of each ply, checked."""
    Q = array("q_bar [Pa]", q_bar, last=(-1, 3, 3), copy=False)
    t = array("thickness [m]", thickness, last=(-1,), copy=False)
    z = interfaces(t)
    if Q.shape[-3] != t.shape[-1]:
        reject("q_bar and thickness", f"{Q.shape[-3]} and {t.shape[-1]} plies", "as many")
    common_shape("q_bar and thickness, leading", Q.shape[:-3], t.shape[:-1])
    return Q, t, (z[..., 1:] + z[..., :-1]) / 2
