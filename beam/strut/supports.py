"""Supports: which motions of which points are held, how stiffly, and with how much play."""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike

from beam.axes import MOTIONS
from beam.strut.axis import SNAP, Axis
from materials.checks import Array, array, number, reject
from materials.kinds import instance, instances


def _none() -> Array:
    return np.zeros((0, 3))


@dataclass(frozen=True, kw_only=True, eq=False)
class Support:
    """Translations of one point and rotations of one section that are held.

    Parameters
    ----------
    at : float
        Station of the section that is held, from the root [m].
    translations : array_like, shape (direction, 3)
        Directions in strut axes along which the point is held, of any length [-].
    rotations : array_like, shape (direction, 3)
        Directions in strut axes about which the section is held, of any length [-].
    arm : array_like, shape (3,)
        From the point of the axis to the point that is held, in strut axes [m].
    stiffness : array_like, shape () or (direction,)
        Stiffness of each direction, translations first; infinite where it is rigid [N/m, N m/rad].
    play : array_like, shape () or (direction,)
        Free motion to either side before the direction holds [m, rad].
    name : str
        Name in messages and tables.

    Raises
    ------
    ValueError
        If nothing is held, a direction has no length, a stiffness is not positive, or the play is negative.
    """

    at: float = 0.0
    translations: Array = field(default_factory=_none)
    rotations: Array = field(default_factory=_none)
    arm: Array = field(default_factory=lambda: np.zeros(3))
    stiffness: Array = field(default_factory=lambda: np.array(np.inf))
    play: Array = field(default_factory=lambda: np.array(0.0))
    name: str = "support"

    def __post_init__(self) -> None:
        what = f"Support '{instance('Support: name', self.name, str)}'"
        object.__setattr__(self, "at", number(f"{what}: at [m]", self.at, at_least=0.0))
        count = 0
        for kind in ("translations", "rotations"):
            d = array(f"{what}: {kind} [-]", getattr(self, kind), last=(-1, 3))
            length = np.linalg.norm(d, axis=-1, keepdims=True)
            if d.ndim != 2 or not length.all():
                reject(f"{what}: {kind} [-]", d.tolist(), "directions (direction, 3), none of zero length")
            object.__setattr__(self, kind, d / length)
            count += len(d)
        if not count:
            reject(f"{what}: translations, rotations", "none", "one direction or more", "it holds nothing")
        object.__setattr__(self, "arm", array(f"{what}: arm [m]", self.arm, last=(3,)))
        k = array(f"{what}: stiffness [N/m, N m/rad]", self.stiffness, finite=False)
        g = array(f"{what}: play [m, rad]", self.play)
        for kind, value, good in (("stiffness", k, k > 0), ("play", g, g >= 0)):
            if value.shape not in ((), (count,)) or not good.all():
                limit = f"{'> 0' if kind == 'stiffness' else '>= 0'}, one for all {count} directions or each"
                reject(f"{what}: {kind}", value.tolist(), limit, "leave out a direction that is free")
            object.__setattr__(self, kind, np.broadcast_to(value, (count,)))

    @classmethod
    def clamp(cls, at: float = 0.0, *, stiffness: ArrayLike = np.inf, name: str = "clamp") -> "Support":
        """Hold all six motions of a section.

        Parameters
        ----------
        at : float
            Station [m].
        stiffness : array_like, shape () or (6,)
            Stiffness of u1, u2, u3, r1, r2, r3; infinite where rigid [N/m, N m/rad].
        name : str
            Name in messages and tables.

        Returns
        -------
        Support
            The clamp.
        """
        return cls.motions(at, MOTIONS, stiffness=stiffness, name=name)

    @classmethod
    def motions(
        cls,
        at: float,
        held: Sequence[str],
        *,
        stiffness: ArrayLike = np.inf,
        play: ArrayLike = 0.0,
        name: str = "support",
    ) -> "Support":
        """Hold named motions of the axis along or about the strut axes.

        Parameters
        ----------
        at : float
            Station [m].
        held : sequence of str
            Among u1, u2, u3, r1, r2, r3, each once.
        stiffness : array_like, shape () or (direction,)
            Stiffness in the order u1, u2, u3, r1, r2, r3 of the held ones [N/m, N m/rad].
        play : array_like, shape () or (direction,)
            Free motion to either side, in the same order [m, rad].
        name : str
            Name in messages and tables.

        Returns
        -------
        Support
            The support.

        Raises
        ------
        ValueError
            If a motion has another name or is named twice.
        """
        whole = () if isinstance(held, str) else instances(f"Support '{name}': held", held, str, least=0)
        if isinstance(held, str) or len(set(whole)) != len(whole) or not set(whole) <= set(MOTIONS):
            reject(f"Support '{name}': held", repr(held), f"a tuple of {', '.join(MOTIONS)}, each once")
        I = np.eye(3)
        u, r = ([i for i in range(3) if f"{letter}{i + 1}" in held] for letter in "ur")
        return cls(
            at=at,
            translations=I[u],
            rotations=I[r],
            stiffness=np.asarray(stiffness),
            play=np.asarray(play),
            name=name,
        )

    @classmethod
    def point(
        cls,
        at: float,
        directions: ArrayLike,
        *,
        arm: ArrayLike = (0.0, 0.0, 0.0),
        stiffness: ArrayLike = np.inf,
        play: ArrayLike = 0.0,
        name: str = "point",
    ) -> "Support":
        """Hold a point of a fitting along one direction (a brace or stay) or several (a bearing).

        Parameters
        ----------
        at : float
            Station of the section that carries the fitting [m].
        directions : array_like, shape (direction, 3)
            Directions in strut axes [-].
        arm : array_like, shape (3,)
            From the axis to the point, in strut axes [m].
        stiffness : array_like, shape () or (direction,)
            Stiffness along each direction [N/m].
        play : array_like, shape () or (direction,)
            Free motion to either side [m].
        name : str
            Name in messages and tables.

        Returns
        -------
        Support
            The support.
        """
        d = array(f"Support '{name}': directions [-]", directions, last=(-1, 3))
        if d.ndim != 2:
            reject(f"Support '{name}': directions [-]", f"shape {d.shape}", "(direction, 3)")
        return cls(
            at=at,
            translations=d,
            arm=np.asarray(arm),
            stiffness=np.asarray(stiffness),
            play=np.asarray(play),
            name=name,
        )

    @property
    def rows(self) -> Array:
        """Linear forms of (u1, u2, u3, r1, r2, r3) of the axis that are held, shape (direction, 6) [-, m]."""
        turn = np.cross(self.arm, self.translations)
        return np.block([[self.translations, turn], [np.zeros_like(self.rotations), self.rotations]])


