r"""The six unit states of a thin-walled section: theory and equations.

After Berdichevsky, Armanios & Badir (1992), in mixed form, with the bending of the walls kept.

**Kinematics.** The section moves with the strains chi = (eps, kappa1, kappa2, kappa3) and warps by w(s) along the span.
A wall at r = (y2, y3) with tangent t and outward normal n = e1 x t has the strains

    ex  = eps + y3 kappa2 - y2 kappa3
    kx  = n3 kappa2 - n2 kappa3 = t2 kappa2 + t3 kappa3
    kxs = -2 kappa1
    gxy = dw/ds + kappa1 (r x t)

r x t is the component on e1; it is negative on a clockwise skin. (A term gxy/R in kxs belongs to the definition of the
shear flow, q = Nxy - Mxy/R: the radius of the walls is large against their thickness.)

**Statics around the section.** Equilibrium leaves four flows per closed path free: the shear flow q, and the force
F = (F2, F3) and the moment M0 (about the origin) transmitted around the section. With them

    Nxy = q,   Ny = F . t,   My = -M0 + y2 F3 - y3 F2

They are zero on an open branch, which ends free. Most texts set Ny = My = 0 all around, since nothing outside supports
the walls in the plane of the section. That is exact where every wall is free to take its hoop strain and curvature
(isotropic walls, for one): F and M0 come out zero. Where walls couple stretching and bending (B not zero) the free
hoop curvatures do not close: a round tube cannot curl. The closed ring then carries My at leading order, and F, M0
follow from the same condition as q.

**Closure.** w, the turn of the walls omega (d omega/ds = -ky) and their displacement u in the plane of the section
(du/ds = ey t + omega n) have one value everywhere. By virtual work, for each flow of each closed path

    \oint (its Ny ey + its Nxy (gxy - kappa1 r x t) + its My ky) ds = 0

**Equations.** The wall law is split by what is known: e = (ex, kx, kxs) and s = (Ny, Nxy, My) give n = P e + Q s and
g = R s - Q'e. With e = E chi, s = S f the four section forces and the closure read

    [ K   C ] [chi]   [N, T, M2, M3]       K = \oint E'P E ds,   H = \oint S'R S ds
    [ C' -H ] [ f ] = [      0     ]       C = \oint E'Q S ds  (+ area swept, for kappa1 and q)

    T = \oint (q r x t - 2 Mxy) ds,  M2 = \oint (Nx y3 + Mx t2) ds,  M3 = \oint (-Nx y2 + Mx t3) ds

-2 Mxy is the twisting moment of the plate with its Kirchhoff edge forces: Saint-Venant's torsion of an open flange.

**Transverse force.** See `flexure`. The stresses of all six unit states are then known everywhere, each in exact
equilibrium. The 6 x 6 compliance is their complementary energy: symmetric and positive definite.

**Exactness.** Walls are straight or circular and their laws constant, so all fields are sums of ten functions of the
place (`contour.place_functions`); there is no mesh. Omitted are transverse shear of the walls, restrained warping, and
terms of the order of the wall thickness over its radius or width: squared where walls are symmetric, equal and rounded
into each other, to the first power elsewhere. A box with sharp right corners is stiffer in torsion by about
(8 ln 2 / pi) t / L = 1.76 t / L, since shear flow takes a corner on the inside (conformal map of the right-angle bend);
L is the length of its mid-line.

References
----------
V. Berdichevsky, E. Armanios, A. Badir, "Theory of anisotropic thin-walled closed-cross-section beams",
Composites Engineering 2 (5-7), 1992, 411-432.
V. Giavotto et al., "Anisotropic beam theory and applications", Computers & Structures 16 (1983) 403-413.
"""

from collections.abc import Iterator
from dataclasses import fields, replace
from functools import cached_property
from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike

from beam.section.contour import Contour, Places, match_walls, place_functions
from beam.section.flexure import flexure
from beam.section.geometry_rules import check_gaps
from beam.section.wall_equations import (
    DIRECT,
    FIELD,
    TRANSVERSE,
    Measure,
    fields_of,
    gather,
    measure,
    mixed_law,
    project,
    spread,
    total,
    wall_loads,
)
from laminate.plate import inverse
from materials.checks import Array, Frozen, Limits, checked, common_shape, reject

