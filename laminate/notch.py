"""Laminates with an open hole: stress at its edge, strength by the stress at a point, and caps from one to another.

::

      ^ N        ______        stress along the load beside the hole: KT at the edge, falling to the mean. The
      |         /      \\__     laminate breaks when the stress at the distance d0 from the edge reaches its unnotched
    ( hole )---+--d0--+-----   strength.
"""

from typing import Annotated, Any, Literal

import numpy as np
from numpy.typing import ArrayLike
from scipy.optimize import brentq

from laminate.stack import Laminate
from materials.checks import Array, Frozen, Limits, checked, reject
from materials.source import SOURCED, Source

__all__ = [
    "OpenHoleTest",
    "characteristic_distance",
    "finite_width_factor",
    "open_hole_ratio",
    "stress_concentration",
]

DIAMETER = Limits("m", above=0.0, at_most=0.5, cause="given in mm?")
DISTANCE = Limits("m", above=0.0, at_most=0.05, cause="given in mm?")
CONCENTRATION = Limits("-", above=1.0, at_most=20.0)
SHARE_OF_FIBERS_ALONG = 0.15
"""Largest difference in the share of plies along the load over which a cap is transferred; own choice."""


@checked
def stress_concentration(laminate: Laminate) -> float:
    """Stress at the edge of an open hole in a wide laminate over the mean stress, load along x.

    Parameters
    ----------
    laminate : Laminate
        Balanced and symmetric, so that it is orthotropic in its plane.

    Returns
    -------
    float
        KT [-].

    Raises
    ------
    ValueError
        If the laminate couples extension and shear, or extension and bending.

    Notes
    -----
    KT = 1 + sqrt((2/A22) (sqrt(A11 A22) - A12 + (A11 A22 - A12^2) / (2 A66))); 3 for a quasi-isotropic laminate.

    References
    ----------
    S. G. Lekhnitskii, Anisotropic Plates, 2nd ed. 1968; J. M. Whitney, R. J. Nuismer, Stress fracture criteria for
    laminated composites containing stress concentrations, J. Compos. Mater. 8 (1974) 253-265 (from memory).

    Examples
    --------
    >>> from materials import lamina
    >>> round(stress_concentration(Laminate.from_code("[0/45/-45/90]s", lamina("T300/5208"))), 6)
    3.0
    """
    return _concentration(laminate)


def _concentration(laminate: Laminate) -> float:
    """`stress_concentration` of a laminate that was checked."""
    A = laminate.A
    if abs(A[:2, 2]).max() > 1e-6 * A[0, 0] or abs(laminate.B).max() > 1e-6 * A[0, 0] * laminate.thickness:
        limit = "balanced and symmetric"
        reject("stress_concentration: laminate", laminate.code, limit, "KT is that of an orthotropic sheet")
    A11, A12, A22, A66 = A[0, 0], A[0, 1], A[1, 1], A[2, 2]
    return float(1 + np.sqrt(2 / A22 * (np.sqrt(A11 * A22) - A12 + (A11 * A22 - A12**2) / (2 * A66))))


@checked
def finite_width_factor(width_ratio: Annotated[ArrayLike, Limits("-", at_least=0.0, below=1.0)]) -> Array:
    """Stress concentration in a strip of finite width over that in a wide one.

    Parameters
    ----------
    width_ratio : array_like, shape (...)
        Diameter of the hole over width of the strip [-].

    Returns
    -------
    ndarray, shape (...)
        Factor, by which the strength of the wide laminate is divided [-].

    Notes
    -----
    3 (1 - d/w) / (2 + (1 - d/w)^3) is the wide one over the finite one; this returns its inverse, 1 or more. It is that
    of an isotropic strip (R. B. Heywood; from memory).

    Examples
    --------
    >>> finite_width_factor([0.0, 1 / 6]).round(4).tolist()
    [1.0, 1.0315]
    """
    left = 1 - np.asarray(width_ratio)
    return np.asarray((2 + left**3) / (3 * left))


