"""Centroid, shear center, principal axes and change of reference, from the 6 x 6 compliance of a section."""

from typing import Annotated, NamedTuple, TypeAlias

import numpy as np
from numpy.typing import ArrayLike

from beam.section.contour import Contour
from beam.section.wall_equations import measure
from materials.checks import Array, Limits, checked, reject

Compliance: TypeAlias = Annotated[ArrayLike, Limits("1/N, 1/(N m), 1/(N m2)", last=(6, 6))]


def moved(compliance: ArrayLike, point: ArrayLike) -> Array:
    """Compliance (..., 6, 6) for section forces taken at another point (..., 2) [m]."""
    # Forces at p have at the origin the moments T + p2 V3 - p3 V2, M2 + p3 N, M3 - p2 N.
    p = np.asarray(point)
    to_origin = np.zeros((*p.shape[:-1], 6, 6)) + np.eye(6)
    to_origin[..., 3, 1], to_origin[..., 3, 2] = -p[..., 1], p[..., 0]
    to_origin[..., 4, 0], to_origin[..., 5, 0] = p[..., 1], -p[..., 0]
    return np.swapaxes(to_origin, -1, -2) @ np.asarray(compliance, dtype=float) @ to_origin


def turned(compliance: ArrayLike, angle: ArrayLike) -> Array:
    """Compliance (..., 6, 6) in axes turned by an angle (...) about e1, from e2 toward e3 [rad]."""
    c, s = np.cos(angle), np.sin(angle)
    R = np.zeros((*np.shape(angle), 6, 6))
    for first in (0, 3):
        R[..., first, first] = 1.0
        R[..., first + 1, first + 1] = R[..., first + 2, first + 2] = c
        R[..., first + 1, first + 2], R[..., first + 2, first + 1] = s, -s
    return R @ np.asarray(compliance, dtype=float) @ np.swapaxes(R, -1, -2)


@checked
def centroid(compliance: Compliance) -> Array:
    """Point where an axial force does not bend the section.

    Parameters
    ----------
    compliance : array_like, shape (..., 6, 6)
        Section strains per section force [1/N], [1/(N m)], [1/(N m^2)].

    Returns
    -------
    ndarray, shape (..., 2)
        Point (y2, y3) [m].

    Raises
    ------
    ValueError
        If the diagonal is not positive.

    Notes
    -----
    kappa2 = kappa3 = 0 under N at (c2, c3), which has the moments M2 = c3 N, M3 = -c2 N at the origin.

    Examples
    --------
    >>> import numpy as np
    >>> S = np.diag([1e-8, 1e-7, 1e-7, 1e-4, 1e-4, 1e-4])
    >>> S[5, 0] = S[0, 5] = 2e-6
    >>> centroid(S)
    array([0.02, 0.  ])
    """
    S = _positive("centroid", compliance)
    m = np.linalg.solve(S[..., 4:, 4:], -S[..., 4:, 0, None])[..., 0]
    return np.stack([-m[..., 1], m[..., 0]], axis=-1)


@checked
def shear_center(compliance: Compliance) -> Array:
    """Point where a transverse force does not twist the section.

    Parameters
    ----------
    compliance : array_like, shape (..., 6, 6)
        Section strains per section force [1/N], [1/(N m)], [1/(N m^2)].

    Returns
    -------
    ndarray, shape (..., 2)
        Point (y2, y3) [m].

    Raises
    ------
    ValueError
        If the diagonal is not positive.

    Notes
    -----
    kappa1 = 0 under V at (c2, c3), which has the torque T = c2 V3 - c3 V2 at the origin. The twist that the growing
    moment causes in a section with bending-twist coupling is not part of this definition.

    Examples
    --------
    >>> import numpy as np
    >>> S = np.diag([1e-8, 1e-7, 1e-7, 1e-4, 1e-4, 1e-4])
    >>> S[3, 2] = S[2, 3] = 3e-6
    >>> shear_center(S)
    array([-0.03,  0.  ])
    """
    S = _positive("shear_center", compliance)
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


