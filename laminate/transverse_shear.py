"""Transverse shear of a stack: how it is spread over the plies, and the stiffness that follows.

A plate has two transverse shear angles, so the stiffness is 2 x 2, in (gxz, gyz) and (Vx, Vy). It is not
the sum of ply moduli: that would take the shear as equal in all plies and overrates the stiffness, by
1.2 for one material and by far more for a sandwich. Equilibrium gives the spread, energy the stiffness.
"""

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import cosdg, sindg

from laminate.plate import abd, interfaces, inverse, unit_diagonal
from materials.checks import Array, array, common_shape, reject

_GAUSS = (0.5 - 0.15**0.5, 0.5, 0.5 + 0.15**0.5)
_WEIGHT = np.array([5.0, 8.0, 5.0]) / 18


def shear_modulus_rotated(G13: ArrayLike, G23: ArrayLike, angle_deg: ArrayLike) -> Array:
    """Transverse shear moduli of a ply in laminate axes.

    Parameters
    ----------
    G13, G23 : array_like, shape (...)
        Transverse shear moduli in the 1-3 and 2-3 planes [Pa].
    angle_deg : array_like, shape (...)
        Fiber angle from x toward y [deg].

    Returns
    -------
    ndarray, shape (..., 2, 2)
        G in (txz, tyz) = G (gxz, gyz) [Pa].

    Raises
    ------
    ValueError
        If a modulus is not positive, or the shapes do not fit.
    """
    parts = []
    for name, value in (("G13", G13), ("G23", G23)):
        parts.append(array(f"shear_modulus_rotated: {name} [Pa]", value, copy=False))
        if not (parts[-1] > 0).all():
            reject(f"shear_modulus_rotated: {name} [Pa]", f"{parts[-1].min():g}", "> 0")
    theta = array("shear_modulus_rotated: angle_deg [deg]", angle_deg, copy=False)
    common_shape("G13, G23, angle_deg", parts[0].shape, parts[1].shape, theta.shape)
    G13, G23 = parts
    c, s = cosdg(theta), sindg(theta)
    rows = [
        [c * c * G13 + s * s * G23, c * s * (G13 - G23)],
        [c * s * (G13 - G23), s * s * G13 + c * c * G23],
    ]
    return np.stack([np.stack(row, axis=-1) for row in rows], axis=-2)


def shear_spread(q_bar: ArrayLike, thickness: ArrayLike, fraction: ArrayLike) -> Array:
    """Transverse shear stress per shear force at heights within each ply, by equilibrium.

    Parameters
    ----------
    q_bar : array_like, shape (..., ply, 3, 3)
        Laminate-axis stiffness of each ply [Pa].
    thickness : array_like, shape (..., ply)
        Ply thicknesses [m].
    fraction : array_like, shape (point,)
        Heights in every ply, 0 at its lower and 1 at its upper surface [-].

    Returns
    -------
    ndarray, shape (..., ply, point, 2, 2)
        f in (txz, tyz) = f (Vx, Vy); zero at both faces, integral over the thickness = identity [1/m].

    Raises
    ------
    ValueError
        If an array does not fit, or a fraction is outside 0 to 1.

    Notes
    -----
    txz(z) = - integral from -h/2 of (dsx/dx + dtxy/dy) dz, tyz likewise, with the stresses of classical
    theory under dMx/dx = Vx and dMy/dy = Vy and no other gradient (cylindrical bending about each axis).

    References
    ----------
    K. Rohwer, Improved transverse shear stiffnesses for layered finite elements, DFVLR-FB 88-32, 1988;
    R. Rolfes, K. Rohwer, Improved transverse shear stresses in composite finite elements based on first
    order shear deformation theory, Int. J. Numer. Meth. Eng. 40 (1997) 51-60 (both from memory).
    """
    s = array("shear_spread: fraction [-]", fraction, last=(-1,), copy=False)
    if not s.size:
        reject("shear_spread: fraction [-]", "none", "at least one")
    if not ((s >= 0) & (s <= 1)).all():
        reject("shear_spread: fraction [-]", f"{s.min():g} to {s.max():g}", "within 0 to 1")
    compliance = inverse(abd(q_bar, thickness))
    Q, t, z = (np.asarray(v, dtype=float) for v in (q_bar, thickness, interfaces(thickness)))
    b, d = compliance[..., None, None, :3, 3:], compliance[..., None, None, 3:, 3:]
    low = z[..., :-1, None]
    high = low + s * t[..., None]
    rise, rise2 = (high - low)[..., None, None], (high**2 - low**2)[..., None, None]
    within = Q[..., None, :, :] @ (b * rise + d * rise2 / 2)
    rise, rise2 = t[..., None, None], np.diff(z * z)[..., None, None]
    whole = Q @ (b[..., 0, :, :] * rise + d[..., 0, :, :] * rise2 / 2)
    below = np.cumsum(whole, axis=-3) - whole
    total = within + below[..., None, :, :]
    rows = [[total[..., 0, 0], total[..., 2, 1]], [total[..., 2, 0], total[..., 1, 1]]]
    return -np.stack([np.stack(row, axis=-1) for row in rows], axis=-2)


def shear_stiffness(q_bar: ArrayLike, thickness: ArrayLike, g_bar: ArrayLike) -> Array:
    """Transverse shear stiffness of a stack from the energy of the shear spread by equilibrium.

    Parameters
    ----------
    q_bar : array_like, shape (..., ply, 3, 3)
        Laminate-axis stiffness of each ply [Pa].
    thickness : array_like, shape (..., ply)
        Ply thicknesses [m].
    g_bar : array_like, shape (..., ply, 2, 2)
        Transverse shear moduli of each ply in laminate axes [Pa].

    Returns
    -------
    ndarray, shape (..., 2, 2)
        H in (Vx, Vy) = H (gxz, gyz) [N/m].

    Raises
    ------
    ValueError
        If an array does not fit, or a stiffness is not symmetric and positive definite.

    Notes
    -----
    H = [integral of f^T G^-1 f dz]^-1, the integrand of fourth degree in z and so exact with three
    points per ply. One homogeneous ply gives 5/6 G h.
    """
    G = array("shear_stiffness: g_bar [Pa]", g_bar, last=(-1, 2, 2), copy=False)
    f, t = shear_spread(q_bar, thickness, _GAUSS), np.asarray(thickness, dtype=float)
    if G.shape[-3] != f.shape[-4]:
        reject("shear_stiffness: g_bar", f"{G.shape[-3]} plies", f"given for {f.shape[-4]} plies")
    common_shape("g_bar and q_bar, leading", G.shape[:-3], f.shape[:-4])
    unit_diagonal("shear_stiffness: g_bar [Pa]", G)
    energy = f.swapaxes(-1, -2) @ inverse(G)[..., None, :, :] @ f
    return inverse(np.einsum("...p,g,...pgij->...ij", t, _WEIGHT, energy))
