"""Distortion and warping along the strut: the wall loads that beam theory lacks near bands, ribs and ends.

The in-plane shapes and warping functions of `beam.section.distortion` at one section are carried to all others.
Their amplitudes along the span, g(x) of the shapes as Hermite cubics and h(x) of the warping as quadratics, follow
from the energy of the walls in finite elements of one banded matrix. The section of an element is that of its middle.

The solution holds bending, shear and torsion too. So the state that a long prismatic strut would have under the same
section forces is taken off at every station. What is left has no resultant.
"""

from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.polynomial.legendre import leggauss
from numpy.typing import NDArray
from scipy.linalg import cho_solve_banded, cholesky_banded

from beam.section import distortion as section
from beam.section.contour import Contour
from beam.section.distortion import Facets, Functions, Indices, Modes, Ring
from materials.checks import Array

MODES, LAG = 8, 8
"""Distortion modes, and warping functions of shear lag: Nx near a band is then within 15 percent."""

FINE, COARSE = 1 / 24, 1 / 12
"""Element lengths near bands and elsewhere, in girths of the section."""

NEAR = 0.1  # girths beside a band, a rib or an end that take fine elements
POINTS, SHARES = 0.5 * (1 + leggauss(4)[0]), 0.5 * leggauss(4)[1]
SMALL = 1e-6  # size of a function beside what it adds to those before it, below which it is left out


class Walls(NamedTuple):
    """The walls along the span: contours, and A, B, D, transverse shear and thickness at stations; how they are cut."""

    contour: Callable[[Array], Contour]
    lay_up: Callable[[Array], tuple[Array, Array, Array]]
    facets: Facets

    def rings(self, x: Array) -> Ring:
        """Rings of facets at stations (station,)."""
        return section.ring_of(self.contour(x), self.facets, *self.lay_up(x))


class Patch(NamedTuple):
    """Facets and stretch over which a fitting brings in its load; `rigid` keeps the shape of the section."""

    start: float
    end: float
    facets: Indices
    rigid: bool = False


class Hoop(NamedTuple):
    """A rib at a station: E I of a ring [N m2], or infinite."""

    station: float
    stiffness: float = np.inf


class Ends(NamedTuple):
    """What each end holds, root and tip: the shape of the section, and its warping."""

    shape: tuple[bool, bool] = (True, False)
    warping: tuple[bool, bool] = (True, False)


CLAMPED = Ends()


