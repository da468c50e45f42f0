"""Holes that a bolt loads: net section with bearing and bypass, bearing, shear-out, pull-through, edge and pitch rules.

::

      bypass + bearing ^   |<----- width ----->|       width: of the strip, or pitch of the row
                       |   |        __         |       edge: from the center to the free end, along the load
           tension     |   |       (  ) bolt   |       bearing: what this bolt puts on the hole
                           |        --  edge   |       bypass: what goes past the hole to the next rows
      free end             |_____________v_____|
"""

from typing import Annotated, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from laminate.notch.open_hole import DIAMETER, WIDTH
from materials.checks import Array, Frozen, Limits, checked, reject
from materials.source import SOURCED, Source

STRENGTH = Limits("Pa", at_least=1e5, at_most=2e10, cause="given in MPa or ksi?")
CONE = 1.19
"""Area of a 100 deg countersink beside the shank, both sides, over its depth squared: tan 50 deg."""

CHECKED_PITCH = 6.0
"""Width over diameter up to which the stress concentration of a loaded hole was compared with finite elements."""


class HoleRatios(NamedTuple):
    """Strength ratios (...) [-] of a loaded hole; inf where the mode has no load or no strength was given."""

    net_tension: Array
    compression: Array
    bearing: Array
    shear_out: Array
    pull_through: Array


class HoleRule(NamedTuple):
    """One rule of practice on a hole: name, value of this hole, limits [-], whether it is met."""

    name: str
    value: float
    least: float
    most: float
    met: bool


