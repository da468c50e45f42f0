"""Supports: which motions of which points are restrained, how stiffly, and with how much play."""

from collections.abc import Sequence
from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beam.axes import MOTIONS
from beam.strut.axis import SNAP, Axis
from materials.checks import (
    Array,
    Frozen,
    Items,
    Limits,
    Numbers,
    WholeNumbers,
    checked,
    default,
    instances,
    reject,
)

Station = Annotated[float, Limits("m", at_least=0.0)]
Stiffness = Annotated[ArrayLike, Limits("N/m, N m/rad", above=0.0, finite=False)]
Play = Annotated[ArrayLike, Limits("m, rad", at_least=0.0)]


class Support(Frozen):
    """Translations of one point and rotations of one section that are restrained.

    Parameters
    ----------
    at : float
        Station of the section, from the root [m].
    translations : array_like, shape (direction, 3)
        Directions in strut axes along which the point is restrained, of any length [-].
    rotations : array_like, shape (direction, 3)
        Directions in strut axes about which the section is restrained, of any length [-].
    arm : array_like, shape (3,)
        From the point of the axis to the point that is restrained, in strut axes [m].
    stiffness : array_like, shape () or (direction,)
        Stiffness of each direction, translations first; infinite where it is rigid [N/m, N m/rad].
    play : array_like, shape () or (direction,)
        Free motion to either side before the direction restrains [m, rad].
    name : str
        Name in messages and tables.

    Raises
    ------
    ValueError
        If nothing is restrained, a direction has no length, a stiffness is not positive, or the play is negative.

    Notes
    -----
    A translation along the unit vector d at the arm a restrains d . (u + r x a), a rotation about d restrains d . r,
    where (u, r) is the motion of the axis at the station.

    Examples
    --------
    >>> stay = Support(at=0.3, translations=[[0, 3, 4]], arm=[0, 0, 0.1], stiffness=5e6, name="side stay")
    >>> stay.rows.round(3)
    array([[ 0.  ,  0.6 ,  0.8 , -0.06,  0.  ,  0.  ]])
    """

    at: Station = 0.0
    translations: Annotated[Numbers, Limits("-")] = default(())
    rotations: Annotated[Numbers, Limits("-")] = default(())
    arm: Annotated[Numbers, Limits("m", shape=(3,))] = default((0.0, 0.0, 0.0))
    stiffness: Annotated[Numbers, Limits("N/m, N m/rad", above=0.0, finite=False)] = default(np.inf)
    play: Annotated[Numbers, Limits("m, rad", at_least=0.0)] = default(0.0)
    name: str = "support"

    def __post_init__(self) -> None:
        super().__post_init__()
        who, count = self._owner(), 0
        for kind in ("translations", "rotations"):
            d = getattr(self, kind)
            if not d.size:
                d = np.zeros((0, 3))
            if d.ndim != 2 or d.shape[1] != 3 or not d.any(axis=1).all():
                reject(f"{who}: {kind} [-]", d.tolist(), "directions (direction, 3), none of zero length")
            object.__setattr__(self, kind, d)
            count += len(d)
        if not count:
            reject(f"{who}: translations, rotations", "none", "one direction or more", "it restrains nothing")
        for kind in ("stiffness", "play"):
            value = getattr(self, kind)
            if value.shape not in ((), (count,)) or np.isnan(value).any():
                cause = "leave out a direction that is free"
                reject(f"{who}: {kind}", value.tolist(), f"one for all {count} directions or each", cause)
            object.__setattr__(self, kind, np.broadcast_to(value, (count,)))

    @classmethod
    @checked
    def clamp(cls, at: Station = 0.0, *, stiffness: Stiffness = np.inf, name: str = "clamp") -> "Support":
        """All six motions of a section restrained.

        Parameters
        ----------
        at : float
            Station [m].
        stiffness : array_like, shape () or (6,)
            Stiffness of u1, u2, u3, r1, r2, r3; infinite where rigid [N/m, N m/rad].
        name : str
            Name in messages and tables.
        """
        return cls.motions(at, MOTIONS, stiffness=stiffness, name=name)

    @classmethod
    @checked
    def motions(
        cls,
        at: Station,
        held: Sequence[str],
        *,
        stiffness: Stiffness = np.inf,
        play: Play = 0.0,
        name: str = "support",
    ) -> "Support":
        """Named motions of the axis restrained, along or about the strut axes.

        Parameters
        ----------
        at : float
            Station [m].
        held : sequence of str
            Among u1, u2, u3, r1, r2, r3, each once.
        stiffness : array_like, shape () or (direction,)
            Stiffness in the order u1, u2, u3, r1, r2, r3 of those restrained [N/m, N m/rad].
        play : array_like, shape () or (direction,)
            Free motion to either side, in the same order [m, rad].
        name : str
            Name in messages and tables.
        """
        if len(set(held)) != len(held) or not set(held) <= set(MOTIONS):
            reject(f"Support '{name}': held", held, f"among {', '.join(MOTIONS)}, each once")
        I = np.eye(3)
        u, r = ([i for i in range(3) if f"{letter}{i + 1}" in held] for letter in "ur")
        return cls(at=at, translations=I[u], rotations=I[r], stiffness=stiffness, play=play, name=name)

    @classmethod
    @checked
    def point(
        cls,
        at: Station,
        directions: Annotated[ArrayLike, Limits("-", shape=(-1, 3))],
        *,
        arm: Annotated[ArrayLike, Limits("m", shape=(3,))] = (0.0, 0.0, 0.0),
        stiffness: Stiffness = np.inf,
        play: Play = 0.0,
        name: str = "point",
    ) -> "Support":
        """A point of a fitting restrained along one direction (brace, stay) or several (bearing).

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
        """
        return cls(at=at, translations=directions, arm=arm, stiffness=stiffness, play=play, name=name)

    @property
    def rows(self) -> Array:
        """Linear forms of (u1, u2, u3, r1, r2, r3) of the axis that are restrained, shape (direction, 6) [-, m]."""
        along, about = (
            d / np.linalg.norm(d, axis=1, keepdims=True) for d in (self.translations, self.rotations)
        )
        return np.block([[along, np.cross(self.arm, along)], [np.zeros_like(about), about]])


