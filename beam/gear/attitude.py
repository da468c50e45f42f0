"""Ground axes seen from an airplane that sits nose up.

Airplane axes turn with the airplane: nose up, the tail goes down, so airplane x (aft) points a little
into the ground and airplane z (up) leans aft. Seen from the airplane, ground up leans forward:

        ground aft = (cos a, 0, sin a)        ground up = (-sin a, 0, cos a)
"""

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array


def ground_axes(attitude_deg: ArrayLike) -> Array:
    """Ground directions in airplane axes.

    Parameters
    ----------
    attitude_deg : array_like, shape (...)
        Nose-up attitude [deg].

    Returns
    -------
    ndarray, shape (..., 3, 3)
        Columns: ground aft, starboard, ground up. The matrix takes components on ground axes to
        components on airplane axes; its transpose goes back [-].
    """
    a = np.radians(np.asarray(attitude_deg, dtype=float))
    c, s, zero, one = np.cos(a), np.sin(a), np.zeros_like(a), np.ones_like(a)
    rows = [np.stack(row, axis=-1) for row in ((c, zero, -s), (zero, one, zero), (s, zero, c))]
    return np.stack(rows, axis=-2)
