"""Forces and moments applied at points of the axis."""

from collections.abc import Sequence
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from materials.checks import Array, Frozen, Limits, Numbers, checked, common_shape, default, reject


class PointLoads(Frozen):
    """Forces and moments applied at stations of the strut, every case at the same stations.

    Parameters
    ----------
    at : array_like, shape (load,)
        Station of each load along the axis from the root [m].
    force : array_like, shape (..., case, load, 3)
        Force in strut axes [N].
    moment : array_like, shape (..., case, load, 3)
        Moment about the point of the axis at `at`, in strut axes, arm x force included [N m].
    arm : array_like, shape (..., case, load, 3)
        From the point of the axis to where the force acts, in strut axes. Linear statics does not use it. With
        large displacements it turns with the section [m].

    Raises
    ------
    ValueError
        If the shapes do not match or a station is negative.

    Notes
    -----
    A force f on an arm a with a moment m0 of its own has moment = m0 + a x f.

    Examples
    --------
    >>> force, arm = [[[0.0, 0.0, 2000.0]]], [[[0.0, 0.1, 0.0]]]
    >>> loads = PointLoads(at=[0.6], force=force, moment=np.cross(arm, force), arm=arm)
    >>> loads.wrench
    array([[[   0.,    0., 2000.,  200.,    0.,    0.]]])
    >>> loads.times(1.5).force[0, 0, 2]
    np.float64(3000.0)
    """

    at: Annotated[Numbers, Limits("m", at_least=0.0, shape=(-1,), cause="measured from the root")]
    force: Annotated[Numbers, Limits("N", last=(-1, 3))]
    moment: Annotated[Numbers, Limits("N m")] = default(0.0)
    arm: Annotated[Numbers, Limits("m")] = default(0.0)

    def __post_init__(self) -> None:
        super().__post_init__()
        parts = {name: getattr(self, name) for name in ("force", "moment", "arm")}
        shape = common_shape("PointLoads: force, moment, arm", *(v.shape for v in parts.values()))
        if shape[-2:] != (self.at.size, 3):
            reject(
                "PointLoads: at, force, moment, arm", f"loads of shape {shape}", f"(..., {self.at.size}, 3)"
            )
        for name, value in parts.items():
            object.__setattr__(self, name, np.broadcast_to(value, shape))

    @checked
    def take(
        self, cases: Annotated[Sequence[int] | NDArray[np.intp], Limits("-", at_least=0)]
    ) -> "PointLoads":
        """Some of the load cases, at the same stations.

        Parameters
        ----------
        cases : array_like of int, shape (case,)
            Which cases, in the order wanted [-].
        """
        count, which = self.force.shape[-3], np.asarray(cases)
        if (which >= count).any():
            reject("PointLoads.take: cases [-]", which.tolist(), f"numbers from 0 to {count - 1}")
        force, moment, arm = (v[..., which, :, :] for v in (self.force, self.moment, self.arm))
        return PointLoads(at=self.at, force=force, moment=moment, arm=arm)

    @checked
    def times(self, factor: Annotated[float, Limits("-")]) -> "PointLoads":
        """Forces and moments times a factor, at the same points.

        Parameters
        ----------
        factor : float
            On every load [-].
        """
        return PointLoads(at=self.at, force=factor * self.force, moment=factor * self.moment, arm=self.arm)

    @property
    def wrench(self) -> Array:
        """Force and moment together, shape (..., case, load, 6) [N, N m]."""
        return np.concatenate([self.force, self.moment], axis=-1)