BLOCK = 256
"""Sections solved at a time."""

TRACES = np.array([[1.0, 1.0, 2.0, 0.0, 0.0, 0.0], [0.0, 0.0, 0.0, 1.0, 1.0, 2.0]]).T
"""From the diagonal of a wall's stiffness to tr A and tr D."""

HOOP = (3, 5)
"""Indices of Ny and My among the known fields (ex, kx, kxs, Ny, Nxy, My)."""


class States(Frozen):
    """A section, or a batch of sections, solved for its six unit forces; the result of `solve`.

    Parameters
    ----------
    contour : Contour
        Mid-lines of the walls.
    law : ndarray, shape (..., wall, 6, 6)
        Mixed law of the walls [N/m, N, N m].
    scale : ndarray, shape (..., unknown)
        Size of each unknown: strains (eps, kappa1, kappa2, kappa3), then the flows of each closed path [any].
    scaled : ndarray, shape (..., unknown, unknown)
        Equations of the section with the unknowns measured in `scale` [-].
    direct : ndarray, shape (..., wall, 8, 4)
        Strains and flows of each wall for unit (N, T, M2, M3) [1/N, 1/(N m)].
    transverse : ndarray, shape (..., wall, 6, 10, 2)
        Known strains and loads of each wall on the place functions for unit (V2, V3) [1/N, 1/(N m)].
    compliance : ndarray, shape (..., 6, 6)
        Section strains per section force (N, V2, V3, T, M2, M3) [1/N], [1/(N m)], [1/(N m^2)].

    Examples
    --------
    >>> import numpy as np
    >>> from beam.section.outline import round_tube
    >>> wall = np.diag([8e7, 8e7, 3e7, 7.0, 7.0, 2.5])
    >>> states = solve(round_tube(0.05), np.stack([wall] * 4))
    >>> (states.stiffness[0, 0] / (2 * np.pi * 0.05 * 8e7)).round(9)
    np.float64(1.0)
    >>> states.recovery(0.5).shape
    (4, 1, 6, 6)
    """

    contour: Contour
    law: Array
    scale: Array
    scaled: Array
    direct: Array
    transverse: Array
    compliance: Array

    def __post_init__(self) -> None:
        # Results of `solve` are not read again: large batches are not copied.
        for one in fields(self)[1:]:
            getattr(self, one.name).setflags(write=False)

    @cached_property
    def measure(self) -> Measure:
        """Integrals over the mid-lines."""
        return measure(self.contour)

    @cached_property
    def stiffness(self) -> Array:
        """Section forces per section strain, shape (..., 6, 6) [N], [N m], [N m^2]."""
        out = inverse(self.compliance)
        out.setflags(write=False)
        return out

    @checked
    def recovery(self, at: Places = 0.5) -> Array:
        """Wall loads per unit section force.

        Parameters
        ----------
        at : array_like, shape () or (place,)
            Fractions of the length of each wall [-].

        Returns
        -------
        ndarray, shape (..., wall, place, 6, 6)
            (Nx, Ny, Nxy, Mx, My, Mxy) [N/m], [N] per (N, V2, V3, T, M2, M3) [N], [N m].

        Notes
        -----
        A transverse force is the sum of Nxy t and of the shear across the wall, (dMx/dx) n, which is not among the
        six: it follows from dM2/dx = V3, dM3/dx = -V2, and its share is of order (t/b)^2.
        """
        return recovery_of(self, np.atleast_1d(np.asarray(at)), slice(None))


