"""Equilibrium of a span that its loads bend far: load steps, the check that it is stable, the result."""

from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.polynomial.legendre import leggauss
from numpy.typing import NDArray

from beam.axes import rotation_vector
from beam.strut.loads import PointLoads
from beam.strut.solver import buckling, kinematics, large, linear, shooting
from beam.strut.solver.field import Field
from beam.strut.solver.large import Problem
from beam.strut.solver.line import of_shape
from beam.strut.solver.shooting import State
from materials.checks import Array

if TYPE_CHECKING:
    from beam.strut.span import Span

SMALLEST_STEP = 1 / 100
TURN_PER_STEP = 0.6  # [rad] of the linear solution
PIECES = 16  # at least so many to the span


class NoEquilibrium(RuntimeError):
    """No steady state was found; the message says in which case and at which fraction of the load."""


class Deformed(NamedTuple):
    """The span in equilibrium.

    Parameters
    ----------
    displacement : ndarray, shape (case, station, 6)
        u and the rotation vector, in strut axes [m, rad].
    force : ndarray, shape (case, station, 6)
        N, V2, V3, T, M2, M3 in the turned section axes [N, N m].
    reaction : ndarray, shape (case, direction)
        Reactions of the supports [N, N m].
    """

    displacement: Array
    force: Array
    reaction: Array


def find(span: "Span", loads: PointLoads, strain: Field | None, s: Array) -> Deformed:
    """Find the equilibrium of every load case.

    Parameters
    ----------
    span : Span
        The span.
    loads : PointLoads
        The loads; a moment with no arm behind it keeps its direction, and is taken as semi-tangential (see
        `buckling`) where the state is judged stable or not.
    strain : Field, optional
        Strain of heat and moisture, in section axes [-, 1/m].
    s : ndarray, shape (station,)
        Stations where the result is wanted [m].

    Returns
    -------
    Deformed
        The deformed span.

    Raises
    ------
    NoEquilibrium
        If Newton's method finds no equilibrium, or the one it finds is not stable.
    ValueError
        If a support has play.
    """
    span.held.refuse_play()
    at, L = span.axis.check("PointLoads: at [m]", loads.at), span.axis.length
    ends = kinematics.pieces(span.axis, span.stations, span.held.at, at, s, np.linspace(0.0, L, PIECES + 1))
    force, moment, arm = (v.reshape(-1, len(at), 3) for v in (loads.force, loads.moment, loads.arm))
    problem, unit = large.pose(span, ends, (at, force, moment, arm), strain), large.unit_force(span)
    turn = np.abs(linear.reactions(span, at, loads.wrench, strain, ends)[1][..., 3:]).max(initial=0.0)
    step = 1 / np.ceil(max(1.0, turn / TURN_PER_STEP))
    state, reaction = _load(span, loads, problem, ends, strain, float(step))
    return _measure(problem, unit, L, state, reaction, large.end_of(ends, s))


def _load(
    span: "Span", loads: PointLoads, problem: Problem, ends: Array, strain: Field | None, step: float
) -> tuple[State, Array]:
    """Bring the loads on in steps, shorter where one finds no state or jumps onto an unstable branch."""
    state, reaction = large.unloaded(problem), np.zeros((len(problem.force), len(problem.rows)))
    factor = 0.0
    while factor < 1.0:
        ahead = min(1.0, factor + step)
        found = large.newton(problem, state, reaction, ahead)
        if isinstance(found, int):
            case, trouble = found, "no steady state"
        else:
            taken = _energy_taken(span, problem, ends, *found, strain, ahead)
            case, trouble = int(np.argmax(taken)), "only an unstable state"
            if taken[case] < 1.0:
                (state, reaction), factor = found, ahead
                continue
        step /= 2
        if step < SMALLEST_STEP:
            known = np.ravel(span.buckling_factor(loads))[case]
            raise NoEquilibrium(
                f"Span: large displacement: case {case} has {trouble} at {ahead:.4g} of its load and a steady "
                f"one at {factor:.4g}; its linear buckling factor is {known:.4g}"
            )
    return state, reaction


def _measure(
    problem: Problem, unit: float, L: float, state: State, reaction: Array, here: NDArray[np.intp]
) -> Deformed:
    end, _ = shooting.across(problem.pieces, state)
    p, Q, n, m = (np.concatenate([a[:, :1], b], axis=1) for a, b in zip(state, end, strict=True))
    axes = np.concatenate([problem.pieces.axes[:1], problem.pieces.axes])
    rows = axes @ np.swapaxes(Q, -1, -2)
    parts = [unit * (rows @ n[..., None])[..., 0], unit * L * (rows @ m[..., None])[..., 0]]
    moved = np.concatenate([L * (p - problem.place), rotation_vector(Q)], axis=-1)
    lever = np.where(np.any(problem.rows[:, :3], axis=1), 1.0, L)
    return Deformed(moved[:, here], np.concatenate(parts, axis=-1)[:, here], unit * lever * reaction)


def _energy_taken(
    span: "Span",
    problem: Problem,
    ends: Array,
    state: State,
    reaction: Array,
    strain: Field | None,
    factor: float,
) -> Array:
    """Largest part of the energy of a small push that the forces present give back, shape (case,).

    The energy of a small motion from the bent shape has the form that `buckling` takes for the unloaded
    one; the span is stable while the forces present take less from it than the strains put in.
    """
    L, unit = span.axis.length, large.unit_force(span)
    x = (1 + leggauss(kinematics.POINTS)[0]) / 2
    start, length = np.repeat(ends[:-1], len(x)), (np.diff(ends)[:, None] * x).ravel()
    inner = large.pieces_of(span, start, length, strain)
    inner = inner._replace(free=factor * inner.free)
    inside, _ = shooting.across(inner, State(*(np.repeat(v, len(x), axis=1) for v in state)))
    strained, _ = shooting.strains(inner, inside, -1)
    slope = (inside.Q @ inner.axes[:, 0, :, None])[..., 0] + strained[..., :3]
    frames = inner.axes @ np.swapaxes(inside.Q, -1, -2)
    force = np.concatenate([unit * inside.n, unit * L * inside.m], axis=-1)
    pieces = problem.pieces._replace(free=factor * problem.pieces.free)
    last, _ = shooting.across(pieces, state)
    p, Q = (np.concatenate([a, b[:, -1:]], axis=1) for a, b in ((state.p, last.p), (state.Q, last.Q)))
    grid = (len(ends) - 1, len(x))
    taken = np.zeros(len(p))
    for case in range(len(p)):
        turned = (Q[case, problem.held_end] @ problem.held_arm[..., None])[..., 0]
        about = shooting.turn_row(rotation_vector(Q[case, problem.held_end]), problem.rows[:, 3:])
        d = problem.rows[:, :3]
        bent = of_shape(
            span,
            ends,
            frames=frames[case].reshape(*grid, 3, 3),
            tangent=slope[case].reshape(*grid, 3),
            points=L * inside.p[case].reshape(*grid, 3),
            at_ends=L * p[case],
            rows=np.concatenate([d, about + np.cross(L * turned, d)], axis=1),
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
