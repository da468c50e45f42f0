"""Buckling of a span under its own load cases.

With n, m the section forces of the linear solution and t the direction of the axis, the strains carry, to second
order in the motion (u, r), -r x u' + r x (r x t)/2 and -r x r'/2 besides their linear part. So the energy carries

    n . (-r x u' + r x (r x t)/2) - m . (r x r')/2

and a force f on an arm a takes f . (r x (r x a))/2 from it. Displacements before buckling are neglected. Forces keep
their direction and go with their points. A moment without a force behind it follows half of the turn
(semi-tangential), as that of two pairs of dead forces at right angles does. A factor at which tension somewhere would
strain the span by a quarter or more is no buckling and counts as infinite (a shear-soft line has such factors in pure
tension).

References
----------
S. P. Timoshenko, J. M. Gere, Theory of Elastic Stability, 2nd ed., 1961, for the energy method; the semi-tangential
moment is H. Ziegler's, Principles of Structural Stability, 1968 (from memory).
"""

import numpy as np
from numpy.typing import NDArray

from beam.axes import skew
from beam.strut.axis import Axis
from beam.strut.point_loads import PointLoads
from beam.strut.solver import linear
from beam.strut.solver.field import Field
from beam.strut.solver.line import Line, Trial, cross, of_span
from beam.strut.supports import Held
from materials.checks import Array

STEPS = 120
TOGETHER = 16  # cases taken at once, to bound the memory
GROWTH, GROWTHS = 1.5, 40  # how far beyond the least possible factor a root is sought
CLOSE = 1e-10  # of the root, or of the energy, where the search for it stops


def factor(axis: Axis, stiffness: Field, held: Held, loads: PointLoads, strain: Field | None = None) -> Array:
    """Lowest positive factor (..., case) on the loads at which the span buckles; infinite where none does."""
    # The forces of a free strain in redundant supports are there besides and do not grow with the factor.
    held.refuse_play()
    line = of_span(axis, stiffness, held, loads.at)

    def forces(of: PointLoads, free: Field | None) -> tuple[Array, Array]:
        R = linear.support_reactions(axis, stiffness, held, of, free)
        return _forces_present(axis, held, line, of, R)

    n, turning = forces(loads, None)
    shape = loads.force.shape[:-2]
    highest = _largest_of_all(line, n, turning)
    if strain is not None and len(held.rows) > 6:
        none = PointLoads(at=loads.at, force=np.zeros((1, *loads.force.shape[-2:])))
        return _with_constant(line, (n, turning), forces(none, strain), highest).reshape(shape)
    out = np.full(highest.shape, np.inf)
    np.divide(1.0, highest, out=out, where=highest > 0)
    return out.reshape(shape)


def _forces_present(axis: Axis, held: Held, line: Line, loads: PointLoads, R: Array) -> tuple[Array, Array]:
    """Section forces (case, piece, point, 6) on the strut axes; turning (case, end, 3, 3) of all loads."""
    s = line.points.ravel()
    local = linear.section_forces(axis, held, loads, R, s)
    rows = axis.frames(s)
    force = np.concatenate(
        [np.einsum("sji,...sj->...si", rows, part) for part in (local[..., :3], local[..., 3:])], axis=-1
    )
    turning = np.zeros((*R.shape[:-1], len(line.ends), 3, 3))
    for load, end in enumerate(line.end(loads.at)):
        turning[..., end, :, :] += turning_of(loads.force[..., load, :], loads.arm[..., load, :])
    for row, arm, end, value in zip(held.rows, held.arm, line.supports, np.moveaxis(R, -1, 0), strict=True):
        turning[..., end, :, :] += turning_of(
            value[..., None] * row[:3], np.broadcast_to(arm, (*value.shape, 3))
        )
    return force.reshape(-1, *line.points.shape, 6), turning.reshape(-1, *turning.shape[-3:])


def _largest_of_all(line: Line, n: Array, turning: Array) -> Array:
    """`largest` of any number of cases, some at a time."""
    parts = (slice(i, i + TOGETHER) for i in range(0, len(n), TOGETHER))
    return np.concatenate([largest(line, n[part], turning[part]) for part in parts])


def _with_constant(
    line: Line, grows: tuple[Array, Array], constant: tuple[Array, Array], highest: Array
) -> Array:
    """Factor (case,) on the forces `grows` at which they buckle the line together with `constant` ones (1, ...)."""
    # The eigenvalue is a convex function of the factor, less than one at zero: its only root is bracketed and found
    # by the rule of false position.

    def present(cases: NDArray[np.intp], factor: Array) -> tuple[Array, Array]:
        n, turning = (
            fixed + factor.reshape(-1, *[1] * (part.ndim - 1)) * part[cases]
            for part, fixed in zip(grows, constant, strict=True)
        )
        return n, turning

    def over(cases: NDArray[np.intp], factor: Array) -> Array:
        return _largest_of_all(line, *present(cases, factor)) - 1.0

    alone = float(_largest_of_all(line, *constant)[0]) - 1.0
    if alone >= 0.0:
        return np.zeros(len(highest))
    out = np.full(len(highest), np.inf)
    # An eigenvalue that `largest` leaves out without the constant forces may count with them.
    highest = np.maximum(highest, _tension_floor(line, grows[0][..., :3]))
    cases = np.flatnonzero(highest > 0.0)
    if not cases.size:
        return out
    # The largest eigenvalue of a sum is at most the sum of the largest: no root lies below this.
    low, f_low = np.zeros(len(cases)), np.full(len(cases), alone)
    high = -alone / highest[cases]
    f_high = over(cases, high)
    for _ in range(GROWTHS):
        short = (f_high < 0.0) & (_tension_floor(line, present(cases, high)[0][..., :3]) < 1.0)
        if not short.any():
            break
        low, f_low = np.where(short, high, low), np.where(short, f_high, f_low)
        high = np.where(short, GROWTH * high, high)
        f_high[short] = over(cases[short], high[short])
    met = f_high >= 0.0
    cases = cases[met]
    low, f_low, high, f_high = low[met], f_low[met], high[met], f_high[met]
    root, open_ = high.copy(), f_high > CLOSE
    for _ in range(STEPS):
        if not open_.any():
            break
        root = np.where(open_, (low * f_high - high * f_low) / (f_high - f_low), root)
        f = np.zeros(len(cases))
        f[open_] = over(cases[open_], root[open_])
        # False position as in Illinois: an end that stays twice counts half, so that both ends close in.
        left, right = open_ & (f < 0.0), open_ & (f >= 0.0)
        f_high, f_low = np.where(left, f_high / 2.0, f_high), np.where(right, f_low / 2.0, f_low)
        low, f_low = np.where(left, root, low), np.where(left, f, f_low)
        high, f_high = np.where(right, root, high), np.where(right, f, f_high)
        open_ = open_ & (abs(f) > CLOSE) & (high - low > CLOSE * high)
    out[cases] = root
    return out


