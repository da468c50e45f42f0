"""The strut in bricks: supports, ribs, bands and loads on the mesh, one factorization, and what is read from it.

What is rigid (a rib or a fitting in its plane, a plane end) has few motions of its own, q. The other unknowns z are
factored once; motions q and support reactions l stand in a small border behind it:

    [K_zz  K_zq  C_z'] [z]   [f_z]
    [K_qz  K_qq  C_q'] [q] = [f_q]       C: rows of the supports on the motion of a section, F: their flexibility
    [C_z   C_q   -F  ] [l]   [0  ]

Loads and reactions enter alike: over the band at their station, else spread over the section as beam theory spreads
section forces; the motion of a support is the one on which these forces do their work. Cure and moisture act on the
strut as it leaves the mold, free of fittings and supports. Supports that are more than six then hold back what it does
after assembly: C u - F l is minus that motion.
"""

from functools import cached_property
from typing import Annotated, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beam.section.solid.orthotropic import ply_axes, strain_transform
from beam.strut.axis import SNAP, snap
from beam.strut.bricks.brick_elements import (
    BARLOW,
    Index,
    cubic,
    element_matrices,
    gauss_places,
    material,
    of_plies,
    shapes,
    smeared,
    spread,
    strain_operator,
)
from beam.strut.bricks.brick_mesh import RESIN, USUAL, Density, StrutMesh, mesh_strut
from beam.strut.bricks.dissection import Factor
from beam.strut.introductions import Band
from beam.strut.point_loads import PointLoads
from beam.strut.strut import Strut
from materials import Lamina
from materials.checks import Array, Frozen, Limits, checked, reject

Station = Annotated[float, Limits("m", at_least=0.0)]
Stations = Annotated[ArrayLike, Limits("m", shape=(-1,), at_least=0.0)]
Fractions = Annotated[
    ArrayLike,
    Limits("-", shape=(-1,), at_least=0.0, at_most=1.0, cause="a fraction of the wall, not a length"),
]
MIDDLE = (0.5,)
Flags = NDArray[np.bool_]
INSIDE = np.array([0.0, 1.0])


class PlyStates(NamedTuple):
    """Strain and stress of the plies of one wall at one station, as `Bricks.ply_states` returns them.

    Parameters
    ----------
    strain : ndarray, shape (case, place, ply, surface, 6)
        Under load, in ply axes, components (11, 22, 33, 23, 13, 12), shear engineering [-].
    stress : ndarray, shape (case, place, ply, surface, 6)
        Likewise [Pa].
    cure_strain : ndarray, shape (2, place, ply, surface, 6)
        Per kelvin above the stress-free temperature and per mass fraction of moisture, less the free part [1/K], [-].
    cure_stress : ndarray, shape (2, place, ply, surface, 6)
        Likewise [Pa/K], [Pa].
    restraint_strain : ndarray, shape (2, place, ply, surface, 6)
        What redundant supports add, per kelvin and per mass fraction of moisture since assembly [1/K], [-].
    restraint_stress : ndarray, shape (2, place, ply, surface, 6)
        Likewise [Pa/K], [Pa].
    """

    strain: Array
    stress: Array
    cure_strain: Array
    cure_stress: Array
    restraint_strain: Array
    restraint_stress: Array


