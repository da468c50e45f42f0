r"""Cross-section distortion and warping: the in-plane shapes and warping functions of a closed ring of walls.

**Ring.** The mid-lines are cut into straight facets, four to six at a corner, and joined: where two walls of unequal
thickness meet, a ramp facet of the mean of their stiffness leads from one mid-line to the other. Unknowns at a node
are u along the span, Y and Z in the section, the turn theta about e1, and the tilt b of the normal toward e1. On a
facet u and v = t . (Y, Z) are linear; w = n . (Y, Z) and the turn psi are those of Timoshenko's beam. With d the
unknowns and ' = d/dx the strains of a wall are e = E0 d + E1 d':

    ex = u',  gxy = u,s + v',  kx = -b' w,  ky = -psi,s,  kxy = -(b w,s + psi'),  gxz = w' - b w,  gyz = w,s - psi

The tilt b(x) of each shape is an unknown of its own. Ny is condensed out of the wall's law. The section matrices are
S_ab = integral around of E_a^T C E_b.

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
    """Nx, Nxy, Mx, My, Mxy, Qx, Qy per ex, gxy, kx, ky, kxy, gxz, gyz at Ny = 0, (section, facet, 7, 7)."""

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

    @property
    def softness(self) -> Array:
        """12 D / (H L^2) of each facet as a beam around the section, (section, facet)."""
        return np.asarray(12 * self.law[..., 3, 3] / (self.law[..., 6, 6] * self.length**2))

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


def ring_of(contour: Contour, facets: Facets, abd: Array, shear: Array, thickness: Array) -> Ring:
    """Rings of sections: abd (section, wall, 6, 6), shear (section, wall, 2, 2) for Q, thickness (section, wall)."""
    wall, places = facets.wall, np.unique(facets.start)
    at = contour.position(places)[:, wall, np.searchsorted(places, facets.start)]
    finish, curved = contour.finish, np.atleast_2d(contour.turn != 0)
    first = np.flatnonzero(facets.start == 0.0)
    before = np.roll(np.arange(len(first)), 1)
    # a joint lies on the curved wall of the two, or between two of a kind
    mine = 0.5 + 0.5 * (curved.astype(float) - curved[:, before])
    at[:, first] = mine[..., None] * at[:, first] + (1 - mine[..., None]) * finish[:, before]
    own, across, t = abd[:, wall], shear[:, wall], thickness[:, wall]
    straight = ~curved[0]
    for edge, step in ((facets.start == 0.0, -1), (facets.end == 1.0, 1)):
        ramps = np.flatnonzero(edge & straight[wall])
        other = (wall[ramps] + step) % len(first)
        own[:, ramps] = 0.5 * (own[:, ramps] + abd[:, other])
        across[:, ramps] = 0.5 * (across[:, ramps] + shear[:, other])
        t[:, ramps] = 0.5 * (t[:, ramps] + thickness[:, other])
    cross = own[..., KEPT, 1]
    law = np.zeros((*own.shape[:2], 7, 7))
    law[..., :5, :5] = own[..., KEPT[:, None], KEPT]
    law[..., :5, :5] -= cross[..., :, None] * cross[..., None, :] / own[..., 1, 1, None, None]
    law[..., 5:, 5:] = across
    return Ring(at, law, t)


class Functions(NamedTuple):
    """Functions around the ring: u (section, node, function), and (Y, Z, theta) (section, node, 3, function)."""

    warping: Array
    plane: Array

    @property
    def total(self) -> int:
        """Number of unknowns: the in-plane functions, their tilts, the warping functions."""
        return 2 * self.plane.shape[-1] + self.warping.shape[-1]


class Strains(NamedTuple):
    """Strains of in-plane functions, their tilts and the warping at points, each (section, point, strain, function).

    `ROWS` tells which strains these are: first those of E0, then those of E1.
    """

    plane: Array
    tilt: Array
    warping: Array

    def of(self, order: int) -> list[Array]:
        """The three parts of E0 or E1."""
        counts = [len(one) for one in ROWS[0]]
        return [f[:, :, c:] if order else f[:, :, :c] for f, c in zip(self, counts, strict=True)]

    def times(self, d: Array) -> Array:
        """Strains (section, point, 7, column) of amplitudes d, d' (2, section, unknown, column)."""
        sections, points = self.plane.shape[:2]
        out = np.zeros((sections, points, 7, d.shape[-1]))
        for a in range(2):
            first = 0
            for part, rows in zip(self.of(a), ROWS[a], strict=True):
                n = part.shape[-1]
                e = part.reshape(sections, points * len(rows), n) @ d[a][:, first : first + n]
                out[:, :, rows] += e.reshape(sections, points, len(rows), -1)
                first += n
        return out


ROWS = (([3, 6], [4, 5], [1]), ([1, 4, 5], [2], [0]))
"""Strains, numbers of ex, gxy, kx, ky, kxy, gxz, gyz, that E0 and E1 have of in-plane functions, tilts and warping."""


