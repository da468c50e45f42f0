"""Buckling of a span under its own load cases."""

from typing import TYPE_CHECKING

import numpy as np

from beam.axes import skew
from beam.strut.loads import PointLoads
from beam.strut.solver import linear, spectral
from beam.strut.solver.line import of_span
from materials.checks import Array

if TYPE_CHECKING:
    from beam.strut.span import Span

STEPS = 120
TOGETHER = 16  # cases taken at once, to bound the memory


def factor(span: "Span", loads: PointLoads) -> Array:
    """Factor on each load case at which the span buckles.

    Parameters
    ----------
    span : Span
        The span.
    loads : PointLoads
        The loads.

    Returns
    -------
    ndarray, shape (..., case)
        Lowest positive factor; infinite where no multiple of the case buckles the span [-].

    Raises
    ------
    ValueError
        If a support has play.

    Notes
    -----
    With n, m the section forces of the linear solution and t the direction of the axis, the strains carry,
    to second order in the motion (u, r), -r x u' + r x (r x t)/2 and -r x r'/2 besides their linear part,
    so the energy carries

        n . (-r x u' + r x (r x t)/2) - m . (r x r')/2

    and a force f on an arm a takes f . (r x (r x a))/2 from it. Displacements before buckling are
    neglected. Forces keep their direction and go with their points; a moment without a force behind it
    follows half of the turn (semi-tangential), as that of two pairs of dead forces at right angles does.
    A factor at which tension somewhere would strain the span by a quarter or more is no buckling and
    counts as infinite (a shear-soft line has such factors in pure tension).

    References
    ----------
    S. P. Timoshenko, J. M. Gere, Theory of Elastic Stability, 2nd ed., 1961, for the energy method; the
    semi-tangential moment is H. Ziegler's, Principles of Structural Stability, 1968 (from memory).
    """
    span.held.refuse_play()
    where = span.axis.check("PointLoads: at [m]", loads.at)
    line = of_span(span, where)
    R = span.reactions(loads)
    local = linear.section_forces(span, where, loads.wrench, R, line.points.ravel())
    rows = span.axis.frames(line.points.ravel())
    force = np.concatenate(
        [np.einsum("sji,...sj->...si", rows, part) for part in (local[..., :3], local[..., 3:])], axis=-1
    )
    turning = np.zeros((*R.shape[:-1], len(line.ends), 3, 3))
    for load, end in enumerate(line.end(where)):
        turning[..., end, :, :] += turning_of(loads.force[..., load, :], loads.arm[..., load, :])
    for row, arm, end, value in zip(
        span.held.rows, span.held.arm, line.supports, np.moveaxis(R, -1, 0), strict=True
    ):
        turning[..., end, :, :] += turning_of(
            value[..., None] * row[:3], np.broadcast_to(arm, (*value.shape, 3))
        )
    n = force.reshape(-1, *line.points.shape, 6)
    turning = turning.reshape(-1, *turning.shape[-3:])
    parts = [
        largest(line, n[i : i + TOGETHER], turning[i : i + TOGETHER]) for i in range(0, len(n), TOGETHER)
    ]
    highest = np.concatenate(parts).reshape(R.shape[:-1])
    out = np.full(highest.shape, np.inf)
    np.divide(1.0, highest, out=out, where=highest > 0)
    return out


def turning_of(force: Array, arm: Array) -> Array:
    """Moment per turn that a force gains as its arm turns.

    Parameters
    ----------
    force : ndarray, shape (..., 3)
        Force [N].
    arm : ndarray, shape (..., 3)
        From the axis to where it acts [m].

    Returns
    -------
    ndarray, shape (..., 3, 3)
        Symmetric matrices [N m].
    """
    both = force[..., :, None] * arm[..., None, :]
    return (both + np.swapaxes(both, -1, -2)) / 2 - np.sum(force * arm, axis=-1)[..., None, None] * np.eye(3)