@checked
def open_hole_ratio(
    concentration: Annotated[ArrayLike, CONCENTRATION],
    *,
    diameter: Annotated[ArrayLike, DIAMETER],
    distance: Annotated[ArrayLike, DISTANCE],
) -> Array:
    """Strength of a wide laminate with an open hole over its unnotched strength, by the stress at a point.

    Parameters
    ----------
    concentration : array_like, shape (...)
        KT from `stress_concentration` [-].
    diameter : array_like, shape (...)
        Diameter of the hole [m].
    distance : array_like, shape (...)
        d0, the distance from the edge at which the stress counts [m].

    Returns
    -------
    ndarray, shape (...)
        SN / S0; 1 / KT for a very large hole, 1 for a very small one [-].

    Notes
    -----
    SN/S0 = 2 / (2 + x^2 + 3 x^4 - (KT - 3) (5 x^6 - 7 x^8)), x = r / (r + d0).

    References
    ----------
    J. M. Whitney, R. J. Nuismer, J. Compos. Mater. 8 (1974) 253-265 (from memory).

    Examples
    --------
    >>> open_hole_ratio(3.0, diameter=[1e-6, 6.35e-3, 0.5], distance=1e-3).round(3).tolist()
    [1.0, 0.558, 0.336]
    """
    return np.asarray(_point_stress(np.asarray(concentration), np.asarray(diameter), np.asarray(distance)))


def _point_stress(KT: Any, diameter: Any, distance: Any) -> Any:
    """`open_hole_ratio` of checked numbers."""
    r = diameter / 2
    x = r / (r + distance)
    return 2 / (2 + x**2 + 3 * x**4 - (KT - 3) * (5 * x**6 - 7 * x**8))


@checked
def characteristic_distance(
    strength_ratio: Annotated[float, Limits("-", above=0.0, below=1.0)],
    *,
    concentration: Annotated[float, CONCENTRATION],
    diameter: Annotated[float, DIAMETER],
    width: Annotated[float, Limits("m", above=0.0, at_most=10.0, cause="given in mm?")],
) -> float:
    """Distance d0 that gives a measured open-hole strength.

    Parameters
    ----------
    strength_ratio : float
        Strength of the strip with the hole, on its gross section, over the unnotched strength [-].
    concentration : float
        KT of the laminate [-].
    diameter, width : float
        Of the hole and of the strip [m].

    Returns
    -------
    float
        d0 [m].

    Raises
    ------
    ValueError
        If no distance gives the strength: below 1 / KT, or above that without a stress concentration.

    Examples
    --------
    >>> d0 = characteristic_distance(0.5, concentration=3.0, diameter=6.35e-3, width=38.1e-3)
    >>> round(1e3 * d0, 3)
    0.788
    """
    if diameter >= width:
        reject("characteristic_distance: diameter [m]", f"{diameter:g}", f"< width = {width:g}", "swapped?")
    wide = strength_ratio * float(finite_width_factor(diameter / width))

    def off(distance: float) -> float:
        return float(_point_stress(concentration, diameter, distance)) - wide

    least, most = 1e-9 * diameter, 10.0 * diameter
    if off(least) > 0 or off(most) < 0:
        limit = f"from 1/KT = {1 / concentration:.3g} to 1 on a wide laminate"
        cause = "no notch sensitivity, or strengths of different laminates?"
        reject("characteristic_distance: strength_ratio [-]", f"{wide:.4g} on a wide one", limit, cause)
    return float(brentq(off, least, most, xtol=1e-12))