class Bricks(Frozen):
    """A strut solved in bricks under its load cases; the result of `solve`.

    Parameters
    ----------
    strut : Strut
        The strut.
    loads : PointLoads
        Loads of shape (case, load, 3).
    mesh : StrutMesh
        Elements and where they lie.
    per_load : ndarray, shape (unknown, load, 6)
        Displacements per unit force and moment of each load [m/N], [1/N].
    reactions_per_load : ndarray, shape (direction, load, 6)
        Reactions of the supports per unit force and moment [-], [m].
    rows : ndarray, shape (direction, unknown)
        Motion of the supports per displacement [-], [1/m].
    per_gap : ndarray, shape (unknown + direction, redundant)
        Displacements, and below them reactions, per unit motion of the supports, none on six
        directions or fewer [-], [N/m].

    Examples
    --------
    >>> from beam import BookPly, MoldLine, PlyBook
    >>> from materials import lamina
    >>> line = MoldLine(root=[0, 0, 0.3], tip=[0, 0, 0], stations=[0, 0.3], width=[0.1, 0.1], height=[0.08, 0.08],
    ...                 corner_radius=[0.02, 0.02])
    >>> tape = BookPly(lamina=lamina("AS4/3501-6"), angle_deg=0.0, walls=line.wall_names, start=0.0, end=0.3)
    >>> strut = Strut(line, PlyBook([tape] * 40))
    >>> pull = PointLoads(at=[0.3], force=[[[1e4, 0, 0]]])
    >>> found = solve(strut, pull, Density(per_corner=4, per_face=2, size=0.05, fine=0.02))
    >>> beam = strut.section(0.15).wall_loads([1e4, 0, 0, 0, 0, 0])[0, 0]
    >>> round(float(found.wall_loads([0.15])[0, 0, 0, 0, 0] / beam), 2)
    1.0
    """

    strut: Strut
    loads: PointLoads
    mesh: StrutMesh
    per_load: Array
    reactions_per_load: Array
    rows: Array
    per_gap: Array

    def __post_init__(self) -> None:
        # Results of `solve` are not read again: large arrays are not copied.
        for values in (self.per_load, self.reactions_per_load, self.rows, self.per_gap):
            values.setflags(write=False)

    @cached_property
    def cure(self) -> Array:
        """Displacements (unknown, 2) of the free strut per kelvin and per mass fraction of moisture [m/K], [m]."""
        K, warm = element_matrices(self.mesh.grid)
        unknowns, size = _element_unknowns(self.mesh), self.mesh.grid.points.size
        heat = np.zeros((size, 2))
        np.add.at(heat, unknowns, warm)
        anchors = _anchors(self.mesh, np.zeros(size, dtype=bool))
        held, none = np.asarray(anchors.any(axis=1)), (np.zeros((0, size)), np.zeros(0))
        return _bordered(K, unknowns, anchors, held, *none, heat, self.mesh.grid.columns)[0]

    @cached_property
    def _restraint(self) -> Array:
        """Displacements, then reactions, (unknown + direction, 2) that redundant supports make of `cure`."""
        if not self.per_gap.size:
            return np.zeros((len(self.per_load) + len(self.rows), 2))
        return -self.per_gap @ (self.rows @ self.cure)

    @property
    def restraint_reactions(self) -> Array:
        """What redundant supports put on the strut, (direction, 2), per kelvin and per mass fraction since assembly."""
        return self._restraint[len(self.per_load) :]

    @property
    def reactions(self) -> Array:
        """What the supports put on the strut in their directions, shape (case, direction) [N], [N m]."""
        return np.einsum("dlw,clw->cd", self.reactions_per_load, self.loads.wrench)

    @checked
    def motion(self, stations: Stations) -> Array:
        """Mean motion of sections, as the beam's displacement.

        Parameters
        ----------
        stations : array_like, shape (station,)
            Stations; the nearest planes of nodes count [m].

        Returns
        -------
        ndarray, shape (case, station, 6)
            Translations and rotations in strut axes [m], [rad].
        """
        x = self.mesh.grid.points[:, 0, 0, 0]
        planes = [int(np.argmin(np.abs(x - s))) for s in np.asarray(stations).tolist()]
        flat = self.per_load.reshape(len(self.per_load), -1)
        per = np.stack([mean_motion(self.mesh, p) @ flat[_of_plane(self.mesh, p)] for p in planes])
        return np.einsum("sml,cl->csm", per, self._wrench)

    @checked
    def displacement(self, station: Station, at: Fractions = MIDDLE, *, height: Fractions = MIDDLE) -> Array:
        """Displacement of points of the walls.

        Parameters
        ----------
        station : float
            Along the axis [m].
        at : array_like, shape (place,)
            Fractions of each wall [-].
        height : array_like, shape (height,)
            Fractions of its thickness from the inner face [-].

        Returns
        -------
        ndarray, shape (case, wall, place, height, 3)
            In strut axes [m].
        """
        where = self._where(np.array([station]), np.asarray(at), clear=False)
        heights = np.asarray(height)
        local = np.stack([where.along, where.around], axis=-1)
        u = self._unknowns(where.element, self.per_load.reshape(len(self.per_load), -1))
        out = []
        for place, mine in zip(local, u, strict=True):
            shape, _ = shapes(spread(place[None], heights))
            out.append(np.einsum("hn,nil->hil", shape, mine.reshape(27, 3, -1)))
        walls = len(self.strut.mold_line.wall_names)
        per = np.stack(out).reshape(walls, -1, len(heights), 3, self._wrench.shape[1])
        return np.asarray(np.einsum("wphil,cl->cwphi", per, self._wrench))

    @checked
    def wall_loads(self, stations: Stations, at: Fractions = MIDDLE) -> Array:
        """Running loads of the walls, integrated through their thickness.

        Parameters
        ----------
        stations : array_like, shape (station,)
            Along the axis; a station inside a wedge at an end of plies counts as the thin end of the wedge [m].
        at : array_like, shape (place,)
            Fractions of each wall [-].

        Returns
        -------
        ndarray, shape (case, station, wall, place, 6)
            (Nx, Ny, Nxy) [N/m] and (Mx, My, Mxy) [N] about mid-thickness.

        Notes
        -----
        N = integral of the stress over the height, M of the stress times z, on curved walls as on flat ones: as A, B, D
        have them, without the factor (1 + z/R) of shells.
        """
        where = self._where(np.asarray(stations), np.asarray(at))
        (per,) = self._strains(where, self.per_load.reshape(len(self.per_load), -1))
        walls, places = len(self.strut.mold_line.wall_names), np.asarray(at).size
        out = np.empty((len(per), 6, per.shape[-1]))
        for (station, wall), mine in _by_wall(where, walls, places):
            laminate_z, stiff, t = self._stack(float(np.asarray(stations)[station]), wall)
            e = np.einsum("zm,nmil->nzil", cubic(laminate_z.ravel()), per[mine])
            e = e.reshape(len(mine), *laminate_z.shape, 6, -1)
            stress = np.einsum("pij,nphjl->nphil", stiff, e)[..., [0, 1, 5], :]
            z = (laminate_z - 0.5) * t.sum()
            weight = np.array([1.0, 4.0, 1.0]) / 6 * t[:, None]
            out[mine, :3] = np.einsum("nphil,ph->nil", stress, weight)
            out[mine, 3:] = np.einsum("nphil,ph->nil", stress, weight * z)
        shape = (-1, walls, places, 6, per.shape[-1])
        return np.asarray(np.einsum("swpil,cl->cswpi", out.reshape(shape), self._wrench))

    @checked
    def face_strain(self, stations: Stations, at: Fractions = MIDDLE) -> Array:
        """Strain at the inner and the outer face of the walls.

        Parameters
        ----------
        stations : array_like, shape (station,)
            Along the axis; inside a wedge at an end of plies its thin end counts [m].
        at : array_like, shape (place,)
            Fractions of each wall [-].

        Returns
        -------
        ndarray, shape (case, station, wall, place, 2, 3)
            (ex, ey, gxy) in wall axes, inner face first [-].
        """
        where = self._where(np.asarray(stations), np.asarray(at))
        (per,) = self._strains(where, self.per_load.reshape(len(self.per_load), -1))
        faces = np.einsum("fm,nmil->nfil", cubic(INSIDE), per[:, :, [0, 1, 5]])
        shape = (np.size(stations), len(self.strut.mold_line.wall_names), np.size(at), 2, 3, faces.shape[-1])
        return np.asarray(np.einsum("swpfil,cl->cswpfi", faces.reshape(shape), self._wrench, optimize=True))

    @checked
    def ply_states(self, station: Station, wall: str, at: Fractions = MIDDLE) -> PlyStates:
        """Strain and stress, all six components, at the surfaces of the plies of a wall.

        Parameters
        ----------
        station : float
            Along the axis; inside a wedge at an end of plies its thin end counts [m].
        wall : str
            Name of the wall.
        at : array_like, shape (place,)
            Fractions of the wall [-].

        Returns
        -------
        PlyStates
            In ply axes, the inner ply first.

        Notes
        -----
        Strain at the four most accurate points of an element, carried on linearly in its plane, cubic through the wall.
        Components 11, 22, 12 are as good as the strain of the wall. Stress 33, 23, 13 is common to the plies of a stack
        and, with one element through the wall, right in the mean over it: its peak in a corner is about 1.5 times that.
        """
        names = self.strut.mold_line.wall_names
        if wall not in names:
            reject("Bricks.ply_states: wall", repr(wall), f"one of {', '.join(names)}")
        every = self._where(np.array([station]), np.asarray(at))
        number = names.index(wall)
        where = _Where(*(part[every.wall == number] for part in every))
        restraint = self._restraint[: len(self.per_load)]
        per, cure, held = self._strains(
            where, self.per_load.reshape(len(self.per_load), -1), self.cure, restraint
        )
        z, smooth, _ = self._stack(station, number)
        plain, turn, own = self._plies(station, wall)
        in_wall = np.swapaxes(turn, 1, 2) @ plain @ turn
        own = np.asarray(np.linalg.solve(turn[:, None], own[..., None])[..., 0], dtype=np.float64)
        share = self.strut.ply_book.laminate(wall, station).ply_thickness
        free = smeared(in_wall, own, share / share.sum())[1]
        weights = cubic(z[:, [0, 2]])
        load = np.einsum("phm,nmbl,cl->cnphb", weights, per, self._wrench, optimize=True)
        none = np.zeros((len(z), 6))
        load = of_plies(smooth, in_wall, none, load)
        held = of_plies(smooth, in_wall, none, np.einsum("phm,nmbl->lnphb", weights, held, optimize=True))
        rest = (
            np.einsum("phm,nmbl->lnphb", weights, cure, optimize=True)
            - np.swapaxes(free, 0, 1)[:, None, :, None]
        )
        each = [of_plies(smooth, in_wall, (free - own)[:, k], rest[k]) for k in range(2)]
        strain = [np.einsum("pab,...phb->...pha", turn, one) for one in (load, np.stack(each), held)]
        stress = [np.einsum("pab,...phb->...pha", plain, one) for one in strain]
        return PlyStates(*(one for both in zip(strain, stress, strict=True) for one in both))

    @property
    def _wrench(self) -> Array:
        """Forces and moments of the cases, (case, load x 6) [N], [N m]."""
        return self.loads.wrench.reshape(len(self.loads.force), -1)

    def _plies(self, station: float, wall: str) -> tuple[Array, Array, Array]:
        """Stiffness (ply, 6, 6) in ply axes, turn of strain from wall to ply (ply, 6, 6), expansion (ply, 2, 6)."""
        plies = self.strut.ply_book.laminate(wall, station).plies
        solid = {lamina: material(lamina) for lamina in dict.fromkeys(ply.lamina for ply in plies)}
        turn = strain_transform(ply_axes(np.radians([ply.angle_deg for ply in plies])))
        C = np.stack([solid[ply.lamina][0].stiffness for ply in plies])
        return C, turn, np.stack([solid[ply.lamina][1] for ply in plies])

    def _where(self, stations: Array, places: Array, *, clear: bool = True) -> "_Where":
        """Elements and local places of (station, wall, place); `clear` keeps out of wedges of plies."""
        mesh, strut = self.mesh, self.strut
        s = np.asarray(snap(stations, strut.bays, strut.mold_line.length))
        if (s > strut.mold_line.length * (1 + SNAP)).any():
            reject("bricks: stations [m]", f"{s.max():g}", f"at most the tip, {strut.mold_line.length:g}")
        bay = np.clip(np.searchsorted(strut.bays, s, side="right") - 1, 0, len(strut.bays) - 2)
        inner = np.clip(s, *mesh.core[bay].T) if clear else s
        low, high = np.searchsorted(mesh.lines, mesh.core[bay].T - 1e-9)
        row = np.searchsorted(mesh.lines, inner, side="right") - 1
        row = np.clip(row, low, high - 1) if clear else np.clip(row, 0, len(mesh.lines) - 2)
        walls = len(strut.mold_line.wall_names)
        column, fraction = np.empty((walls, len(places)), dtype=np.intp), np.empty((walls, len(places)))
        for wall in range(walls):
            mine = np.flatnonzero(mesh.wall == wall)
            if clear and wall % 2 == 0:
                mine = mine[self._clear[mine]]
            edge = mesh.along[mine]
            at = np.clip(places, edge[0, 0], edge[-1, 1])
            k = np.clip(np.searchsorted(edge[:, 0], at, side="right") - 1, 0, len(mine) - 1)
            column[wall], fraction[wall] = mine[k], (at - edge[k, 0]) / (edge[k, 1] - edge[k, 0])
        along = (inner - mesh.lines[row]) / (mesh.lines[row + 1] - mesh.lines[row])
        shape = (len(s), walls, len(places))
        element = row[:, None, None] * len(mesh.wall) + column
        return _Where(
            element=element.ravel(),
            along=np.broadcast_to(along[:, None, None], shape).ravel(),
            around=np.broadcast_to(fraction, shape).ravel(),
            station=np.broadcast_to(np.arange(len(s))[:, None, None], shape).ravel(),
            wall=np.broadcast_to(np.arange(walls)[:, None], shape).ravel(),
        )

    @cached_property
    def _clear(self) -> Array:
        """Which elements around have whole plies in some row, (element around,)."""
        whole = (self.mesh.grid.layers.present == self.mesh.grid.layers.present[:, :1]).all(axis=(1, 2))
        return np.asarray(whole[self.mesh.grid.kinds].any(axis=0))

    def _unknowns(self, elements: Index, u: Array) -> Array:
        """Displacements (element, 81, column) of elements."""
        columns = self.mesh.grid.columns.reshape(-1, 9)[elements]
        return u.reshape(-1, 9, u.shape[-1])[columns].reshape(len(elements), 81, -1)

    def _strains(self, where: "_Where", *fields: Array) -> list[Array]:
        """Wall strains (request, 4 heights, 6, column) of displacement fields, one array for each."""
        at = spread(np.array([(a, b) for a in BARLOW for b in BARLOW]))
        elements, back = np.unique(where.element, return_inverse=True)
        out = [np.empty((len(where.element), 4, 6, u.shape[-1])) for u in fields]
        lean = [(v - BARLOW[0]) / (BARLOW[1] - BARLOW[0]) for v in (where.along, where.around)]
        weight = np.stack([a * b for a in (1 - lean[0], lean[0]) for b in (1 - lean[1], lean[1])], axis=-1)
        for first in range(0, len(elements), 400):
            block = elements[first : first + 400]
            mine = np.flatnonzero((back >= first) & (back < first + len(block)))
            B = strain_operator(self.mesh.grid.nodes(block), at)[0]
            for u, total in zip(fields, out, strict=True):
                e = (B.reshape(len(block), -1, 81) @ self._unknowns(block, u)).reshape(
                    len(block), 4, 4, 6, -1
                )
                total[mine] = np.einsum("nq,nqmil->nmil", weight[mine], e[back[mine] - first])
        return out

    def _stack(self, station: float, wall: int) -> tuple[Array, Array, Array]:
        """Heights (ply, 3) of the plies of a wall, stiffness (ply, 6, 6), thickness (ply,)."""
        laminate = self.strut.ply_book.laminate(self.strut.mold_line.wall_names[wall], station)
        z = laminate.interfaces / laminate.thickness + 0.5
        C, T, _ = self._plies(station, self.strut.mold_line.wall_names[wall])
        heights = np.stack([z[:-1], (z[:-1] + z[1:]) / 2, z[1:]], axis=-1)
        share = laminate.ply_thickness / laminate.thickness
        smooth, _ = smeared(np.swapaxes(T, 1, 2) @ C @ T, np.zeros((len(C), 2, 6)), share)
        return heights, smooth, laminate.ply_thickness


