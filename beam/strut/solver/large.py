"""Large displacements: loads go with their points, rotations are exact, strains stay linear in the forces.

In strut axes, with Q the rotation of the section, E its unloaded axes as rows, n and m force and moment:

    (gamma, kappa) = C (E Q^T n, E Q^T m) + free    strains in section axes
    p' = Q (t + E^T gamma)                           position; t the unloaded tangent
    Q' = skew(k) Q,  k = Q E^T kappa                 rotation
    n' = 0,  m' = -p' x n                            equilibrium

Newton's method on all pieces at once (multiple shooting): the state at the inboard end of every piece is unknown, the
pieces run side by side, and the gaps at their joints and at the supports are driven to zero. Loads come on in steps.
An equilibrium is kept if it is stable. A moment with no arm behind it keeps its direction, and is taken as
semi-tangential (see `buckling`) where the state is judged stable or not.

References
----------
E. Reissner, "On one-dimensional large-displacement finite-strain beam theory", Studies in Applied Mathematics 52
(1973) 87-95; J. C. Simo, Computer Methods in Applied Mechanics and Engineering 49 (1985) 55-70 (both from memory; the
equations are derived here).
"""

from typing import NamedTuple

import numpy as np
from numpy.polynomial.legendre import leggauss
from numpy.typing import NDArray

from beam.axes import rotation, rotation_vector, skew
from beam.strut.axis import SNAP, Axis
from beam.strut.point_loads import PointLoads
from beam.strut.solver import buckling, linear
from beam.strut.solver.field import POINTS, Field, pieces
from beam.strut.solver.line import of_shape
from beam.strut.supports import Held
from materials.checks import Array

SMALLEST_STEP = 1 / 100
TURN_PER_STEP = 0.6  # [rad] of the linear solution
PIECES = 16  # at least so many to the span
ITERATIONS = 20
CLOSE = 1e-10
LARGEST_TURN = 1.0  # [rad] of a section in one Newton step; beyond it the iteration is given up
EXTRAPOLATED = (
    2,
    4,
    6,
    8,
)  # Midpoint rule with these steps to a piece, extrapolated: error of the eighth order.
PERMUTATION = np.cross(np.eye(3)[:, None], np.eye(3)).transpose(2, 0, 1)  # e_ijk of the vector product
FRACTIONS = np.unique(np.concatenate([np.arange(n + 1) / n for n in EXTRAPOLATED]))


class NoEquilibrium(RuntimeError):
    """No stable equilibrium was found; the message names the case, the fraction of the load and the buckling factor."""


class Deformed(NamedTuple):
    """The span in equilibrium."""

    displacement: Array  # (..., case, station, 6) u and the rotation vector, in strut axes [m, rad]
    force: Array  # (..., case, station, 6) N, V2, V3, T, M2, M3 in the turned section axes [N, N m]
    reaction: Array  # (..., case, direction) reactions of the supports [N, N m]


class Pieces(NamedTuple):
    """What does not change with the loads; lengths in units of the span's, forces in a unit of force."""

    length: Array  # (piece,)
    axes: Array  # (piece, 3, 3) section axes E as rows
    flexible: Array  # (fraction, piece, 6, 6) compliance C at `FRACTIONS` of each piece
    free: Array  # (fraction, piece, 6) free strain there


class State(NamedTuple):
    """Where the inboard ends of the pieces are and what passes through them, dimensionless."""

    p: Array  # (case, piece, 3) position
    Q: Array  # (case, piece, 3, 3) rotation from the unloaded state
    n: Array  # (case, piece, 3) force of the outboard part on the inboard part
    m: Array  # (case, piece, 3) moment, likewise


