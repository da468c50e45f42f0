"""Ends of plies along the span: how gently they come, and what they do to the layers between the plies."""

from itertools import groupby
from typing import Annotated, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from beam.strut.ply_book import BookPly, PlyBook
from beam.strut.point_loads import PointLoads, before
from beam.strut.strut import Strut
from laminate import Laminate, Ply
from materials.checks import Array, Frozen, Items, Limits, checked, common_shape, reject

RATE = 20.0  # Lengths per thickness: common practice, no source.
Positive = Annotated[float, Limits("m", above=0.0)]


class Step(Frozen, eq=True):
    """A place where plies of one wall end or begin.

    Parameters
    ----------
    wall : str
        The wall.
    station : float
        Where [m].
    ends : bool
        True where the plies end, the outboard side being the thinner; False where they begin.
    plies : tuple of int
        Their numbers in the book, from 1 at the mandrel [-].
    thickness : float
        Their thickness together [m].
    run : float
        Length on the thinner side up to the next step of the wall, or to the end of the strut [m].

    Notes
    -----
    rate = run / thickness.

    Examples
    --------
    >>> step = Step(wall="aft", station=0.3, ends=True, plies=[4, 5], thickness=0.4e-3, run=0.01)
    >>> round(step.rate, 6)
    25.0
    """

    wall: str
    station: Positive
    ends: bool
    plies: Annotated[Items[int], Limits("-", at_least=1)]
    thickness: Positive
    run: Positive

    @property
    def rate(self) -> float:
        """Lengths of run per thickness dropped [-]."""
        return self.run / self.thickness


@checked
def steps(book: PlyBook) -> tuple[Step, ...]:
    """All steps of a ply book, wall by wall from root to tip.

    Parameters
    ----------
    book : PlyBook
        The book.

    Returns
    -------
    tuple of Step
        The steps between root and tip.

    Notes
    -----
    Plies that end at one station are one step; a station within 1e-9 of the length of another is that station.

    Examples
    --------
    >>> from materials import lamina
    >>> tape = lamina("T700S/2510")
    >>> book = PlyBook(BookPly(lamina=tape, angle_deg=0, walls=["aft"], start=0, end=end) for end in (0.6, 0.4, 0.4))
    >>> [(step.station, step.plies, round(step.run, 3)) for step in steps(book)]
    [(0.4, (2, 3), 0.2)]
    """
    found = []
    for wall in book.walls:
        mine = [(i, *run) for i, run in enumerate(book.runs.tolist()) if wall in book.plies[i].walls]
        bounds = np.unique([0.0, book.tip, *(s for _, *run in mine for s in run)])
        for inboard, s, outboard in zip(bounds[:-2], bounds[1:-1].tolist(), bounds[2:], strict=True):
            ending = [i for i, _, end in mine if end == s]
            beginning = [i for i, start, _ in mine if start == s]
            for ends, here, run in ((True, ending, outboard - s), (False, beginning, s - inboard)):
                if here:
                    found.append(
                        Step(
                            wall=wall,
                            station=s,
                            ends=ends,
                            plies=[i + 1 for i in here],
                            thickness=sum(book.plies[i].lamina.thickness for i in here),
                            run=run,
                        )
                    )
    return tuple(found)


@checked
def steep(book: PlyBook, *, least_rate: Annotated[float, Limits("-", above=0.0)] = RATE) -> tuple[Step, ...]:
    """Steps that come faster than the shop allows.

    Parameters
    ----------
    book : PlyBook
        The book.
    least_rate : float
        Least length of run per thickness dropped; 20 is common practice, no source [-].

    Returns
    -------
    tuple of Step
        Those with a rate below it, the steepest first.

    Notes
    -----
    rate = run / thickness < least_rate.

    Examples
    --------
    >>> from materials import lamina
    >>> tape = lamina("T700S/2510")
    >>> ends = (0.6, 0.4, 0.402)
    >>> book = PlyBook(BookPly(lamina=tape, angle_deg=0, walls=["aft"], start=0, end=end) for end in ends)
    >>> [round(step.rate, 1) for step in steep(book)]
    [13.2]
    """
    return tuple(sorted((s for s in steps(book) if s.rate < least_rate), key=lambda step: step.rate))


class EndOfPly(NamedTuple):
    """Estimate for the layer of resin at the end of a ply, as `end_of_ply` returns it.

    Parameters
    ----------
    shear : ndarray, shape (...)
        Largest shear stress between the plies [Pa].
    energy_release : ndarray, shape (...)
        Energy released per area of a delamination that runs from the end, on each face [J/m2].
    decay : ndarray, shape (...)
        Length over which the shear falls to 1/e [m].
    """

    shear: Array
    energy_release: Array
    decay: Array


