"""The governing strength ratio of a laminate for very many load cases.

A convex criterion cannot be met between two points at which it is not met. The stress of a ply at some height
is an affine function of midplane strain and curvature, so the safe deformations of a laminate, those safe at
every height, are a convex set, coupled or not. At one deformation stress is linear in the height within all
plies of the same material and angle, so only the outermost two surfaces of them can govern: the work does not
grow with the number of plies, only with the number of distinct (material, angle).
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from laminate.failure import CRITERIA
from laminate.failure.forms import Forms
from laminate.failure.surface import Surface
from laminate.failure.tsai_wu import tsai_wu_surfaces
from laminate.stack import Laminate
from materials.allowables import Allowables
from materials.checks import Array, array, number, reject
from materials.kinds import instance, instances
from materials.lamina import Lamina

Criterion = Callable[[Allowables], Sequence[Surface]]


@dataclass(frozen=True, kw_only=True, eq=False)
class Governing:
    """The forms of a laminate that can govern, and where each of them is; made by `governing`.

    Parameters
    ----------
    laminate : Laminate
        The stack.
    forms : Forms
        On the deformation (ex, ey, gxy, kx, ky, kxy).
    ply : ndarray of int, shape (form,)
        Ply of each form, counted from z = -h/2 [-].
    surface : ndarray of int, shape (form,)
        Surface of that ply: 0 the lower, 1 the upper [-].
    """

    laminate: Laminate
    forms: Forms
    ply: NDArray[np.intp]
    surface: NDArray[np.intp]

    def ratio(self, deformation: ArrayLike) -> Array:
        """Governing strength ratio under given deformations.

        Parameters
        ----------
        deformation : array_like, shape (..., 6)
            Midplane strain [-] and curvature [1/m] that grow with the load.

        Returns
        -------
        ndarray, shape (...)
            R; inf for zero load, 0 if the residual stress alone violates the criterion [-].

        Raises
        ------
        ValueError
            If the shape does not fit or a value is not finite.
        """
        return self.forms.ratio(deformation, "Governing: deformation [-], [1/m]")

    def ratio_of_strain(self, strain: ArrayLike) -> Array:
        """Governing strength ratio under membrane strain, curvature held at zero.

        Parameters
        ----------
        strain : array_like, shape (..., 3)
            (ex, ey, gxy) that grow with the load [-].

        Returns
        -------
        ndarray, shape (...)
            R; inf for zero load, 0 if the residual stress alone violates the criterion [-].

        Raises
        ------
        ValueError
            If the shape does not fit or a value is not finite.
        """
        return self._membrane.ratio(strain, "Governing: strain [-]")

    def ratio_of_loads(self, loads: ArrayLike) -> Array:
        """Governing strength ratio under given running loads.

        Parameters
        ----------
        loads : array_like, shape (..., 6)
            (Nx, Ny, Nxy) [N/m] and (Mx, My, Mxy) [N] that grow with the load.

        Returns
        -------
        ndarray, shape (...)
            R; inf for zero load, 0 if the residual stress alone violates the criterion [-].

        Raises
        ------
        ValueError
            If the shape does not fit or a value is not finite.
        """
        return self._loads.ratio(loads, "Governing: loads [N/m], [N]")

    def place(self, deformation: ArrayLike) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
        """Ply and surface that govern.

        Parameters
        ----------
        deformation : array_like, shape (..., 6)
            Midplane strain [-] and curvature [1/m] that grow with the load.

        Returns
        -------
        ply : ndarray of int, shape (...)
            Ply, counted from z = -h/2 [-].
        surface : ndarray of int, shape (...)
            0 the lower surface of the ply, 1 the upper [-].

        Raises
        ------
        ValueError
            If the shape does not fit or a value is not finite, or the residual stress alone violates
            the criterion, so that no load governs.
        """
        x = array("Governing: deformation [-], [1/m]", deformation, last=(6,), copy=False)
        if self.forms.violated:
            reject("Governing: residual stress", "beyond the criterion", "within it for a place to govern")
        form = self.forms.governing(x)
        return self.ply[form], self.surface[form]

    @cached_property
    def _membrane(self) -> Forms:
        """The forms on the midplane strain, equal ones (no residual stress: both surfaces) once."""
        flat = np.concatenate([self.forms.linear[:, None, :3], self.forms.root[:, :, :3]], axis=1)
        flat = np.unique(flat, axis=0)
        return Forms(linear=flat[:, 0], root=flat[:, 1:], violated=self.forms.violated)

    @cached_property
    def _loads(self) -> Forms:
        """The forms on the running loads."""
        C = self.laminate.compliance
        return Forms(linear=self.forms.linear @ C, root=self.forms.root @ C, violated=self.forms.violated)


def allowables_of(lamina: Lamina) -> Allowables:
    """The allowables of a lamina that must have them.

    Parameters
    ----------
    lamina : Lamina
        The material.

    Returns
    -------
    Allowables
        Its strengths.

    Raises
    ------
    ValueError
        If it has none, or is no lamina.
    """
    instance("allowables_of: lamina", lamina, Lamina)
    if lamina.allowables is None:
        reject(f"Lamina '{lamina.name}': allowables", None, "given, to judge its failure")
    return lamina.allowables


def governing(
    laminate: Laminate,
    criterion: Criterion = tsai_wu_surfaces,
    *,
    temperature_change: float = 0.0,
    moisture: float = 0.0,
    residual_N: ArrayLike = 0.0,
    residual_M: ArrayLike = 0.0,
) -> Governing:
    """Prepare the governing strength ratio of a laminate.

    Parameters
    ----------
    laminate : Laminate
        The stack; every lamina needs allowables.
    criterion : callable
        ``max_stress_surfaces``, ``max_strain_surfaces``, ``hoffman_surfaces`` or ``tsai_wu_surfaces``: those
        that are convex. ``functools.partial(tsai_wu_surfaces, interaction=0.0)`` sets a parameter.
    temperature_change : float
        Uniform temperature above the stress-free one, which makes residual stress [K].
    moisture : float
        Uniform absorbed moisture as mass fraction, which makes residual stress [-].
    residual_N, residual_M : array_like, shape (3,) or 0
        Running loads [N/m] and moments [N] that do not grow with load.

    Returns
    -------
    Governing
        Answers for any number of load cases.

    Raises
    ------
    ValueError
        If a lamina has no allowables, the criterion is not convex, or the residual state is not a single
        possible one.
    """
    given: object = criterion
    if given in CRITERIA or not callable(given):
        names = "max_stress_surfaces, max_strain_surfaces, hoffman_surfaces or tsai_wu_surfaces"
        reject("governing: criterion", criterion, names, "the surfaces of the criterion, not its ratio")
    fixed = instance("governing: laminate", laminate, Laminate).response(
        temperature_change=number("governing: temperature_change [K]", temperature_change),
        moisture=number("governing: moisture [-]", moisture),
        residual_N=residual_N,
        residual_M=residual_M,
    )
    if fixed.shape != ():
        reject(
            "governing: residual_N, residual_M",
            f"cases of shape {fixed.shape}",
            "of shape (3,) or 0",
            "prepare one for each",
        )
    outer: dict[tuple[object, float], tuple[int, int]] = {}
    for i, ply in enumerate(laminate.plies):
        key = ply.lamina, round(ply.angle_deg % 180, 9)
        outer[key] = outer.get(key, (i, i))[0], i
    places = [(i, side) for lowest, highest in outer.values() for i, side in ((lowest, 0), (highest, 1))]
    pieces, ply_of, surface_of = [], [], []
    for i, side in places:
        made = criterion(allowables_of(laminate.plies[i].lamina))
        surfaces = instances("governing: criterion, its surfaces", made, Surface)
        in_strain = surfaces[0].of == "strain"
        recovery = laminate.strain_recovery if in_strain else laminate.stress_recovery
        residual = fixed.residual_strain if in_strain else fixed.residual_stress
        pieces.append((surfaces, recovery[i, side], residual[i, side]))
        ply_of += [i] * len(surfaces)
        surface_of += [side] * len(surfaces)
    return Governing(
        laminate=laminate, forms=Forms.of(pieces), ply=np.array(ply_of), surface=np.array(surface_of)
    )
