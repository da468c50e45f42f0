"""Stress in a corner: an orthotropic curved beam whose axes follow the arc, in plane stress.

                  .-----  b          moment M > 0 opens the corner: tension on the inside r = a and
               .-'   .---  a         through the thickness, compression on the outside r = b
              /    .'
             |    /     theta        force N > 0 pulls along the arc at mid-thickness
             |   |   r ------> N     force V > 0 acts on the same section, outward

Equilibrium and compatibility leave, for each of two kinds of load, three functions of r and with them

    moment about the center of the arc   sigma_r = f(r),              f in span{1, r^(k-1), r^(-k-1)}
    force through the center             sigma_r = phi(r) sin(theta), phi in span{1/r, r^(q-1), r^(-q-1)}
                                         tau = -phi(r) cos(theta)

with k^2 = E_hoop/E_radial and q^2 = 1 + k^2 - 2 nu + E_hoop/G. Both vanish at r = a and r = b and are scaled
to the load they carry. sigma_hoop follows from equilibrium. At k = 1, r^(k-1) turns into ln r.
"""

from typing import Annotated, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, Limits, checked_together, reject

__all__ = ["CornerStress", "corner_stress", "radial_peak"]

THICKEST = 0.95
"""Largest thickness over outer radius: a corner folded sharper than that has hardly an inner radius."""

Size = Annotated[ArrayLike, Limits("m", above=0.0, at_most=10.0, cause="given in mm?")]
Moment = Annotated[ArrayLike, Limits("N")]
Force = Annotated[ArrayLike, Limits("N/m")]
Modulus = Annotated[ArrayLike, Limits("Pa", at_least=1e6, at_most=2e12, cause="given in GPa or MPa?")]
Ratio = Annotated[ArrayLike, Limits("-", at_least=-10.0, at_most=10.0, cause="given in percent?")]


class CornerStress(NamedTuple):
    """Stress across the thickness of a corner.

    Attributes
    ----------
    radius : ndarray, shape (..., point)
        Where, from the inner to the outer radius [m].
    radial : ndarray, shape (..., point)
        Through-thickness stress, tension positive [Pa].
    hoop : ndarray, shape (..., point)
        Stress along the arc [Pa].
    shear : ndarray, shape (..., point)
        Interlaminar shear stress [Pa].
    """

    radius: Array
    radial: Array
    hoop: Array
    shear: Array


@checked_together
def corner_stress(
    inner_radius: Size,
    thickness: Size,
    moment: Moment = 0.0,
    axial: Force = 0.0,
    shear_force: Force = 0.0,
    *,
    E_hoop: Modulus,
    E_radial: Modulus,
    G: Modulus,
    nu: Ratio,
    points: Annotated[int, Limits("-", at_least=2, at_most=100_001)] = 51,
) -> CornerStress:
    """Stress across the thickness of a corner, at a section with given loads per width.

    Parameters
    ----------
    inner_radius, thickness : array_like, shape (...)
        Inner radius a and thickness b - a [m].
    moment : array_like, shape (...)
        Moment at mid-thickness per width, positive if it opens the corner [N].
    axial : array_like, shape (...)
        Force along the arc at mid-thickness per width, tension positive [N/m].
    shear_force : array_like, shape (...)
        Transverse shear force per width, outward on the section that faces along +theta [N/m].
    E_hoop, E_radial, G : array_like, shape (...)
        Moduli of the stack along the arc, through the thickness, in interlaminar shear [Pa].
    nu : array_like, shape (...)
        Poisson's ratio: contraction through the thickness for stress along the arc [-].
    points : int
        Number of places across the thickness, at least 2 [-].

    Returns
    -------
    CornerStress
        radius, radial, hoop and shear.

    Raises
    ------
    ValueError: if a size or modulus is outside its limits, the thickness exceeds 0.95 of the outer radius, nu breaks
        nu^2 < E_hoop/E_radial, or the shapes do not fit together.

    Notes
    -----
    sigma_r = f(r) and phi(r) of the module text, sigma_hoop = d(r sigma_r)/dr + d tau/d theta. The stack is taken as
    one homogeneous material: good for stress between the plies, while the stress along the fibers is for
    lamination theory. The arc itself is free of load; each section has its own M, N, V.

    References
    ----------
    S. G. Lekhnitskii, Anisotropic Plates, Gordon and Breach 1968, ch. 3 (curved rods); isotropic limit in
    S. P. Timoshenko, J. N. Goodier, Theory of Elasticity, 3rd ed. 1970, arts. 29 and 33.

    Examples
    --------
    >>> wall = dict(E_hoop=60e9, E_radial=9e9, G=4e9, nu=0.3)
    >>> found = corner_stress(5e-3, 3e-3, moment=100.0, points=3, **wall)
    >>> (found.hoop / 1e6).round(1)  # inside, in the middle, outside
    array([ 80. ,  -4.6, -59.3])
    >>> (found.radial[1] / 1e6).round(2)
    np.float64(7.61)
    """
    given = inner_radius, thickness, moment, axial, shear_force, E_hoop, E_radial, G, nu
    return _stress(_corner("corner_stress", *given), np.linspace(0.0, 1.0, points))


