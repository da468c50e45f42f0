"""Forces and moments applied at points of the axis."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Annotated, Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beam.axes import skew
from beam.strut.axis import SNAP, Axis
from materials.checks import (
    Array,
    Frozen,
    Items,
    Limits,
    Numbers,
    OptionalNumbers,
    checked,
    common_shape,
    default,
    reject,
)


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
    level : sequence of {"limit", "ultimate"}, length case
        What each case is given as; none: all at limit load. A case at ultimate load meets no check at limit load.
    factor_of_safety : array_like, shape (case,), optional
        Ultimate over given load of each case [-]; None: that of the requirement at limit, 1 at ultimate load.

    Raises
    ------
    ValueError
        If the shapes do not match, a station is negative, or a case at ultimate load has a factor of safety.

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
    level: Annotated[Items[Literal["limit", "ultimate"]], Limits(items=0)] = default(())
    factor_of_safety: Annotated[
        OptionalNumbers, Limits("-", at_least=1.0, below=5.0, shape=(-1,), cause="a knockdown?")
    ] = default(None)

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
        count = shape[-3:-2]
        for name, own in (("level", self.level), ("factor_of_safety", self.factor_of_safety)):
            if own is not None and len(own) and (len(own),) != count:
                reject(f"PointLoads: {name}", f"length {len(own)}", f"one for each case of {shape}")
        if self.factor_of_safety is not None and (self.factor_of_safety[self.at_ultimate] != 1.0).any():
            reject("PointLoads: factor_of_safety [-]", "above 1 at ultimate load", "1", "it would act twice")

    @property
    def at_ultimate(self) -> NDArray[np.bool_]:
        """Whether each case is given at ultimate load, shape (case,)."""
        count = self.force.shape[-3] if self.force.ndim > 2 else 1
        return np.array([one == "ultimate" for one in self.level or ("limit",) * count])

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
        safety = self.factor_of_safety
        return PointLoads(
            at=self.at,
            force=force,
            moment=moment,
            arm=arm,
            level=[self.level[i] for i in which] if self.level else (),
            factor_of_safety=None if safety is None else safety[which],
        )

    @checked
    def times(self, factor: Annotated[ArrayLike, Limits("-")]) -> "PointLoads":
        """Forces and moments times a factor, at the same points.

        Parameters
        ----------
        factor : array_like, shape () or (case,)
            On every load, or on those of each case [-].
        """
        on = np.asarray(factor)[..., None, None]
        return replace(self, force=on * self.force, moment=on * self.moment)

    @property
    def wrench(self) -> Array:
        """Force and moment together, shape (..., case, load, 6) [N, N m]."""
        return np.concatenate([self.force, self.moment], axis=-1)


def past(at: ArrayLike, length: float) -> Array:
    """Stations (...) just outboard of stations (...), beyond what counts as the same station [m]."""
    return np.asarray(at) + 2 * SNAP * length


def before(at: ArrayLike, length: float) -> Array:
    """Stations (...) just inboard of stations (...), beyond what counts as the same station [m]."""
    return np.asarray(at) - 2 * SNAP * length


def outboard(axis: Axis, s: Array, at: Array, wrench: Array) -> Array:
    """Section forces (..., station, 6) at stations s (station,) of loads (..., load, 6) at stations `at` (load,)."""
    # F = sum f,  M = sum m + (r_load - r_station) x f over the loads at the station or outboard of it.
    counted = at >= s[:, None] - SNAP * axis.length
    arm = skew(axis.position(at) - axis.position(s)[:, None]) * counted[..., None, None]
    f, m = wrench[..., :3], wrench[..., 3:]
    force = np.einsum("sl,...li->...si", counted.astype(float), f)
    turn = np.moveaxis(arm, (0, 2), (2, 3)).reshape(3 * len(at), 3 * len(s))
    transfer = (f.reshape(*f.shape[:-2], -1) @ turn).reshape(*f.shape[:-2], len(s), 3)
    moment = np.einsum("sl,...li->...si", counted.astype(float), m) + transfer
    rows = axis.frames(s)
    return np.concatenate([np.einsum("sij,...sj->...si", rows, v) for v in (force, moment)], axis=-1)
