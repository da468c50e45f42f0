"""Beam and bricks side by side along the span, and how far bricks are from what finer ones would say."""

from collections.abc import Callable
from typing import Annotated, Literal, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from beam.strut.bricks.brick_mesh import USUAL, Density
from beam.strut.bricks.brick_model import Bricks
from materials.checks import Array, Frozen, Items, Limits, Numbers, checked, default, reject

PLACES = tuple(np.linspace(0.0, 1.0, 9).tolist())


class Comparison(Frozen):
    """Strain along the span at the faces of the walls, by the beam and by bricks; the result of `compare`.

    Parameters
    ----------
    stations : array_like, shape (station,)
        From the root [m].
    beam, bricks : array_like, shape (case, station, wall, 2)
        Largest and least strain along the generator, over nine places and both faces of each wall [-].
    walls : sequence of str
        Names of the walls.
    marks : array_like, shape (mark, 2)
        Ends of bands; a rib has both in one place [m].
    level : sequence of {"limit", "ultimate"}, length case
        Level of each case; none given: limit.

    Examples
    --------
    >>> one = Comparison(stations=[0.1], beam=[[[[1e-3, 0.0]]]], bricks=[[[[1.1e-3, 0.0]]]], walls=["aft"], marks=[])
    >>> one.largest_ratio().round(2)
    array([1.1])
    """

    stations: Annotated[Numbers, Limits("m", shape=(-1,))]
    beam: Annotated[Numbers, Limits("-", shape=(-1, -1, -1, 2))]
    bricks: Annotated[Numbers, Limits("-", shape=(-1, -1, -1, 2))]
    walls: Items[str]
    marks: Annotated[Numbers, Limits("m")]
    level: Annotated[Items[Literal["limit", "ultimate"]], Limits(items=0)] = default(())

    def __post_init__(self) -> None:
        super().__post_init__()
        want = (len(self.stations), len(self.walls), 2)
        for name, value in (("beam", self.beam), ("bricks", self.bricks)):
            if value.shape[1:] != want or len(value) != len(self.beam):
                reject(f"Comparison: {name}", f"shape {value.shape}", f"(case, {want[0]}, {want[1]}, 2)")
        level = self.level or ("limit",) * len(self.beam)
        if len(level) != len(self.beam):
            reject("Comparison: level", f"length {len(level)}", f"one for each of {len(self.beam)} cases")
        object.__setattr__(self, "level", level)
        object.__setattr__(self, "marks", np.reshape(self.marks, (-1, 2)))

    @checked
    def largest_ratio(self) -> Array:
        """Largest size of the strain in bricks over that in the beam, shape (station,), over cases and walls [-]."""
        size = [np.abs(one).max(axis=(0, 2, 3)) for one in (self.bricks, self.beam)]
        return np.asarray(size[0] / size[1])