class _Where(NamedTuple):
    """Requests (station, wall, place) in a row: their element, the place in it, and which station and wall they are."""

    element: Index
    along: Array
    around: Array
    station: Index
    wall: Index


def _by_wall(where: _Where, walls: int, places: int) -> list[tuple[tuple[int, int], Index]]:
    """Station and wall of each run of places, and the requests of it."""
    runs = np.arange(len(where.element)).reshape(-1, places)
    return [((int(where.station[run[0]]), int(where.wall[run[0]])), run) for run in runs]


@checked
def solve(strut: Strut, loads: PointLoads, density: Density = USUAL, *, resin: Lamina = RESIN) -> Bricks:
    """Solve a strut in bricks for all its load cases.

    Parameters
    ----------
    strut : Strut
        The strut, with its bands, ribs, ends and supports.
    loads : PointLoads
        Loads of shape (case, load, 3).
    density : Density
        How fine the mesh is.
    resin : Lamina
        What fills the wedges at ends of plies; isotropic.

    Returns
    -------
    Bricks
        Displacements per unit load, and what follows from them.

    Raises
    ------
    ValueError
        If the mesh is too coarse for the walls, a lamina lacks constants through its thickness, or the supports have
        play.
    ImportError
        If scikit-fem is not installed.

    Notes
    -----
    27-node layered bricks, one through the wall, every ply integrated over its height. One nested-dissection Cholesky
    factor serves all cases, a second one, of the free strut, heat and moisture. A band puts the load on the outer faces
    of its walls as the traction a + b x r that has its force and moment; a rigid one, a plate rib and a closed end keep
    every plane of nodes they touch in shape; a ring rib adds E I to the turning of the wall around the section. Small
    displacements.

    Examples
    --------
    >>> from beam import BookPly, MoldLine, PlyBook
    >>> from materials import lamina
    >>> line = MoldLine(root=[0, 0, 0.2], tip=[0, 0, 0], stations=[0, 0.2], width=[0.1, 0.1], height=[0.08, 0.08],
    ...                 corner_radius=[0.02, 0.02])
    >>> tape = BookPly(lamina=lamina("AS4/3501-6"), angle_deg=0.0, walls=line.wall_names, start=0.0, end=0.2)
    >>> side = PointLoads(at=[0.2], force=[[[0, 1e3, 0]]])
    >>> found = solve(Strut(line, PlyBook([tape] * 40)), side, Density(per_corner=4, per_face=2, size=0.05, fine=0.02))
    >>> found.reactions.round(3) + 0.0
    array([[    0., -1000.,     0.,     0.,     0.,  -200.]])
    """
    held = strut.span.held
    held.refuse_play()
    length = strut.mold_line.length
    if loads.force.ndim != 3:
        reject("bricks.solve: loads", f"force of shape {loads.force.shape}", "(case, load, 3)")
    if (loads.at > length * (1 + SNAP)).any():
        reject("bricks.solve: loads: at [m]", f"{loads.at.max():g}", f"at most the tip, {length:g}")
    alone = tuple(s for s in loads.at.tolist() if strut.band_at(min(s, length)) is None)
    mesh = mesh_strut(strut, density, resin, alone)
    grid = mesh.grid
    K, _ = element_matrices(grid)
    K = _with_ring_ribs(strut, mesh, K)
    size = grid.points.size
    unknowns = _element_unknowns(mesh)
    R, slaved = _rigid(strut, mesh)
    rows = np.array(
        [row @ _entering(strut, mesh, s).T for row, s in zip(held.rows, held.at.tolist(), strict=True)]
    )
    redundant = len(rows) if len(rows) > 6 else 0
    f = np.concatenate(
        [_entering(strut, mesh, s) for s in loads.at.tolist()] + [np.zeros((size, redundant))], axis=1
    )
    count = f.shape[1] - redundant
    gap = np.eye(len(rows), f.shape[1], count)
    both = _bordered(K, unknowns, R, slaved, rows, held.flexibility, f, grid.columns, gap)
    return Bricks(
        strut=strut,
        loads=loads,
        mesh=mesh,
        per_load=both[0][:, :count].reshape(size, -1, 6),
        reactions_per_load=both[1][:, :count].reshape(len(rows), -1, 6),
        rows=rows,
        per_gap=np.concatenate([one[:, count:] for one in both]),
    )


