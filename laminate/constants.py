"""Engineering constants of a stack: moduli in plane, in bending, and along turned axes."""

from typing import Annotated, Literal

import numpy as np
from numpy.typing import ArrayLike

from laminate.lamina_stiffness import OffAxisModuli, moduli_of, strain_rotation
from laminate.plate import inverse
from materials.checks import Limits, array, checked, checked_together, common_shape, reject

__all__ = ["flexural_moduli", "inplane_moduli", "moduli_along"]

ROUNDED = 0.01
"""How far nu_xy / Ex and nu_yx / Ey of printed moduli may differ, times the root of Ex Ey [-]."""

Stiffness = Annotated[ArrayLike, Limits("N/m, N, N m", last=(6, 6), definite=True)]
Thickness = Annotated[ArrayLike, Limits("m", above=0.0)]


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
    ValueError: if `curvature` is neither word, or an array does not fit.

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
    ValueError: if `midplane` is neither word, or an array does not fit.

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
    ValueError: if no material can have the constants, or the shapes do not fit.

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
