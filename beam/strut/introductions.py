"""Where loads really enter the strut: bands and their fittings, ribs, and how the two ends are closed."""

from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import Annotated, Literal, NamedTuple

import numpy as np

from beam.strut.axis import SNAP
from beam.strut.mold_line import MoldLine
from beam.strut.point_loads import PointLoads
from beam.strut.supports import Support
from materials.checks import Array, Frozen, Items, Limits, default, reject

End = Literal["warping held", "closed", "open"]
"""How an end of the strut is closed: it keeps its shape and stays plane (a clamp, a thick plug); it keeps its shape and
may warp (a thin fitting, a clamp that gives way along the span); it is free."""

REACH = 1.8  # widths over which a disturbance decays to 1/e, the longest of the sections measured


class Band(Frozen, eq=True):
    """Stretch of the strut over which a fitting brings its load into the walls.

    Parameters
    ----------
    name : str
        Name in messages and tables.
    start : float
        Station of its inboard edge [m].
    end : float
        Station of its outboard edge [m].
    walls : tuple of str
        Walls that the fitting touches; none given: all.
    fitting : {"flexible", "rigid"}
        A flexible fitting passes the load on as an even traction and leaves the section free to change its shape; a
        rigid one keeps the shape of the section over the whole band.

    Raises
    ------
    ValueError
        If it does not end outboard of its start, or a wall is named twice.

    Notes
    -----
    A load of `PointLoads` enters by the band whose closed interval [start, end] contains its station.

    Examples
    --------
    >>> bracket = Band(name="bracket", start=0.26, end=0.32, walls=["aft"])
    >>> bracket.middle, bracket.fitting
    (0.29000000000000004, 'flexible')
    """

    name: str
    start: Annotated[float, Limits("m", at_least=0.0, below=10.0, cause="given in mm?")]
    end: Annotated[float, Limits("m", above=0.0, at_most=10.0, cause="given in mm?")]
    walls: Annotated[Items[str], Limits(items=0)] = default(())
    fitting: Literal["flexible", "rigid"] = "flexible"

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.end <= self.start:
            cause = "a band runs from start outboard to end"
            reject(f"Band '{self.name}': end [m]", f"{self.end:g}", f"> start, {self.start:g}", cause)
        if len(set(self.walls)) != len(self.walls):
            reject(f"Band '{self.name}': walls", self.walls, "names, each once")

    @property
    def middle(self) -> float:
        """Station half way between its edges [m]."""
        return (self.start + self.end) / 2


class Rib(Frozen, eq=True):
    """A rib: it keeps the section's shape in its plane and leaves it free to warp.

    Parameters
    ----------
    station : float
        Where it stands [m].
    bending_stiffness : float, optional
        E I in its own plane of a ring rib that follows the walls [N m2]; None: a plate, rigid in its plane.
    name : str
        Name in messages and tables.

    Notes
    -----
    A ring rib takes up the energy 1/2 E I times the integral around of (change of curvature)^2.

    Examples
    --------
    >>> Rib(station=0.32).bending_stiffness is None, Rib(station=0.26, bending_stiffness=400.0).name
    (True, 'rib')
    """

    station: Annotated[float, Limits("m", at_least=0.0, at_most=10.0, cause="given in mm?")]
    bending_stiffness: Annotated[float | None, Limits("N m2", above=0.0, cause="leave the rib out")] = None
    name: str = "rib"


class IntroductionNote(NamedTuple):
    """An assumption on how a load enters, and where margins rest on it, as `Strut.introduction_notes` returns it.

    Parameters
    ----------
    start : float
        Inboard end of the stretch concerned [m].
    end : float
        Its outboard end [m].
    text : str
        The assumption.
    """

    start: float
    end: float
    text: str


def check_introductions(line: MoldLine, bands: Sequence[Band], ribs: Sequence[Rib]) -> None:
    """Refuse bands and ribs that leave the strut, bands that overlap, and walls that are not there."""
    length, names = line.length, line.wall_names
    for band in bands:
        if band.end > length * (1 + SNAP):
            reject(f"Band '{band.name}': end [m]", f"{band.end:g}", f"at most the tip, {length:.9g}")
        if strange := sorted(set(band.walls) - set(names)):
            reject(f"Band '{band.name}': walls", strange, f"among {', '.join(names)}", "misspelt?")
    inward = sorted(bands, key=lambda band: band.start)
    for one, other in pairwise(inward):
        if other.start < one.end - SNAP * length:
            what = f"Strut: start [m] of band '{other.name}'"
            cause = f"it overlaps the band '{one.name}'; give the two fittings one band"
            reject(what, f"{other.start:g}", f"at least {one.end:g}", cause)
    if len({band.name for band in bands}) != len(bands):
        reject("Strut: names of bands", [band.name for band in bands], "all different")
    for rib in ribs:
        if rib.station > length * (1 + SNAP):
            reject(f"Rib '{rib.name}': station [m]", f"{rib.station:g}", f"at most the tip, {length:.9g}")
    at = np.sort([rib.station for rib in ribs])
    if (np.diff(at) <= SNAP * length).any():
        reject("Strut: stations of ribs [m]", at.tolist(), "all different", "a rib given twice?")


