"""Buckling of a long flat wall with any D, any edge supports and any mix of loads.

The deflection is the real part of W(y) exp(i k x) with W complex, so that D16, D26 and shear may skew the
nodal lines. W is a Rayleigh-Ritz sum across the width, and the wave number k is the one that buckles first:
for an infinitely long wall nothing else is approximated. The axes are those of `long_plate`.
"""

from typing import Annotated, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from laminate.stability.arguments import (
    MOST_TERMS,
    SIMPLE,
    BendingStiffness,
    Endless,
    Length,
    Load,
    Pair,
    Terms,
    cases,
)
from laminate.stability.ritz import NotConverged, integrals, is_compressed, lowest_ratio, more
from materials.checks import Array, Limits, checked_together, reject

__all__ = ["StripBuckling", "strip_buckling"]

SHORTEST, LONGEST = 0.03, 60.0
"""Half waves searched, times the half wave b (D11/D22)^(1/4) of simply supported compression."""
TENSION = "is the tension in the wall far larger than the compression?"
BLOCK = 64
"""Cases taken at once, so that the matrices of all their wave numbers stay small in memory."""


class StripBuckling(NamedTuple):
    """How a long wall buckles.

    Attributes
    ----------
    ratio : ndarray, shape (...)
        Factor on all loads together; inf where nothing buckles the wall, ripples too short for 40 trial
        functions apart [-].
    half_wave : ndarray, shape (...)
        Half-wave length of the buckles along the span; inf where nothing can buckle the wall [m].
    """

    ratio: Array
    half_wave: Array


@checked_together
def strip_buckling(
    D: BendingStiffness,
    width: Length,
    Nx: Load = 0.0,
    Nxy: Load = 0.0,
    *,
    Ny: Load = 0.0,
    Nx_bending: Load = 0.0,
    edges: Pair = SIMPLE,
    edge_stiffness: Annotated[ArrayLike, Limits("N", at_least=0.0, last=(2,), single="any")] = (0.0, 0.0),
    longest_half_wave: Endless = np.inf,
    terms: Terms = 12,
) -> StripBuckling:
    """Factor on the load at which a long flat wall buckles, by Rayleigh-Ritz.

    Parameters
    ----------
    D : array_like, shape (..., 3, 3)
        Bending stiffness, D16 and D26 included [N m].
    width : array_like, shape (...)
        Width between the long edges [m].
    Nx, Nxy, Ny : array_like, shape (...)
        Load along the span, in shear and across the width, compression negative [N/m].
    Nx_bending : array_like, shape (...)
        Amplitude of a part of Nx that runs linearly from -Nx_bending at y = 0 to +Nx_bending at y = width [N/m].
    edges : tuple of two str
        Supports at y = 0 and y = width: "simply supported", "clamped" or "free".
    edge_stiffness : array_like, shape (..., 2) or a number
        Moment per length and rotation that the neighboring wall puts against the rotation of either
        edge; 0 is no restraint. A clamped edge does not feel it [N].
    longest_half_wave : array_like, shape (...)
        Longest half wave that fits the wall, as a rule its length; must be finite if both edges are free [m].
    terms : int
        Number of trial functions across the width to begin with, 4 to 40 [-].

    Returns
    -------
    StripBuckling
        ratio and half_wave.

    Raises
    ------
    ValueError: if an argument is outside its limits, or both edges are free without a longest half wave.
    NotConverged: if the last two of 40 trial functions still change the ratio by more than 0.1 %, or the half wave is
        shorter than any searched.

    Notes
    -----
    Minimum over k of the lowest R at which K(k) + R Kg(k) is singular. Tension is counted as it is: it
    stabilizes. The ratio comes from above, as all Ritz values do, and more trial functions are taken until the
    last two change it by no more than 0.1 %. Half waves from 0.03 times b (D11/D22)^(1/4) to the longest one are
    searched, or to 60 times that where none is given. A wide column under Ny and a wall with one free edge
    buckle in the longest there is.

    Examples
    --------
    >>> D = 70e9 * 1e-3**3 / (12 * (1 - 0.3**2)) * np.array([[1, 0.3, 0], [0.3, 1, 0], [0, 0, 0.35]])
    >>> ratio, half_wave = strip_buckling(D, 0.1, -1.0)
    >>> float((ratio * 0.1**2 / (np.pi**2 * D[0, 0])).round(6)), float(half_wave.round(4))  # k = 4
    (4.0, 0.1)
    """
    longest, springs = np.asarray(longest_half_wave), np.asarray(edge_stiffness)
    refuse_column(edges, longest)
    rows = (width, Nx, Nxy, Ny, Nx_bending, longest, springs[..., 0], springs[..., 1])
    shape, stiffness, table = cases(D, *rows)
    blocks = range(0, len(table), BLOCK)
    found = [_lowest(stiffness[i : i + BLOCK], table[i : i + BLOCK], edges, terms) for i in blocks]
    ratio, half_wave = np.concatenate(found, axis=-1) if found else np.empty((2, 0))
    return StripBuckling(ratio.reshape(shape), half_wave.reshape(shape))


