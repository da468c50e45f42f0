"""What the shop lays up from: flat patterns, kit list, drops, mandrel, and the mirrored book of the port strut.

A flat pattern lies with the station along x, root at 0, and the way around the section along y. It is the ply
developed wall by wall on the axis; trim, seam and scrap are stated beside it and are not in its area.
"""

import os
import re
import xml.etree.ElementTree as ET
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import Annotated, Literal

import numpy as np
import pandas as pd

from beam.dossier.design import write_whole
from beam.strut import PlyBook, Strut
from beam.strut.cut_list import CutPiece, cut_list, widths
from beam.strut.point_loads import before
from beam.units import shown, symbol
from materials.checks import Array, Frozen, Limits, Numbers, Table, checked

__all__ = [
    "FlatPattern",
    "drop_table",
    "flat_patterns",
    "kit_list",
    "mandrel_table",
    "port_book",
    "release_faults",
    "write_dxf",
    "write_svg",
    "write_templates",
]

NOT_RELEASED = "NOT FOR MANUFACTURE"
LEAST_RISE = 5e-4  # of an end that is drawn as an arc [m]
_UNSAFE = ("guidance", "memory", "invented", "placeholder", "estimate")
_PARTS = re.compile(r"; (?![^()]*\))")  # parts of an assumption, not what stands in brackets

Units = Literal["SI", "US"]
Seam = Annotated[float, Limits("m", at_least=0.0, at_most=0.1, cause="given in mm?")]


@checked
def release_faults(margins: Table) -> tuple[str, ...]:
    """Why drawings of a strut are not released: what deciding rows rest on that nobody tested.

    Parameters
    ----------
    margins : DataFrame
        From `beam.margins`.

    Returns
    -------
    tuple of str
        Each part of an assumption of a deciding row that names guidance, memory, an invention, a placeholder or an
        estimate, once; none: the drawings may be released by those who are licensed to.

    Examples
    --------
    >>> import beam
    >>> from small_tube import LATTICE, PULL, REQUIREMENT  # examples/small_tube.py
    >>> len(release_faults(beam.lightest(LATTICE, PULL, REQUIREMENT).margins)) > 0
    True
    """
    return tuple(part for part in assumption_parts(margins) if any(word in part.lower() for word in _UNSAFE))


def assumption_parts(margins: Table) -> tuple[str, ...]:
    """Parts of the assumptions of the rows that decide, each once."""
    found = margins.loc[margins["decides"], "assumption"].astype(str).unique()
    return tuple(dict.fromkeys(part for text in found for part in _PARTS.split(text)))


