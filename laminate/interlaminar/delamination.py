"""When plies part from each other."""

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, array, common_shape, number


def delamination_ratio(
    radial: ArrayLike, shear: ArrayLike, *, tension: float, shear_strength: float
) -> Array:
    """Find the factor on the load at which the plies part, from tension through the thickness and shear.

    Parameters
    ----------
    radial : array_like, shape (...)
        Through-thickness stress, tension positive [Pa].
    shear : array_like, shape (...)
        Interlaminar shear stress [Pa].
    tension : float
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
        If a strength is not positive, a stress is not finite, or the shapes do not fit together.

    Notes
    -----
    (sigma_r/Zt)^2 + (tau/S)^2 = 1/R^2, compression through the thickness not counted.

    References
    ----------
    J. C. Brewer, P. A. Lagace, "Quadratic stress criterion for initiation of delamination", J. Compos.
    Mater. 22 (1988) 1141-1155.
    """
    number("delamination_ratio: tension [Pa]", tension, above=0.0)
    number("delamination_ratio: shear_strength [Pa]", shear_strength, above=0.0)
    radial, shear = (
        array("delamination_ratio: radial [Pa]", radial),
        array("delamination_ratio: shear [Pa]", shear),
    )
    common_shape("delamination_ratio: radial and shear", radial.shape, shear.shape)
    with np.errstate(divide="ignore", over="ignore"):
        return np.asarray(1.0 / np.hypot(np.maximum(radial, 0.0) / tension, shear / shear_strength))