def _bordered(
    K: Array,
    unknowns: Index,
    R: Array,
    slaved: Flags,
    C: Array,
    flexibility: Array,
    f: Array,
    columns: Index,
    gap: Array | float = 0.0,
) -> tuple[Array, Array]:
    """Displacements (unknown, load) and reactions (direction, load) under loads f and motions of the supports `gap`.

    u = z + R q, C u = flexibility l + gap.
    """
    coupling = _product(K, unknowns, R)
    border = R.T @ coupling
    coupling[slaved] = 0.0
    held = slaved[unknowns]
    loose = K.copy()
    loose[np.broadcast_to(held[:, :, None], loose.shape)] = 0.0
    loose[np.broadcast_to(held[:, None, :], loose.shape)] = 0.0
    diagonal = np.einsum("eii->ei", loose)
    diagonal[held] = float(np.abs(K).max())
    factor = Factor(loose.reshape(*columns.shape[:2], 81, 81), columns)
    del loose, diagonal
    V = np.column_stack([coupling, np.where(slaved, 0.0, C).T])
    Y = factor.solve(V)
    Cq = C @ R
    S = np.block([[border, Cq.T], [Cq, -np.diag(flexibility)]]) - V.T @ Y
    q = R.shape[1]
    size = np.sqrt(np.abs(np.diagonal(S)))
    size[q:] = np.maximum(size[q:], np.abs(S[q:, :q] / size[:q]).max(axis=1, initial=0.0))
    S = S / size / size[:, None]
    if len(S) and np.linalg.cond(S) > 1e14:
        reject("bricks: supports", "a mechanism", "enough to hold all six motions")
    u, force = np.zeros_like(f), np.zeros((len(C), f.shape[1]))
    for _ in range(2):  # once, and once for what rounding left
        rest = f - _product(K, unknowns, u) - C.T @ force
        z = factor.solve(np.where(slaved[:, None], 0.0, rest))
        right = np.concatenate([R.T @ rest, flexibility[:, None] * force + gap - C @ u]) - V.T @ z
        x = np.linalg.solve(S, right / size[:, None]) / size[:, None]
        u, force = u + z - Y @ x + R @ x[:q], force + x[q:]
    return u, -force


