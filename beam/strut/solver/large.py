"""Large displacements: loads go with their points, rotations are exact, strains stay linear in the forces.

Newton's method on all pieces at once: the state at the inboard end of every piece is unknown, the
pieces run side by side, and what does not fit at their joints and at the supports is driven to zero.
"""

from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

from beam.axes import rotation, rotation_vector, skew
from beam.strut.solver import shooting
from beam.strut.solver.field import Field
from beam.strut.solver.shooting import Pieces, State
from materials.checks import Array

if TYPE_CHECKING:
    from beam.strut.span import Span

ITERATIONS = 20
CLOSE = 1e-10
LARGEST_TURN = 1.0  # A Newton step that turns a section further [rad] is lost, not on its way.


class Problem(NamedTuple):
    """The span and its loads made dimensionless with its length and a unit of force.

    Parameters
    ----------
    pieces : Pieces
        The pieces.
    place : ndarray, shape (end, 3)
        Unloaded ends of the pieces [-].
    force, moment, arm : ndarray, shape (case, load, 3)
        Loads; the moments are those besides the arms' [-].
    load_end : ndarray of int, shape (load,)
        End of each load [-].
    rows : ndarray, shape (direction, 6)
        Held directions: translation and rotation, arms left out [-].
    held_arm : ndarray, shape (direction, 3)
        Arms of the held points [-].
    held_end : ndarray of int, shape (direction,)
        End of each held direction [-].
    soft : ndarray, shape (direction,)
        Flexibility of the supports [-].
    """

    pieces: Pieces
    place: Array
    force: Array
    moment: Array
    arm: Array
    load_end: NDArray[np.intp]
    rows: Array
    held_arm: Array
    held_end: NDArray[np.intp]
    soft: Array


class Joints(NamedTuple):
    """What is applied at the ends of the pieces, and how it changes.

    Parameters
    ----------
    force, moment : ndarray, shape (case, end, 3)
        Loads and reactions [-].
    turning : ndarray, shape (case, end, 3, 3)
        Change of the moment with the turn of the section [-].
    per_reaction : ndarray, shape (case, end, 6, direction)
        Change of force and moment with the reactions [-].
    """

    force: Array
    moment: Array
    turning: Array
    per_reaction: Array


def pose(span: "Span", ends: Array, loads: tuple[Array, Array, Array, Array], free: Field | None) -> Problem:
    """Make a span and its loads dimensionless.

    Parameters
    ----------
    span : Span
        The span.
    ends : ndarray, shape (end,)
        Ends of the pieces, with all loads and supports among them [m].
    loads : tuple of ndarray, shapes (load,) and three times (case, load, 3)
        Stations [m], forces [N], moments [N m], arms [m].
    free : Field, optional
        Strain of heat and moisture, in section axes [-, 1/m].

    Returns
    -------
    Problem
        The problem.
    """
    axis, held, L = span.axis, span.held, span.axis.length
    at, force, moment, arm = loads
    moves = np.any(held.rows[:, :3], axis=1)
    rows = np.where(moves[:, None], held.rows * np.r_[np.ones(3), np.zeros(3)], held.rows)
    unit = unit_force(span)
    return Problem(
        pieces=pieces_of(span, ends[:-1], np.diff(ends), free),
        place=axis.position(ends) / L,
        force=force / unit,
        moment=(moment - np.cross(arm, force)) / (unit * L),
        arm=arm / L,
        load_end=end_of(ends, at),
        rows=rows,
        held_arm=held.arm / L,
        held_end=end_of(ends, held.at),
        soft=held.flexibility * unit * np.where(moves, 1 / L, L),
    )


def unit_force(span: "Span") -> float:
    """Unit that makes forces dimensionless: a bending stiffness of the span over its length squared [N]."""
    L = span.axis.length
    C = np.linalg.inv(span.stiffness.at(np.array([L / 2])))[0]
    return float(2 / (L**2 * (C[4, 4] + C[5, 5])))


def pieces_of(span: "Span", start: Array, length: Array, free: Field | None) -> Pieces:
    """Describe pieces of a span to `shooting`.

    Parameters
    ----------
    span : Span
        The span.
    start : ndarray, shape (piece,)
        Inboard ends [m].
    length : ndarray, shape (piece,)
        Lengths [m].
    free : Field, optional
        Strain of heat and moisture, in section axes [-, 1/m].

    Returns
    -------
    Pieces
        The pieces, dimensionless.
    """
    L, middle = span.axis.length, start + length / 2
    s = start + length * shooting.FRACTIONS[:, None]
    flat, bay_of = s.ravel(), np.broadcast_to(middle, s.shape).ravel()
    C = np.linalg.inv(span.stiffness.at(flat, bay_of)).reshape(*s.shape, 6, 6)
    strain = np.zeros((*s.shape, 6)) if free is None else free.at(flat, bay_of).reshape(*s.shape, 6)
    weight = np.r_[np.ones(3), np.full(3, L)]
    flexible = C * unit_force(span) * weight[:, None] * weight
    return Pieces(length / L, span.axis.frames(middle), flexible, strain * weight)