def refuse_column(edges: Pair, longest: Array) -> None:
    """Refuse two free edges without a longest half wave: a column has no buckling load of its own."""
    if edges == ("free", "free") and not np.isfinite(longest).all():
        reject("longest_half_wave [m]", "inf with both edges free", "finite", "it is a column")


def _lowest(D: Array, row: Array, supports: Pair, terms: int) -> Array:
    """Ratio and half wave (2, case), the lowest over the wave numbers."""
    width, longest = row[:, 0], row[:, 5]
    usual = width * (D[:, 0, 0] / D[:, 1, 1]) ** 0.25
    top = np.log(np.where(np.isfinite(longest), longest, LONGEST * usual))
    low = np.minimum(np.log(SHORTEST * usual), top - 1.0)
    # A coarse grid, then eight times the gap around the best half wave, each four times finer.
    place = np.linspace(low, top, 57, axis=-1)
    gap = (top - low) / 56.0
    for _ in range(8):
        ratio = _ratio(D, row, np.exp(place), supports, terms)
        best = np.take_along_axis(place, np.argmin(ratio, axis=-1)[:, None], axis=-1)
        place = np.minimum(best + gap[:, None] * np.linspace(-1.0, 1.0, 9), top[:, None])
        gap = gap / 4.0
    ratio = _ratio(D, row, np.exp(best), supports, terms)[:, 0]
    coarse = _ratio(D, row, np.exp(best), supports, terms - 2)[:, 0]
    cut = np.isfinite(ratio) & (best[:, 0] < low + 1e-3)
    if cut.any():
        raise NotConverged(
            f"strip_buckling: half wave below {np.exp(low[cut][0]):.3g} m at ratio {ratio[cut][0]:.5g}; {TENSION}"
        )
    found = np.stack([ratio, np.where(np.isfinite(ratio), np.exp(best[:, 0]), np.inf)])
    changed = np.isfinite(ratio) & (coarse > 1.001 * ratio)
    if terms < MOST_TERMS:
        # A wall in compression anywhere, in any direction, buckles if the trial functions can follow.
        changed = changed | (np.isinf(ratio) & is_compressed(row.T[1:5]))
    if changed.any():
        if terms == MOST_TERMS:
            raise NotConverged(
                f"strip_buckling: {terms} terms give {ratio[changed][0]:.5g}, {terms - 2} give "
                f"{coarse[changed][0]:.5g}; {TENSION}"
            )
        found[:, changed] = _lowest(D[changed], row[changed], supports, more(terms))
    return found


def _ratio(D: Array, row: Array, half_wave: Array, supports: Pair, terms: int) -> Array:
    """Ratio (case, half wave) at each half wave (case, half wave)."""
    plain, linear, slopes = integrals(supports, terms)
    b, nx, nxy, ny, bending, _, *springs = row.T[:, :, None, None, None]
    k = np.pi / half_wave[..., None, None]
    d11, d12, d16, d22, d26, d66 = (
        D[:, i, j, None, None, None] for i, j in ((0, 0), (0, 1), (0, 2), (1, 1), (1, 2), (2, 2))
    )
    # Curvatures of W exp(ikx): kx = k^2 W, ky = -W'', kxy = -2ik W'; s = y/b brings a factor 1/b per prime.
    elastic = d11 * k**4 * plain[0, 0] + d22 / b**4 * plain[2, 2] + 4.0 * d66 * (k / b) ** 2 * plain[1, 1]
    elastic = elastic - d12 * (k / b) ** 2 * (plain[0, 2] + plain[2, 0])
    elastic = elastic + (springs[0] * slopes[0] + springs[1] * slopes[1]) / b**3
    skew = -2.0 * d16 * k**3 / b * plain[0, 1] + 2.0 * d26 * k / b**3 * plain[2, 1]
    geometric = k**2 * (nx * plain[0, 0] + bending * linear) + ny / b**2 * plain[1, 1]
    skew_load = -nxy * k / b * plain[0, 1]
    return lowest_ratio(_hermitian(elastic, skew), _hermitian(geometric, skew_load))


def _hermitian(real: Array, skew: Array) -> NDArray[np.complex128]:
    return real + 1j * (skew - np.swapaxes(skew, -1, -2))