def _product(K: Array, unknowns: Index, u: Array) -> Array:
    """Forces K u (unknown, column) of displacements u; elements that do not move are left out."""
    out = np.zeros_like(u)
    moving = np.flatnonzero(np.asarray(u.any(axis=1))[unknowns].any(axis=1))
    for first in range(0, len(moving), 400):
        block = moving[first : first + 400]
        np.add.at(out, unknowns[block], K[block] @ u[unknowns[block]])
    return out


def _element_unknowns(mesh: StrutMesh) -> Index:
    """Numbers of the unknowns of every element, (element, 81)."""
    columns = mesh.grid.columns.reshape(-1, 9)
    return np.asarray((9 * columns[..., None] + np.arange(9)).reshape(len(columns), 81), dtype=np.intp)


def _plane(mesh: StrutMesh, station: float) -> int:
    """Plane of nodes at a station [m] that has one."""
    return 2 * int(np.argmin(np.abs(mesh.lines - station)))


def _of_plane(mesh: StrutMesh, plane: int) -> Index:
    """Numbers of the unknowns of a plane of nodes."""
    each = mesh.grid.points[0].size
    return np.arange(plane * each, (plane + 1) * each)


def _rigid_motion(points: Array, about: float) -> Array:
    """Displacements (node, 3, 6) of nodes (node, 3) that move as one with the axis at station `about` [m]."""
    x, y2, y3 = points[:, 0] - about, points[:, 1], points[:, 2]
    R = np.zeros((len(points), 3, 6))
    R[:, [0, 1, 2], [0, 1, 2]] = 1.0
    R[:, 0, 4], R[:, 0, 5] = y3, -y2
    R[:, 1, 3], R[:, 1, 5] = -y3, x
    R[:, 2, 3], R[:, 2, 4] = y2, -x
    return R