class Problem(NamedTuple):
    """The span and its loads; all after `unit` is dimensionless, with the length and a unit of force."""

    axis: Axis
    stiffness: Field
    held: Held
    strain: Field | None  # free strain
    ends: Array  # (end,) ends of the pieces [m]
    unit: float  # of force [N]
    pieces: Pieces
    place: Array  # (end, 3) unloaded ends of the pieces
    force: Array  # (case, load, 3)
    moment: Array  # (case, load, 3) besides those of the arms
    arm: Array  # (case, load, 3)
    load_end: NDArray[np.intp]  # (load,) end of each load
    rows: Array  # (direction, 6) restrained directions: translation and rotation, arms left out
    held_arm: Array  # (direction, 3) arms of the restrained points
    held_end: NDArray[np.intp]  # (direction,) end of each restrained direction
    flexibility: Array  # (direction,) of the supports


class Joints(NamedTuple):
    """What is applied at the ends of the pieces, and how it changes."""

    force: Array  # (case, end, 3) loads and reactions
    moment: Array  # (case, end, 3)
    turning: Array  # (case, end, 3, 3) change of the moment with the turn of the section
    per_reaction: Array  # (case, end, 6, direction) change of force and moment with the reactions


def find(
    axis: Axis, stiffness: Field, held: Held, loads: PointLoads, strain: Field | None, s: Array
) -> Deformed:
    """Equilibrium of every load case, with results at stations s (station,); refuse an unstable one."""
    held.refuse_play()
    ends = pieces(axis, stiffness.stations, held.at, loads.at, s, np.linspace(0.0, axis.length, PIECES + 1))
    problem = _pose(axis, stiffness, held, ends, loads, strain)
    turn = np.abs(linear.solve(axis, stiffness, held, loads, strain, ends)[1][..., 3:]).max(initial=0.0)
    state, reaction = _load(problem, loads, float(1 / np.ceil(max(1.0, turn / TURN_PER_STEP))))
    found, cases = _measure(problem, state, reaction, _end_of(ends, s)), loads.force.shape[:-2]
    return Deformed(*(part.reshape(*cases, *part.shape[1:]) for part in found))


def _load(problem: Problem, loads: PointLoads, step: float) -> tuple[State, Array]:
    """Bring the loads on in steps, shorter where one finds no state or jumps onto an unstable branch."""
    state, reaction = _unloaded(problem), np.zeros((len(problem.force), len(problem.rows)))
    factor = 0.0
    while factor < 1.0:
        ahead = min(1.0, factor + step)
        found = _newton(problem, state, reaction, ahead)
        if isinstance(found, int):
            case, trouble = found, "no steady state"
        else:
            taken = _energy_taken(problem, *found, ahead)
            case, trouble = int(np.argmax(taken)), "only an unstable state"
            if taken[case] < 1.0:
                (state, reaction), factor = found, ahead
                continue
        step /= 2
        if step < SMALLEST_STEP:
            known = buckling.factor(problem.axis, problem.stiffness, problem.held, loads).ravel()[case]
            raise NoEquilibrium(
                f"Span: large displacement: case {case} has {trouble} at {ahead:.4g} of its load and a steady "
                f"one at {factor:.4g}; its linear buckling factor is {known:.4g}"
            )
    return state, reaction


def _measure(problem: Problem, state: State, reaction: Array, here: NDArray[np.intp]) -> Deformed:
    """Displacements, section forces and reactions at the ends `here` (station,)."""
    L, unit = problem.axis.length, problem.unit
    end, _ = _across(problem.pieces, state)
    p, Q, n, m = (np.concatenate([a[:, :1], b], axis=1) for a, b in zip(state, end, strict=True))
    axes = np.concatenate([problem.pieces.axes[:1], problem.pieces.axes])
    rows = axes @ np.swapaxes(Q, -1, -2)
    parts = [unit * (rows @ n[..., None])[..., 0], unit * L * (rows @ m[..., None])[..., 0]]
    moved = np.concatenate([L * (p - problem.place), rotation_vector(Q)], axis=-1)
    lever = np.where(np.any(problem.rows[:, :3], axis=1), 1.0, L)
    return Deformed(moved[:, here], np.concatenate(parts, axis=-1)[:, here], unit * lever * reaction)


