"""Tapered sections made from any outline that changes along the span, at the eight sample points of one piece."""

from functools import partial

import numpy as np

from beam.section import solve
from beam.section.taper import tapered
from beam.strut.solver.field import sample_points, slopes


def tapered_on(outline_at, abd, ends):
    """Stations (8,) between two ends, and the tapered sections there; `outline_at` takes stations (8,)."""
    ends = np.asarray(ends, dtype=float)
    s = sample_points(ends)[0]
    states = solve(outline_at(s), abd)
    return s, tapered(states, np.broadcast_to(abd, states.law.shape), partial(slopes, ends))


def oblique(taper, loads, at):
    """(Nx per arc along a = e1 + r', its Nxy) (..., wall, place, force), and r', from wall loads in wall axes."""
    slope = taper.slope(at)
    size = np.sqrt(1 + (slope**2).sum(axis=-1))[..., None]
    sine = (slope * taper.states.contour.tangent(at)).sum(axis=-1)[..., None] / size
    cosine = np.sqrt(1 - sine**2)
    Nxx, Ny, Nxy = (loads[..., i, :] for i in (0, 1, 2))
    q = Nxy - Ny * sine / cosine
    return (Nxx * cosine - (q + Nxy) * sine) / size, q, slope


def resultants(taper):
    """N, V2, V3, T, M2, M3 (station, 6, force) of the wall loads and of the flow between walls.

    Without the shear across the walls, which is of order (t/b)^2 of V.
    """
    x, weight = np.polynomial.legendre.leggauss(24)
    at, weight = (1 + x) / 2, weight / 2
    contour, loads = taper.states.contour, taper.recovery(at)
    Nx, q, slope = oblique(taper, loads, at)
    (y2, y3), (t2, t3) = (np.moveaxis(f(at), -1, 0)[..., None] for f in (contour.position, contour.tangent))
    P2, P3 = Nx * slope[..., 0, None] + q * t2, Nx * slope[..., 1, None] + q * t3
    ds = (weight * contour.length[..., None])[..., None]
    Mx, Mxy = loads[..., 3, :], loads[..., 5, :]
    parts = (Nx, P2, P3, y2 * P3 - y3 * P2 - 2 * Mxy, y3 * Nx + t2 * Mx, -y2 * Nx + t3 * Mx)
    out = np.stack([(ds * part).sum(axis=(1, 2)) for part in parts], axis=1)
    # the flow crosses from the end of a wall to the start of the next
    ends = np.array([0.0, 1.0])
    q = oblique(taper, taper.recovery(ends), ends)[1]
    joint = (contour.finish + np.roll(contour.start, -1, axis=-2)) / 2
    for flow, first, last in (
        (q[:, :, 1], contour.finish, joint),
        (q[:, :, 0], np.roll(joint, 1, axis=-2), contour.start),
    ):
        out[:, 1:3] += np.einsum("swf,swc->scf", flow, last - first)
        out[:, 3] += np.einsum(
            "swf,sw->sf", flow, first[..., 0] * last[..., 1] - first[..., 1] * last[..., 0]
        )
    return out
