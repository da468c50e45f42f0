"""Response of a laminate to loads, prescribed deformations, temperature and moisture.

Two parts are kept apart, because a strength ratio scales only one of them:

* the load part grows with N, M and the prescribed deformations;
* the residual part does not: temperature, moisture, and the running loads that neighbors put on a
  wall because they expand differently (`residual_N`, `residual_M`).
"""

from collections.abc import Sequence
from functools import cached_property
from typing import Annotated, Any, Protocol, runtime_checkable

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, Frozen, Limits, Numbers, common_shape, reject

__all__ = ["Response"]


@runtime_checkable
class Stack(Protocol):
    """What a response needs of its laminate; `laminate.Laminate` says what each array is."""

    @property
    def Q(self) -> Array:
        """Stiffness of each ply in its own axes."""

    @property
    def rotation(self) -> Array:
        """Strain from laminate to ply axes."""

    @property
    def interfaces(self) -> Array:
        """Heights of the ply boundaries."""

    @property
    def surfaces(self) -> Array:
        """Heights of both surfaces of each ply."""

    @property
    def abd(self) -> Array:
        """Stiffness of the stack."""

    @property
    def strain_recovery(self) -> Array:
        """Ply strain per deformation."""

    @property
    def stress_recovery(self) -> Array:
        """Ply stress per deformation."""

    @property
    def plies(self) -> Sequence[Any]:
        """The plies, first at z = -h/2."""

    def resultants_of(self, free_strain: ArrayLike) -> Array:
        """Resultants that suppress free strains of the plies."""


class Response(Frozen):
    """Deformations, strains and stresses of a laminate; ply results are in ply axes (1, 2, 12).

    Every result has the broadcast shape of the inputs in front.

    Parameters
    ----------
    laminate : Laminate
        The stack.
    load_deformation : array_like, shape (..., 6)
        Midplane strain [-] and curvature [1/m] from what grows with load [-, 1/m].
    residual_deformation : array_like, shape (..., 6)
        The same from what does not [-, 1/m].
    free : array_like, shape (..., ply, surface, 3)
        Free expansion of each ply, in ply axes; the surface axis may have length 1 [-].

    Raises
    ------
    ValueError: if an array has another shape or is not finite, or the arrays fit neither the plies nor each other.

    Notes
    -----
    stress = load_stress + residual_stress = Q (T (e0 + z k) - free), and likewise for strain. A criterion takes
    the two parts apart: ``f(r.load_stress, allowables, residual=r.residual_stress)``.

    Examples
    --------
    >>> import materials
    >>> from laminate import Laminate
    >>> stack = Laminate.from_code("[0/90]s", materials.lamina("T300/5208"))
    >>> r = stack.response(N=[1e5, 0.0, 0.0], temperature_change=-100.0)
    >>> (r.stress[:2, 0, 0] / 1e6).round(1)  # along the fibers of the first two plies
    array([357.4, -26.7])
    >>> (r.load_stress + r.residual_stress == r.stress).all()
    np.True_
    """

    laminate: Stack
    load_deformation: Annotated[Numbers, Limits("-, 1/m", last=(6,))]
    residual_deformation: Annotated[Numbers, Limits("-, 1/m", last=(6,))]
    free: Annotated[Numbers, Limits("-", last=(-1, -1, 3))]

    def __post_init__(self) -> None:
        super().__post_init__()
        plies, free = len(self.laminate.plies), self.free.shape
        if free[-3] != plies or free[-2] not in (1, 2):
            reject("Response: free", f"shape {free}", f"of shape (..., {plies}, 1 or 2, 3)")
        lead = (self.load_deformation.shape[:-1], self.residual_deformation.shape[:-1], free[:-3])
        common_shape("Response: load_deformation, residual_deformation, free, leading", *lead)

    @property
    def shape(self) -> tuple[int, ...]:
        """Shape in front of every result: the broadcast of the inputs."""
        return np.broadcast_shapes(
            self.load_deformation.shape[:-1], self.residual_deformation.shape[:-1], self.free.shape[:-3]
        )

    @cached_property
    def deformation(self) -> Array:
        """Midplane strain [-] and curvature [1/m], both parts, shape (..., 6)."""
        return self._full(self.load_deformation + self.residual_deformation, 1)

    @property
    def midplane_strain(self) -> Array:
        """Strain of the midplane as a gauge would measure it, expansion included, shape (..., 3) [-]."""
        return self.deformation[..., :3]

    @property
    def curvature(self) -> Array:
        """Curvature as it would be measured, expansion included, shape (..., 3) [1/m]."""
        return self.deformation[..., 3:]

    @cached_property
    def load_strain(self) -> Array:
        """Ply strain that grows with load, shape (..., ply, surface, 3) [-]."""
        return self._full(_recover(self.laminate.strain_recovery, self.load_deformation), 3)

    @cached_property
    def residual_strain(self) -> Array:
        """Stress-producing ply strain that does not grow with load, shape (..., ply, surface, 3) [-]."""
        return self._full(_recover(self.laminate.strain_recovery, self.residual_deformation) - self.free, 3)

    @cached_property
    def strain(self) -> Array:
        """Stress-producing ply strain, free expansion taken off, shape (..., ply, surface, 3) [-].

        Strain allowables are compared with it. A gauge would show `laminate_strain`.
        """
        return self._full(self.load_strain + self.residual_strain, 3)

    @cached_property
    def load_stress(self) -> Array:
        """Ply stress that grows with load, shape (..., ply, surface, 3) [Pa]."""
        return self._full(_recover(self.laminate.stress_recovery, self.load_deformation), 3)

    @cached_property
    def residual_stress(self) -> Array:
        """Ply stress that does not grow with load, shape (..., ply, surface, 3) [Pa]."""
        whole = _recover(self.laminate.stress_recovery, self.residual_deformation)
        return self._full(whole - np.einsum("pij,...psj->...psi", self.laminate.Q, self.free), 3)

    @cached_property
    def stress(self) -> Array:
        """Ply stress, load and residual part together, shape (..., ply, surface, 3) [Pa]."""
        return self._full(self.load_stress + self.residual_stress, 3)

    @cached_property
    def laminate_strain(self) -> Array:
        """Geometric strain in laminate axes as a gauge would show it, shape (..., ply, surface, 3) [-]."""
        u = self.deformation[..., None, None, :]
        return self._full(u[..., :3] + self.laminate.surfaces[..., None] * u[..., 3:], 3)

    @cached_property
    def laminate_stress(self) -> Array:
        """Ply stress in laminate axes, shape (..., ply, surface, 3) [Pa]."""
        return self._full(np.einsum("pji,...psj->...psi", self.laminate.rotation, self.stress), 3)

    @property
    def N(self) -> Array:
        """Running loads, reactions to prescribed strains included, shape (..., 3) [N/m]."""
        return self._loads[..., :3]

    @property
    def M(self) -> Array:
        """Running moments, reactions to prescribed curvatures included, shape (..., 3) [N]."""
        return self._loads[..., 3:]

    @cached_property
    def _loads(self) -> Array:
        return self._full(self.deformation @ self.laminate.abd - self.laminate.resultants_of(self.free), 1)

    def _full(self, part: Array, trailing: int) -> Array:
        return np.broadcast_to(part, self.shape + part.shape[part.ndim - trailing :])


def _recover(recovery: Array, deformation: Array) -> Array:
    """Ply strain or stress (..., ply, surface, 3) of deformations (..., 6)."""
    flat = deformation @ recovery.reshape(-1, 6).T
    return flat.reshape(*deformation.shape[:-1], *recovery.shape[:-1])
