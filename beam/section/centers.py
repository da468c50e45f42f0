"""Centroid, shear center, principal axes and change of the reference, all from the 6 x 6 compliance."""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, array, common_shape, reject


def moved(compliance: ArrayLike, point: ArrayLike) -> Array:
    """Compliance for section forces taken at another point.

    Parameters
    ----------
    compliance : array_like, shape (..., 6, 6)
        For forces (N, V2, V3, T, M2, M3) at the origin [1/N], [1/(N m)], [1/(N m^2)].
    point : array_like, shape (..., 2)
        New reference point (y2, y3) [m].

    Returns
    -------
    ndarray, shape (..., 6, 6)
        For forces at the point, in the same directions [1/N], [1/(N m)], [1/(N m^2)].

    Notes
    -----
    Forces at p have at the origin T + p2 V3 - p3 V2, M2 + p3 N, M3 - p2 N.
    """
    p, S = array("moved: point [m]", point, last=(2,), copy=False), _compliance("moved", compliance)
    common_shape("moved: compliance, point", p.shape[:-1], S.shape[:-2])
    to_origin = np.zeros((*p.shape[:-1], 6, 6)) + np.eye(6)
    to_origin[..., 3, 1], to_origin[..., 3, 2] = -p[..., 1], p[..., 0]
    to_origin[..., 4, 0], to_origin[..., 5, 0] = p[..., 1], -p[..., 0]
    return np.swapaxes(to_origin, -1, -2) @ S @ to_origin


def centroid(compliance: ArrayLike) -> Array:
    """Where an axial force bends the section in neither plane.

    Parameters
    ----------
    compliance : array_like, shape (..., 6, 6)
        Section strains per section force [1/N], [1/(N m)], [1/(N m^2)].

    Returns
    -------
    ndarray, shape (..., 2)
        Point (y2, y3) [m].

    Notes
    -----
    kappa2 = kappa3 = 0 under N at (c2, c3), which has the moments M2 = c3 N, M3 = -c2 N at the origin.
    """
    S = _compliance("centroid", compliance)
    m = np.linalg.solve(S[..., 4:, 4:], -S[..., 4:, 0, None])[..., 0]
    return np.stack([-m[..., 1], m[..., 0]], axis=-1)


def shear_center(compliance: ArrayLike) -> Array:
    """Where a transverse force does not twist the section.

    Parameters
    ----------
    compliance : array_like, shape (..., 6, 6)
        Section strains per section force [1/N], [1/(N m)], [1/(N m^2)].

    Returns
    -------
    ndarray, shape (..., 2)
        Point (y2, y3) [m].

    Notes
    -----
    kappa1 = 0 under V at (c2, c3), which has the torque T = c2 V3 - c3 V2 at the origin. Twist that the
    growing moment causes in a section with bending-twist coupling is not part of this definition.
    """
    S = _compliance("shear_center", compliance)
    return np.stack([-S[..., 3, 2], S[..., 3, 1]], axis=-1) / S[..., 3, 3, None]


class PrincipalAxes(NamedTuple):
    """Axes about which a moment bends the section about its own direction alone.

    Parameters
    ----------
    angle : ndarray, shape (...)
        Of the first axis from e2 toward e3, within -pi/2 and pi/2; the second is a quarter turn on [rad].
    stiffness : ndarray, shape (..., 2)
        Bending stiffness about them under a pure moment, the greater first [N m^2].
    """

    angle: Array
    stiffness: Array


def principal_axes(compliance: ArrayLike) -> PrincipalAxes:
    """Principal axes of bending.

    Parameters
    ----------
    compliance : array_like, shape (..., 6, 6)
        Section strains per section force; the reference point is of no account [1/N], [1/(N m)], [1/(N m^2)].

    Returns
    -------
    PrincipalAxes
        Angle and bending stiffness.

    Notes
    -----
    Eigenvectors of the block of (kappa2, kappa3) per (M2, M3). Where both stiffnesses are equal every axis is
    principal and the angle is 0.
    """
    S = _compliance("principal_axes", compliance)[..., 4:, 4:]
    half_difference, product = 0.5 * (S[..., 1, 1] - S[..., 0, 0]), S[..., 0, 1]
    radius = np.hypot(half_difference, product)
    mean = 0.5 * (S[..., 0, 0] + S[..., 1, 1])
    alike = radius <= 1e-12 * mean
    angle = np.where(alike, 0.0, 0.5 * np.arctan2(-product, half_difference))
    return PrincipalAxes(angle, np.stack([1 / (mean - radius), 1 / (mean + radius)], axis=-1))


def turned(compliance: ArrayLike, angle: ArrayLike) -> Array:
    """Compliance in axes turned about e1.

    Parameters
    ----------
    compliance : array_like, shape (..., 6, 6)
        In the axes (e2, e3) [1/N], [1/(N m)], [1/(N m^2)].
    angle : array_like, shape (...)
        From e2 to the new e2, toward e3 [rad].

    Returns
    -------
    ndarray, shape (..., 6, 6)
        In the new axes [1/N], [1/(N m)], [1/(N m^2)].
    """
    turn, S = array("turned: angle [rad]", angle, copy=False), _compliance("turned", compliance)
    common_shape("turned: compliance, angle", turn.shape, S.shape[:-2])
    c, s = np.cos(turn), np.sin(turn)
    R = np.zeros((*turn.shape, 6, 6))
    for first in (0, 3):
        R[..., first, first] = 1.0
        R[..., first + 1, first + 1] = R[..., first + 2, first + 2] = c
        R[..., first + 1, first + 2], R[..., first + 2, first + 1] = s, -s
    return R @ S @ np.swapaxes(R, -1, -2)


def _compliance(who: str, value: ArrayLike) -> Array:
    """The 6 x 6; the diagonal must be positive, or a stiffness of nothing would be divided by."""
    S = array(f"{who}: compliance [1/N], [1/(N m)], [1/(N m^2)]", value, last=(6, 6), copy=False)
    least = np.diagonal(S, axis1=-2, axis2=-1).min()
    if least <= 0:
        reject(f"{who}: compliance", f"{least:g} on the diagonal", "> 0")
    return S