@dataclass(frozen=True, kw_only=True, eq=False)
class Held:
    """All held directions of a span, one after the other.

    Parameters
    ----------
    at : ndarray, shape (direction,)
        Stations [m].
    rows : ndarray, shape (direction, 6)
        Linear forms of the motion of the axis there [-, m].
    arm : ndarray, shape (direction, 3)
        Arm of each translation; zero for a rotation [m].
    flexibility : ndarray, shape (direction,)
        One over the stiffness of the support [m/N, rad/(N m)].
    play : ndarray, shape (direction,)
        Free motion to either side [m, rad].
    names : tuple of str
        Support and direction.
    """

    at: Array
    rows: Array
    arm: Array
    flexibility: Array
    play: Array
    names: tuple[str, ...]

    def refuse_play(self) -> None:
        """Stop where the span has to be linear.

        Raises
        ------
        ValueError
            If a support has play.
        """
        if self.play.any():
            loose = ", ".join(n for n, g in zip(self.names, self.play, strict=True) if g)
            reject("Span: supports with play", loose, "none here", "leave the play out, or the direction")


def gather(axis: Axis, supports: Sequence[Support]) -> Held:
    """Put the directions of all supports in one list and refuse those that hold the same motion twice.

    Parameters
    ----------
    axis : Axis
        The axis.
    supports : sequence of Support
        The supports.

    Returns
    -------
    Held
        The held directions.

    Raises
    ------
    ValueError
        If there is none, a support is off the axis, or rigid supports of one section contradict each other.
    """
    if isinstance(supports, Sequence) and not len(supports):
        reject(
            "Span: supports", "none", "enough to hold all six motions", "leave it out for a clamp at the root"
        )
    supports = instances("Span: supports", supports, Support)
    at = np.concatenate(
        [np.full(len(s.rows), axis.check(f"Support '{s.name}': at [m]", s.at)) for s in supports]
    )
    rows = np.concatenate([s.rows for s in supports])
    arm = np.concatenate(
        [np.r_[np.tile(s.arm, (len(s.translations), 1)), np.zeros((len(s.rotations), 3))] for s in supports]
    )
    names = tuple(f"{s.name} {_direction(row)}" for s in supports for row in s.rows)
    stiffness = np.concatenate([s.stiffness for s in supports])
    scaled = rows / np.r_[np.ones(3), np.full(3, axis.length)]
    for station in np.unique(at):
        rigid = np.flatnonzero((np.abs(at - station) <= SNAP * axis.length) & np.isinf(stiffness))
        size = np.linalg.norm(scaled[rigid], axis=1, keepdims=True)
        if len(rigid) and np.linalg.matrix_rank(scaled[rigid] / size, tol=1e-9) < len(rigid):
            twice = ", ".join(names[i] for i in rigid)
            reject(
                f"Span: supports at {station:g} m",
                twice,
                "independent of each other",
                "a motion is held rigidly twice, so what each carries is not determined",
            )
    play = np.concatenate([s.play for s in supports])
    return Held(at=at, rows=rows, arm=arm, flexibility=1 / stiffness, play=play, names=names)


def _direction(row: Array) -> str:
    whole = np.flatnonzero(np.abs(row) > 1e-12)
    if len(whole) == 1 and abs(row[whole[0]] - 1) < 1e-12:
        return MOTIONS[whole[0]]
    kind, d = ("along", row[:3]) if np.any(row[:3]) else ("about", row[3:])
    return f"{kind} ({d[0]:.3g}, {d[1]:.3g}, {d[2]:.3g})"