@checked
def compare(
    found: Bricks, stations: Annotated[ArrayLike | None, Limits("m", shape=(-1,), at_least=0.0)] = None
) -> Comparison:
    """Strain along the span by beam theory and by bricks.

    Parameters
    ----------
    found : Bricks
        The strut solved in bricks.
    stations : array_like, shape (station,), optional
        Where; the middles of the rows of bricks if not given [m].

    Returns
    -------
    Comparison
        Strain along the generators at the faces of the walls.

    Notes
    -----
    Beam: strain of the mid-surface and curvature under the wall loads, ex - (+) kx h/2 on the inner (outer) face; the
    added wall loads are among them where the strut has bands, as in `beam.margins`.

    Examples
    --------
    >>> from beam import BookPly, MoldLine, PlyBook, PointLoads, Strut
    >>> from beam.strut.bricks import solve
    >>> from materials import lamina
    >>> line = MoldLine(root=[0, 0, 0.2], tip=[0, 0, 0], stations=[0, 0.2], width=[0.1, 0.1], height=[0.08, 0.08],
    ...                 corner_radius=[0.02, 0.02])
    >>> tape = BookPly(lamina=lamina("AS4/3501-6"), angle_deg=0.0, walls=line.wall_names, start=0.0, end=0.2)
    >>> pull = PointLoads(at=[0.2], force=[[[2e5, 0, 0]]])
    >>> coarse = Density(per_corner=4, per_face=2, size=0.05, fine=0.02)
    >>> compare(solve(Strut(line, PlyBook([tape] * 40)), pull, coarse), [0.1]).largest_ratio().round(1)
    array([1.])
    """
    strut = found.strut
    lines = found.mesh.lines
    where = (lines[1:] + lines[:-1]) / 2 if stations is None else np.asarray(stations)
    inside = np.asarray(found.face_strain(where, PLACES))[..., 0]
    forces = strut.span.forces(found.loads, at=where)
    running = strut.wall_loads(forces, where, PLACES)
    if strut.bands:
        running = running + strut.added_wall_loads(found.loads, where, PLACES)
    walls = [
        [strut.ply_book.laminate(name, s) for name in strut.mold_line.wall_names] for s in where.tolist()
    ]
    soft = np.array([[wall.compliance for wall in each] for each in walls])
    half = np.array([[wall.thickness / 2 for wall in each] for each in walls])[..., None]
    e = np.einsum("swij,cswpj->cswpi", soft, running, optimize=True)
    beam = np.stack([e[..., 0] - half * e[..., 3], e[..., 0] + half * e[..., 3]], axis=-1)
    extremes = [np.stack([one.max(axis=(-1, -2)), one.min(axis=(-1, -2))], axis=-1) for one in (beam, inside)]
    marks = [(band.start, band.end) for band in strut.bands]
    marks += [(rib.station, rib.station) for rib in strut.ribs]
    return Comparison(
        stations=where,
        beam=extremes[0],
        bricks=extremes[1],
        walls=strut.mold_line.wall_names,
        marks=marks,
        level=found.loads.level,
    )


class Convergence(NamedTuple):
    """A quantity at growing densities, as `converge` returns it.

    Parameters
    ----------
    densities : tuple of Density
        From coarse to fine.
    values : ndarray, shape (density,)
        The quantity at each [any].
    order : float
        Power of the element length with which it changes; NaN with fewer than three values [-].
    error : float
        Estimated distance of the last value from the limit [any].
    converged : bool
        Whether the error is within the tolerance.
    """

    densities: tuple[Density, ...]
    values: Array
    order: float
    error: float
    converged: bool


@checked
def converge(
    quantity: Callable[[Density], float],
    density: Density = USUAL,
    *,
    tolerance: Annotated[float, Limits("any", above=0.0)] = 0.02,
    factor: Annotated[float, Limits("-", above=1.0, at_most=4.0)] = 1.5,
    most: Annotated[int, Limits("-", at_least=2, at_most=8)] = 3,
) -> Convergence:
    """Refine until a quantity, as the governing margin, is within a tolerance of its limit.

    Parameters
    ----------
    quantity : callable
        Takes a density to the quantity.
    density : Density
        The coarsest.
    tolerance : float
        Largest error of the quantity, in its unit [any].
    factor : float
        Elements per length from one density to the next [-].
    most : int
        Most densities [-].

    Returns
    -------
    Convergence
        Values, order and error.

    Notes
    -----
    With differences d1, d2 of three values the order is p = log(|d1/d2|) / log(factor) and the error
    |d2| / (factor^p - 1), p within 1 and 4 (L. F. Richardson, Phil. Trans. R. Soc. A 210 (1911) 307, from memory). Of
    two values their difference counts.

    Examples
    --------
    >>> found = converge(lambda density: 1 + density.size**2, Density(size=0.1), tolerance=1e-9, factor=2.0)
    >>> round(found.order, 6), round(float(found.values[-1] - found.error), 6), found.converged
    (2.0, 1.0, False)
    """
    densities, values = [density], [float(quantity(density))]
    order, error = np.nan, np.inf
    while len(values) < most and not error <= tolerance:
        densities.append(densities[-1].refined(factor))
        values.append(float(quantity(densities[-1])))
        error = abs(values[-1] - values[-2])
        if len(values) > 2:
            first = abs(values[-2] - values[-3])
            order = float(np.log(first / error) / np.log(factor)) if first and error else np.inf
            error /= factor ** float(np.clip(order, 1.0, 4.0)) - 1
    return Convergence(tuple(densities), np.array(values), order, error, error <= tolerance)
