"""Engineering constants of a stack: moduli in plane and in bending, and measures of its couplings."""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from laminate.lamina_stiffness import OffAxisModuli, moduli_of, strain_rotation
from laminate.plate import inverse, unit_diagonal
from materials.checks import Array, array, common_shape, one_of, reject, sequence

ROUNDED = 0.01
"""How far nu_xy / Ex and nu_yx / Ey of printed moduli may differ, times the root of Ex Ey [-]."""


class BendingParameters(NamedTuple):
    """Nondimensional shape of a bending stiffness, as plate buckling sees it.

    Attributes
    ----------
    beta : ndarray, shape (...)
        Orthotropy (D12 + 2 D66) / sqrt(D11 D22), 1 for an isotropic plate [-].
    gamma : ndarray, shape (...)
        Anisotropy D16 / (D11^3 D22)^(1/4) [-].
    delta : ndarray, shape (...)
        Anisotropy D26 / (D11 D22^3)^(1/4) [-].
    """

    beta: Array
    gamma: Array
    delta: Array


def inplane_moduli(abd: ArrayLike, thickness: ArrayLike, *, curvature: str = "free") -> OffAxisModuli:
    """In-plane engineering constants of a stack taken as one homogeneous sheet.

    Parameters
    ----------
    abd : array_like, shape (..., 6, 6)
        Stiffness of the stack [N/m], [N], [N m].
    thickness : array_like, shape (...)
        Thickness of the stack [m].
    curvature : {"free", "held"}
        Whether the sheet may bend while it is pulled (a narrow coupon) or not (a wall held flat by
        its neighbors); alike for a symmetric stack.

    Returns
    -------
    OffAxisModuli
        Constants, each of shape (...), moduli [Pa] and ratios [-].

    Raises
    ------
    ValueError
        If `curvature` is neither word, or an array does not fit.

    Notes
    -----
    E.g. Ex = 1 / (h a11), with a = the in-plane block of the inverse of ABD (free) or a = A^-1 (held).
    """
    K, h = _checked(abd, thickness)
    free = _is_free("curvature", curvature)
    a = inverse(K)[..., :3, :3] if free else inverse(K[..., :3, :3])
    return moduli_of(a * h[..., None, None])


def flexural_moduli(abd: ArrayLike, thickness: ArrayLike, *, midplane: str = "free") -> OffAxisModuli:
    """Engineering constants that a homogeneous sheet of the same thickness would need to bend alike.

    Parameters
    ----------
    abd : array_like, shape (..., 6, 6)
        Stiffness of the stack [N/m], [N], [N m].
    thickness : array_like, shape (...)
        Thickness of the stack [m].
    midplane : {"free", "held"}
        Whether the midplane may stretch while the sheet bends.

    Returns
    -------
    OffAxisModuli
        Constants, each of shape (...), moduli [Pa] and ratios [-].

    Raises
    ------
    ValueError
        If `midplane` is neither word, or an array does not fit.

    Notes
    -----
    E.g. Ex = 12 / (h^3 d11), with d = the bending block of the inverse of ABD (free) or d = D^-1 (held).
    """
    K, h = _checked(abd, thickness)
    free = _is_free("midplane", midplane)
    d = inverse(K)[..., 3:, 3:] if free else inverse(K[..., 3:, 3:])
    return moduli_of(d * (h**3 / 12)[..., None, None])


