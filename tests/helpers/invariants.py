"""Invariants of the plane-stress stiffness under rotation, as printed, for comparison with the library."""

import numpy as np


def invariants(Q):
    """U1 ... U5 of Q (3, 3): S. W. Tsai, H. T. Hahn, Introduction to Composite Materials, 1980, ch. 3."""
    Q11, Q12, Q22, Q66 = Q[0, 0], Q[0, 1], Q[1, 1], Q[2, 2]
    return np.array([
        3 * Q11 + 3 * Q22 + 2 * Q12 + 4 * Q66, 4 * Q11 - 4 * Q22, Q11 + Q22 - 2 * Q12 - 4 * Q66,
        Q11 + Q22 + 6 * Q12 - 4 * Q66, Q11 + Q22 - 2 * Q12 + 4 * Q66,
    ]) / 8  # fmt: skip
