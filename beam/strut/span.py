"""The span: a flexible line in space under loads, apart from what it is made of."""

from collections.abc import Sequence
from dataclasses import field as declared
from typing import Annotated, Any

import numpy as np
from numpy.typing import ArrayLike

from beam.strut.axis import SNAP, Axis, snap
from beam.strut.point_loads import PointLoads
from beam.strut.solver import buckling, large, linear, vibration
from beam.strut.solver.field import Field, Property, field, gauss
from beam.strut.solver.vibration import Modes, PointMass
from beam.strut.supports import Held, Support, gather
from materials.checks import Array, Frozen, Limits, array, checked, reject, whole

STATIONS = 21
Stations = Annotated[ArrayLike | None, Limits("m", shape=(-1,))]
Masses = Annotated[Sequence[PointMass], Limits(items=0)]


class Span(Frozen):
    """A beam in space on supports.

    Parameters
    ----------
    axis : Axis, array_like, shape (point, 3), or float
        The axis; or its points in strut axes, straight between them; or the length of a straight axis [m].
    stiffness : array_like, shape (station, 6, 6) or (6, 6), or callable
        Section stiffness in the order N, V2, V3, T, M2, M3 about the axis: at the stations and linear between them,
        one for the whole span, or a callable s -> (6, 6) that may jump at a station [N, N m, N m2].
    inertia : array_like or callable, as stiffness, optional
        Section inertia per length in the same order [kg/m, kg, kg m].
    supports : sequence of Support, optional
        What restrains the span; by default a clamp at the root.
    stations : array_like, shape (station,), or int, optional
        Stations from root to tip, or how many evenly spaced; by default the points of an axis that has more than two,
        else as many as the stiffness has, else 21 [m].

    Raises
    ------
    ValueError
        If stations are out of order or off the axis, the stiffness is not symmetric and positive definite, or the
        supports leave a mechanism or restrain the same motion twice.

    Notes
    -----
    With u, r the displacement and rotation, t the direction of the axis and C the inverse of the stiffness,

        gamma = u' + t x r,   kappa = r',   (gamma, kappa) = C (N, V2, V3, T, M2, M3) + free strain

    Section forces follow from equilibrium, reactions of redundant supports by the force method, displacements by
    integration with six Gauss points in every piece.

    Examples
    --------
    >>> span = Span(axis=2.0, stiffness=np.diag([1e9, 1e9, 1e9, 1e4, 2e4, 3e4]))
    >>> loads = PointLoads(at=[2.0], force=[[[0.0, 0.0, 300.0]]])
    >>> span.forces(loads, at=[0.0])[0, 0, 4]  # M2 = -P L
    np.float64(-600.0)
    >>> span.displacement(loads)[0, -1, 2].round(4)  # P L^3 / (3 E I)
    np.float64(0.04)
    """

    axis: Axis
    stiffness: Field
    inertia: Field | None
    supports: Sequence[Support] | None
    stations: Array
    held: Held = declared(init=False, repr=False)

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
        values: dict[str, Any] = {"axis": line, "stiffness": K, "inertia": M, "stations": where}
        values["held"] = gather(line, (Support.clamp(),) if supports is None else supports)
        values["supports"] = None if supports is None else tuple(supports)
        for name, value in values.items():
            object.__setattr__(self, name, value)

    @checked
    def forces(
        self,
        loads: PointLoads,
        at: Stations = None,
        *,
        large: bool = False,
        free_strain: Property | None = None,
    ) -> Array:
        """Section forces N, V2, V3, T, M2, M3 (..., case, station, 6) in section axes [N, N m].

        Parameters
        ----------
        loads : PointLoads
            The loads.
        at : array_like, shape (station,), optional
            Stations; by default those of the span [m].
        large : bool
            Let the loads follow the deflected shape, rotations exact; the axes of the section forces then turn with
            the section.
        free_strain : array_like, shape (station, 6) or (6,), or callable, optional
            Strain of heat and moisture that needs no force: extension, shears, twist and curvatures at the stations
            of the span, or as a function of the station [-, 1/m].

        Notes
        -----
        A station at a load, a support or a kink is taken just inboard of it, so the load is included. The root is
        taken just outboard of its support.
        """
        s, on_axis = self._at(at), self._loaded(loads)
        if large:
            return self._deformed(on_axis, s, free_strain).force
        strain = self._free(free_strain)
        R = linear.support_reactions(self.axis, self.stiffness, self.held, on_axis, strain)
        return linear.section_forces(self.axis, self.held, on_axis, R, s)

    @checked
    def displacement(
        self,
        loads: PointLoads,
        at: Stations = None,
        *,
        large: bool = False,
        free_strain: Property | None = None,
    ) -> Array:
        """Displacements u1, u2, u3 [m] and rotations r1, r2, r3 [rad] (..., case, station, 6) in strut axes.

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
        """
        s, on_axis = self._at(at), self._loaded(loads)
        if large:
            return self._deformed(on_axis, s, free_strain).displacement
        return linear.solve(self.axis, self.stiffness, self.held, on_axis, self._free(free_strain), s)[1]

    @checked
    def reactions(
        self, loads: PointLoads, *, large: bool = False, free_strain: Property | None = None
    ) -> Array:
        """Forces and moments (..., case, direction) of the supports on the span, in the order of `held.names`.

        Parameters
        ----------
        loads : PointLoads
            The loads.
        large : bool
            As for `forces`.
        free_strain : array_like, shape (station, 6) or (6,), or callable, optional
            As for `forces` [-, 1/m].
        """
        on_axis = self._loaded(loads)
        if large:
            return self._deformed(on_axis, self.stations[:1], free_strain).reaction
        strain = self._free(free_strain)
        return linear.support_reactions(self.axis, self.stiffness, self.held, on_axis, strain)

    @checked
    def buckling_factor(self, loads: PointLoads, *, free_strain: Property | None = None) -> Array:
        """Lowest positive factor (..., case) on each load case at which the span buckles; infinite where none does.

        Parameters
        ----------
        loads : PointLoads
            The loads.
        free_strain : array_like, shape (station, 6) or (6,), or callable, optional
            As for `forces`; the forces it makes in redundant supports do not grow with the factor [-, 1/m].

        Notes
        -----
        The factor is 1/mu, mu the largest eigenvalue of K_geometric x = mu K_elastic x, about the unloaded shape.
        Forces keep their direction and go with their points. A factor at which tension would strain the span by a
        quarter counts as infinite.
        """
        return buckling.factor(
            self.axis, self.stiffness, self.held, self._loaded(loads), self._free(free_strain)
        )

    @checked
    def modes(self, n: Annotated[int, Limits("-", at_least=1)], *, masses: Masses = ()) -> Modes:
        """Natural frequencies and mode shapes.

        Parameters
        ----------
        n : int
            How many, the lowest first [-].
        masses : sequence of PointMass
            Masses carried besides the span's own.
        """
        return vibration.modes(self.axis, self.stiffness, self.inertia, self.held, n, masses)

    @checked
    def frequencies(self, n: Annotated[int, Limits("-", at_least=1)], *, masses: Masses = ()) -> Array:
        """Lowest natural frequencies (mode,) [Hz].

        Parameters
        ----------
        n : int
            How many [-].
        masses : sequence of PointMass
            Masses carried besides the span's own.
        """
        return self.modes(n, masses=masses).frequency

    def _deformed(self, loads: PointLoads, s: Array, free_strain: Property | None) -> large.Deformed:
        return large.find(self.axis, self.stiffness, self.held, loads, self._free(free_strain), s)

    def _free(self, strain: Property | None) -> Field | None:
        return None if strain is None else field("Span: free_strain [-, 1/m]", strain, self.stations, (6,))

    def _loaded(self, loads: PointLoads) -> PointLoads:
        """The loads at stations of the axis."""
        at = self.axis.check("PointLoads: at [m]", loads.at)
        if (at == loads.at).all():
            return loads
        return PointLoads(at=at, force=loads.force, moment=loads.moment, arm=loads.arm)

    def _at(self, at: ArrayLike | None) -> Array:
        return self.stations if at is None else self.axis.check("Span: at [m]", at)


