"""The strut: a mold line and a ply book, and everything that follows from these two."""

from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property, partial
from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beam.axes import skew
from beam.flexibility import Flexibility
from beam.section import Contour, Section, rounded_box, solve
from beam.section.centers import inertia
from beam.section.contour import Places
from beam.section.distortion import facets_of
from beam.section.expansion import expand
from beam.section.taper import Tapered, tapered
from beam.strut.axis import SNAP, distinct, snap
from beam.strut.distortion_along_span import AlongSpan, Ends, Hoop, Patch, Walls
from beam.strut.influence import flexibility
from beam.strut.introductions import (
    Band,
    End,
    IntroductionNote,
    Rib,
    band_at,
    check_introductions,
    notes,
    ribs_in,
    shifted,
    spread_forces,
)
from beam.strut.mold_line import MoldLine
from beam.strut.ply_book import PlyBook
from beam.strut.point_loads import PointLoads
from beam.strut.solver.field import Field, gauss, sample_points, sampled, slopes
from beam.strut.span import STATIONS, Span
from beam.strut.supports import Support
from laminate import Laminate
from laminate.plate import inverse
from materials.checks import Array, Frozen, Items, Limits, checked, default, reject
from materials.through_thickness import is_known

RIGID = 100.0
"""Transverse over in-plane shear stiffness of a wall that counts as rigid in transverse shear."""

Station = Annotated[float, Limits("m")]


