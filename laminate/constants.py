"""Engineering constants of a stack: moduli in plane and in bending, and measures of its couplings."""

from typing import Annotated, Literal, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from laminate.lamina_stiffness import OffAxisModuli, moduli_of, strain_rotation
from laminate.plate import inverse
from materials.checks import Array, Limits, array, checked, checked_together, common_shape, reject

__all__ = [
    "BendingParameters",
    "bending_parameters",
    "flexural_moduli",
    "inplane_moduli",
    "moduli_along",
    "stretch_bend_coupling",
]

ROUNDED = 0.01
"""How far nu_xy / Ex and nu_yx / Ey of printed moduli may differ, times the root of Ex Ey [-]."""

Stiffness = Annotated[ArrayLike, Limits("N/m, N, N m", last=(6, 6), definite=True)]
Thickness = Annotated[ArrayLike, Limits("m", above=0.0)]


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


@checked_together
def inplane_moduli(
    abd: Stiffness, thickness: Thickness, *, curvature: Literal["free", "held"] = "free"
) -> OffAxisModuli:
    """In-plane engineering constants of a stack taken as one homogeneous sheet.

    Parameters
    ----------
    abd : array_like, shape (..., 6, 6)
        Stiffness of the stack [N/m], [N], [N m].
    thickness : array_like, shape (...)
        Thickness of the stack [m].
    curvature : {"free", "held"}
        "free": the sheet bends while it is pulled, as a narrow coupon; "held": it stays flat, as a wall
        between its neighbors. The same for a symmetric stack.

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

    Examples
    --------
    >>> from laminate import Laminate
    >>> import materials
    >>> stack = Laminate.from_code("[0/90]", materials.lamina("T300/5208"))
    >>> free, held = (inplane_moduli(stack.abd, 250e-6, curvature=c).Ex / 1e9 for c in ("free", "held"))
    >>> round(float(free), 1), round(float(held), 1)
    (38.6, 96.0)
    """
    K, h = np.asarray(abd), np.asarray(thickness)
    a = inverse(K)[..., :3, :3] if curvature == "free" else inverse(K[..., :3, :3])
    return moduli_of(a * h[..., None, None])


@checked_together
def flexural_moduli(
    abd: Stiffness, thickness: Thickness, *, midplane: Literal["free", "held"] = "free"
) -> OffAxisModuli:
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

    Examples
    --------
    >>> from laminate import Laminate
    >>> import materials
    >>> stack = Laminate.from_code("[0/90]s", materials.lamina("T300/5208"))
    >>> bent = flexural_moduli(stack.abd, stack.thickness)
    >>> round(float(bent.Ex) / 1e9, 1), round(float(bent.Ey) / 1e9, 1)
    (160.1, 31.7)
    """
    K, h = np.asarray(abd), np.asarray(thickness)
    d = inverse(K)[..., 3:, 3:] if midplane == "free" else inverse(K[..., 3:, 3:])
    return moduli_of(d * (h**3 / 12)[..., None, None])


@checked
def moduli_along(moduli: OffAxisModuli, angle_deg: Annotated[ArrayLike, Limits("deg")]) -> OffAxisModuli:
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
        If no material can have the constants, or the shapes do not fit.

    Notes
    -----
    S' = T S T^T with T of `strain_rotation` and S the compliance that the constants state.

    Examples
    --------
    >>> from laminate import Laminate
    >>> import materials
    >>> stack = Laminate.from_code("[0/90]s", materials.lamina("T300/5208"))
    >>> (moduli_along(stack.moduli(), [0.0, 45.0]).Ex / 1e9).round(1)
    array([96. , 25.1])
    """
    named = zip(OffAxisModuli._fields, moduli, strict=True)
    values = [array(f"moduli_along: moduli, {name}", value) for name, value in named]
    common_shape("moduli_along: moduli", *(value.shape for value in values))
    Ex, Ey, Gxy, nu_xy, nu_yx, eta_x, eta_y = np.broadcast_arrays(*values)
    if (abs(nu_yx * Ex - nu_xy * Ey) > ROUNDED * np.sqrt(abs(Ex * Ey))).any():
        reject("moduli_along: moduli", "nu_xy / Ex and nu_yx / Ey that differ", "equal", "swapped?")
    with np.errstate(divide="ignore", invalid="ignore"):
        rows = [
            [1 / Ex, -nu_xy / Ex, eta_x / Ex],
            [-nu_xy / Ex, 1 / Ey, eta_y / Ey],
            [eta_x / Ex, eta_y / Ey, 1 / Gxy],
        ]
    S = array("moduli_along: moduli, as a compliance [1/Pa]", np.moveaxis(np.array(rows), (0, 1), (-2, -1)))
    Limits(definite=True).hold("moduli_along: moduli, as a compliance [1/Pa]", S)
    T = strain_rotation(angle_deg)
    common_shape("moduli_along: moduli and angle_deg", S.shape[:-2], T.shape[:-2])
    return moduli_of(T @ S @ T.swapaxes(-1, -2))


@checked
def bending_parameters(
    D: Annotated[ArrayLike, Limits("N m", last=(3, 3), definite=True)],
) -> BendingParameters:
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

    Notes
    -----
    beta = (D12 + 2 D66)/sqrt(D11 D22), gamma = D16/(D11^3 D22)^(1/4), delta = D26/(D11 D22^3)^(1/4).

    References
    ----------
    M. P. Nemeth, Importance of anisotropy on buckling of compression-loaded symmetric composite
    plates, AIAA Journal 24 (1986) 1831-1835.

    Examples
    --------
    >>> from laminate import Laminate
    >>> import materials
    >>> shape = bending_parameters(Laminate.from_code("[±45]s", materials.lamina("T300/5208")).D)
    >>> [round(float(part), 3) for part in shape]
    [2.392, 0.567, 0.567]
    """
    D = np.asarray(D)
    D11, D22 = D[..., 0, 0], D[..., 1, 1]
    return BendingParameters(
        beta=(D[..., 0, 1] + 2 * D[..., 2, 2]) / np.sqrt(D11 * D22),
        gamma=D[..., 0, 2] / (D11**3 * D22) ** 0.25,
        delta=D[..., 1, 2] / (D11 * D22**3) ** 0.25,
    )


@checked
def stretch_bend_coupling(abd: Stiffness) -> Array:
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

    Examples
    --------
    >>> from laminate import Laminate
    >>> import materials
    >>> T300 = materials.lamina("T300/5208")
    >>> [round(float(stretch_bend_coupling(Laminate.from_code(c, T300).abd)), 3) for c in ("[0/90]s", "[0/90]")]
    [0.0, 0.773]
    """
    K = np.asarray(abd)
    A, B, D = K[..., :3, :3], K[..., :3, 3:], K[..., 3:, 3:]
    lost = B.swapaxes(-1, -2) @ inverse(A) @ B
    roots = np.linalg.eigvals(inverse(D) @ lost).real
    return np.sqrt(np.maximum(roots.max(axis=-1), 0.0))
