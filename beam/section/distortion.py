r"""Cross-section distortion and warping: the in-plane shapes and warping functions of a closed ring of walls.

**Ring.** The mid-lines are cut into straight facets, four to six at a corner, and joined: where two walls of unequal
thickness meet, a ramp facet of the mean of their stiffness leads from one mid-line to the other. Unknowns at a node
are u along the span, Y and Z in the section and the turn theta about e1. On a facet u and v = t . (Y, Z) are linear,
w = n . (Y, Z) is a Hermite cubic. With d the unknowns and ' = d/dx the strains of Kirchhoff's wall are

    e = (ex, gxy, kx, ky, kxy) = E0 d + E1 d' + E2 d''
    ex: u in E1;  gxy: u,s in E0 and v in E1;  kx: -w in E2;  ky: -w,ss in E0;  kxy: -2 w,s in E1

Ny is condensed out of the wall's law. The section matrices are S_ab = integral around of E_a^T C E_b.

**In-plane shapes.** Shapes without hoop stretch (v the same at both ends of each facet), theta by statics of the ring.
Warping of least shear work goes with each; without circulation (closed integral of v ds = 0) it leaves no shear at
all. In that space B f = lambda C f, with B the bending stiffness of the ring and C the stiffness of the warping: two
zero values are the translations, the others the distortion modes. Each alone decays over (4 / lambda)^(1/4).

**Static shape of a load.** The ring under the load, held by the shear flow of the beam: the sum over all modes of
f (f . q) / lambda. With it four to eight modes are enough.

References
----------
R. Schardt, "Verallgemeinerte Technische Biegetheorie", Springer 1989; R. Goncalves, M. Ritto-Correa & D. Camotim,
Comput. Mech. 46 (2010): modes of generalized beam theory; both from memory. Membrane shear as unknowns of its own and
the static shape were derived here.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import eigh

from beam.section.contour import Contour
from materials.checks import Array, reject

Indices = NDArray[np.intp]

CORNER, FLAT = 6, 6
"""Facets of a curved wall, and of a straight one between its two ramps."""

RAMP = 0.004
"""Length of the ramp at each end of a straight wall [m], at most a fifth of it; the results hardly depend on it."""

KEPT = np.array([0, 2, 3, 4, 5])
"""Indices of (Nx, Nxy, Mx, My, Mxy) among the six wall loads."""

GAUSS, WEIGHT = (
    0.5 * (1 + np.polynomial.legendre.leggauss(2)[0]),
    0.5 * np.polynomial.legendre.leggauss(2)[1],
)


class Facets(NamedTuple):
    """How the walls are cut: wall of each facet, its ends as fractions of it, all (facet,); names of walls."""

    wall: Indices
    start: Array
    end: Array
    names: tuple[str, ...]

    def find(self, wall: int, places: Array) -> tuple[Indices, Array]:
        """Facet and fraction of it, both (place,), of fractions of a wall."""
        mine = np.flatnonzero(self.wall == wall)
        facet = mine[np.clip(np.searchsorted(self.start[mine], places, side="right") - 1, 0, len(mine) - 1)]
        return facet, (places - self.start[facet]) / (self.end[facet] - self.start[facet])


class Ring(NamedTuple):
    """Rings of facets, in a batch of sections that are cut alike."""

    nodes: Array
    """Nodes (section, node, 2); facet i runs from node i to the next [m]."""

    law: Array
    """Nx, Nxy, Mx, My, Mxy per ex, gxy, kx, ky, kxy at Ny = 0, (section, facet, 5, 5)."""

    thickness: Array
    """Thickness (section, facet) [m]."""

    @property
    def chord(self) -> Array:
        """From node to node, (section, facet, 2) [m]."""
        return np.asarray(np.roll(self.nodes, -1, axis=-2) - self.nodes)

    @property
    def length(self) -> Array:
        """Length of the facets (section, facet) [m]."""
        return np.asarray(np.hypot(self.chord[..., 0], self.chord[..., 1]))

    @property
    def tangent(self) -> Array:
        """Unit tangents (section, facet, 2)."""
        return np.asarray(self.chord / self.length[..., None])

    def take(self, sections: Indices) -> "Ring":
        """Some of the sections."""
        return Ring(self.nodes[sections], self.law[sections], self.thickness[sections])


def facets_of(contour: Contour) -> Facets:
    """Cut the walls of a closed skin; those of a batch by the mean of their lengths."""
    walls = len(contour.names)
    ring = np.stack([np.arange(walls), (np.arange(walls) + 1) % walls], axis=-1)
    if not (contour.ends == ring).all():
        reject(
            "distortion: contour",
            "walls that are no single ring in order",
            "one closed skin, its walls in order",
        )
    length = contour.length.reshape(-1, walls).mean(axis=0)
    straight = (contour.turn.reshape(-1, walls) == 0).all(axis=0)
    cuts = []
    for i in range(walls):
        ramp = min(RAMP / length[i], 0.2)
        flat = np.concatenate([[0.0], np.linspace(ramp, 1 - ramp, FLAT + 1), [1.0]])
        cuts.append(flat if straight[i] else np.linspace(0.0, 1.0, CORNER + 1))
    return Facets(
        np.concatenate([np.full(len(c) - 1, i) for i, c in enumerate(cuts)]),
        np.concatenate([c[:-1] for c in cuts]),
        np.concatenate([c[1:] for c in cuts]),
        contour.names,
    )


def ring_of(contour: Contour, facets: Facets, abd: Array, thickness: Array) -> Ring:
    """Rings of a batch of sections, abd (section, wall, 6, 6) and thickness (section, wall) [m]."""
    wall, places = facets.wall, np.unique(facets.start)
    at = contour.position(places)[:, wall, np.searchsorted(places, facets.start)]
    finish, curved = contour.finish, contour.turn != 0
    first = np.flatnonzero(facets.start == 0.0)
    before = np.roll(np.arange(len(first)), 1)
    # a joint lies on the curved wall of the two, or between two of a kind
    mine = 0.5 + 0.5 * (curved.astype(float) - curved[:, before])
    at[:, first] = mine[..., None] * at[:, first] + (1 - mine[..., None]) * finish[:, before]
    own, t = abd[:, wall], thickness[:, wall]
    straight = ~curved[0]
    for edge, step in ((facets.start == 0.0, -1), (facets.end == 1.0, 1)):
        ramps = np.flatnonzero(edge & straight[wall])
        other = (wall[ramps] + step) % len(first)
        own[:, ramps] = 0.5 * (own[:, ramps] + abd[:, other])
        t[:, ramps] = 0.5 * (t[:, ramps] + thickness[:, other])
    cross = own[..., KEPT, 1]
    law = (
        own[..., KEPT[:, None], KEPT] - cross[..., :, None] * cross[..., None, :] / own[..., 1, 1, None, None]
    )
    return Ring(at, law, t)


class Functions(NamedTuple):
    """Functions around the ring: u (section, node, function), and (Y, Z, theta) (section, node, 3, function)."""

    warping: Array
    plane: Array

    @property
    def total(self) -> int:
        """Number of in-plane functions, which come first, and of warping functions after them."""
        return self.plane.shape[-1] + self.warping.shape[-1]


def strains(ring: Ring, functions: Functions, facet: Indices, xi: Array) -> Array:
    """E0, E1, E2, shape (3, section, point, 5, function), at fractions `xi` of facets, both (point,)."""
    n = functions.plane.shape[-1]
    after = (facet + 1) % ring.nodes.shape[1]
    t, L = ring.tangent[:, facet, :, None], ring.length[:, facet, None]
    out = np.zeros((3, len(ring.nodes), len(facet), 5, functions.total))
    ends = [functions.plane[:, one] for one in (facet, after)]
    v = sum(0.5 * (t[:, :, 0] * e[:, :, 0] + t[:, :, 1] * e[:, :, 1]) for e in ends)
    w = [t[:, :, 0] * e[:, :, 1] - t[:, :, 1] * e[:, :, 0] for e in ends]
    turn = [L * e[:, :, 2] for e in ends]
    x = xi[:, None]
    u0, u1 = functions.warping[:, facet], functions.warping[:, after]
    out[1, ..., 0, n:] = (1 - x) * u0 + x * u1
    out[0, ..., 1, n:] = (u1 - u0) / L
    out[1, ..., 1, :n] = v
    shapes = (1 - 3 * x**2 + 2 * x**3, x - 2 * x**2 + x**3, 3 * x**2 - 2 * x**3, x**3 - x**2)
    slopes = (6 * x**2 - 6 * x, 1 - 4 * x + 3 * x**2, 6 * x - 6 * x**2, 3 * x**2 - 2 * x)
    bends = (12 * x - 6, 6 * x - 4, 6 - 12 * x, 6 * x - 2)
    parts = (w[0], turn[0], w[1], turn[1])
    out[2, ..., 2, :n] = -sum(f * p for f, p in zip(shapes, parts, strict=True))
    out[0, ..., 3, :n] = -sum(f * p for f, p in zip(bends, parts, strict=True)) / L**2
    out[1, ..., 4, :n] = -2 * sum(f * p for f, p in zip(slopes, parts, strict=True)) / L
    return out


def gauss_points(ring: Ring, facets: Indices | None = None) -> tuple[Indices, Array, Array]:
    """Facet and fraction (point,) of the Gauss points of facets, all by default, and weights (section, point) [m]."""
    some = np.arange(ring.nodes.shape[1]) if facets is None else facets
    facet, xi = np.repeat(some, len(GAUSS)), np.tile(GAUSS, len(some))
    return facet, xi, ring.length[:, facet] * np.tile(WEIGHT, len(some))


ROWS = ([1, 3], [0, 1, 4], [2])
"""Strains that E0, E1 and E2 have, numbers of ex, gxy, kx, ky, kxy."""


def section_matrices(ring: Ring, functions: Functions) -> Array:
    """S_ab, shape (3, 3, section, function, function)."""
    facet, xi, weight = gauss_points(ring)
    E = strains(ring, functions, facet, xi)
    return matrices_between(ring, E, E, facet, weight)


def matrices_between(ring: Ring, test: Array, E: Array, facet: Indices, weight: Array) -> Array:
    """S_ab of two sets of functions by their strains at points, shape (3, 3, section, test function, function)."""
    sections, n, m = len(ring.nodes), E.shape[-1], test.shape[-1]
    S = np.empty((3, 3, sections, m, n))
    law = weight[..., None, None] * ring.law[:, facet]
    for a, rows in enumerate(ROWS):
        left = np.swapaxes(test[a][..., rows, :].reshape(sections, -1, m), -1, -2)
        for b, columns in enumerate(ROWS):
            if test is E and b < a:
                S[a, b] = np.swapaxes(S[b, a], -1, -2)
                continue
            part = law[..., np.array(rows)[:, None], columns] @ E[b][..., columns, :]
            S[a, b] = left @ part.reshape(sections, -1, n)
    return S


def hoop_stretch(ring: Ring) -> Array:
    """Change of length of each facet per (Y, Z) of the nodes, shape (section, facet, node, 2)."""
    count = ring.nodes.shape[1]
    here = np.arange(count)
    out = np.zeros((*ring.length.shape, count, 2))
    out[:, here, here] = -ring.tangent
    out[:, here, (here + 1) % count] = ring.tangent
    return out


def circulation(ring: Ring, plane: Array) -> Array:
    """Closed integral of v ds, (section, function), of shapes (section, node, 3, function)."""
    half = 0.5 * (ring.chord + np.roll(ring.chord, 1, axis=1))
    return np.einsum("sni,snif->sf", half, plane[:, :, :2])


def rigid(ring: Ring) -> Array:
    """Translations along e2 and e3 and the turn about e1, shape (section, node, 3, 3)."""
    out = np.zeros((*ring.nodes.shape[:2], 3, 3))
    out[:, :, 0, 0] = out[:, :, 1, 1] = out[:, :, 2, 2] = 1.0
    out[:, :, 0, 2], out[:, :, 1, 2] = -ring.nodes[..., 1], ring.nodes[..., 0]
    return out


def with_turns(ring: Ring, shapes: Array) -> Array:
    """Shapes (section, node, 2, function) with the turns that the statics of the ring give, (section, node, 3, ..)."""
    count = ring.nodes.shape[1]
    t, L, D = ring.tangent, ring.length, ring.law[..., 3, 3]
    w = [
        t[..., 0, None] * e[:, :, 1] - t[..., 1, None] * e[:, :, 0]
        for e in (shapes, np.roll(shapes, -1, axis=1))
    ]
    # beam on supports that move: 2 k (2 theta + theta_next) = 6 k (w_next - w) / L with k = D / L, at both ends
    pull = (6 * D / L**2)[..., None] * (w[1] - w[0])
    stiff = np.zeros((len(ring.nodes), count, count))
    here = np.arange(count)
    after = (here + 1) % count
    stiff[:, here, here] = 4 * (D / L + np.roll(D / L, 1, axis=-1))
    stiff[:, here, after] += 2 * D / L
    stiff[:, after, here] += 2 * D / L
    theta = np.linalg.solve(stiff, pull + np.roll(pull, 1, axis=1))
    return np.concatenate([shapes, theta[:, :, None]], axis=2)


class Modes(NamedTuple):
    """Distortion modes of one section, ascending, and the warping that shear lag adds."""

    plane: Array
    """All N - 3 shapes (1, node, 3, mode)."""

    warping: Array
    """Warping (node, mode) that leaves each without membrane shear."""

    eigenvalue: Array
    """Ring stiffness over warping stiffness (mode,) [1/m^4]."""

    twist: Array
    """Warping (node,) of the turn about e1 [m^2]."""

    lag: Array
    """Warping functions (node, function) of shear lag, by rising shear stiffness."""

    def static(self, ring: Ring, q: Array) -> Array:
        """Coordinates (mode, load) of the static ring shapes of line loads q (node, 3, load) on (Y, Z, theta)."""
        work = np.einsum("nim,nil->ml", self.plane[0], q)
        return np.asarray(work / self.eigenvalue[:, None])


def modes_of(ring: Ring) -> Modes:
    """The distortion modes of a ring of one section."""
    count = ring.nodes.shape[1]
    free = np.linalg.svd(hoop_stretch(ring).reshape(count, 2 * count))[2][count:].T.reshape(
        1, count, 2, count
    )
    plane = with_turns(ring, free)
    nodal = Functions(np.eye(count)[None], plane)
    S = section_matrices(ring, nodal)[:, :, 0]
    shear, axial = S[0, 0, count:, count:], S[1, 1, count:, count:]
    area = axial.sum(axis=0)
    # warping of least shear work, without net stretch: u = -shear^-1 (shear of v) with the constant fixed
    bordered = np.block(
        [[shear / shear.max(), area[:, None] / area.max()], [area[None] / area.max(), np.zeros((1, 1))]]
    )
    inverse = np.linalg.inv(bordered)[:count, :count] / shear.max()
    warping = -inverse @ S[0, 1, count:, :count]
    of = circulation(ring, plane)[0]
    still = np.linalg.svd(of[None])[2][1:].T
    B = still.T @ S[0, 0, :count, :count] @ still
    C = still.T @ (warping.T @ axial @ warping + S[2, 2, :count, :count]) @ still
    values, vectors = eigh(B, C)
    shapes = still @ vectors[:, 2:]
    twist = -inverse @ section_matrices(ring, Functions(np.eye(count)[None], rigid(ring)))[0, 1, 0, 3:, 2]
    lag = eigh(shear, axial)[1][:, 1:]
    return Modes(plane @ shapes, warping @ shapes, values[2:], twist, lag)


def carried(ring: Ring, plane: Array) -> Array:
    """Shapes (1, node, 3, function) of one section on rings that are cut alike: no stretch, no circulation."""
    count = ring.nodes.shape[1]
    A = hoop_stretch(ring).reshape(-1, count, 2 * count)
    shapes = np.broadcast_to(plane[:, :, :2].reshape(1, 2 * count, -1), (len(A), 2 * count, plane.shape[-1]))
    stretch = np.linalg.solve(A @ np.swapaxes(A, -1, -2), A @ shapes)
    free = (shapes - np.swapaxes(A, -1, -2) @ stretch).reshape(len(A), count, 2, -1)
    turn = rigid(ring)
    share = circulation(ring, free) / circulation(ring, turn[..., 2:])
    return with_turns(ring, free - turn[:, :, :2, 2:] * share[:, None, None])


def outer_motion(ring: Ring, functions: Functions, facet: Indices, xi: Array) -> Array:
    """U0, U1 with (ux, us, un) = U0 d + U1 d' on the outer face, (2, section, point, 3, function)."""
    n = functions.plane.shape[-1]
    after = (facet + 1) % ring.nodes.shape[1]
    E = strains(ring, functions, facet, xi)
    half = 0.5 * ring.thickness[:, facet, None]
    x = xi[:, None]
    out = np.zeros((2, *E.shape[1:3], 3, functions.total))
    out[0, ..., 0, n:] = (1 - x) * functions.warping[:, facet] + x * functions.warping[:, after]
    out[1, ..., 0, :n] = half * E[2, ..., 2, :n]  # -(t/2) w,x with kx = -w,xx
    out[0, ..., 1, :n] = E[1, ..., 1, :n] + half * 0.5 * E[1, ..., 4, :n]  # v - (t/2) w,s with kxy = -2 w,xs
    out[0, ..., 2, :n] = -E[2, ..., 2, :n]
    return out


