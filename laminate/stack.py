"""Laminate: an ordered stack of plies and what follows from it.

The plies are given from z = -h/2, the inner (mandrel) side, outward. Angles are from the
laminate axis x toward y, positive about the outward normal z.
"""

import math
from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from functools import cached_property
from typing import Annotated, Literal, Self

import numpy as np
from numpy.typing import ArrayLike, NDArray

from laminate import constants, plate, transverse_shear
from laminate.lamina_stiffness import OffAxisModuli, q_reduced, q_rotated, strain_rotation
from laminate.orientation import code as shortest_code
from laminate.orientation_parser import parse
from laminate.response import Response
from materials.checks import (
    Array,
    Frozen,
    Items,
    Limits,
    array,
    checked,
    checked_together,
    common_shape,
    reject,
)
from materials.lamina import Lamina

__all__ = ["Laminate", "Ply"]

DEFORMATIONS = ("ex", "ey", "gxy", "kx", "ky", "kxy")
_LOADS = ("Nx", "Ny", "Nxy", "Mx", "My", "Mxy")
_LETTERS = "ABCDEGHIJKLMNOPQRUVWXYZ"  # S and T close a code, F is a fabric

HOT = 1000.0
"""Largest change of temperature: no resin bears a larger one [K]."""
WET = 0.2
"""Largest moisture: no resin takes up more than a fifth of its mass [-]."""
STRETCHED = 0.2
"""Largest prescribed strain: no fiber laminate bears a larger one [-]."""

_STRAIN = Limits("-", at_least=-STRETCHED, at_most=STRETCHED, cause="given in percent?")
_HOT = Limits("K", at_least=-HOT, at_most=HOT, cause="the change from the stress-free temperature is wanted")
_WET = Limits("-", at_least=-WET, at_most=WET, cause="given in percent?")
Heat = Annotated[ArrayLike, _HOT]
Water = Annotated[ArrayLike, _WET]
HeatOfPlies = Annotated[ArrayLike, replace(_HOT, last=(-1, -1))]
WaterOfPlies = Annotated[ArrayLike, replace(_WET, last=(-1, -1))]
HeatProfile = Annotated[ArrayLike, replace(_HOT, last=(-1, 2), single="zero")]
WaterProfile = Annotated[ArrayLike, replace(_WET, last=(-1, 2), single="zero")]
Forces = Annotated[ArrayLike, Limits("N/m", last=(3,), single="zero")]
Moments = Annotated[ArrayLike, Limits("N", last=(3,), single="zero")]


class Ply(Frozen, eq=True, kw_only=False):
    """One ply: what it is made of and where its fibers point; equal and hashed by value.

    Parameters
    ----------
    lamina : Lamina
        The material, which carries the ply thickness.
    angle_deg : float
        Fiber (warp) angle from x toward y, -180 to 180 [deg].

    Raises
    ------
    ValueError: if the lamina is not a Lamina or the angle is not a number in its range.

    Examples
    --------
    >>> import materials
    >>> ply = Ply(materials.lamina("T300/5208"), 135.0)
    >>> ply.direction_deg, Ply(ply.lamina, -45.0).direction_deg
    (135.0, 135.0)
    """

    lamina: Annotated[Lamina, Limits(cause="arguments in another order?")]
    angle_deg: Annotated[float, Limits("deg", at_least=-180.0, at_most=180.0)]

    @property
    def is_even(self) -> bool:
        """Whether the ply is alike along and across, as a weave with as many fibers both ways."""
        m = self.lamina
        return (m.E1, m.alpha1, m.beta1) == (m.E2, m.alpha2, m.beta2)

    @property
    def direction_deg(self) -> float:
        """The angle less full half turns, or less quarter turns if the ply is even [deg]."""
        return round(self.angle_deg % 180, 9) % (90 if self.is_even else 180)

    @property
    def mirrored(self) -> "Ply":
        """The ply with the opposite angle."""
        return Ply(self.lamina, -self.angle_deg)