def _energy_taken(problem: Problem, state: State, reaction: Array, factor: float) -> Array:
    """Largest eigenvalue (case,) of the forces present in the bent shape; below 1 the state is stable."""
    L, unit, ends = problem.axis.length, problem.unit, problem.ends
    x = (1 + leggauss(POINTS)[0]) / 2
    start, length = np.repeat(ends[:-1], len(x)), (np.diff(ends)[:, None] * x).ravel()
    inner = _pieces_of(problem.axis, problem.stiffness, problem.strain, unit, start, length)
    inner = inner._replace(free=factor * inner.free)
    inside, _ = _across(inner, State(*(np.repeat(v, len(x), axis=1) for v in state)))
    strained, _ = _strains(inner, inside, -1)
    slope = (inside.Q @ inner.axes[:, 0, :, None])[..., 0] + strained[..., :3]
    frames = inner.axes @ np.swapaxes(inside.Q, -1, -2)
    force = np.concatenate([unit * inside.n, unit * L * inside.m], axis=-1)
    last, _ = _across(problem.pieces._replace(free=factor * problem.pieces.free), state)
    p, Q = (np.concatenate([a, b[:, -1:]], axis=1) for a, b in ((state.p, last.p), (state.Q, last.Q)))
    grid = (len(ends) - 1, len(x))
    taken = np.zeros(len(p))
    for case in range(len(p)):
        turned = (Q[case, problem.held_end] @ problem.held_arm[..., None])[..., 0]
        about = _turn_row(rotation_vector(Q[case, problem.held_end]), problem.rows[:, 3:])
        d = problem.rows[:, :3]
        bent = of_shape(
            problem.stiffness,
            problem.held,
            ends,
            frames=frames[case].reshape(*grid, 3, 3),
            tangent=slope[case].reshape(*grid, 3),
            points=L * inside.p[case].reshape(*grid, 3),
            at_ends=L * p[case],
            rows=np.concatenate([d, about + _cross(L * turned, d)], axis=1),
        )
        turning = np.zeros((len(ends), 3, 3))
        for load, end in enumerate(problem.load_end):
            arm = Q[case, end] @ problem.arm[case, load]
            turning[end] += buckling.turning_of(factor * problem.force[case, load], arm)
        for i, end in enumerate(problem.held_end):
            turning[end] += buckling.turning_of(reaction[case, i] * d[i], turned[i])
        n = force[case].reshape(1, *grid, 6)
        taken[case] = buckling.largest(bent, n, unit * L * turning[None], close=1e-3)[0]
    return taken


def _pose(
    axis: Axis, stiffness: Field, held: Held, ends: Array, loads: PointLoads, strain: Field | None
) -> Problem:
    """Span and loads, dimensionless; `ends` (end,) include the stations of all loads and supports."""
    L = axis.length
    force, moment, arm = (v.reshape(-1, len(loads.at), 3) for v in (loads.force, loads.moment, loads.arm))
    moves = np.any(held.rows[:, :3], axis=1)
    # Unit of force: a bending stiffness of the span over its length squared.
    C = np.linalg.inv(stiffness.at(np.array([L / 2])))[0]
    unit = float(2 / (L**2 * (C[4, 4] + C[5, 5])))
    return Problem(
        axis=axis,
        stiffness=stiffness,
        held=held,
        strain=strain,
        ends=ends,
        unit=unit,
        pieces=_pieces_of(axis, stiffness, strain, unit, ends[:-1], np.diff(ends)),
        place=axis.position(ends) / L,
        force=force / unit,
        moment=(moment - _cross(arm, force)) / (unit * L),
        arm=arm / L,
        load_end=_end_of(ends, loads.at),
        rows=np.where(moves[:, None], held.rows * np.r_[np.ones(3), np.zeros(3)], held.rows),
        held_arm=held.arm / L,
        held_end=_end_of(ends, held.at),
        flexibility=held.flexibility * unit * np.where(moves, 1 / L, L),
    )


