"""What a laminate does under loads, given deformations, temperature and moisture.

Two parts are kept apart all the way, because a strength ratio scales only one of them:

* the load part grows with N, M and the prescribed deformations;
* the residual part does not: temperature, moisture, and the running loads that neighbors put on a
  wall because they expand differently (`residual_N`, `residual_M`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike

from laminate import plate
from materials.checks import Array, array, common_shape, reject

if TYPE_CHECKING:
    from laminate.stack import Laminate

DEFORMATIONS = ("ex", "ey", "gxy", "kx", "ky", "kxy")
_LOADS = ("Nx", "Ny", "Nxy", "Mx", "My", "Mxy")
STRETCHED = 0.2  # no fiber laminate bears such a strain; a larger number is in percent


@dataclass(frozen=True, kw_only=True, eq=False)
class Response:
    """Deformations, strains and stresses of a laminate; ply results are in ply axes (1, 2, 12).

    Every result has the broadcast shape of the inputs in front. ``stress = load_stress + residual_stress``
    and likewise for strain. A criterion ``f(stress, allowables, residual=...)`` wants the growing part
    first: ``f(r.load_stress, allowables, residual=r.residual_stress)``.

    Parameters
    ----------
    laminate : Laminate
        The stack.
    load_deformation : ndarray, shape (..., 6)
        Midplane strain [-] and curvature [1/m] from what grows with load.
    residual_deformation : ndarray, shape (..., 6)
        The same from what does not [-], [1/m].
    free : ndarray, shape (..., ply, surface, 3)
        Free expansion of each ply, in ply axes; the surface axis may have length 1 [-].

    Raises
    ------
    ValueError
        If an array has another shape or is not finite, or the arrays fit neither the plies nor each other.
    """

    laminate: Laminate
    load_deformation: Array
    residual_deformation: Array
    free: Array

    def __post_init__(self) -> None:
        for name, last in (("load_deformation", (6,)), ("residual_deformation", (6,)), ("free", (-1, -1, 3))):
            object.__setattr__(self, name, array(f"Response: {name}", getattr(self, name), last=last))
        plies, free = getattr(self.laminate, "plies", None), self.free.shape
        if plies is None:
            reject("Response: laminate", repr(self.laminate), "a Laminate")
        if free[-3] != len(plies) or free[-2] not in (1, 2):
            reject("Response: free", f"shape {free}", f"of shape (..., {len(plies)}, 1 or 2, 3)")
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
        """Strain of the midplane as a rule would measure it, expansion included, shape (..., 3) [-]."""
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
        """Stress-producing ply strain, shape (..., ply, surface, 3) [-].

        This is the geometric strain less the free expansion of the ply: S times `stress`, the strain
        that strain allowables are compared with, and not what a gauge would show.
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
    flat = deformation @ recovery.reshape(-1, 6).T
    return flat.reshape(*deformation.shape[:-1], *recovery.shape[:-1])