def strains(ring: Ring, functions: Functions, facet: Indices, xi: Array) -> Strains:
    """Strains of functions at fractions `xi` of facets, both (point,)."""
    after = (facet + 1) % ring.nodes.shape[1]
    t, L = ring.tangent[:, facet, :, None], ring.length[:, facet, None]
    soft, x = ring.softness[:, facet, None], xi[:, None]
    ends = [functions.plane[:, one] for one in (facet, after)]
    v = sum(0.5 * (t[:, :, 0] * e[:, :, 0] + t[:, :, 1] * e[:, :, 1]) for e in ends)
    w0, w1 = (t[:, :, 0] * e[:, :, 1] - t[:, :, 1] * e[:, :, 0] for e in ends)
    turn0, turn1 = (e[:, :, 2] for e in ends)
    bow = (w1 - w0) / L - 0.5 * (turn0 + turn1)
    bent = bow / (1 + soft)
    psi = (1 - x) * turn0 + x * turn1 + 6 * x * (1 - x) * bent
    along = x * (1 - 0.5 * x) * turn0 + 0.5 * x**2 * turn1 + x**2 * (3 - 2 * x) * bent
    w = w0 + L * (along + x * (bow - bent))
    ky, gyz = -(turn1 - turn0) / L - (6 - 12 * x) * bent / L, bow - bent
    u0, u1 = functions.warping[:, facet], functions.warping[:, after]
    return Strains(
        np.stack([ky, gyz, v, -psi, w], axis=2),
        np.stack([-(psi + gyz), -w, -w], axis=2),
        np.stack([(u1 - u0) / L, (1 - x) * u0 + x * u1], axis=2),
    )


def gauss_points(ring: Ring, facets: Indices | None = None) -> tuple[Indices, Array, Array]:
    """Facet and fraction (point,) of the Gauss points of facets, all by default, and weights (section, point) [m]."""
    some = np.arange(ring.nodes.shape[1]) if facets is None else facets
    facet, xi = np.repeat(some, len(GAUSS)), np.tile(GAUSS, len(some))
    return facet, xi, ring.length[:, facet] * np.tile(WEIGHT, len(some))


def section_matrices(ring: Ring, functions: Functions) -> Array:
    """S_ab, shape (2, 2, section, unknown, unknown)."""
    facet, xi, weight = gauss_points(ring)
    E = strains(ring, functions, facet, xi)
    return matrices_between(ring, E, E, facet, weight)


def matrices_between(ring: Ring, test: Strains, E: Strains, facet: Indices, weight: Array) -> Array:
    """S_ab of two sets of unknowns by their strains at points, shape (2, 2, section, test unknown, unknown)."""
    sections, points = len(ring.nodes), len(facet)
    S = np.empty((2, 2, sections, sum(f.shape[-1] for f in test), sum(f.shape[-1] for f in E)))
    law = weight[..., None, None] * ring.law[:, facet]
    for a in range(2):
        row = 0
        for part, own in zip(test.of(a), ROWS[a], strict=True):
            m = part.shape[-1]
            left = np.swapaxes(part.reshape(sections, points * len(own), m), -1, -2)
            for b in range(2):
                if test is E and b < a:
                    continue
                column = 0
                for other, its in zip(E.of(b), ROWS[b], strict=True):
                    n = other.shape[-1]
                    pull = law[..., np.array(own)[:, None], its] @ other
                    S[a, b][:, row : row + m, column : column + n] = left @ pull.reshape(
                        sections, points * len(own), n
                    )
                    column += n
            row += m
    if test is E:
        S[1, 0] = np.swapaxes(S[0, 1], -1, -2)
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
    # Timoshenko's beam: k ((4 + c) theta + (2 - c) theta_next) = 6 k (w_next - w) / L at both ends
    c = ring.softness
    k = D / (L * (1 + c))
    pull = (6 * k / L)[..., None] * (w[1] - w[0])
    stiff = np.zeros((len(ring.nodes), count, count))
    here = np.arange(count)
    after = (here + 1) % count
    stiff[:, here, here] = k * (4 + c) + np.roll(k * (4 + c), 1, axis=-1)
    stiff[:, here, after] += k * (2 - c)
    stiff[:, after, here] += k * (2 - c)
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
    u = slice(2 * count, None)
    shear, axial = S[0, 0, u, u], S[1, 1, u, u]
    area = axial.sum(axis=0)
    # warping of least shear work, without net stretch: u = -shear^-1 (shear of v) with the constant fixed
    bordered = np.block(
        [[shear / shear.max(), area[:, None] / area.max()], [area[None] / area.max(), np.zeros((1, 1))]]
    )
    inverse = np.linalg.inv(bordered)[:count, :count] / shear.max()
    warping = -inverse @ S[0, 1, u, :count]
    of = circulation(ring, plane)[0]
    still = np.linalg.svd(of[None])[2][1:].T
    B = still.T @ S[0, 0, :count, :count] @ still
    C = still.T @ (warping.T @ axial @ warping + S[1, 1, count : 2 * count, count : 2 * count]) @ still
    values, vectors = eigh(B, C)
    shapes = still @ vectors[:, 2:]
    twist = -inverse @ section_matrices(ring, Functions(np.eye(count)[None], rigid(ring)))[0, 1, 0, 6:, 2]
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
    """U with (ux, us, un) = U d on the outer face, (section, point, 3, unknown)."""
    n = functions.plane.shape[-1]
    E = strains(ring, functions, facet, xi)
    half = 0.5 * ring.thickness[:, facet, None]
    out = np.zeros((*E.plane.shape[:2], 3, functions.total))
    out[..., 0, 2 * n :] = E.warping[:, :, 1]
    out[..., 0, n : 2 * n] = half * E.tilt[:, :, 1]  # -(t/2) b w
    out[..., 1, :n] = E.plane[:, :, 2] + half * E.plane[:, :, 3]  # v - (t/2) psi
    out[..., 2, :n] = E.plane[:, :, 4]
    return out