def _axis(given: Axis | ArrayLike) -> Axis:
    if isinstance(given, Axis):
        return given
    points = array("Span: axis [m]", given)
    return Axis.straight(float(points)) if points.ndim == 0 else Axis(points=points)


def _stations(axis: Axis, given: ArrayLike | None, stiffness: Property) -> Array:
    """Stations of the span: given, or by the axis, or by the stiffness."""
    if given is None and len(axis.kinks) > 2:
        return axis.kinks
    if given is None and isinstance(stiffness, Field):
        given = stiffness.stations
    if given is None:
        shape = () if callable(stiffness) else np.shape(np.asarray(stiffness))
        given = shape[0] if len(shape) == 3 else STATIONS
    out = array("Span: stations [m]", given)
    if out.ndim == 0:
        out = np.linspace(0.0, axis.length, whole("Span: stations [-]", float(out), at_least=2))
    out = snap(out, axis.kinks, axis.length)
    ordered = out.ndim == 1 and out.size > 1 and bool((np.diff(out) > SNAP * axis.length).all())
    if not ordered or out[0] != 0.0 or out[-1] != axis.length:
        reject("Span: stations [m]", out, f"growing from 0 to the tip at {axis.length:g}")
    out.setflags(write=False)
    return out


def _check(matrix: Field, name: str, least: float) -> None:
    """Refuse a matrix along the span that is not symmetric, or with an eigenvalue <= `least` of its scaled form."""
    s = gauss(matrix.stations)[0].ravel()
    values = matrix.at(s)
    d = np.sqrt(np.abs(np.einsum("...ii->...i", values)))
    d = np.where(d > 0, d, 1.0)
    unit = values / (d[..., :, None] * d[..., None, :])
    if (np.abs(unit - np.swapaxes(unit, -1, -2)) > 1e-9).any():
        reject(f"Span: {name}", "a matrix that is not symmetric", "symmetric", "order N, V2, V3, T, M2, M3?")
    lowest = np.linalg.eigvalsh(unit).min(axis=-1)
    if (lowest <= least).any():
        where = f"Span: {name} at {s[np.argmin(lowest)]:.4g} m"
        reject(where, "a matrix that is not positive definite", "positive definite")
