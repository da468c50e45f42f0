"""The mold line: where the outside surface of the strut is, and how airplane axes become strut axes."""

from functools import cached_property
from typing import Annotated, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from beam.axes import frame, into
from beam.strut.axis import SNAP, Axis
from beam.strut.point_loads import PointLoads
from beam.strut.supports import Support
from materials.checks import Array, Frozen, Limits, Numbers, checked, common_shape, default, reject

LONGEST = 10.0  # [m] of a strut; a longer one is given in another unit
Stations = Annotated[ArrayLike, Limits("m")]
Point = Annotated[Numbers, Limits("m", shape=(3,))]
Sizes = Annotated[Numbers, Limits("m", above=0.0, shape=(-1,))]


class Profile(NamedTuple):
    """Outside of the rounded box at stations, as `MoldLine.at` returns it.

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


class MoldLine(Frozen):
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
        If stations do not run from the root to the tip, a size is not positive or larger than the strut is long, or
        the corners overlap.

    Notes
    -----
    e1 = (tip - root) / length,  e2 = (aft - (aft . e1) e1) / |...|,  e3 = e1 x e2.

    Examples
    --------
    >>> line = MoldLine(root=[2.0, 0.4, 0.9], tip=[2.0, 0.7, 0.5], stations=[0.0, 0.5], width=[0.1, 0.07],
    ...                 height=[0.08, 0.06], corner_radius=[0.02, 0.015])
    >>> round(line.length, 9), line.frame[1]  # e2 points aft
    (0.5, array([1., 0., 0.]))
    >>> line.wall_names[:3]
    ('inboard', 'inboard-aft', 'aft')
    """

    root: Point
    tip: Point
    stations: Annotated[Numbers, Limits("m", shape=(-1,))]
    width: Sizes
    height: Sizes
    corner_radius: Sizes
    aft: Annotated[Numbers, Limits("-", shape=(3,))] = default((1.0, 0.0, 0.0))
    names: tuple[str, str, str, str] = ("inboard", "aft", "outboard", "forward")

    def __post_init__(self) -> None:
        super().__post_init__()
        length, s = self.length, self.stations
        if not 0.0 < length <= LONGEST:
            cause = f"root {self.root.tolist()} and tip {self.tip.tolist()} in mm?"
            reject("MoldLine: root to tip [m]", f"{length:g}", f"> 0, <= {LONGEST:g}", cause)
        if s.size < 2 or (np.diff(s) <= 0).any():
            reject("MoldLine: stations [m]", s, "two or more, growing from the root")
        if abs(s[0]) > SNAP * length or abs(s[-1] - length) > 1e-6 * length:
            reject(
                "MoldLine: stations [m]",
                f"{s[0]:g} to {s[-1]:g}",
                f"from 0 to the tip at {length:.9g}",
                "stations are measured along the axis, root to tip",
            )
        object.__setattr__(self, "stations", np.concatenate([[0.0], s[1:-1], [length]]))
        self.stations.setflags(write=False)
        for name in ("width", "height", "corner_radius"):
            value = getattr(self, name)
            if value.shape != s.shape:
                reject(f"MoldLine: {name} [m]", f"shape {value.shape}", f"{s.shape}, one for each station")
            if (value >= length).any():
                reject(
                    f"MoldLine: {name} [m]", f"{value.max():g}", f"< the length, {length:g}", "given in mm?"
                )
        least = np.minimum(self.width, self.height)
        if (2 * self.corner_radius >= least).any():
            worst = int(np.argmax(2 * self.corner_radius - least))
            reject(
                "MoldLine: corner_radius [m]",
                f"{self.corner_radius[worst]:g} at station {s[worst]:g}",
                f"< half of the smaller side, {least[worst] / 2:g}",
                "every face needs a flat part",
            )
        if len(set(self.names)) != 4:
            reject("MoldLine: names", self.names, "four different names, of the faces +e3, +e2, -e3, -e2")
        frame(self.tip - self.root, self.aft)

    @property
    def length(self) -> float:
        """Length of the axis [m]."""
        return float(np.linalg.norm(self.tip - self.root))

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

    @cached_property
    def _axis(self) -> Axis:
        return Axis.straight(self.length)

    @checked
    def flat_widths(self, s: Stations) -> Array:
        """Widths (..., 4) of the flat walls between the corners, in the order of `flat_walls` [m].

        Parameters
        ----------
        s : array_like, shape (...)
            Stations along the axis [m].
        """
        width, height, radius = self.at(s)
        return np.stack([width, height, width, height], axis=-1) - 2 * radius[..., None]

    @checked
    def at(self, s: Stations) -> Profile:
        """Width, height and corner radius (...) of the outside at stations.

        Parameters
        ----------
        s : array_like, shape (...)
            Stations along the axis [m].
        """
        s = self._axis.check("MoldLine: station s [m]", s)
        sizes = (self.width, self.height, self.corner_radius)
        return Profile(*(np.interp(s, self.stations, one) for one in sizes))

    @checked
    def position(self, s: Stations) -> Array:
        """Points (..., 3) of the axis in airplane axes [m].

        Parameters
        ----------
        s : array_like, shape (...)
            Stations along the axis [m].
        """
        s = self._axis.check("MoldLine: station s [m]", s)
        return self.root + s[..., None] * self.frame[0]

    @checked
    def point_loads(
        self,
        at: Annotated[ArrayLike, Limits("m", shape=(-1,))],
        points: Annotated[ArrayLike, Limits("m", last=(-1, 3))],
        force: Annotated[ArrayLike, Limits("N", last=(-1, 3))],
        moment: Annotated[ArrayLike, Limits("N m")] = 0.0,
    ) -> PointLoads:
        """Forces at points anywhere, as loads on the axis in strut axes with the moments of their arms.

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

        Notes
        -----
        The moment about the axis is m + (p - p_axis) x f.
        """
        s = self._axis.check("MoldLine: at [m]", at)
        for what, one in (("points [m]", points), ("force [N]", force)):
            if np.shape(one)[-2] != s.size:
                reject(f"MoldLine.point_loads: {what}", f"shape {np.shape(one)}", f"(..., {s.size}, 3)")
        f, m, arm = np.asarray(force), np.asarray(moment), np.asarray(points) - self.position(s)
        shape = common_shape("MoldLine: points, force, moment", arm.shape, f.shape, m.shape)
        turned = [into(self.frame, v) for v in (f, np.broadcast_to(m, shape) + np.cross(arm, f), arm)]
        return PointLoads(at=s, force=turned[0], moment=turned[1], arm=turned[2])

    @checked
    def support(
        self,
        at: Annotated[float, Limits("m", at_least=0.0)],
        point: Annotated[ArrayLike, Limits("m", shape=(3,))],
        directions: Annotated[ArrayLike, Limits("-", shape=(-1, 3))],
        *,
        stiffness: Annotated[ArrayLike, Limits("N/m", above=0.0, finite=False)] = np.inf,
        play: Annotated[ArrayLike, Limits("m", at_least=0.0)] = 0.0,
        name: str = "point",
    ) -> Support:
        """A point of a fitting restrained, given in airplane axes: a bearing, a drag brace, a side stay.

        Parameters
        ----------
        at : float
            Station of the section that carries the fitting [m].
        point : array_like, shape (3,)
            The point, in airplane axes [m].
        directions : array_like, shape (direction, 3)
            Restrained directions in airplane axes; of a brace, from the point to its other end [-].
        stiffness : array_like, shape () or (direction,)
            Stiffness along each direction; of a brace E A over its length [N/m].
        play : array_like, shape () or (direction,)
            Free motion to either side [m].
        name : str
            Name in messages and tables.
        """
        arm = into(self.frame, np.asarray(point) - self.position(at))
        d = into(self.frame, directions)
        return Support.point(at, d, arm=arm, stiffness=stiffness, play=play, name=name)
