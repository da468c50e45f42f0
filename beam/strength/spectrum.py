"""Landing spectrum: how often landing, taxi, braking and turning load the gear, counted into cycles of a response."""

from dataclasses import replace
from typing import Annotated, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from beam.strength.check import screening
from beam.strength.damage import rainflow
from beam.strength.requirement import Requirement, Service
from beam.strength.section_forces import (
    in_service,
    refuse_without_cases,
    section_forces,
    stations_on,
    wall_loads,
    wall_response,
)
from beam.strut import PointLoads, Strut
from materials import Source
from materials.checks import Array, Frozen, Items, Limits, Numbers, checked, default, reject
from materials.source import SOURCED

BLOCK = 1000.0
"""Landings of a block."""
NEAR = 9
"""Digits to which cycles of a block are alike."""


class RepeatedLoad(Frozen):
    """One kind of load that comes back, with how often each of its levels is passed.

    Parameters
    ----------
    name : str
        As in "sink speed".
    unit : str
        Unit of the levels, "-" for a share.
    levels : array_like, shape (level + 1,)
        Levels, rising [any].
    exceedances : array_like, shape (level + 1,)
        How often each level is passed in a thousand landings, falling to 0 at the highest [-].
    steps : sequence of str
        Loads of one occurrence, in the order in which they come.
    source : Source
        Where the numbers come from.

    Raises
    ------
    ValueError
        If the levels do not rise, or the exceedances do not fall to 0.

    Notes
    -----
    What lies between two levels counts at the upper one, on the safe side.

    Examples
    --------
    >>> braking = RepeatedLoad(name="braking", unit="-", levels=[0, 0.5, 1], exceedances=[7000, 2000, 0],
    ...                        steps=["brake"], source=Source("own choice", note="invented"))
    >>> braking.counts.tolist()
    [5000.0, 2000.0]
    """

    name: str
    unit: str
    levels: Annotated[Numbers, Limits("any", shape=(-1,))]
    exceedances: Annotated[Numbers, Limits("-", shape=(-1,), at_least=0.0)]
    steps: Items[str]
    source: Annotated[Source, SOURCED]

    def __post_init__(self) -> None:
        super().__post_init__()
        what = f"RepeatedLoad '{self.name}'"
        if self.levels.size < 2 or (np.diff(self.levels) <= 0.0).any():
            reject(f"{what}: levels [any]", self.levels.tolist(), "two at least, rising")
        falls = self.exceedances.size == self.levels.size and (np.diff(self.exceedances) <= 0.0).all()
        if not falls or self.exceedances[-1] != 0.0:
            limit, cause = "one for each level, falling to 0", "the highest level is the one never passed"
            reject(f"{what}: exceedances [-]", self.exceedances.tolist(), limit, cause)

    @property
    def counts(self) -> Array:
        """Occurrences of each level but the lowest in a thousand landings (level,) [-]."""
        return -np.diff(self.exceedances)


SINK_SPEED = RepeatedLoad(
    name="sink speed",
    unit="m/s",
    levels=np.round(0.3048 * np.arange(0.5, 11.0), 4),
    exceedances=[1000, 820, 530, 270, 115, 37, 11, 3, 1.5, 0.5, 0],
    steps=("spin-up", "spring-back", "maximum vertical"),
    source=Source("MIL-A-8866", "sinking speeds of land planes but trainers", "military airplanes", "memory"),
)
TAXI = RepeatedLoad(
    name="taxi",
    unit="g",
    levels=np.arange(9) / 10.0,
    exceedances=[494e3, 194e3, 29e3, 2100, 94, 4, 0.155, 0.005, 0],
    steps=("up", "down"),
    source=Source("MIL-A-8866", "vertical load factor of taxi", "military airplanes, paved runway", "memory"),
)
BRAKING = RepeatedLoad(
    name="braking",
    unit="-",
    levels=(0.0, 0.5, 1.0),
    exceedances=(7000.0, 2000.0, 0.0),
    steps=("brake",),
    source=Source("MIL-A-8866", "two hard, five medium brakings a landing", "military airplanes", "memory"),
)
TURNING = RepeatedLoad(
    name="turning",
    unit="g",
    levels=(0.0, 0.2),
    exceedances=(10e3, 0.0),
    steps=("left", "right"),
    source=Source("own choice of the library", note="ten turns a landing; replace by your own use"),
)


