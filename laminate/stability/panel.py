"""Buckling of a long curved wall, or of a flat one whose stack is not symmetric.

The wall of `strip`, bent to a radius around the span, with its membrane displacements and its whole 6 x 6
stiffness: so coupling of stretching and bending is in it too. z and the displacement w point outward.
"""

import numpy as np
from numpy.typing import ArrayLike

from laminate.stability.cases import flatten
from laminate.stability.inputs import edge_pair, length, wall_stiffness
from laminate.stability.ritz import MOST_TERMS, NotConverged, is_pressed, lowest_ratio, more, trial_functions
from laminate.stability.shell import Complex, shell_matrices
from laminate.stability.strip import StripBuckling
from materials.checks import Array, array, flag, reject, whole


def panel_buckling(
    abd: ArrayLike,
    width: ArrayLike,
    radius: ArrayLike,
    Nx: ArrayLike = 0.0,
    Nxy: ArrayLike = 0.0,
    *,
    Ny: ArrayLike = 0.0,
    Nx_bending: ArrayLike = 0.0,
    edges: tuple[str, str] = ("simply supported", "simply supported"),
    hold_v: bool = False,
    longest_half_wave: ArrayLike = np.inf,
    terms: int = 12,
) -> StripBuckling:
    """Find the factor on the load at which a long curved wall without imperfections buckles.

    Parameters
    ----------
    abd : array_like, shape (..., 6, 6)
        Stiffness of the wall [N/m, N, N m].
    width : array_like, shape (...)
        Width between the long edges, along the arc [m].
    radius : array_like, shape (...)
        Radius of the wall, inf for a flat one [m].
    Nx : array_like, shape (...)
        Load along the span, compression negative [N/m].
    Nxy : array_like, shape (...)
        Shear load [N/m].
    Ny : array_like, shape (...)
        Load around, compression negative [N/m].
    Nx_bending : array_like, shape (...)
        Amplitude of the part of Nx that runs linearly from -Nx_bending at y = 0 to +Nx_bending at
        y = width [N/m].
    edges : tuple of two str
        Supports at y = 0 and y = width for w: "simply supported", "clamped" or "free".
    hold_v : bool
        Whether the edges are held along the arc, too. Along the span (u) the neighboring walls always hold
        them. False is conservative.
    longest_half_wave : array_like, shape (...)
        Longest half wave that fits the wall, as a rule its length [m].
    terms : int
        Number of trial functions across the width for each of u, v, w to begin with; more are taken until
        the last two change the ratio by no more than 0.5 % [-].

    Returns
    -------
    StripBuckling
        ratio and half_wave of the perfect wall; for design see `curved_wall_ratio`.

    Raises
    ------
    ValueError
        If abd cannot be a stiffness, a length is not positive, the width is more than the whole circle, a load
        is not finite, the edges are unknown, or `terms` is not a whole number from 4 to 40.
    NotConverged
        If the last two of 40 trial functions still change the ratio by more than 0.5 %.

    Notes
    -----
    Equations: `laminate.stability.shell`. Half waves from 1/50 of the width to the longest one are
    searched, or to 60 b (D11/D22)^(1/4) where none is given. Cases are taken one by one.
    """
    supports = edge_pair(edges)
    terms = whole("terms [-]", terms, at_least=4, at_most=MOST_TERMS)
    bent = array("radius [m]", radius, finite=False)
    longest = array("longest_half_wave [m]", longest_half_wave, finite=False)
    for name, value in (("radius [m]", bent), ("longest_half_wave [m]", longest)):
        if not (value > 0.0).all():
            reject(name, f"{value.min():g}", "> 0")
    if supports == ("free", "free") and not np.isfinite(longest).all():
        reject("longest_half_wave [m]", "inf with both edges free", "finite", "it is a column")
    loads = (("Nx", Nx), ("Nxy", Nxy), ("Ny", Ny), ("Nx_bending", Nx_bending))
    rows = (
        length("width [m]", width),
        bent,
        *(array(f"{name} [N/m]", value) for name, value in loads),
        longest,
    )
    shape, stiffness, table = flatten("panel_buckling: abd, sizes and loads", wall_stiffness(abd), rows)
    width_of, radius_of = table[:, 0], table[:, 1]
    if not (width_of <= 2.0 * np.pi * radius_of).all():
        worst = (width_of / radius_of).max()
        reject("width / radius [-]", f"{worst:g}", "<= 2 pi", "the arc cannot be longer than the circle")
    around = ("simply supported",) * 2 if flag("hold_v", hold_v) else ("free",) * 2
    found = [_lowest(c, row, around, supports, terms) for c, row in zip(stiffness, table, strict=True)]
    ratio, half_wave = np.array(found).reshape(-1, 2).T
    return StripBuckling(ratio.reshape(shape), half_wave.reshape(shape))


def _lowest(
    abd: Array, row: Array, around: tuple[str, str], supports: tuple[str, str], terms: int
) -> tuple[float, float]:
    width, longest = row[0], row[6]
    top = np.log(longest if np.isfinite(longest) else 60.0 * width * (abd[3, 3] / abd[4, 4]) ** 0.25)
    low = min(np.log(width / 50.0), top - 1.0)
    tooth, gap = np.linspace(low, top, 49), (top - low) / 48.0
    for _ in range(6):
        ratio = _ratio(abd, row, np.exp(tooth), around, supports, terms)
        best = tooth[np.argmin(ratio)]
        tooth = np.minimum(best + gap * np.linspace(-1.0, 1.0, 9), top)
        gap /= 4.0
    half_wave = np.exp(np.array([best]))
    fine, coarse = (_ratio(abd, row, half_wave, around, supports, n)[0] for n in (terms, terms - 2))
    unseen = np.isinf(fine) and is_pressed(row[2:6]) and terms < MOST_TERMS
    if unseen or (np.isfinite(fine) and coarse > 1.005 * fine):
        if terms == MOST_TERMS:
            raise NotConverged(
                f"panel_buckling: {terms} terms give {fine:.5g}, {terms - 2} give {coarse:.5g}; "
                "are the buckles far smaller than the wall? Then judge a narrower part"
            )
        return _lowest(abd, row, around, supports, more(terms))
    return fine, half_wave[0] if np.isfinite(fine) else np.inf


def _ratio(
    abd: Array, row: Array, half_wave: Array, around: tuple[str, str], supports: tuple[str, str], terms: int
) -> Array:
    width, radius, nx, nxy, ny, bending, _ = row
    k = np.pi / half_wave[:, None, None]

    def field(ends: tuple[str, str]) -> Complex:
        values, _, _ = trial_functions(ends, terms)
        f, g, h = values[0], values[1] / width, values[2] / width**2
        one = np.ones_like(k)
        return np.stack([one * f, 1j * k * f, one * g, -(k**2) * f, one * h, 1j * k * g], axis=-3)

    _, points, weights = trial_functions(supports, terms)
    load = np.stack(np.broadcast_arrays(nx + bending * (2.0 * points - 1.0), ny, nxy), axis=-1)
    u, v, w = field(("simply supported", "simply supported")), field(around), field(supports)
    return lowest_ratio(*shell_matrices(u, v, w, 1.0 / radius, abd, load, weights * width))