Supports = Sequence[Support] | Sequence[Sequence[Support]]
"""Supports of all cases, or one set for each case."""


class Held(Frozen):
    """All restrained directions of a span, one after the other; a span has it as `held`.

    Parameters
    ----------
    at : array_like, shape (direction,)
        Stations [m].
    rows : array_like, shape (direction, 6)
        Linear forms of the motion (u, r) of the axis there [-, m].
    arm : array_like, shape (direction, 3)
        Arm of each translation; zero for a rotation [m].
    flexibility : array_like, shape (direction,)
        One over the stiffness of the support [m/N, rad/(N m)].
    play : array_like, shape (direction,)
        Free motion to either side [m, rad].
    names : tuple of str
        Support and direction.
    rigid : array_like, shape (direction, 6)
        Linear forms B of the motion of the root of a rigid span [-, m].
    primary : array_like of int, shape (6,)
        Numbers of six directions that would do alone; the others are redundant [-].

    Notes
    -----
    A row (d, c) at the lever x from the root has the rigid form B = (d, c + x x d).

    Examples
    --------
    >>> from beam.strut import Span, Support
    >>> prop = Support.motions(2.0, ["u3"], name="prop")
    >>> span = Span(axis=2.0, stiffness=np.diag([1e7, 1e7, 1e7, 1e4, 1e4, 1e4]), supports=[Support.clamp(), prop])
    >>> span.held.names[-2:], span.held.rigid[-1]
    (('clamp r3', 'prop u3'), array([ 0.,  0.,  1.,  0., -2.,  0.]))
    """

    at: Annotated[Numbers, Limits("m", shape=(-1,))]
    rows: Annotated[Numbers, Limits("-, m", shape=(-1, 6))]
    arm: Annotated[Numbers, Limits("m", shape=(-1, 3))]
    flexibility: Annotated[Numbers, Limits("m/N, rad/(N m)", shape=(-1,), at_least=0.0)]
    play: Annotated[Numbers, Limits("m, rad", shape=(-1,), at_least=0.0)]
    names: Items[str]
    rigid: Annotated[Numbers, Limits("-, m", shape=(-1, 6))]
    primary: Annotated[WholeNumbers, Limits("-", shape=(6,), at_least=0)]

    def refuse_play(self) -> None:
        """Refuse supports with play, where the span has to be linear."""
        if self.play.any():
            loose = ", ".join(n for n, g in zip(self.names, self.play, strict=True) if g)
            reject("Span: supports with play", loose, "none here", "leave the play out, or the direction")


