"""Elastic constants of a ply in three dimensions, and their rotation.

Components of strain and stress are in the order (11, 22, 33, 23, 13, 12), shear strain engineering. A lamina has only
some of the nine constants; each constructor of `Orthotropic` says where the others come from.
"""

from functools import cached_property
from typing import Annotated, TypeAlias

import numpy as np
from numpy.typing import ArrayLike

from materials import Lamina
from materials.checks import Array, Frozen, Limits, checked, reject

Modulus: TypeAlias = Annotated[float, Limits("Pa", above=0.0)]
Ratio: TypeAlias = Annotated[float, Limits("-")]

FIRST, SECOND = np.array([0, 1, 2, 1, 0, 0]), np.array([0, 1, 2, 2, 2, 1])
"""The two axes of each of the six components."""

AGREE = 0.01
"""Relative difference up to which two values of one constant count as rounding of the same number."""


class Orthotropic(Frozen, eq=True):
    """Nine elastic constants: axis 1 along the fiber, 2 across it in the ply, 3 through the thickness.

    Equal constants make equal objects.

    Parameters
    ----------
    E1, E2, E3 : float
        Young's moduli [Pa].
    G23, G13, G12 : float
        Shear moduli [Pa].
    nu23, nu13, nu12 : float
        Poisson's ratios, nu_ij = -e_j/e_i under stress along i [-].

    Raises
    ------
    ValueError
        If a modulus is not positive or the stiffness is not positive definite.

    Notes
    -----
    Compliance: S_ii = 1/E_i, S_ij = -nu_ij/E_i, and 1/G23, 1/G13, 1/G12 for the shears.

    Examples
    --------
    >>> metal = Orthotropic.isotropic(70e9, 0.3)
    >>> metal.G12 == 70e9 / 2.6
    True
    >>> (metal.stiffness[0, :2] / 1e9).round(2)
    array([94.23, 40.38])
    """

    E1: Modulus
    E2: Modulus
    E3: Modulus
    G23: Modulus
    G13: Modulus
    G12: Modulus
    nu23: Ratio
    nu13: Ratio
    nu12: Ratio

    def __post_init__(self) -> None:
        super().__post_init__()
        S = self.compliance
        size = np.sqrt(np.diagonal(S))
        least = float(np.linalg.eigvalsh(S / np.outer(size, size))[0])
        if least <= 1e-9:
            ratios = f"nu23={self.nu23:g}, nu13={self.nu13:g}, nu12={self.nu12:g}"
            reject(f"Orthotropic: {ratios}", f"least eigenvalue {least:.3g}", "positive definite")

    @classmethod
    @checked
    def isotropic(cls, E: Modulus, nu: Annotated[float, Limits("-", above=-1.0, below=0.5)]) -> "Orthotropic":
        """Isotropic material.

        Parameters
        ----------
        E : float
            Young's modulus [Pa].
        nu : float
            Poisson's ratio [-].

        Returns
        -------
        Orthotropic
            The constants, with G = E / (2 (1 + nu)).
        """
        G = E / (2 * (1 + nu))
        return cls(E1=E, E2=E, E3=E, G23=G, G13=G, G12=G, nu23=nu, nu13=nu, nu12=nu)

    @classmethod
    @checked
    def transversely_isotropic(
        cls, lamina: Lamina, *, nu23: Annotated[float | None, Limits("-", above=-1.0, below=1.0)] = None
    ) -> "Orthotropic":
        """Unidirectional ply, isotropic in the plane across the fiber; not for a weave.

        Parameters
        ----------
        lamina : Lamina
            Gives E1, E2, G12, nu12, and G23 if it has one.
        nu23 : float, optional
            Poisson's ratio across the fiber; may be left out where the lamina has G23 [-].

        Returns
        -------
        Orthotropic
            With E3 = E2, G13 = G12, nu13 = nu12, G23 = E2 / (2 (1 + nu23)).

        Raises
        ------
        ValueError
            If neither nu23 nor G23 is given, they contradict each other, or G13 of the lamina is not its G12.
        """
        who = f"Orthotropic.transversely_isotropic: lamina '{lamina.name}'"
        if nu23 is None:
            if lamina.G23 is None:
                reject(who, "neither G23 nor nu23", "given one of them", "nothing is guessed in their place")
            nu23 = lamina.E2 / (2 * lamina.G23) - 1
        G23 = lamina.E2 / (2 * (1 + nu23))
        for name, have, want in (("G13", lamina.G13, lamina.G12), ("G23", lamina.G23, G23)):
            if have is not None and abs(have / want - 1) > AGREE:
                reject(f"{who}: {name} [Pa]", f"{have:g}", f"{want:g}", "a weave? give all nine constants")
        return cls(
            E1=lamina.E1, E2=lamina.E2, E3=lamina.E2, G23=G23, G13=lamina.G12, G12=lamina.G12,
            nu23=nu23, nu13=lamina.nu12, nu12=lamina.nu12,
        )  # fmt: skip

    @classmethod
    @checked
    def from_lamina(cls, lamina: Lamina, *, E3: Modulus, nu13: Ratio, nu23: Ratio) -> "Orthotropic":
        """Ply of any kind, as a weave: constants that the lamina lacks are given.

        Parameters
        ----------
        lamina : Lamina
            Gives E1, E2, G12, nu12, G13, G23.
        E3 : float
            Young's modulus through the thickness [Pa].
        nu13, nu23 : float
            Poisson's ratios, -e3/e1 under stress along 1 and -e3/e2 under stress along 2 [-].

        Returns
        -------
        Orthotropic
            The constants.

        Raises
        ------
        ValueError
            If the lamina has no G13 or G23.
        """
        G13, G23 = lamina.transverse_shear
        return cls(
            E1=lamina.E1, E2=lamina.E2, E3=E3, G23=G23, G13=G13, G12=lamina.G12,
            nu23=nu23, nu13=nu13, nu12=lamina.nu12,
        )  # fmt: skip

    @property
    def compliance(self) -> Array:
        """Strain per stress, shape (6, 6) [1/Pa]."""
        S = np.diag([1 / self.E1, 1 / self.E2, 1 / self.E3, 1 / self.G23, 1 / self.G13, 1 / self.G12])
        S[0, 1] = S[1, 0] = -self.nu12 / self.E1
        S[0, 2] = S[2, 0] = -self.nu13 / self.E1
        S[1, 2] = S[2, 1] = -self.nu23 / self.E2
        return S

    @cached_property
    def stiffness(self) -> Array:
        """Stress per strain, shape (6, 6) [Pa]."""
        C = np.asarray(np.linalg.inv(self.compliance), dtype=np.float64)
        C.setflags(write=False)
        return C