def largest(line: spectral.Line, force: Array, turning: Array, close: float = 1e-8) -> Array:
    """Part of the strain energy that forces present give back, in the shape for which it is largest.

    Parameters
    ----------
    line : spectral.Line
        The line, straight or bent.
    force : ndarray, shape (case, piece, point, 6)
        Forces and moments present, on the strut axes [N, N m].
    turning : ndarray, shape (case, end, 3, 3)
        Moment per turn of loads on arms [N m].
    close : float
        Residual, relative to the eigenvalue, at which the search stops; the error goes with its square [-].

    Returns
    -------
    ndarray, shape (case,)
        Largest eigenvalue, one over the buckling factor; 0 where none is positive [-].

    Raises
    ------
    RuntimeError
        If the search does not settle.

    Notes
    -----
    Lanczos' method, fully orthogonalized, all cases at once, on the operator strain -> motion -> load of
    the turned section forces -> strain.
    """
    n, m = force[..., :3], force[..., 3:]
    t = line.tangent
    spin, bend = skew(n), skew(m) / 2
    both = n[..., :, None] * t[..., None, :]
    tilt = (both + np.swapaxes(both, -1, -2)) / 2 - np.sum(n * t, axis=-1)[..., None, None] * np.eye(3)
    no_load = np.zeros((len(force), *line.points.shape, 6))
    at_ends = np.zeros((len(force), len(line.ends), 6))

    def push(z: Array) -> Array:
        moved = line.motion(z)
        r, kappa = moved.points[..., 3:], moved.strain[..., 3:]
        slope = moved.strain[..., :3] + np.cross(r, t)
        a = -_times(spin, r)
        c = _times(spin, slope) + _times(tilt, r) + _times(bend, kappa) + np.cross(t, a)
        load, ends = no_load.copy(), at_ends.copy()
        load[..., 3:] = -c
        ends[..., 3:] = _times(turning, moved.ends[..., 3:])
        return line.respond(load, ends, -np.concatenate([a, -_times(bend, r)], axis=-1))

    # The first push leaves only strains that the supports allow; on these the operator is symmetric.
    v = push(np.random.default_rng(0).normal(size=(len(force), line.size)))
    size = np.linalg.norm(v, axis=-1, keepdims=True)
    basis = [np.divide(v, size, out=np.zeros_like(v), where=size > 0)]
    diagonal: list[Array] = []
    beside: list[Array] = []
    floor = _senseless(line, n)
    for step in range(min(STEPS, line.size)):
        w = push(basis[-1])
        diagonal.append(np.sum(w * basis[-1], axis=-1))
        before = np.stack(basis, axis=1)
        for _ in range(2):
            w = w - np.einsum("ck,ckz->cz", np.einsum("ckz,cz->ck", before, w), before)
        size = np.linalg.norm(w, axis=-1)
        values, vectors = np.linalg.eigh(_tridiagonal(diagonal, beside))
        left = size * np.abs(vectors[:, -1, -1])
        floor = np.maximum(floor, 1e-10 * np.abs(values).max(axis=-1))
        settled = left <= close * np.maximum(values[:, -1], floor)
        if step > 10 and settled.all():
            break
        beside.append(size)
        large = size[:, None] > 1e-14 * np.abs(values).max(axis=-1)[:, None]
        basis.append(np.divide(w, size[:, None], out=np.zeros_like(w), where=large))
    open_ = ~settled & (values[:, -1] > floor)
    if open_.any():
        case = int(np.argmax(open_))
        raise RuntimeError(f"Span: buckling_factor: case {case} did not settle at {1 / values[case, -1]:.6g}")
    return np.where(values[:, -1] > floor, values[:, -1], 0.0)


def _senseless(line: spectral.Line, n: Array) -> Array:
    """Eigenvalue below which tension would strain the span by a quarter or more, shape (case,)."""
    flexible = np.swapaxes(line.root, -1, -2) @ line.root
    softest = np.linalg.eigvalsh(flexible[..., :3, :3])[..., -1]
    tension = np.maximum(np.sum(n * line.tangent, axis=-1), 0.0)
    strain: Array = (tension * softest).max(axis=(-2, -1))
    return 4 * strain


def _times(A: Array, v: Array) -> Array:
    return np.einsum("...ij,...j->...i", A, v)


def _tridiagonal(diagonal: list[Array], beside: list[Array]) -> Array:
    k = len(diagonal)
    T = np.zeros((len(diagonal[0]), k, k))
    T[:, np.arange(k), np.arange(k)] = np.stack(diagonal, axis=-1)
    if beside:
        i = np.arange(k - 1)
        T[:, i, i + 1] = T[:, i + 1, i] = np.stack(beside, axis=-1)
    return T
