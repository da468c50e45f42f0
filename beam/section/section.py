"""Section: mid-lines and laminates of a thin-walled section, its stiffness and the loads of its walls."""

from collections.abc import Sequence
from functools import cached_property
from typing import Annotated, TypeAlias

import numpy as np
from numpy.typing import ArrayLike

from beam.section import centers, outline
from beam.section.centers import inertia
from beam.section.contour import Contour, Places
from beam.section.expansion import expand, residual_wall_loads
from beam.section.geometry_rules import check_geometry
from beam.section.outline import FACES, Faces, Points, Radii, Surface
from beam.section.spring_in import ThickCorners, thick_corners
from beam.section.states import States, solve
from laminate import Laminate
from laminate.plate import inverse
from laminate.response import Response
from materials.checks import Array, Frozen, Items, Limits, checked, reject

Size: TypeAlias = Annotated[float, Limits("m", above=0.0)]
Walls: TypeAlias = Laminate | Sequence[Laminate]
Forces: TypeAlias = Annotated[ArrayLike, Limits("N, N m", last=(6,))]
Kelvins: TypeAlias = Annotated[ArrayLike, Limits("K")]
Moisture: TypeAlias = Annotated[ArrayLike, Limits("-")]
Place: TypeAlias = Annotated[
    float, Limits("-", at_least=0.0, at_most=1.0, cause="a fraction of the wall, not a length")
]