def prismatic_states(S: Array, planes: int) -> tuple[Array, Array]:
    """The six states without end effects, (3, section, function, 6), and what of them `resultants` returns, (.., 6, 6).

    They are polynomials along x: constant strain for N, T, M2, M3, and M growing linearly for V2, V3. The functions are
    the two translations, the turn and other in-plane ones, `planes` in all; then u = 1, y, z and other warping.
    """
    n = S.shape[-1]
    rate, second = np.zeros((n, 4)), np.zeros((n, 4))  # d' and d'' of unit eps, kappa1, kappa2, kappa3
    rate[planes, 0] = rate[2, 1] = rate[planes + 2, 2] = 1.0
    rate[planes + 1, 3] = second[1, 2] = -1.0
    second[0, 3] = 1.0
    loose = np.setdiff1d(np.arange(n), [0, 1, 2, planes])
    inverse = np.zeros_like(S[0, 0])
    inverse[:, loose[:, None], loose] = np.linalg.inv(S[0, 0][:, loose[:, None], loose])
    own = -inverse @ (S[0, 1] @ rate + S[0, 2] @ second)
    stiff = sum(
        np.swapaxes(part, -1, -2) @ (S[a, 0] @ own + S[a, 1] @ rate + S[a, 2] @ second)
        for a, part in ((1, rate), (2, second))
    )
    mix = np.linalg.inv(stiff)
    # V2 and V3: growing states of -M3 and M2
    grow = np.stack([-mix[..., 3], mix[..., 2]], axis=-1)
    d1, d2, d3 = own @ grow, rate @ grow, second @ grow
    d0 = inverse @ (S[1, 0] @ d1 + S[1, 1] @ d2 + S[1, 2] @ d3 - S[0, 1] @ d1 - S[0, 2] @ d2)
    direct, shear = [own @ mix, rate @ mix, second @ mix], [d0, d1, d2]
    states = np.stack(
        [np.concatenate([f[..., :1], g, f[..., 1:]], axis=-1) for f, g in zip(direct, shear, strict=True)]
    )
    return states, resultants(S, planes, states)


