"""Ends of plies along the span: how gently they come, and what they do to the layers between the plies."""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from beam.strut.axis import SNAP
from beam.strut.loads import PointLoads
from beam.strut.ply_book import BookPly, PlyBook
from beam.strut.strut import Strut
from laminate import Laminate, Ply
from materials.checks import Array, array, number, reject
from materials.kinds import instance

RATE = 20.0  # Lengths per thickness: common practice, no source.


@dataclass(frozen=True, kw_only=True)
class Step:
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
    """

    wall: str
    station: float
    ends: bool
    plies: tuple[int, ...]
    thickness: float
    run: float

    @property
    def rate(self) -> float:
        """Lengths of run per thickness dropped [-]."""
        return self.run / self.thickness


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
    """
    found = []
    for wall in instance("steps: book", book, PlyBook).walls:
        mine = [(i + 1, p) for i, p in enumerate(book.plies) if wall in p.walls]
        # To the nanometer, so that a station computed in two ways is one step.
        stations = np.unique(np.round([s for _, p in mine for s in (p.start, p.end)], 9))
        inside = stations[(stations > 0) & (stations < book.tip * (1 - SNAP))]
        bounds = np.concatenate([[0.0], inside, [book.tip]])
        for k, s in enumerate(inside.tolist()):
            for ends, edge in ((True, "end"), (False, "start")):
                here = [(i, p) for i, p in mine if round(getattr(p, edge), 9) == s]
                run = bounds[k + 2] - s if ends else s - bounds[k]
                if here:
                    found.append(
                        Step(
                            wall=wall,
                            station=s,
                            ends=ends,
                            plies=tuple(i for i, _ in here),
                            thickness=sum(p.lamina.thickness for _, p in here),
                            run=float(run),
                        )
                    )
    return tuple(found)


def steep(book: PlyBook, *, least_rate: float = RATE) -> tuple[Step, ...]:
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
        Those below it, the steepest first.
    """
    least = number("steep: least_rate [-]", least_rate, above=0.0)
    return tuple(sorted((s for s in steps(book) if s.rate < least), key=lambda step: step.rate))


class EndOfPly(NamedTuple):
    """Estimate for the layer of resin at the end of a ply.

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


def end_of_ply(
    load: ArrayLike,
    dropped: ArrayLike,
    continuing: ArrayLike,
    *,
    layer_stiffness: ArrayLike,
    faces: ArrayLike = 2,
) -> EndOfPly:
    """Shear at the end of a ply that hands its load to the plies beside it through a layer of resin.

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

    The energy release does not depend on the layer: it is N_d^2 (1/A_d + 1/A_c) / (2 faces), what a cut
    ply frees. The estimate knows no peel from the kink of the plies over the end, no resin pocket, no
    plastic flow and no hygrothermal stress; the wall is flat and the load runs along the span. It ranks
    drops and gives a first check against a measured toughness; it is no proof of strength.

    References
    ----------
    O. Volkersen, "Die Nietkraftverteilung in zugbeanspruchten Nietverbindungen mit konstanten
    Laschenquerschnitten", Luftfahrtforschung 15 (1938) 41-47, for the shear lag (from memory; derived here).
    """
    N = array("end_of_ply: load [N/m]", load)
    Ad, Ac = array("end_of_ply: dropped [N/m]", dropped), array("end_of_ply: continuing [N/m]", continuing)
    g = array("end_of_ply: layer_stiffness [Pa/m]", layer_stiffness)
    sides = array("end_of_ply: faces [-]", faces)
    positive = {"dropped": Ad, "continuing": Ac, "layer_stiffness": g, "faces": sides}
    for name, value in positive.items():
        if (value <= 0).any():
            reject(f"end_of_ply: {name}", f"{value.min():g}", "> 0")
    b = np.sqrt(sides * g * (1 / Ad + 1 / Ac))
    shear = b * np.abs(N) / sides
    return EndOfPly(shear, shear**2 / (2 * g), np.broadcast_to(1 / b, shear.shape))


def at_steps(
    strut: Strut, loads: PointLoads, *, resin_shear_modulus: float, resin_thickness: float
) -> tuple[tuple[Step, EndOfPly], ...]:
    """Estimate the interlaminar stress at every step of a strut in every case.

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
    The running load Nx of the wall is the largest at its ends and middle; a ply's share goes with its
    modulus times thickness, the hoop direction being free.
    """
    instance("at_steps: strut", strut, Strut)
    G = number("at_steps: resin_shear_modulus [Pa]", resin_shear_modulus, above=0.0)
    t = number("at_steps: resin_thickness [m]", resin_thickness, above=0.0)
    out = []
    for step in steps(strut.ply_book):
        thick = float(np.nextafter(step.station, 0.0)) if step.ends else step.station
        section = strut.section(thick)
        wall = section.contour.names.index(step.wall)
        running = section.wall_loads(strut.span.forces(loads, at=[thick])[..., 0, :], [0.0, 0.5, 1.0])
        N = np.abs(running[..., wall, :, 0]).max(axis=-1)
        present = strut.ply_book.numbers(step.wall, thick).tolist()
        stack = {i: strut.ply_book.plies[i - 1] for i in present}
        kept = _axial([p for i, p in stack.items() if i not in step.plies])
        groups = _groups(present, step.plies)
        total = kept + sum(_axial([stack[i] for i in group]) for group in groups)
        best: EndOfPly | None = None
        for group in groups:
            A = _axial([stack[i] for i in group])
            faces = 2 - (group[0] == present[0]) - (group[-1] == present[-1])
            one = end_of_ply(N * A / total, A, kept, layer_stiffness=G / t, faces=faces)
            if best is None or one.energy_release.max(initial=0.0) > best.energy_release.max(initial=0.0):
                best = one
        assert best is not None
        out.append((step, best))
    return tuple(out)


def _groups(present: list[int], dropped: tuple[int, ...]) -> list[list[int]]:
    """Dropped plies that lie on each other, in groups."""
    groups: list[list[int]] = []
    before = None
    for place, i in enumerate(present):
        if i in dropped:
            if before == place - 1 and groups:
                groups[-1].append(i)
            else:
                groups.append([i])
            before = place
    return groups


def _axial(plies: list[BookPly]) -> float:
    """Modulus along the span times thickness of some plies, free to contract [N/m]."""
    if not plies:
        reject("at_steps: plies that continue past a step", "none", "one or more")
    laminate = Laminate(tuple(Ply(p.lamina, p.angle_deg) for p in plies))
    return float(1 / np.linalg.inv(laminate.A)[0, 0])