class AlongSpan:
    """Amplitudes of the functions along the span for unit loads, six of each patch and six of each point.

    `points` are stations of loads without a patch: they act on the rigid motion of the section.
    """

    def __init__(
        self,
        walls: Walls,
        length: float,
        patches: Sequence[Patch] = (),
        ribs: Sequence[Hoop] = (),
        ends: Ends = CLAMPED,
        points: Sequence[float] = (),
    ) -> None:
        self.walls, self.length, self.patches = walls, length, tuple(patches)
        middles = [0.5 * (p.start + p.end) for p in patches] or [0.5 * length]
        self.reference = walls.rings(np.array([np.mean(middles)]))
        self.plane, self.warping = self._functions(section.modes_of(self.reference))
        self.planes = self.plane.shape[-1] + 3
        self.count = 2 * self.planes + self.warping.shape[-1] + 3
        self.x = self._mesh(ribs)
        self.middle = 0.5 * (self.x[1:] + self.x[:-1])
        ring = walls.rings(self.middle)
        functions = self.functions(ring)
        self.block = 2 * self.count  # unknowns from one node to the next
        self.node = 2 * self.planes + self.count - self.planes
        facet, xi, weight = section.gauss_points(ring)
        E = section.strains(ring, functions, facet, xi)
        S = section.matrices_between(ring, E, E, facet, weight)
        columns = [self._band(p, ring, functions) for p in patches] + [self._point(s) for s in points]
        self.amplitudes = self._solve(S, ring, ribs, ends, np.concatenate(columns, axis=1))
        stretch = Functions(np.zeros((*ring.nodes.shape[:2], 0)), section.stretches(ring))
        stretched = section.strains(ring, stretch, facet, xi)
        stretched = stretched._replace(tilt=stretched.tilt[..., :0])
        between = section.matrices_between(ring, stretched, E, facet, weight)
        self.hoop = self._hoop_force(~self._shaped(ribs, ends, points), between, ring, stretch)

    def _functions(self, modes: Modes) -> tuple[Array, Array]:
        """Distortion shapes (1, node, 3, function); warping of these, of twist and of shear lag (node, function)."""
        ring, chosen = self.reference, [np.eye(len(modes.eigenvalue))[:, :MODES]]
        nothing = Functions(np.zeros((1, ring.nodes.shape[1], 0)), modes.plane)
        for patch in self.patches:
            facet, xi, weight = section.gauss_points(ring, patch.facets)
            U = section.outer_motion(ring, nothing, facet, xi)[0, :, 1:, : modes.plane.shape[-1]]
            t, r = ring.tangent[0, facet], _outer(ring, facet, xi)[0]
            n = np.stack([-t[:, 1], t[:, 0]], axis=-1)
            pull = np.stack(
                [np.ones_like(r) * [1, 0], np.ones_like(r) * [0, 1], np.stack([-r[:, 1], r[:, 0]], -1)]
            )
            along = np.stack([(pull * t).sum(-1), (pull * n).sum(-1)], axis=-1)
            work = np.einsum("q,qif,lqi->fl", weight[0], U, along)
            chosen.append(work / modes.eigenvalue[:, None])
        root = np.sqrt(modes.eigenvalue)[:, None]
        F = _independent(root * np.concatenate(chosen, axis=1), SMALL**0.5) / root
        y, z = ring.nodes[0].T
        warping = np.concatenate([modes.twist[:, None], modes.warping @ F, modes.lag[:, :LAG]], axis=1)
        area = np.sqrt(0.5 * (ring.length + np.roll(ring.length, 1, axis=1)))[0, :, None]
        plain = np.stack([np.ones_like(y), y, z], axis=1)
        every = _independent(area * np.concatenate([plain, warping], axis=1), SMALL) / area
        return modes.plane @ F, every[:, 3:]

    def functions(self, ring: Ring) -> Functions:
        """The functions on rings: rigid ones of each ring, the others carried from the reference."""
        shape = (*ring.nodes.shape[:2], self.warping.shape[-1])
        own = np.concatenate([np.ones((*shape[:2], 1)), ring.nodes], axis=-1)
        warping = np.concatenate([own, np.broadcast_to(self.warping, shape)], axis=-1)
        plane = np.concatenate([section.rigid(ring), section.carried(ring, self.plane)], axis=-1)
        return Functions(warping, plane)

    def _mesh(self, ribs: Sequence[Hoop]) -> Array:
        """Stations of the nodes (node,) [m]."""
        girth = float(self.reference.length.sum())
        edges = [s for p in self.patches for s in (p.start, p.end)] + [r.station for r in ribs]
        joints = _apart(np.array([0.0, *edges, self.length]), 1e-6 * self.length)
        near = NEAR * girth
        fine = [(p.start - near, p.end + near) for p in self.patches] + [
            (r.station - near, r.station + near) for r in ribs
        ]
        fine += [(0.0, near), (self.length - near, self.length)]
        bounds = np.clip(np.ravel(fine), 0.0, self.length)
        lone = np.abs(bounds[:, None] - joints).min(axis=1) > 0.25 * near
        joints = _apart(np.concatenate([joints, bounds[lone]]), 0.1 * near, keep=joints)
        nodes = [np.zeros(1)]
        for a, b in pairwise(joints):
            m = 0.5 * (a + b)
            size = FINE if any(low <= m <= high for low, high in fine) else COARSE
            nodes.append(np.linspace(a, b, 1 + int(np.ceil((b - a) / (size * girth) - 1e-9)))[1:])
        return np.concatenate(nodes)

    def _elements(self, x: Array) -> tuple[Indices, Array]:
        """Element of stations (station,), the inboard one at a node, and the fraction of it."""
        e = np.clip(np.searchsorted(self.x, x - 1e-9 * self.length) - 1, 0, len(self.x) - 2)
        return e, (x - self.x[e]) / (self.x[e + 1] - self.x[e])

    def _dofs(self, start: Indices) -> tuple[Indices, Indices]:
        """Unknowns of the shapes (..., 4, plane) and of the warping (..., 3, function) of elements."""
        P, H = self.planes, self.count - self.planes
        plane, warp = np.arange(P), np.arange(H)
        at = self.block * np.asarray(start)[..., None, None]
        g = np.array([0, P, self.block, self.block + P])[:, None] + plane
        h = np.array([2 * P, 2 * P + H, self.block + 2 * P])[:, None] + warp
        return at + g, at + h

    def _traction(self, patch: Patch, ring: Ring, functions: Functions) -> tuple[Indices, Array]:
        """Elements of a patch; work (element, point, unknown, 6) of unit loads about its middle."""
        e = np.flatnonzero((self.middle > patch.start) & (self.middle < patch.end))
        mine, own = ring.take(e), Functions(functions.warping[e], functions.plane[e])
        facet, xi, ds = section.gauss_points(mine, patch.facets)
        U = section.outer_motion(mine, own, facet, xi)
        h = np.diff(self.x)[e, None]
        face, t = _outer(mine, facet, xi), mine.tangent[:, facet]
        lever = np.zeros((len(e), len(POINTS), len(facet), 3))
        lever[..., 0] = (self.x[e, None] + h * POINTS - 0.5 * (patch.start + patch.end))[..., None]
        lever[..., 1:] = face[:, None]
        field = np.zeros((*lever.shape, 6))  # traction a + b x r of unit a, b
        field[..., :3] = np.eye(3)
        for i, j, k in ((0, 1, 2), (1, 2, 0), (2, 0, 1)):
            field[..., j, 3 + i], field[..., k, 3 + i] = -lever[..., k], lever[..., j]
        area = (h * SHARES)[..., None] * ds[:, None]
        grip = np.einsum("exq,exqic,exqid->cd", area, field, field)
        n = np.stack([-t[..., 1], t[..., 0]], axis=-1)
        # components on x, s, n of each wall
        turned = np.stack(
            [field[..., 0, :], *(np.einsum("eqi,exqic->exqc", a, field[..., 1:, :]) for a in (t, n))], axis=-2
        ) @ np.linalg.inv(grip)
        return e, np.einsum("exq,eqif,exqic->exfc", area, U, turned, optimize=True)

    def _band(self, patch: Patch, ring: Ring, functions: Functions) -> Array:
        """Work of six unit loads of a patch about the axis at its middle, (unknown, 6)."""
        e, q = self._traction(patch, ring, functions)
        phi, psi = (shapes(POINTS, np.diff(self.x)[e, None])[0] for shapes in (_hermite, _quadratic))
        g = np.einsum("exk,exfc->ekfc", phi, q[:, :, : self.planes])
        warp = np.einsum("exk,exfc->ekfc", psi, q[:, :, self.planes :])
        out = np.zeros((self.block * (len(self.x) - 1) + self.node, 6))
        for where, what in zip(self._dofs(e), (g, warp), strict=True):
            np.add.at(out, where, what)
        return out

    def _shaped(self, ribs: Sequence[Hoop], ends: Ends, points: Sequence[float]) -> NDArray[np.bool_]:
        """Nodes (node,) where a rib, an end, a rigid fitting or a load without a patch acts on the shape."""
        out = np.zeros(len(self.x), dtype=bool)
        out[[0, -1]] = ends.shape
        for patch in self.patches:
            out |= patch.rigid & (self.x > patch.start - 1e-9) & (self.x < patch.end + 1e-9)
        for rib in ribs:
            out[np.argmin(np.abs(self.x - rib.station))] = True
        e, xi = self._elements(np.array(points))
        out[e[xi < 1 - 1e-6]] = out[e + 1] = True
        return out

    def _hoop_force(self, free: NDArray[np.bool_], S: Array, ring: Ring, stretch: Functions) -> Array:
        """Ny of the facets about each node, (node, facet, load): what balances the shapes that stretch the facets.

        Where something else acts on the shape of the section, Ny is that between the `free` nodes.
        """
        h, elements = np.diff(self.x)[:, None], len(self.x) - 1
        phi = _hermite(POINTS, h)[..., [0, 2]]
        d = self.at((self.x[:-1, None] + h * POINTS).ravel())
        d = np.moveaxis(d.reshape(2, elements, len(POINTS), self.count, -1), 2, 3)
        flat = d.reshape(2, elements, self.count, -1)
        inner = [
            (S[a, 0] @ flat[0] + S[a, 1] @ flat[1]).reshape(elements, -1, *d.shape[3:]) for a in range(2)
        ]
        force = -sum(
            np.einsum("exk,efxc->ekfc", (h * SHARES)[..., None] * phi[a], inner[a]) for a in range(2)
        )
        for i, patch in enumerate(self.patches):
            e, q = self._traction(patch, ring, stretch)
            force[e, ..., 6 * i : 6 * i + 6] += np.einsum(
                "exk,exfc->ekfc", phi[0][e], q[:, :, : force.shape[2]]
            )
        total = np.zeros((elements + 1, *force.shape[2:]))
        total[:-1] += force[:, 0]
        total[1:] += force[:, 1]
        share = np.zeros(elements + 1)
        share[:-1] += 0.5 * h[:, 0]
        share[1:] += 0.5 * h[:, 0]
        if not free.any():
            return np.zeros_like(total)
        between = np.stack([np.interp(self.x, self.x[free], one) for one in np.eye(free.sum())], axis=-1)
        return np.asarray(np.tensordot(between, (total / share[:, None, None])[free], axes=1))

    def _point(self, s: float) -> Array:
        """Work of six unit loads on the rigid motion of the section at a station, (unknown, 6)."""
        e, xi = self._elements(np.array([s]))
        h = np.diff(self.x)[e]
        phi, psi = _hermite(xi, h)[0][0], _quadratic(xi, h)[0][0]
        out = np.zeros((self.block * (len(self.x) - 1) + self.node, 6))
        g, w = (dof[0] for dof in self._dofs(e))
        for load, function in ((1, 0), (2, 1), (3, 2)):
            out[g[:, function], load] = phi
        for load, function, sign in ((0, 0, 1.0), (4, 2, 1.0), (5, 1, -1.0)):
            out[w[:, self.planes + function], load] = sign * psi
        return out

    def _solve(self, S: Array, ring: Ring, ribs: Sequence[Hoop], ends: Ends, load: Array) -> Array:
        """Unknowns (unknown, load) by banded Cholesky factors."""
        P, count, elements = self.planes, self.count, len(self.x) - 1
        H = count - P
        K = self._stiffness(S)
        g, h = self._dofs(np.zeros(1, dtype=int))
        order = np.concatenate([g[0].ravel(), h[0].ravel()])
        size = len(order)
        sorted_K = np.empty_like(K)
        sorted_K[:, order[:, None], order] = K
        rows, columns = np.tril_indices(size)
        banded = np.zeros((size, self.block * elements + self.node))
        for e in range(elements):
            banded[rows - columns, columns + self.block * e] += sorted_K[e, rows, columns]
        fixed = np.zeros(banded.shape[1], dtype=bool)
        at = self.block * np.arange(elements + 1)
        shape = np.arange(3, P)
        # the root holds the rigid motion: its reaction is that of the supports there
        fixed[[0, 1, 2, 3 * P, 3 * P + 1, 3 * P + 2]] = True
        for end, keeps, plane in zip((at[0], at[-1]), ends.shape, ends.warping, strict=True):
            fixed[end + shape] |= keeps
            fixed[end + 2 * P + np.r_[np.arange(P), np.arange(P + 3, H)]] |= plane
        for p in self.patches:
            if p.rigid:
                inside = (self.x > p.start - 1e-9) & (self.x < p.end + 1e-9)
                fixed[(at[inside, None] + np.r_[shape, P + shape]).ravel()] = True
        for rib in ribs:
            node = int(np.argmin(np.abs(self.x - rib.station)))
            if np.isinf(rib.stiffness):
                fixed[at[node] + shape] = True
                continue
            i, j = np.tril_indices(P)
            bending = self._ring_bending(self.walls.rings(self.x[[node]]))
            banded[i - j, at[node] + j] += rib.stiffness * bending[i, j]
        free = ~fixed
        for k in range(size):
            n = banded.shape[1] - k
            banded[k, :n] *= free[:n] & free[k:]
        banded[0] += fixed
        scale = 1 / np.sqrt(banded[0])
        for k in range(size):
            n = banded.shape[1] - k
            banded[k, :n] *= scale[:n] * scale[k:]
        factor = cholesky_banded(banded, lower=True, overwrite_ab=True, check_finite=False)
        right = (scale * free)[:, None] * load
        return scale[:, None] * np.asarray(cho_solve_banded((factor, True), right, check_finite=False))

    def _ring_bending(self, ring: Ring) -> Array:
        """Integral around of the products of ky of the shapes (plane, plane)."""
        facet, xi, weight = section.gauss_points(ring)
        ky = section.strains(ring, self.functions(ring), facet, xi).plane[0, :, 0]
        return np.asarray((weight[0, :, None] * ky).T @ ky)

    def _stiffness(self, S: Array) -> Array:
        """Element matrices (element, unknown, unknown): shapes by their four amplitudes, then warping by its three."""
        P, elements = self.planes, len(self.x) - 1
        H = self.count - P
        h = np.diff(self.x)[:, None]
        phi, psi = _hermite(POINTS, h), _quadratic(POINTS, h)
        weight = h * SHARES
        out = np.empty((elements, 4 * P + 3 * H, 4 * P + 3 * H))

        def block(one: Array, other: Array, part: Array) -> Array:
            I = np.einsum("ex,aexk,bexl->eklab", weight, one, other, optimize=True)
            k, l, m = I.shape[1], I.shape[2], part.shape[-2]
            sums = I.reshape(elements, k * l, -1) @ np.moveaxis(part, 2, 0).reshape(
                elements, len(one) * len(other), -1
            )
            return np.asarray(np.moveaxis(sums.reshape(elements, k, l, m, -1), 2, 3)).reshape(
                elements, k * m, -1
            )

        out[:, : 4 * P, : 4 * P] = block(phi, phi, S[..., :P, :P])
        out[:, 4 * P :, : 4 * P] = block(psi, phi, S[..., P:, :P])
        out[:, : 4 * P, 4 * P :] = np.swapaxes(out[:, 4 * P :, : 4 * P], -1, -2)
        out[:, 4 * P :, 4 * P :] = block(psi, psi, S[..., P:, P:])
        return out

    def at(self, x: Array) -> Array:
        """d, d' at stations (station,) for every load, (2, station, unknown, load)."""
        e, xi = self._elements(x)
        h = np.diff(self.x)[e]
        g, w = self._dofs(e)
        plane = np.einsum("ask,skfl->asfl", _hermite(xi, h), self.amplitudes[g])
        warping = np.einsum("ask,skfl->asfl", _quadratic(xi, h), self.amplitudes[w])
        return np.concatenate([plane, warping], axis=2)

    def wall_loads(self, x: Array, places: Array, *, whole: bool = False) -> Array:
        """Nx, Ny, Nxy, Mx, My, Mxy beyond those of beam theory, (station, wall, place, 6, load); `whole`: with them."""
        contour, facets, count = self.walls.contour(x), self.walls.facets, len(self.walls.facets.names)
        ring, d = section.ring_of(contour, facets, *self.walls.lay_up(x)), self.at(x)
        functions = self.functions(ring)
        wall = np.repeat(np.arange(count), len(places))
        facet, xi = (
            np.concatenate(one) for one in zip(*(facets.find(i, places) for i in range(count)), strict=True)
        )
        E = section.strains(ring, functions, facet, xi)
        if not whole:
            each, at, weight = section.gauss_points(ring)
            around = section.strains(ring, functions, each, at)
            S = section.matrices_between(ring, around, around, each, weight)
            states, per_force = section.prismatic_states(S, self.planes)
            d = d - states @ np.linalg.solve(per_force, section.resultants(S, self.planes, d))
        out = np.zeros((len(x), len(facet), 6, d.shape[-1]))
        out[:, :, section.KEPT] = ring.law[:, facet, :5] @ E.times(d)
        out[:, :, 1] = self._hoop_at(x, facet, xi)
        if not whole:
            axial, shear = section.balanced(contour, facets, ring, around, each, at, d)
            r, t = section.true_places(contour, wall, np.tile(places, count))
            out[:, :, 0] += axial[:, None, 0] + r @ axial[:, 1:]
            arm = r[..., 0] * t[..., 1] - r[..., 1] * t[..., 0]
            out[:, :, 2] += t @ shear[:, :2] + arm[..., None] * shear[:, None, 2]
        return out.reshape(len(x), count, len(places), 6, -1)

    def _hoop_at(self, x: Array, facet: Indices, xi: Array) -> Array:
        """Ny (station, point, load), linear from node to node and from the middle of a facet to the next."""
        e, part = self._elements(x)
        there = self.hoop[e] + part[:, None, None] * (self.hoop[e + 1] - self.hoop[e])
        before, after = np.maximum(0.5 - xi, 0.0)[:, None], np.maximum(xi - 0.5, 0.0)[:, None]
        count = self.hoop.shape[1]
        return np.asarray(
            before * there[:, facet - 1]
            + after * there[:, (facet + 1) % count]
            + (1 - before - after) * there[:, facet]
        )