@checked
def solve(
    contour: Contour,
    abd: Annotated[ArrayLike, Limits("N/m, N, N m", last=(-1, 6, 6))],
) -> States:
    """Solve sections for their six unit forces.

    Parameters
    ----------
    contour : Contour
        Mid-lines; leading axes are a batch.
    abd : array_like, shape (..., wall, 6, 6)
        Stiffness of each wall; leading axes broadcast against those of the contour [N/m], [N], [N m].

    Returns
    -------
    States
        Compliance and recovery.

    Raises
    ------
    ValueError
        If the stiffness of a wall is not symmetric and positive definite, or the walls do not close.

    Notes
    -----
    The theory is that of Berdichevsky, Armanios & Badir (1992) with bending of the walls, see `beam.section.states`.
    The thickness is not known here. A wall may end as far from its joint as

        t = sqrt(12 tr D / tr A),  tr = 11 + 22 + 2 x 66

    which is the thickness of any stack of plies of one material, and at most 1.7 times it of others.
    Large batches are solved in blocks that fit the cache of the processor.

    Examples
    --------
    >>> import numpy as np
    >>> from beam.section.outline import box
    >>> wall = np.diag([8e7, 8e7, 3e7, 7.0, 7.0, 2.5])
    >>> states = solve(box(0.08, 0.05), np.stack([wall] * 4))
    >>> (1e-3 * states.stiffness.diagonal()[[3, 4]]).round(2)
    array([7.39, 9.67])
    """
    walls = np.asarray(abd)
    match_walls("solve: abd", walls, len(contour.names), -3)
    uneven = np.abs(walls - np.swapaxes(walls, -1, -2)).max(axis=(-1, -2), initial=0.0)
    if (uneven > 1e-9 * np.abs(walls).max(axis=(-1, -2), initial=0.0)).any():
        cause = "B not transposed below the diagonal?"
        reject("solve: abd", "a wall that is not symmetric", "symmetric", cause)
    try:
        np.linalg.cholesky(walls)
    except np.linalg.LinAlgError:
        cause = "wrong ply constants, or A, B, D of different laminates?"
        reject("solve: abd", "a wall that is not positive definite", "positive definite", cause)
    lead = common_shape("solve: contour, abd", contour.batch, walls.shape[:-3])
    trace = walls[..., range(6), range(6)] @ TRACES
    check_gaps("solve: contour", contour, np.sqrt(12 * trace[..., 1] / trace[..., 0]))
    names = [one.name for one in fields(States)[1:]]
    if np.prod(lead, dtype=int) <= BLOCK:
        return States(contour=contour, **dict(zip(names, _solve(contour, walls), strict=True)))
    flat = np.broadcast_to(walls, (*lead, *walls.shape[-3:])).reshape(-1, *walls.shape[-3:])
    parts = [_solve(part, flat[cut]) for part, cut in _blocks(contour, lead, len(flat))]
    whole = [np.concatenate(pieces) for pieces in zip(*parts, strict=True)]
    return States(
        contour=contour,
        **{name: one.reshape(*lead, *one.shape[1:]) for name, one in zip(names, whole, strict=True)},
    )


def _blocks(contour: Contour, lead: tuple[int, ...], count: int) -> Iterator[tuple[Contour, slice]]:
    """Parts of a batch of contours with its leading axes run into one, and the slice of each."""
    sizes = ("start", "direction", "length", "turn")
    flat = {}
    for name in sizes if contour.batch else ():
        given = getattr(contour, name)
        tail = given.shape[-2:] if name == "start" else given.shape[-1:]
        flat[name] = np.broadcast_to(given, (*lead, *tail)).reshape(-1, *tail)
    for first in range(0, count, BLOCK):
        cut = slice(first, first + BLOCK)
        yield replace(contour, **{name: values[cut] for name, values in flat.items()}), cut


def _solve(contour: Contour, abd: Array) -> tuple[Array, ...]:
    """Arrays of `States` for one block."""
    place, cycles = measure(contour), contour.topology.cycles
    law = mixed_law(abd)
    matrix = _equations(law, place, cycles)
    scale = 1 / np.sqrt(np.abs(np.diagonal(matrix, axis1=-2, axis2=-1)))
    scaled = matrix * scale[..., :, None] * scale[..., None, :]
    unknown = _solved(scale, scaled, np.eye(matrix.shape[-1])[:, :4])
    direct = spread(unknown, cycles)
    transverse, load = flexure(direct, law, contour.topology, place)
    transverse[..., :5, :] += fields_of(spread(-_solved(scale, scaled, load), cycles))
    return law, scale, scaled, direct, transverse, _compliance(unknown, direct, transverse, law, place)


