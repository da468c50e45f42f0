"""Laminates with an open hole: strength by the stress at a point or its mean, and caps from one to another.

::

      ^ N        ______        stress along the load beside the hole: KT at the edge, falling to the mean. The
      |         /      \\__     laminate breaks when the stress at the distance d0 from the edge reaches its unnotched
    ( hole )---+--d0--+-----   strength.
"""

from typing import Annotated, Any, Literal

import numpy as np
from numpy.typing import ArrayLike
from scipy.optimize import brentq

from laminate.notch.hole_stress import CONCENTRATION, finite_width_factor, ligament, sheet_moduli
from laminate.stack import Laminate
from materials.checks import Array, Frozen, Limits, checked, reject
from materials.source import SOURCED, Source

DIAMETER = Limits("m", above=0.0, at_most=0.5, cause="given in mm?")
WIDTH = Limits("m", above=0.0, at_most=10.0, cause="given in mm?")
DISTANCE = Limits("m", above=0.0, at_most=0.05, cause="given in mm?")
Criterion = Literal["point", "average"]
SHARE_OF_FIBERS_ALONG = 0.15
"""Largest difference in the share of plies along the load over which a cap is transferred; own choice."""


@checked
def open_hole_ratio(
    concentration: Annotated[ArrayLike | Laminate, CONCENTRATION],
    *,
    diameter: Annotated[ArrayLike, DIAMETER],
    distance: Annotated[ArrayLike, DISTANCE],
    criterion: Criterion = "point",
) -> Array:
    """Strength of a wide laminate with an open hole over its unnotched strength, load along x.

    Parameters
    ----------
    concentration : array_like, shape (...), or Laminate
        KT from `stress_concentration`, for the polynomial field; the laminate, for its exact field [-].
    diameter : array_like, shape (...)
        Diameter of the hole [m].
    distance : array_like, shape (...)
        Distance from the edge: d0, at which the stress counts, or a0, over which its mean counts [m].
    criterion : str
        "point" or "average": the stress at the distance or its mean up to there reaches the unnotched strength.

    Returns
    -------
    ndarray, shape (...)
        SN / S0; 1 / KT for a very large hole, 1 for a very small one [-].

    Raises
    ------
    ValueError
        If the laminate couples extension and shear, or extension and bending.

    Notes
    -----
    Exact field: 1 / (s/s0) with `ligament_stress`. Polynomial, point, x = r / (r + d0):
    SN/S0 = 2 / (2 + x^2 + 3 x^4 - (KT - 3) (5 x^6 - 7 x^8)). Average, x = r / (r + a0):
    SN/S0 = 2 (1 - x) / (2 - x^2 - x^4 + (KT - 3) (x^6 - x^8)). Both fields agree for KT 3. For KT 5 to 7 the polynomial
    is up to 15 % too strong at the point: take the laminate. S0 is that of the sense and environment; so is the
    distance, by tests of at least two holes. Published starting values are d0 = 1.0 mm, a0 = 3.8 mm.

    References
    ----------
    J. M. Whitney, R. J. Nuismer, J. Compos. Mater. 8 (1974) 253-265 (from memory).

    Examples
    --------
    >>> open_hole_ratio(3.0, diameter=[1e-6, 6.35e-3, 0.5], distance=1e-3).round(3).tolist()
    [1.0, 0.558, 0.336]
    >>> from materials import lamina
    >>> quasi = Laminate.from_code("[0/45/-45/90]s", lamina("T300/5208"))
    >>> open_hole_ratio(quasi, diameter=6.35e-3, distance=3.8e-3, criterion="average").round(3).tolist()
    0.623
    """
    return np.asarray(_ratio(concentration, np.asarray(diameter), np.asarray(distance), criterion))


def _ratio(of: Any, diameter: Any, distance: Any, criterion: Criterion) -> Any:
    """`open_hole_ratio` of checked numbers."""
    r = diameter / 2
    if isinstance(of, Laminate):
        return 1 / ligament(
            sheet_moduli(of, owner="open_hole_ratio"), 1 + distance / r, mean=criterion == "average"
        )
    x, over = r / (r + distance), of - 3
    if criterion == "average":
        return 2 * (1 - x) / (2 - x**2 - x**4 + over * (x**6 - x**8))
    return 2 / (2 + x**2 + 3 * x**4 - over * (5 * x**6 - 7 * x**8))


@checked
def characteristic_distance(
    strength_ratio: Annotated[float, Limits("-", above=0.0, below=1.0)],
    *,
    concentration: Annotated[float | Laminate, CONCENTRATION],
    diameter: Annotated[float, DIAMETER],
    width: Annotated[float, WIDTH],
    criterion: Criterion = "point",
) -> float:
    """Distance d0 or a0 that gives a measured open-hole strength.

    Parameters
    ----------
    strength_ratio : float
        Strength of the strip with the hole, on its gross section, over the unnotched strength [-].
    concentration : float or Laminate
        KT of the tested laminate, or the laminate, as in `open_hole_ratio` [-].
    diameter, width : float
        Of the hole and of the strip [m].
    criterion : str
        As in `open_hole_ratio`.

    Returns
    -------
    float
        d0 or a0 [m].

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
        return float(_ratio(concentration, diameter, distance, criterion)) - wide

    least, most = 1e-9 * diameter, (10.0 if criterion == "point" else 100.0) * diameter
    if off(least) > 0 or off(most) < 0:
        KT = 1 / float(_ratio(concentration, diameter, least, "point"))
        limit = f"from 1/KT = {1 / KT:.3g} to 1 on a wide laminate"
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
        d0 or a0 fitted to the test [m].
    diameters : tuple of float, shape (2,)
        Smallest and largest hole of the tests that d0 was fitted to; it grows with the hole [m].
    cap : float
        Open-hole strength of the strip on its gross section, over its linear modulus, a magnitude [-].
    sense : {"tension", "compression"}
        Sense of the load.
    source : Source
        Where the test is from.
    criterion : str
        "point" for d0 or "average" for a0, as in `open_hole_ratio`.

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
    0.00643
    """

    laminate: Laminate
    diameter: Annotated[float, DIAMETER]
    width: Annotated[float, WIDTH]
    distance: Annotated[float, DISTANCE]
    diameters: tuple[Annotated[float, DIAMETER], Annotated[float, DIAMETER]]
    cap: Annotated[
        float, Limits("-", above=0.0, at_most=0.03, cause="0.004 is 4000 microstrain; in percent?")
    ]
    sense: Literal["tension", "compression"]
    source: Annotated[Source, SOURCED]
    criterion: Criterion = "point"

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
        width: Annotated[float, WIDTH],
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
        Exact stress fields. The two laminates are taken to reach the same strain without a notch:
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
            _ratio(one, d, self.distance, self.criterion) / finite_width_factor(d / w)
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