class Strut(Frozen, kw_only=False):
    """A strut laid up inside its mold line.

    Parameters
    ----------
    mold_line : MoldLine
        The outside surface.
    ply_book : PlyBook
        The plies; the outer one lies on the mold line. Ends of plies at the tip, within 1e-6 of the length, and at
        stations of the mold line, within 1e-9, are put there.
    supports : sequence of Support, optional
        What restrains it; by default a clamp at the root.
    bands : sequence of Band
        Stretches over which fittings bring loads and reactions into the walls; they do not overlap.
    ribs : sequence of Rib
        What keeps the shape of the section.
    root_end : {"warping held", "closed", "open"}
        The root: it keeps its shape and stays plane; it keeps its shape and may warp; it is free.
    tip_end : {"warping held", "closed", "open"}
        The tip, likewise.

    Raises
    ------
    ValueError
        If a ply names a wall that is not there or runs beyond the tip, a wall is bare somewhere, the plies are
        thicker than a corner allows, bands overlap, or a band or a rib leaves the strut.

    Notes
    -----
    Mass is the integral along the axis of the sum over the walls of areal density times mid-line length.

    Examples
    --------
    >>> from materials import lamina
    >>> from beam.strut import BookPly
    >>> line = MoldLine(root=[0, 0, 0.8], tip=[0, 0, 0.2], stations=[0, 0.6], width=[0.1, 0.07], height=[0.08, 0.06],
    ...                 corner_radius=[0.02, 0.015])
    >>> ply = BookPly(lamina=lamina("T700S/2510"), angle_deg=0, walls=line.wall_names, start=0, end=0.6)
    >>> strut = Strut(line, PlyBook([ply] * 20))
    >>> round(strut.mass, 3), round(strut.section(0.3).laminates[0].thickness, 6)
    (0.76, 0.00304)
    """

    mold_line: MoldLine
    ply_book: PlyBook
    supports: Sequence[Support] | None = None
    bands: Annotated[Items[Band], Limits(items=0)] = default(())
    ribs: Annotated[Items[Rib], Limits(items=0)] = default(())
    root_end: End = "warping held"
    tip_end: End = "open"

    def __post_init__(self) -> None:
        super().__post_init__()
        length = self.mold_line.length
        check_introductions(self.mold_line, self.bands, self.ribs)
        object.__setattr__(self, "ply_book", _on_mold_line(self.ply_book, self.mold_line))
        names, book = self.mold_line.wall_names, self.ply_book
        if strange := set(book.walls) - set(names):
            reject("Strut: walls in the ply book", sorted(strange), f"among {', '.join(names)}", "misspelt?")
        if book.tip != length:
            limit = f"the tip of the mold line, {length:g}"
            reject("Strut: end of the outermost ply [m]", f"{book.tip:g}", limit, "given in mm?")
        bays = _bays(self.mold_line, book)
        middles = (bays[1:] + bays[:-1]) / 2
        for name in names:
            present = book.present(name, middles).any(axis=-1) if name in book.walls else middles < 0
            if not present.all():
                what = f"Strut: plies on wall '{name}' at {middles[~present][0]:g} m"
                reject(what, "none", "one or more", "a gap?")
        thickness = np.array([[book.laminate(name, s).thickness for name in names] for s in middles.tolist()])
        _check_corners(self.mold_line, bays, thickness)
        rounded_box(*self.mold_line.at(bays[1:]), thickness, surface="outside", faces=self.mold_line.names)

    @cached_property
    def bays(self) -> Array:
        """Ends of the bays of constant lay-up and straight taper, from root to tip, shape (bay + 1,) [m]."""
        return _bays(self.mold_line, self.ply_book)

    @cached_property
    def stations(self) -> Array:
        """Evenly spaced stations of the span and the ends of the bays, shape (station,) [m]."""
        even = np.linspace(0.0, self.mold_line.length, STATIONS)
        near = np.abs(even[:, None] - self.bays).min(axis=1) < 0.01 * even[1]
        return np.sort(np.concatenate([even[~near], self.bays]))

    @checked
    def section(self, s: Station) -> Section:
        """Section about the axis at a station; at a drop, the thinner one outboard of it.

        Parameters
        ----------
        s : float
            Station along the axis [m].
        """
        if s not in self._sections:
            here = float(snap(s, self.bays, self.mold_line.length))
            width, height, radius = (float(v) for v in self.mold_line.at(here))
            walls = [self.ply_book.laminate(name, here) for name in self.mold_line.wall_names]
            self._sections[s] = Section.rounded_box(
                width, height, radius, walls, surface="outside", faces=self.mold_line.names
            )
        return self._sections[s]

    @checked
    def wall_loads(
        self,
        F: Annotated[ArrayLike, Limits("N, N m", last=(6,))],
        station: Annotated[ArrayLike, Limits("m", axes=1)],
        at: Places | None = None,
    ) -> Array:
        """Running loads of the walls under section forces; at a drop, of the thinner section outboard of it.

        Parameters
        ----------
        F : array_like, shape (..., 6) or (..., station, 6)
            Section forces (N, V2, V3, T, M2, M3) [N], [N m].
        station : array_like, shape () or (station,)
            Along the axis [m].
        at : array_like, shape () or (place,), optional
            Fractions of the length of each wall; the middle if left out [-].

        Returns
        -------
        ndarray, shape (..., wall, 6), (..., wall, place, 6), with an axis of stations before that of walls
            (Nx, Ny, Nxy) [N/m] and (Mx, My, Mxy) [N]; x along the generators of the wall.

        Notes
        -----
        Inclined walls carry a part of V and T; the shear flow keeps strips between generators in balance,
        dq/du = -d(Nx L)/dx. Theory: `beam.section.taper`. A prismatic strut has the wall loads of its section.
        """
        forces, place = np.asarray(F), np.asarray(0.5 if at is None else at)
        s = self.span.axis.check("Strut.wall_loads: station [m]", station)
        if s.ndim and forces.shape[-2:-1] not in ((1,), s.shape):
            limit = f"(..., {s.size}, 6), one for each station"
            reject("Strut.wall_loads: F [N, N m]", f"shape {forces.shape}", limit)
        recovery = self._recovery(np.atleast_1d(s), np.atleast_1d(place))
        if not s.ndim:
            recovery = recovery[0]
        # (station, wall x place x load, force) on (..., station, force): one matrix product
        flat = (
            recovery.reshape(*recovery.shape[:-5], -1, 6) if not s.ndim else recovery.reshape(s.size, -1, 6)
        )
        loads = (flat @ forces[..., None])[..., 0]
        loads = loads.reshape(*loads.shape[:-1], *recovery.shape[-4:-1])
        return loads if place.ndim else loads[..., 0, :]

    def _recovery(self, s: Array, places: Array) -> Array:
        """Wall loads (station, wall, place, 6, 6) per unit section force at stations (station,), places (place,)."""
        key = places.tobytes()
        if key not in self._recoveries:
            values = self._tapered.recovery(places)
            shape = (len(self.stations) - 1, -1, *values.shape[1:])
            self._recoveries[key] = sampled(self.stations, values.reshape(shape))
        return self._recoveries[key].at(s, s + SNAP * self.mold_line.length)

    @cached_property
    def span(self) -> Span:
        """The strut as a beam on its supports."""
        s = self.stations
        contour, bay = self._sampled
        shape = (len(s) - 1, -1, 6, 6)
        return Span(
            axis=self.mold_line.length,
            stiffness=sampled(s, inverse(self._tapered.compliance).reshape(shape)),
            inertia=sampled(s, inertia(contour, self._density[bay], self._thickness[bay]).reshape(shape)),
            supports=self.supports,
            stations=s,
        )

    @checked
    def band_at(self, station: Station) -> Band | None:
        """The band by which a load at a station enters; None where there is none.

        Parameters
        ----------
        station : float
            Station along the axis [m].
        """
        return band_at(self.bands, station, self.mold_line.length)

    @checked
    def ribs_in(self, band: Band) -> tuple[Rib, ...]:
        """The ribs from edge to edge of a band, root to tip.

        Parameters
        ----------
        band : Band
            A band of the strut.
        """
        return ribs_in(band, self.ribs, self.mold_line.length)

    @checked
    def introduction_notes(self, loads: PointLoads) -> tuple[IntroductionNote, ...]:
        """Assumptions on how loads and reactions enter that are not safe, and where margins rest on them.

        Parameters
        ----------
        loads : PointLoads
            The loads.
        """
        ends, length = (self.root_end, self.tip_end), self.mold_line.length
        found = notes(self.mold_line, self.bands, self.ribs, ends, self.span.supports or (), loads)
        laminae = dict.fromkeys(ply.lamina for ply in self.ply_book.plies)
        bare = [f"'{one.name}'" for one in laminae if None in (one.G13, one.G23)]
        if self.bands and bare:
            text = f"{', '.join(bare)} without G13 or G23: what bands add is found with walls rigid in transverse shear"
            found = tuple(sorted([*found, IntroductionNote(0.0, length, text)]))
        return found

    @checked
    def added_wall_loads(
        self,
        loads: PointLoads,
        station: Annotated[ArrayLike, Limits("m", axes=1)],
        at: Places | None = None,
    ) -> Array:
        """Running loads that beam theory lacks: distortion, restrained warping, shear lag, bending under a band.

        Parameters
        ----------
        loads : PointLoads
            The loads; each enters by the band at its station, or as beam theory has it where there is none. So do the
            reactions of the supports.
        station : array_like, shape () or (station,)
            Stations along the axis [m].
        at : array_like, shape () or (place,), optional
            Fractions of the length of each wall; the middle if left out [-].

        Returns
        -------
        ndarray, shape (..., case, station, wall, place, 6)
            (Nx, Ny, Nxy) [N/m] and (Mx, My, Mxy) [N], without the axes of a single station or place. They return no
            force and no moment; inside a band those of its load spread over it less those of the load at its station.
            They are linear in the loads where the supports have no play.

        Notes
        -----
        Generalized beam theory with free membrane shear and walls that shear across their thickness; see
        `beam.section.distortion`. Against bricks My is within 15 percent, Nx near a band within 15 percent (20 on a
        taper); beside ribs My of torque and lateral loads, a tenth of that without ribs, is up to 30 percent high in
        thick laminates. Left out: My and Mx where a rib or a clamp stops Poisson's contraction of the walls, within
        sqrt(R t) of it; what heat adds to redundant reactions. Walls whose plies lack G13 or G23 count as rigid in
        transverse shear. Ribs and fittings are free to warp. The traction of a band on the outer face is a + b x r.
        """
        s, places = np.asarray(station), np.asarray(0.5 if at is None else at)
        s = self.span.axis.check("Strut.added_wall_loads: station [m]", s)
        held, reaction = self.span.held, self.span.reactions(loads)
        stations = np.concatenate([loads.at, held.at])
        wrench = np.concatenate([loads.wrench, reaction[..., None] * held.rows], axis=-2)
        enters = [self.band_at(float(one)) for one in stations]
        on_root = stations <= SNAP * self.mold_line.length
        alone = sorted(
            {float(x) for x, b, r in zip(stations, enters, on_root, strict=True) if b is None and not r}
        )
        columns: list[Band | float] = [*self.bands, *alone]
        force = np.zeros((*wrench.shape[:-2], len(columns), 6))
        for i, (x, band) in enumerate(zip(stations.tolist(), enters, strict=True)):
            if band is None and on_root[i]:
                continue
            force[..., columns.index(x if band is None else band), :] += wrench[..., i, :]
            if band is not None:
                moved = np.cross([x - band.middle, 0.0, 0.0], wrench[..., i, :3])
                force[..., columns.index(band), 3:] += moved
        if not columns:
            shape = (*wrench.shape[:-2], *s.shape, len(self.mold_line.wall_names), *places.shape, 6)
            return np.zeros(shape)
        x, at_places = np.atleast_1d(s), np.atleast_1d(places)
        per_load = self._along(tuple(alone)).wall_loads(x, at_places)
        flat = per_load.reshape(-1, per_load.shape[-1])
        out = force.reshape(*force.shape[:-2], -1) @ flat.T
        out = out.reshape(*force.shape[:-2], *per_load.shape[:-1])
        for band in self.bands:
            inside = np.flatnonzero((x > band.start) & (x < band.end))
            mine = np.array([one == band for one in enters]) & ~on_root
            if inside.size and mine.any():
                more = self._spread(band, stations[mine], wrench[..., mine, :], x[inside])
                out[..., inside, :, :, :] += self.wall_loads(more, x[inside], at_places)
        return out.reshape(*force.shape[:-2], *s.shape, per_load.shape[1], *places.shape, 6)

    def _spread(self, band: Band, at: Array, wrench: Array, x: Array) -> Array:
        """Section forces (..., x, 6) in a band of loads (..., load, 6) spread over it, less those of loads at `at`."""
        names = np.array(self.mold_line.wall_names)
        walls = np.isin(names, band.walls or names)
        points, weight = np.polynomial.legendre.leggauss(6)

        def faces(s: Array) -> tuple[Array, Array]:
            contour, where = self._contour(s, bay := self._bay(s)), 0.5 * (1 + points)
            outer = contour.position(where) + 0.5 * self._thickness[bay][..., None, None] * contour.normal(
                where
            )
            length = 0.5 * weight * contour.length[..., None]
            return outer[:, walls].reshape(len(s), -1, 2), length[:, walls].reshape(len(s), -1)

        w = np.moveaxis(wrench, -2, 0)[..., None, :, None]  # (load, ..., 1, 6, 1)
        about_middle = [
            shifted(one, np.array(s - band.middle)) for s, one in zip(at.tolist(), w, strict=True)
        ]
        out = spread_forces(faces, band, x) @ np.sum(about_middle, axis=0)
        for s, one in zip(at.tolist(), w, strict=True):
            outboard = x <= s + SNAP * self.mold_line.length
            out = out - outboard[:, None, None] * shifted(np.repeat(one, len(x), axis=-3), s - x)
        return np.asarray(out[..., 0])

    def _bay(self, s: Array) -> NDArray[np.intp]:
        """Bay of stations (station,), the outboard one at a drop."""
        outboard = np.searchsorted(self.bays, s + SNAP * self.mold_line.length, side="right") - 1
        return np.clip(outboard, 0, len(self.bays) - 2)

    def _along(self, alone: tuple[float, ...]) -> AlongSpan:
        """Distortion and warping for unit loads of every band and at stations without one."""
        if alone not in self._distortion:
            names, ends = self.mold_line.wall_names, (self.root_end, self.tip_end)
            bay = self._bay
            facets = facets_of(self._contour(self.bays[:-1], bay(self.bays[:-1])))
            self._distortion[alone] = AlongSpan(
                Walls(
                    lambda s: self._contour(s, bay(s)),
                    lambda s: (self._abd[bay(s)], self._shear[bay(s)], self._thickness[bay(s)]),
                    facets,
                ),
                self.mold_line.length,
                [
                    Patch(
                        b.start,
                        b.end,
                        np.flatnonzero(np.isin(np.array(names)[facets.wall], b.walls or names)),
                        b.fitting == "rigid",
                    )
                    for b in self.bands
                ],
                [
                    Hoop(r.station, np.inf if r.bending_stiffness is None else r.bending_stiffness)
                    for r in self.ribs
                ],
                Ends(
                    (ends[0] != "open", ends[1] != "open"),
                    (ends[0] == "warping held", ends[1] == "warping held"),
                ),
                alone,
            )
        return self._distortion[alone]

    @cached_property
    def _distortion(self) -> dict[tuple[float, ...], AlongSpan]:
        return {}

    @cached_property
    def mass(self) -> float:
        """Mass of the strut between root and tip [kg]."""
        s, w = gauss(self.bays)
        bay = np.repeat(np.arange(len(s)), s.shape[1])
        per_length = np.sum(self._contour(s.ravel(), bay).length * self._density[bay], axis=-1)
        return float(per_length @ w.ravel())

    @cached_property
    def laminates(self) -> tuple[tuple[Laminate, ...], ...]:
        """Lay-up of every wall in every bay."""
        middles = (self.bays[1:] + self.bays[:-1]) / 2
        names = self.mold_line.wall_names
        return tuple(tuple(self.ply_book.laminate(n, s) for n in names) for s in middles.tolist())

    @checked
    def free_strain(
        self,
        temperature_change: Annotated[float, Limits("K")] = 0.0,
        moisture: Annotated[float, Limits("-")] = 0.0,
    ) -> Field:
        """Strain along the span that heat and moisture make where no support resists it, for the span's methods.

        Parameters
        ----------
        temperature_change : float
            Temperature above the stress-free one, or above that at assembly [K].
        moisture : float
            Absorbed moisture as mass fraction [-].
        """
        walls = np.array(
            [[w.free_strain(temperature_change, moisture) for w in walls] for walls in self.laminates]
        )
        strain = expand(self._tapered.states, walls[self._sampled[1]]).strain
        return sampled(self.stations, strain.reshape(len(self.stations) - 1, -1, 6))

    @checked
    def flexibility(
        self,
        *,
        bracket: Annotated[ArrayLike, Limits("m", shape=(3,))],
        pivot: Annotated[ArrayLike | None, Limits("m", shape=(3,))] = None,
        damping_ratio: Annotated[float, Limits("-", at_least=0.0, below=0.5)] = 0.02,
    ) -> Flexibility:
        """Compliance and inertia at link pivot and shock bracket, airplane axes, for the landing.

        Parameters
        ----------
        bracket : array_like, shape (3,)
            Upper end of the shock, airplane axes; rigid with the section of its station [m].
        pivot : array_like, shape (3,), optional
            Link pivot, airplane axes; the tip of the mold line if not given [m].
        damping_ratio : float
            Damping over critical of every mode [-].

        Notes
        -----
        Compliance P C P^T with C the `flexibility` of the span at the two stations and P = [[I, -skew(arm)], [0, I]].
        The strut's own inertia is taken on the shapes of static deflection (R. J. Guyan, AIAA J. 3 (1965) 380, from
        memory): M = integral of S^T m S ds, where S is the motion along the span for unit motions of the two points.
        """
        line = self.mold_line
        points = np.array([line.tip if pivot is None else pivot, bracket], dtype=float)
        along = (points - line.root) @ line.frame.T
        at = np.clip(along[:, 0], 0.0, line.length)
        if (np.abs(along[:, 0] - at) > 1e-6 * line.length).any() or (at < 0.01 * line.length).any():
            got = ", ".join(f"{one:.4g}" for one in along[:, 0])
            limit = f"both from {0.01 * line.length:.4g} to {line.length:.4g}"
            reject("Strut.flexibility: stations of pivot and bracket [m]", got, limit, "given in mm?")
        s, weight = gauss(self.bays)
        moved = flexibility(self.span, np.concatenate([at, s.ravel()]), at)
        # from the axis to the points, and from strut axes to airplane axes
        to_point = np.zeros((2, 6, 6))
        to_point[:, :3, :3] = to_point[:, 3:, 3:] = line.frame.T
        arm = along - np.outer(at, [1.0, 0.0, 0.0])
        to_point[:, :3, 3:] = -line.frame.T @ skew(arm)
        # (load at, of, motion at, of): a load at the point is one on the axis with its moment
        compliance = np.einsum("axi,aibj,byj->axby", to_point, moved[:, :, :2], to_point).reshape(12, 12)
        compliance = (compliance + compliance.T) / 2
        shape = np.einsum("axi,aisj->axsj", to_point, moved[:, :, 2:]).reshape(12, s.size, 6)
        shape = np.einsum("ab,bsj->asj", np.linalg.inv(compliance), shape)
        along_span = np.asarray(self.span.inertia.at(s.ravel())) if self.span.inertia is not None else 0.0
        inertia = np.einsum("s,asi,sij,bsj->ab", weight.ravel(), shape, along_span, shape, optimize=True)
        return Flexibility(
            points=points,
            compliance=compliance,
            inertia=(inertia + inertia.T) / 2,
            damping_ratio=damping_ratio,
        )

    @cached_property
    def thick_corners(self) -> bool:
        """Whether margins judge corners as curved stacks: with bands, if all plies are known through the thickness."""
        return bool(self.bands) and not self.unknown_through_thickness

    @cached_property
    def unknown_through_thickness(self) -> tuple[str, ...]:
        """Names of the laminae that do not say enough of their thickness direction."""
        return tuple(
            one.name for one in dict.fromkeys(ply.lamina for ply in self.ply_book.plies) if not is_known(one)
        )

    @cached_property
    def _abd(self) -> Array:
        return np.array([[wall.abd for wall in walls] for walls in self.laminates])

    @cached_property
    def _shear(self) -> Array:
        """Transverse shear stiffness (bay, wall, 2, 2) [N/m]; of a wall whose plies lack G13 or G23, as if rigid."""
        stiff = RIGID * self._abd[..., 2, 2, None, None] * np.eye(2)
        for i, walls in enumerate(self.laminates):
            for j, wall in enumerate(walls):
                if all(None not in (p.lamina.G13, p.lamina.G23) for p in wall.plies):
                    stiff[i, j] = wall.transverse_shear
        return stiff

    @cached_property
    def _density(self) -> Array:
        return np.array([[wall.areal_density for wall in walls] for walls in self.laminates])

    @cached_property
    def _thickness(self) -> Array:
        return np.array([[wall.thickness for wall in walls] for walls in self.laminates])

    @cached_property
    def _sampled(self) -> tuple[Contour, NDArray[np.intp]]:
        """Contours at the sample points of the span, and the bay of each."""
        s = sample_points(self.stations).ravel()
        bay = np.searchsorted(self.bays, s) - 1
        return self._contour(s, bay), bay

    @cached_property
    def _tapered(self) -> Tapered:
        """The tapered sections at the sample points of the span."""
        contour, bay = self._sampled
        abd = self._abd[bay]
        return tapered(solve(contour, abd), abd, partial(slopes, self.stations))

    @cached_property
    def _recoveries(self) -> dict[bytes, Field]:
        return {}

    def _contour(self, s: ArrayLike, bay: NDArray[np.intp]) -> Contour:
        return rounded_box(
            *self.mold_line.at(s), self._thickness[bay], surface="outside", faces=self.mold_line.names
        )

    @cached_property
    def _sections(self) -> dict[float, Section]:
        return {}