class LoadedHole(Frozen, eq=True):
    """A hole in a laminate with a bolt in it.

    Parameters
    ----------
    diameter : float
        Diameter of the hole [m].
    width : float
        Of the strip, or pitch of the bolts across the load [m].
    edge : float
        From the center of the hole to the free end along the load; of an inner row, the pitch along it [m].
    thickness : float
        Of the laminate [m].
    tension : float
        Unnotched tensile strength of the laminate along the load [Pa].
    compression : float
        Strength of the laminate with a filled hole under compressive bypass load, on the gross section [Pa].
    bearing : float
        Bearing strength by test, on diameter x thickness: for an ultimate check the ultimate one, for a limit check
        that at 2 % offset (ASTM D5961) [Pa].
    shear : float
        In-plane shear strength of the laminate, for shear-out [Pa].
    relief : float
        C, the share of the elastic stress peak that is left at failure: 1 brittle, 0 ductile. It is a test value of the
        material and the hole; about 0.25 for 25 % of plies along the load (from memory) [-].
    source : Source
        Where strengths and relief come from.
    pull_through : float, optional
        Shear strength around the head by test (ASTM D7332), on pi x head diameter x thickness [Pa].
    head_diameter : float, optional
        Diameter of head or washer, for pull-through [m].
    countersink : float
        Depth of the countersink [m].

    Raises
    ------
    ValueError
        If width or edge distance lie below what the stress concentration was checked for (width 2 diameters, edge
        half of the width), the edge is within 1.5 diameters, the countersink is deeper than two thirds of the
        thickness, or one of pull_through and head_diameter is missing.

    Notes
    -----
    On the stress P / (t (w - d)) of the net section, with T = 1.5 - w / (2 e), at most 1:
    kte = 2 + (w/d - 1) - 1.5 T (w/d - 1) / (w/d + 1) of the bearing load, 2 + (1 - d/w)^3 of the bypass load, and
    ktc = 1 + C (kte - 1). A strip wider than 6 diameters counts as 6, with the bypass load of that strip (own rule).
    Net tension: (ktc bearing + ktc bypass) / (t (w - d)) against the tensile strength; a load that pushes takes nothing
    off. Compression: use of bearing + use of bypass = 1 (own rule, not proven by test). Bearing acts on
    d (t - countersink / 2), shear-out on 2 e t; a countersink also leaves the net section, 1.19 depth^2.

    References
    ----------
    L. J. Hart-Smith, NASA CR-144899 (1976), from memory; the formula is 6 to 10 % high against finite elements
    for w/d 2 to 6. J. H. Crews, R. A. Naik, NASA TM 87705 and 89153 (summaries read): bearing and bypass add in
    tension.

    Examples
    --------
    >>> hole = LoadedHole(diameter=6e-3, width=36e-3, edge=36e-3, thickness=4e-3, tension=600e6, compression=300e6,
    ...                   bearing=550e6, shear=200e6, relief=0.25, source=Source("invented", "example"))
    >>> hole.ratios([10e3, 5e3], bypass=[0.0, 20e3]).net_tension.round(3).tolist()
    [3.226, 1.844]
    """

    diameter: Annotated[float, DIAMETER]
    width: Annotated[float, WIDTH]
    edge: Annotated[float, WIDTH]
    thickness: Annotated[float, Limits("m", above=0.0, at_most=0.2, cause="given in mm?")]
    tension: Annotated[float, STRENGTH]
    compression: Annotated[float, STRENGTH]
    bearing: Annotated[float, STRENGTH]
    shear: Annotated[float, STRENGTH]
    relief: Annotated[float, Limits("-", at_least=0.0, at_most=1.0)]
    source: Annotated[Source, SOURCED]
    pull_through: Annotated[float | None, STRENGTH] = None
    head_diameter: Annotated[float | None, DIAMETER] = None
    countersink: Annotated[float, Limits("m", at_least=0.0, at_most=0.2, cause="given in mm?")] = 0.0

    def __post_init__(self) -> None:
        super().__post_init__()
        d, w, e, t = self.diameter, self.width, self.edge, self.thickness
        slack = 1 - 1e-9
        if w < 2 * d * slack:
            reject("LoadedHole: width [m]", f"{w:g}", f">= 2 diameters = {2 * d:g}", "pitch too small")
        least = max(min(w, CHECKED_PITCH * d) / 2, 1.5 * d)
        if e < least * slack:
            limit = f">= {least:g}: 1.5 diameters and half of the width"
            reject("LoadedHole: edge [m]", f"{e:g}", limit, "measured from the center of the hole")
        if self.countersink > 2 / 3 * t / slack:
            limit = f"<= 2/3 of the thickness = {2 / 3 * t:g}"
            reject("LoadedHole: countersink [m]", f"{self.countersink:g}", limit, "the knife edge breaks out")
        if (self.pull_through is None) != (self.head_diameter is None):
            reject("LoadedHole: pull_through, head_diameter", "one of both", "given together")
        if self.head_diameter is not None and self.head_diameter <= d:
            reject("LoadedHole: head_diameter [m]", f"{self.head_diameter:g}", f"> the hole of {d:g}")

    @property
    def _strip(self) -> float:
        """Width that counts [m]."""
        return min(self.width, CHECKED_PITCH * self.diameter)

    @property
    def loaded_concentration(self) -> float:
        """Elastic stress peak of the bearing load over the net stress [-]."""
        ratio = self._strip / self.diameter
        theta = min(1.5 - 0.5 * self._strip / self.edge, 1.0)
        return 2 + (ratio - 1) - 1.5 * theta * (ratio - 1) / (ratio + 1)

    @property
    def open_concentration(self) -> float:
        """Elastic stress peak of the bypass load over the net stress [-]."""
        return 2 + (1 - self.diameter / self._strip) ** 3

    def _relieved(self, concentration: float) -> float:
        """Stress peak at failure, 1 + relief x (peak - 1) [-]."""
        return 1 + self.relief * (concentration - 1)

    @checked
    def ratios(
        self,
        load: Annotated[ArrayLike, Limits("N")],
        *,
        bypass: Annotated[ArrayLike, Limits("N")] = 0.0,
        pull: Annotated[ArrayLike, Limits("N", at_least=0.0)] = 0.0,
    ) -> HoleRatios:
        """Strength ratios of the hole in every mode, all loads growing together.

        Parameters
        ----------
        load : array_like, shape (...)
            Bearing load of the bolt on the hole; positive pulls the strip, negative pushes it [N].
        bypass : array_like, shape (...)
            Load past the hole on the strip, tension positive [N].
        pull : array_like, shape (...)
            Tension of the bolt that pulls the head through [N].

        Returns
        -------
        HoleRatios
            Ratio of each mode, shape (...) [-].
        """
        bears, passes, pulls = np.broadcast_arrays(np.asarray(load), np.asarray(bypass), np.asarray(pull))
        d, w, t, strip = self.diameter, self.width, self.thickness, self._strip
        passes = passes * strip / w
        net = self._relieved(self.loaded_concentration) * np.maximum(bears, 0.0)
        net = net + self._relieved(self.open_concentration) * np.maximum(passes, 0.0)
        area = t * (strip - d) - CONE * self.countersink**2
        on_bearing = abs(bears) / (d * (t - self.countersink / 2) * self.bearing)
        on_bypass = np.maximum(-passes, 0.0) / (strip * t * self.compression)
        pushed = np.where(passes < 0.0, on_bearing + on_bypass, 0.0)
        shear = np.maximum(bears, 0.0) / (2 * self.edge * t * self.shear)
        through = np.zeros_like(on_bearing)
        if self.pull_through is not None and self.head_diameter is not None:
            through = pulls / (np.pi * self.head_diameter * t * self.pull_through)
        elif (pulls > 0).any():
            reject(
                "LoadedHole.ratios: pull [N]", f"{pulls.max():g}", "0 without pull_through", "test ASTM D7332"
            )
        with np.errstate(divide="ignore"):
            return HoleRatios(
                *(1 / use for use in (net / (area * self.tension), pushed, on_bearing, shear, through))
            )

    @property
    def rules(self) -> tuple[HoleRule, ...]:
        """Rules of practice (from memory) on edge, pitch, bolt and countersink, each with whether it is met."""
        d, t = self.diameter, self.thickness
        found = (
            ("edge / diameter", self.edge / d, 3.0, np.inf),
            ("width / diameter", self.width / d, 4.0, np.inf),
            ("diameter / thickness", d / t, 1.0, 3.0),
            ("countersink / thickness", self.countersink / t, 0.0, 2 / 3),
        )
        return tuple(
            HoleRule(name, value, least, most, bool(least - 1e-9 <= value <= most + 1e-9))
            for name, value, least, most in found
        )