def gather(axis: Axis, supports: Sequence[Support]) -> Held:
    """Put the directions of all supports in one list and refuse a mechanism or a motion restrained rigidly twice."""
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
        stiff = np.flatnonzero((np.abs(at - station) <= SNAP * axis.length) & np.isinf(stiffness))
        size = np.linalg.norm(scaled[stiff], axis=1, keepdims=True)
        if len(stiff) and np.linalg.matrix_rank(scaled[stiff] / size, tol=1e-9) < len(stiff):
            reject(
                f"Span: supports at {station:g} m",
                ", ".join(names[i] for i in stiff),
                "independent of each other",
                "a motion is held rigidly twice, so what each carries is not determined",
            )
    rigid = rigid_forms(axis.position(at) - axis.points[0], rows)
    return Held(
        at=at,
        rows=rows,
        arm=arm,
        flexibility=1 / stiffness,
        play=np.concatenate([s.play for s in supports]),
        names=names,
        rigid=rigid,
        primary=primary(rigid, axis.length),
    )


def support_sets(
    what: str, supports: Supports | None, count: int
) -> list[tuple[tuple[Support, ...] | None, NDArray[np.intp]]]:
    """Different sets of supports with the numbers of the cases on each; None stands for a clamp at the root.

    `supports` are those of all cases, or one set for each of the `count` cases; an empty set is the clamp.
    """
    given = () if supports is None else tuple(supports)
    if all(isinstance(one, Support) for one in given):
        return [(given or None, np.arange(count))]  # type: ignore[list-item]
    if len(given) != count or any(isinstance(one, Support) for one in given):
        limit = f"supports of all cases, or one set for each of {count} cases"
        reject(f"{what}: supports", f"{len(given)} entries", limit)
    found: dict[bytes, tuple[tuple[Support, ...] | None, list[int]]] = {}
    for case, own in enumerate(given):
        several: tuple[Support, ...] = ()
        if own:
            several = instances(f"{what}: supports", own, Support)  # type: ignore[arg-type]
        parts = [
            np.r_[one.at, one.arm, one.rows.ravel(), one.stiffness, one.play, len(one.translations)]
            for one in several
        ]
        found.setdefault(np.concatenate([[0.0], *parts]).tobytes(), (several or None, []))[1].append(case)
    return [(one, np.array(rows)) for one, rows in found.values()]


def _direction(row: Array) -> str:
    """Name of a restrained direction."""
    whole = np.flatnonzero(np.abs(row) > 1e-12)
    if len(whole) == 1 and abs(row[whole[0]] - 1) < 1e-12:
        return MOTIONS[whole[0]]
    kind, d = ("along", row[:3]) if np.any(row[:3]) else ("about", row[3:])
    return f"{kind} ({d[0]:.3g}, {d[1]:.3g}, {d[2]:.3g})"


def rigid_forms(lever: Array, rows: Array) -> Array:
    """Forms (direction, 6) of the motion of the root, for rows (direction, 6) at levers (direction, 3) from it."""
    return np.concatenate([rows[:, :3], rows[:, 3:] + np.cross(lever, rows[:, :3])], axis=1)


def primary(B: Array, length: float) -> NDArray[np.intp]:
    """Six of the rigid forms B (direction, 6) that hold the span alone, shape (6,); refuse and name a mechanism."""
    from scipy.linalg import qr

    weight = np.r_[np.ones(3), np.full(3, length)]
    A = B / weight
    values, motions = np.linalg.svd(A, full_matrices=True)[1:]
    free = motions[int(np.sum(values > 1e-9 * max(values[0], 1e-300))) :] / weight
    free = free * np.sign(free[np.arange(len(free)), np.argmax(np.abs(free), axis=1)])[:, None]
    if len(free):
        loose = "; ".join(_motion(q, length) for q in free)
        reject("Span: supports", f"a mechanism, free to {loose}", "enough to hold all six motions")
    unit = A / np.linalg.norm(A, axis=1, keepdims=True)
    return np.sort(qr(unit.T, pivoting=True, mode="r")[1][:6])


def _motion(q: Array, length: float) -> str:
    """A rigid motion in words."""
    u, r = q[:3], q[3:]
    turn = float(np.linalg.norm(r))
    if turn * length < 1e-6 * np.linalg.norm(u):
        d = np.round(u / np.linalg.norm(u), 12) + 0.0
        return f"move along ({d[0]:.3g}, {d[1]:.3g}, {d[2]:.3g})"
    d, p = r / turn, np.cross(r, u) / turn**2
    d, p = np.round(d, 12) + 0.0, np.round(p / length, 12) * length + 0.0
    return (
        f"turn about ({d[0]:.3g}, {d[1]:.3g}, {d[2]:.3g}) "
        f"through ({p[0]:.3g}, {p[1]:.3g}, {p[2]:.3g}) m from the root"
    )
