"""The strut: a mold line and a ply book, and everything that follows from these two."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beam.section import Contour, Section, rounded_box, solve
from beam.section.expansion import expand
from beam.section.section_inertia import inertia
from beam.strut.mold_line import MoldLine
from beam.strut.ply_book import PlyBook
from beam.strut.solver.field import Field, sample_points, sampled
from beam.strut.solver.kinematics import gauss
from beam.strut.span import STATIONS, Span
from beam.strut.supports import Support
from laminate import Laminate
from materials.checks import Array, number, reject
from materials.kinds import instance, instances


@dataclass(frozen=True, eq=False)
class Strut:
    """A strut laid up inside its mold line.

    Parameters
    ----------
    mold_line : MoldLine
        The outside surface.
    ply_book : PlyBook
        The plies; the outer one lies on the mold line.
    supports : sequence of Support, optional
        What holds it; by default a clamp at the root.

    Raises
    ------
    ValueError
        If a ply names a wall that is not there or runs beyond the tip, a wall is bare somewhere, or the
        plies are thicker than a corner allows.
    """

    mold_line: MoldLine
    ply_book: PlyBook
    supports: Sequence[Support] | None = None

    def __post_init__(self) -> None:
        instance("Strut: mold_line", self.mold_line, MoldLine)
        instance("Strut: ply_book", self.ply_book, PlyBook)
        if self.supports is not None:
            object.__setattr__(self, "supports", instances("Strut: supports", self.supports, Support))
        names, book, length = self.mold_line.wall_names, self.ply_book, self.mold_line.length
        if strange := set(book.walls) - set(names):
            reject("Strut: walls in the ply book", sorted(strange), f"among {', '.join(names)}", "misspelt?")
        if abs(book.tip - length) > 1e-6 * length:
            reject(
                "Strut: end of the outermost ply [m]",
                f"{book.tip:g}",
                f"the tip of the mold line, {length:g}",
            )
        bays = (self.bays[1:] + self.bays[:-1]) / 2
        for name in names:
            bare = (
                ~book.present(name, bays).any(axis=-1)
                if name in book.walls
                else np.ones(len(bays), dtype=bool)
            )
            if bare.any():
                reject(
                    f"Strut: plies on wall '{name}' at {bays[bare][0]:g} m", "none", "one or more", "a gap?"
                )
        self._check_corners()
        self._contour(self.bays[1:], np.arange(len(bays)))

    def _check_corners(self) -> None:
        """Refuse a corner that is thicker than its radius at either end of a bay."""
        stations = np.stack([self.bays[:-1], self.bays[1:]], axis=-1)
        radius = self.mold_line.at(stations.ravel()).corner_radius.reshape(-1, 2, 1)
        excess = self._thickness[:, None, 1::2] * (1 - 1e-12) - radius
        bay, end, corner = np.unravel_index(int(np.argmax(excess)), excess.shape)
        if excess[bay, end, corner] > 0:
            name = self.mold_line.wall_names[2 * corner + 1]
            reject(
                f"Strut: thickness [m] of corner '{name}' at station {stations[bay, end]:g} m",
                f"{self._thickness[bay, 2 * corner + 1]:g}",
                f"at most the corner radius there, {radius[bay, end, 0]:g}",
                "fewer plies or a larger corner radius",
            )

    @cached_property
    def bays(self) -> Array:
        """Ends of the bays of constant lay-up and straight taper, from root to tip, shape (bay + 1,) [m]."""
        length = self.mold_line.length
        every = np.unique(np.concatenate([self.mold_line.stations, self.ply_book.drops]))
        inside = every[(every > 1e-9 * length) & (every < (1 - 1e-6) * length)]
        apart = np.diff(inside, prepend=0.0) > 1e-9 * length
        return np.concatenate([[0.0], inside[apart], [length]])

    @cached_property
    def stations(self) -> Array:
        """Evenly spaced stations of the span and the ends of the bays, shape (station,) [m]."""
        even = np.linspace(0.0, self.mold_line.length, STATIONS)
        near = np.abs(even[:, None] - self.bays).min(axis=1) < 0.01 * even[1]
        return np.sort(np.concatenate([even[~near], self.bays]))

    def section(self, s: float) -> Section:
        """Section at a station; at a drop, the thinner one outboard of it.

        Parameters
        ----------
        s : float
            Station along the axis [m].

        Returns
        -------
        beam.section.Section
            The section about the axis, its walls named as in the mold line.

        Raises
        ------
        ValueError
            If the station is off the axis.
        """
        key = number("Strut: station [m]", s)
        if key not in self._sections:
            width, height, radius = (float(v) for v in self.mold_line.at(key))
            here = min(key, self.ply_book.tip)
            walls = [self.ply_book.laminate(name, here) for name in self.mold_line.wall_names]
            faces = self.mold_line.names
            self._sections[key] = Section.rounded_box(
                width, height, radius, walls, surface="outside", faces=faces
            )
        return self._sections[key]

    @cached_property
    def span(self) -> Span:
        """The strut as a beam on its supports."""
        s = self.stations
        contour, bay = self._sampled
        shape = (len(s) - 1, -1, 6, 6)
        return Span(
            axis=self.mold_line.length,
            stiffness=sampled(s, solve(contour, self._abd[bay]).stiffness.reshape(shape)),
            inertia=sampled(s, inertia(contour, self._density[bay], self._thickness[bay]).reshape(shape)),
            supports=self.supports,
            stations=s,
        )

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

    def free_strain(self, temperature_change: float = 0.0, moisture: float = 0.0) -> Field:
        """Strain along the span that heat and moisture make where nothing holds it.

        Parameters
        ----------
        temperature_change : float
            Temperature above the stress-free one, or above that at assembly [K].
        moisture : float
            Absorbed moisture as mass fraction [-].

        Returns
        -------
        Field
            Extension, shears [-], twist and curvatures [1/m], for `free_strain` of the span's methods.
        """
        number("Strut: temperature_change [K]", temperature_change)
        number("Strut: moisture [-]", moisture)
        contour, bay = self._sampled
        walls = np.array(
            [[w.free_strain(temperature_change, moisture) for w in walls] for walls in self.laminates]
        )
        strain = expand(solve(contour, self._abd[bay]), walls[bay]).strain
        return sampled(self.stations, strain.reshape(len(self.stations) - 1, -1, 6))

    @cached_property
    def _abd(self) -> Array:
        return np.array([[wall.abd for wall in walls] for walls in self.laminates])

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

    def _contour(self, s: ArrayLike, bay: NDArray[np.intp]) -> Contour:
        return rounded_box(
            *self.mold_line.at(s), self._thickness[bay], surface="outside", faces=self.mold_line.names
        )

    @cached_property
    def _sections(self) -> dict[float, Section]:
        return {}