class SpectrumRow(NamedTuple):
    """One load case that a spectrum asks for: kind of load, its level with unit, and step. Standing: level 0."""

    name: str
    level: float
    unit: str
    step: str


class LandingSpectrum(Frozen):
    """Repeated loads of a thousand landings, and the cycles that they make in a response of the strut or of a joint.

    Parameters
    ----------
    landing : RepeatedLoad
        The touchdown, once a landing: its exceedances start at 1000.
    ground : sequence of RepeatedLoad
        What happens on the ground, each occurrence between two times standing.

    Raises
    ------
    ValueError
        If the touchdown does not come once a landing, or two kinds have one name.

    Notes
    -----
    A landing goes from no load through the touchdown, to standing, through each load on the ground and back to standing
    between, to no load. The hardest touchdown meets the highest level of each load on the ground, the next the next:
    the rarer ones add up, on the safe side. What comes more than once in a landing closes a cycle of its own each
    further time. Each landing is counted by `rainflow` as if it came back for ever, and one cycle from the lowest to
    the highest value of the block is added, for a lowest and a highest of different landings.

    The defaults are those of military land planes from memory: replace them by the use of the airplane.

    References
    ----------
    MIL-A-8866, repeated loads (from memory). ASTM E1049-85, section 5.4.5 (from memory).

    Examples
    --------
    >>> spectrum = LandingSpectrum()
    >>> len(spectrum.rows), spectrum.rows[0].step, spectrum.rows[30].level
    (51, 'standing', 3.2004)
    >>> strain = [1e-4 * row.level for row in spectrum.rows]  # of a case each, from the strut or a joint
    >>> cycles = spectrum.cycles(strain)
    >>> cycles[cycles[:, 0].argmax()].round(6).tolist()
    [0.00032, 0.00016, 1.5]
    """

    landing: RepeatedLoad = SINK_SPEED
    ground: Annotated[Items[RepeatedLoad], Limits(items=0)] = default((TAXI, BRAKING, TURNING))

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.landing.exceedances[0] != BLOCK:
            limit = "1000, one touchdown each of a thousand landings"
            got = f"{self.landing.exceedances[0]:g}"
            reject(f"LandingSpectrum: landing '{self.landing.name}': first exceedance [-]", got, limit)
        names = [one.name for one in (self.landing, *self.ground)]
        if len(set(names)) != len(names):
            reject("LandingSpectrum: names", names, "distinct")

    @property
    def rows(self) -> tuple[SpectrumRow, ...]:
        """Load cases that a response is given for, in their order: standing, then each kind, level and step."""
        return (
            SpectrumRow("standing", 0.0, "-", "standing"),
            *(
                SpectrumRow(one.name, float(level), one.unit, step)
                for one in (self.landing, *self.ground)
                for level in one.levels[1:]
                for step in one.steps
            ),
        )

    @checked
    def cycles(self, response: Annotated[ArrayLike, Limits("any", shape=(-1,))]) -> Array:
        """Count the cycles of a response in a thousand landings.

        Parameters
        ----------
        response : array_like, shape (row,)
            Strain, stress or force in each case of `rows`, without residual stress; 0 in the air [any].

        Returns
        -------
        ndarray, shape (cycle, 3)
            Range, mean [any] and count in a thousand landings [-], the largest range first.

        Raises
        ------
        ValueError
            If there is not one value for each row.
        """
        values = np.asarray(response)
        if values.size != len(self.rows):
            reject("LandingSpectrum.cycles: response", f"{values.size} values", f"{len(self.rows)}, as rows")
        standing, start = float(values[0]), 1
        every: list[Array] = []
        for one in (self.landing, *self.ground):
            stop = start + one.counts.size * len(one.steps)
            every.append(values[start:stop].reshape(one.counts.size, len(one.steps)))
            start = stop
        lowest, highest = min(0.0, values.min()), max(0.0, values.max())
        found = [(highest - lowest, (highest + lowest) / 2.0, 1.0)]
        for first, last in self._groups():
            path, weight = [0.0], last - first
            hard = np.cumsum(self.landing.counts[::-1])
            path += every[0][::-1][np.searchsorted(hard, first, side="right")].tolist()
            path.append(standing)
            for one, steps in zip(self.ground, every[1:], strict=True):
                for count, loads in zip(one.counts, steps, strict=True):
                    if count < BLOCK and first >= count:
                        continue
                    path += [*loads.tolist(), standing]
                    if count > BLOCK:
                        again = _closed([standing, *loads.tolist()])
                        found += [(r, m, n * weight * (count / BLOCK - 1.0)) for r, m, n in again]
            found += [(r, m, n * weight) for r, m, n in _closed(path)]
        table = np.array(found)
        table = table[table[:, 0] > 0.0]
        scale = max(highest - lowest, 1e-300)
        alike, number = np.unique(np.round(table[:, :2] / scale, NEAR), axis=0, return_inverse=True)
        count = np.bincount(number.ravel(), weights=table[:, 2], minlength=len(alike))
        return np.column_stack([alike * scale, count])[::-1]

    def _groups(self) -> list[tuple[float, float]]:
        """First and last rank of the landings that are alike, the hardest first [-]."""
        ends = [
            np.cumsum(self.landing.counts[::-1]),
            *(one.counts[one.counts < BLOCK] for one in self.ground),
        ]
        edges = np.unique(np.concatenate([[0.0, BLOCK], *ends]))
        return list(zip(edges[:-1].tolist(), edges[1:].tolist(), strict=True))


