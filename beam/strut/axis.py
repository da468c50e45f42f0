"""The axis of a span in space: straight, kinked or curved, with the section axes carried along it."""

from functools import cached_property
from itertools import pairwise
from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beam.axes import frame, skew
from materials.checks import Array, Frozen, Limits, Numbers, checked, reject

SNAP = 1e-9  # of the length: stations closer than this are one station


def snap(s: ArrayLike, marks: ArrayLike, length: float) -> Array:
    """Stations (...) put on the nearest of the growing marks (mark,) where it lies within `SNAP` of the length."""
    s, marks = np.asarray(s, dtype=float), np.asarray(marks, dtype=float)
    above = np.clip(np.searchsorted(marks, s), 1, len(marks) - 1)
    nearest = np.where(s - marks[above - 1] < marks[above] - s, marks[above - 1], marks[above])
    return np.where(np.abs(s - nearest) <= SNAP * length, nearest, s)


def distinct(s: ArrayLike, length: float) -> Array:
    """Stations (...) in growing order, shape (station,), those within `SNAP` of the length of each other once."""
    every = np.unique(s)
    return every[np.diff(every, prepend=-np.inf) > SNAP * length]


class Axis(Frozen):
    """A line in strut axes, straight between its points.

    Parameters
    ----------
    points : array_like, shape (point, 3)
        Points of the axis from root to tip, in strut axes [m].

    Raises
    ------
    ValueError
        If there are fewer than two points, two neighbors coincide, or the axis folds back on itself.

    Notes
    -----
    Section axis e2 of the first stretch is as near to strut axis 2 as square to the stretch allows. At a kink
    from direction a to b the section axes turn by the smallest rotation that takes a to b (parallel transport),

        R = I + S + S^2 / (1 + a . b),   S = skew(a x b)

    so the section never spins about the axis.

    Examples
    --------
    >>> axis = Axis(points=[[0, 0, 0], [0.3, 0, 0], [0.3, 0.4, 0]])
    >>> axis.kinks
    array([0. , 0.3, 0.7])
    >>> axis.position(0.5)
    array([0.3, 0.2, 0. ])
    """

    points: Annotated[Numbers, Limits("m", shape=(-1, 3))]

    def __post_init__(self) -> None:
        super().__post_init__()
        if len(self.points) < 2:
            reject("Axis: points [m]", f"{len(self.points)} points", "two points or more")
        step = np.diff(self.points, axis=0)
        stretch = np.linalg.norm(step, axis=1)
        if (stretch <= SNAP * stretch.sum()).any():
            reject("Axis: points [m]", "two neighbors in one place", "apart", "a point given twice?")
        t = step / stretch[:, None]
        if (np.sum(t[1:] * t[:-1], axis=1) < -1 + 1e-6).any():
            reject("Axis: points [m]", "a stretch that folds back on the one before", "a kink below 180 deg")

    @classmethod
    @checked
    def straight(cls, length: Annotated[float, Limits("m", above=0.0)]) -> "Axis":
        """Axis along e1.

        Parameters
        ----------
        length : float
            Length of the axis [m].
        """
        return cls(points=[[0.0, 0.0, 0.0], [length, 0.0, 0.0]])

    @property
    def length(self) -> float:
        """Length along the axis [m]."""
        return float(self.kinks[-1])

    @cached_property
    def kinks(self) -> Array:
        """Stations of the points, root and tip included, shape (point,) [m]."""
        stretch = np.linalg.norm(np.diff(self.points, axis=0), axis=1)
        return np.concatenate([[0.0], np.cumsum(stretch)])

    @cached_property
    def stretch_frames(self) -> Array:
        """Section axes of each straight stretch as rows, in strut axes, shape (point - 1, 3, 3) [-]."""
        t = np.diff(self.points, axis=0) / np.diff(self.kinks)[:, None]
        toward = (0.0, 1.0, 0.0) if abs(t[0, 1]) < 1 - 1e-9 else (-np.sign(t[0, 1]), 0.0, 0.0)
        axes = [frame(t[0], toward)]
        for a, b in pairwise(t):
            S = skew(np.cross(a, b))
            axes.append(axes[-1] @ (np.eye(3) + S + S @ S / (1 + a @ b)).T)
        return np.stack(axes)

    @checked
    def position(self, s: Annotated[ArrayLike, Limits("m")]) -> Array:
        """Points (..., 3) of the axis in strut axes; beyond an end, of its last stretch prolonged [m].

        Parameters
        ----------
        s : array_like, shape (...)
            Stations [m].
        """
        s = np.asarray(s)
        i = self._stretch(s)
        return self.points[i] + (s - self.kinks[i])[..., None] * self.stretch_frames[i, 0]

    @checked
    def frames(self, s: Annotated[ArrayLike, Limits("m")]) -> Array:
        """Section axes (..., 3, 3) as rows in strut axes; at a kink, those of the inboard stretch [-].

        Parameters
        ----------
        s : array_like, shape (...)
            Stations [m].
        """
        return self.stretch_frames[self._stretch(np.asarray(s))]

    @checked
    def check(self, what: str, s: Annotated[ArrayLike, Limits("m")]) -> Array:
        """Stations (...) on the axis, put on a kink or an end within 1e-9 of the length; others off it are refused [m].

        Parameters
        ----------
        what : str
            Name for the message.
        s : array_like, shape (...)
            Stations [m].
        """
        out = snap(s, self.kinks, self.length)
        off = (out < 0.0) | (out > self.length)
        if off.any():
            reject(what, f"{out[off].flat[0]:g}", f"from 0 to the tip at {self.length:g}", "given in mm?")
        return out

    def _stretch(self, s: Array) -> NDArray[np.intp]:
        """Number of the straight stretch of each station; at a kink, of the inboard one."""
        stretch: NDArray[np.intp] = np.searchsorted(self.kinks, s - SNAP * self.length) - 1
        return np.clip(stretch, 0, len(self.kinks) - 2)