def _area_weights(mesh: StrutMesh, plane: int) -> Array:
    """Integral of the shape functions over the section at a plane of nodes, (column, 3 heights) [m2]."""
    nodes = mesh.grid.points[plane]
    at = np.array([(0.0, b, c) for b, c in gauss_places()[0]])
    shape, slope = shapes(at)
    first, grad = shape.reshape(-1, 3, 9)[:, 0], slope.reshape(-1, 3, 9, 3)[:, 0]
    ring = np.arange(0, len(nodes), 2)[:, None] + np.arange(3)
    own = nodes[ring % len(nodes)].reshape(len(ring), 9, 3)
    J = np.einsum("eni,pnd->epid", own[..., 1:], grad[..., 1:])
    area = np.abs(np.linalg.det(J)) * gauss_places()[1]
    out = np.zeros(nodes.shape[:2])
    np.add.at(out, ring % len(nodes), (area @ first).reshape(len(ring), 3, 3))
    return out


def mean_motion(mesh: StrutMesh, plane: int) -> Array:
    """Mean motion (6, unknown of the plane) of a section about the axis, least squares over its area."""
    points = mesh.grid.points[plane].reshape(-1, 3)
    R = _rigid_motion(points, float(points[0, 0])).reshape(-1, 6)
    W = np.repeat(_area_weights(mesh, plane).ravel(), 3)
    return np.asarray(np.linalg.solve(R.T @ (W[:, None] * R), R.T * W))