def prismatic_states(S: Array, planes: int) -> tuple[Array, Array]:
    """d, d' of the six states without end effects, (2, section, unknown, 6), and what `resultants` returns of them.

    The strain is constant under N, T, M2, M3; under V2, V3 the moment grows linearly. The functions are the two
    translations, the turn and other in-plane ones, `planes` in all; then u = 1, y, z and other warping.
    """
    n = S.shape[-1]
    rate = np.zeros((n, 4))  # d' of unit eps, kappa1, kappa2, kappa3
    rate[2 * planes, 0] = rate[2, 1] = rate[2 * planes + 2, 2] = rate[planes, 3] = 1.0
    rate[planes + 1, 2] = rate[2 * planes + 1, 3] = -1.0
    loose = np.setdiff1d(np.arange(n), [0, 1, 2, 2 * planes])
    inverse = np.zeros_like(S[0, 0])
    inverse[:, loose[:, None], loose] = np.linalg.inv(S[0, 0][:, loose[:, None], loose])
    own = -inverse @ S[0, 1] @ rate
    mix = np.linalg.inv(rate.T @ (S[1, 0] @ own + S[1, 1] @ rate))
    # V2 and V3: growing states of -M3 and M2
    grow = np.stack([-mix[..., 3], mix[..., 2]], axis=-1)
    d1, d2 = own @ grow, rate @ grow
    d0 = inverse @ (S[1, 0] @ d1 + S[1, 1] @ d2 - S[0, 1] @ d1)
    pairs = ((own @ mix, d0), (rate @ mix, d1))
    states = np.stack([np.concatenate([f[..., :1], g, f[..., 1:]], axis=-1) for f, g in pairs])
    return states, resultants(S, planes, states)


def stretches(ring: Ring) -> Array:
    """Shapes (section, node, 3, facet) of least motion that stretch one facet each by a unit, the others not at all."""
    count = ring.nodes.shape[1]
    A = hoop_stretch(ring).reshape(-1, count, 2 * count)
    inverse = np.swapaxes(A, -1, -2) @ np.linalg.inv(A @ np.swapaxes(A, -1, -2))
    return with_turns(ring, inverse.reshape(len(A), count, 2, count))


def balanced(
    contour: Contour, facets: Facets, ring: Ring, E: Strains, facet: Indices, xi: Array, d: Array
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
    loads = (weight[..., None, None] * ring.law[:, facet]) @ E.times(d)
    Nx, Nxy, Mx, _, Mxy, _, _ = np.moveaxis(loads, 2, 0)
    bending = np.stack([0 * t[..., 0], -t[..., 1], t[..., 0]], axis=-1)  # moments about y2 and y3 of Mx
    axial = np.einsum("sqi,sqc->sic", plain, Nx) + np.einsum("sqi,sqc->sic", bending, Mx)
    around = np.einsum("sqi,sqc->sic", shear, Nxy)
    around[:, 2] -= 2 * Mxy.sum(axis=1)
    grips = [np.einsum("sq,sqi,sqj->sij", weight, f, f) for f in (plain, shear)]
    return -np.linalg.solve(grips[0], axial), -np.linalg.solve(grips[1], around)


def true_places(contour: Contour, wall: Indices, place: Array) -> tuple[Array, Array]:
    """Points and tangents (section, place, 2) of walls of a batch of contours at fractions, both (place,)."""
    each, index = np.unique(place, return_inverse=True)
    at = contour.position(each)
    return at[:, wall, index], np.broadcast_to(contour.tangent(each), at.shape)[:, wall, index]


def resultants(S: Array, planes: int, d: Array) -> Array:
    """N, V2, V3, T, M2, M3 (section, 6, column) of the wall loads of d, d' (2, section, unknown, column)."""
    f = S[1, 0] @ d[0] + S[1, 1] @ d[1]
    tilted = [f[..., planes + i, :] for i in (0, 1)]
    N, My, Mz = (f[..., 2 * planes + i, :] for i in range(3))
    return np.stack([N, f[..., 0, :], f[..., 1, :], f[..., 2, :], Mz - tilted[1], tilted[0] - My], axis=-2)
