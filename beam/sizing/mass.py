"""Mass of every lay-up in every bay."""

import numpy as np

from beam.section import rounded_box
from beam.sizing.lattice import Counts, Lattice
from materials.checks import Array


def bay_masses(lattice: Lattice, counts: Counts) -> Array:
    """Mass of every candidate in every bay.

    Parameters
    ----------
    lattice : Lattice
        Mold line, bays and kinds.
    counts : ndarray of int, shape (candidate, kind)
        Groups per side of the mid-plane [-].

    Returns
    -------
    ndarray, shape (bay, candidate)
        Mass [kg]; infinite where a wall is thicker than the outside corner radius.

    Notes
    -----
    Lay-ups are constant in a bay and the mold line is linear between its stations, so mass per length
    is linear from one to the next and the trapezoidal rule is exact.
    """
    mold_line = lattice.mold_line
    ends = np.union1d(lattice.stations, mold_line.stations)
    thickness, areal = lattice.wall_thickness(counts), lattice.wall_areal_density(counts)
    profile = mold_line.at(ends)
    fits = thickness.max(axis=-1) <= profile.corner_radius[:, None]
    per_length = np.full((ends.size, len(counts)), np.inf)
    for i, (width, height, radius) in enumerate(zip(*profile, strict=True)):
        one = fits[i]
        contour = rounded_box(width, height, radius, thickness[one])
        per_length[i, one] = (contour.length * areal[one]).sum(axis=-1)
    piece = np.diff(ends)[:, None] * (per_length[1:] + per_length[:-1]) / 2
    bay = np.searchsorted(lattice.stations, (ends[1:] + ends[:-1]) / 2) - 1
    mass = np.zeros((lattice.bays, len(counts)))
    np.add.at(mass, bay, piece)
    return mass
