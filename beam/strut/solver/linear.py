"""Linear solution of a span: reactions first, then forces by equilibrium and displacements by integration."""

from typing import TYPE_CHECKING

import numpy as np

from beam.strut import statics
from beam.strut.axis import SNAP
from beam.strut.solver import kinematics, redundants
from beam.strut.solver.field import Field
from materials.checks import Array

if TYPE_CHECKING:
    from beam.strut.span import Span


def cantilever(span: "Span", at: Array, wrench: Array, strain: Field | None, *wanted: Array) -> list[Array]:
    """Displacements with the root held and every other support taken away.

    Parameters
    ----------
    span : Span
        The span.
    at : ndarray, shape (load,)
        Stations of the loads [m].
    wrench : ndarray, shape (..., load, 6)
        Forces and moments in strut axes [N, N m].
    strain : Field, optional
        Strain without force, in section axes [-, 1/m].
    *wanted : ndarray, shape (station,)
        Sets of stations [m].

    Returns
    -------
    list of ndarray, shape (..., station, 6)
        u1, u2, u3, r1, r2, r3 for every set [m, rad].
    """
    axis = span.axis
    ends = kinematics.pieces(axis, span.stations, at, *wanted)
    points = kinematics.gauss(ends)[0]
    force = statics.outboard(axis, points.ravel(), at, wrench)
    flexible = np.linalg.inv(span.stiffness.at(points.ravel()))
    strained = np.einsum("pij,...pj->...pi", flexible, force)
    if strain is not None:
        strained = strained + strain.at(points.ravel())
    moved = kinematics.displacement(axis, ends, strained.reshape(*strained.shape[:-2], *points.shape, 6))
    return [moved[..., np.searchsorted(ends, s - SNAP * axis.length), :] for s in wanted]


def reactions(span: "Span", at: Array, wrench: Array, strain: Field | None, s: Array) -> tuple[Array, Array]:
    """Reactions of the supports and the displacements that go with them.

    Parameters
    ----------
    span : Span
        The span.
    at : ndarray, shape (load,)
        Stations of the loads [m].
    wrench : ndarray, shape (..., load, 6)
        Forces and moments in strut axes [N, N m].
    strain : Field, optional
        Strain without force, in section axes [-, 1/m].
    s : ndarray, shape (station,)
        Stations where displacements are wanted [m].

    Returns
    -------
    R : ndarray, shape (..., direction)
        Reactions on the span [N, N m].
    displacement : ndarray, shape (..., station, 6)
        u1, u2, u3, r1, r2, r3 [m, rad].
    """
    axis, held = span.axis, span.held
    B, unit = span.rigid, unit_reactions(span)
    W = resultant(span, at, wrench)
    loads_there, loads_s = cantilever(span, at, wrench, strain, held.at, s)
    unit_there, unit_s = cantilever(span, held.at, unit, None, held.at, s)
    d = np.einsum("...di,di->...d", loads_there, held.rows)
    f = np.einsum("rdi,di->dr", unit_there, held.rows) + np.diag(held.flexibility)
    if held.play.any():
        R, q = redundants.reactions_with_play(B, axis.length, W, d, f, held.play)
    else:
        R, q = redundants.reactions(B, span.primary, W, d, f, held.play)
    lever = axis.position(s) - axis.points[0]
    ridden = np.cross(q[..., None, 3:], lever) + q[..., None, :3]
    rigid = np.concatenate([ridden, np.broadcast_to(q[..., None, 3:], ridden.shape)], axis=-1)
    return R, loads_s + np.einsum("...r,rsi->...si", R, unit_s) + rigid


def section_forces(span: "Span", at: Array, wrench: Array, R: Array, s: Array) -> Array:
    """Section forces of the loads and the reactions, those at the root itself left out.

    Parameters
    ----------
    span : Span
        The span.
    at : ndarray, shape (load,)
        Stations of the loads [m].
    wrench : ndarray, shape (..., load, 6)
        Forces and moments in strut axes [N, N m].
    R : ndarray, shape (..., direction)
        Reactions on the span [N, N m].
    s : ndarray, shape (station,)
        Stations [m].

    Returns
    -------
    ndarray, shape (..., station, 6)
        N, V2, V3, T, M2, M3 in section axes [N, N m].
    """
    out = statics.outboard(span.axis, s, at, wrench)
    beyond = span.held.at > SNAP * span.axis.length
    if beyond.any():
        back = R[..., beyond, None] * span.held.rows[beyond]
        out = out + statics.outboard(span.axis, s, span.held.at[beyond], back)
    return out


def resultant(span: "Span", at: Array, wrench: Array) -> Array:
    """Resultant of loads about the root, in strut axes.

    Parameters
    ----------
    span : Span
        The span.
    at : ndarray, shape (load,)
        Stations of the loads [m].
    wrench : ndarray, shape (..., load, 6)
        Forces and moments in strut axes [N, N m].

    Returns
    -------
    ndarray, shape (..., 6)
        Force and moment about the root [N, N m].
    """
    arm = span.axis.position(at) - span.axis.points[0]
    moment = wrench[..., 3:] + np.cross(arm, wrench[..., :3])
    return np.concatenate([wrench[..., :3], moment], axis=-1).sum(axis=-2)


def unit_reactions(span: "Span") -> Array:
    """One case for each held direction, with a reaction of one along it, shape (direction, direction, 6)."""
    return np.eye(len(span.held.at))[..., None] * span.held.rows