def _equations(law: Array, place: Measure, cycles: Array) -> Array:
    """Matrix of the section's equations, shape (..., 4 + 4 cycle, 4 + 4 cycle)."""
    size = law.shape[:-2]
    images = (law @ FIELD.reshape(6, -1)).reshape(*size, 6, 5, 8)
    per_wall = project(images, place.moments[..., :5, :5])
    area = place.swept.sum(axis=-1)
    per_wall[..., 1, 4] += area
    per_wall[..., 4, 1] += area
    return total(per_wall, cycles)


def _solved(scale: Array, scaled: Array, load: Array) -> Array:
    """Unknowns (..., unknown, column) of the section's equations under a load of that shape."""
    return np.asarray(scale[..., :, None] * np.linalg.solve(scaled, scale[..., :, None] * load))


def _compliance(unknown: Array, direct: Array, transverse: Array, law: Array, place: Measure) -> Array:
    """Complementary energy of the unit states: the sum over the walls of n.e + s.g, shape (..., 6, 6)."""
    energy = law.copy()
    energy[..., :3, 3:] = 0.0
    energy[..., 3:, :3] = 0.0
    energy[..., 3:, 3:] *= -1.0
    lead, walls = transverse.shape[:-4], transverse.shape[-4]
    integrated = place.moments[..., None, :, :] @ transverse
    image = (energy @ integrated.reshape(*lead, walls, 6, 20)).reshape(integrated.shape)
    both = np.swapaxes(transverse.reshape(*lead, -1, 2), -1, -2) @ image.reshape(*lead, -1, 2)
    work = FIELD.reshape(30, 8).T @ image[..., :5, :].reshape(*lead, walls, 30, 2)
    mutual = np.swapaxes(direct.reshape(*lead, -1, 4), -1, -2) @ work.reshape(*lead, -1, 2)
    out = np.empty((*both.shape[:-2], 6, 6))
    d, v = np.array(DIRECT), np.array(TRANSVERSE)
    first = unknown[..., :4, :]
    out[..., d[:, None], d] = 0.5 * (first + np.swapaxes(first, -1, -2))
    out[..., d[:, None], v] = mutual
    out[..., v[:, None], d] = np.swapaxes(mutual, -1, -2)
    out[..., v[:, None], v] = 0.5 * (both + np.swapaxes(both, -1, -2))
    return out


def recovery_of(states: States, at: Array, walls: slice) -> Array:
    """Wall loads per unit section force of some walls, (..., wall, place, 6, 6)."""
    functions = place_functions(states.contour, at)[..., walls, :, :]
    direct = np.tensordot(functions[..., :5], FIELD, axes=(-1, 1)) @ states.direct[..., walls, None, :, :]
    transverse = np.einsum("...wpb,...wibv->...wpiv", functions, states.transverse[..., walls, :, :, :])
    known = np.empty((*np.broadcast_shapes(direct.shape[:-1], transverse.shape[:-1]), 6))
    known[..., DIRECT] = direct
    known[..., TRANSVERSE] = transverse
    return wall_loads(states.law[..., walls, None, :, :], known)


def closing_state(
    states: States, image: Array, moments: Array, torque: Array | None = None
) -> tuple[Array, Array]:
    """State that closes the walls under known fields: unknowns of the section and of each wall, (..., column).

    `image`, (..., wall, 6, function, column), is what works on (ex, kx, kxs, Ny, Nxy, My); `moments` are the
    integrals of the first five place functions times each of its functions, (..., wall, 5, function). `torque`,
    (..., column), is that of a known shear flow and of the pull of inclined walls.
    """
    cycles = states.contour.topology.cycles
    rows = gather(project(image, moments), cycles).sum(axis=-3)
    if torque is not None:
        rows[..., 1, :] += torque
    unknown = -_solved(states.scale, states.scaled, rows)
    return unknown, spread(unknown, cycles)


def closing_hoop_loads(states: States, image: Array, nodes: Array, weight: Array, at: Array) -> Array:
    """Ny and My at places, (..., wall, place, 2, column), that close the walls under an `image` at Gauss nodes."""
    functions = weight[..., None] * place_functions(states.contour, nodes)[..., :5]
    _, per_wall = closing_state(states, image, np.swapaxes(functions, -1, -2))
    field = np.tensordot(place_functions(states.contour, at)[..., :5], FIELD[HOOP, :, :], axes=(-1, 1))
    return np.asarray(field @ per_wall[..., None, :, :])