def _independent(columns: Array, cut: float) -> Array:
    """Columns, each less what those before it hold; those that add less than `cut` of their own size are left out."""
    kept = np.zeros((len(columns), 0))
    for column in columns.T:
        rest = column
        for _ in range(2):
            rest = rest - kept @ (kept.T @ rest)
        if np.linalg.norm(rest) > cut * np.linalg.norm(column):
            kept = np.column_stack([kept, rest / np.linalg.norm(rest)])
    return kept


def _apart(values: Array, least: float, keep: Array | None = None) -> Array:
    """Sorted values, each farther than `least` from the one before; those of `keep` stay."""
    out: list[float] = [] if keep is None else list(keep)
    for v in np.sort(values):
        if not out or min(abs(v - o) for o in out) > least:
            out.append(float(v))
    return np.sort(out)


def _outer(ring: Ring, facet: Indices, xi: Array) -> Array:
    """Points (section, point, 2) of the outer face [m]."""
    t, middle = ring.tangent[:, facet], ring.nodes[:, facet] + xi[:, None] * ring.chord[:, facet]
    n = np.stack([-t[..., 1], t[..., 0]], axis=-1)
    return np.asarray(middle + 0.5 * ring.thickness[:, facet, None] * n)


def _hermite(x: Array, h: Array) -> Array:
    """Hermite cubics by value and slope at both ends, with their derivatives, (2, ..., 4), at fractions of elements."""
    x, h = np.broadcast_arrays(x, h)
    value = [1 - 3 * x**2 + 2 * x**3, h * (x - 2 * x**2 + x**3), 3 * x**2 - 2 * x**3, h * (x**3 - x**2)]
    slope = [(6 * x**2 - 6 * x) / h, 1 - 4 * x + 3 * x**2, (6 * x - 6 * x**2) / h, 3 * x**2 - 2 * x]
    return np.stack([np.stack(one, axis=-1) for one in (value, slope)])


def _quadratic(x: Array, h: Array) -> Array:
    """Quadratics by value at the start, the middle and the end, with their derivatives, (2, ..., 3)."""
    x, h = np.broadcast_arrays(x, h)
    value = [(1 - x) * (1 - 2 * x), 4 * x * (1 - x), x * (2 * x - 1)]
    slope = [(4 * x - 3) / h, (4 - 8 * x) / h, (4 * x - 1) / h]
    return np.stack([np.stack(one, axis=-1) for one in (value, slope)])
