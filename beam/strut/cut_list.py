"""The cut list: what to cut for every ply of the book, and how much there is of it."""

from itertools import groupby
from typing import Annotated

import numpy as np

from beam.strut.point_loads import before
from beam.strut.solver.field import gauss
from beam.strut.strut import Strut
from materials.checks import Array, Frozen, Items, Limits, checked

Length = Annotated[float, Limits("m", at_least=0.0)]


class CutPiece(Frozen, eq=True):
    """One piece of one ply, as `cut_list` returns it.

    Parameters
    ----------
    ply : int
        Number of the ply in the book, from 1 at the mandrel [-].
    lamina : str
        Name of the material.
    angle_deg : float
        Fiber angle [deg].
    walls : tuple of str
        Walls it covers, clockwise; all of them for a piece that goes right round.
    start : float
        Station where it begins [m].
    end : float
        Station where it ends [m].
    width_start : float
        Width around the section at its start, flat, no overlap or trim [m].
    width_end : float
        Width at its end [m].
    area : float
        Area [m2].
    mass : float
        Cured mass [kg].

    Notes
    -----
    mass = area x cured ply thickness x density.

    Examples
    --------
    >>> piece = CutPiece(ply=1, lamina="tape", angle_deg=0, walls=["aft"], start=0, end=0.5, width_start=0.04,
    ...                  width_end=0.03, area=0.0175, mass=0.0042)
    >>> piece.walls
    ('aft',)
    """

    ply: Annotated[int, Limits("-", at_least=1)]
    lamina: str
    angle_deg: Annotated[float, Limits("deg")]
    walls: Items[str]
    start: Length
    end: Length
    width_start: Length
    width_end: Length
    area: Annotated[float, Limits("m2", at_least=0.0)]
    mass: Annotated[float, Limits("kg", at_least=0.0)]


@checked
def cut_list(strut: Strut) -> tuple[CutPiece, ...]:
    """Every piece in the order of laying.

    Parameters
    ----------
    strut : Strut
        The strut.

    Returns
    -------
    tuple of CutPiece
        The pieces; a ply on walls that do not touch is cut in several.

    Notes
    -----
    Widths are developed on the middle of the ply: at the height z above the mid-line of a wall of length l that turns
    by the angle a, the width is l - a z. So deeper plies are narrower round the corners.

    Examples
    --------
    >>> from materials import lamina
    >>> from beam.strut import BookPly, MoldLine, PlyBook
    >>> line = MoldLine(root=[0, 0, 0.8], tip=[0, 0, 0.2], stations=[0, 0.6], width=[0.1, 0.07], height=[0.08, 0.06],
    ...                 corner_radius=[0.02, 0.015])
    >>> ply = BookPly(lamina=lamina("T700S/2510"), angle_deg=0, walls=line.wall_names, start=0, end=0.6)
    >>> [round(piece.width_start, 4) for piece in cut_list(Strut(line, PlyBook([ply] * 3)))]
    [0.3233, 0.3242, 0.3252]
    """
    names, book = strut.mold_line.wall_names, strut.ply_book
    s, weight = gauss(strut.bays)
    width = widths(strut, s.ravel()).reshape(len(book.plies), *s.shape, len(names))
    first = widths(strut, strut.bays[:-1])
    last = widths(strut, before(strut.bays[1:], strut.mold_line.length))
    pieces = []
    for number, (ply, (start, end)) in enumerate(zip(book.plies, book.runs.tolist(), strict=True)):
        middle = s.mean(axis=1)
        inside = np.flatnonzero((start <= middle) & (middle < end))
        for walls in _neighbors(ply.walls, names):
            on = [names.index(w) for w in walls]
            area = float(np.sum(width[number][:, :, on].sum(axis=-1) * weight))
            pieces.append(
                CutPiece(
                    ply=number + 1,
                    lamina=ply.lamina.name,
                    angle_deg=ply.angle_deg,
                    walls=walls,
                    start=ply.start,
                    end=ply.end,
                    width_start=float(first[number, inside[0], on].sum()),
                    width_end=float(last[number, inside[-1], on].sum()),
                    area=area,
                    mass=area * ply.lamina.thickness * ply.lamina.density,
                )
            )
    return tuple(pieces)


def widths(strut: Strut, stations: Array) -> Array:
    """Width of every ply on every wall, zero where it is not, shape (ply, station, wall) [m]."""
    plies = strut.ply_book.plies
    out = np.zeros((len(plies), len(stations), len(strut.mold_line.wall_names)))
    for i, s in enumerate(stations.tolist()):
        contour = strut.section(s).contour
        for j, wall in enumerate(contour.names):
            present = strut.ply_book.numbers(wall, s) - 1
            t = np.array([plies[k].lamina.thickness for k in present])
            z = np.cumsum(t) - t / 2 - t.sum() / 2
            out[present, i, j] = contour.length[j] - contour.turn[j] * z
    return out


def _neighbors(walls: tuple[str, ...], around: tuple[str, ...]) -> list[tuple[str, ...]]:
    """Split walls into runs of neighbors around the section."""
    if set(walls) == set(around):
        return [around]
    start = next(i for i, name in enumerate(around) if name not in walls)
    runs = groupby(around[start:] + around[:start], key=lambda name: name in walls)
    return [tuple(run) for covered, run in runs if covered]
