"""Exact expressions with sympy: Q-bar, A, B, D and moduli with symbols for what is not fixed yet.

Angles are in radians here, as sympy wants them: 45 deg is ``pi / 4``. Pass exact numbers (``Rational``,
``Integer``) and symbols, never floats, and the result is exact. Everything is derived by integration
and rotation from first principles: the tests compare the numerical functions with it.
"""

from collections.abc import Sequence
from typing import Any

import sympy as sp

__all__ = ["abd", "moduli", "q_reduced", "q_rotated"]

Expr = Any
"""A sympy expression; sympy has no types that a checker can follow."""


def q_reduced(E1: Expr, E2: Expr, G12: Expr, nu12: Expr) -> sp.Matrix:
    """Plane-stress stiffness in ply axes, as the inverse of the compliance.

    Parameters
    ----------
    E1, E2, G12 : expression
        Moduli [Pa].
    nu12 : expression
        Major Poisson's ratio [-].

    Returns
    -------
    sympy.Matrix, 3 x 3
        Q [Pa].

    Notes
    -----
    Q = S^-1 with S11 = 1/E1, S12 = -nu12/E1, S22 = 1/E2, S66 = 1/G12.

    Examples
    --------
    >>> E, nu = sp.symbols("E nu", positive=True)
    >>> q_reduced(E, E, E / (2 * (1 + nu)), nu)[0, 0]
    -E/(nu**2 - 1)
    """
    S = sp.Matrix([[1 / E1, -nu12 / E1, 0], [-nu12 / E1, 1 / E2, 0], [0, 0, 1 / G12]])
    return S.inv().applyfunc(sp.simplify)


def q_rotated(Q: sp.Matrix, theta: Expr) -> sp.Matrix:
    """Plane-stress stiffness in laminate axes, by rotation of the fourth-order tensor.

    Parameters
    ----------
    Q : sympy.Matrix, 3 x 3
        Stiffness in ply axes [Pa].
    theta : expression
        Fiber angle from x toward y [rad].

    Returns
    -------
    sympy.Matrix, 3 x 3
        Q-bar [Pa].

    Notes
    -----
    Cijkl = Rmi Rnj Rpk Rql Cmnpq with R of the fiber axes.

    Examples
    --------
    >>> Q = sp.diag(4, 0, 0)  # fibers alone
    >>> q_rotated(Q, sp.pi / 4)
    Matrix([
    [1, 1, 1],
    [1, 1, 1],
    [1, 1, 1]])
    """
    pairs = ((0, 0), (1, 1), (0, 1))
    contracted = {(0, 0): 0, (1, 1): 1, (0, 1): 2, (1, 0): 2}
    R = sp.Matrix([[sp.cos(theta), sp.sin(theta)], [-sp.sin(theta), sp.cos(theta)]])
    both = [(m, n) for m in range(2) for n in range(2)]
    out = sp.zeros(3, 3)
    for row, (i, j) in enumerate(pairs):
        for column, (k, l) in enumerate(pairs):
            out[row, column] = sum(
                R[m, i] * R[n, j] * R[p, k] * R[q, l] * Q[contracted[m, n], contracted[p, q]]
                for m, n in both
                for p, q in both
            )
    return out


def abd(q_bars: Sequence[sp.Matrix], thicknesses: Sequence[Expr]) -> sp.Matrix:
    """Stiffness of a stack, by integration of Q-bar, z Q-bar and z^2 Q-bar over each ply.

    Parameters
    ----------
    q_bars : sequence of sympy.Matrix, 3 x 3
        Q-bar of each ply, ply 0 at z = -h/2 [Pa].
    thicknesses : sequence of expression
        Ply thicknesses [m].

    Returns
    -------
    sympy.Matrix, 6 x 6
        ABD [N/m], [N], [N m].

    Notes
    -----
    A, B, D = sum of the integrals of Q-bar (1, z, z^2) dz.

    Examples
    --------
    >>> Q, h = sp.Symbol("Q"), sp.Symbol("h")
    >>> abd([Q * sp.eye(3)], [h])[3, 3]
    Q*h**3/12
    """
    z = sp.Symbol("z", real=True)
    low = -sum(thicknesses, sp.Integer(0)) / 2
    blocks = [sp.zeros(3, 3) for _ in range(3)]
    for Q, t in zip(q_bars, thicknesses, strict=True):
        for power in range(3):
            blocks[power] += Q * sp.integrate(z**power, (z, low, low + t))
        low += t
    A, B, D = blocks
    return sp.Matrix(sp.BlockMatrix([[A, B], [B, D]]))


def moduli(A: sp.Matrix, thickness: Expr) -> dict[str, Expr]:
    """In-plane engineering constants of a stack that stays flat.

    Parameters
    ----------
    A : sympy.Matrix, 3 x 3
        In-plane stiffness [N/m].
    thickness : expression
        Thickness of the stack [m].

    Returns
    -------
    dict of str to expression
        Ex, Ey, Gxy [Pa], nu_xy, nu_yx, eta_xy_x, eta_xy_y [-].

    Notes
    -----
    Ex = 1/(h a11), nu_xy = -a12/a11, eta_xy_x = a16/a11 with a = A^-1, and so on.

    Examples
    --------
    >>> A11, A22, A66 = sp.symbols("A11 A22 A66")
    >>> moduli(sp.diag(A11, A22, A66), 1)["Gxy"]
    A66
    """
    a = A.inv() * thickness
    return {
        "Ex": 1 / a[0, 0],
        "Ey": 1 / a[1, 1],
        "Gxy": 1 / a[2, 2],
        "nu_xy": -a[0, 1] / a[0, 0],
        "nu_yx": -a[0, 1] / a[1, 1],
        "eta_xy_x": a[0, 2] / a[0, 0],
        "eta_xy_y": a[1, 2] / a[1, 1],
    }
