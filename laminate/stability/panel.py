"""Buckling of a long curved wall, or of a flat one whose stack is not symmetric.

The wall of `strip`, bent to a radius around the span, with its membrane displacements and its whole 6 x 6
stiffness, coupling of stretching and bending included. z and the displacement w point outward.
"""

import numpy as np

from laminate.stability.arguments import (
    MOST_TERMS,
    SIMPLE,
    Endless,
    Length,
    Load,
    Pair,
    Terms,
    WallStiffness,
    cases,
)
from laminate.stability.ritz import NotConverged, is_compressed, lowest_ratio, more, trial_functions
from laminate.stability.shell import Complex, shell_matrices
from laminate.stability.strip import StripBuckling, refuse_column
from materials.checks import Array, checked_together, reject

__all__ = ["panel_buckling"]


@checked_together
def panel_buckling(
    abd: WallStiffness,
    width: Length,
    radius: Endless,
    Nx: Load = 0.0,
    Nxy: Load = 0.0,
    *,
    Ny: Load = 0.0,
    Nx_bending: Load = 0.0,
    edges: Pair = SIMPLE,
    hold_v: bool = False,
    longest_half_wave: Endless = np.inf,
    terms: Terms = 12,
) -> StripBuckling:
    """Factor on the load at which a long curved wall without imperfections buckles, by Rayleigh-Ritz.

    Parameters
    ----------
    abd : array_like, shape (..., 6, 6)
        Stiffness of the wall [N/m, N, N m].
    width : array_like, shape (...)
        Width between the long edges, along the arc [m].
    radius : array_like, shape (...)
        Radius of the wall, inf for a flat one [m].
    Nx, Nxy, Ny : array_like, shape (...)
        Load along the span, in shear and around, compression negative [N/m].
    Nx_bending : array_like, shape (...)
        Amplitude of a part of Nx that runs linearly from -Nx_bending at y = 0 to +Nx_bending at y = width [N/m].
    edges : tuple of two str
        Supports at y = 0 and y = width for w: "simply supported", "clamped" or "free".
    hold_v : bool
        Whether the edges are fixed along the arc, too. Along the span (u) the neighboring walls always fix
        them. False is conservative.
    longest_half_wave : array_like, shape (...)
        Longest half wave that fits the wall, as a rule its length [m].
    terms : int
        Number of trial functions across the width for each of u, v, w to begin with, 4 to 40; more are taken
        until the last two change the ratio by no more than 0.5 % [-].

    Returns
    -------
    StripBuckling
        ratio and half_wave of the perfect wall; for design see `curved_wall_ratio`.

    Raises
    ------
    ValueError: if an argument is outside its limits, or the width is more than the whole circle.
    NotConverged: if the last two of 40 trial functions still change the ratio by more than 0.5 %.

    Notes
    -----
    Equations: `laminate.stability.shell` (Sanders). Half waves from 1/50 of the width to the longest one are
    searched, or to 60 b (D11/D22)^(1/4) where none is given. Cases are taken one by one.

    Examples
    --------
    >>> plane = 70e9 / (1 - 0.3**2) * np.array([[1, 0.3, 0], [0.3, 1, 0], [0, 0, 0.35]])
    >>> abd = np.kron(np.diag([1e-3, 1e-9 / 12]), plane)
    >>> flat, curved = panel_buckling(abd, 0.1, [np.inf, 0.5], -1.0, terms=8).ratio
    >>> round(float(flat * 0.1**2 / (np.pi**2 * abd[3, 3])), 4), bool(curved > 2 * flat)  # k = 4
    (4.0, True)
    """
    longest = np.asarray(longest_half_wave)
    refuse_column(edges, longest)
    shape, stiffness, table = cases(abd, width, radius, Nx, Nxy, Ny, Nx_bending, longest)
    turns = table[:, 0] / (2.0 * np.pi * table[:, 1])
    if (turns > 1.0).any():
        cause = "the arc cannot be longer than the circle"
        reject("panel_buckling: width / (2 pi radius) [-]", f"{turns.max():g}", "<= 1", cause)
    around: Pair = SIMPLE if hold_v else ("free", "free")
    found = [_lowest(c, row, around, edges, terms) for c, row in zip(stiffness, table, strict=True)]
    ratio, half_wave = np.array(found).reshape(-1, 2).T
    return StripBuckling(ratio.reshape(shape), half_wave.reshape(shape))


def _lowest(abd: Array, row: Array, around: Pair, supports: Pair, terms: int) -> tuple[float, float]:
    """Ratio and half wave of one case, the lowest over the half waves."""
    width, longest = row[0], row[6]
    top = np.log(longest if np.isfinite(longest) else 60.0 * width * (abd[3, 3] / abd[4, 4]) ** 0.25)
    low = min(np.log(width / 50.0), top - 1.0)
    place, gap = np.linspace(low, top, 49), (top - low) / 48.0
    for _ in range(6):
        ratio = _ratio(abd, row, np.exp(place), around, supports, terms)
        best = place[np.argmin(ratio)]
        place = np.minimum(best + gap * np.linspace(-1.0, 1.0, 9), top)
        gap /= 4.0
    half_wave = np.exp(np.array([best]))
    fine, coarse = (_ratio(abd, row, half_wave, around, supports, n)[0] for n in (terms, terms - 2))
    unseen = np.isinf(fine) and is_compressed(row[2:6]) and terms < MOST_TERMS
    if unseen or (np.isfinite(fine) and coarse > 1.005 * fine):
        if terms == MOST_TERMS:
            raise NotConverged(
                f"panel_buckling: {terms} terms give {fine:.5g}, {terms - 2} give {coarse:.5g}; "
                "are the buckles far smaller than the wall? Then judge a narrower part"
            )
        return _lowest(abd, row, around, supports, more(terms))
    return fine, half_wave[0] if np.isfinite(fine) else np.inf


def _ratio(abd: Array, row: Array, half_wave: Array, around: Pair, supports: Pair, terms: int) -> Array:
    """Ratio (half wave,) of one case at each half wave (half wave,)."""
    width, radius, nx, nxy, ny, bending, _ = row
    k = np.pi / half_wave[:, None, None]

    def field(ends: Pair) -> Complex:
        values, _, _ = trial_functions(ends, terms)
        f, g, h = values[0], values[1] / width, values[2] / width**2
        one = np.ones_like(k)
        return np.stack([one * f, 1j * k * f, one * g, -(k**2) * f, one * h, 1j * k * g], axis=-3)

    _, points, weights = trial_functions(supports, terms)
    load = np.stack(np.broadcast_arrays(nx + bending * (2.0 * points - 1.0), ny, nxy), axis=-1)
    u, v, w = field(("simply supported", "simply supported")), field(around), field(supports)
    return lowest_ratio(*shell_matrices(u, v, w, 1.0 / radius, abd, load, weights * width))
