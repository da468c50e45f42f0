"""Strains and stresses of all six components at any place of a solved section."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike

from beam.section.solid.elements import Sample, sample
from beam.section.solid.orthotropic import ply_axes, strain_rotation, wall_axes
from materials.checks import Array, array, one_of, reject

if TYPE_CHECKING:
    from beam.section.solid.warping import WarpedSection

CENTER = ((0.5, 0.5),)
"""The middle of an element."""

AXES = ("section", "wall", "ply")
"""Axes stresses can be given in: (e1, e2, e3), (x, y, z) of the wall, (1, 2, 3) of the ply."""


def strain(section: WarpedSection, F: ArrayLike, at: ArrayLike = CENTER, axes: str = "ply") -> Array:
    """Strain under section forces.

    Parameters
    ----------
    section : WarpedSection
        The section.
    F : array_like, shape (..., 6)
        Section forces (N, V2, V3, T, M2, M3) about the origin [N], [N m].
    at : array_like, shape (place, 2)
        Places (along, across) in every element, from 0 to 1 [-].
    axes : str
        "section", "wall" or "ply".

    Returns
    -------
    ndarray, shape (..., element, place, 6)
        Components (11, 22, 33, 23, 13, 12), shear engineering [-].

    Raises
    ------
    ValueError
        If a force is not finite, a place lies off the element, or there are no such axes.
    """
    forces, places = _checked(F, at, axes)
    every = np.arange(len(section.mesh.elements))
    s = sample(section.mesh, every, places)
    return at_samples(section, forces, every, s, axes)[0]


def stress(section: WarpedSection, F: ArrayLike, at: ArrayLike = CENTER, axes: str = "ply") -> Array:
    """Stress under section forces, the interlaminar components too.

    Parameters
    ----------
    section : WarpedSection
        The section.
    F : array_like, shape (..., 6)
        Section forces (N, V2, V3, T, M2, M3) about the origin [N], [N m].
    at : array_like, shape (place, 2)
        Places (along, across) in every element, from 0 to 1 [-].
    axes : str
        "section", "wall" or "ply".

    Returns
    -------
    ndarray, shape (..., element, place, 6)
        Components (11, 22, 33, 23, 13, 12) in the axes asked for [Pa].

    Raises
    ------
    ValueError
        If a force is not finite, a place lies off the element, or there are no such axes.

    Notes
    -----
    Stresses are those of the displacements, element by element: best at the points 1/2 -+ 1/sqrt(12), and they
    jump a little from element to element. Refine until the jump does not matter.
    """
    forces, places = _checked(F, at, axes)
    every = np.arange(len(section.mesh.elements))
    s = sample(section.mesh, every, places)
    return at_samples(section, forces, every, s, axes)[1]


def places(section: WarpedSection, at: ArrayLike = CENTER) -> Array:
    """Points of the section that belong to places in the elements.

    Parameters
    ----------
    section : WarpedSection
        The section.
    at : array_like, shape (place, 2)
        Places (along, across) in every element, from 0 to 1 [-].

    Returns
    -------
    ndarray, shape (element, place, 2)
        Points (y2, y3) [m].
    """
    _, local = _checked(np.zeros(6), at, "ply")
    return sample(section.mesh, np.arange(len(section.mesh.elements)), local).position


def at_samples(
    section: WarpedSection, F: Array, elements: ArrayLike, s: Sample, axes: str
) -> tuple[Array, Array]:
    """Strain and stress at places that have been evaluated.

    Parameters
    ----------
    section : WarpedSection
        The section.
    F : ndarray, shape (..., 6)
        Section forces [N], [N m].
    elements : array_like of int, shape (element,)
        Elements of the sample [-].
    s : Sample
        The places.
    axes : str
        "section", "wall" or "ply".

    Returns
    -------
    strain : ndarray, shape (..., element, place, 6)
        Components (11, 22, 33, 23, 13, 12) [-].
    stress : ndarray, shape (..., element, place, 6)
        The same components [Pa].
    """
    chosen = np.asarray(elements, dtype=np.intp)
    per_force = s.strain @ section.unknowns[chosen][:, None]
    T = np.broadcast_to(np.eye(6), s.stiffness.shape)
    if axes != "section":
        T = strain_rotation(wall_axes(s.tangent))
    if axes == "ply":
        T = strain_rotation(ply_axes(np.radians(section.mesh.angle_deg[chosen])))[:, None] @ T
    # Stress turns with the inverse transpose of what turns strain.
    stress_per_force = np.linalg.solve(T.swapaxes(-1, -2), s.stiffness @ per_force)
    e, t = (np.tensordot(F, part, axes=(-1, -1)) for part in (T @ per_force, stress_per_force))
    return e, t


def _checked(F: ArrayLike, at: ArrayLike, axes: str) -> tuple[Array, Array]:
    forces = array("WarpedSection: F (N, V2, V3, T, M2, M3)", F, last=(6,))
    local = array("WarpedSection: at [-]", at, last=(-1, 2))
    if (local < 0).any() or (local > 1).any():
        reject("WarpedSection: at [-]", local.tolist(), "from 0 to 1", "local places, not points in m")
    one_of("WarpedSection: axes", axes, AXES)
    return forces, local
