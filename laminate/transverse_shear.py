"""Transverse shear of a stack: how it is spread over the plies, and the stiffness that follows.

A plate has two transverse shear angles, so the stiffness is 2 x 2, in (gxz, gyz) and (Vx, Vy). It is not
the sum of ply moduli: that would take the shear as equal in all plies and overrates the stiffness, by
1.2 for one material and by far more for a sandwich. Equilibrium gives the spread, energy the stiffness.
"""

from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike

from laminate.lamina_stiffness import cos_sin
from laminate.plate import abd, interfaces, inverse
from materials.checks import Array, Limits, checked_together, reject

__all__ = ["shear_modulus_rotated", "shear_spread", "shear_stiffness"]

_GAUSS = np.array([0.5 - 0.15**0.5, 0.5, 0.5 + 0.15**0.5])
_WEIGHT = np.array([5.0, 8.0, 5.0]) / 18

Modulus = Annotated[ArrayLike, Limits("Pa", above=0.0)]
PlyStiffness = Annotated[ArrayLike, Limits("Pa", last=(-1, 3, 3))]
PlyThickness = Annotated[ArrayLike, Limits("m", last=(-1,), at_least=0.0)]


@checked_together
def shear_modulus_rotated(
    G13: Modulus, G23: Modulus, angle_deg: Annotated[ArrayLike, Limits("deg")]
) -> Array:
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

    Notes
    -----
    Gxx = c^2 G13 + s^2 G23, Gyy = s^2 G13 + c^2 G23, Gxy = c s (G13 - G23).

    Examples
    --------
    >>> (shear_modulus_rotated(7e9, 3e9, 30.0) / 1e9).round(3)
    array([[6.   , 1.732],
           [1.732, 4.   ]])
    """
    G13, G23 = np.asarray(G13), np.asarray(G23)
    c, s = cos_sin(np.asarray(angle_deg))
    both = c * s * (G13 - G23)
    rows = [[c * c * G13 + s * s * G23, both], [both, s * s * G13 + c * c * G23]]
    return np.stack([np.stack(row, axis=-1) for row in rows], axis=-2)


@checked_together
def shear_spread(
    q_bar: PlyStiffness,
    thickness: PlyThickness,
    fraction: Annotated[ArrayLike, Limits("-", shape=(-1,), at_least=0.0, at_most=1.0)],
) -> Array:
    """Transverse shear stress per shear force at heights within each ply, by equilibrium.

    Parameters
    ----------
    q_bar : array_like, shape (..., ply, 3, 3)
        Laminate-axis stiffness of each ply [Pa].
    thickness : array_like, shape (..., ply)
        Ply thicknesses; zero leaves a ply out [m].
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

    Examples
    --------
    >>> from laminate import q_reduced
    >>> one_ply = q_reduced(70e9, 70e9, 27e9, 0.3)[None]
    >>> shear_spread(one_ply, [2e-3], [0.25, 0.5, 0.75])[0, :, 0, 0].round(3)  # 1.5/h in the middle
    array([562.5, 750. , 562.5])
    """
    Q, t = np.asarray(q_bar), np.asarray(thickness)
    refuse_no_stack("shear_spread", Q, t)
    return spread(Q, t, np.asarray(fraction))


def refuse_no_stack(owner: str, q_bar: Array, thickness: Array) -> None:
    """Refuse plies (..., ply, 3, 3) and thicknesses (..., ply) that make no stack."""
    if q_bar.shape[-3] != thickness.shape[-1]:
        reject(f"{owner}: q_bar, thickness", f"{q_bar.shape[-3]} and {thickness.shape[-1]} plies", "as many")
    if not thickness.any(axis=-1).all():
        reject(f"{owner}: thickness [m]", "zero for all plies of a stack", "> 0 for one of them")
    Limits(definite=True).hold(f"{owner}: q_bar and thickness, as ABD", abd(q_bar, thickness))


def spread(Q: Array, t: Array, fraction: Array) -> Array:
    """Stress per force (..., ply, point, 2, 2) of plies Q (..., ply, 3, 3), t (..., ply), at fractions (point,)."""
    compliance, z = inverse(abd(Q, t)), interfaces(t)
    b, d = compliance[..., None, None, :3, 3:], compliance[..., None, None, 3:, 3:]
    low = z[..., :-1, None]
    high = low + fraction * t[..., None]
    rise, rise2 = (high - low)[..., None, None], (high**2 - low**2)[..., None, None]
    within = Q[..., None, :, :] @ (b * rise + d * rise2 / 2)
    rise, rise2 = t[..., None, None], np.diff(z * z)[..., None, None]
    whole = Q @ (b[..., 0, :, :] * rise + d[..., 0, :, :] * rise2 / 2)
    below = np.cumsum(whole, axis=-3) - whole
    total = within + below[..., None, :, :]
    rows = [[total[..., 0, 0], total[..., 2, 1]], [total[..., 2, 0], total[..., 1, 1]]]
    return -np.stack([np.stack(row, axis=-1) for row in rows], axis=-2)


@checked_together
def shear_stiffness(
    q_bar: PlyStiffness,
    thickness: PlyThickness,
    g_bar: Annotated[ArrayLike, Limits("Pa", last=(-1, 2, 2), definite=True)],
) -> Array:
    """Transverse shear stiffness of a stack from the energy of the shear spread by equilibrium.

    Parameters
    ----------
    q_bar : array_like, shape (..., ply, 3, 3)
        Laminate-axis stiffness of each ply [Pa].
    thickness : array_like, shape (..., ply)
        Ply thicknesses; zero leaves a ply out [m].
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
    H = [integral of f^T G^-1 f dz]^-1 with f of `shear_spread`; the integrand is of fourth degree in z, so three
    points per ply are exact. One homogeneous ply gives 5/6 G h.

    Examples
    --------
    >>> from laminate import q_reduced
    >>> H = shear_stiffness(q_reduced(70e9, 70e9, 27e9, 0.3)[None], [2e-3], 27e9 * np.eye(2)[None])
    >>> (H / (27e9 * 2e-3)).round(4)
    array([[0.8333, 0.    ],
           [0.    , 0.8333]])
    """
    Q, t, G = np.asarray(q_bar), np.asarray(thickness), np.asarray(g_bar)
    refuse_no_stack("shear_stiffness", Q, t)
    if G.shape[-3] != Q.shape[-3]:
        reject("shear_stiffness: g_bar", f"{G.shape[-3]} plies", f"given for {Q.shape[-3]} plies")
    f = spread(Q, t, _GAUSS)
    energy = f.swapaxes(-1, -2) @ inverse(G)[..., None, :, :] @ f
    return inverse(np.einsum("...p,g,...pgij->...ij", t, _WEIGHT, energy))
