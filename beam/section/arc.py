"""Arc functions that stay exact as the arc straightens.

With the tangent at angle x u after the fraction u of an arc of unit length, the point reached is
the integral of exp(i x u); all else follows from its chord, its first moment and its segment.
"""

import numpy as np
from numpy.typing import NDArray

from materials.checks import Array

Complex = NDArray[np.complex128]

SMALL = 0.3
"""Below this turn [rad] the series is exact to rounding and the closed form has begun to lose digits."""


def chord(turn: Array) -> Complex:
    """Where an arc of unit length ends, as a complex number: (exp(ix) - 1)/(ix).

    Parameters
    ----------
    turn : ndarray, shape (...)
        Turn x of the tangent from start to end [rad].

    Returns
    -------
    ndarray, shape (...)
        End, seen from the start along the first tangent [-].
    """
    return np.asarray(np.exp(0.5j * turn) * np.sinc(turn / (2 * np.pi)))


def segment(turn: Array) -> Array:
    """Twice the area between an arc of unit length and its chord: (x - sin x)/x^2.

    Parameters
    ----------
    turn : ndarray, shape (...)
        Turn x of the tangent from start to end [rad].

    Returns
    -------
    ndarray, shape (...)
        Positive where the arc turns counter-clockwise [-].
    """
    square = turn * turn
    series = turn / 6 * (1 - square / 20 * (1 - square / 42 * (1 - square / 72 * (1 - square / 110))))
    safe = np.where(np.abs(turn) < SMALL, 1.0, turn)
    return np.where(np.abs(turn) < SMALL, series, (safe - np.sin(safe)) / safe**2)


def first_moment(turn: Array) -> Complex:
    """First moment of an arc of unit length about its start: (exp(ix) - 1 - ix)/(ix)^2.

    Parameters
    ----------
    turn : ndarray, shape (...)
        Turn x of the tangent from start to end [rad].

    Returns
    -------
    ndarray, shape (...)
        Integral of the point over the arc, as a complex number [-].
    """
    return 0.5 * np.sinc(turn / (2 * np.pi)) ** 2 + 1j * segment(turn)