def _closed(path: list[float]) -> list[tuple[float, float, float]]:
    """Range, mean and count of the cycles of a path that comes back for ever, each whole."""
    top = int(np.argmax(path))
    return [tuple(one) for one in rainflow([*path[top:], *path[:top], path[top]]).tolist()]


@checked
def repeated_strain(
    strut: Strut,
    loads: PointLoads,
    requirement: Requirement,
    service: Service,
    *,
    stations: Annotated[ArrayLike, Limits("m", shape=(-1,))],
) -> Array:
    """Strain along the fibers from load alone in every case, where it changes most over the cases in each wall.

    Parameters
    ----------
    strut : Strut
        The strut.
    loads : PointLoads
        One case for each row of a `LandingSpectrum`, as they come in use, without any factor.
    requirement : Requirement
        For what it says of supports and assembly.
    service : Service
        State whose stiffness the strut has.
    stations : array_like, shape (station,)
        Where [m].

    Returns
    -------
    ndarray, shape (case, station, wall)
        Strain at one point of each wall at each station: the place, ply, surface and yarn direction where largest less
        smallest strain over the cases is largest [-].

    Raises
    ------
    ValueError
        As `beam.margins`.

    Notes
    -----
    The load part of e1, of a fabric also of e2. Cure and moisture strain do not cycle with the load.

    Examples
    --------
    >>> from beam import BookPly, MoldLine, PlyBook
    >>> from materials import lamina
    >>> line = MoldLine(root=[0, 0, 0.4], tip=[0, 0, 0], stations=[0, 0.4], width=[0.1, 0.08], height=[0.08, 0.06],
    ...                 corner_radius=[0.02, 0.015])
    >>> tape = BookPly(lamina=lamina("T700S/2510"), angle_deg=0.0, walls=line.wall_names, start=0.0, end=0.4)
    >>> room = Service(name="room", temperature=293.0)
    >>> required = Requirement(services=[room], special_factor=1.2, special_factor_basis="invented", route="factor")
    >>> pull = PointLoads(at=[0.4], force=[[[1e5, 0, 0]], [[2e5, 0, 0]]])
    >>> repeated_strain(Strut(line, PlyBook([tape] * 8)), pull, required, room, stations=[0.3])[:, 0, 0].round(4)
    array([0.0025, 0.0049])
    """
    refuse_without_cases("repeated_strain", loads)
    where = stations_on("repeated_strain", strut, np.asarray(stations))
    alone = replace(requirement, services=(service,), credit_relief=True, checks=screening())
    ((_, states, strut),) = in_service(strut, alone)
    grows, restraint = section_forces(strut, loads, alone, where, states=states)
    names = strut.mold_line.wall_names
    out = np.empty((len(loads.force), where.size, len(names)))
    for i, s in enumerate(where.tolist()):
        found = wall_loads(strut, s, grows[:, :, i], (service,), restraint[:, i])
        for wall, name in enumerate(names):
            laminate = strut.ply_book.laminate(name, s)
            strain = wall_response(
                laminate, service, found.running[0][wall], found.fixed[0][wall]
            ).load_strain
            fabric = np.array([ply.lamina.kind == "fabric" for ply in laminate.plies])[:, None]
            along = np.stack([strain[..., 0], np.where(fabric, strain[..., 1], 0.0)], axis=-1)
            flat = np.moveaxis(along, 1, 0).reshape(len(out), -1)
            out[:, i, wall] = flat[:, np.ptp(flat, axis=0).argmax()]
    return out