def strain_transform(axes: ArrayLike) -> Array:
    """T, (..., 6, 6), of e_new = T e_old for engineering strain; its transpose takes stress back.

    `axes`, (..., 3, 3), has the direction cosines of the new axes on the old as rows.
    """
    # e_ab = R_ai R_bj e_ij, written out for the six components.
    R: Array = np.asarray(axes, dtype=float)
    a, b = FIRST[:, None], SECOND[:, None]
    T: Array = R[..., a, FIRST] * R[..., b, SECOND] + R[..., a, SECOND] * R[..., b, FIRST]
    T[..., :3, :] *= 0.5
    return T


def ply_axes(angle: ArrayLike) -> Array:
    """Direction cosines, (..., 3, 3), of ply axes (1, 2, 3) on wall axes (x, y, z); fiber angle from x to y [rad]."""
    return _rotated(angle, 0, 1)


def wall_axes(tangent: ArrayLike) -> Array:
    """Direction cosines, (..., 3, 3), of (x = e1, y = t, z = n) on (e1, e2, e3); angle of t from e2 to e3 [rad]."""
    return _rotated(tangent, 1, 2)


def _rotated(angle: ArrayLike, i: int, j: int) -> Array:
    """Axes, (..., 3, 3), turned from the i-th toward the j-th."""
    c, s = np.cos(angle), np.sin(angle)
    R = np.zeros((*np.shape(angle), 3, 3)) + np.eye(3)
    R[..., i, i] = R[..., j, j] = c
    R[..., i, j], R[..., j, i] = s, -s
    return R
