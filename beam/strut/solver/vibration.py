"""Free vibration of a span with the masses it carries."""

from collections.abc import Sequence
from typing import Annotated, NamedTuple

import numpy as np

from beam.axes import skew
from beam.strut.axis import Axis
from beam.strut.solver.field import Field
from beam.strut.solver.line import Line, Trial, of_span
from beam.strut.supports import Held
from materials.checks import Array, Frozen, Limits, Numbers, default, reject, whole


class PointMass(Frozen):
    """A mass carried by the span: wheel, brake, link, shock absorber.

    Parameters
    ----------
    at : float
        Station of the section that carries it [m].
    mass : float
        Mass [kg].
    inertia : array_like, shape (3, 3)
        Moments of inertia about its own center of mass, on the strut axes [kg m2].
    arm : array_like, shape (3,)
        From the axis to its center of mass, in strut axes [m].

    Raises
    ------
    ValueError
        If the mass is negative or the inertia is not symmetric and positive semi-definite.

    Notes
    -----
    With S = skew(arm), the inertia for the motion (u, r) of the axis is [[m I, -m S], [m S, m S^T S + J]].

    Examples
    --------
    >>> wheel = PointMass(at=0.6, mass=12.0, arm=[0.0, 0.25, 0.0])
    >>> wheel.matrix[3, 3]
    np.float64(0.75)
    """

    at: Annotated[float, Limits("m", at_least=0.0)]
    mass: Annotated[float, Limits("kg", at_least=0.0)]
    inertia: Annotated[Numbers, Limits("kg m2", shape=(3, 3))] = default(((0.0,) * 3,) * 3)
    arm: Annotated[Numbers, Limits("m", shape=(3,))] = default((0.0, 0.0, 0.0))

    def __post_init__(self) -> None:
        super().__post_init__()
        J = self.inertia
        small = 1e-9 * np.abs(J).max()
        if np.abs(J - J.T).max() > small or np.linalg.eigvalsh(J)[0] < -small:
            reject("PointMass: inertia [kg m2]", J.tolist(), "symmetric and positive semi-definite")

    @property
    def matrix(self) -> Array:
        """Inertia for the motion of the point of the axis, shape (6, 6) [kg, kg m, kg m2]."""
        S, m = skew(self.arm), self.mass
        return np.block([[m * np.eye(3), -m * S], [m * S, m * S.T @ S + self.inertia]])


class Modes(NamedTuple):
    """Natural frequencies and mode shapes, as `Span.modes` returns them.

    Parameters
    ----------
    frequency : ndarray, shape (mode,)
        Natural frequencies, the lowest first [Hz].
    shape : ndarray, shape (mode, station, 6)
        u1, u2, u3 and r1, r2, r3 at the stations of the span, scaled to a modal mass of 1 kg [m, rad].
    """

    frequency: Array
    shape: Array


def modes(
    axis: Axis, stiffness: Field, inertia: Field | None, held: Held, n: int, masses: Sequence[PointMass]
) -> Modes:
    """Lowest n natural modes."""
    line, values, Z = _states(axis, stiffness, inertia, held, n, masses)
    shape = line.motion(Z).ends[:, line.end(stiffness.stations)] / np.sqrt(values)[:, None, None]
    return Modes(1 / (2 * np.pi * np.sqrt(values)), shape)


def lowest(
    axis: Axis,
    stiffness: Field,
    inertia: Field | None,
    held: Held,
    masses: Sequence[PointMass],
    cut: Array,
) -> Trial:
    """State of the lowest mode on a line also cut at stations `cut`; `work` is u M u of the point masses [kg m2]."""
    line, _, Z = _states(axis, stiffness, inertia, held, 1, masses, cut)
    motion = line.motion(Z[0])
    at = line.end(np.array([m.at for m in masses], dtype=float))
    carried = sum(
        float(motion.ends[end] @ m.matrix @ motion.ends[end]) for m, end in zip(masses, at, strict=True)
    )
    return Trial.of(line, Z[0], carried)


def _states(
    axis: Axis,
    stiffness: Field,
    inertia: Field | None,
    held: Held,
    n: int,
    masses: Sequence[PointMass],
    cut: Array | None = None,
) -> tuple[Line, Array, Array]:
    """Line, 1/omega^2 (mode,) and states (mode, entry) by iteration of a block with Rayleigh's quotient."""
    # z / omega^2 = T z, where T leads from a state of strain through the motion and its inertia load to the strain
    # under that load. A block finds both of the two equal frequencies of a round tube.
    held.refuse_play()
    where = np.array([axis.check("PointMass: at [m]", m.at) for m in masses])
    line = of_span(axis, stiffness, held, where, *(() if cut is None else (cut,)))
    along, carried = _inertia(axis, inertia, line), np.zeros((len(line.ends), 6, 6))
    for mass, end in zip(masses, line.end(where), strict=True):
        carried[end] += mass.matrix
    if not (along.any() or carried.any()):
        reject("Span: inertia", "none", "given, or point masses with the call", "nothing to vibrate")
    count = whole("Span: modes n [-]", n, at_least=1, at_most=line.size // 8)

    def push(z: Array) -> Array:
        moved = line.motion(z)
        load = np.einsum("pqij,...pqj->...pqi", along, moved.points)
        return line.respond(load, np.einsum("eij,...ej->...ei", carried, moved.ends))

    Z = np.random.default_rng(0).normal(size=(min(2 * count + 8, line.size), line.size))
    values = np.zeros(count)
    for _ in range(100):
        Z = np.linalg.qr(push(Z).T)[0].T
        pushed = Z @ push(Z).T
        found, turn = np.linalg.eigh((pushed + pushed.T) / 2)
        Z, before, values = turn.T[::-1] @ Z, values, found[::-1][:count]
        if np.allclose(values, before, rtol=1e-11, atol=1e-14 * values[0]):
            break
    else:
        raise RuntimeError(f"Span: modes: {count} frequencies did not settle in 100 iterations: {values}")
    if (values <= 1e-13 * values[0]).any():
        reject(
            "Span: modes n [-]", n, f"<= {int((values > 1e-13 * values[0]).sum())}", "fewer masses than modes"
        )
    return line, values, Z[:count]


def _inertia(axis: Axis, inertia: Field | None, line: Line) -> Array:
    """Inertia per length on the strut axes, shape (piece, point, 6, 6)."""
    out = np.zeros((*line.points.shape, 6, 6))
    if inertia is None:
        return out
    s = line.points.ravel()
    turn = np.zeros_like(out)
    turn[..., :3, :3] = turn[..., 3:, 3:] = axis.frames(line.points)
    return np.swapaxes(turn, -1, -2) @ inertia.at(s).reshape(out.shape) @ turn