def moduli_along(moduli: OffAxisModuli, angle_deg: ArrayLike) -> OffAxisModuli:
    """Engineering constants along turned axes, as for a polar diagram.

    Parameters
    ----------
    moduli : OffAxisModuli
        Constants along the laminate axes, each of shape (...), [Pa] and [-].
    angle_deg : array_like, shape (...)
        Angle of the new first axis from x toward y [deg].

    Returns
    -------
    OffAxisModuli
        Constants along the new axes, each of the broadcast shape, moduli [Pa] and ratios [-].

    Raises
    ------
    ValueError
        If there are not seven constants, no material can have them, or the shapes do not fit.
    """
    given = sequence("moduli_along: moduli", moduli, empty=True)
    if len(given) != len(OffAxisModuli._fields):
        limit = f"the {len(OffAxisModuli._fields)} constants of OffAxisModuli"
        reject("moduli_along: moduli", f"{len(given)} numbers", limit)
    named = zip(OffAxisModuli._fields, given, strict=True)
    values = [array(f"moduli_along: moduli, {name}", value, copy=False) for name, value in named]
    common_shape("moduli_along: moduli", *(value.shape for value in values))
    Ex, Ey, Gxy, nu_xy, nu_yx, eta_x, eta_y = values
    for name, modulus in (("Ex", Ex), ("Ey", Ey), ("Gxy", Gxy)):
        if not (modulus > 0).all():
            reject(f"moduli_along: moduli, {name} [Pa]", f"{modulus.min():g}", "> 0")
    if (abs(nu_yx * Ex - nu_xy * Ey) > ROUNDED * np.sqrt(Ex * Ey)).any():
        reject("moduli_along: moduli", "nu_xy / Ex and nu_yx / Ey that differ", "equal", "swapped?")
    rows = [
        [1 / Ex, -nu_xy / Ex, eta_x / Ex],
        [-nu_xy / Ex, 1 / Ey, eta_y / Ey],
        [eta_x / Ex, eta_y / Ey, 1 / Gxy],
    ]
    S = np.stack([np.stack(np.broadcast_arrays(*row), axis=-1) for row in rows], axis=-2)
    T = strain_rotation(angle_deg)
    common_shape("moduli and angle_deg", S.shape[:-2], T.shape[:-2])
    return moduli_of(T @ S @ T.swapaxes(-1, -2))


def bending_parameters(D: ArrayLike) -> BendingParameters:
    """Nondimensional orthotropy and anisotropy of a bending stiffness.

    Parameters
    ----------
    D : array_like, shape (..., 3, 3)
        Bending stiffness [N m].

    Returns
    -------
    BendingParameters
        Each of shape (...) [-].

    Raises
    ------
    ValueError
        If D has another shape, is not finite, or not symmetric and positive definite.

    References
    ----------
    M. P. Nemeth, Importance of anisotropy on buckling of compression-loaded symmetric composite
    plates, AIAA Journal 24 (1986) 1831-1835.
    """
    D = array("bending_parameters: D [N m]", D, last=(3, 3), copy=False)
    unit_diagonal("bending_parameters: D [N m]", D)
    D11, D22 = D[..., 0, 0], D[..., 1, 1]
    return BendingParameters(
        beta=(D[..., 0, 1] + 2 * D[..., 2, 2]) / np.sqrt(D11 * D22),
        gamma=D[..., 0, 2] / (D11**3 * D22) ** 0.25,
        delta=D[..., 1, 2] / (D11 * D22**3) ** 0.25,
    )


def stretch_bend_coupling(abd: ArrayLike) -> Array:
    """How strongly stretching and bending are coupled, 0 (B = 0) to 1 (excluded).

    Parameters
    ----------
    abd : array_like, shape (..., 6, 6)
        Stiffness of the stack [N/m], [N], [N m].

    Returns
    -------
    ndarray, shape (...)
        The measure c: in the worst direction, freeing the midplane takes the part c^2 of the
        bending stiffness away [-].

    Raises
    ------
    ValueError
        If `abd` has another shape, is not finite, or not symmetric and positive definite.

    Notes
    -----
    c^2 is the largest root of det(B A^-1 B - c^2 D) = 0, so that D - B A^-1 B, the bending stiffness
    with the midplane free, is in every direction at least (1 - c^2) D.
    """
    K = array("stretch_bend_coupling: abd", abd, last=(6, 6), copy=False)
    unit_diagonal("stretch_bend_coupling: abd", K)
    A, B, D = K[..., :3, :3], K[..., :3, 3:], K[..., 3:, 3:]
    lost = B.swapaxes(-1, -2) @ inverse(A) @ B
    roots = np.linalg.eigvals(inverse(D) @ lost).real
    return np.sqrt(np.maximum(roots.max(axis=-1), 0.0))


def _checked(abd: ArrayLike, thickness: ArrayLike) -> tuple[Array, Array]:
    K = array("abd", abd, last=(6, 6), copy=False)
    h = array("thickness [m]", thickness, copy=False)
    if not (h > 0).all():
        reject("thickness [m]", f"{h.min():g}", "> 0")
    common_shape("abd and thickness, leading", K.shape[:-2], h.shape)
    return K, h


def _is_free(what: str, word: str) -> bool:
    return one_of(what, word, ("free", "held")) == "free"