class FlatPattern(Frozen):
    """One piece of one ply, flat and to scale.

    Parameters
    ----------
    piece : CutPiece
        What is cut.
    outline : array_like, shape (point, 2)
        Corners in order, without overlap: station and way around the section from the middle of the piece [m].
    stations : array_like, shape (station,)
        Stations to mark [m].
    seam : float
        Overlap to add along one edge of a piece that goes right round [m].
    end_rise : float
        Rise of the arc that the root end of a tapered piece of several walls is cut to [m].

    Examples
    --------
    >>> from small_tube import LATTICE  # examples/small_tube.py
    >>> from beam import Strut
    >>> pattern = flat_patterns(Strut(LATTICE.mold_line, LATTICE.book([[3], [2]])))[0]
    >>> round(pattern.area / pattern.piece.area, 9)
    1.0
    """

    piece: CutPiece
    outline: Annotated[Numbers, Limits("m", shape=(-1, 2))]
    stations: Annotated[Numbers, Limits("m", shape=(-1,))]
    seam: Seam = 0.0
    end_rise: Annotated[float, Limits("m", at_least=0.0)] = 0.0

    @property
    def name(self) -> str:
        """Name of the piece: number of the ply, and its walls if it does not go right round."""
        walls = "" if len(self.piece.walls) == 8 else f" {'+'.join(self.piece.walls)}"
        return f"ply {self.piece.ply:03d}{walls}"

    @property
    def area(self) -> float:
        """Area inside the outline [m2]."""
        x, y = self.outline.T
        return float(abs(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2)

    @property
    def box(self) -> Array:
        """Length along the fibers of axis 1 and width across them of the smallest cloth, shape (2,) [m]."""
        a = np.radians(self.piece.angle_deg)
        along = self.outline @ np.array([[np.cos(a), -np.sin(a)], [np.sin(a), np.cos(a)]])
        return np.asarray(np.ptp(along, axis=0))


@checked
def flat_patterns(strut: Strut, *, seam: Seam = 0.012) -> tuple[FlatPattern, ...]:
    """Flat pattern of every piece in the order of laying.

    Parameters
    ----------
    strut : Strut
        The strut.
    seam : float
        Overlap of a ply that goes right round: 12 mm is common practice, no source [m].

    Returns
    -------
    tuple of FlatPattern
        As many as `beam.strut.cut_list` has pieces, of the same areas.

    Notes
    -----
    Widths are those of the cut list, symmetric about the middle of the piece. A piece over several walls of a tapered
    tube is part of a fan: with the width falling by w per length its ends are arcs with a rise of w times width / 8.

    Examples
    --------
    >>> from small_tube import LATTICE  # examples/small_tube.py
    >>> from beam import Strut
    >>> [pattern.name for pattern in flat_patterns(Strut(LATTICE.mold_line, LATTICE.book([[3], [2]])))][:2]
    ['ply 001', 'ply 002']
    """
    out = []
    names = strut.mold_line.wall_names
    ends = np.stack([strut.bays[:-1], before(strut.bays[1:], strut.mold_line.length)], axis=1)
    width = widths(strut, ends.ravel()).reshape(len(strut.ply_book.plies), *ends.shape, len(names))
    for piece in cut_list(strut):
        on = [names.index(wall) for wall in piece.walls]
        inside = (strut.bays[:-1] >= piece.start - 1e-12) & (strut.bays[1:] <= piece.end + 1e-12)
        half = width[piece.ply - 1, inside][:, :, on].sum(axis=-1).ravel() / 2
        x = np.stack([strut.bays[:-1], strut.bays[1:]], axis=1)[inside].ravel()
        slope = (half[0] - half[-1]) * 2 / (x[-1] - x[0]) if len(on) > 1 else 0.0
        out.append(
            FlatPattern(
                piece=piece,
                outline=np.concatenate([np.stack([x, half], 1), np.stack([x, -half], 1)[::-1]]),
                stations=np.unique(x),
                seam=seam if len(on) == len(names) else 0.0,
                end_rise=abs(slope) * 2 * half[0] / 8,
            )
        )
    return tuple(out)


@checked
def kit_list(
    strut: Strut, *, struts: Annotated[int, Limits("-", at_least=1)] = 2, units: Units = "SI"
) -> Table:
    """Material to buy, lamina by lamina.

    Parameters
    ----------
    strut : Strut
        The strut.
    struts : int
        How many an airplane has [-].
    units : {"SI", "US"}
        Units to print in.

    Returns
    -------
    DataFrame
        Indexed by lamina, with a last row for the sum: pieces, net area, area of the rectangles along the fibers that
        the pieces are cut from without nesting, scrap share, mass of one strut and of the airplane.

    Examples
    --------
    >>> from small_tube import LATTICE  # examples/small_tube.py
    >>> from beam import Strut
    >>> strut = Strut(LATTICE.mold_line, LATTICE.book([[3], [2]]))
    >>> bool(abs(kit_list(strut).loc["sum", "mass of one strut [kg]"] - strut.mass) < 1e-9)
    True
    """
    patterns = flat_patterns(strut)
    rows = pd.DataFrame(
        {
            "lamina": [p.piece.lamina for p in patterns],
            "pieces": 1,
            "net": [p.area for p in patterns],
            "cut": [float(np.prod(p.box + [0.0, p.seam])) for p in patterns],
            "mass": [p.piece.mass for p in patterns],
        }
    ).groupby("lamina").sum()  # fmt: skip
    rows.loc["sum"] = rows.sum()
    length, mass = shown(1.0, "distance", units), symbol("mass", units)
    area = f"{symbol('distance', units)}2"
    return pd.DataFrame(
        {
            "pieces": rows["pieces"].astype(int),
            f"net area [{area}]": rows["net"] * length**2,
            f"area to cut from [{area}]": rows["cut"] * length**2,
            "scrap [-]": 1 - rows["net"] / rows["cut"],
            f"mass of one strut [{mass}]": shown(rows["mass"], "mass", units),
            f"mass of the airplane's [{mass}]": shown(rows["mass"] * struts, "mass", units),
        }
    )


@checked
def drop_table(strut: Strut, *, units: Units = "SI") -> Table:
    """Stations where plies end or start, for the templates.

    Parameters
    ----------
    strut : Strut
        The strut.
    units : {"SI", "US"}
        Units to print in.

    Returns
    -------
    DataFrame
        Indexed by station: plies that end there, plies that start there, and the thickness of every flat wall outboard.

    Examples
    --------
    >>> from small_tube import LATTICE  # examples/small_tube.py
    >>> from beam import Strut
    >>> drop_table(Strut(LATTICE.mold_line, LATTICE.book([[3], [2]])))["plies that end"].tolist()
    ['3 4']
    """
    book, line, length = strut.ply_book, strut.mold_line, symbol("length", units)
    rows = {}
    for s in strut.bays[1:-1].tolist():
        ends = [str(i) for i, ply in enumerate(book.plies, 1) if abs(ply.end - s) <= 1e-9 * line.length]
        starts = [str(i) for i, ply in enumerate(book.plies, 1) if abs(ply.start - s) <= 1e-9 * line.length]
        if ends or starts:
            thick = shown([book.laminate(wall, s).thickness for wall in line.flat_walls], "length", units)
            walls = dict(
                zip((f"{wall} t [{length}]" for wall in line.flat_walls), thick.tolist(), strict=True)
            )
            rows[float(shown(s, "length", units))] = {
                "plies that end": " ".join(ends),
                "plies that start": " ".join(starts),
                **walls,
            }
    table = pd.DataFrame.from_dict(rows, orient="index")
    return table.rename_axis(f"station [{length}]")


@checked
def mandrel_table(strut: Strut, *, units: Units = "SI") -> Table:
    """Inner surface of the strut, the surface of the mandrel.

    Parameters
    ----------
    strut : Strut
        The strut.
    units : {"SI", "US"}
        Units to print in.

    Returns
    -------
    DataFrame
        Indexed by station, both sides of every step: width, height, and the four inner corner radii.

    Notes
    -----
    The outer mold line is smooth; a drop of plies is a step of the mandrel, or a ramp of resin if it has none.

    Examples
    --------
    >>> from small_tube import LATTICE  # examples/small_tube.py
    >>> from beam import Strut
    >>> table = mandrel_table(Strut(LATTICE.mold_line, LATTICE.book([[3], [2]])))
    >>> bool((table["width [mm]"] < 100).all())
    True
    """
    line, length = strut.mold_line, symbol("length", units)
    s, at = both_sides(strut)
    outer = line.at(s)
    thickness = np.array(
        [[strut.ply_book.laminate(w, one).thickness for w in line.wall_names] for one in at.tolist()]
    )
    face, corner = thickness[:, ::2], thickness[:, 1::2]
    columns = {
        f"width [{length}]": outer.width - face[:, 1] - face[:, 3],
        f"height [{length}]": outer.height - face[:, 0] - face[:, 2],
    } | {
        f"radius {wall} [{length}]": outer.corner_radius - corner[:, i]
        for i, wall in enumerate(line.wall_names[1::2])
    }
    shown_columns = {name: shown(one, "length", units) for name, one in columns.items()}
    return pd.DataFrame(shown_columns, index=pd.Index(shown(s, "length", units), name=f"station [{length}]"))


def both_sides(strut: Strut) -> tuple[Array, Array]:
    """Ends of every bay, inboard one first, (2 bay,) [m]: where they are, and a station of the same lay-up."""
    s = np.stack([strut.bays[:-1], strut.bays[1:]], axis=1).ravel()
    at = np.stack([strut.bays[:-1], before(strut.bays[1:], strut.mold_line.length)], axis=1).ravel()
    return s, at


@checked
def port_book(book: PlyBook) -> PlyBook:
    """Ply book of the port strut: the mirror image, with the angles of the other sign.

    Parameters
    ----------
    book : PlyBook
        Of the starboard strut.

    Returns
    -------
    PlyBook
        Same walls and stations; the mirrored mold line has its section axes mirrored too.

    Examples
    --------
    >>> from small_tube import LATTICE  # examples/small_tube.py
    >>> book = LATTICE.book([[3], [2]])
    >>> port_book(port_book(book)) == book
    True
    """
    return PlyBook(
        replace(ply, angle_deg=ply.angle_deg if ply.angle_deg % 90.0 == 0.0 else -ply.angle_deg)
        for ply in book.plies
    )


# --- drawings -------------------------------------------------------------------------------------------


def _end_arc(pattern: FlatPattern, end: int) -> Array:
    """Points of the arc at one end, (point, 2) [m]: 0 the root side, -1 the tip side."""
    half = pattern.piece.width_start / 2 if end == 0 else pattern.piece.width_end / 2
    station = pattern.piece.start if end == 0 else pattern.piece.end
    y = np.linspace(-half, half, 33)
    rise = pattern.end_rise * (half / (pattern.piece.width_start / 2)) if pattern.end_rise else 0.0
    return np.stack([station + rise * (y / half) ** 2, y], axis=1)


def _arrow(pattern: FlatPattern) -> Array:
    """Fiber arrow, (point, 2) [m]: tail, tip, and the two barbs."""
    piece = pattern.piece
    middle = np.array([(piece.start + piece.end) / 2, 0.0])
    size = 0.35 * min(piece.end - piece.start, piece.width_end)
    turn = np.radians(piece.angle_deg)
    arrow = np.array([[-1.0, 0.0], [1.0, 0.0], [0.85, 0.06], [1.0, 0.0], [0.85, -0.06]]) * size
    return middle + arrow @ np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])


