"""Margins of a strut from its bricks: rows of the same table as `beam.margins`, by the same requirement.

Plies are judged by the strain and stress of the bricks, walls by the running loads of the bricks with the formulas of
buckling and of opening corners that the beam's walls have, limits on the motion of the tip by that of the bricks. The
column stays with the beam.
"""

from collections.abc import Iterable
from dataclasses import replace
from functools import partial
from typing import Annotated, Any

import numpy as np
from numpy.typing import ArrayLike

from beam.strength.global_modes import GlobalRatios, global_ratios, lowest_modes
from beam.strength.margins import WALL_ASSUMPTIONS, _table, check_stations
from beam.strength.requirement import COLUMN, Requirement, Service, case_factors
from beam.strength.section_forces import (
    PLACES,
    in_service,
    refuse_without_cases,
    running_loads,
    section_forces,
    stations_on,
)
from beam.strength.station_ratios import Faces, PlyStates, WallGroup, WallRatios, ratios
from beam.strut import PointLoads, Strut
from beam.strut.bricks import Bricks, Density, solve
from beam.strut.bricks.brick_elements import material
from beam.strut.bricks.brick_mesh import USUAL
from laminate import Laminate
from materials.checks import Array, Limits, Table, checked, reject

IN_PLANE = [0, 1, 5]


class _BrickStates(PlyStates):
    """Strains and stresses of the plies of a group as the bricks have them, in the plane of the plies."""

    def __init__(self, unit: Bricks, wrench: Array, assembly: float | None, group: WallGroup) -> None:
        """`unit`: bricks under unit loads; `wrench` (unit load, case): the loads; `assembly`: a temperature [K]."""
        super().__init__(group, thick=False)
        self._wrench, self._assembly = wrench, assembly
        names = group.strut.mold_line.wall_names
        each = [
            unit.ply_states(s, names[wall], PLACES)
            for s, (_, wall) in zip(group.station.tolist(), group.pairs, strict=True)
        ]

        def of(name: str) -> Array:
            values = np.stack([getattr(one, name) for one in each])
            if name.endswith("stress"):
                values = free_of_traction(values, group.laminate)
            return np.moveaxis(values[..., IN_PLANE], (3, 4, 5, 0, 2, 1), range(6))

        self._load = {True: of("stress"), False: of("strain")}
        self._cure = {True: of("cure_stress"), False: of("cure_strain")}
        self._restraint = {True: of("restraint_stress"), False: of("restraint_strain")}

    def grows(self, faces: Faces, *, stress: bool, state: int) -> Array:
        """What grows with load, (ply, surface, 3, pair, place, case), at limit load."""
        del state
        return np.asarray(self._load[stress][faces.ply[:, None], faces.surface] @ self._wrench)

    def fixed(self, faces: Faces, *, stress: bool, state: int) -> Array:
        """What does not grow with load, (ply, surface, 3, pair, place)."""
        service: Service = self.group.states[state]
        laminae = [ply.lamina for ply in self.group.laminate.plies]
        change = service.temperature_change(*laminae), service.free_moisture
        which = faces.ply[:, None], faces.surface
        out = np.asarray(self._cure[stress][which] @ change)
        if self._assembly is None:
            return out
        since = service.temperature - self._assembly, service.moisture
        return out + np.asarray(self._restraint[stress][which] @ since)


def free_of_traction(stress: Array, laminate: Laminate) -> Array:
    """Stress (..., ply, surface, 6) in ply axes whose part through the thickness is a parabola without face pressure.

    One brick through the wall has the mean of that stress right but not its course: in a corner it leaves up to the
    mean on the faces, and in the plies there a tenth of the stress across the fibers. At equal strain in the plane of a
    ply C_i3 / C_33 of the change goes into its other stresses.
    """
    kinds = {one: material(one)[0].stiffness for one in {ply.lamina: 0 for ply in laminate.plies}}
    C = np.stack([kinds[ply.lamina] for ply in laminate.plies])
    share = laminate.ply_thickness / laminate.thickness
    mean = np.einsum("p,...ps->...", 0.5 * share, stress[..., 2])[..., None, None]
    height = 2 * laminate.surfaces / laminate.thickness
    change = 1.5 * mean * (1 - height**2) - stress[..., 2]
    return np.asarray(stress + change[..., None] * (C[:, :, 2] / C[:, 2, 2, None])[:, None])


