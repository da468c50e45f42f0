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
generators have a kink that presses on the walls across; it is not in the theory. A torque makes Nx = 2 (r' . t) q along
generators that lean, some percent of q, where solid models show a quarter of it. At a step in lay-up the wall loads
jump; how they pass over is shear lag.

References
----------
T. H. G. Megson, "Aircraft structures for engineering students", section 10.1: the resultants above (from memory).
"""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from beam.section.contour import cross, place_functions
from beam.section.states import States, closing_state
from beam.section.wall_equations import FIELD, wall_loads
from materials.checks import Array

X, GAUSS = np.polynomial.legendre.leggauss(10)
NODES = (1 + X) / 2
"""Fractions of a wall at which the growth of Nx L is taken, (node,) [-]; exact to 1e-13 on quarter arcs."""
WEIGHTS = GAUSS / 2


class Tapered(NamedTuple):
    """A section, or a batch, of a tapered strut solved for its six unit forces; the result of `tapered`."""

    states: States
    start: Array
    """Slope along the span of the start of each mid-line, shape (..., wall, 2) [-]."""
    length: Array
    """Growth along the span of the length of each mid-line, shape (..., wall) [-]."""
    growth: Array
    """Growth along the span of Nx L per unit force, shape (..., wall, node, 6) [1/m, 1/m^2]."""
    first: Array
    """Shear flow at the start of each wall that the growth makes, shape (..., wall, 6) [1/m, 1/m^2]."""
    closing: Array
    """Strains and flows of each wall that close the section, shape (..., wall, 8, 6)."""
    compliance: Array
    """Section strains per section force, shape (..., 6, 6)."""

    def recovery(self, at: Array) -> Array:
        """Wall loads (..., wall, place, 6, 6) per unit section force at fractions (place,) of each wall."""
        return _with_taper(self, self.states.recovery(at), at)

    def slope(self, at: Array) -> Array:
        """Slope r' of the generators, (..., wall, place, 2) [-]; directions and turns of the walls stay."""
        contour = self.states.contour
        rate = (self.length / contour.length)[..., None, None]
        return self.start[..., None, :] + rate * (contour.position(at) - contour.start[..., None, :])


def tapered(states: States, abd: Array, along: Callable[[Array], Array]) -> Tapered:
    """The tapered sections of a batch; `along` takes a property of the sections and gives its slope along the span."""
    contour, place, graph = states.contour, states.measure, states.contour.topology
    plain = states.recovery(NODES)
    pull = contour.length[..., None, None] * plain[..., 0, :]
    growth = along(pull)
    whole = WEIGHTS @ growth
    first = -graph.flow_at_start @ whole
    none = np.zeros_like(states.compliance)
    out = Tapered(states, along(contour.start), along(contour.length), growth, first, none, none)
    r, t, slope = contour.position(NODES), contour.tangent(NODES), out.slope(NODES)
    flow = _flow(first, growth, NODES)
    weight = contour.length[..., None] * WEIGHTS
    functions = weight[..., None] * place_functions(contour, NODES)[..., :5]
    torque = np.einsum("...wn,...wnf->...f", weight * cross(r, t), flow)
    torque += np.einsum("...wn,...wnf->...f", WEIGHTS * cross(r, slope), pull)
    torque += np.einsum("...w,...wf->...f", place.swept[..., 0], first)
    torque += np.einsum("...w,...wf->...f", place.swept[..., 2], first - whole)
    image = states.law[..., :, 4, None, None] * flow[..., None, :, :]
    closing = closing_state(states, image, np.swapaxes(functions, -1, -2), torque)[1]
    out = out._replace(closing=closing)
    area = weight * np.sqrt(1 + cross(t, slope) ** 2)
    soft: Array = np.asarray(np.linalg.inv(abd), dtype=float)
    energy = _energy(_with_taper(out, plain, NODES), soft, area) - _energy(plain, soft, weight)
    return out._replace(compliance=states.compliance + energy)


def _with_taper(taper: Tapered, plain: Array, at: Array) -> Array:
    """Wall loads (..., wall, place, 6, 6), x along the generators, from those of the prismatic section."""
    contour, law = taper.states.contour, taper.states.law
    functions = place_functions(contour, at)[..., :5]
    known = np.tensordot(functions, FIELD, axes=(-1, 1)) @ taper.closing[..., None, :, :]
    known[..., 4, :] += _flow(taper.first, taper.growth, at)
    out = plain + wall_loads(law[..., None, :, :], known)
    slope = taper.slope(at)
    length = np.sqrt(1 + (slope**2).sum(axis=-1))[..., None]
    sine = (slope * contour.tangent(at)).sum(axis=-1)[..., None] / length
    cosine = np.sqrt(1 - sine**2)
    q = out[..., 2, :].copy()
    out[..., 2, :] += out[..., 1, :] * sine / cosine
    out[..., 0, :] = (length * out[..., 0, :] + (q + out[..., 2, :]) * sine) / cosine
    return out


def _flow(first: Array, growth: Array, at: Array) -> Array:
    """Shear flow (..., wall, place, 6) that the growth of Nx L at the nodes makes."""
    return np.asarray(first[..., None, :] - _upto(at) @ growth)


def _upto(at: Array) -> Array:
    """Weights (place, node) of the integral from 0 to each place of the polynomial through values at the nodes."""
    legendre = np.polynomial.legendre
    values = legendre.legvander(X, len(X) - 1)
    integral = legendre.legval(2 * at - 1, legendre.legint(np.eye(len(X)), lbnd=-1)).T / 2
    return np.asarray(np.linalg.solve(values.T, integral.T).T)


def _energy(loads: Array, soft: Array, weight: Array) -> Array:
    """Complementary energy (..., 6, 6) of wall loads (..., wall, node, 6, 6), weight (..., wall, node)."""
    by_wall = np.moveaxis(loads, -3, -2)
    columns = by_wall.reshape(*by_wall.shape[:-2], -1)
    strain = (soft @ columns).reshape(by_wall.shape) * weight[..., None, :, None]
    lead = loads.shape[:-4]
    both = np.swapaxes(by_wall.reshape(*lead, -1, 6), -1, -2) @ strain.reshape(*lead, -1, 6)
    return np.asarray(0.5 * (both + np.swapaxes(both, -1, -2)))