def _pieces_of(
    axis: Axis, stiffness: Field, strain: Field | None, unit: float, start: Array, length: Array
) -> Pieces:
    """Pieces that start at stations (piece,) and have lengths (piece,), dimensionless."""
    L, middle = axis.length, start + length / 2
    s = start + length * FRACTIONS[:, None]
    flat, bay_of = s.ravel(), np.broadcast_to(middle, s.shape).ravel()
    C = np.linalg.inv(stiffness.at(flat, bay_of)).reshape(*s.shape, 6, 6)
    free = np.zeros((*s.shape, 6)) if strain is None else strain.at(flat, bay_of).reshape(*s.shape, 6)
    weight = np.r_[np.ones(3), np.full(3, L)]
    flexible = C * unit * weight[:, None] * weight
    return Pieces(length / L, axis.frames(middle), flexible, free * weight)


def _end_of(ends: Array, s: Array) -> NDArray[np.intp]:
    """Number of the end at each station, shape of `s` [-]."""
    return np.searchsorted(ends, s - SNAP * ends[-1])


def _unloaded(problem: Problem) -> State:
    """State of all cases before any load."""
    cases, pieces = len(problem.force), len(problem.pieces.length)
    none = np.zeros((cases, pieces, 3))
    place = np.broadcast_to(problem.place[:-1], none.shape)
    return State(place, np.broadcast_to(np.eye(3), (cases, pieces, 3, 3)), none, none)


def _newton(problem: Problem, state: State, reaction: Array, factor: float) -> tuple[State, Array] | int:
    """Equilibrium near a state with its reactions (case, direction), or the number of a case that finds none."""
    pieces = problem.pieces._replace(free=problem.pieces.free * factor)
    for _ in range(ITERATIONS):
        step, change = _step(problem, pieces, state, reaction, factor)
        size = np.abs(step).max(axis=(1, 2))
        turn = np.abs(step[..., 3:6]).max(axis=(1, 2))
        if not np.isfinite(size).all() or (turn > LARGEST_TURN).any():
            return int(np.argmax(np.where(np.isfinite(turn), turn, np.inf)))
        state = State(
            state.p + step[..., :3],
            rotation(step[..., 3:6]) @ state.Q,
            state.n + step[..., 6:9],
            state.m + step[..., 9:],
        )
        reaction = reaction + change
        # Scaled by the forces present: their rounding is what is left at last.
        scale = 1 + np.abs(state.n).max(axis=(1, 2)) + np.abs(state.m).max(axis=(1, 2))
        if (size <= CLOSE * scale).all():
            return state, reaction
    return int(np.argmax(size / scale))


def _joints(problem: Problem, Q: Array, reaction: Array, factor: float) -> Joints:
    """Loads times `factor` and reactions (case, direction) at ends turned by Q (case, end, 3, 3)."""
    count = len(problem.rows)
    force, moment = np.zeros(Q.shape[:-1]), np.zeros(Q.shape[:-1])
    turning, per = np.zeros(Q.shape), np.zeros((*Q.shape[:2], 6, count))
    for load, end in enumerate(problem.load_end):
        f = factor * problem.force[:, load]
        arm = (Q[:, end] @ problem.arm[:, load, :, None])[..., 0]
        force[:, end] += f
        moment[:, end] += factor * problem.moment[:, load] + _cross(arm, f)
        turning[:, end] += skew(f) @ skew(arm)
    for i, end in enumerate(problem.held_end):
        d, b, R = problem.rows[i, :3], problem.rows[i, 3:], reaction[:, i, None]
        arm = Q[:, end] @ problem.held_arm[i]
        per[:, end, :3, i], per[:, end, 3:, i] = d, b + _cross(arm, d)
        force[:, end] += R * d
        moment[:, end] += R * per[:, end, 3:, i]
        turning[:, end] += R[..., None] * (skew(d) @ skew(arm))
    return Joints(force, moment, turning, per)