@checked
def brick_margins(
    strut: Strut,
    loads: PointLoads,
    requirement: Requirement,
    density: Density = USUAL,
    *,
    stations: Annotated[ArrayLike | None, Limits("m", shape=(-1,))] = None,
    cases: Iterable[Any] | None = None,
    every_ply: bool = False,
    whole_strut: bool = True,
) -> Table:
    """Margins over case, station, wall, ply and mode from a three-dimensional model of the strut.

    Parameters
    ----------
    strut : Strut
        The strut, with bands, ribs and ends.
    loads : PointLoads
        Loads, each case with its level; limit loads where it has none.
    requirement : Requirement
        Services, factors and checks.
    density : Density
        How fine the bricks are.
    stations : array_like, shape (station,), optional
        Where to find margins; those of `check_stations` if not given [m].
    cases : sequence of str, length case, optional
        Labels of the load cases; their numbers if not given.
    every_ply : bool
        Keep every ply; otherwise only the lowest ply of each (case, station, wall, mode).
    whole_strut : bool
        Add the modes of the whole strut, as `beam.margins`.

    Returns
    -------
    DataFrame
        Index and columns as `beam.margins`. `assumption` begins with "bricks"; that of the column says that it is the
        beam's.

    Raises
    ------
    ValueError
        As `beam.margins` and `beam.strut.bricks.solve`.

    Notes
    -----
    Plies by in-plane stress and strain of the bricks, stress through the thickness as a parabola of its mean, residual
    parts by the free strut in bricks and, on redundant supports, by what these hold back since assembly. Buckling and
    corner opening: the beam's formulas under the wall loads of the bricks; what ovalization, cure and heat on
    redundant supports make stays the beam's. Deflection and twist: the mean motion of the tip. One factorization for
    each stiffness in service.

    Examples
    --------
    >>> from beam import BookPly, MoldLine, PlyBook
    >>> from beam.strength import screening
    >>> from materials import lamina
    >>> line = MoldLine(root=[0, 0, 0.2], tip=[0, 0, 0], stations=[0, 0.2], width=[0.1, 0.1], height=[0.08, 0.08],
    ...                 corner_radius=[0.02, 0.02])
    >>> tape = BookPly(lamina=lamina("AS4/3501-6"), angle_deg=0.0, walls=line.wall_names, start=0.0, end=0.2)
    >>> required = Requirement(services=[Service(name="room", temperature=293)], special_factor=1.2,
    ...                        special_factor_basis="invented", route="factor", mixed="an example", checks=screening(),
    ...                        corner_opening=False)
    >>> pull = PointLoads(at=[0.2], force=[[[2e5, 0, 0]]])
    >>> coarse = Density(per_corner=4, per_face=2, size=0.05, fine=0.02)
    >>> table = brick_margins(Strut(line, PlyBook([tape] * 40)), pull, required, coarse, stations=[0.1])
    >>> bool(table["margin"].min() > 0)
    True
    """
    refuse_without_cases("brick_margins", loads)
    where = check_stations(strut, loads) if stations is None else np.asarray(stations)
    where = np.unique(stations_on("brick_margins", strut, where))
    count = len(loads.force)
    labels = np.arange(count) if cases is None else np.asarray(tuple(cases))
    if labels.shape != (count,):
        reject("brick_margins: cases", f"shape {labels.shape}", f"({count},), one label for each load case")
    factors = case_factors(requirement, loads)
    rows: list[list[WallRatios]] = [[] for _ in where]
    every = np.eye(6 * len(loads.at)).reshape(-1, len(loads.at), 6)
    units = PointLoads(at=loads.at, force=every[..., :3], moment=every[..., 3:])
    wrench = loads.wrench.reshape(count, -1).T
    whole: GlobalRatios = {}
    for indices, states, one in in_service(strut, requirement):
        found = solve(one, loads, density)
        grows, restraint = section_forces(one, loads, requirement, where, states=states)
        assembly = requirement.assembly_temperature if found.per_gap.size else None
        each = ratios(
            one,
            where,
            grows,
            requirement,
            states,
            restraint=restraint,
            added=found.wall_loads(where, PLACES) - running_loads(one, where, grows)[0],
            every_ply=every_ply,
            factors=factors,
            solid=partial(_BrickStates, replace(found, loads=units), wrench, assembly),
        )
        for own, here in zip(rows, each, strict=True):
            own += [ratio._replace(service=indices[ratio.service]) for ratio in here]
        if whole_strut:
            tip = found.motion([strut.mold_line.length])[:, 0]
            lowest_modes(whole, global_ratios(one, loads, requirement, states=states, tip=tip))
    notes = strut.introduction_notes(loads)
    table = _table(
        zip(where.tolist(), rows, strict=True),
        strut,
        requirement,
        labels,
        whole,
        factors,
        notes,
        every_ply=every_ply,
    )
    laminae = dict.fromkeys(ply.lamina for ply in strut.ply_book.plies)
    bare = ", ".join(f"'{one.name}'" for one in laminae if None in (one.G13, one.G23))
    stand_in = f"bricks with G13 or G23 of {bare} from isotropy across the fiber" if bare else "bricks"
    column = WALL_ASSUMPTIONS[COLUMN]
    said = [
        f"{stand_in}; {'column as the beam has it: ' * text.startswith(column)}{text}"
        for text in table["assumption"].cat.categories
    ]
    table["assumption"] = table["assumption"].cat.rename_categories(said)
    return table