@checked_together
def radial_peak(
    inner_radius: Size,
    thickness: Size,
    moment: Moment = 0.0,
    axial: Force = 0.0,
    *,
    E_hoop: Modulus,
    E_radial: Modulus,
    G: Modulus,
    nu: Ratio,
) -> tuple[Array, Array]:
    """Largest through-thickness tension in a corner, and where it acts.

    Parameters
    ----------
    inner_radius, thickness : array_like, shape (...)
        Inner radius a and thickness b - a [m].
    moment : array_like, shape (...)
        Moment at mid-thickness per width, positive if it opens the corner [N].
    axial : array_like, shape (...)
        Force along the arc at mid-thickness per width, tension positive [N/m].
    E_hoop, E_radial, G : array_like, shape (...)
        Moduli of the stack along the arc, through the thickness, in interlaminar shear [Pa].
    nu : array_like, shape (...)
        Poisson's ratio: contraction through the thickness for stress along the arc [-].

    Returns
    -------
    stress, radius : ndarray, shape (...)
        The largest tension [Pa] and where it acts [m]; zero, at the inner radius, if there is none.

    Raises
    ------
    ValueError: as `corner_stress`.

    Notes
    -----
    Largest sigma_r of `corner_stress`. A quick estimate for a moment alone is 3 M / (2 t sqrt(a b)).

    Examples
    --------
    >>> stress, radius = radial_peak(5e-3, 3e-3, 100.0, E_hoop=60e9, E_radial=9e9, G=4e9, nu=0.3)
    >>> float((stress / 1e6).round(2)), float((radius * 1e3).round(2))  # 7.91 MPa by the quick estimate
    (7.89, 6.21)
    """
    corner = _corner("radial_peak", inner_radius, thickness, moment, axial, 0.0, E_hoop, E_radial, G, nu)
    place = np.linspace(0.0, 1.0, 65)
    gap = 1.0 / 64.0
    for _ in range(7):
        found = _stress(corner, place)
        top = np.argmax(found.radial, axis=-1)[..., None]
        place = np.take_along_axis(np.broadcast_to(place, found.radial.shape), top, axis=-1)
        place = np.clip(place + gap * np.linspace(-1.0, 1.0, 17), 0.0, 1.0)
        gap /= 8.0
    stress = np.take_along_axis(found.radial, top, axis=-1)[..., 0]
    return stress, np.take_along_axis(found.radius, top, axis=-1)[..., 0]


def _corner(owner: str, *given: ArrayLike) -> tuple[Array, ...]:
    """Sizes, loads and moduli of a corner, each of shape (..., 1)."""
    a, t, _, _, _, E, Er, _, nu = corner = tuple(np.asarray(value)[..., None] for value in given)
    if not (t <= THICKEST * (a + t)).all():
        reject(f"{owner}: thickness [m]", f"{t.max():g}", f"<= {THICKEST} of the outer radius", "in mm?")
    if not (nu**2 < E / Er).all():
        reject(f"{owner}: nu [-]", f"{nu.max():g}", "with nu**2 < E_hoop / E_radial", "the other ratio?")
    return corner


def _stress(corner: tuple[Array, ...], place: Array) -> CornerStress:
    """Stress at the fractions `place` of the thickness, (..., point)."""
    a, t, M, N, V, E, Er, G, nu = corner
    k = np.sqrt(E / Er)
    q = np.sqrt(1.0 + k**2 - 2.0 * nu + E / G)
    r = a + t * place
    nodes, weights = np.polynomial.legendre.leggauss(40)
    at, weights = a + t * (nodes + 1.0) / 2.0, t * weights / 2.0
    f, rdf = _profile(r / a, 1.0 + t / a, k - 1.0, -k - 1.0)
    carried = -(at * _profile(at / a, 1.0 + t / a, k - 1.0, -k - 1.0)[0] * weights).sum(
        axis=-1, keepdims=True
    )
    # A moment that opens the corner puts tension inside: minus, as the integral of hoop stress times r.
    about_center = (N * (a + t / 2.0) - M) / carried
    h, rdh = _profile(r / a, 1.0 + t / a, q, -q)
    phi, rdphi = h / r, (rdh - h) / r
    phi_at = _profile(at / a, 1.0 + t / a, q, -q)[0] / at
    force = 1.0 / (phi_at * weights).sum(axis=-1, keepdims=True)
    radial = about_center * f + N * force * phi
    hoop = about_center * (f + rdf) + N * force * (2.0 * phi + rdphi)
    return CornerStress(*np.broadcast_arrays(r, radial, hoop, V * force * phi))


def _profile(rho: Array, outer: Array, m: Array, n: Array) -> tuple[Array, Array]:
    """Function in span{1, rho^m, rho^n} that vanishes at 1 and `outer`, and rho times its slope."""
    m_outer, n_outer = _power(outer, m), _power(outer, n)
    value = _power(rho, m) * n_outer - _power(rho, n) * m_outer
    return value, rho**m * n_outer - rho**n * m_outer


def _power(rho: Array, m: Array) -> Array:
    """(rho^m - 1)/m, which is ln rho at m = 0."""
    log = np.log(rho)
    return np.where(m == 0.0, log, np.expm1(m * log) / np.where(m == 0.0, 1.0, m))
