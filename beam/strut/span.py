"""The span: a flexible line in space under loads, apart from what it is made of."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beam.strut.axis import SNAP, Axis
from beam.strut.loads import PointLoads
from beam.strut.solver import buckling, equilibrium, kinematics, linear, redundants, vibration
from beam.strut.solver.equilibrium import Deformed
from beam.strut.solver.field import Field, Property, field
from beam.strut.solver.vibration import Modes, PointMass
from beam.strut.supports import Held, Support, gather
from materials.checks import Array, array, flag, reject, whole
from materials.kinds import instance

STATIONS = 21


@dataclass(frozen=True, kw_only=True, eq=False)
class Span:
    """A beam in space on supports.

    Parameters
    ----------
    axis : Axis, array_like, shape (point, 3), or float
        The axis; its points in strut axes, straight between them; or the length of a straight axis [m].
    stiffness : array_like, shape (station, 6, 6) or (6, 6), or callable
        Section stiffness in the order N, V2, V3, T, M2, M3 about the axis: at the stations and linear
        between them, one for the whole span, or a callable s -> (6, 6) that may jump at a station
        [N, N m, N m2].
    inertia : array_like or callable, as stiffness, optional
        Section inertia per length in the same order [kg/m, kg, kg m].
    supports : sequence of Support, optional
        What holds the span; by default a clamp at the root.
    stations : array_like, shape (station,), or int, optional
        Stations from root to tip, or how many evenly spaced; by default the points of an axis that has
        more than two, else as many as the stiffness has, else 21 [m].

    Raises
    ------
    ValueError
        If stations are out of order or off the axis, the stiffness is not symmetric and positive
        definite, or the supports leave a mechanism or hold the same motion twice.
    """

    axis: Axis
    stiffness: Field
    inertia: Field | None
    held: Held
    stations: Array

    def __init__(
        self,
        *,
        axis: Axis | ArrayLike,
        stiffness: Property,
        inertia: Property | None = None,
        supports: Sequence[Support] | None = None,
        stations: ArrayLike | None = None,
    ) -> None:
        line = _axis(axis)
        where = _stations(line, stations, stiffness)
        K = field("Span: stiffness [N, N m, N m2]", stiffness, where)
        M = None if inertia is None else field("Span: inertia [kg/m, kg, kg m]", inertia, where)
        _check(K, "stiffness", 0.0)
        if M is not None:
            _check(M, "inertia", -1e-9)
        held = gather(line, (Support.clamp(),) if supports is None else supports)
        named = {"axis": line, "stiffness": K, "inertia": M, "held": held, "stations": where}
        for name, value in named.items():
            object.__setattr__(self, name, value)
        _ = self.primary

    @cached_property
    def rigid(self) -> Array:
        """Held motions of the span taken as rigid, shape (direction, 6) [-, m]."""
        lever = self.axis.position(self.held.at) - self.axis.points[0]
        return redundants.rigid_forms(lever, self.held.rows)

    @cached_property
    def primary(self) -> NDArray[np.intp]:
        """Numbers of six held directions that would do alone, shape (6,); the others are redundant [-]."""
        return redundants.primary(self.rigid, self.axis.length)

    def forces(
        self,
        loads: PointLoads,
        at: ArrayLike | None = None,
        *,
        large: bool = False,
        free_strain: Property | None = None,
    ) -> Array:
        """Section forces: what the outboard part puts on the inboard part.

        Parameters
        ----------
        loads : PointLoads
            The loads.
        at : array_like, shape (station,), optional
            Stations; by default those of the span [m].
        large : bool
            Let the loads follow the deflected shape, rotations exact (`equilibrium`); the axes of the section
            forces then turn with the section.
        free_strain : array_like, shape (station, 6) or (6,), or callable, optional
            Strain of heat and moisture that needs no force: extension, shears, twist and curvatures at the
            stations of the span, or as a function of the station [-, 1/m].

        Returns
        -------
        ndarray, shape (..., case, station, 6)
            N, V2, V3, T, M2, M3 in section axes [N, N m].

        Notes
        -----
        A station exactly at a load, a support or a kink is taken just inboard of it, so the load is
        included; the root is taken just outboard of what holds it.
        """
        s, where = self._at(at), self._loaded(loads)
        if flag("Span: large", large):
            return self._deformed(loads, s, free_strain).force
        R = self.reactions(loads, free_strain=free_strain)
        return linear.section_forces(self, where, loads.wrench, R, s)

    def displacement(
        self,
        loads: PointLoads,
        at: ArrayLike | None = None,
        *,
        large: bool = False,
        free_strain: Property | None = None,
    ) -> Array:
        """Displacements and rotations along the span.

        Parameters
        ----------
        loads : PointLoads
            The loads.
        at : array_like, shape (station,), optional
            Stations; by default those of the span [m].
        large : bool
            As for `forces`; the rotation is then a rotation vector.
        free_strain : array_like, shape (station, 6) or (6,), or callable, optional
            As for `forces` [-, 1/m].

        Returns
        -------
        ndarray, shape (..., case, station, 6)
            u1, u2, u3 [m], r1, r2, r3 [rad] in strut axes.
        """
        s, where = self._at(at), self._loaded(loads)
        if flag("Span: large", large):
            return self._deformed(loads, s, free_strain).displacement
        return linear.reactions(self, where, loads.wrench, self._free(free_strain), s)[1]

    def reactions(
        self, loads: PointLoads, *, large: bool = False, free_strain: Property | None = None
    ) -> Array:
        """Forces and moments that the supports put on the span, in the order of `held.names`.

        Parameters
        ----------
        loads : PointLoads
            The loads.
        large : bool
            As for `forces`.
        free_strain : array_like, shape (station, 6) or (6,), or callable, optional
            As for `forces` [-, 1/m].

        Returns
        -------
        ndarray, shape (..., case, direction)
            Reactions along and about the held directions [N, N m].
        """
        where = self._loaded(loads)
        if flag("Span: large", large):
            return self._deformed(loads, self.stations[:1], free_strain).reaction
        strain = self._free(free_strain)
        if len(self.held.at) == 6:
            return -linear.resultant(self, where, loads.wrench) @ np.linalg.inv(self.rigid)
        return linear.reactions(self, where, loads.wrench, strain, self.stations[:1])[0]

    def buckling_factor(self, loads: PointLoads, *, free_strain: Property | None = None) -> Array:
        """Factor on each load case at which the span buckles, as `buckling.factor` says.

        Parameters
        ----------
        loads : PointLoads
            The loads.
        free_strain : array_like, shape (station, 6) or (6,), or callable, optional
            As for `forces`; what it makes in redundant supports does not grow with the factor [-, 1/m].

        Returns
        -------
        ndarray, shape (..., case)
            Lowest positive factor; infinite where none buckles the span [-].
        """
        self._loaded(loads)
        return buckling.factor(self, loads, self._free(free_strain))

    def modes(self, n: int, *, masses: Sequence[PointMass] = ()) -> Modes:
        """Natural frequencies and mode shapes.

        Parameters
        ----------
        n : int
            How many, the lowest first [-].
        masses : sequence of PointMass
            Masses carried besides the span's own.

        Returns
        -------
        Modes
            Frequencies and shapes.
        """
        return vibration.modes(self, n, masses)

    def frequencies(self, n: int, *, masses: Sequence[PointMass] = ()) -> Array:
        """Lowest natural frequencies.

        Parameters
        ----------
        n : int
            How many [-].
        masses : sequence of PointMass
            Masses carried besides the span's own.

        Returns
        -------
        ndarray, shape (mode,)
            Frequencies, the lowest first [Hz].
        """
        return vibration.modes(self, n, masses).frequency

    def _deformed(self, loads: PointLoads, s: Array, strain: Property | None) -> Deformed:
        found = equilibrium.find(self, loads, self._free(strain), s)
        case = loads.force.shape[:-2]
        return Deformed(*(part.reshape(*case, *part.shape[1:]) for part in found))

    def _free(self, strain: Property | None) -> Field | None:
        return None if strain is None else field("Span: free_strain [-, 1/m]", strain, self.stations, (6,))

    def _loaded(self, loads: PointLoads) -> Array:
        return self.axis.check("PointLoads: at [m]", instance("Span: loads", loads, PointLoads).at)

    def _at(self, at: ArrayLike | None) -> Array:
        if at is None:
            return self.stations
        s = self.axis.check("Span: at [m]", at)
        if s.ndim != 1:
            reject("Span: at [m]", f"shape {s.shape}", "(station,)")
        return s


def _axis(given: Axis | ArrayLike) -> Axis:
    if isinstance(given, Axis):
        return given
    points = array("Span: axis [m]", given)
    return Axis.straight(float(points)) if points.ndim == 0 else Axis(points=points)


def _stations(axis: Axis, given: ArrayLike | None, stiffness: Property) -> Array:
    if given is None and len(axis.kinks) > 2:
        return axis.kinks
    if given is None and isinstance(stiffness, Field):
        return stiffness.stations
    if given is None:
        shape = () if callable(stiffness) else np.shape(np.asarray(stiffness))
        given = shape[0] if len(shape) == 3 else STATIONS
    if np.ndim(given) == 0:
        count = whole("Span: stations [-]", given, at_least=2)  # type: ignore[arg-type]
        given = np.linspace(0.0, axis.length, count)
    out: Array = axis.check("Span: stations [m]", given)
    ordered = out.ndim == 1 and out.size > 1 and bool((np.diff(out) > SNAP * axis.length).all())
    if not ordered or out[0] != 0.0 or out[-1] != axis.length:
        reject("Span: stations [m]", array("stations", out), f"growing from 0 to the tip at {axis.length:g}")
    out.setflags(write=False)
    return out


def _check(matrix: Field, name: str, least: float) -> None:
    s = kinematics.gauss(matrix.stations)[0].ravel()
    values = matrix.at(s)
    d = np.sqrt(np.abs(np.einsum("...ii->...i", values)))
    d = np.where(d > 0, d, 1.0)
    unit = values / (d[..., :, None] * d[..., None, :])
    if (np.abs(unit - np.swapaxes(unit, -1, -2)) > 1e-9).any():
        reject(f"Span: {name}", "a matrix that is not symmetric", "symmetric", "order N, V2, V3, T, M2, M3?")
    lowest = np.linalg.eigvalsh(unit).min(axis=-1)
    if (lowest <= least).any():
        reject(
            f"Span: {name} at {s[np.argmin(lowest)]:.4g} m",
            "a matrix that is not positive definite",
            "positive definite",
        )
