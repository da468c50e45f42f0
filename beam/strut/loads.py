"""Forces and moments applied at points of the axis."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, array, number, reject
from materials.kinds import whole_numbers


@dataclass(frozen=True, kw_only=True, eq=False)
class PointLoads:
    """Forces and moments applied at stations of the strut, every case at the same stations.

    Parameters
    ----------
    at : array_like, shape (load,)
        Station of each load along the axis from the root [m].
    force : array_like, shape (..., case, load, 3)
        Force in strut axes [N].
    moment : array_like, shape (..., case, load, 3)
        Moment about the point of the axis at `at`, in strut axes; it includes what the arm of the
        force makes [N m].
    arm : array_like, shape (..., case, load, 3)
        From the point of the axis to where the force acts, in strut axes [m]. Linear statics does not
        use it, for `moment` has its effect; with large displacements the arm turns with the section.

    Raises
    ------
    ValueError
        If the shapes do not match or a station is negative.
    """

    at: Array
    force: Array
    moment: Array = 0.0  # type: ignore[assignment]
    arm: Array = 0.0  # type: ignore[assignment]

    def __init__(
        self, *, at: ArrayLike, force: ArrayLike, moment: ArrayLike = 0.0, arm: ArrayLike = 0.0
    ) -> None:
        where = array("PointLoads: at [m]", at, last=(-1,))
        if where.ndim != 1 or (where < 0).any():
            reject(
                "PointLoads: at [m]",
                where,
                "stations of shape (load,), none below 0",
                "measured from the root",
            )
        f = array("PointLoads: force [N]", force, last=(where.size, 3))
        m = array("PointLoads: moment [N m]", moment)
        a = array("PointLoads: arm [m]", arm)
        try:
            shape = np.broadcast_shapes(f.shape, m.shape, a.shape)
        except ValueError:
            reject(
                "PointLoads: force, moment, arm",
                f"shapes {f.shape}, {m.shape}, {a.shape}",
                "shapes that broadcast",
            )
        if shape[-2:] != (where.size, 3):
            reject("PointLoads: moment, arm", f"shapes {m.shape}, {a.shape}", f"(..., {where.size}, 3)")
        for name, value in (("at", where), ("force", f), ("moment", m), ("arm", a)):
            held = value if name == "at" else np.broadcast_to(value, shape).copy()
            held.setflags(write=False)
            object.__setattr__(self, name, held)

    def take(self, cases: ArrayLike) -> "PointLoads":
        """Keep some of the load cases.

        Parameters
        ----------
        cases : array_like of int, shape (case,)
            Which cases, in the order wanted [-].

        Returns
        -------
        PointLoads
            Those cases at the same stations.
        """
        which, count = whole_numbers("PointLoads.take: cases [-]", cases), self.force.shape[-3]
        if which.ndim != 1 or (which < 0).any() or (which >= count).any():
            reject(
                "PointLoads.take: cases [-]",
                which.tolist(),
                f"numbers of shape (case,) from 0 to {count - 1}",
            )
        force, moment, arm = (v[..., which, :, :] for v in (self.force, self.moment, self.arm))
        return PointLoads(at=self.at, force=force, moment=moment, arm=arm)

    def times(self, factor: float) -> "PointLoads":
        """Multiply forces and moments; where they act stays.

        Parameters
        ----------
        factor : float
            On every load [-].

        Returns
        -------
        PointLoads
            The factored loads.
        """
        k = number("PointLoads.times: factor [-]", factor)
        return PointLoads(at=self.at, force=k * self.force, moment=k * self.moment, arm=self.arm)

    @property
    def wrench(self) -> Array:
        """Force and moment together, shape (..., case, load, 6) [N, N m]."""
        return np.concatenate([self.force, self.moment], axis=-1)
