"""Pieces of a failure surface, and where a load path first meets them.

Nearly every criterion of a ply in plane stress is a set of polynomials of at most second degree, each for one
mode and one range of the stress. Along a straight load path R s + r each is a quadratic in R. The strength
ratio is therefore exact, also with a residual stress r and across the borders of the ranges.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import reduce
from itertools import product
from typing import Any, Literal, Protocol

import numpy as np
from numpy.typing import NDArray

from laminate.failure.modes import Mode, ModeArray
from materials.checks import Array

Components = tuple[Array, Array, Array]
Value = Array | float
HalfSpace = tuple[tuple[float, float, float], float]

BLOCK = 8192
"""Rows worked on at once: the temporaries of a block stay in cache."""


class Piece(Protocol):
    """A piece of a failure surface: its mode, and where a load path first meets it."""

    @property
    def mode(self) -> Mode:
        """Failure mode of the piece; NONE where the criterion does not tell."""

    def crossing(self, s: Components, r: Components | None, least: Array) -> Array:
        """Smallest R >= 0 at which R s + r is on or beyond the piece, inf if none up to `least`."""


@dataclass(frozen=True, kw_only=True)
class Surface:
    """One piece of a failure surface: linear + quadratic = level, within a range.

    The ply fails where linear + quadratic >= level. `quadratic` holds (i, j, coefficient) of the products
    x_i x_j, i <= j; `linear` holds (i, coefficient). The piece counts in the half-spaces n x >= bound, one for each
    (n, bound) of `within`. The level can be zero only if `within` excludes the origin.
    """

    mode: Mode
    linear: tuple[tuple[int, float], ...] = ()
    quadratic: tuple[tuple[int, int, float], ...] = ()
    level: float = 1.0
    within: tuple[HalfSpace, ...] = ()
    of: Literal["stress", "strain"] = "stress"

    def crossing(self, s: Components, r: Components | None, least: Array) -> Array:
        """Smallest R >= 0 at which R s + r is on or beyond the surface within its range, inf if none, (...)."""
        a, b, c = self._rise(s, r)
        if not self.within:
            return first_root(a, b, c)
        enter, leave = span(self.within, s, r)
        x = enter + first_root(a, b + 2 * a * enter, c - (b + a * enter) * enter)
        return np.where(x <= leave, x, np.inf)

    def _rise(self, s: Components, r: Components | None) -> tuple[Value, Value, Value]:
        """Coefficients a, b, c of a R^2 + b R = c along R s + r."""
        a: Value = 0.0
        b: Value = 0.0
        c: Value = self.level
        for i, k in self.linear:
            b = b + k * s[i]
            if r is not None:
                c = c - k * r[i]
        for i, j, k in self.quadratic:
            a = a + k * s[i] * s[j]
            if r is not None:
                b = b + k * (s[i] * r[j] + s[j] * r[i])
                c = c - k * r[i] * r[j]
        return a, b, c


@dataclass(frozen=True)
class Sense:
    """Linear and quadratic coefficient on one stress, for tension and for compression: the larger term counts."""

    tension: tuple[float, float]
    compression: tuple[float, float]

    @property
    def both(self) -> tuple[tuple[float, float], ...]:
        """The coefficients of each sense, once where they are equal."""
        return tuple(dict.fromkeys((self.tension, self.compression)))

    def pulls(self, x: Array) -> NDArray[np.bool_]:
        """Whether the term of tension is the larger one, (...); never where the two are equal."""
        more, bend = self.tension[0] - self.compression[0], self.tension[1] - self.compression[1]
        return np.asarray(x * (more + bend * x) > 0.0)

    def of(self, pulls: NDArray[np.bool_]) -> tuple[Value, Value]:
        """The two coefficients, (...)."""
        if len(self.both) == 1:
            return self.tension
        one, other = (np.where(pulls, t, c) for t, c in zip(self.tension, self.compression, strict=True))
        return one, other


@dataclass(frozen=True, kw_only=True)
class SensedEllipsoid:
    """Ellipsoid whose coefficients on s1 and on s2 depend on the sense of each: the largest of up to four ellipsoids.

    The ply fails where max(tension, compression)(s1) + max(tension, compression)(s2) + shear t12^2 + cross s1 s2 >= 1.
    """

    mode: Mode
    along: Sense
    across: Sense
    shear: float
    cross: float

    @property
    def surfaces(self) -> tuple[Surface, ...]:
        """The plain ellipsoids, of which the first that is met counts."""
        return tuple(
            Surface(
                mode=self.mode,
                linear=((0, F1), (1, F2)),
                quadratic=((0, 0, F11), (1, 1, F22), (2, 2, self.shear), (0, 1, self.cross)),
            )
            for F1, F11 in self.along.both
            for F2, F22 in self.across.both
        )

    def crossing(self, s: Components, r: Components | None, least: Array) -> Array:
        """Smallest R >= 0 at which R s + r is on or beyond the surface, inf if none, (...)."""
        # An ellipsoid taken by the sign of the load is met at the answer or later. There, either it is the largest
        # of the four, or the largest one is met earlier: at most three more looks.
        senses = self.along, self.across
        pulls = [(x > 0) & (len(sense.both) > 1) for sense, x in zip(senses, s[:2], strict=True)]
        R = self._root(s, r, pulls)
        for _ in range(3):
            at = [R * x if r is None else R * x + y for x, y in zip(s[:2], r or s, strict=False)]
            now = [sense.pulls(x) for sense, x in zip(senses, at, strict=True)]
            again = np.flatnonzero(((now[0] != pulls[0]) | (now[1] != pulls[1])) & (R > 0) & np.isfinite(R))
            if not again.size:
                break
            pulls = now
            some = [[x[again] for x in part] if part is not None else None for part in (s, r)]
            R[again] = np.minimum(R[again], self._root(some[0], some[1], [one[again] for one in now]))
        if r is not None and not self._within(r):
            R[self._level(r, [sense.pulls(x) for sense, x in zip(senses, r[:2], strict=True)]) <= 0] = 0.0
        return R

    def _within(self, r: Components) -> bool:
        """Whether all residual states are safe because the corners of the box around them are, by convexity."""
        x = np.array(list(product(*((one.min(), one.max()) for one in r)))).T
        return bool((self._level(x, [self.along.pulls(x[0]), self.across.pulls(x[1])]) > 0).all())

    def _root(self, s: Any, r: Any, pulls: Sequence[NDArray[np.bool_]]) -> Array:
        """R at which one ellipsoid is met, (row,)."""
        (F1, F11), (F2, F22) = self.along.of(pulls[0]), self.across.of(pulls[1])
        s1, s2, t12 = s
        a = F11 * s1 * s1 + F22 * s2 * s2 + self.shear * t12 * t12 + self.cross * s1 * s2
        b = F1 * s1 + F2 * s2
        if r is None:
            return first_root(a, b, 1.0)
        r1, r2, r12 = r
        b = (
            b
            + 2 * (F11 * s1 * r1 + F22 * s2 * r2 + self.shear * t12 * r12)
            + self.cross * (s1 * r2 + s2 * r1)
        )
        return first_root(a, b, self._level(r, pulls))

    def _level(self, r: Any, pulls: Sequence[NDArray[np.bool_]]) -> Array:
        """1 less the index at a state, (row,)."""
        (F1, F11), (F2, F22) = self.along.of(pulls[0]), self.across.of(pulls[1])
        r1, r2, r12 = r
        out: Array = (
            1 - (F1 + F11 * r1) * r1 - (F2 + F22 * r2 + self.cross * r1) * r2 - self.shear * r12 * r12
        )
        return out


def plain(pieces: Iterable[Piece]) -> list[Piece]:
    """The pieces, an ellipsoid by sense as its plain ones."""
    return [one for p in pieces for one in (p.surfaces if isinstance(p, SensedEllipsoid) else (p,))]


def first_crossing(pieces: Sequence[Piece], values: Array, residual: Array | None) -> tuple[Array, ModeArray]:
    """Smallest ratio over the pieces and the mode of that piece, (...), of values and residual (..., 3)."""
    parts = [values] if residual is None else [values, residual]
    mode = np.empty(np.broadcast_shapes(*(p.shape[:-1] for p in parts)), dtype=np.int8)
    return _crossed(pieces, parts, mode), mode


def first_ratio(pieces: Sequence[Piece], values: Array, residual: Array | None) -> Array:
    """Smallest ratio over the pieces, (...), of values and residual (..., 3)."""
    return _crossed(pieces, [values] if residual is None else [values, residual], None)


def _crossed(pieces: Sequence[Piece], parts: list[Array], mode: ModeArray | None) -> Array:
    """Smallest ratio over the pieces; the mode of that piece is written to `mode`."""
    ratio = np.empty(np.broadcast_shapes(*(p.shape[:-1] for p in parts)))
    inputs: Any = [p[..., i] for p in parts for i in range(3)]
    outputs: list[NDArray[Any]] = [ratio] if mode is None else [ratio, mode]
    flags: Any = [["readonly", "contig"]] * len(inputs) + [["writeonly", "contig"]] * len(outputs)
    blocks = np.nditer(
        [*inputs, *outputs],
        flags=["external_loop", "buffered", "zerosize_ok"],
        op_flags=flags,
        buffersize=BLOCK,
    )
    # Planes need no scale; squares of large numbers do.
    planes = all(isinstance(piece, Surface) and not piece.quadratic and not piece.within for piece in pieces)
    with blocks, np.errstate(all="ignore"):
        for *x, least in blocks if mode is None else ((*one[:-2], one[-1], one[-2]) for one in blocks):
            which = x.pop() if mode is not None else None
            s, r = (x[0], x[1], x[2]), None if len(parts) == 1 else (x[3], x[4], x[5])
            if not planes:
                size = np.maximum(np.maximum(abs(x[0]), abs(x[1])), abs(x[2]))
                size[size == 0] = 1.0
                s = x[0] / size, x[1] / size, x[2] / size
            least[...] = np.inf
            for piece in pieces:
                R = piece.crossing(s, r, least)
                if which is not None:
                    np.copyto(which, piece.mode, where=least > R)
                np.minimum(least, R, out=least)
            if not planes:
                least /= size
            if which is not None:
                which[least == np.inf] = Mode.NONE
    return ratio


def along(normal: tuple[float, float, float], x: Components) -> Array:
    """Product of a normal, not all zero, with components of shape (...)."""
    return reduce(np.add, [n * x[i] for i, n in enumerate(normal) if n != 0])


def span(within: tuple[HalfSpace, ...], s: Components, r: Components | None) -> tuple[Value, Value]:
    """R at which a load path enters (>= 0) and leaves some half-spaces; leave < enter where it never is inside."""
    enter: Value = 0.0
    leave: Value = np.inf
    for normal, bound in within:
        slope = along(normal, s)
        ahead = bound if r is None else bound - along(normal, r)
        border = ahead / slope
        enter = np.where(slope > 0, np.maximum(enter, border), enter)
        leave = np.where(slope < 0, np.minimum(leave, border), leave)
        leave = np.where((slope == 0) & (ahead > 0), -1.0, leave)
    return enter, leave


def first_root(a: Value, b: Value, c: Value) -> Array:
    """Smallest x >= 0 with a x^2 + b x >= c, (...): 0 where c <= 0, inf where c is never reached."""
    # 2 c / (b + root) for b >= 0 survives a -> 0; (root - b) / (2 a) for b < 0 does not subtract near-equal numbers.
    x: Array
    if not isinstance(a, np.ndarray) and a == 0:
        x = np.divide(c, np.maximum(b, 0.0) + 0.0)  # never -0, so a load that falls away gives +inf
    else:
        d = b * b + 4 * a * c
        q = abs(b) + np.sqrt(np.maximum(d, 0))
        x = np.where(np.greater_equal(b, 0), 2 * c / q, np.where(np.greater(a, 0), q / (2 * a), np.inf))
        x = np.where(np.greater_equal(d, 0), x, np.inf)
    if not isinstance(c, np.ndarray) and c > 0:
        return x
    return np.where(np.greater(c, 0), x, 0.0)