def turning_of(force: Array, arm: Array) -> Array:
    """Moment per turn (..., 3, 3), symmetric, that a force (..., 3) gains as its arm (..., 3) turns [N m]."""
    both = force[..., :, None] * arm[..., None, :]
    return (both + np.swapaxes(both, -1, -2)) / 2 - np.sum(force * arm, axis=-1)[..., None, None] * np.eye(3)


def mode(
    axis: Axis,
    stiffness: Field,
    held: Held,
    loads: PointLoads,
    factor: float,
    strain: Field | None,
    at: Array,
) -> Trial:
    """State in which one case (1, load, 3), times a factor and with a free strain, comes nearest to buckling the span.

    The line is also cut at stations `at`. `work` is what the forces do in it: as much energy is needed at least.
    """
    line = of_span(axis, stiffness, held, loads.at, at)
    scaled = loads.times(factor)
    R = linear.support_reactions(axis, stiffness, held, scaled, strain)
    values, states = largest_state(line, *_forces_present(axis, held, line, scaled, R))
    return Trial.of(line, states[0], float(values[0]))


def largest(line: Line, force: Array, turning: Array, close: float = 1e-8) -> Array:
    """Largest eigenvalue (case,) of K_geometric x = mu K_elastic x; the buckling factor is 1/mu, 0 stands for none."""
    return largest_state(line, force, turning, close)[0]


def largest_state(line: Line, force: Array, turning: Array, close: float = 1e-8) -> tuple[Array, Array]:
    """The values of `largest` and their states (case, entry), each of length 1."""
    # Forces present (case, piece, point, 6) on the strut axes, turning of loads on arms (case, end, 3, 3). Lanczos'
    # method, fully orthogonalized, all cases at once, on the operator strain -> motion -> load of the turned section
    # forces -> strain. `close` is the residual relative to the eigenvalue; the error goes with its square.
    n, m = force[..., :3], force[..., 3:]
    t = line.tangent
    spin, bend = skew(n), skew(m) / 2
    tilt = turning_of(n, t)
    no_load = np.zeros((len(force), *line.points.shape, 6))
    at_ends = np.zeros((len(force), len(line.ends), 6))

    def push(z: Array) -> Array:
        moved = line.motion(z)
        r, kappa = moved.points[..., 3:], moved.strain[..., 3:]
        slope = moved.strain[..., :3] + cross(r, t)
        a = -_times(spin, r)
        c = _times(spin, slope) + _times(tilt, r) + _times(bend, kappa) + cross(t, a)
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
    floor = _tension_floor(line, n)
    most = min(STEPS, line.size)
    for step in range(1, most + 1):
        w = push(basis[-1])
        diagonal.append(np.sum(w * basis[-1], axis=-1))
        before = np.stack(basis, axis=1)
        for _ in range(2):
            w = w - np.einsum("ck,ckz->cz", np.einsum("ckz,cz->ck", before, w), before)
        size = np.linalg.norm(w, axis=-1)
        if (step >= 12 and step % 4 == 0) or step == most:
            values, vectors = np.linalg.eigh(_tridiagonal(diagonal, beside))
            left = size * np.abs(vectors[:, -1, -1])
            floor = np.maximum(floor, 1e-10 * np.abs(values).max(axis=-1))
            settled = left <= close * np.maximum(values[:, -1], floor)
            if settled.all():
                break
        beside.append(size)
        large = size > 1e-14 * np.abs([*diagonal, *beside]).max(axis=0)
        basis.append(np.divide(w, size[:, None], out=np.zeros_like(w), where=large[:, None]))
    open_ = ~settled & (values[:, -1] > floor)
    if open_.any():
        case = int(np.argmax(open_))
        raise RuntimeError(f"Span: buckling_factor: case {case} did not settle at {1 / values[case, -1]:.6g}")
    state = np.einsum("ckz,ck->cz", before, vectors[:, :, -1])
    return np.where(values[:, -1] > floor, values[:, -1], 0.0), state


def _tension_floor(line: Line, n: Array) -> Array:
    """Eigenvalue below which tension would strain the span by a quarter or more, shape (case,)."""
    softest = np.linalg.eigvalsh(line.compliance[..., :3, :3])[..., -1]
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
