"""Appendix C: the drag that goes with a basic landing condition."""

import numpy as np
from numpy.typing import ArrayLike
from scipy.constants import pound

from beam.loads.sheet_checks import HEAVIEST
from materials.checks import Array
from materials.limits import positive


def drag_factor(mass: ArrayLike) -> Array:
    """Return K, the drag of a landing over n W.

    Parameters
    ----------
    mass : array_like
        Airplane mass [kg].

    Returns
    -------
    ndarray
        K [-].

    Notes
    -----
    0.25 up to 3,000 lb, 0.33 from 6,000 lb, linear between. The drag of both mains is K n W with the
    inertia factor n, not the reaction factor n - L, so it also meets the 25 % of the vertical reaction
    without wing lift that 23.479(b) asks for; drag over vertical reaction is K n / (n - L).

    References
    ----------
    14 CFR Part 23 Appendix C, Note 1 (through Amendment 23-62).
    """
    weight = positive("drag_factor: mass [kg]", mass, HEAVIEST, "given in pounds or newtons?") / pound
    return np.asarray(np.interp(weight, [3000.0, 6000.0], [0.25, 0.33]))
