"""From a span, straight or bent, to the `Line` that the spectral operators work on."""

from typing import TYPE_CHECKING

import numpy as np
from numpy.polynomial.legendre import leggauss, legint, legval, legvander

from beam.strut.axis import SNAP
from beam.strut.solver import kinematics
from beam.strut.solver.spectral import Line
from materials.checks import Array

if TYPE_CHECKING:
    from beam.strut.span import Span

PIECES = 8  # at least so many to the span, however few its stations


def of_span(span: "Span", *stations: Array) -> Line:
    """Cut a span into pieces at its stations, its kinks, its supports and other stations.

    Parameters
    ----------
    span : Span
        The span.
    *stations : ndarray, shape (station,)
        Stations that are to be ends of pieces besides [m].

    Returns
    -------
    Line
        The line.
    """
    axis = span.axis
    even = np.linspace(0.0, axis.length, PIECES + 1)
    ends = kinematics.pieces(axis, span.stations, span.held.at, even, *stations)
    s = kinematics.gauss(ends)[0]
    return of_shape(
        span,
        ends,
        frames=axis.frames(s),
        tangent=axis.frames(s)[..., 0, :],
        points=axis.position(s),
        at_ends=axis.position(ends),
        rows=span.held.rows,
    )


def of_shape(
    span: "Span", ends: Array, *, frames: Array, tangent: Array, points: Array, at_ends: Array, rows: Array
) -> Line:
    """Build a line in a given shape, straight or bent.

    Parameters
    ----------
    span : Span
        Gives stiffness and supports.
    ends : ndarray, shape (end,)
        Ends of the pieces, measured along the unloaded axis [m].
    frames : ndarray, shape (piece, point, 3, 3)
        Section axes as rows [-].
    tangent : ndarray, shape (piece, point, 3)
        Slope of the line, stretched with it [-].
    points, at_ends : ndarray, shape (piece, point, 3) and (end, 3)
        Where the quadrature points and the ends are [m].
    rows : ndarray, shape (direction, 6)
        Held motions at the supports [-, m].

    Returns
    -------
    Line
        The line.
    """
    s, weights = kinematics.gauss(ends)
    x = leggauss(kinematics.POINTS)[0]
    to_series = np.linalg.inv(legvander(x, len(x) - 1))
    running = np.stack([legval(x, legint(column, lbnd=-1)) for column in to_series.T], axis=-1)
    turn = np.zeros((*s.shape, 6, 6))
    turn[..., :3, :3] = turn[..., 3:, 3:] = frames
    lower = np.linalg.cholesky(span.stiffness.at(s.ravel())).reshape(*s.shape, 6, 6)
    return Line(
        ends=ends,
        points=s,
        weights=weights,
        running=np.diff(ends)[:, None, None] / 2 * running,
        root=np.linalg.inv(lower) @ turn,
        tangent=tangent,
        lever=points - at_ends[0],
        end_lever=at_ends - at_ends[0],
        supports=np.searchsorted(ends, span.held.at - SNAP * ends[-1]),
        rows=rows,
        soft=span.held.flexibility,
        first=span.primary,
    )
