"""Free vibration of a span with the masses it carries."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from beam.axes import skew
from beam.strut.solver import spectral
from beam.strut.solver.line import of_span
from materials.checks import Array, array, number, reject, whole
from materials.kinds import instances

if TYPE_CHECKING:
    from beam.strut.span import Span


@dataclass(frozen=True, kw_only=True, eq=False)
class PointMass:
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
    """

    at: float
    mass: float
    inertia: Array = field(default_factory=lambda: np.zeros((3, 3)))
    arm: Array = field(default_factory=lambda: np.zeros(3))

    def __post_init__(self) -> None:
        number("PointMass: at [m]", self.at, at_least=0.0)
        number("PointMass: mass [kg]", self.mass, at_least=0.0)
        J = array("PointMass: inertia [kg m2]", self.inertia, last=(3, 3))
        if (
            np.abs(J - J.T).max() > 1e-9 * np.abs(J).max()
            or np.linalg.eigvalsh(J)[0] < -1e-9 * np.abs(J).max()
        ):
            reject("PointMass: inertia [kg m2]", J.tolist(), "symmetric and positive semi-definite")
        object.__setattr__(self, "inertia", J)
        object.__setattr__(self, "arm", array("PointMass: arm [m]", self.arm, last=(3,)))

    @property
    def matrix(self) -> Array:
        """Inertia for the motion of the point of the axis, shape (6, 6) [kg, kg m, kg m2]."""
        S, m = skew(self.arm), self.mass
        return np.block([[m * np.eye(3), -m * S], [m * S, m * S.T @ S + self.inertia]])


class Modes(NamedTuple):
    """Natural frequencies and mode shapes.

    Parameters
    ----------
    frequency : ndarray, shape (mode,)
        Natural frequencies, the lowest first [Hz].
    shape : ndarray, shape (mode, station, 6)
        u1, u2, u3 and r1, r2, r3 at the stations of the span, scaled to a modal mass of 1 kg [m, rad].
    """

    frequency: Array
    shape: Array


def modes(span: "Span", n: int, masses: Sequence[PointMass]) -> Modes:
    """Lowest natural modes.

    Parameters
    ----------
    span : Span
        The span.
    n : int
        How many [-].
    masses : sequence of PointMass
        Masses carried besides the span's own.

    Returns
    -------
    Modes
        Frequencies and shapes.

    Raises
    ------
    ValueError
        If the span has no inertia at all, has fewer modes than n, or a support has play.

    Notes
    -----
    z / omega^2 = T z, T leading from a state of strain through the motion and its inertia load to the strain
    under that load; by iteration of a block of states with Rayleigh's quotient, so that the two equal
    frequencies of a round tube are both found.
    """
    span.held.refuse_play()
    masses = instances("Span: masses", masses, PointMass, least=0)
    where = np.array([span.axis.check("PointMass: at [m]", m.at) for m in masses])
    line = of_span(span, where)
    along, carried = _inertia(span, line), np.zeros((len(line.ends), 6, 6))
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
    shape = line.motion(Z[:count]).ends[:, line.end(span.stations)] / np.sqrt(values)[:, None, None]
    return Modes(1 / (2 * np.pi * np.sqrt(values)), shape)


def _inertia(span: "Span", line: spectral.Line) -> Array:
    """Inertia per length on the strut axes, shape (piece, point, 6, 6)."""
    out = np.zeros((*line.points.shape, 6, 6))
    if span.inertia is None:
        return out
    s = line.points.ravel()
    turn = np.zeros_like(out)
    turn[..., :3, :3] = turn[..., 3:, 3:] = span.axis.frames(s).reshape(*line.points.shape, 3, 3)
    return np.swapaxes(turn, -1, -2) @ span.inertia.at(s).reshape(out.shape) @ turn
