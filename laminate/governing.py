"""The governing strength ratio of a laminate for very many load cases.

A convex criterion cannot be met between two points at which it is not met. The stress of a ply at some height
is an affine function of midplane strain and curvature, so the safe deformations of a laminate, those safe at
every height, are a convex set, coupled or not. At one deformation stress is linear in the height within all
plies of the same material, strengths and angle, so only the outermost two surfaces of them can govern: the work does
not grow with the number of plies, only with the number of distinct (material, strengths, angle).
"""

from collections.abc import Sequence
from functools import cached_property
from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike, NDArray

from laminate.failure import Criterion, TsaiWu
from laminate.failure.forms import Forms
from laminate.failure.surface import plain
from laminate.stack import Laminate
from materials.allowables import Allowables
from materials.checks import Array, Frozen, Limits, WholeNumbers, checked, reject
from materials.lamina import Lamina

__all__ = ["Governing", "governing"]

TemperatureChange = Annotated[
    float,
    Limits(
        "K", at_least=-1000.0, at_most=1000.0, cause="the change from the stress-free temperature is wanted"
    ),
]
Moisture = Annotated[float, Limits("-", at_least=-0.2, at_most=0.2, cause="given in percent?")]
# Batches are large: they are read in place, and `Forms.ratio` refuses what is not finite as it goes.
Deformations = Annotated[ArrayLike, Limits("any", last=(6,), finite=False, copy=False)]
Strains = Annotated[ArrayLike, Limits("-", last=(3,), finite=False, copy=False)]