@checked
def principal_axes(compliance: Compliance) -> PrincipalAxes:
    """Principal axes of bending.

    Parameters
    ----------
    compliance : array_like, shape (..., 6, 6)
        Section strains per section force; the reference point has no effect [1/N], [1/(N m)], [1/(N m^2)].

    Returns
    -------
    PrincipalAxes
        Angle and bending stiffness.

    Raises
    ------
    ValueError
        If the diagonal is not positive.

    Notes
    -----
    Eigenvectors of the block s of (kappa2, kappa3) per (M2, M3):

        tan 2 a = -2 s23 / (s33 - s22),  1 / EI = (s22 + s33) / 2 -+ sqrt(((s33 - s22) / 2)^2 + s23^2)

    Where both stiffnesses are equal every axis is principal and the angle is 0.

    Examples
    --------
    >>> import numpy as np
    >>> axes = principal_axes(np.diag([1e-8, 1e-7, 1e-7, 1e-4, 1e-4, 2e-4]))
    >>> axes.stiffness
    array([10000.,  5000.])
    """
    S = _positive("principal_axes", compliance)[..., 4:, 4:]
    half_difference, product = 0.5 * (S[..., 1, 1] - S[..., 0, 0]), S[..., 0, 1]
    radius = np.hypot(half_difference, product)
    mean = 0.5 * (S[..., 0, 0] + S[..., 1, 1])
    equal = radius <= 1e-12 * mean
    angle = np.where(equal, 0.0, 0.5 * np.arctan2(-product, half_difference))
    return PrincipalAxes(angle, np.stack([1 / (mean - radius), 1 / (mean + radius)], axis=-1))


def _positive(who: str, compliance: ArrayLike) -> Array:
    """The compliance; refused if its diagonal is not positive."""
    S = np.asarray(compliance)
    least = np.diagonal(S, axis1=-2, axis2=-1).min(initial=np.inf)
    if least <= 0:
        reject(f"{who}: compliance", f"{least:g} on the diagonal", "> 0")
    return S


def inertia(contour: Contour, areal_density: ArrayLike, thickness: ArrayLike) -> Array:
    """Mass matrix per length, (..., 6, 6), of walls, (..., wall) [kg/m^2], [m], for (u1, u2, u3, r1, r2, r3).

    With m0, m_i, m_ij the integrals of rho, rho y_i, rho y_i y_j over the section, the velocity of a point is
    (u1 + y3 r2 - y2 r3, u2 - y3 r1, u3 + y2 r1). The material is spread evenly through each wall. The thickness and
    the curvature c of the wall count: per area of mid-line

        integral (r + z n)(1 + c z) dz / t = r + c t^2/12 n
        integral (r + z n)(r + z n)' (1 + c z) dz / t = r r' + t^2/12 (n n' + c (r n' + n r'))
    """
    rho, t = np.asarray(areal_density), np.asarray(thickness)
    moments = measure(contour).moments
    depth = (t**2 / 12)[..., None, None]
    curvature = (-contour.turn / contour.length)[..., None, None]
    normal = np.array([[0.0, -1.0], [1.0, 0.0]])
    rr, tt, rt = moments[..., 1:3, 1:3], moments[..., 3:5, 3:5], moments[..., 1:3, 3:5]
    rn = rt @ normal.T
    first = moments[..., 0, 1:3] + (depth * curvature)[..., 0] * (moments[..., 0, 3:5] @ normal.T)
    second = rr + depth * (normal @ tt @ normal.T + curvature * (rn + np.swapaxes(rn, -1, -2)))
    m0 = (rho * contour.length).sum(axis=-1)
    m1 = (rho[..., None] * first).sum(axis=-2)
    m2 = (rho[..., None, None] * second).sum(axis=-3)
    out = np.zeros((*np.broadcast_shapes(m0.shape, m2.shape[:-2]), 6, 6))
    for i in range(3):
        out[..., i, i] = m0
    for row, column, value in (
        (0, 4, m1[..., 1]),
        (0, 5, -m1[..., 0]),
        (1, 3, -m1[..., 1]),
        (2, 3, m1[..., 0]),
        (4, 5, -m2[..., 0, 1]),
    ):
        out[..., row, column] = out[..., column, row] = value
    out[..., 3, 3] = m2[..., 0, 0] + m2[..., 1, 1]
    out[..., 4, 4], out[..., 5, 5] = m2[..., 1, 1], m2[..., 0, 0]
    return out
