"""Section: mid-lines and laminates of a thin-walled section behind one door."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from beam.section import centers, outline, polygons, recovery
from beam.section.contour import Contour
from beam.section.mass import inertia
from beam.section.section_checks import check_section
from beam.section.states import States, solve
from laminate import Laminate
from laminate.plate import inverse
from materials.checks import Array, array, number, reject
from materials.kinds import instance, instances


@dataclass(frozen=True, eq=False)
class Section:
    """A thin-walled section; `beam.section.states` gives the theory and its limits.

    Each wall is one laminate of constant thickness. Where the lay-up or the thickness changes around the section,
    cut the wall there: two walls in a row, each with its own laminate, meet in a step as plies that end do.

    Parameters
    ----------
    contour : Contour
        Mid-lines of the walls, without batch axes.
    laminates : sequence of laminate.Laminate
        One for each wall, the first ply on the inner side.

    Raises
    ------
    ValueError
        If a wall cannot be, or the walls cross, do not close, or run counter-clockwise.
    """

    contour: Contour
    laminates: tuple[Laminate, ...]

    def __post_init__(self) -> None:
        instance("Section: contour", self.contour, Contour)
        object.__setattr__(self, "laminates", instances("Section: laminates", self.laminates, object))
        check_section(self.contour, self.laminates)

    @classmethod
    def tube(cls, radius: float, laminate: Laminate) -> Section:
        """Round tube of one laminate, as four quarter walls about +e3, +e2, -e3, -e2.

        Parameters
        ----------
        radius : float
            Of the mid-line [m].
        laminate : laminate.Laminate
            The wall.

        Returns
        -------
        Section
            The tube.
        """
        instance("Section.tube: laminate", laminate, Laminate)
        mid = number("Section.tube: radius [m]", radius, above=0.0)
        return cls(outline.round_tube(mid, laminate.thickness), (laminate,) * 4)

    @classmethod
    def ellipse(
        cls,
        width: float,
        height: float,
        walls: Laminate | Sequence[Laminate],
        *,
        surface: str = "middle",
        pairs: int = 8,
    ) -> Section:
        """Elliptical tube, each quarter a chain of arcs.

        Parameters
        ----------
        width : float
            Of the reference surface, along e2 [m].
        height : float
            Of the reference surface, along e3 [m].
        walls : laminate.Laminate or sequence of four
            Of the quarters about +e3, +e2, -e3, -e2.
        surface : str
            Reference: "outside" (tool), "inside" (mandrel) or "middle".
        pairs : int
            Pairs of arcs in each quarter [-].

        Returns
        -------
        Section
            The tube, of 8 x pairs walls.
        """
        each = _each(walls, 4, "ellipse: walls")
        thickness = [wall.thickness for wall in each]
        contour = outline.ellipse(width, height, thickness, surface=surface, pairs=pairs)
        return cls(contour, tuple(wall for wall in each for _ in range(2 * pairs)))

    @classmethod
    def box(
        cls,
        width: float,
        height: float,
        walls: Laminate | Sequence[Laminate],
        *,
        surface: str = "middle",
        faces: tuple[str, ...] = outline.FACES,
    ) -> Section:
        """Box with sharp corners.

        Parameters
        ----------
        width : float
            Of the reference surface, along e2: between the mid-lines unless `surface` says otherwise [m].
        height : float
            Likewise along e3 [m].
        walls : laminate.Laminate or sequence of four
            From the face at +e3 clockwise: +e3, +e2, -e3, -e2.
        surface : str
            Reference: "outside" (tool), "inside" (mandrel) or "middle".
        faces : tuple of str
            Names of the faces in that order.

        Returns
        -------
        Section
            The box, of four walls.
        """
        each = _each(walls, 4, "box: walls")
        thickness = [wall.thickness for wall in each]
        return cls(outline.box(width, height, thickness, surface=surface, faces=faces), each)

    @classmethod
    def rounded_box(
        cls,
        width: float,
        height: float,
        radius: float,
        walls: Laminate | Sequence[Laminate],
        *,
        surface: str = "outside",
        faces: tuple[str, ...] = outline.FACES,
    ) -> Section:
        """Box with rounded corners, each wall offset from the reference surface by half its thickness.

        Parameters
        ----------
        width : float
            Of the reference surface, along e2 [m].
        height : float
            Of the reference surface, along e3 [m].
        radius : float
            Of the reference surface at the corners [m].
        walls : laminate.Laminate or sequence of eight
            Face +e3, corner, face +e2, corner ... clockwise.
        surface : str
            Reference: "outside" (tool), "inside" (mandrel) or "middle".
        faces : tuple of str
            Names of the faces +e3, +e2, -e3, -e2.

        Returns
        -------
        Section
            The box, of eight walls.
        """
        each = _each(walls, 8, "rounded_box: walls")
        thickness = [wall.thickness for wall in each]
        return cls(outline.rounded_box(width, height, radius, thickness, surface=surface, faces=faces), each)

    @classmethod
    def from_walls(
        cls,
        points: ArrayLike,
        laminates: Laminate | Sequence[Laminate],
        *,
        radius: ArrayLike = 0.0,
        surface: str = "middle",
    ) -> Section:
        """Closed section of straight walls, each from a point to the next, the last back to the first.

        Parameters
        ----------
        points : array_like, shape (point, 2)
            Corners (y2, y3) of the reference surface, clockwise seen with e1 toward the viewer [m].
        laminates : laminate.Laminate or sequence of them
            One for each wall; with fillets in the order face, corner, face, corner ...
        radius : array_like, shape () or (point,)
            Fillet of the reference surface at each point; 0 for sharp corners everywhere [m].
        surface : str
            Reference: "outside" (tool), "inside" (mandrel) or "middle".

        Returns
        -------
        Section
            The section, of one wall per point, or two with fillets.
        """
        corners = array("Section.from_walls: points [m]", points, last=(-1, 2))
        bend = array("Section.from_walls: radius [m]", radius)
        count, sharp = corners.shape[-2], not bend.any()
        each = _each(laminates, count if sharp else 2 * count, "from_walls: laminates")
        thickness = [wall.thickness for wall in each]
        if sharp:
            return cls(polygons.polygon(corners, thickness, surface=surface), each)
        return cls(polygons.filleted(corners, np.atleast_1d(bend), thickness, surface=surface), each)

    @cached_property
    def states(self) -> States:
        """The section solved for its six unit forces."""
        return solve(self.contour, np.stack([wall.abd for wall in self.laminates]))

    @property
    def compliance(self) -> Array:
        """Strains per force (N, V2, V3, T, M2, M3), shape (6, 6) [1/N], [1/(N m)], [1/(N m^2)]."""
        return self.states.compliance

    @property
    def stiffness(self) -> Array:
        """Forces (N, V2, V3, T, M2, M3) per strain, shape (6, 6) [N], [N m], [N m^2]."""
        return self.states.stiffness

    def stiffness_about(self, point: ArrayLike, angle: float = 0.0) -> Array:
        """Stiffness about another reference point, in turned axes.

        Parameters
        ----------
        point : array_like, shape (2,)
            Reference (y2, y3) [m].
        angle : float
            From e2 to the new e2, toward e3 [rad].

        Returns
        -------
        ndarray, shape (6, 6)
            In the order (N, V2, V3, T, M2, M3) [N], [N m], [N m^2].
        """
        turn = number("Section: angle [rad]", angle)
        return inverse(centers.turned(centers.moved(self.compliance, point), turn))

    @property
    def centroid(self) -> Array:
        """Where an axial force bends the section in neither plane, shape (2,) [m]."""
        return centers.centroid(self.compliance)

    @property
    def shear_center(self) -> Array:
        """Where a transverse force does not twist the section, shape (2,) [m]."""
        return centers.shear_center(self.compliance)

    @property
    def principal_axes(self) -> centers.PrincipalAxes:
        """Angle [rad] and bending stiffness [N m^2] of the principal axes."""
        return centers.principal_axes(self.compliance)

    @cached_property
    def mass_per_length(self) -> float:
        """Mass per length of the span [kg/m]."""
        return float(self.inertia[0, 0])

    @cached_property
    def inertia(self) -> Array:
        """Mass matrix per length, for (u1, u2, u3, r1, r2, r3), shape (6, 6) [kg/m], [kg], [kg m]."""
        density, thickness = (
            [getattr(w, name) for w in self.laminates] for name in ("areal_density", "thickness")
        )
        out = inertia(self.contour, density, thickness)
        out.setflags(write=False)
        return out

    wall_loads = recovery.wall_loads
    wall_loads_along = recovery.wall_loads_along
    free_strain = recovery.free_strain
    residual_wall_loads = recovery.residual_wall_loads
    ply_states = recovery.ply_states


def _each(walls: Laminate | Sequence[Laminate], count: int, who: str) -> tuple[Laminate, ...]:
    if isinstance(walls, Laminate):
        return (walls,) * count
    each = instances(f"Section.{who}", walls, Laminate)
    if len(each) != count:
        reject(f"Section.{who}", len(each), f"one, or {count} in wall order")
    return each
