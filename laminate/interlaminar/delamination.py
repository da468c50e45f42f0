"""Shear stress between the plies from transverse shear forces, and when plies part."""

from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike

from laminate.plate import abd, interfaces
from laminate.transverse_shear import shear_spread
from materials.checks import Array, Limits, checked_together, reject

__all__ = ["delamination_ratio", "interlaminar_shear"]

Stress = Annotated[ArrayLike, Limits("Pa")]
Strength = Annotated[float, Limits("Pa", at_least=1e5, at_most=2e10, cause="given in MPa?")]


@checked_together
def interlaminar_shear(
    q_bar: Annotated[ArrayLike, Limits("Pa", last=(-1, 3, 3))],
    thickness: Annotated[ArrayLike, Limits("m", last=(-1,), at_least=0.0)],
    shear_force: Annotated[ArrayLike, Limits("N/m", last=(2,))],
    *,
    points: Annotated[int, Limits("-", at_least=2, at_most=10_001)] = 3,
) -> tuple[Array, Array]:
    """Transverse shear stress through every ply, by equilibrium across the plies.

    Parameters
    ----------
    q_bar : array_like, shape (..., ply, 3, 3)
        Plane-stress stiffness of each ply in laminate axes, inner ply first [Pa].
    thickness : array_like, shape (..., ply)
        Ply thickness; zero leaves a ply out [m].
    shear_force : array_like, shape (..., 2)
        Transverse shear forces per width (Vx, Vy) [N/m].
    points : int
        Number of places in each ply, from its inner to its outer surface; three define the parabola [-].

    Returns
    -------
    z : ndarray, shape (..., ply, point)
        Heights above mid-thickness [m].
    stress : ndarray, shape (..., ply, point, 2)
        (tau_xz, tau_yz) [Pa].

    Raises
    ------
    ValueError: if the plies of q_bar and thickness differ in number, a thickness is negative, a value is not finite,
        or the shapes do not fit together.

    Notes
    -----
    tau = f (Vx, Vy), f by equilibrium (`laminate.transverse_shear.shear_spread`). One homogeneous ply
    gives tau_xz = (3 Vx / 2h) (1 - 4 z^2/h^2).

    Examples
    --------
    >>> from laminate import q_reduced
    >>> z, stress = interlaminar_shear(q_reduced(70e9, 70e9, 27e9, 0.3)[None], [2e-3], [1e4, 0.0])
    >>> (stress[0, 1, 0] / 1e6).round(3)  # in the middle, 1.5 V/h [MPa]
    np.float64(7.5)
    """
    Q, t, force = np.asarray(q_bar), np.asarray(thickness), np.asarray(shear_force)
    if Q.shape[-3] != t.shape[-1]:
        reject("interlaminar_shear: q_bar, thickness", f"{Q.shape[-3]} and {t.shape[-1]} plies", "as many")
    if not t.any(axis=-1).all():
        reject("interlaminar_shear: thickness [m]", "zero for all plies of a stack", "> 0 for one of them")
    Limits(definite=True).hold("interlaminar_shear: q_bar and thickness, as ABD", abd(Q, t))
    fraction = np.linspace(0.0, 1.0, points)
    z = interfaces(t)
    height = z[..., :-1, None] + fraction * np.diff(z)[..., None]
    stress = (shear_spread(Q, t, fraction) @ force[..., None, None, :, None])[..., 0]
    return np.broadcast_to(height, stress.shape[:-1]), stress


@checked_together
def delamination_ratio(
    radial_stress: Stress, shear_stress: Stress, *, tensile_strength: Strength, shear_strength: Strength
) -> Array:
    """Factor on the load at which the plies part, from tension through the thickness and shear.

    Parameters
    ----------
    radial_stress, shear_stress : array_like, shape (...)
        Stress through the thickness, tension positive, and in interlaminar shear [Pa].
    tensile_strength, shear_strength : float
        Strength through the thickness and in interlaminar shear [Pa].

    Returns
    -------
    ndarray, shape (...)
        R; inf where neither tension nor shear acts [-].

    Raises
    ------
    ValueError: if a strength is not positive or of a size that only a slip of units explains, a stress is not finite,
        or the shapes do not fit together.

    Notes
    -----
    (sigma_r/Zt)^2 + (tau/S)^2 = 1/R^2, compression through the thickness not counted.

    References
    ----------
    J. C. Brewer, P. A. Lagace, "Quadratic stress criterion for initiation of delamination", J. Compos.
    Mater. 22 (1988) 1141-1155.

    Examples
    --------
    >>> float(delamination_ratio(30e6, 40e6, tensile_strength=50e6, shear_strength=50e6))
    1.0
    >>> float(delamination_ratio(-30e6, 40e6, tensile_strength=50e6, shear_strength=50e6))
    1.25
    """
    tension = np.maximum(np.asarray(radial_stress), 0.0) / tensile_strength
    with np.errstate(divide="ignore", over="ignore"):
        return np.asarray(1.0 / np.hypot(tension, np.asarray(shear_stress) / shear_strength))
