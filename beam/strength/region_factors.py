"""Factors on the load where a beam finds more reserve than a layered solid model: near fittings and ply ends."""

from collections.abc import Iterable, Sequence
from typing import Annotated, Literal

import numpy as np
from numpy.typing import NDArray

from beam.strut import Strut
from materials import Source
from materials.checks import Array, Frozen, Limits
from materials.source import SOURCED

Region = Literal["beside a band", "rigid fitting", "end fitting", "held end", "ply end", "thin corners"]
KINDS = ("fiber", "shear", "matrix", "corner")
ALL_PLIES = len(KINDS)
"""Column of checks that are of no kind of `KINDS`: the largest of fiber, shear and matrix."""

_VALUE = Limits("-", at_least=1.0, cause="a factor on load, not a knockdown")
REACH_OF_BAND = 0.5
"""How far "beside a band" reaches, in mean widths of the section: over that shear and hoop force even out."""
SMALL_END = 0.05
"""Share of the thickness of a wall whose end needs no factor: bricks have 0.83 of the reserve and more beside ends of
3 to 4 percent, 0.47 beside those of 7 to 14 percent."""
REACH_OF_END = EDGE = 0.010  # m


class RegionFactor(Frozen, eq=True):
    """Factor on the load of the checks in one region of a strut with bands, beside the factors of their level.

    Parameters
    ----------
    region : {"beside a band", "rigid fitting", "end fitting", "held end", "ply end", "thin corners"}
        "beside a band": outside it, within half the mean width of the section. "rigid fitting": inside one. "end
        fitting": in place of it, inside one at an end of the strut, 10 mm and more from both its edges. "held end":
        as far as beside a band, from an end that is closed or clamped and in no band. "ply end": within 10 mm of
        where more than 5 percent of a wall ends. "thin corners": everywhere, where laminae do not say enough of their
        thickness to judge corners as thick.
    fiber, shear, matrix : float
        On the checks of fibers (those with caps), of shear, and between the fibers of a tape; other checks of plies
        take the largest [-].
    corner : float
        On the opening of corners [-].
    source : Source
        Where the values come from.

    Notes
    -----
    Where regions overlap the factors multiply. `Requirement.region_factors` has them.

    Examples
    --------
    >>> fitting = RegionFactor(region="rigid fitting", matrix=1.2, source=Source("strut 3, strain gauges"))
    >>> fitting.fiber, fitting.said
    (1.0, 'rigid fitting: load x 1.2 for matrix, estimate: strut 3, strain gauges')
    """

    region: Region
    fiber: Annotated[float, _VALUE] = 1.0
    shear: Annotated[float, _VALUE] = 1.0
    matrix: Annotated[float, _VALUE] = 1.0
    corner: Annotated[float, _VALUE] = 1.0
    source: Annotated[Source, SOURCED]

    @property
    def values(self) -> tuple[float, ...]:
        """Factors of `KINDS`, and of other checks of plies."""
        plies = self.fiber, self.shear, self.matrix
        return (*plies, self.corner, max(plies))

    @property
    def said(self) -> str:
        """The factors above 1 and where they come from, as rows of the margin table print it."""
        each = zip(KINDS, self.values, strict=False)
        what = ", ".join(f"{value:g} for {kind}" for kind, value in each if value > 1.0)
        return f"{self.region}: {f'load x {what}' if what else 'no factor'}, estimate: {self.source}"


def measured(region: Region, *but: str, **values: float) -> RegionFactor:
    """A factor measured on bricks of the demonstration strut; `but`: rows where bricks still have less."""
    note = "; ".join(["with it they have at least 0.8 of the reserve printed here", *but])
    return RegionFactor(region=region, source=Source("bricks of one strut, the Tarn", "", note), **values)


BESIDE_BRICKS = (
    measured("beside a band", "of fibers 0.72 of reserves above 4", fiber=1.07, shear=1.15, matrix=1.08),
    measured(
        "rigid fitting", "of opening corners 0.47 of reserves above 4", shear=1.16, matrix=1.37, corner=1.08
    ),
    measured(
        "end fitting",
        "of fibers 0.62 of reserves above 3, 0.42 above 4; of shear 0.68 above 5",
        fiber=1.32,
        shear=1.75,
        matrix=1.52,
        corner=1.08,
    ),
    measured("held end", "of fibers 0.73 of reserves above 3.5"),
    measured("ply end", "of fibers 0.71 where a seventh of a wall ends at once", shear=1.05, matrix=1.72),
    measured("thin corners", matrix=1.58),
)
"""So that bricks have 0.8 of the reserve of the beam at least, by `tests/bench/bench_bricks.py reserves`."""


def where(strut: Strut, region: Region, stations: Array) -> NDArray[np.bool_]:
    """Which stations (station,) [m] of a strut with bands lie in a region."""
    length, s = strut.mold_line.length, stations
    near = 1e-9 * length
    inside = np.zeros(s.shape, dtype=bool)
    if region == "ply end":
        thick = np.array([[wall.thickness for wall in walls] for walls in strut.laminates])
        change = np.abs(np.diff(thick, axis=0)) / np.maximum(thick[1:], thick[:-1])
        drops = strut.bays[1:-1][change.max(axis=1, initial=0.0) > SMALL_END]
        return np.asarray(np.abs(s[:, None] - drops).min(axis=1, initial=np.inf) <= REACH_OF_END + near)
    if region == "thin corners":
        return inside | (not strut.thick_corners)
    reach = REACH_OF_BAND * float(strut.mold_line.width.mean())
    for band in strut.bands:
        at_end = band.start <= near or band.end >= length - near
        within = (s >= band.start - near) & (s <= band.end + near)
        if region == "beside a band":
            inside |= ~within & (s >= band.start - reach) & (s <= band.end + reach)
        elif band.fitting == "rigid":
            deep = np.full(s.shape, at_end) & (np.minimum(s - band.start, band.end - s) >= EDGE)
            inside |= within & ((deep & (region == "end fitting")) | (~deep & (region == "rigid fitting")))
    for end, kept in ((0.0, strut.root_end), (length, strut.tip_end)) if region == "held end" else ():
        if kept != "open" and strut.band_at(end) is None:
            inside |= np.abs(s - end) <= reach
    return np.asarray(inside)


def factors_at(strut: Strut, factors: Iterable[RegionFactor], stations: Array) -> Array:
    """Products of the factors at stations (station,) [m], (station, kind), columns `KINDS` and `ALL_PLIES`."""
    out = np.ones((len(stations), ALL_PLIES + 1))
    for one in factors if strut.bands else ():
        out[where(strut, one.region, stations)] *= one.values
    return out


def said_at(strut: Strut, factors: Sequence[RegionFactor], station: float) -> list[str]:
    """What the rows at a station [m] print of the factors there."""
    at = np.array([station])
    return [one.said for one in factors if strut.bands and where(strut, one.region, at)[0]]
