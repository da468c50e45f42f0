"""The cut list: what to cut for every ply of the book, and how much there is of it."""

from dataclasses import dataclass

import numpy as np

from beam.strut.solver.kinematics import gauss
from beam.strut.strut import Strut
from materials.checks import Array
from materials.kinds import instance


@dataclass(frozen=True, kw_only=True)
class CutPiece:
    """One piece of one ply.

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
    """

    ply: int
    lamina: str
    angle_deg: float
    walls: tuple[str, ...]
    start: float
    end: float
    width_start: float
    width_end: float
    area: float
    mass: float


def cut_list(strut: Strut) -> tuple[CutPiece, ...]:
    """List every piece in the order of laying.

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
    Widths are developed on the middle of the ply, deeper plies being narrower round the corners.
    """
    names = instance("cut_list: strut", strut, Strut).mold_line.wall_names
    s, weight = gauss(strut.bays)
    below = np.nextafter(strut.bays[1:], 0.0)
    width = _widths(strut, s.ravel()).reshape(len(strut.ply_book.plies), *s.shape, len(names))
    first, last = _widths(strut, strut.bays[:-1]), _widths(strut, below)
    pieces = []
    for number, ply in enumerate(strut.ply_book.plies):
        inside = np.flatnonzero((ply.start <= s.mean(axis=1)) & (s.mean(axis=1) < ply.end))
        for walls in _neighbors(tuple(ply.walls), names):
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


def _widths(strut: Strut, stations: Array) -> Array:
    """Width of every ply on every wall, zero where it is not, shape (ply, station, wall)."""
    plies = strut.ply_book.plies
    out = np.zeros((len(plies), len(stations), len(strut.mold_line.wall_names)))
    for i, s in enumerate(stations.tolist()):
        contour = strut.section(s).contour
        for j, wall in enumerate(contour.names):
            present = strut.ply_book.numbers(wall, min(s, strut.ply_book.tip)) - 1
            t = np.array([plies[k].lamina.thickness for k in present])
            z = np.cumsum(t) - t / 2 - t.sum() / 2
            out[present, i, j] = contour.length[j] - contour.turn[j] * z
    return out


def _neighbors(walls: tuple[str, ...], around: tuple[str, ...]) -> list[tuple[str, ...]]:
    """Split walls into runs of neighbors around the section."""
    covered = [name in walls for name in around]
    if all(covered):
        return [around]
    start = covered.index(False)
    runs: list[tuple[str, ...]] = [()]
    for k in range(len(around)):
        i = (start + k) % len(around)
        if covered[i]:
            runs[-1] += (around[i],)
        elif runs[-1]:
            runs.append(())
    return [run for run in runs if run]