def _label(pattern: FlatPattern, faults: tuple[str, ...]) -> str:
    piece = pattern.piece
    text = f"{pattern.name}, {piece.lamina}, {piece.angle_deg:g} deg, net {pattern.area * 1e4:.1f} cm2"
    if pattern.seam:
        text += f", add {pattern.seam * 1e3:g} mm seam"
    if pattern.end_rise > LEAST_RISE:
        text += f", cut the ends to the dashed arcs, rise {pattern.end_rise * 1e3:.1f} mm"
    text = re.sub(r"[\x00-\x1f\x7f]", " ", text)
    return f"{NOT_RELEASED}: {text}" if faults else text


@checked
def write_svg(
    patterns: Iterable[FlatPattern],
    folder: str | os.PathLike[str],
    *,
    faults: Annotated[Iterable[str], Limits(items=0)] = (),
) -> tuple[Path, ...]:
    """Write flat patterns as SVG files, 1 : 1 in mm.

    Parameters
    ----------
    patterns : sequence of FlatPattern
        From `flat_patterns`.
    folder : str or Path
        Where to write; made if it is not there.
    faults : sequence of str
        From `release_faults`: with any, every drawing says NOT FOR MANUFACTURE.

    Returns
    -------
    tuple of Path
        One file for each pattern.

    Examples
    --------
    >>> import tempfile
    >>> from small_tube import LATTICE  # examples/small_tube.py
    >>> from beam import Strut
    >>> patterns = flat_patterns(Strut(LATTICE.mold_line, LATTICE.book([[3], [2]])))
    >>> write_svg(patterns[:1], tempfile.mkdtemp(), faults=["an example"])[0].name
    'ply 001.svg'
    """
    place = Path(folder)
    place.mkdir(parents=True, exist_ok=True)
    files = []
    for pattern in patterns:
        file = place / f"{plain(pattern.name)}.svg"
        write_whole(file, _svg(pattern, tuple(faults)))
        files.append(file)
    return tuple(files)


