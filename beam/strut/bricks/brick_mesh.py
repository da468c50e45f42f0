"""Mesh of a strut in bricks, from its mold line and its ply book.

Simplifications, which hold for every result: the outside is the mold line; thickness is measured in the plane of the
section; a ply that ends along the span leaves a wedge of resin beyond its end, `RAMP` times as long as the step is
thick; from a corner to a flat wall the plies of the one thin out and those of the other thicken, fibers and all, over
`JOINT` times the step, inside the flat wall.
"""

from itertools import pairwise
from typing import Annotated

import numpy as np

from beam.section import rounded_box
from beam.strut.bricks.brick_elements import Grid, Index, Layers, material, turned
from beam.strut.ply_drops import steps
from beam.strut.strut import Strut
from materials import Lamina, Source
from materials.checks import Array, Frozen, Limits, WholeNumbers, checked, reject

RAMP = 3.0
"""Length of the wedge of resin at an end of plies over their thickness: own choice, a pocket as micrographs show it."""

JOINT = 1.0
"""Length of the passage from a corner to a flat wall over the step of thickness: own choice."""

RESIN = Lamina(
    name="resin of the wedges", kind="fabric", E1=3.5e9, E2=3.5e9, G12=1.3e9, nu12=0.35, G13=1.3e9, G23=1.3e9,
    E3=3.5e9, nu13=0.35, nu23=0.35, thickness=1e-3, density=1200.0, alpha1=55e-6, alpha2=55e-6, alpha3=55e-6,
    source=Source("epoxy, round values", note="from memory; wedges carry next to nothing"),
)  # fmt: skip
"""What fills the wedges at ends of plies."""


class Density(Frozen, eq=True):
    """How finely a strut is cut into bricks.

    Parameters
    ----------
    per_corner : int
        Elements around each corner [-].
    per_face : int
        Elements across each flat wall between the wedges at its edges [-].
    size : float
        Length of elements along the span [m].
    fine : float
        Length of elements in bands and within 30 mm of bands, ribs, supports and ends; a third of it within this
        length of ends of plies [m].

    Raises
    ------
    ValueError
        If there are fewer than four elements to a corner, or `fine` is longer than `size`.

    Notes
    -----
    With 3 elements to a corner thin curved elements lock and My is 4 to 15 % low; with 8 it is within 0.6 % of 14.

    Examples
    --------
    >>> Density().refined(1.5)
    Density(per_corner=12, per_face=12, size=0.01, fine=0.004)
    """

    per_corner: Annotated[int, Limits("-", at_least=4, at_most=64, cause="thin curved elements lock")] = 8
    per_face: Annotated[int, Limits("-", at_least=2, at_most=64)] = 8
    size: Annotated[float, Limits("m", above=0.0, at_most=0.2, cause="given in mm?")] = 0.015
    fine: Annotated[float, Limits("m", above=0.0, at_most=0.2, cause="given in mm?")] = 0.006

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.fine > self.size:
            reject("Density: fine [m]", f"{self.fine:g}", f"at most size, {self.size:g}", "exchanged?")

    @checked
    def refined(self, factor: Annotated[float, Limits("-", above=0.0, at_most=8.0)]) -> "Density":
        """A density with elements shorter by a factor in both directions.

        Parameters
        ----------
        factor : float
            Elements per length over those of this density [-].
        """
        return Density(
            per_corner=round(self.per_corner * factor),
            per_face=round(self.per_face * factor),
            size=self.size / factor,
            fine=self.fine / factor,
        )


USUAL = Density()
"""The density if no other is given."""

NEAR = 0.030
"""Distance from an introduction within which elements are `fine` [m]."""


class StrutMesh(Frozen):
    """Bricks of a strut, and where they lie on it.

    `lines` (row + 1,) are the stations between the rows [m], `wall` (element around,) the wall of each element and
    `along` (element around, 2) the fractions of that wall at its two sides. `core` (bay, 2) is the stretch of each bay
    of the strut that lies clear of wedges [m].
    """

    grid: Grid
    lines: Array
    wall: Annotated[WholeNumbers, Limits("-", shape=(-1,))]
    along: Array
    core: Array