def _on_mold_line(book: PlyBook, mold_line: MoldLine) -> PlyBook:
    """The book with starts and ends of plies at the tip and at stations of the mold line put exactly there."""
    length = mold_line.length
    runs = np.array([(p.start, p.end) for p in book.plies])
    put = snap(runs, mold_line.stations, length)
    put = np.where(np.abs(put - length) <= 1e-6 * length, length, put)
    if (put == runs).all():
        return book
    moved = zip(book.plies, put.tolist(), strict=True)
    return PlyBook(replace(ply, start=start, end=end) for ply, (start, end) in moved)


def _bays(mold_line: MoldLine, book: PlyBook) -> Array:
    """Stations of the mold line and of steps in lay-up, each once, shape (bay + 1,) [m]."""
    return distinct(np.concatenate([mold_line.stations, book.drops]), mold_line.length)


def _check_corners(mold_line: MoldLine, bays: Array, thickness: Array) -> None:
    """Refuse a corner that is thicker (bay, wall) than its radius at either end of a bay between `bays` (bay + 1,)."""
    stations = np.stack([bays[:-1], bays[1:]], axis=-1)
    radius = mold_line.at(stations.ravel()).corner_radius.reshape(-1, 2, 1)
    excess = thickness[:, None, 1::2] * (1 - 1e-12) - radius
    bay, end, corner = np.unravel_index(int(np.argmax(excess)), excess.shape)
    if excess[bay, end, corner] > 0:
        name = mold_line.wall_names[2 * corner + 1]
        reject(
            f"Strut: thickness [m] of corner '{name}' at station {stations[bay, end]:g} m",
            f"{thickness[bay, 2 * corner + 1]:g}",
            f"at most the corner radius there, {radius[bay, end, 0]:g}",
            "fewer plies or a larger corner radius",
        )
