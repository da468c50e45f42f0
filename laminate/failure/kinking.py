"""Fiber kinking: the stress state in the frame of fibers that are misaligned and turn under load.

::

            2                   A fiber that is off by a small angle turns on under compression, until
            |   .-- fiber       the matrix beside it fails in shear (with transverse compression) or
       s1 --|.-'--- s1          cracks (with transverse tension). The angle under s1 = -Xc alone is fixed
            +------- 1          by the strengths; shear stress adds to it or takes from it.
"""

from dataclasses import dataclass
from math import atan, cos, pi, radians, sin, sqrt, tan

import numpy as np

from laminate.failure.surface import HalfSpace
from materials.allowables import Allowables
from materials.checks import Array, reject


@dataclass(frozen=True, kw_only=True)
class CrackPlane:
    """Friction eta_T and eta_L against shear across and along the fibers, and strength ST across them [Pa]."""

    eta_T: float
    eta_L: float
    ST: float

    @classmethod
    def of(cls, allowables: Allowables, fracture_angle_deg: float) -> "CrackPlane":
        """Constants from the strengths and the angle of the fracture plane under pure transverse compression."""
        a = radians(fracture_angle_deg)
        return cls(
            eta_T=-1 / tan(2 * a),
            eta_L=-allowables.S * cos(2 * a) / (allowables.Yc * cos(a) ** 2),
            ST=allowables.Yc * cos(a) * (sin(a) + cos(a) / tan(2 * a)),
        )


def kinking_angle(allowables: Allowables, eta_L: float) -> float:
    """Angle of the fibers at failure under compression along them alone [rad]."""
    # tan a = (1 - sqrt(1 - 4 (k + eta_L) k)) / (2 (k + eta_L)) with k = S/Xc, from Xc (sin a cos a - eta_L sin^2 a) = S
    k = allowables.S / allowables.Xc
    inside = 1 - 4 * (k + eta_L) * k
    if inside < 0:
        got = f"4 (S/Xc + eta_L) S/Xc = {1 - inside:.3g}"
        reject("larc03: Xc against S", got, "<= 1 for fibers that kink", "a woven ply, or Xc too low?")
    return atan((1 - sqrt(inside)) / (2 * (k + eta_L)))


@dataclass(frozen=True, kw_only=True)
class TurnedFibers:
    """Frame of fibers that were misaligned and turn on under load; `angle` [rad] is that under -Xc alone.

    The fibers have turned by a = n / D with n = abs(t12) + (G12 - Xc) angle and D = G12 + s1 - s2, from
    small angles: a = initial angle + shear strain in the turned frame. Beyond 45 deg they count as broken.

    In complex numbers the stress across the turned fibers and the shear along them are
    q = (s1 + s2)/2 + z exp(2 i a) with z = (s2 - s1)/2 + i abs(t12). On a load path z, n and D are linear
    in R, so w = n' D - n D' is constant, a' = w/D^2, a'' = -2 w D'/D^3, and

        abs(q'') <= 4 abs(a') abs(z') + (2 abs(a'') + 4 a'^2) abs(z).

    Between two points of the path D is not smaller, and abs(z) not larger, than at one of them.
    """

    angle: float
    Xc: float
    shear_modulus: float

    @property
    def limits(self) -> tuple[HalfSpace, ...]:
        """Half-spaces of ply stress [Pa] in which the fibers turn by less than 45 deg."""
        most, already = pi / 4, (self.shear_modulus - self.Xc) * self.angle
        bound = already - most * self.shear_modulus
        return ((most, -most, -1.0), bound), ((most, -most, 1.0), bound)

    def place(self, s1: Array, s2: Array, t12: Array) -> tuple[Array, Array]:
        """Stress across the turned fibers and size of the shear along them, each (...), of stress in ply axes [Pa]."""
        n, D = self._turn(s1, s2, t12)
        mean, z, t = (s1 + s2) / 2, (s2 - s1) / 2, abs(t12)
        c, s = np.cos(2 * n / D), np.sin(2 * n / D)
        return mean + z * c - t * s, abs(z * s + t * c)

    def bend(self, low: Array, high: Array, growth: Array) -> Array:
        """Bound on the second derivative of the place between two stresses (3, ...), shear of one sign [Pa], (...)."""
        n, D = self._turn(*low)
        D_rate = growth[0] - growth[1]
        w = np.where(low[2] + high[2] < 0, -growth[2], growth[2]) * D - n * D_rate
        D = np.minimum(D, self._turn(*high)[1])
        turn = abs(w) / D**2
        size = np.maximum(*(np.hypot((s2 - s1) / 2, t12) for s1, s2, t12 in (low, high)))
        z_rate = np.hypot(D_rate / 2, growth[2])
        return 4 * turn * (z_rate + (abs(D_rate) / D + turn) * size)

    def _turn(self, s1: Array, s2: Array, t12: Array) -> tuple[Array, Array]:
        """n and D [Pa]."""
        return abs(t12) + (self.shear_modulus - self.Xc) * self.angle, self.shear_modulus + s1 - s2