def plain(name: str) -> str:
    """A name that every file system takes."""
    return re.sub(r"[^-+. A-Za-z0-9]", "_", name)


def _svg(pattern: FlatPattern, faults: tuple[str, ...]) -> str:
    """One pattern as SVG, seen from outside: the way around the section runs up the sheet."""
    low = pattern.outline.min(axis=0) - 0.03
    high = pattern.outline.max(axis=0) + (0.03, 0.03 + pattern.seam)
    width, height = ((high - low) * 1e3).round(4)
    root = ET.Element(
        "svg",
        xmlns="http://www.w3.org/2000/svg",
        width=f"{width:g}mm",
        height=f"{height:g}mm",
        viewBox=f"0 0 {width:g} {height:g}",
    )
    ET.SubElement(root, "title").text = _label(pattern, faults)

    def line(points: Array, name: str, stroke: float, *, closed: bool = False, dash: str = "none") -> None:
        mm = np.stack([points[:, 0] - low[0], high[1] - points[:, 1]], axis=1) * 1e3
        path = "M " + " L ".join(f"{x:.6f},{y:.6f}" for x, y in mm) + (" Z" if closed else "")
        style = {"fill": "none", "stroke": "black", "stroke-width": f"{stroke:g}", "stroke-dasharray": dash}
        ET.SubElement(root, "path", {"id": name, "d": path, **style})

    line(pattern.outline, "outline", 0.35, closed=True)
    for i, s in enumerate(pattern.stations[1:-1].tolist()):
        line(np.array([[s, low[1] + 0.015], [s, high[1] - 0.015]]), f"station-{i}", 0.1)
    line(_arrow(pattern), "fiber", 0.7)
    for name, points in _dashed(pattern).items():
        line(points, name, 0.25, dash="3 2")
    piece = pattern.piece
    ends = f"station from the root: {piece.start * 1e3:g} to {piece.end * 1e3:g} mm; seen from outside"
    for row, text in enumerate((_label(pattern, faults), f"{ends}; the thick line runs along the fibers")):
        ET.SubElement(root, "text", {"x": "4", "y": f"{6 + 5 * row}", "font-size": "4"}).text = text
    return ET.tostring(root, encoding="unicode")


