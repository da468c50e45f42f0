"""Walls to buckle: stiffness from plain formulas, written apart from the library."""

import numpy as np


def isotropic_D(nu, stiffness=1.0):
    """Bending stiffness of an isotropic plate with E h^3 / 12 (1 - nu^2) = `stiffness`."""
    return stiffness * np.array([[1.0, nu, 0.0], [nu, 1.0, 0.0], [0.0, 0.0, (1.0 - nu) / 2.0]])


def isotropic_abd(E, nu, h):
    """A, B, D of an isotropic sheet."""
    Q = E / (1.0 - nu**2) * isotropic_D(nu)
    none = np.zeros((3, 3))
    return np.block([[Q * h, none], [none, Q * h**3 / 12.0]])


def orthotropic_D(D11, D22, D12, D66):
    """Bending stiffness without D16, D26."""
    return np.array([[D11, D12, 0.0], [D12, D22, 0.0], [0.0, 0.0, D66]])


def ply_Q(E1, E2, G12, nu12):
    """Plane-stress stiffness in ply axes."""
    d = 1.0 - nu12**2 * E2 / E1
    return np.array([[E1 / d, nu12 * E2 / d, 0.0], [nu12 * E2 / d, E2 / d, 0.0], [0.0, 0.0, G12]])


def turned(Q, angle_deg):
    """Stiffness of a ply turned by an angle, from the change of tensor strain."""
    c, s = np.cos(np.radians(angle_deg)), np.sin(np.radians(angle_deg))
    T = np.array([[c * c, s * s, c * s], [s * s, c * c, -c * s], [-2 * c * s, 2 * c * s, c * c - s * s]])
    return T.T @ Q @ T


def stack_abd(Q, angles_deg, ply_thickness):
    """A, B, D of a stack of one material, ply 0 at z = -h/2."""
    n = len(angles_deg)
    z = ply_thickness * (np.arange(n + 1) - n / 2.0)
    out = np.zeros((6, 6))
    for angle, low, high in zip(angles_deg, z[:-1], z[1:], strict=True):
        a, b, d = ((high**p - low**p) / p for p in (1, 2, 3))
        q = turned(Q, angle)
        out += np.block([[a * q, b * q], [b * q, d * q]])
    return out


def buckling_ply(r, E2=10e9):
    """Ply with E1/E2 = r, G12 = 0.6 E2, nu12 = 0.25, the one of the published plate tables."""
    return ply_Q(r * E2, E2, 0.6 * E2, 0.25)


T300_5208 = ply_Q(181e9, 10.3e9, 7.17e9, 0.28)


def harmonic(k, l):
    """exp(i (k x + l y)) and its derivatives at one point."""
    return np.array([1.0, 1j * k, 1j * l, -(k**2), -(l**2), -k * l])[:, None, None]