def mesh_strut(strut: Strut, density: Density, resin: Lamina, extra: tuple[float, ...] = ()) -> StrutMesh:
    """Mesh a strut with lines of elements at its bands, ribs, supports and `extra` stations [m]."""
    line, book = strut.mold_line, strut.ply_book
    names, length = line.wall_names, line.length
    _refuse_coarse(strut, density)
    ramps = _ramps(strut)
    lines = _lines(strut, density, ramps, extra)
    share = _shares(strut, lines, ramps)
    jumps = (share[:, 0::2] != share[:, 1::2]).any(axis=(0, 2)) | (
        share[:, 0::2] != np.roll(share, 1, axis=1)[:, 0::2]
    ).any(axis=(0, 2))
    wall, along = _around(strut, density, jumps)
    # the wall whose plies stand at each line between elements: at a joint those of the corner
    label = np.where((along[:, 0] == 0.0) & (wall % 2 == 0), (wall - 1) % len(names), wall)
    at_line = share[:, label]
    after = np.roll(at_line, -1, axis=1)
    corners = np.stack([at_line[:-1], at_line[1:], after[:-1], after[1:]], axis=2)
    flat = corners.reshape(-1, 4 * corners.shape[-1])
    _, first, kinds = np.unique(flat, axis=0, return_index=True, return_inverse=True)
    thickness = np.array([ply.lamina.thickness for ply in book.plies])
    stacks = list(dict.fromkeys((ply.lamina, ply.angle_deg) for ply in book.plies))
    solid = [turned(*material(lamina), angle) for lamina, angle in [*stacks, (resin, 0.0)]]
    layers = Layers(
        present=corners.reshape(-1, *corners.shape[2:])[first],
        thickness=thickness,
        kind=np.array([stacks.index((ply.lamina, ply.angle_deg)) for ply in book.plies]),
        stiffness=np.stack([C for C, _ in solid]),
        expansion=np.stack([free for _, free in solid]),
    )
    points = _points(strut, lines, wall, along, at_line @ thickness)
    grid = Grid(points, kinds.reshape(corners.shape[:2]), layers, True)
    edges = np.stack([strut.bays[:-1], strut.bays[1:]], axis=-1)
    begins = np.array([ramps.get((float(s), False), 0.0) for s in edges[:, 1]])
    ends = np.array([ramps.get((float(s), True), 0.0) for s in edges[:, 0]])
    del length
    return StrutMesh(
        grid=grid, lines=lines, wall=wall, along=along, core=edges + np.stack([ends, -begins], axis=-1)
    )


def _refuse_coarse(strut: Strut, density: Density) -> None:
    """Refuse elements longer than a local disturbance of a wall reaches, and corners whose elements would lock."""
    thin = min(wall.thickness for walls in strut.laminates for wall in walls)
    radius = strut.mold_line.corner_radius
    reach = 2 * float(np.sqrt(thin * radius.min()))
    if density.fine > reach:
        cause = "bending of a wall beside a rib or a band dies out within sqrt(R t)"
        reject(
            "bricks: fine [m]", f"{density.fine:g}", f"at most {reach:.3g}, 2 sqrt(R t) of the walls", cause
        )
    # A thin arc is 10 % too stiff with elements of length l where l^2 = 1.3 R t, 0.7 % where l^2 = 0.3 R t.
    least = int(np.ceil(np.pi / 2 * np.sqrt(radius.max() / thin / 0.8)))
    if density.per_corner < least:
        limit = f"at least {least} for walls of {thin:g} m"
        reject("bricks: per_corner [-]", density.per_corner, limit, "thin curved elements lock")


def _ramps(strut: Strut) -> dict[tuple[float, bool], float]:
    """Length of the wedges at each station where plies end (True) or begin (False) [m]."""
    found: dict[tuple[float, bool], float] = {}
    stations = np.array([0.0, *strut.ply_book.drops, strut.mold_line.length])
    for step in steps(strut.ply_book):
        gaps = np.abs(stations - step.station)
        most = float(gaps[gaps > 0].min()) / 3
        key = step.station, step.ends
        found[key] = max(found.get(key, 0.0), min(RAMP * step.thickness, most))
    return found