def _section_forces(strut: Strut, mesh: StrutMesh, station: float) -> Array:
    """Forces (unknown, 6) of unit section forces at a station, spread over the section as beam theory has them."""
    plane = _plane(mesh, station)
    section = strut.section(min(station, strut.mold_line.length))
    fraction, which = np.unique(
        np.stack([mesh.along[:, 0], mesh.along.mean(axis=1)], -1), return_inverse=True
    )
    columns = np.repeat(mesh.wall, 2), which.ravel()
    running = section.wall_loads(np.eye(6), fraction)[:, *columns]
    thick = np.array([wall.thickness for wall in section.laminates])[columns[0]]
    tangent = section.contour.tangent(fraction)[columns]
    weight = _area_weights(mesh, plane)
    pull = np.concatenate([running[..., :1], running[..., 2:3] * tangent], axis=-1) / thick[:, None]
    beam = np.einsum("ch,wci->chiw", weight, pull).reshape(-1, 6)
    points = mesh.grid.points[plane].reshape(-1, 3)
    R = _rigid_motion(points, station).reshape(-1, 6)
    # what the sum over the nodes misses of the unit forces, spread linearly
    beam += mean_motion(mesh, plane).T @ (np.eye(6) - R.T @ beam)
    out = np.zeros((mesh.grid.points.size, 6))
    out[_of_plane(mesh, plane)] = beam
    return out


def _entering(strut: Strut, mesh: StrutMesh, station: float) -> Array:
    """Forces (unknown, 6) of a unit force and moment at a station: over its band, or spread over the section."""
    band = strut.band_at(min(station, strut.mold_line.length))
    if band is None:
        return _section_forces(strut, mesh, station)
    weight = _band_weights(strut, mesh, band)
    nodes = np.flatnonzero(weight)
    R = _rigid_motion(mesh.grid.points.reshape(-1, 3)[nodes], station)
    W = weight[nodes][:, None, None]
    pattern = np.einsum("nia,ab->nib", W * R, np.linalg.inv(np.einsum("nia,nib->ab", R, W * R)))
    out = np.zeros((len(weight), 3, 6))
    out[nodes] = pattern
    return out.reshape(-1, 6)