def respond(
    laminate: Laminate,
    N: ArrayLike = 0.0,
    M: ArrayLike = 0.0,
    temperature_change: ArrayLike = 0.0,
    moisture: ArrayLike = 0.0,
    *,
    prescribed: Mapping[str, ArrayLike] | None = None,
    residual_N: ArrayLike = 0.0,
    residual_M: ArrayLike = 0.0,
    temperature_profile: ArrayLike = 0.0,
    moisture_profile: ArrayLike = 0.0,
) -> Response:
    """Deformations, ply strains and stresses of a laminate.

    Parameters
    ----------
    laminate : Laminate
        The stack.
    N, M : array_like, shape (..., 3) or 0
        Running loads (Nx, Ny, Nxy) [N/m] and moments (Mx, My, Mxy) [N], which grow with load.
    temperature_change : array_like, shape (...)
        Temperature above the stress-free temperature, uniform [K].
    moisture : array_like, shape (...)
        Absorbed moisture as mass fraction, uniform [-].
    prescribed : mapping of str to array_like
        Deformations that are given in place of the load conjugate to them, by name: ``ex``, ``ey``,
        ``gxy`` [-], ``kx``, ``ky``, ``kxy`` [1/m], each of shape (...). They grow with load; the residual
        part is found with them held at zero. Example: ``{"ey": 0.0, "kx": 0.0}``.
    residual_N, residual_M : array_like, shape (..., 3) or 0
        Running loads [N/m] and moments [N] that do not grow with load.
    temperature_profile, moisture_profile : array_like, shape (..., ply, surface) or 0
        What comes on top of the uniform value at the surfaces of each ply, linear between [K], [-];
        evaluate a profile at ``laminate.surfaces``.

    Returns
    -------
    Response
        Holds both parts; its arrays have the broadcast shape of the inputs in front.

    Raises
    ------
    ValueError
        On a wrong shape, NaN or infinity, a moisture, temperature or strain of a size that only a slip of
        units explains, an unknown name in `prescribed`, or a load given together with the deformation
        conjugate to it.
    """
    load, fixed = _six("", N, M), _six("residual_", residual_N, residual_M)
    plies = (len(laminate.plies), 2)
    dT = _field("temperature_", "change [K]", temperature_change, temperature_profile, plies)
    c = _field("moisture", " [-]", moisture, moisture_profile, plies)
    free = laminate.ply_free_strain(dT, c)
    held = laminate.resultants_of(free)
    given, value = _prescribed({} if prescribed is None else prescribed, load, fixed)
    load_part = plate.solve_mixed(laminate.abd, load, value, given)
    common_shape("Laminate.response: thermal and residual loads", held.shape, fixed.shape)
    residual_part = plate.solve_mixed(laminate.abd, held + fixed, np.zeros(6), given)
    common_shape("Laminate.response: load and residual cases", load_part.shape, residual_part.shape)
    return Response(
        laminate=laminate, load_deformation=load_part, residual_deformation=residual_part, free=free
    )


def _six(which: str, N: ArrayLike, M: ArrayLike) -> Array:
    parts = []
    for what, value in ((f"{which}N [N/m]", N), (f"{which}M [N]", M)):
        given = array(f"Laminate.response: {what}", value)
        none = given.ndim == 0 and given == 0
        parts.append(np.zeros(3) if none else array(f"Laminate.response: {what}", given, last=(3,)))
    common_shape(f"Laminate.response: {which}N and {which}M", parts[0].shape, parts[1].shape)
    return np.concatenate(np.broadcast_arrays(*parts), axis=-1)


def _field(what: str, rest: str, uniform: ArrayLike, profile: ArrayLike, plies: tuple[int, int]) -> Array:
    change = array(f"Laminate.response: {what}{rest}", uniform)[..., None, None]
    name = f"Laminate.response: {what.rstrip('_')}_profile"
    more = array(name, profile)
    if more.ndim == 0 and more == 0:
        return change
    more = array(name, more, last=plies)
    common_shape(f"{name} and the uniform value", change.shape, more.shape)
    return change + more


def _prescribed(prescribed: Mapping[str, ArrayLike], load: Array, fixed: Array) -> tuple[Array, Array]:
    named: object = prescribed
    if not isinstance(named, Mapping):
        cause = 'write it as {"ey": 0.0}'
        reject("Laminate.response: prescribed", repr(prescribed), "a mapping of names to numbers", cause)
    given = np.zeros(6, dtype=bool)
    values = [np.zeros(())] * 6
    for name, value in prescribed.items():
        if name not in DEFORMATIONS:
            reject("Laminate.response: prescribed", repr(name), f"one of {', '.join(DEFORMATIONS)}")
        i = DEFORMATIONS.index(name)
        given[i] = True
        values[i] = array(f"Laminate.response: prescribed {name}", value)
        if i < 3 and (abs(values[i]) > STRETCHED).any():
            limit = f"<= {STRETCHED} in size"
            reject(
                f"Laminate.response: prescribed {name} [-]",
                f"{abs(values[i]).max():g}",
                limit,
                "given in percent?",
            )
        if np.any(load[..., i]) or np.any(fixed[..., i]):
            what = f"Laminate.response: {_LOADS[i]} beside prescribed {name}"
            reject(what, "both", "one of the two", "the load conjugate to a given deformation is a reaction")
    common_shape("Laminate.response: prescribed deformations", *(v.shape for v in values))
    return given, np.stack(np.broadcast_arrays(*values), axis=-1)
