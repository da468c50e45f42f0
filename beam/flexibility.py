"""Flexibility of a strut as arrays: what the landing needs to know of it, whatever it is made of."""

from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike

from beam.axes import skew
from materials.checks import Array, Frozen, Limits, Numbers, checked, default, reject

__all__ = ["Flexibility"]

PARTS = 12
"""Motions that the arrays hold: three translations and three rotations at the pivot, then at the bracket [-]."""


class Flexibility(Frozen):
    """Compliance and inertia of a strut at the link pivot and at the shock's bracket, airplane axes.

    Parameters
    ----------
    points : array_like, shape (2, 3)
        Link pivot and upper end of the shock [m].
    compliance : array_like, shape (12, 12)
        Motion over load: u (3) and r (3) at the pivot, then at the bracket, for forces (3) and moments (3) there
        [m/N, rad/N, rad/(N m)].
    inertia : array_like, shape (12, 12)
        The strut's own inertia on the same motions; none if not given [kg, kg m, kg m2].
    damping_ratio : float
        Damping over critical of every mode: 0.01 to 0.03 is common practice for a composite with bolted fittings,
        no source [-].

    Raises
    ------
    ValueError
        If the compliance is not symmetric and positive definite, the inertia not symmetric or its energy negative, or
        pivot and bracket are one point.

    Notes
    -----
    `beam.strut.Strut.flexibility` makes one from the span. Maxwell: the compliance is symmetric.

    Examples
    --------
    >>> import numpy as np
    >>> soft = np.diag([1e-6] * 3 + [1e-5] * 3 + [1e-7] * 3 + [1e-6] * 3)
    >>> strut = Flexibility(points=[(0.0, 0.9, 0.2), (0.0, 0.8, 0.5)], compliance=soft)
    >>> float(strut.at_point([0.0, 1.0, 0.2])[0, 0].round(9))  # 0.1 m outboard, in yaw too
    1.1e-06
    """

    points: Annotated[Numbers, Limits("m", shape=(2, 3), above=-5000.0, below=5000.0, cause="given in mm?")]
    compliance: Annotated[Numbers, Limits("m/N, rad/(N m)", shape=(PARTS, PARTS), definite=True)]
    inertia: Annotated[Numbers, Limits("kg, kg m2", shape=(PARTS, PARTS))] = default(
        ((0.0,) * PARTS,) * PARTS
    )
    damping_ratio: Annotated[float, Limits("-", at_least=0.0, below=0.5, cause="given in percent?")] = 0.02

    def __post_init__(self) -> None:
        super().__post_init__()
        if np.linalg.norm(self.points[0] - self.points[1]) < 1e-6:
            reject("Flexibility: points [m]", "pivot and bracket at one point", "two points")
        M = self.inertia
        small = 1e-8 * np.abs(M).max()
        if np.abs(M - M.T).max() > small or np.linalg.eigvalsh(M)[0] < -small:
            reject("Flexibility: inertia [kg, kg m2]", "a matrix", "symmetric and positive semi-definite")

    @property
    def stiffness(self) -> Array:
        """Load over motion, shape (12, 12) [N/m, N m/rad]."""
        return np.asarray(np.linalg.inv(self.compliance), dtype=float)

    @checked
    def at_point(self, point: Annotated[ArrayLike, Limits("m", shape=(3,))]) -> Array:
        """Compliance of a point that is rigid with the pivot, such as the axle: motion over force, shape (3, 3) [m/N].

        Parameters
        ----------
        point : array_like, shape (3,)
            The point, airplane axes [m].
        """
        arm = np.asarray(point) - self.points[0]
        to_point = np.hstack([np.eye(3), -skew(arm)])
        return np.asarray(to_point @ self.compliance[:6, :6] @ to_point.T)
