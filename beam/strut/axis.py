"""The axis of a span in space: straight, kinked or curved, with the section axes carried along it."""

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beam.axes import frame, skew
from materials.checks import Array, array, number, reject

SNAP = 1e-9  # stations closer than this fraction of the length are one station


@dataclass(frozen=True, kw_only=True, eq=False)
class Axis:
    """A line in strut axes, straight between its points.

    The section axes start with e2 as near to axis 2 as square to the first stretch allows and are carried
    over each kink by the smallest turn that brings one stretch into line with the next, so that
    they never spin about the axis.

    Parameters
    ----------
    points : array_like, shape (point, 3)
        Points of the axis from root to tip, in strut axes [m].

    Raises
    ------
    ValueError
        If there are fewer than two points, two neighbors coincide, or the axis folds back on itself.
    """

    points: Array

    def __post_init__(self) -> None:
        p = array("Axis: points [m]", self.points, last=(-1, 3))
        if p.ndim != 2 or len(p) < 2:
            reject("Axis: points [m]", f"shape {p.shape}", "(point, 3) with two points or more")
        step = np.diff(p, axis=0)
        stretch = np.linalg.norm(step, axis=1)
        if (stretch <= SNAP * stretch.sum()).any():
            reject("Axis: points [m]", "two neighbors in one place", "apart", "a point given twice?")
        t = step / stretch[:, None]
        turn = np.sum(t[1:] * t[:-1], axis=1)
        if (turn < -1 + 1e-6).any():
            reject(
                "Axis: points [m]",
                "a stretch that folds back on the one before",
                "a kink below 180 deg",
            )
        object.__setattr__(self, "points", p)

    @classmethod
    def straight(cls, length: float) -> "Axis":
        """Run along e1 for a length.

        Parameters
        ----------
        length : float
            Length of the axis [m].

        Returns
        -------
        Axis
            The straight axis.
        """
        tip = number("Axis: length [m]", length, above=0.0)
        return cls(points=np.array([[0.0, 0.0, 0.0], [tip, 0.0, 0.0]]))

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

    def stretch(self, s: ArrayLike) -> NDArray[np.intp]:
        """Number of the straight stretch that holds each station; at a kink, the inboard one.

        Parameters
        ----------
        s : array_like, shape (...)
            Stations [m].

        Returns
        -------
        ndarray of int, shape (...)
            Index of the stretch [-].
        """
        inside = array("Axis: s [m]", s, copy=False) - SNAP * self.length
        return np.clip(np.searchsorted(self.kinks, inside) - 1, 0, len(self.kinks) - 2)

    def position(self, s: ArrayLike) -> Array:
        """Points of the axis; beyond an end, of its last stretch prolonged.

        Parameters
        ----------
        s : array_like, shape (...)
            Stations [m].

        Returns
        -------
        ndarray, shape (..., 3)
            Points in strut axes [m].
        """
        i = self.stretch(s)
        along = array("Axis: s [m]", s, copy=False) - self.kinks[i]
        return self.points[i] + along[..., None] * self.stretch_frames[i, 0]

    def frames(self, s: ArrayLike) -> Array:
        """Section axes; at a kink, those of the inboard stretch.

        Parameters
        ----------
        s : array_like, shape (...)
            Stations [m].

        Returns
        -------
        ndarray, shape (..., 3, 3)
            Rows e1, e2, e3 in strut axes: direction cosines [-].
        """
        return self.stretch_frames[self.stretch(s)]

    def check(self, what: str, s: ArrayLike) -> Array:
        """Return stations as an array after a check that they lie on the axis.

        Parameters
        ----------
        what : str
            Name for the message.
        s : array_like, shape (...)
            Stations [m].

        Returns
        -------
        ndarray, shape (...)
            The stations, those within a billionth of the length beyond an end put on it [m].

        Raises
        ------
        ValueError
            If a station lies before the root or beyond the tip.
        """
        out = array(what, s)
        slack = SNAP * self.length
        if (out < -slack).any() or (out > self.length + slack).any():
            worst = out.min() if (out < -slack).any() else out.max()
            reject(what, f"{worst:g}", f"from 0 to the tip at {self.length:g}", "given in mm?")
        return np.clip(out, 0.0, self.length)
