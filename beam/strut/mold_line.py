"""The mold line: where the outside surface of the strut is, and how airplane axes become strut axes."""

from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from beam.axes import frame, into
from beam.strut.loads import PointLoads
from beam.strut.supports import Support
from materials.checks import Array, array, common_shape, number, reject
from materials.kinds import instances

WALLS = 8


class Profile(NamedTuple):
    """Outside of the rounded box at stations.

    Parameters
    ----------
    width : ndarray, shape (...)
        Along e2 [m].
    height : ndarray, shape (...)
        Along e3 [m].
    corner_radius : ndarray, shape (...)
        Outside radius of the four corners [m].
    """

    width: Array
    height: Array
    corner_radius: Array


@dataclass(frozen=True, kw_only=True, eq=False)
class MoldLine:
    """Outside surface of a straight tapered strut of rounded-box section.

    Parameters
    ----------
    root : array_like, shape (3,)
        Trunnion, in airplane axes [m].
    tip : array_like, shape (3,)
        Pivot of the link, in airplane axes [m].
    stations : array_like, shape (station,)
        Stations along the axis where the section is given, from 0 at the root to the tip; linear between [m].
    width : array_like, shape (station,)
        Outside width along e2 [m].
    height : array_like, shape (station,)
        Outside height along e3 [m].
    corner_radius : array_like, shape (station,)
        Outside radius of the corners [m].
    aft : array_like, shape (3,)
        Direction in airplane axes that e2 leans to [-].
    names : tuple of str
        Names of the faces +e3, +e2, -e3, -e2.

    Raises
    ------
    ValueError
        If stations do not run from the root to the tip, a size is not positive, or the corners overlap.
    """

    root: Array
    tip: Array
    stations: Array
    width: Array
    height: Array
    corner_radius: Array
    aft: Array = field(default_factory=lambda: np.array([1.0, 0.0, 0.0]))
    names: tuple[str, str, str, str] = ("inboard", "aft", "outboard", "forward")

    def __post_init__(self) -> None:
        for name in ("root", "tip", "aft"):
            value = array(f"MoldLine: {name} [m]", getattr(self, name), last=(3,))
            if value.ndim != 1:
                reject(f"MoldLine: {name} [m]", f"shape {value.shape}", "one point, (3,)")
            object.__setattr__(self, name, value)
        if not self.length:
            reject("MoldLine: tip [m]", self.tip.tolist(), "apart from the root")
        s = array("MoldLine: stations [m]", self.stations, last=(-1,))
        if s.ndim != 1 or s.size < 2 or (np.diff(s) <= 0).any():
            reject("MoldLine: stations [m]", s, "two or more, growing from the root")
        if s[0] != 0.0 or abs(s[-1] - self.length) > 1e-6 * self.length:
            reject(
                "MoldLine: stations [m]",
                f"{s[0]:g} to {s[-1]:g}",
                f"from 0 to the tip at {self.length:.9g}",
                "stations are measured along the axis, root to tip",
            )
        s = np.append(s[:-1], self.length)
        s.setflags(write=False)
        object.__setattr__(self, "stations", s)
        for name in ("width", "height", "corner_radius"):
            value = array(f"MoldLine: {name} [m]", getattr(self, name))
            if value.shape != s.shape:
                reject(f"MoldLine: {name} [m]", f"shape {value.shape}", f"{s.shape}, one for each station")
            if (value <= 0).any():
                reject(f"MoldLine: {name} [m]", f"{value.min():g}", "> 0")
            object.__setattr__(self, name, value)
        least = np.minimum(self.width, self.height)
        if (2 * self.corner_radius >= least).any():
            worst = int(np.argmax(2 * self.corner_radius - least))
            reject(
                "MoldLine: corner_radius [m]",
                f"{self.corner_radius[worst]:g} at station {s[worst]:g}",
                f"< half of the smaller side, {least[worst] / 2:g}",
                "every face needs a flat part",
            )
        names = instances("MoldLine: names", self.names, str)
        object.__setattr__(self, "names", names)
        if len(names) != 4 or len(set(names)) != 4:
            reject(
                "MoldLine: names", self.names, "four names, all different, for the faces +e3, +e2, -e3, -e2"
            )

        _ = self.frame

    @property
    def length(self) -> float:
        """Length of the axis [m]."""
        return float(np.linalg.norm(np.asarray(self.tip) - np.asarray(self.root)))

    @cached_property
    def frame(self) -> Array:
        """Rows e1, e2, e3 in airplane axes, shape (3, 3) [-]."""
        return frame(self.tip - self.root, self.aft)

    @property
    def wall_names(self) -> tuple[str, ...]:
        """Names of the eight walls, clockwise from +e3: face, corner, face, corner, ..."""
        follow = self.names[1:] + self.names[:1]
        return tuple(w for a, b in zip(self.names, follow, strict=True) for w in (a, f"{a}-{b}"))

    @property
    def flat_walls(self) -> tuple[str, ...]:
        """Names of the four flat walls, clockwise from +e3."""
        return self.names

    def flat_widths(self, s: ArrayLike) -> Array:
        """Width of the flat walls between the corners, the same at every depth in the wall.

        Parameters
        ----------
        s : array_like, shape (...)
            Stations along the axis [m].

        Returns
        -------
        ndarray, shape (..., 4)
            Widths in the order of `flat_walls` [m].
        """
        width, height, radius = self.at(s)
        return np.stack([width, height, width, height], axis=-1) - 2 * radius[..., None]

    def at(self, s: ArrayLike) -> Profile:
        """Outside sizes at stations.

        Parameters
        ----------
        s : array_like, shape (...)
            Stations along the axis [m].

        Returns
        -------
        Profile
            Width, height and corner radius.

        Raises
        ------
        ValueError
            If a station is off the axis.
        """
        s = self._on_axis(s)
        sizes = (self.width, self.height, self.corner_radius)
        return Profile(*(np.interp(s, self.stations, one) for one in sizes))

    def position(self, s: ArrayLike) -> Array:
        """Points of the axis in airplane axes.

        Parameters
        ----------
        s : array_like, shape (...)
            Stations along the axis [m].

        Returns
        -------
        ndarray, shape (..., 3)
            Points [m].
        """
        return self.root + self._on_axis(s)[..., None] * self.frame[0]

    def point_loads(
        self, at: ArrayLike, points: ArrayLike, force: ArrayLike, moment: ArrayLike = 0.0
    ) -> PointLoads:
        """Bring forces at points anywhere to stations of the axis, with the moments the arms make.

        Parameters
        ----------
        at : array_like, shape (load,)
            Station where each load enters the strut [m].
        points : array_like, shape (..., case, load, 3)
            Where each force acts, in airplane axes [m].
        force : array_like, shape (..., case, load, 3)
            Forces in airplane axes [N].
        moment : array_like, shape (..., case, load, 3)
            Moments applied besides, in airplane axes [N m].

        Returns
        -------
        PointLoads
            The same loads in strut axes.

        Notes
        -----
        The moment about the axis is m + (p - p_axis) x f.
        """
        s = array("MoldLine: at [m]", at, last=(-1,))
        p = array("MoldLine: points [m]", points, last=(s.size, 3))
        f = array("MoldLine: force [N]", force, last=(s.size, 3))
        m = array("MoldLine: moment [N m]", moment)
        arm = p - self.position(s)
        m = np.broadcast_to(m, common_shape("MoldLine: points, force, moment", m.shape, arm.shape, f.shape))
        turned = [into(self.frame, v) for v in (f, m + np.cross(arm, f), arm)]
        return PointLoads(at=s, force=turned[0], moment=turned[1], arm=turned[2])

    def support(
        self,
        at: float,
        point: ArrayLike,
        directions: ArrayLike,
        *,
        stiffness: ArrayLike = np.inf,
        play: ArrayLike = 0.0,
        name: str = "point",
    ) -> Support:
        """Hold a point of a fitting, given in airplane axes: a trunnion bearing, a drag brace, a side stay.

        Parameters
        ----------
        at : float
            Station of the section that carries the fitting [m].
        point : array_like, shape (3,)
            The point, in airplane axes [m].
        directions : array_like, shape (direction, 3)
            Held directions in airplane axes; of a brace, from the point to its other end [-].
        stiffness : array_like, shape () or (direction,)
            Stiffness along each direction; of a brace E A over its length [N/m].
        play : array_like, shape () or (direction,)
            Free motion to either side [m].
        name : str
            Name in messages and tables.

        Returns
        -------
        Support
            The support in strut axes.
        """
        here = self.position(number("MoldLine: station at [m]", at))
        arm = into(self.frame, array("MoldLine: point [m]", point, last=(3,)) - here)
        d = into(self.frame, array("MoldLine: directions [-]", directions, last=(-1, 3)))
        return Support.point(at, d, arm=arm, stiffness=stiffness, play=play, name=name)

    def _on_axis(self, s: ArrayLike) -> Array:
        out = array("MoldLine: station [m]", s)
        slack = 1e-9 * self.length
        if (out < -slack).any() or (out > self.length + slack).any():
            worst = out.min() if (out < -slack).any() else out.max()
            reject("MoldLine: station [m]", f"{worst:g}", f"from 0 to {self.length:g}", "given in mm?")
        return np.clip(out, 0.0, self.length)