def end_of(ends: Array, s: Array) -> NDArray[np.intp]:
    """Number of the end at each station, shape of `s` [-]."""
    return np.searchsorted(ends, s - 1e-9 * ends[-1])


def unloaded(problem: Problem) -> State:
    """State of all cases before any load."""
    cases, pieces = len(problem.force), len(problem.pieces.length)
    none = np.zeros((cases, pieces, 3))
    place = np.broadcast_to(problem.place[:-1], none.shape)
    return State(place, np.broadcast_to(np.eye(3), (cases, pieces, 3, 3)), none, none)


def newton(problem: Problem, state: State, reaction: Array, factor: float) -> tuple[State, Array] | int:
    """Find the equilibrium near a state.

    Parameters
    ----------
    problem : Problem
        The span and its loads.
    state : State
        Where to begin.
    reaction : ndarray, shape (case, direction)
        Reactions to begin with [-].
    factor : float
        Fraction of the loads, and of heat and moisture [-].

    Returns
    -------
    tuple of State and ndarray, or int
        The equilibrium and its reactions; or the number of a case that found none [-].
    """
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


def joints(problem: Problem, Q: Array, reaction: Array, factor: float) -> Joints:
    """Gather loads and reactions at the ends of the pieces.

    Parameters
    ----------
    problem : Problem
        The span and its loads.
    Q : ndarray, shape (case, end, 3, 3)
        Rotations of the ends [-].
    reaction : ndarray, shape (case, direction)
        Reactions [-].
    factor : float
        Fraction of the loads [-].

    Returns
    -------
    Joints
        Forces and moments.
    """
    count = len(problem.rows)
    force, moment = np.zeros(Q.shape[:-1]), np.zeros(Q.shape[:-1])
    turning, per = np.zeros(Q.shape), np.zeros((*Q.shape[:2], 6, count))
    for load, end in enumerate(problem.load_end):
        f = factor * problem.force[:, load]
        arm = (Q[:, end] @ problem.arm[:, load, :, None])[..., 0]
        force[:, end] += f
        moment[:, end] += factor * problem.moment[:, load] + np.cross(arm, f)
        turning[:, end] += skew(f) @ skew(arm)
    for i, end in enumerate(problem.held_end):
        d, b, R = problem.rows[i, :3], problem.rows[i, 3:], reaction[:, i, None]
        arm = Q[:, end] @ problem.held_arm[i]
        per[:, end, :3, i], per[:, end, 3:, i] = d, b + np.cross(arm, d)
        force[:, end] += R * d
        moment[:, end] += R * per[:, end, 3:, i]
        turning[:, end] += R[..., None] * (skew(d) @ skew(arm))
    return Joints(force, moment, turning, per)


def _step(
    problem: Problem, pieces: Pieces, state: State, reaction: Array, factor: float
) -> tuple[Array, Array]:
    """One Newton step: changes of the states, shape (case, piece, 12), and of the reactions.

    All changes are carried as linear in the changes of (p, turn) of the root and of the reactions; the last
    column holds the constant part.
    """
    end, D = shooting.across(pieces, state)
    p, Q = np.concatenate([state.p, end.p[:, -1:]], axis=1), np.concatenate([state.Q, end.Q[:, -1:]], axis=1)
    joint = joints(problem, Q, reaction, factor)
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
    """Row of the condition that held direction j moves only as its support lets it, shape (case, column)."""
    d, b, arm = problem.rows[j, :3], problem.rows[j, 3:], problem.held_arm[j]
    place = problem.place[problem.held_end[j]]
    turned, phi = Q @ arm, rotation_vector(Q)
    about = np.cross(turned, d) + shooting.turn_row(phi, b)
    row: Array = d @ A[:, :3] + np.einsum("ci,cik->ck", about, A[:, 3:6])
    row[:, 6 + j] += problem.soft[j]
    row[:, -1] += (p + turned - place - arm) @ d + phi @ b + problem.soft[j] * reaction[:, j]
    return row
