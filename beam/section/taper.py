r"""Tapered walls: shear flow by equilibrium along the generators, and the compliance that goes with it.

**Generators.** A point of a wall keeps its fraction u of the mid-line along the span, so r(x, u) draws a generator with
the direction a = e1 + r'. Its length of arc is ds = L du, with L(x) the length of the mid-line. The force per arc on a
section is

    P = Nx a + q t

so Nx is its component on e1, as in the prismatic theory, and inclined walls carry a part of V and T:

    V = \oint (Nx r' + q t) ds,   T = \oint (Nx r x r' + q r x t - 2 Mxy) ds

**Equilibrium.** Along e1 a strip between two generators needs

    dq/du = -d(Nx L)/dx

with the derivative taken at fixed u. Nx = Nx(u, x) F follows from all six section forces, so its growth is that of the
prismatic theory, from dM2/dx = V3 and dM3/dx = -V2, and that of the section along the span at constant F. The first is
in the unit states of V2 and V3 (`flexure`). The second is added here. What it leaves in N, T, M2, M3 and in the
closure of the walls is removed by a solution of the equations of `states`. V then comes out by itself.

**Wall axes.** x lies along the generator, y square to it. With sin b = r' . t / |a| for the lean of the generator,

    Nxy = q + Ny tan b,   (Nx along the generator) = (|a| Nx + (q + Nxy) sin b) / cos b

**Compliance.** The complementary energy of these wall loads: symmetric, with M2 coupled to V3 and M3 to V2.

**Limits.** Slopes up to 0.1 or so: terms of the square of the slope are left out where walls couple shear flow with Nx
(A16), and the walls do not warp more or less than they would in a long prismatic strut. Where the slope jumps, the
generators have a kink that presses on the walls across; it is not in the theory.

References
----------
T. H. G. Megson, "Aircraft structures for engineering students", section 10.1: the resultants above (from memory).
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from beam.section.contour import cross, place_functions
from beam.section.states import States, _solved
from beam.section.wall_equations import FIELD, gather, project, spread, wall_loads
from materials.checks import Array

X, GAUSS = np.polynomial.legendre.leggauss(10)
NODES = (1 + X) / 2
"""Fractions of a wall at which the growth of Nx L is taken, (node,) [-]; exact to 1e-13 on quarter arcs."""
WEIGHTS = GAUSS / 2


class Leaning(NamedTuple):
    """How the mid-lines of the walls change along the span; directions and turns stay."""

    start: Array
    """Slope of the start of each mid-line, shape (..., wall, 2) [-]."""

    length: Array
    """Growth of the length of each mid-line, shape (..., wall) [-]."""


class Tapered(NamedTuple):
    """A section, or a batch, of a tapered strut solved for its six unit forces; the result of `tapered`."""

    states: States
    leaning: Leaning
    growth: Array
    """Growth along the span of Nx L per unit force, shape (..., wall, node, 6) [1/m, 1/m^2]."""
    first: Array
    """Shear flow at the start of each wall that the growth makes, shape (..., wall, 6) [1/m, 1/m^2]."""
    closing: Array
    """Strains and flows of each wall that close the section, shape (..., wall, 8, 6)."""
    compliance: Array
    """Section strains per section force, shape (..., 6, 6)."""

    def recovery(self, at: ArrayLike) -> Array:
        """Wall loads (..., wall, place, 6, 6) per unit section force at fractions (place,) of each wall."""
        return _recovery(self.states, self.leaning, self.growth, self.first, self.closing, np.asarray(at))


def flow_growth(states: States) -> Array:
    """Nx L per unit force, (..., wall, node, 6), whose growth along the span makes the shear flow."""
    return states.contour.length[..., None, None] * states.recovery(NODES)[..., 0, :]


def tapered(states: States, abd: Array, leaning: Leaning, growth: Array) -> Tapered:
    """The tapered section, from the growth (..., wall, node, 6) of `flow_growth` along the span."""
    graph, place, length = states.contour.topology, states.measure, states.contour.length
    whole = WEIGHTS @ growth
    first = -graph.flow_at_start @ whole
    flow = _flow(first, growth, NODES)
    r, slope = states.contour.position(NODES), _slope(states, leaning, NODES)
    functions = length[..., None, None] * WEIGHTS[:, None] * place_functions(states.contour, NODES)[..., :5]
    image = states.law[..., :, 4, None, None] * flow[..., None, :, :]
    work = project(image, np.swapaxes(functions, -1, -2))
    swept, weight = place.swept, length[..., None] * WEIGHTS
    work[..., 1, :] += swept[..., 0, None] * first + swept[..., 2, None] * (first - whole)
    arm = weight * cross(r, states.contour.tangent(NODES))
    work[..., 1, :] += (arm[..., None, :] @ flow)[..., 0, :]
    turning = WEIGHTS * cross(r, slope)
    work[..., 1, :] += (turning[..., None, :] @ flow_growth(states))[..., 0, :]
    rows = gather(work, graph.cycles).sum(axis=-3)
    closing = spread(-_solved(states.scale, states.scaled, rows), graph.cycles)
    loads = _recovery(states, leaning, growth, first, closing, NODES)
    area = weight * np.sqrt(1 + cross(states.contour.tangent(NODES), slope) ** 2)
    energy = _energy(loads, abd, area) - _energy(states.recovery(NODES), abd, weight)
    return Tapered(states, leaning, growth, first, closing, states.compliance + energy)


def _recovery(
    states: States, leaning: Leaning, growth: Array, first: Array, closing: Array, at: Array
) -> Array:
    """Wall loads (..., wall, place, 6, 6) per unit section force, x along the generator."""
    field = np.tensordot(place_functions(states.contour, at)[..., :5], FIELD, axes=(-1, 1))
    known = field @ closing[..., None, :, :]
    known[..., 4, :] += _flow(first, growth, at)
    oblique = states.recovery(at) + wall_loads(states.law[..., None, :, :], known)
    slope = _slope(states, leaning, at)
    length = np.sqrt(1 + (slope**2).sum(axis=-1))[..., None]
    sine = (slope * states.contour.tangent(at)).sum(axis=-1)[..., None] / length
    cosine = np.sqrt(1 - sine**2)
    q = oblique[..., 2, :].copy()
    oblique[..., 2, :] += oblique[..., 1, :] * sine / cosine
    oblique[..., 0, :] = (length * oblique[..., 0, :] + (q + oblique[..., 2, :]) * sine) / cosine
    return oblique


def _slope(states: States, leaning: Leaning, at: Array) -> Array:
    """Slope r' of the generators, (..., wall, place, 2) [-]."""
    rate = (leaning.length / states.contour.length)[..., None, None]
    start = states.contour.start[..., None, :]
    return leaning.start[..., None, :] + rate * (states.contour.position(at) - start)


def _flow(first: Array, growth: Array, at: Array) -> Array:
    """Shear flow (..., wall, place, 6) that the growth of Nx L at the nodes makes."""
    return np.asarray(first[..., None, :] - _upto(at) @ growth)


def _upto(at: Array) -> Array:
    """Weights (place, node) of the integral from 0 to each place of the polynomial through values at the nodes."""
    legendre = np.polynomial.legendre
    values = legendre.legvander(X, len(X) - 1)
    integral = legendre.legval(2 * at - 1, legendre.legint(np.eye(len(X)), lbnd=-1)).T / 2
    return np.asarray(np.linalg.solve(values.T, integral.T).T)


def _energy(loads: Array, abd: Array, weight: Array) -> Array:
    """Complementary energy (..., 6, 6) of wall loads (..., wall, node, 6, 6), weight (..., wall, node)."""
    strain = np.linalg.solve(abd[..., None, :, :], loads)
    lead = loads.shape[:-4]
    one = (weight[..., None, None] * loads).reshape(*lead, -1, 6)
    both = np.swapaxes(one, -1, -2) @ strain.reshape(*lead, -1, 6)
    return np.asarray(0.5 * (both + np.swapaxes(both, -1, -2)))