def _step(
    problem: Problem, pieces: Pieces, state: State, reaction: Array, factor: float
) -> tuple[Array, Array]:
    """One Newton step: changes of the states, shape (case, piece, 12), and of the reactions (case, direction)."""
    # All changes are carried as linear in the changes of (p, turn) of the root and of the reactions; the last column
    # is the constant part.
    end, D = _across(pieces, state)
    p, Q = np.concatenate([state.p, end.p[:, -1:]], axis=1), np.concatenate([state.Q, end.Q[:, -1:]], axis=1)
    joint = _joints(problem, Q, reaction, factor)
    cases, count, known = len(p), len(pieces.length), 6 + len(problem.rows)
    A = np.zeros((cases, 12, known + 1))
    A[:, :6, :6] = np.eye(6)
    n_in = m_in = np.zeros((cases, 3))
    zero = np.zeros((cases, 1, 3))
    n, m = np.concatenate([state.n, zero], axis=1), np.concatenate([state.m, zero], axis=1)
    every, equations = [], []
    for i in range(count + 1):
        A[:, 6:, 6:known] -= joint.per_reaction[:, i]
        A[:, 6:9, known] += n_in - joint.force[:, i] - n[:, i]
        A[:, 9:, known] += m_in - joint.moment[:, i] - m[:, i]
        A[:, 9:] -= joint.turning[:, i] @ A[:, 3:6]
        equations += [
            _held(problem, j, p[:, i], Q[:, i], A, reaction)
            for j in np.flatnonzero(problem.held_end == i).tolist()
        ]
        if i == count:
            break
        every.append(A)
        moved = D[:, i] @ A[:, 3:]
        A = np.concatenate([A[:, :3] + moved[:, :3], moved[:, 3:6], A[:, 6:9], moved[:, 6:]], axis=1)
        A[:, :3, known] += end.p[:, i] - p[:, i + 1]
        A[:, 3:6, known] += rotation_vector(end.Q[:, i] @ np.swapaxes(Q[:, i + 1], -1, -2))
        n_in, m_in = end.n[:, i], end.m[:, i]
    system = np.concatenate([A[:, 6:], np.stack(equations, axis=1)], axis=1)
    try:
        z = np.linalg.solve(system[..., :known], -system[..., known, None])
    except np.linalg.LinAlgError:
        z = np.full((cases, known, 1), np.nan)
    whole = np.stack(every, axis=1)
    return (whole[..., :known] @ z[:, None] + whole[..., known:])[..., 0], z[:, 6:, 0]


def _held(problem: Problem, j: int, p: Array, Q: Array, A: Array, reaction: Array) -> Array:
    """Condition that restrained direction j moves only as its support lets it: one row (case, column)."""
    d, b, arm = problem.rows[j, :3], problem.rows[j, 3:], problem.held_arm[j]
    place = problem.place[problem.held_end[j]]
    turned, phi = Q @ arm, rotation_vector(Q)
    about = _cross(turned, d) + _turn_row(phi, b)
    row: Array = d @ A[:, :3] + np.einsum("ci,cik->ck", about, A[:, 3:6])
    row[:, 6 + j] += problem.flexibility[j]
    row[:, -1] += (p + turned - place - arm) @ d + phi @ b + problem.flexibility[j] * reaction[:, j]
    return row


def _across(pieces: Pieces, start: State) -> tuple[State, Array]:
    """State at the outboard ends; change (case, piece, 9, 9) of (p, turn, m) there with (turn, n, m) of the start."""
    shape = start.p.shape[:-1]
    vector = np.concatenate([start.p, np.zeros((*shape, 3)), start.m], axis=-1)
    change = np.zeros((*shape, 9, 9))
    change[..., 3:6, 0:3] = change[..., 6:9, 6:9] = np.eye(3)
    y = np.concatenate([vector[..., None], change], axis=-1)
    rows: list[list[Array]] = []
    for level, steps in enumerate(EXTRAPOLATED):
        h = (pieces.length / steps)[:, None, None]
        before, now = y, y + h * _slope(pieces, start, y, 0.0)
        for step in range(1, steps):
            before, now = now, before + 2 * h * _slope(pieces, start, now, step / steps)
        row = [now]
        for back in range(1, level + 1):
            ratio = (steps / EXTRAPOLATED[level - back]) ** 2
            row.append(row[-1] + (row[-1] - rows[-1][back - 1]) / (ratio - 1))
        rows.append(row)
    found = rows[-1][-1]
    turned = rotation(found[..., 3:6, 0]) @ start.Q
    return State(found[..., 0:3, 0], turned, start.n, found[..., 6:9, 0]), found[..., 1:]