class Section(Frozen, kw_only=False):
    """A thin-walled section of laminated walls; `beam.section.states` gives the theory and its limits.

    Each wall is one laminate of constant thickness. Where the lay-up or the thickness changes around the section, cut
    the wall there: two walls in a row, each with its own laminate, meet in a step as plies that end do.

    Parameters
    ----------
    contour : Contour
        Mid-lines of the walls, without batch axes.
    laminates : sequence of laminate.Laminate
        One for each wall, the first ply on the inner side.

    Raises
    ------
    ValueError
        If an arc is sharper than half its thickness, or the walls cross, overlap, do not close, or run
        counter-clockwise.

    Notes
    -----
    Section forces (N, V2, V3, T, M2, M3) and strains (eps, gamma2, gamma3, kappa1, kappa2, kappa3) are those of the
    mixed theory of Berdichevsky, Armanios & Badir (1992), with bending of the walls and shear flow by equilibrium.

    Examples
    --------
    >>> from laminate import Laminate
    >>> from materials import lamina
    >>> wall = Laminate.from_code("[0/45/-45/90]s", lamina("AS4/3501-6"))
    >>> tube = Section.tube(0.03, wall)
    >>> tube.stiffness.shape
    (6, 6)
    >>> tube.wall_loads([1000.0, 0, 0, 0, 0, 0])[:, 0].round()
    array([5305., 5305., 5305., 5305.])
    """

    contour: Contour
    laminates: Items[Laminate]

    def __post_init__(self) -> None:
        super().__post_init__()
        contour, walls = self.contour, len(self.contour.names)
        if contour.batch:
            reject("Section: contour", f"a batch {contour.batch}", "one section", "solve() takes batches")
        if len(self.laminates) != walls:
            reject("Section: laminates", len(self.laminates), f"{walls}, one for each wall")
        check_geometry(contour, np.array(_thickness(self.laminates)))

    @classmethod
    @checked
    def tube(cls, radius: Size, laminate: Laminate) -> "Section":
        """Round tube of one laminate, as four quarter walls about +e3, +e2, -e3, -e2.

        Parameters
        ----------
        radius : float
            Radius of the mid-line [m].
        laminate : laminate.Laminate
            The wall.
        """
        return cls(outline.round_tube(radius, laminate.thickness), (laminate,) * 4)

    @classmethod
    @checked
    def ellipse(
        cls,
        width: Size,
        height: Size,
        walls: Walls,
        *,
        surface: Surface = "middle",
        pairs: Annotated[int, Limits("-", at_least=1)] = 8,
    ) -> "Section":
        """Elliptical tube of 8 x pairs walls, each quarter a chain of arcs.

        Parameters
        ----------
        width, height : float
            Sizes of the reference surface along e2 and e3 [m].
        walls : laminate.Laminate or sequence of four
            The quarters about +e3, +e2, -e3, -e2.
        surface : {"outside", "middle", "inside"}
            Surface on which the sizes are measured.
        pairs : int
            Pairs of arcs in each quarter [-].
        """
        each = _each("ellipse: walls", walls, 4)
        contour = outline.ellipse(width, height, _thickness(each), surface=surface, pairs=pairs)
        return cls(contour, tuple(wall for wall in each for _ in range(2 * pairs)))

    @classmethod
    @checked
    def box(
        cls, width: Size, height: Size, walls: Walls, *, surface: Surface = "middle", faces: Faces = FACES
    ) -> "Section":
        """Box of four walls with sharp corners.

        Parameters
        ----------
        width, height : float
            Sizes of the reference surface along e2 and e3 [m].
        walls : laminate.Laminate or sequence of four
            From the face at +e3 clockwise: +e3, +e2, -e3, -e2.
        surface : {"outside", "middle", "inside"}
            Surface on which the sizes are measured.
        faces : tuple of str
            Names of the faces in that order.
        """
        each = _each("box: walls", walls, 4)
        return cls(outline.box(width, height, _thickness(each), surface=surface, faces=faces), each)

    @classmethod
    @checked
    def rounded_box(
        cls,
        width: Size,
        height: Size,
        radius: Annotated[float, Limits("m", at_least=0.0)],
        walls: Walls,
        *,
        surface: Surface = "outside",
        faces: Faces = FACES,
    ) -> "Section":
        """Box of eight walls with rounded corners, each wall offset from the reference surface by half its thickness.

        Parameters
        ----------
        width, height : float
            Sizes of the reference surface along e2 and e3 [m].
        radius : float
            Radius of the reference surface at the corners [m].
        walls : laminate.Laminate or sequence of eight
            Face +e3, corner, face +e2, corner ... clockwise.
        surface : {"outside", "middle", "inside"}
            Surface on which the sizes are measured.
        faces : tuple of str
            Names of the faces +e3, +e2, -e3, -e2.
        """
        each = _each("rounded_box: walls", walls, 8)
        contour = outline.rounded_box(width, height, radius, _thickness(each), surface=surface, faces=faces)
        return cls(contour, each)

    @classmethod
    @checked
    def from_walls(
        cls, points: Points, laminates: Walls, *, radius: Radii = 0.0, surface: Surface = "middle"
    ) -> "Section":
        """Closed section of straight walls, each from a point to the next; two walls per point with fillets.

        Parameters
        ----------
        points : array_like, shape (point, 2)
            Corners (y2, y3) of the reference surface, clockwise seen with e1 toward the viewer [m].
        laminates : laminate.Laminate or sequence of them
            One for each wall; with fillets in the order face, corner, face, corner ...
        radius : array_like, shape () or (point,)
            Fillet of the reference surface at each point; 0 for sharp corners everywhere [m].
        surface : {"outside", "middle", "inside"}
            Surface on which the points lie.
        """
        fillet, sharp = np.atleast_1d(np.asarray(radius)), not np.any(radius)
        count = np.shape(points)[-2]
        each = _each("from_walls: laminates", laminates, count if sharp else 2 * count)
        if sharp:
            return cls(outline.polygon(points, _thickness(each), surface=surface), each)
        return cls(outline.filleted(points, fillet, _thickness(each), surface=surface), each)

    @cached_property
    def states(self) -> States:
        """The section solved for its six unit forces."""
        return solve(self.contour, np.stack([wall.abd for wall in self.laminates]))

    @cached_property
    def with_thick_corners(self) -> ThickCorners:
        """The section with the stiffness and expansion of its curved walls as stacks bent to their radius."""
        return thick_corners(self.contour, self.laminates)

    @property
    def compliance(self) -> Array:
        """Strains per force (N, V2, V3, T, M2, M3), shape (6, 6) [1/N], [1/(N m)], [1/(N m^2)]."""
        return self.states.compliance

    @property
    def stiffness(self) -> Array:
        """Forces (N, V2, V3, T, M2, M3) per strain, shape (6, 6) [N], [N m], [N m^2]."""
        return self.states.stiffness

    @checked
    def stiffness_about(
        self,
        point: Annotated[ArrayLike, Limits("m", shape=(2,))],
        angle: Annotated[float, Limits("rad")] = 0.0,
    ) -> Array:
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
        return inverse(centers.turned(centers.moved(self.compliance, point), angle))

    @property
    def centroid(self) -> Array:
        """Point where an axial force does not bend the section, shape (2,) [m]."""
        return centers.centroid(self.compliance)

    @property
    def shear_center(self) -> Array:
        """Point where a transverse force does not twist the section, shape (2,) [m]."""
        return centers.shear_center(self.compliance)

    @property
    def principal_axes(self) -> centers.PrincipalAxes:
        """Angle [rad] and bending stiffness [N m^2] of the principal axes."""
        return centers.principal_axes(self.compliance)

    @property
    def mass_per_length(self) -> float:
        """Mass per length of the span [kg/m]."""
        return float(self.inertia[0, 0])

    @cached_property
    def inertia(self) -> Array:
        """Mass matrix per length, for (u1, u2, u3, r1, r2, r3), shape (6, 6) [kg/m], [kg], [kg m]."""
        out = inertia(
            self.contour, [wall.areal_density for wall in self.laminates], _thickness(self.laminates)
        )
        out.setflags(write=False)
        return out

    @checked
    def wall_loads(self, F: Forces, at: Places | None = None) -> Array:
        """Running loads of the walls under section forces.

        Parameters
        ----------
        F : array_like, shape (..., 6)
            Section forces (N, V2, V3, T, M2, M3) [N], [N m].
        at : array_like, shape () or (place,), optional
            Fractions of the length of each wall; the middle if left out [-].

        Returns
        -------
        ndarray, shape (..., wall, 6) or (..., wall, place, 6)
            (Nx, Ny, Nxy) [N/m] and (Mx, My, Mxy) [N], with an axis of places where `at` has one.

        Notes
        -----
        Summed around the section these loads return F but for what no wall load represents: of V the shear across the
        walls, (dMx/dx) n, which follows from dM2/dx = V3 and dM3/dx = -V2 and is of order (t/b)^2 (4e-5 of V in a plain
        thin box); and of V and T the shear flow over the connectors between mid-lines of unequal walls (2 percent of T,
        say). With both the sum is F to rounding.
        """
        forces, place = np.asarray(F), np.asarray(0.5 if at is None else at)
        recovery = self.states.recovery(place)
        loads = (forces @ recovery.reshape(-1, 6).T).reshape(*forces.shape[:-1], *recovery.shape[:-1])
        return loads if place.ndim else loads[..., 0, :]

    @checked
    def free_strain(self, temperature_change: Kelvins = 0.0, moisture: Moisture = 0.0) -> Array:
        """Strain of the unloaded section under uniform warming and moisture.

        Parameters
        ----------
        temperature_change : array_like, shape (...)
            Temperature above the stress-free temperature [K].
        moisture : array_like, shape (...)
            Absorbed moisture as mass fraction [-].

        Returns
        -------
        ndarray, shape (..., 6)
            (eps, gamma2, gamma3) [-] and (kappa1, kappa2, kappa3) [1/m].
        """
        return expand(self.states, _free(self, temperature_change, moisture)).strain

    @checked
    def residual_wall_loads(
        self, temperature_change: Kelvins, moisture: Moisture = 0.0, at: Places | None = None
    ) -> Array:
        """Running loads of the unloaded section from cure and moisture; they do not grow with load.

        Parameters
        ----------
        temperature_change : array_like, shape (...)
            Temperature above the stress-free temperature [K].
        moisture : array_like, shape (...)
            Absorbed moisture as mass fraction [-].
        at : array_like, shape () or (place,), optional
            Fractions of the length of each wall; the middle if left out [-].

        Returns
        -------
        ndarray, shape (..., wall, 6) or (..., wall, place, 6)
            (Nx, Ny, Nxy) [N/m] and (Mx, My, Mxy) [N], with an axis of places where `at` has one.
        """
        place = np.asarray(0.5 if at is None else at)
        loads = residual_wall_loads(self.states, _free(self, temperature_change, moisture), place)
        return loads if place.ndim else loads[..., 0, :]

    @checked
    def ply_states(
        self, F: Forces, temperature_change: Kelvins = 0.0, moisture: Moisture = 0.0, at: Place = 0.5
    ) -> tuple[Response, ...]:
        """Strains and stresses in every ply of every wall.

        Parameters
        ----------
        F : array_like, shape (..., 6)
            Section forces (N, V2, V3, T, M2, M3) [N], [N m].
        temperature_change : array_like, shape (...)
            Temperature above the stress-free temperature [K].
        moisture : array_like, shape (...)
            Absorbed moisture as mass fraction [-].
        at : float
            Fraction of the length of each wall [-].

        Returns
        -------
        tuple of laminate.Response
            One for each wall; the loads from restrained expansion are in its residual part.
        """
        loads = self.wall_loads(F, at)
        rest = self.residual_wall_loads(temperature_change, moisture, at)
        return tuple(
            laminate.response(
                N=loads[..., i, :3],
                M=loads[..., i, 3:],
                temperature_change=temperature_change,
                moisture=moisture,
                residual_N=rest[..., i, :3],
                residual_M=rest[..., i, 3:],
            )
            for i, laminate in enumerate(self.laminates)
        )


def _each(who: str, walls: Walls, count: int) -> tuple[Laminate, ...]:
    """One laminate for each of that many walls."""
    each = (walls,) * count if isinstance(walls, Laminate) else tuple(walls)
    if len(each) != count:
        reject(f"Section.{who}", len(each), f"one, or {count} in wall order")
    return each


def _thickness(walls: Sequence[Laminate]) -> list[float]:
    """Thickness of each wall [m]."""
    return [wall.thickness for wall in walls]


def _free(section: Section, temperature_change: ArrayLike, moisture: ArrayLike) -> Array:
    """Free strain of each wall, shape (..., wall, 6)."""
    return np.stack([wall.free_strain(temperature_change, moisture) for wall in section.laminates], axis=-2)