class Governing(Frozen):
    """Governing strength ratio of a laminate, prepared by `governing`.

    Parameters
    ----------
    laminate : Laminate
        The stack.
    forms : Forms
        Convex pieces of the criterion at the places that can govern, on the deformation (ex, ey, gxy, kx, ky, kxy).
    ply : ndarray of int, shape (form,)
        Ply of each form, counted from z = -h/2 [-].
    surface : ndarray of int, shape (form,)
        Surface of that ply: 0 the lower, 1 the upper [-].

    Examples
    --------
    >>> from materials import lamina
    >>> prepared = governing(Laminate.from_code("[0/90]s", lamina("T300/5208")), temperature_change=-100.0)
    >>> ply, surface = prepared.place([2e-3, 0.0, 0.0, 0.0, 0.0, 0.0])
    >>> int(ply), float(prepared.ratio_of_strain([2e-3, 0.0, 0.0]).round(2))
    (1, 0.9)
    """

    laminate: Laminate
    forms: Forms
    ply: Annotated[WholeNumbers, Limits("-", at_least=0)]
    surface: Annotated[WholeNumbers, Limits("-", at_least=0, at_most=1)]

    @checked
    def ratio(self, deformation: Deformations) -> Array:
        """Governing strength ratio under given deformations.

        Parameters
        ----------
        deformation : array_like, shape (..., 6)
            Midplane strain [-] and curvature [1/m] that grow with the load.

        Returns
        -------
        ndarray, shape (...)
            R; inf for zero load, 0 if the residual stress alone violates the criterion [-].
        """
        return self.forms.ratio(np.asarray(deformation), "Governing.ratio: deformation [-], [1/m]")

    @checked
    def ratio_of_strain(self, strain: Strains) -> Array:
        """Governing strength ratio under membrane strain without curvature.

        Parameters
        ----------
        strain : array_like, shape (..., 3)
            (ex, ey, gxy) that grow with the load [-].

        Returns
        -------
        ndarray, shape (...)
            R, as `ratio` [-].
        """
        return self._membrane.ratio(np.asarray(strain), "Governing.ratio_of_strain: strain [-]")

    @checked
    def ratio_of_loads(self, loads: Deformations) -> Array:
        """Governing strength ratio under given running loads.

        Parameters
        ----------
        loads : array_like, shape (..., 6)
            (Nx, Ny, Nxy) [N/m] and (Mx, My, Mxy) [N] that grow with the load.

        Returns
        -------
        ndarray, shape (...)
            R, as `ratio` [-].
        """
        return self._loads.ratio(np.asarray(loads), "Governing.ratio_of_loads: loads [N/m], [N]")

    @checked
    def place(
        self, deformation: Annotated[ArrayLike, Limits("any", last=(6,), copy=False)]
    ) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
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
            If the residual stress alone violates the criterion, so that no load governs.
        """
        if self.forms.violated:
            reject(
                "Governing.place: residual stress", "beyond the criterion", "within it for a place to govern"
            )
        form = self.forms.governing(np.asarray(deformation))
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
    """Allowables of a lamina that must have them."""
    if lamina.allowables is None:
        reject(f"Lamina '{lamina.name}': allowables", None, "given, to find its failure")
    return lamina.allowables


def allowables_of_plies(laminate: Laminate, given: Sequence[Allowables] | None) -> tuple[Allowables, ...]:
    """Allowables of each ply: those given, or those of its lamina."""
    if given is None:
        return tuple(allowables_of(ply.lamina) for ply in laminate.plies)
    if len(given) != len(laminate.plies):
        reject("allowables", f"{len(given)} of them", f"one for each of the {len(laminate.plies)} plies")
    return tuple(given)


@checked
def governing(
    laminate: Laminate,
    criterion: Criterion = TsaiWu(),  # noqa: B008
    *,
    temperature_change: TemperatureChange = 0.0,
    moisture: Moisture = 0.0,
    residual_N: Annotated[ArrayLike, Limits("N/m")] = 0.0,
    residual_M: Annotated[ArrayLike, Limits("N")] = 0.0,
    allowables: Sequence[Allowables] | None = None,
) -> Governing:
    """Prepare the governing strength ratio of a laminate.

    Parameters
    ----------
    laminate : Laminate
        The stack; every lamina needs allowables.
    criterion : Criterion
        One that is convex: `MaxStress`, `MaxStrain`, `Hoffman` or `TsaiWu` of `laminate.failure`.
    temperature_change : float
        Uniform temperature above the stress-free one, which makes residual stress [K].
    moisture : float
        Uniform absorbed moisture as mass fraction, which makes residual stress [-].
    residual_N, residual_M : array_like, shape (3,) or 0
        Running loads [N/m] and moments [N] that do not grow with load.
    allowables : sequence of Allowables, optional
        One for each ply, as from `laminate.in_situ`; those of the laminae if not given.

    Returns
    -------
    Governing
        Answers for any number of load cases.

    Raises
    ------
    ValueError
        If a lamina has no allowables, the criterion is not convex, or the residual state is not a single one.

    Notes
    -----
    At each place 1/R = b x + sqrt((b x)^2 + abs(W x)^2) with b and W fixed by material, direction and residual
    stress (`laminate.failure.forms`); the largest over the places is inverted.

    Examples
    --------
    >>> from materials import lamina
    >>> stack = Laminate.from_code("[0/45/-45/90]s", lamina("T300/5208"))
    >>> loads = [[1e5, 0, 0, 0, 0, 0], [0, 0, 1e5, 0, 0, 0]]
    >>> governing(stack).ratio_of_loads(loads).round(2).tolist()
    [2.76, 2.03]
    """
    if not criterion.convex:
        limit = "convex: max_stress, max_strain, hoffman or tsai_wu"
        reject(
            "governing: criterion", criterion.name, limit, "evaluate such a criterion at every ply surface"
        )
    fixed = laminate.response(
        temperature_change=temperature_change,
        moisture=moisture,
        residual_N=residual_N,
        residual_M=residual_M,
    )
    if fixed.shape != ():
        got = f"cases of shape {fixed.shape}"
        reject("governing: residual_N, residual_M", got, "of shape (3,) or 0", "prepare one for each")
    strain = criterion.takes == "strain"
    recovery = laminate.strain_recovery if strain else laminate.stress_recovery
    residual = fixed.residual_strain if strain else fixed.residual_stress
    limits = allowables_of_plies(laminate, allowables)
    outer: dict[tuple[object, Allowables, float], tuple[int, int]] = {}
    for i, ply in enumerate(laminate.plies):
        key = ply.lamina, limits[i], round(ply.angle_deg % 180, 9)
        outer[key] = outer.get(key, (i, i))[0], i
    pieces, ply_of, surface_of = [], [], []
    for i, side in [(i, side) for ends in outer.values() for side, i in enumerate(ends)]:
        suited = criterion.for_kind(laminate.plies[i].lamina.kind)
        surfaces = plain(suited._surfaces(limits[i]))
        pieces.append((surfaces, recovery[i, side], residual[i, side]))
        ply_of += [i] * len(surfaces)
        surface_of += [side] * len(surfaces)
    return Governing(laminate=laminate, forms=Forms.of(pieces), ply=ply_of, surface=surface_of)