def _band_weights(strut: Strut, mesh: StrutMesh, band: Band) -> Array:
    """Integral of the shape functions over the outer faces of the walls of a band, (node,) [m2]."""
    names = strut.mold_line.wall_names
    walls = [names.index(name) for name in band.walls or names]
    middle = (mesh.lines[:-1] + mesh.lines[1:]) / 2
    rows = np.flatnonzero((band.start < middle) & (middle < band.end))
    columns = np.flatnonzero(np.isin(mesh.wall, walls))
    elements = (rows[:, None] * len(mesh.wall) + columns).ravel()
    places, share = gauss_places()
    shape, slope = shapes(spread(places, np.array([1.0])))
    J = np.einsum("nai,pad->npid", mesh.grid.nodes(elements), slope)
    area = np.linalg.norm(np.cross(J[..., 0], J[..., 1]), axis=-1) * share
    node = (3 * mesh.grid.columns.reshape(-1, 9)[elements][..., None] + np.arange(3)).reshape(-1, 27)
    return np.asarray(
        np.bincount(node.ravel(), weights=(area @ shape).ravel(), minlength=mesh.grid.points.size // 3)
    )


def _rigid(strut: Strut, mesh: StrutMesh) -> tuple[Array, Flags]:
    """Displacements (unknown, motion) of what is rigid, anchors among it, and which unknowns it sets (unknown,)."""
    length, last = strut.mold_line.length, len(mesh.grid.points) - 1
    planes: dict[int, bool] = {}  # plane of nodes: whether it also stays plane
    for rib in strut.ribs:
        if rib.bending_stiffness is None:
            planes[_plane(mesh, rib.station)] = False
    x = mesh.grid.points[:, 0, 0, 0]
    for band in strut.bands:
        if band.fitting == "rigid":
            inside = (x >= band.start - SNAP * length) & (x <= band.end + SNAP * length)
            planes |= dict.fromkeys(np.flatnonzero(inside).tolist(), False)
    for end, plane in ((strut.root_end, 0), (strut.tip_end, last)):
        if end != "open":
            planes[plane] = end == "warping held"
    size = mesh.grid.points.size
    columns, slaved = [], np.zeros(size, dtype=bool)
    for plane, flat in sorted(planes.items()):
        at = _of_plane(mesh, plane)
        points = mesh.grid.points[plane].reshape(-1, 3)
        motion = _rigid_motion(points, float(points[0, 0]))
        motion = motion if flat else motion[..., 1:4]
        if not flat:
            motion[:, 0] = 0.0
        own = np.zeros((size, motion.shape[-1]))
        own[at] = motion.reshape(len(at), -1)
        columns.append(own)
        slaved[at] |= flat | (np.arange(len(at)) % 3 > 0)
    if not any(planes.values()):
        anchors = _anchors(mesh, slaved)
        columns.append(anchors)
        slaved |= anchors.any(axis=1)
    return np.concatenate(columns, axis=1), slaved


def _anchors(mesh: StrutMesh, slaved: Flags) -> Array:
    """Six motions (unknown, 6) of three nodes that hold the grid if nothing else does."""
    planes = mesh.grid.points.shape[0]
    free = [p for p in range(0, planes, 2) if not slaved[_of_plane(mesh, p)].any()]
    plane = free[len(free) // 2] if free else 0
    nodes = mesh.grid.points[plane].reshape(-1, 3)
    a, b, c = (int(np.argmax(nodes @ lean)) for lean in ([0, 1, 0.1], [0, -1, 0.1], [0, 0.1, 1]))
    start = nodes.size * plane
    dofs = [3 * a, 3 * a + 1, 3 * a + 2, 3 * b, 3 * b + 2, 3 * c]
    out = np.zeros((mesh.grid.points.size, 6))
    out[start + np.array(dofs), np.arange(6)] = 1.0
    return out


def _with_ring_ribs(strut: Strut, mesh: StrutMesh, K: Array) -> Array:
    """Stiffness of the elements with that of the ring ribs: E I (change of curvature)^2 along the mid-line."""
    # The wall turns by theta = t . (u_outer - u_inner) / thickness at the three columns of an element's side.
    around = len(mesh.wall)
    at, share = (np.polynomial.legendre.leggauss(2)[0] + 1) / 2, np.array([0.5, 0.5])
    slope = np.stack([4 * at - 3, 4 - 8 * at, 4 * at - 1], axis=-1)
    for rib in strut.ribs:
        if rib.bending_stiffness is None:
            continue
        line = _plane(mesh, rib.station) // 2
        row, face = (line, 0) if line < len(mesh.lines) - 1 else (line - 1, 2)
        elements = row * around + np.arange(around)
        side = mesh.grid.nodes(elements).reshape(around, 3, 3, 3, 3)[:, face]
        through = side[:, :, 2] - side[:, :, 0]
        deep = np.linalg.norm(through, axis=-1, keepdims=True)
        tangent = np.cross(through / deep, [1.0, 0.0, 0.0]) / deep
        turn = np.zeros((around, 3, 3, 3, 3, 3))
        for b in range(3):
            turn[:, b, face, b, 2], turn[:, b, face, b, 0] = tangent[:, b], -tangent[:, b]
        ds = np.linalg.norm(np.einsum("pb,nbi->npi", slope, side[:, :, 1]), axis=-1)
        bend = np.einsum("pb,nba->npa", slope, turn.reshape(around, 3, 81)) / ds[..., None]
        K[elements] += np.einsum("np,npa,npb->nab", rib.bending_stiffness * ds * share, bend, bend)
    return K
