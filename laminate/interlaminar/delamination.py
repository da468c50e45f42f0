"""When plies part from each other."""

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, array, common_shape, number


def delamination_ratio(
    radial_stress: ArrayLike, shear_stress: ArrayLike, *, tensile_strength: float, shear_strength: float
) -> Array:
    """Find the factor on the load at which the plies part, from tension through the thickness and shear.

    Parameters
    ----------
    radial_stress : array_like, shape (...)
        Through-thickness stress, tension positive [Pa].
    shear_stress : array_like, shape (...)
        Interlaminar shear stress [Pa].
    tensile_strength : float
        Through-thickness tensile strength [Pa].
    shear_strength : float
        Interlaminar shear strength [Pa].

    Returns
    -------
    ndarray, shape (...)
        R; inf where neither tension nor shear acts [-].

    Raises
    ------
    ValueError
        If a strength is not positive or of a size that only a slip of units explains, a stress is not
        finite, or the shapes do not fit together.

    Notes
    -----
    (sigma_r/Zt)^2 + (tau/S)^2 = 1/R^2, compression through the thickness not counted.

    References
    ----------
    J. C. Brewer, P. A. Lagace, "Quadratic stress criterion for initiation of delamination", J. Compos.
    Mater. 22 (1988) 1141-1155.
    """
    Zt = _strength("tensile_strength", tensile_strength)
    S = _strength("shear_strength", shear_strength)
    radial = array("delamination_ratio: radial_stress [Pa]", radial_stress)
    shear = array("delamination_ratio: shear_stress [Pa]", shear_stress)
    common_shape("delamination_ratio: radial_stress and shear_stress", radial.shape, shear.shape)
    with np.errstate(divide="ignore", over="ignore"):
        return np.asarray(1.0 / np.hypot(np.maximum(radial, 0.0) / Zt, shear / S))


def _strength(name: str, value: float) -> float:
    what = f"delamination_ratio: {name} [Pa]"
    positive = number(what, value, above=0.0)
    return number(what, positive, at_least=1e5, at_most=2e10, cause="given in MPa?")