def _lines(
    strut: Strut, density: Density, ramps: dict[tuple[float, bool], float], extra: tuple[float, ...]
) -> Array:
    """Stations between the rows of elements, from root to tip [m]."""
    length = strut.mold_line.length
    introduced = [s for band in strut.bands for s in (band.start, band.end)]
    introduced += [rib.station for rib in strut.ribs] + strut.span.held.at.tolist() + [0.0, length, *extra]
    near = np.array([(s - NEAR, s + NEAR) for s in introduced])
    near = np.concatenate([near, [(band.start, band.end) for band in strut.bands] or np.zeros((0, 2))])
    wedges = np.array([sorted((s, s + (run if ends else -run))) for (s, ends), run in ramps.items()]).reshape(
        -1, 2
    )
    beside = wedges + np.array([-density.fine, density.fine])
    fixed = np.concatenate([strut.bays, introduced, wedges.ravel(), beside.ravel()])
    fixed = np.unique(np.clip(np.concatenate([fixed, near.ravel()]), 0.0, length))
    fixed = fixed[np.concatenate([[True], np.diff(fixed) > 1e-6 * length])]
    sizes = density.fine, density.fine / 3, density.fine
    out = [fixed[:1]]
    for a, b in pairwise(fixed.tolist()):
        middle = (a + b) / 2
        within = [((zone[:, 0] < middle) & (middle < zone[:, 1])).any() for zone in (wedges, beside, near)]
        each = next((e for e, inside in zip(sizes, within, strict=True) if inside), density.size)
        count = max(1, int(np.ceil((b - a) / each - 1e-6)))
        out.append(np.linspace(a, b, count + 1)[1:])
    lines = np.concatenate(out)
    lines[-1] = length
    return lines


def _shares(strut: Strut, lines: Array, ramps: dict[tuple[float, bool], float]) -> Array:
    """Share of each ply on each wall at stations, 0 to 1 in its wedges, (line, wall, ply) [-]."""
    book, length = strut.ply_book, strut.mold_line.length
    covers = np.array([[name in ply.walls for ply in book.plies] for name in strut.mold_line.wall_names])
    share = np.ones((len(lines), len(book.plies)))
    for p, (start, end) in enumerate(book.runs.tolist()):
        known = np.array([[start - 1.0, 0.0], [end + 1.0, 0.0]])
        inner = [(start - (ramps[start, False] if start > 0.0 else 1e-9), 0.0), (start, 1.0), (end, 1.0)]
        inner.append((end + (ramps[end, True] if end < length else 1e-9), 0.0))
        x, y = np.array([known[0], *inner, known[1]]).T
        share[:, p] = np.interp(lines, x, y)
    share[np.abs(share - 1.0) < 1e-9] = 1.0
    return np.asarray(share[:, None] * covers)


def _around(strut: Strut, density: Density, jumps: Array) -> tuple[Index, Array]:
    """Wall of each element around, (element,), and the fractions of the wall at its sides, (element, 2)."""
    line = strut.mold_line
    narrow = line.flat_widths(line.stations).min(axis=0)
    thick = np.array([[wall.thickness for wall in walls] for walls in strut.laminates])
    walls, along = [], []
    for i in range(len(line.wall_names)):
        if i % 2:
            cuts = np.linspace(0.0, 1.0, density.per_corner + 1)
        else:
            wedge = 0.0
            if jumps[i // 2]:
                beside = thick[:, [(i - 1) % 8, (i + 1) % 8]]
                step = np.maximum(np.abs(beside - thick[:, [i]]).max(), 0.1 * thick[:, i].max())
                wedge = float(min(JOINT * step / narrow[i // 2], 0.25))
            inner = np.linspace(wedge, 1 - wedge, density.per_face + 1)
            cuts = np.unique(np.concatenate([[0.0], inner, [1.0]]))
        walls.append(np.full(len(cuts) - 1, i))
        along.append(np.stack([cuts[:-1], cuts[1:]], axis=-1))
    return np.concatenate(walls), np.concatenate(along)


def _points(strut: Strut, lines: Array, wall: Index, along: Array, thickness: Array) -> Array:
    """Nodes (plane, column, 3, 3) of walls whose thickness (line, element around) is that at their first side [m]."""
    x = np.interp(np.arange(2 * len(lines) - 1) / 2, np.arange(len(lines)), lines)
    skin = rounded_box(*strut.mold_line.at(x), np.full(8, 1e-9), surface="outside").offset(np.full(8, 0.5e-9))
    column_wall = np.repeat(wall, 2)
    fraction = np.stack([along[:, 0], along.mean(axis=1)], axis=-1).ravel()
    places, which = np.unique(fraction, return_inverse=True)
    outer = skin.position(places)[:, column_wall, which]
    normal = skin.normal(places)[:, column_wall, which]
    beside = (thickness + np.roll(thickness, -1, axis=1)) / 2
    t = np.stack([thickness, beside], axis=-1).reshape(len(lines), -1)
    deep = np.empty((len(x), t.shape[1]))
    deep[0::2], deep[1::2] = t, (t[:-1] + t[1:]) / 2
    height = np.array([1.0, 0.5, 0.0])[:, None]
    section = outer[:, :, None] - height * deep[:, :, None, None] * normal[:, :, None]
    span = np.broadcast_to(x[:, None, None, None], (*section.shape[:-1], 1))
    return np.concatenate([span, section], axis=-1)