class OpenHoleTest(Frozen, eq=True):
    """Cap on the strain along the load from an open-hole test, to be transferred to other laminates and holes.

    Parameters
    ----------
    laminate : Laminate
        The tested laminate, load along x.
    diameter, width : float
        Of the hole and of the strip [m].
    distance : float
        d0 fitted to the test [m].
    diameters : tuple of float, shape (2,)
        Smallest and largest hole of the tests that d0 was fitted to; it grows with the hole [m].
    cap : float
        Open-hole strength of the strip on its gross section, over its linear modulus, a magnitude [-].
    sense : {"tension", "compression"}
        Sense of the load.
    source : Source
        Where the test is from.

    Raises
    ------
    ValueError
        If the tested hole is wider than its strip or outside the range.

    Examples
    --------
    >>> from materials import lamina
    >>> tested = Laminate.from_code("[45/0/-45/90]2s", lamina("IM7/8552"))
    >>> test = OpenHoleTest(laminate=tested, diameter=6.35e-3, width=38.1e-3, distance=1.09e-3,
    ...                     diameters=(6.35e-3, 6.35e-3), cap=6.75e-3, sense="tension",
    ...                     source=Source("invented", "example"))
    >>> part = Laminate.from_code("[45/-45/0/45/-45/90/45/-45/45/-45]s", lamina("IM7/8552"))
    >>> round(test.transfer(part, diameter=6.35e-3, width=38.1e-3), 5)
    0.00654
    """

    laminate: Laminate
    diameter: Annotated[float, DIAMETER]
    width: Annotated[float, Limits("m", above=0.0, at_most=10.0, cause="given in mm?")]
    distance: Annotated[float, DISTANCE]
    diameters: tuple[Annotated[float, DIAMETER], Annotated[float, DIAMETER]]
    cap: Annotated[
        float, Limits("-", above=0.0, at_most=0.03, cause="0.004 is 4000 microstrain; in percent?")
    ]
    sense: Literal["tension", "compression"]
    source: Annotated[Source, SOURCED]

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.diameter >= self.width:
            reject(
                "OpenHoleTest: diameter [m]", f"{self.diameter:g}", f"< width = {self.width:g}", "swapped?"
            )
        self._within("OpenHoleTest: diameter [m]", self.diameter)

    @checked
    def transfer(
        self,
        laminate: Laminate,
        *,
        diameter: Annotated[float, DIAMETER],
        width: Annotated[float, Limits("m", above=0.0, at_most=10.0, cause="given in mm?")],
    ) -> float:
        """Cap of another laminate, hole and width.

        Parameters
        ----------
        laminate : Laminate
            The laminate of the part, load along x.
        diameter, width : float
            Of its hole and of the wall around it [m].

        Returns
        -------
        float
            Cap, a magnitude [-].

        Raises
        ------
        ValueError
            If the hole is outside the range of the test, or the share of plies along the load differs by over 0.15.

        Notes
        -----
        The two laminates are taken to reach the same strain without a notch:
        cap = cap of the test x (SN/S0 / width factor) of the part / (SN/S0 / width factor) of the test, same d0.
        """
        if diameter >= width:
            reject("OpenHoleTest.transfer: diameter [m]", f"{diameter:g}", f"< width = {width:g}", "swapped?")
        self._within("OpenHoleTest.transfer: diameter [m]", diameter)
        shares = [_share_along(one) for one in (self.laminate, laminate)]
        if abs(shares[1] - shares[0]) > SHARE_OF_FIBERS_ALONG + 1e-9:
            got = f"{shares[1]:.2f} of plies along the load"
            limit = f"within {SHARE_OF_FIBERS_ALONG:g} of the {shares[0]:.2f} of the tested laminate"
            reject(
                "OpenHoleTest.transfer: laminate",
                got,
                limit,
                "test a laminate like the part: ASTM D5766, D6484",
            )
        part, test = (
            _point_stress(_concentration(one), d, self.distance) / finite_width_factor(d / w)
            for one, d, w in ((laminate, diameter, width), (self.laminate, self.diameter, self.width))
        )
        return float(self.cap * part / test)

    def _within(self, what: str, diameter: float) -> None:
        """Refuse a hole outside the range of the test."""
        least, most = self.diameters
        if not least * (1 - 1e-9) <= diameter <= most * (1 + 1e-9):
            cause = "d0 grows with the hole: test that size (ASTM D5766, D6484)"
            reject(what, f"{diameter:g}", f"{least:g} to {most:g}, the range of the test", cause)


def _share_along(laminate: Laminate) -> float:
    """Share of the thickness in plies whose fibers lie along x, a fabric at 0 or 90 deg half [-]."""
    share = 0.0
    for ply in laminate.plies:
        turn = abs(ply.angle_deg) % 180
        along, across = min(turn, 180 - turn) < 1.0, abs(turn - 90) < 1.0
        if ply.lamina.kind == "fabric":
            share += ply.lamina.thickness / 2 * (along or across)
        else:
            share += ply.lamina.thickness * along
    return share / laminate.thickness
