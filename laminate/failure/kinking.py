"""Fiber kinking: the stress state in the frame of fibers that are misaligned and turn under load.

::

            2                   A fiber that is off by a small angle turns on under compression, until
            |   .-- fiber       the matrix beside it fails in shear (with transverse compression) or
       s1 --|.-'--- s1          cracks (with transverse tension). The angle under s1 = -Xc alone is fixed
            +------- 1          by the strengths; shear stress adds to it or takes from it.
"""

from dataclasses import dataclass
from math import atan, cos, radians, sin, sqrt, tan

import numpy as np

from materials.allowables import Allowables
from materials.checks import Array, reject


@dataclass(frozen=True, kw_only=True)
class CrackPlane:
    """Friction and strength on inclined planes along the fibers, from the angle of the fracture plane.

    Parameters
    ----------
    eta_T, eta_L : float
        Friction against shear across and along the fibers [-].
    ST : float
        Shear strength across the fibers [Pa].
    """

    eta_T: float
    eta_L: float
    ST: float

    @classmethod
    def of(cls, allowables: Allowables, fracture_angle_deg: float) -> "CrackPlane":
        """Constants from the strengths.

        Parameters
        ----------
        allowables : Allowables
            Strengths of the ply.
        fracture_angle_deg : float
            Angle of the fracture plane under pure transverse compression, 45 to 75 [deg].

        Returns
        -------
        CrackPlane
            eta_T = -1/tan 2a, ST = Yc cos a (sin a + cos a/tan 2a), eta_L = -S cos 2a/(Yc cos^2 a).
        """
        a = radians(fracture_angle_deg)
        return cls(
            eta_T=-1 / tan(2 * a),
            eta_L=-allowables.S * cos(2 * a) / (allowables.Yc * cos(a) ** 2),
            ST=allowables.Yc * cos(a) * (sin(a) + cos(a) / tan(2 * a)),
        )


def kinking_angle(allowables: Allowables, eta_L: float) -> float:
    """Angle of the fibers at failure under compression along them alone.

    Parameters
    ----------
    allowables : Allowables
        Strengths of the ply.
    eta_L : float
        Friction against shear along the fibers [-].

    Returns
    -------
    float
        The angle [rad].

    Raises
    ------
    ValueError
        If the compressive strength is too low for the shear strength, so that no angle explains it.

    Notes
    -----
    tan a = (1 - sqrt(1 - 4 (k + eta_L) k)) / (2 (k + eta_L)) with k = S/Xc, from Xc (sin a cos a -
    eta_L sin^2 a) = S.
    """
    k = allowables.S / allowables.Xc
    inside = 1 - 4 * (k + eta_L) * k
    if inside < 0:
        got = f"4 (S/Xc + eta_L) S/Xc = {1 - inside:.3g}"
        reject("larc03: Xc against S", got, "<= 1 for fibers that kink", "a woven ply, or Xc too low?")
    return atan((1 - sqrt(inside)) / (2 * (k + eta_L)))


def misaligned_stress(
    s1: Array, s2: Array, t12: Array, *, angle: float, Xc: float, shear_modulus: float
) -> tuple[Array, Array]:
    """Stress across and along fibers that were misaligned and have turned under load.

    Parameters
    ----------
    s1, s2, t12 : ndarray, shape (...)
        Stress in ply axes [Pa].
    angle : float
        Angle of the fibers at failure under compression along them alone [rad].
    Xc : float
        Compressive strength along the fiber [Pa].
    shear_modulus : float
        G12 [Pa].

    Returns
    -------
    s2m : ndarray, shape (...)
        Stress across the turned fibers [Pa].
    t12m : ndarray, shape (...)
        Size of the shear stress along them; infinite where the fibers turn without limit [Pa].

    Notes
    -----
    a = (abs(t12) + (G12 - Xc) angle) / (G12 + s1 - s2), from small angles: a = initial angle + shear
    strain in the turned frame.
    """
    t12 = abs(t12)
    stiff = shear_modulus + s1 - s2
    turned = (t12 + (shear_modulus - Xc) * angle) / np.where(stiff > 0, stiff, np.inf)
    c, s = np.cos(turned), np.sin(turned)
    s2m = s * s * s1 + c * c * s2 - 2 * s * c * t12
    t12m = abs(s * c * (s2 - s1) + (c * c - s * s) * t12)
    return s2m, np.where(stiff > 0, t12m, np.inf)