@checked
def end_of_ply(
    load: Annotated[ArrayLike, Limits("N/m")],
    dropped: Annotated[ArrayLike, Limits("N/m", above=0.0)],
    continuing: Annotated[ArrayLike, Limits("N/m", above=0.0)],
    *,
    layer_stiffness: Annotated[ArrayLike, Limits("Pa/m", above=0.0)],
    faces: Annotated[ArrayLike, Limits("-", above=0.0)] = 2,
) -> EndOfPly:
    """Shear at the end of a ply that passes its load to the plies beside it through a layer of resin.

    Parameters
    ----------
    load : array_like, shape (...)
        Running load of the dropped plies far from their end [N/m].
    dropped : array_like, shape (...)
        Axial stiffness of the dropped plies, modulus times thickness [N/m].
    continuing : array_like, shape (...)
        Axial stiffness of the plies that continue [N/m].
    layer_stiffness : array_like, shape (...)
        Shear modulus of the resin over the thickness of the layer [Pa/m].
    faces : array_like, shape (...)
        Faces through which the load leaves: 2 between other plies, 1 at the surface [-].

    Returns
    -------
    EndOfPly
        Shear stress, energy release rate and decay length.

    Notes
    -----
    Shear lag: the load in the ply falls as N_d (1 - exp(-b x)) toward its end, with g = G/t of the layer,

        b^2 = faces g (1/A_d + 1/A_c),   tau = b N_d / faces,   energy release = tau^2 / (2 g)

    The energy release does not depend on the layer: it is N_d^2 (1/A_d + 1/A_c) / (2 faces), what a cut ply frees.
    The estimate leaves out peel from the kink of the plies over the end, the resin pocket, plastic flow and
    hygrothermal stress. The wall is flat and the load runs along the span. Use it to rank drops and for a first
    check against a measured toughness; it is no proof of strength.

    References
    ----------
    O. Volkersen, "Die Nietkraftverteilung in zugbeanspruchten Nietverbindungen mit konstanten
    Laschenquerschnitten", Luftfahrtforschung 15 (1938) 41-47, for the shear lag (from memory; derived here).

    Examples
    --------
    >>> found = end_of_ply(50e3, 105e6, 105e6, layer_stiffness=6e12, faces=1)
    >>> round(float(found.shear / 1e6), 2), round(float(found.energy_release), 2)
    (16.9, 23.81)
    """
    N, Ad, Ac, g, sides = map(np.asarray, (load, dropped, continuing, layer_stiffness, faces))
    common_shape(
        "end_of_ply: load, dropped, continuing, layer_stiffness, faces",
        *(v.shape for v in (N, Ad, Ac, g, sides)),
    )
    b = np.sqrt(sides * g * (1 / Ad + 1 / Ac))
    shear = b * np.abs(N) / sides
    return EndOfPly(shear, shear**2 / (2 * g), np.broadcast_to(1 / b, shear.shape))


@checked
def at_steps(
    strut: Strut,
    loads: PointLoads,
    *,
    resin_shear_modulus: Annotated[float, Limits("Pa", above=0.0)],
    resin_thickness: Positive,
) -> tuple[tuple[Step, EndOfPly], ...]:
    """Estimate of the interlaminar stress at every step of a strut in every case.

    Parameters
    ----------
    strut : Strut
        The strut.
    loads : PointLoads
        The loads.
    resin_shear_modulus : float
        Of the layer between plies [Pa].
    resin_thickness : float
        Of that layer; a tenth of a ply is common practice, no source [m].

    Returns
    -------
    tuple of (Step, EndOfPly)
        For every step the largest of its groups of neighboring plies, shape (..., case) each.

    Notes
    -----
    The running load Nx of the wall is the largest at its ends and middle. The share of plies of axial stiffness A_i
    is Nx A_i / sum A, with A = 1 / inverse(A matrix)[0, 0]: the hoop direction is free.

    Examples
    --------
    >>> from materials import lamina
    >>> from beam.strut import MoldLine
    >>> line = MoldLine(root=[0, 0, 0.8], tip=[0, 0, 0.2], stations=[0, 0.6], width=[0.1, 0.07], height=[0.08, 0.06],
    ...                 corner_radius=[0.02, 0.015])
    >>> ply = {"lamina": lamina("T700S/2510"), "angle_deg": 0, "walls": line.wall_names, "start": 0}
    >>> strut = Strut(line, PlyBook(BookPly(**ply, end=end) for end in (0.6, 0.6, 0.4, 0.6, 0.6)))
    >>> push = PointLoads(at=[0.6], force=[[[-10e3, 0, 0]]])
    >>> step, estimate = at_steps(strut, push, resin_shear_modulus=1.3e9, resin_thickness=15e-6)[0]
    >>> step.wall, (estimate.shear / 1e6).round(2)
    ('inboard', array([12.88]))
    """
    out = []
    for step in steps(strut.ply_book):
        thick = float(before(step.station, strut.mold_line.length)) if step.ends else step.station
        wall = strut.mold_line.wall_names.index(step.wall)
        running = strut.wall_loads(strut.span.forces(loads, at=[thick])[..., 0, :], thick, [0.0, 0.5, 1.0])
        N = np.abs(running[..., wall, :, 0]).max(axis=-1)
        present = strut.ply_book.numbers(step.wall, thick).tolist()
        stack = {i: strut.ply_book.plies[i - 1] for i in present}
        kept = axial_stiffness([p for i, p in stack.items() if i not in step.plies])
        ending = groups(present, step.plies)
        total = kept + sum(axial_stiffness([stack[i] for i in group]) for group in ending)
        estimates = []
        for group in ending:
            A = axial_stiffness([stack[i] for i in group])
            faces = 2 - (group[0] == present[0]) - (group[-1] == present[-1])
            layer = resin_shear_modulus / resin_thickness
            estimates.append(end_of_ply(N * A / total, A, kept, layer_stiffness=layer, faces=faces))
        out.append((step, max(estimates, key=lambda one: one.energy_release.max(initial=0.0))))
    return tuple(out)


def groups(present: list[int], ending: tuple[int, ...]) -> list[list[int]]:
    """Plies that end, in groups that lie on each other."""
    runs = groupby(present, key=lambda number: number in ending)
    return [list(run) for ends, run in runs if ends]


def axial_stiffness(plies: list[BookPly]) -> float:
    """Modulus along the span times thickness of some plies, free to contract [N/m]."""
    if not plies:
        reject("at_steps: plies that continue past a step", "none", "one or more")
    laminate = Laminate(tuple(Ply(p.lamina, p.angle_deg) for p in plies))
    return float(1 / np.linalg.inv(laminate.A)[0, 0])