class Laminate(Frozen, eq=True, kw_only=False):
    """A stack of plies; equal and hashed by its plies, all its arrays read-only.

    Parameters
    ----------
    plies : iterable of Ply
        From z = -h/2 (inner side) outward.

    Raises
    ------
    ValueError: if there is no ply or something else stands among them.

    Notes
    -----
    Classical lamination theory: (N, M) = [[A, B], [B, D]] (e0, k), with e(z) = e0 + z k through the thickness.

    References
    ----------
    R. M. Jones, Mechanics of Composite Materials, 2nd ed. 1999, ch. 4.

    Examples
    --------
    >>> import materials
    >>> stack = Laminate.from_code("[0/±45/90]s", materials.lamina("T300/5208"))
    >>> stack.thickness, stack.is_symmetric, stack.is_balanced
    (0.001, True, True)
    >>> (stack.A / 1e6).round(2)  # [MN/m]
    array([[76.37, 22.61,  0.  ],
           [22.61, 76.37,  0.  ],
           [ 0.  ,  0.  , 26.88]])
    >>> stack.response(N=[1e5, 0.0, 0.0]).midplane_strain[:2].round(5)
    array([ 0.00144, -0.00042])
    """

    plies: Annotated[Items[Ply], Limits(cause="wrap it: Ply(lamina, angle_deg)")]

    @classmethod
    @checked
    def from_code(cls, code: str, lamina: Mapping[str, Lamina] | Lamina) -> Self:
        """Build the stack that an orientation code describes.

        Parameters
        ----------
        code : str
            Orientation code, as in ``"[0/±45/90]s"``.
        lamina : Lamina or mapping of str to Lamina
            The one material, or the material behind each label of a hybrid code
            (``""`` for plies without a label).

        Returns
        -------
        Laminate
            The stack, first ply of the code at z = -h/2.

        Raises
        ------
        ValueError: if the code is at fault (a caret shows where), or a label has no material.
        """
        marked = parse(code)
        labels = sorted({label for _, label in marked})
        if isinstance(lamina, Mapping):
            for label in labels:
                if label not in lamina:
                    reject(f"Laminate {code}: label", repr(label), f"one of {sorted(lamina)}")
            return cls(Ply(lamina[label], angle) for angle, label in marked)
        if len(labels) > 1:
            reject(f"Laminate {code}: lamina", "one", f"a mapping with a lamina for each of {labels}")
        return cls(Ply(lamina, angle) for angle, _ in marked)

    @property
    def code(self) -> str:
        """Shortest orientation code; several materials are labeled A, B, ... in order of appearance."""
        laminae = list(dict.fromkeys(p.lamina for p in self.plies))
        labels = [_LETTERS[i % len(_LETTERS)] * (1 + i // len(_LETTERS)) for i in range(len(laminae))]
        marks = [labels[laminae.index(p.lamina)] if len(laminae) > 1 else "" for p in self.plies]
        turned = [a if abs(a) <= 90 else a - math.copysign(180, a) for a in self.angles_deg]
        return shortest_code(turned, marks)

    @cached_property
    def angles_deg(self) -> Array:
        """Fiber angles, shape (ply,) [deg]."""
        return _frozen(np.array([p.angle_deg for p in self.plies]))

    @cached_property
    def ply_thickness(self) -> Array:
        """Ply thicknesses, shape (ply,) [m]."""
        return _frozen(np.array([p.lamina.thickness for p in self.plies]))

    @cached_property
    def thickness(self) -> float:
        """Thickness of the stack [m]."""
        return float(self.ply_thickness.sum())

    @cached_property
    def areal_density(self) -> float:
        """Mass per area [kg/m^2]."""
        return float(sum(p.lamina.density * p.lamina.thickness for p in self.plies))

    @cached_property
    def interfaces(self) -> Array:
        """Heights of the ply boundaries from -h/2 to h/2, shape (ply + 1,) [m]."""
        return _frozen(plate.interfaces(self.ply_thickness))

    @cached_property
    def surfaces(self) -> Array:
        """Heights of the lower and upper surface of each ply, shape (ply, 2) [m]."""
        return _frozen(np.stack([self.interfaces[:-1], self.interfaces[1:]], axis=-1))

    @cached_property
    def Q(self) -> Array:
        """Plane-stress stiffness of each ply in its own axes, shape (ply, 3, 3) [Pa]."""
        constants = np.array([(m.E1, m.E2, m.G12, m.nu12) for m in (p.lamina for p in self.plies)])
        return _frozen(q_reduced(*constants.T))

    @cached_property
    def rotation(self) -> Array:
        """Engineering strain from laminate to ply axes, shape (ply, 3, 3) [-]."""
        return _frozen(strain_rotation(self.angles_deg))

    @cached_property
    def q_bar(self) -> Array:
        """Plane-stress stiffness of each ply in laminate axes, shape (ply, 3, 3) [Pa]."""
        return _frozen(q_rotated(self.Q, self.angles_deg))

    @cached_property
    def strain_recovery(self) -> Array:
        """Ply strain per deformation at each surface, shape (ply, surface, 3, 6) [-], [m]."""
        T = self.rotation[:, None]
        z = self.surfaces[:, :, None, None]
        return _frozen(np.concatenate(np.broadcast_arrays(T, z * T), axis=-1))

    @cached_property
    def stress_recovery(self) -> Array:
        """Ply stress per deformation at each surface, shape (ply, surface, 3, 6) [Pa], [Pa m]."""
        return _frozen(self.Q[:, None] @ self.strain_recovery)

    @cached_property
    def abd(self) -> Array:
        """Stiffness about mid-thickness, shape (6, 6) [N/m], [N], [N m]."""
        return _frozen(plate.abd(self.q_bar, self.ply_thickness))

    @cached_property
    def compliance(self) -> Array:
        """Inverse of `abd`, shape (6, 6) [m/N], [1/N], [1/(N m)]."""
        return _frozen(plate.inverse(self.abd))

    @property
    def A(self) -> Array:
        """In-plane stiffness, shape (3, 3) [N/m]."""
        return self.abd[:3, :3]

    @property
    def B(self) -> Array:
        """Coupling stiffness, shape (3, 3) [N]."""
        return self.abd[:3, 3:]

    @property
    def D(self) -> Array:
        """Bending stiffness, shape (3, 3) [N m]."""
        return self.abd[3:, 3:]

    @property
    def is_symmetric(self) -> bool:
        """Whether the stack is its own mirror image in the midplane, so that B = 0."""
        keys = [(p.lamina, p.direction_deg) for p in self.plies]
        return keys == keys[::-1]

    @property
    def is_balanced(self) -> bool:
        """Whether each off-axis ply has a partner of the opposite angle, so that A16 = A26 = 0."""
        plus = Counter((p.lamina, p.direction_deg) for p in self.plies)
        minus = Counter((p.lamina, p.mirrored.direction_deg) for p in self.plies)
        return plus == minus

    @cached_property
    def transverse_shear(self) -> Array:
        """Transverse shear stiffness, (Vx, Vy) per (gxz, gyz), from G13 and G23, shape (2, 2) [N/m]."""
        G13, G23 = np.array([p.lamina.transverse_shear for p in self.plies]).T
        g_bar = transverse_shear.shear_modulus_rotated(G13, G23, self.angles_deg)
        return _frozen(transverse_shear.shear_stiffness(self.q_bar, self.ply_thickness, g_bar))

    @checked
    def moduli(self, *, curvature: Literal["free", "held"] = "free") -> OffAxisModuli:
        """In-plane engineering constants of the stack as one homogeneous sheet.

        Parameters
        ----------
        curvature : {"free", "held"}
            "free": the sheet bends while it is pulled, as a narrow coupon; "held": it stays flat, as a wall
            between its neighbors. The same for a symmetric stack.

        Returns
        -------
        OffAxisModuli
            Moduli [Pa] and ratios [-].

        Raises
        ------
        ValueError: if `curvature` is neither word.
        """
        return constants.inplane_moduli(self.abd, self.thickness, curvature=curvature)

    @checked
    def flexural_moduli(self, *, midplane: Literal["free", "held"] = "free") -> OffAxisModuli:
        """Engineering constants of a homogeneous sheet of the same thickness that bends alike.

        Parameters
        ----------
        midplane : {"free", "held"}
            Whether the midplane may stretch while the sheet bends.

        Returns
        -------
        OffAxisModuli
            Moduli [Pa] and ratios [-].

        Raises
        ------
        ValueError: if `midplane` is neither word.
        """
        return constants.flexural_moduli(self.abd, self.thickness, midplane=midplane)

    @checked
    def ply_free_strain(self, temperature_change: HeatOfPlies, moisture: WaterOfPlies) -> Array:
        """Strain that each ply would take if it were alone, in its own axes.

        Parameters
        ----------
        temperature_change : array_like, shape (..., ply, surface)
            Temperature above the stress-free temperature; ply and surface axes may have length 1 [K].
        moisture : array_like, shape (..., ply, surface)
            Absorbed moisture as mass fraction, likewise [-].

        Returns
        -------
        ndarray, shape (..., ply, surface, 3)
            alpha dT + beta c; the surface axis has the length of the inputs [-].

        Raises
        ------
        ValueError: if an input is not finite, does not fit the plies, a moisture can only be in percent, or a
            temperature changes by more than 1000 K.
        """
        dT, c = np.asarray(temperature_change), np.asarray(moisture)
        common_shape("temperature_change, moisture, plies", dT.shape, c.shape, (len(self.plies), 1))
        return self._free(dT, c)

    def _free(self, dT: Array, c: Array) -> Array:
        """Free strain (..., ply, surface, 3) of each ply in its own axes, of changes (..., ply, surface)."""
        alpha, beta = self._expansion
        return alpha * dT[..., None] + beta * c[..., None]

    @cached_property
    def _expansion(self) -> Array:
        """Free strain of each ply per kelvin and per moisture, shape (2, ply, 1, 3) [1/K], [-]."""
        laminas = [p.lamina for p in self.plies]
        alpha = [(m.alpha1, m.alpha2, 0.0) for m in laminas]
        beta = [(m.beta1, m.beta2, 0.0) for m in laminas]
        return np.array([alpha, beta])[:, :, None, :]

    @checked
    def resultants_of(self, free_strain: Annotated[ArrayLike, Limits("-", last=(-1, -1, 3))]) -> Array:
        """Running loads and moments that suppress given free strains of the plies.

        Parameters
        ----------
        free_strain : array_like, shape (..., ply, surface, 3)
            In the axes of each ply, linear between its surfaces; a surface axis of length 1 means
            uniform in the ply [-].

        Returns
        -------
        ndarray, shape (..., 6)
            (Nx, Ny, Nxy) [N/m] and (Mx, My, Mxy) [N].

        Raises
        ------
        ValueError: if the array does not fit the plies or is not finite.
        """
        free = np.asarray(free_strain)
        if free.shape[-3] != len(self.plies) or free.shape[-2] not in (1, 2):
            limit = f"of shape (..., {len(self.plies)}, 1 or 2 surfaces, 3)"
            reject("Laminate.resultants_of: free_strain [-]", f"shape {free.shape}", limit)
        return self._resultants(free)

    def _resultants(self, free: Array) -> Array:
        """Resultants (..., 6) that suppress free strains (..., ply, surface, 3) in ply axes."""
        in_laminate_axes = np.einsum("pij,...psj->...psi", self._back, free)
        return plate.thermal_resultants(self.q_bar, self.ply_thickness, in_laminate_axes)

    @cached_property
    def _back(self) -> Array:
        """Engineering strain from ply to laminate axes, shape (ply, 3, 3) [-]."""
        return strain_rotation(-self.angles_deg)

    @checked_together
    def free_strain(self, temperature_change: Heat = 0.0, moisture: Water = 0.0) -> Array:
        """Deformation of the unloaded stack under uniform warming and moisture.

        Parameters
        ----------
        temperature_change : array_like, shape (...)
            Temperature above the stress-free temperature [K].
        moisture : array_like, shape (...)
            Absorbed moisture as mass fraction [-].

        Returns
        -------
        ndarray, shape (..., 6)
            Midplane strain [-] and curvature [1/m]; for 1 K it is the apparent expansion of the stack.

        Raises
        ------
        ValueError: as `ply_free_strain`.
        """
        thermal = self._resultants(self._free(_uniform(temperature_change), _uniform(moisture)))
        return thermal @ self.compliance

    @checked_together
    def response(
        self,
        N: Forces = 0.0,
        M: Moments = 0.0,
        temperature_change: Heat = 0.0,
        moisture: Water = 0.0,
        *,
        prescribed: Mapping[str, ArrayLike] | None = None,
        residual_N: Forces = 0.0,
        residual_M: Moments = 0.0,
        temperature_profile: HeatProfile = 0.0,
        moisture_profile: WaterProfile = 0.0,
    ) -> Response:
        """Deformations, ply strains and stresses.

        Parameters
        ----------
        N, M : array_like, shape (..., 3) or 0
            Running loads (Nx, Ny, Nxy) [N/m] and moments (Mx, My, Mxy) [N], which grow with load.
        temperature_change : array_like, shape (...)
            Temperature above the stress-free temperature, uniform [K].
        moisture : array_like, shape (...)
            Absorbed moisture as mass fraction, uniform [-].
        prescribed : mapping of str to array_like
            Deformations that are given in place of the load conjugate to them, by name: ``ex``, ``ey``,
            ``gxy`` [-], ``kx``, ``ky``, ``kxy`` [1/m], each of shape (...). They grow with load; the residual
            part is found with them kept at zero. Example: ``{"ey": 0.0, "kx": 0.0}``.
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
        ValueError: on a wrong shape, NaN or infinity, a moisture, temperature or strain of a size that only a slip of
            units explains, an unknown name in `prescribed`, or a load given together with the deformation conjugate
            to it.

        Notes
        -----
        abd u = (N, M) + (N, M)_residual + (N, M)_thermal, with the rows of prescribed deformations exchanged
        for their values (`laminate.plate.solve_mixed`).
        """
        load, fixed = _six(N, M), _six(residual_N, residual_M)
        dT = self._field("temperature", temperature_change, temperature_profile)
        c = self._field("moisture", moisture, moisture_profile)
        free = self._free(dT, c)
        given, value = _prescribed(prescribed or {}, load, fixed)
        residual = self._resultants(free) + fixed
        return Response(
            laminate=self,
            load_deformation=plate.solve_mixed(self.abd, load, value, given),
            residual_deformation=plate.solve_mixed(self.abd, residual, np.zeros(6), given),
            free=free,
        )

    def _field(self, name: str, uniform: ArrayLike, profile: ArrayLike) -> Array:
        """Uniform value (...) and profile (..., ply, surface) together, shape (..., ply or 1, surface)."""
        more = np.asarray(profile)
        if more.ndim and more.shape[-2] != len(self.plies) and (more.any() or more.shape[-2] > 1):
            limit = f"of shape (..., {len(self.plies)}, 2)"
            reject(f"Laminate.response: {name}_profile", f"shape {more.shape}", limit)
        return _uniform(uniform) + more


def _frozen(value: Array) -> Array:
    value.setflags(write=False)
    return value


def _uniform(value: ArrayLike) -> Array:
    """A value (...) that is the same in all plies and surfaces, shape (..., 1, 1)."""
    return np.asarray(value)[..., None, None]


def _six(forces: ArrayLike, moments: ArrayLike) -> Array:
    """Loads (..., 6) of forces and moments (..., 3) or 0."""
    parts = np.broadcast_arrays(np.zeros(3), forces, moments)[1:]
    return np.concatenate(parts, axis=-1)


def _prescribed(
    prescribed: Mapping[str, ArrayLike], load: Array, fixed: Array
) -> tuple[NDArray[np.bool_], Array]:
    """Which deformations are prescribed (6,), and their values (..., 6)."""
    given = np.zeros(6, dtype=bool)
    values = [np.zeros(())] * 6
    for name, value in prescribed.items():
        if name not in DEFORMATIONS:
            reject("Laminate.response: prescribed", repr(name), f"one of {', '.join(DEFORMATIONS)}")
        i = DEFORMATIONS.index(name)
        what = f"Laminate.response: prescribed {name} [{'-' if i < 3 else '1/m'}]"
        given[i] = True
        values[i] = array(what, value)
        if i < 3:
            _STRAIN.hold(what, values[i])
        if np.any(load[..., i]) or np.any(fixed[..., i]):
            what = f"Laminate.response: {_LOADS[i]} beside prescribed {name}"
            reject(what, "both", "one of the two", "the load conjugate to a given deformation is a reaction")
    shape = common_shape(
        "Laminate.response: prescribed and N, M", *(v.shape for v in values), load.shape[:-1]
    )
    return given, np.stack([np.broadcast_to(v, shape) for v in values], axis=-1)