def band_at(bands: Sequence[Band], station: float, length: float) -> Band | None:
    """The band that contains a station, the inboard one where two touch; None where there is none."""
    near = SNAP * length
    held = [band for band in bands if band.start - near <= station <= band.end + near]
    return min(held, key=lambda band: band.start, default=None)


def spread_forces(faces: Callable[[Array], tuple[Array, Array]], band: Band, x: Array) -> Array:
    """Section forces (station, 6, 6) inside a band per force and moment about its middle that the band spreads.

    `faces` takes stations to points (station, point, 2) of the outer face in the band and lengths (station, point).
    """
    points, shares = np.polynomial.legendre.leggauss(4)

    def grip(start: Array) -> Array:
        """Integral of R^T R over the faces from stations (station,) to the end, R: traction a + b x r per (a, b)."""
        half = 0.5 * (band.end - start)[:, None]
        at = (start[:, None] + half * (1 + points)).ravel()
        place, length = faces(at)
        R = np.zeros((*length.shape, 3, 6))
        R[..., :3] = np.eye(3)
        r = np.concatenate(
            [np.broadcast_to((at - band.middle)[:, None, None], (*length.shape, 1)), place], axis=-1
        )
        for i, j, k in ((0, 1, 2), (1, 2, 0), (2, 0, 1)):
            R[..., j, 3 + i], R[..., k, 3 + i] = -r[..., k], r[..., j]
        each = np.einsum("xp,xpia,xpib->xab", length, R, R, optimize=True).reshape(
            len(start), len(points), 6, 6
        )
        return np.asarray(np.einsum("sg,sgab->sab", half * shares, each))

    share = grip(x) @ np.linalg.inv(grip(np.array([band.start])))
    return shifted(share, band.middle - x)


def shifted(wrench: Array, arm: Array) -> Array:
    """Forces and moments (..., 6, column) about points of the axis that lie inboard by `arm` (...) [m]."""
    out = wrench.copy()
    out[..., 4, :] -= arm[..., None] * wrench[..., 2, :]
    out[..., 5, :] += arm[..., None] * wrench[..., 1, :]
    return out


def ribs_in(band: Band, ribs: Sequence[Rib], length: float) -> tuple[Rib, ...]:
    """The ribs from edge to edge of a band, root to tip."""
    near = SNAP * length
    within = (rib for rib in ribs if band.start - near <= rib.station <= band.end + near)
    return tuple(sorted(within, key=lambda rib: rib.station))


def reach_of(line: MoldLine) -> float:
    """Distance from a band over which its disturbance decays to 1/e at most [m]."""
    return REACH * float(max(line.width.max(), line.height.max()))


def notes(
    line: MoldLine,
    bands: Sequence[Band],
    ribs: Sequence[Rib],
    ends: tuple[End, End],
    supports: Sequence[Support],
    loads: PointLoads,
) -> tuple[IntroductionNote, ...]:
    """What margins near introductions rest on, root to tip."""
    length, found, reach = line.length, [], reach_of(line)

    def note(start: float, end: float, text: str) -> None:
        found.append(IntroductionNote(max(0.0, start - reach), min(length, end + reach), text))

    wrench = loads.wrench
    entering = [float(s) for s, one in zip(loads.at, np.moveaxis(wrench, -2, 0), strict=True) if one.any()]
    inside = [s for s in entering if s > 0.0]
    for s in sorted(set(inside)):
        if band_at(bands, s, length) is None:
            note(
                s,
                s,
                f"the load at {s:g} m has no band: it enters as beam theory has it, spread over the section",
            )
    used = {band for s in inside if (band := band_at(bands, s, length)) is not None}
    for band in bands:
        stiff = band.fitting == "rigid" or bool(ribs_in(band, ribs, length))
        stiff = stiff or any(
            end != "open" and abs(s - edge) <= SNAP * length
            for end, s, edge in zip(ends, (0.0, length), (band.start, band.end), strict=True)
        )
        if band in used and not stiff:
            note(band.start, band.end, f"band '{band.name}' has no rib: its walls bend under the load")
        within = [rib for rib in ribs_in(band, ribs, length) if band.start < rib.station < band.end]
        if band.fitting == "flexible" and within:
            which = ", ".join(f"'{rib.name}' at {rib.station:g} m" for rib in within)
            text = f"rib {which} inside the flexible band '{band.name}': the load enters by the walls alone"
            note(band.start, band.end, text)
        for support in supports:
            if band_at([band], support.at, length) and not stiff:
                text = f"support '{support.name}' in band '{band.name}' without a rib: its reaction enters evenly"
                note(band.start, band.end, text)
    for support in supports:
        at_end = support.at <= SNAP * length or support.at >= length * (1 - SNAP)
        if band_at(bands, support.at, length) is None and not at_end:
            text = f"support '{support.name}' at {support.at:g} m has no band: its reaction is spread over the section"
            note(support.at, support.at, text)
    return tuple(sorted(found))