def stretches(ring: Ring) -> Array:
    """Shapes (section, node, 3, facet) of least motion that stretch one facet each by a unit, the others not at all."""
    count = ring.nodes.shape[1]
    A = hoop_stretch(ring).reshape(-1, count, 2 * count)
    inverse = np.swapaxes(A, -1, -2) @ np.linalg.inv(A @ np.swapaxes(A, -1, -2))
    return with_turns(ring, inverse.reshape(len(A), count, 2, count))


def balanced(
    contour: Contour, facets: Facets, ring: Ring, E: Array, facet: Indices, xi: Array, d: Array
) -> tuple[Array, Array]:
    """Nx = (1, y2, y3) . first and Nxy = (t2, t3, r x t) . second that cancel a resultant, both (section, 3, column).

    The resultant is that of amplitudes d on the true mid-lines; E are strains at Gauss points of all facets.
    """
    wall, start, end = facets.wall[facet], facets.start[facet], facets.end[facet]
    r, t = true_places(contour, wall, start + xi * (end - start))
    weight = contour.length[:, wall] * (end - start) * np.tile(WEIGHT, len(ring.nodes[0]))
    one, arm = np.ones_like(r[..., 0]), r[..., 0] * t[..., 1] - r[..., 1] * t[..., 0]
    plain, shear = (
        np.stack([one, r[..., 0], r[..., 1]], axis=-1),
        np.stack([t[..., 0], t[..., 1], arm], axis=-1),
    )
    e = sum(E[a].reshape(len(r), -1, E.shape[-1]) @ d[a] for a in range(3))
    loads = (weight[..., None, None] * ring.law[:, facet]) @ e.reshape(*r.shape[:2], 5, -1)
    Nx, Nxy, Mx, _, Mxy = np.moveaxis(loads, 2, 0)
    bending = np.stack([0 * t[..., 0], -t[..., 1], t[..., 0]], axis=-1)  # moments about y2 and y3 of Mx
    axial = np.einsum("sqi,sqc->sic", plain, Nx) + np.einsum("sqi,sqc->sic", bending, Mx)
    around = np.einsum("sqi,sqc->sic", shear, Nxy)
    around[:, 2] -= 2 * Mxy.sum(axis=1)
    grips = [np.einsum("sq,sqi,sqj->sij", weight, f, f) for f in (plain, shear)]
    return -np.linalg.solve(grips[0], axial), -np.linalg.solve(grips[1], around)


def true_places(contour: Contour, wall: Indices, place: Array) -> tuple[Array, Array]:
    """Points and tangents (section, place, 2) of walls of a batch of contours at fractions, both (place,)."""
    each, index = np.unique(place, return_inverse=True)
    return contour.position(each)[:, wall, index], contour.tangent(each)[:, wall, index]


def resultants(S: Array, planes: int, d: Array) -> Array:
    """N, V2, V3, T, M2, M3 (section, 6, column) of the wall loads of d, d', d'' (3, section, function, column)."""
    first, second = (sum(S[a, b] @ d[b] for b in range(3)) for a in (1, 2))
    y, z = first[..., planes + 1, :], first[..., planes + 2, :]
    rows = (first[..., planes, :], first[..., 0, :], first[..., 1, :], first[..., 2, :])
    return np.stack([*rows, z - second[..., 1, :], second[..., 0, :] - y], axis=-2)