def _strains(pieces: Pieces, state: State, fraction: int) -> tuple[Array, Array]:
    """Strain (case, piece, 6) and compliance (case, piece, 6, 6) on the strut axes, at one of `FRACTIONS`."""
    turn = pieces.axes @ np.swapaxes(state.Q, -1, -2)
    both = np.zeros((*turn.shape[:-2], 6, 6))
    both[..., :3, :3] = both[..., 3:, 3:] = turn
    flexible = np.swapaxes(both, -1, -2) @ pieces.flexible[fraction] @ both
    force = np.concatenate([state.n, state.m], axis=-1)[..., None]
    strain = flexible @ force + np.swapaxes(both, -1, -2) @ pieces.free[fraction][..., None]
    return strain[..., 0], flexible


def _slope(pieces: Pieces, start: State, y: Array, at: float) -> Array:
    """Derivative along the piece of (p, phi, m) and their changes; the section turns by exp(phi) Q."""
    phi, m, change = y[..., 3:6, 0], y[..., 6:9, 0], y[..., 1:]
    Q = rotation(phi) @ start.Q
    fraction = int(np.argmin(np.abs(FRACTIONS - at)))
    strain, flexible = _strains(pieces, State(start.p, Q, start.n, m), fraction)
    out = np.empty_like(y)
    along = Q @ pieces.axes[:, 0, :, None]
    slope = along[..., 0] + strain[..., :3]
    out[..., 0:3, 0] = slope
    out[..., 3:6, 0] = _turn_rate(phi, strain[..., 3:])
    out[..., 6:9, 0] = -_cross(slope, start.n)
    # Change of the forces seen by the section: (dn - turn x n, dm - turn x m), turn = rows 3 to 5.
    S_n, S_m, S_p = skew(start.n), skew(m), skew(slope)
    seen = np.empty((*y.shape[:-2], 6, 9))
    seen[..., :3, :] = S_n @ change[..., 3:6, :]
    seen[..., :3, 3:6] += np.eye(3)
    seen[..., 3:, :] = change[..., 6:9, :] + S_m @ change[..., 3:6, :]
    stretched = flexible @ seen
    moved = stretched[..., :3, :] - S_p @ change[..., 3:6, :]
    out[..., 0:3, 1:] = moved
    out[..., 3:6, 1:] = stretched[..., 3:, :]
    out[..., 6:9, 1:] = S_n @ moved
    out[..., 6:9, 4:7] -= S_p
    return out


def _turn_rate(phi: Array, k: Array) -> Array:
    """Rate of the rotation vector phi whose rotation turns at the rate k."""
    a = np.linalg.norm(phi, axis=-1, keepdims=True)
    safe = np.where(a > 1e-4, a, 1.0)
    c = np.where(a > 1e-4, (1 - safe / 2 / np.tan(safe / 2)) / safe**2, 1 / 12 + a**2 / 720)
    once = _cross(phi, k)
    return k - once / 2 + c * _cross(phi, once)


def _turn_row(phi: Array, b: Array) -> Array:
    """Linear form of a further turn that is the change of b . phi, shape (..., 3) [-]."""
    rates = [_turn_rate(phi, np.broadcast_to(e, phi.shape)) for e in np.eye(3)]
    return np.stack([np.sum(rate * b, axis=-1) for rate in rates], axis=-1)


def _cross(a: Array, b: Array) -> Array:
    """a x b (..., 3); `np.cross` takes ten times as long for few vectors."""
    return np.einsum("ijk,...j,...k->...i", PERMUTATION, a, b)
