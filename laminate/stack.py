"""Laminate: an ordered stack of plies and the stiffness that follows from it.

The plies are given from z = -h/2, the inner (mandrel) side, outward. Angles are from the
laminate axis x toward y, positive about the outward normal z.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from laminate import constants, lamina_stiffness, plate, transverse_shear
from laminate.expansion import free_strain, ply_free_strain, resultants_of, thermal_resultants
from laminate.lamina_stiffness import OffAxisModuli
from laminate.orientation import code as shortest_code
from laminate.orientation_parser import parse
from laminate.response import respond
from materials.checks import Array, number, reject
from materials.lamina import Lamina

_LETTERS = "ABCDEGHIJKLMNOPQRUVWXYZ"  # S and T close a code, F is a fabric


def _frozen(value: Array) -> Array:
    value.setflags(write=False)
    return value


@dataclass(frozen=True)
class Ply:
    """One ply: what it is made of and where its fibers point.

    Parameters
    ----------
    lamina : Lamina
        The material, which carries the ply thickness.
    angle_deg : float
        Fiber (warp) angle from x toward y, -180 to 180 [deg].

    Raises
    ------
    ValueError
        If the lamina is not a Lamina or the angle is not a number in its range.
    """

    lamina: Lamina
    angle_deg: float

    def __post_init__(self) -> None:
        if not isinstance(self.lamina, Lamina):
            reject("Ply: lamina", repr(self.lamina), "a materials.Lamina", "arguments in another order?")
        angle = number("Ply: angle_deg [deg]", self.angle_deg, at_least=-180, at_most=180)
        object.__setattr__(self, "angle_deg", angle)

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
    def mirrored(self) -> Ply:
        """The ply with the opposite angle."""
        return Ply(self.lamina, -self.angle_deg)


@dataclass(frozen=True)
class Laminate:
    """A stack of plies; equal and hashed by its plies, all its arrays read-only.

    Parameters
    ----------
    plies : iterable of Ply
        From z = -h/2 (inner side) outward.

    Raises
    ------
    ValueError
        If there is no ply or something else stands among them.
    """

    plies: tuple[Ply, ...]

    def __post_init__(self) -> None:
        try:
            plies = tuple(self.plies)
        except TypeError:
            reject("Laminate: plies", repr(self.plies), "an iterable of Ply")
        if not plies:
            reject("Laminate: plies", "none", "at least one Ply")
        for i, ply in enumerate(plies):
            if not isinstance(ply, Ply):
                reject(f"Laminate: plies[{i}]", repr(ply), "a Ply", "wrap it: Ply(lamina, angle_deg)")
        object.__setattr__(self, "plies", plies)

    @classmethod
    def from_code(cls, code: str, lamina: Lamina | Mapping[str, Lamina]) -> Laminate:
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
        ValueError
            If the code is at fault (a caret shows where), or a label has no material.
        """
        marked = parse(code)
        if isinstance(lamina, Mapping):
            for _, label in marked:
                if label not in lamina:
                    reject(f"Laminate {code}: label", repr(label), f"one of {sorted(lamina)}")
            return cls(tuple(Ply(lamina[label], angle) for angle, label in marked))
        labels = {label for _, label in marked}
        if len(labels) > 1:
            reject(f"Laminate {code}: lamina", "one", f"a mapping with a lamina for each of {sorted(labels)}")
        return cls(tuple(Ply(lamina, angle) for angle, _ in marked))

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
        return _frozen(lamina_stiffness.q_reduced(*constants.T))

    @cached_property
    def rotation(self) -> Array:
        """Engineering strain from laminate to ply axes, shape (ply, 3, 3) [-]."""
        return _frozen(lamina_stiffness.strain_rotation(self.angles_deg))

    @cached_property
    def q_bar(self) -> Array:
        """Plane-stress stiffness of each ply in laminate axes, shape (ply, 3, 3) [Pa]."""
        return _frozen(lamina_stiffness.q_rotated(self.Q, self.angles_deg))

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

    def moduli(self, *, curvature: str = "free") -> OffAxisModuli:
        """In-plane engineering constants of the stack as one homogeneous sheet.

        Parameters
        ----------
        curvature : {"free", "held"}
            Whether the sheet may bend while it is pulled (a narrow coupon) or not (a wall held by its
            neighbors); alike for a symmetric stack.

        Returns
        -------
        OffAxisModuli
            Moduli [Pa] and ratios [-].

        Raises
        ------
        ValueError
            If `curvature` is neither word.
        """
        return constants.inplane_moduli(self.abd, self.thickness, curvature=curvature)

    def flexural_moduli(self, *, midplane: str = "free") -> OffAxisModuli:
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
        ValueError
            If `midplane` is neither word.
        """
        return constants.flexural_moduli(self.abd, self.thickness, midplane=midplane)

    ply_free_strain = ply_free_strain
    resultants_of = resultants_of
    thermal_resultants = thermal_resultants
    free_strain = free_strain
    response = respond