def _dashed(pattern: FlatPattern) -> dict[str, Array]:
    """Lines beside the outline by name, (point, 2) [m]: arcs that the ends are cut to, edge of the seam."""
    lines: dict[str, Array] = {}
    if pattern.end_rise > LEAST_RISE:
        lines |= {"end-root": _end_arc(pattern, 0), "end-tip": _end_arc(pattern, -1)}
    if pattern.seam:
        lines["seam"] = pattern.outline[: len(pattern.outline) // 2] + (0.0, pattern.seam)
    return lines


@checked
def write_templates(
    strut: Strut,
    path: str | os.PathLike[str],
    *,
    faults: Annotated[Iterable[str], Limits(items=0)] = (),
) -> None:
    """Write the templates for the drops as one SVG file, 1 : 1 in mm: a strip for each flat wall with its ply ends.

    Parameters
    ----------
    strut : Strut
        The strut.
    path : str or Path
        The file.
    faults : sequence of str
        From `release_faults`: with any, the drawing says NOT FOR MANUFACTURE.

    Notes
    -----
    Root at the left; a line stands at every station where plies of the wall end or start, with their numbers.

    Examples
    --------
    >>> import os, tempfile
    >>> from small_tube import LATTICE  # examples/small_tube.py
    >>> from beam import Strut
    >>> write_templates(Strut(LATTICE.mold_line, LATTICE.book([[3], [2]])), os.path.join(tempfile.mkdtemp(), "a.svg"))
    """
    line, plies = strut.mold_line, list(enumerate(strut.ply_book.plies, 1))
    width, height = round(line.length * 1e3 + 80, 4), 12 + 24 * len(line.flat_walls)
    root = ET.Element("svg", xmlns="http://www.w3.org/2000/svg", width=f"{width:g}mm", height=f"{height}mm",
                      viewBox=f"0 0 {width:g} {height}")  # fmt: skip

    def put(x: float, y: float, text: str) -> None:
        ET.SubElement(root, "text", {"x": f"{x:g}", "y": f"{y:g}", "font-size": "3"}).text = text

    put(
        10,
        6,
        f"{NOT_RELEASED + ': ' if faults else ''}templates for the ends of plies, stations from the root [mm]",
    )
    box = {"fill": "none", "stroke": "black", "stroke-width": "0.35"}
    for row, wall in enumerate(line.flat_walls):
        y = 12 + 24 * row
        ET.SubElement(
            root, "rect", {"x": "10", "y": f"{y}", "width": f"{line.length * 1e3:.6f}", "height": "18", **box}
        )
        put(12, y + 4, wall)
        for s in strut.bays[1:-1].tolist():
            here = [str(i) for i, p in plies
                    if wall in p.walls and min(abs(p.end - s), abs(p.start - s)) <= 1e-9 * line.length]  # fmt: skip
            if here:
                x = 10 + s * 1e3
                ET.SubElement(root, "path", {"d": f"M {x:.6f},{y} L {x:.6f},{y + 18}", **box})
                put(x + 1, y + 10, f"{s * 1e3:g}")
                put(x + 1, y + 15, f"plies {' '.join(here)}")
    write_whole(Path(path), ET.tostring(root, encoding="unicode"))


@checked
def write_dxf(
    patterns: Iterable[FlatPattern],
    path: str | os.PathLike[str],
    *,
    faults: Annotated[Iterable[str], Limits(items=0)] = (),
) -> None:
    """Write all flat patterns to one DXF file in mm, one above the other, each on layers of its own.

    Parameters
    ----------
    patterns : sequence of FlatPattern
        From `flat_patterns`.
    path : str or Path
        The file.
    faults : sequence of str
        From `release_faults`: with any, every label says NOT FOR MANUFACTURE.

    Raises
    ------
    ModuleNotFoundError
        If ezdxf, of the extra ``files``, is not installed.

    Examples
    --------
    >>> import os, tempfile
    >>> from small_tube import LATTICE  # examples/small_tube.py
    >>> from beam import Strut
    >>> patterns = flat_patterns(Strut(LATTICE.mold_line, LATTICE.book([[3], [2]])))
    >>> write_dxf(patterns, file := os.path.join(tempfile.mkdtemp(), "plies.dxf"))
    >>> os.path.getsize(file) > 1000
    True
    """
    try:
        import ezdxf
        from ezdxf import units
    except ModuleNotFoundError:
        raise ModuleNotFoundError("write_dxf needs ezdxf: pip install plystrut[files]") from None
    import io

    drawing = ezdxf.new(units=units.MM)
    space, y = drawing.modelspace(), 0.0
    for layer, color in (
        ("outline", 7),
        ("fiber", 1),
        ("station", 8),
        ("seam", 5),
        ("trim", 3),
        ("label", 7),
    ):
        drawing.layers.add(layer, color=color)
    for pattern in patterns:
        y += float(np.ptp(pattern.outline[:, 1])) / 2 + pattern.seam + 0.02
        put = lambda points: ((np.asarray(points) + (0.0, y)) * 1e3).tolist()  # noqa: B023, E731
        outline = space.add_lwpolyline(put(pattern.outline), close=True, dxfattribs={"layer": "outline"})
        outline.set_xdata("ACAD", [(1000, pattern.name)])
        space.add_lwpolyline(put(_arrow(pattern)), dxfattribs={"layer": "fiber"})
        half = np.interp(pattern.stations[1:-1], *pattern.outline[: len(pattern.outline) // 2].T)
        for s, h in zip(pattern.stations[1:-1], half, strict=True):
            space.add_lwpolyline(put([[s, -h], [s, h]]), dxfattribs={"layer": "station"})
        for name, points in _dashed(pattern).items():
            space.add_lwpolyline(put(points), dxfattribs={"layer": name.partition("-")[0]})
        label = space.add_text(_label(pattern, tuple(faults)), height=4, dxfattribs={"layer": "label"})
        label.set_placement(put([[pattern.piece.end + 0.01, 0.0]])[0])
        y += float(np.ptp(pattern.outline[:, 1])) / 2 + 0.02
    out = io.StringIO()
    drawing.write(out)
    write_whole(Path(path), out.getvalue())
