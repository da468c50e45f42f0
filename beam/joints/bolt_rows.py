"""Joints of several rows of bolts: how the rows share the load, and bearing and bypass at every hole.

::

                 row 1     row 2    row 3
        P <==== plate A =====================|      force > 0 pulls plate A out of the joint; A is the middle
                   o         o        o             plate in double shear. The load past row i in A is what the
             |==================== plate B ====> P  rows behind it take, in B what the rows before it have given.
                   |<-pitch->|
"""

from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike

from beam.joints.bolted_plates import (
    Found,
    InstalledBolt,
    LaminatePlate,
    MetalPlate,
    Work,
    bolt_checks,
    installation_checks,
    plate_checks,
    refuse_misfit,
    to_checks,
)
from beam.joints.bushing import IN_SERVICE
from beam.joints.fasteners import Law, fastener_flexibility
from beam.joints.joint_rows import (
    JointCheck,
    JointFactors,
    JointLoads,
    Judged,
    Line,
    given,
    judged_rows,
    line,
)
from beam.strength.check import Level
from beam.strength.requirement import Requirement, Service, case_factors
from materials.checks import (
    Array,
    Frozen,
    Limits,
    Numbers,
    OptionalNumbers,
    Table,
    checked,
    default,
    reject,
)

PITCH = Limits("m", above=0.0, at_most=1.0, cause="given in mm?")
SLIP = Limits("m/N", at_least=0.0, at_most=1e-4, cause="given in mm/N?")
CLEARANCE = Limits("m", at_least=0.0, at_most=2e-3, cause="given in mm?")
STRETCH = Limits("N", above=0.0, cause="E x thickness x width of the strip")
SWEEPS = 200
"""Most changes of which bolts touch before the search gives up."""
ALL_AT_ONCE = 6
"""Sweeps in which every bolt may change; later ones change the first wrong bolt only, which cannot run in circles."""


@checked
def row_loads(
    load: Annotated[ArrayLike, Limits("N", shape=(-1,))],
    *,
    flexibility: Annotated[ArrayLike, Limits("m/N", shape=(-1,), at_least=0.0, at_most=1e-4, cause="mm/N?")],
    pitch: Annotated[ArrayLike, Limits("m", shape=(-1,), above=0.0, at_most=1.0, cause="given in mm?")],
    stiffness: Annotated[ArrayLike, Limits("N", shape=(2, -1), above=0.0)],
    free_strain: Annotated[ArrayLike, Limits("-", last=(2,), at_least=-0.05, at_most=0.05)] = (0.0, 0.0),
    clearance: Annotated[ArrayLike, Limits("m", at_least=0.0, at_most=2e-3, cause="given in mm?")] = 0.0,
) -> Array:
    """Load of each row of bolts between two plates.

    Parameters
    ----------
    load : array_like, shape (case,)
        On the strip; positive pulls plate A [N].
    flexibility : array_like, shape (row,)
        Slip over load of each bolt; 0 is rigid [m/N].
    pitch : array_like, shape (row - 1,)
        Between rows [m].
    stiffness : array_like, shape (2, row - 1)
        E A of the strip of plates A and B between rows [N].
    free_strain : array_like, shape (2,) or (case, 2)
        Thermal strain of plates A and B since assembly [-].
    clearance : array_like, shape () or (row,)
        Slip before each bolt touches, to either side [m].

    Returns
    -------
    ndarray, shape (case, row)
        Load that each row passes from A to B [N].

    Raises
    ------
    ValueError
        If the shapes do not match, or the search for the bolts that touch does not end.

    Notes
    -----
    With S_i = F_1 + ... + F_i and slip u_i = C_i F_i + clearance towards the load of a bolt that touches:
    u_i - u_(i+1) = p_i [(P - S_i) / EA_A + strain_A - S_i / EA_B - strain_B], S_n = P.

    References
    ----------
    M. B. Tate, S. J. Rosenfeld, NACA TN 1051 (1946), linear springs (derived).

    Examples
    --------
    >>> row_loads([10e3], flexibility=[2e-8, 3e-8], pitch=[30e-3], stiffness=[[6e6], [9e6]]).round(1).tolist()
    [[6000.0, 4000.0]]
    """
    P, C, p, EA = np.asarray(load), np.asarray(flexibility), np.asarray(pitch), np.asarray(stiffness)
    rows = len(C)
    if len(p) != rows - 1 or EA.shape[1] != rows - 1:
        got = f"{rows} rows, {len(p)} pitches, {EA.shape[1]} stiffnesses"
        reject("row_loads: pitch, stiffness", got, "one fewer than rows")
    strain = np.asarray(free_strain)
    g = np.asarray(clearance, dtype=float)
    if strain.shape not in ((2,), (len(P), 2)) or g.shape not in ((), (rows,)):
        got = f"shapes {strain.shape} and {g.shape}"
        reject("row_loads: free_strain, clearance", got, f"(2,) or ({len(P)}, 2), and () or ({rows},)")
    strain, g = np.broadcast_to(strain, (len(P), 2)), np.broadcast_to(g, rows)
    return _shared(P, C, p, EA, strain, g)


def _shared(P: Array, C: Array, p: Array, EA: Array, strain: Array, g: Array) -> Array:
    """Row loads (case, row) for loads (case,), flexibilities (row,), strains (case, 2), clearances (row,)."""
    rows = len(C)
    give = (p / EA).sum(axis=0)
    behind = np.tril(np.ones((rows, rows - 1)), -1)  # which gaps between rows lie before row i
    through = np.triu(np.ones((rows, rows - 1)))  # which gaps the load of row j passes: from j on
    spread = np.einsum("im,m,jm->ij", behind, give, through)
    stretch = P[:, None] * p / EA[0] + (strain[:, :1] - strain[:, 1:]) * p
    moved = stretch @ behind.T  # slip lost before row i, (case, row)
    scale = (C.mean() + give.sum()) or 1.0

    def solve(side: Array, g: Array) -> tuple[Array, Array]:
        """Loads and slips (case, row) when the bolts of `side` +-1 touch after the slip g."""
        touch = side != 0.0
        own = np.where(touch[..., None], np.diag(C) - spread, np.eye(rows) * scale) / scale
        matrix = np.ones((*touch.shape[:-1], rows + 1, rows + 1))
        matrix[..., :rows, :rows] = own
        matrix[..., :rows, rows] = np.where(touch, -1.0, 0.0)
        matrix[..., rows, rows] = 0.0
        right = np.where(touch, -moved - side * g, 0.0) / scale
        solved = np.linalg.solve(matrix, np.concatenate([right, P[:, None]], axis=1)[..., None])[..., 0]
        F = np.where(touch, solved[:, :rows], 0.0)
        return F, solved[:, rows:] * scale + F @ spread.T - moved

    pulled = np.where(P < 0.0, -1.0, 1.0)[:, None]
    if not g.any():
        return solve(np.ones((1, rows)), g)[0]
    loose = g > 0.0
    F, _ = solve(np.ones((1, rows)), np.zeros(rows))
    side = np.where(loose, np.sign(F), 1.0)
    noise = 1e-12 * (abs(P)[:, None] + abs(F).max(axis=1, keepdims=True)) + 1e-9
    for sweep in range(SWEEPS):
        # no bolt touches: the first that would as the plates slip in the sense of the load
        none = ~(side != 0.0).any(axis=1)
        first = np.argmin(g + pulled * moved, axis=1)
        side[none, first[none]] = pulled[none, 0]
        F, slip = solve(side, g)
        leaves = loose & (side != 0.0) & (F * side < -noise)
        comes = (side == 0.0) & (abs(slip) > g * (1 + 1e-9) + 1e-15)
        wrong = leaves | comes
        if sweep >= ALL_AT_ONCE:
            wrong &= np.cumsum(wrong, axis=1) == 1
        if not wrong.any():
            return F
        side = np.where(wrong, np.where(leaves, 0.0, np.sign(slip)), side)
    return reject("row_loads: clearance [m]", g.tolist(), "such that the search ends", "send this case")


class RowJoint(Frozen, eq=True):
    """Two plates joined by rows of bolts, flat or around a round tube.

    Parameters
    ----------
    name : str
        Of the joint, in the margin table.
    plates : tuple of two LaminatePlate or MetalPlate
        A, then B; in double shear A is the middle plate and B one of the two outer plates.
    bolt : InstalledBolt
        One for all rows.
    pitch : array_like, shape (row - 1,)
        Between rows along the joint; empty for one row [m].
    columns : int
        Bolts in each row [-].
    radius : float, optional
        Of the faying face of a tube: the columns stand evenly around it, the first on the y axis [m].
    law : {"huth", "swift", "grumman", "tate"}
        Of the flexibility, see `fastener_flexibility`.
    flexibility : array_like, shape (row,), optional
        Flexibilities by test or another law, in place of the law's [m/N].
    flexibility_basis : str, optional
        Where they come from.
    clearance : array_like, shape () or (row,)
        Slip before each bolt touches, to either side [m].
    assembly_temperature : float
        At which the bolts were set [K].
    service : str, optional
        Name of the only service that the strengths of the plates hold for; without it they stand for every service.
    factors : JointFactors
        Factors of Part 23 on the loads of the joint.
    station : float
        Of the joint on the strut [m].

    Raises
    ------
    ValueError
        If a bolt does not fit its holes or is too thin, a number of rows does not match, flexibility comes without
        basis, a ring has fewer than three columns, or the strips of its plates are wider than their share of it.

    Notes
    -----
    Each column is a strip. A ring of n columns at radius R takes N / n + 2 (My sin a - Mz cos a) / (n R) along and
    T / (n R) + 2 (Vz cos a - Vy sin a) / n around at the angle a of a column, My, Mz those at the first row; the tube
    walls keep the section plane and round. Loads across are shared with G A in place of E A. Load sharing is solved at
    limit and at ultimate load, since clearance and heat do not grow with load: a reserve is exact at 1. The loads are
    elastic up to ultimate, as laminates hardly even them out.

    References
    ----------
    M. B. Tate, S. J. Rosenfeld, NACA TN 1051 (1946); L. J. Hart-Smith, NASA CR-144899 (1976), from memory.

    Examples
    --------
    >>> from beam.joints import JointLoads, MetalPlate, fastener
    >>> from materials import metal
    >>> plate = MetalPlate(name="strap", metal=metal("2024-T3 sheet"), thickness=3e-3, width=25e-3, edge=12.5e-3,
    ...                    hole=6.35e-3)
    >>> joint = RowJoint(name="splice", plates=(plate, plate), bolt=InstalledBolt(fastener=fastener("AN4")),
    ...                  pitch=[25e-3, 25e-3], columns=1)
    >>> joint.loads_of_rows([[10e3, 0, 0]], [[0, 0, 0]]).squeeze()[:, 0].round(0).tolist()
    [3557.0, 2886.0, 3557.0]
    """

    name: str
    plates: tuple[MetalPlate | LaminatePlate, MetalPlate | LaminatePlate]
    bolt: InstalledBolt
    pitch: Annotated[Numbers, PITCH]
    columns: Annotated[int, Limits("-", at_least=1, at_most=500)]
    radius: Annotated[float | None, Limits("m", above=0.0, at_most=1.0, cause="given in mm?")] = None
    law: Law = "huth"
    flexibility: Annotated[OptionalNumbers, SLIP] = default(None)
    flexibility_basis: str | None = None
    clearance: Annotated[Numbers, CLEARANCE] = default(0.0)
    assembly_temperature: Annotated[float, IN_SERVICE] = 294.15
    service: str | None = None
    factors: JointFactors = default(JointFactors())
    station: Annotated[float, Limits("m", at_least=0.0)] = 0.0

    def __post_init__(self) -> None:
        super().__post_init__()
        owner, rows = f"RowJoint '{self.name}'", self.rows
        if self.pitch.ndim != 1:
            reject(f"{owner}: pitch [m]", f"shape {self.pitch.shape}", "(row - 1,)", "[] for one row")
        if (self.pitch < 2 * self.bolt.fastener.diameter * (1 - 1e-9)).any():
            limit = f">= 2 diameters = {2 * self.bolt.fastener.diameter:g}"
            reject(f"{owner}: pitch [m]", f"{self.pitch.min():g}", limit)
        if (self.flexibility is None) != (self.flexibility_basis is None):
            reject(f"{owner}: flexibility, flexibility_basis", "one of both", "given together")
        if self.flexibility is not None and self.flexibility.shape != (rows,):
            reject(f"{owner}: flexibility", f"shape {self.flexibility.shape}", f"({rows},)")
        if self.clearance.shape not in ((), (rows,)):
            reject(f"{owner}: clearance", f"shape {self.clearance.shape}", f"() or ({rows},)")
        for plate in self.plates:
            refuse_misfit(self.bolt, owner, plate)
            if len(plate.holes) not in (1, rows):
                reject(f"{owner}: holes of '{plate.name}'", f"{len(plate.holes)}", f"1 or {rows}, the rows")
            if plate.stiffness is not None and plate.stiffness.shape != (rows - 1,):
                got = f"shape {plate.stiffness.shape}"
                reject(f"{owner}: stiffness of '{plate.name}'", got, f"({rows - 1},)")
        self._refuse_ring(owner)
        self.slips  # noqa: B018  # refuses a law that does not fit the plates

    def _refuse_ring(self, owner: str) -> None:
        """Refuse a ring of too few bolts or of strips wider than their share."""
        if self.radius is None:
            return
        if self.columns < 3:
            reject(f"{owner}: columns", f"{self.columns}", ">= 3 around a tube")
        share = 2 * np.pi * self.radius / self.columns
        for plate in self.plates:
            if plate.width > 1.15 * share:
                limit = f"<= {1.15 * share:g}: circumference / columns"
                reject(f"{owner}: width of '{plate.name}' [m]", f"{plate.width:g}", limit, "strips overlap")

    @property
    def rows(self) -> int:
        """Number of rows."""
        return len(np.atleast_1d(self.pitch)) + 1

    @property
    def slips(self) -> Array:
        """Flexibility of each row, (row,) [m/N]."""
        if self.flexibility is not None:
            return self.flexibility
        (A, B), metal = self.plates, self.bolt.fastener.metal
        C = fastener_flexibility(
            self.bolt.fastener.diameter,
            metal.E,
            thickness=[A.thickness, B.thickness],
            moduli=[A.elastic[0], B.elastic[0]],
            laminates=(isinstance(A, LaminatePlate), isinstance(B, LaminatePlate)),
            planes=self.bolt.planes,
            law=self.law,
            poisson=metal.nu,
        )
        return np.full(self.rows, float(C))

    @checked
    def strip_loads(
        self,
        force: Annotated[ArrayLike, Limits("N", last=(3,))],
        moment: Annotated[ArrayLike, Limits("N m", last=(3,))],
    ) -> Array:
        """Load of each column of bolts.

        Parameters
        ----------
        force, moment : array_like, shape (..., 3)
            On plate A at the first row: along the joint, and the two axes across [N], [N m].

        Returns
        -------
        ndarray, shape (..., column, 2)
            Load along and across [N].

        Raises
        ------
        ValueError
            If a flat joint has a moment or a force off its plane.
        """
        F, M, n = np.asarray(force), np.asarray(moment), self.columns
        F, M = np.broadcast_arrays(F, M)
        if self.radius is None:
            off = max(abs(M).max(initial=0.0), abs(F[..., 2]).max(initial=0.0))
            if off > 0.0:
                what = f"RowJoint '{self.name}': moment [N m], force off the plane [N]"
                reject(what, f"{off:g}", "0 in a flat joint", "take BoltGroup, or give the radius of a tube")
            each = F[..., None, :2] / n
            return np.repeat(each, n, axis=-2) if n == 1 else np.broadcast_to(each, (*F.shape[:-1], 1, 2))
        angle = 2 * np.pi * np.arange(n) / n
        sin, cos = np.sin(angle), np.cos(angle)
        bent = 2 * (M[..., 1, None] * sin - M[..., 2, None] * cos) / (n * self.radius)
        sheared = 2 * (F[..., 2, None] * cos - F[..., 1, None] * sin) / n
        along = F[..., 0, None] / n + bent
        return np.stack([along, M[..., 0, None] / (n * self.radius) + sheared], axis=-1)

    @checked
    def loads_of_rows(
        self,
        force: Annotated[ArrayLike, Limits("N", last=(3,))],
        moment: Annotated[ArrayLike, Limits("N m", last=(3,))],
        *,
        temperature: Annotated[float | None, IN_SERVICE] = None,
    ) -> Array:
        """Load of every bolt, along and across.

        Parameters
        ----------
        force, moment : array_like, shape (case, 3)
            As in `strip_loads` [N], [N m].
        temperature : float, optional
            Of the joint; None: that of the assembly [K].

        Returns
        -------
        ndarray, shape (case, column, row, 2)
            Load that each bolt passes from A to B [N]; a flat joint has one column for all.
        """
        strips = self.strip_loads(force, moment)
        (A, B), C = self.plates, self.slips
        heat = 0.0 if temperature is None else temperature - self.assembly_temperature
        g = np.broadcast_to(self.clearance, self.rows)
        out = np.zeros((*strips.shape[:-1], self.rows, 2))
        for way in range(2):  # along, then across
            load = strips[..., way]
            if way == 1 and not load.any():
                continue
            EA = np.array([self._membrane(A, way), self.bolt.planes * self._membrane(B, way)])
            strain = np.array([A.elastic[2], B.elastic[2]]) * (heat if way == 0 else 0.0)
            strain = np.broadcast_to(strain, (load.size, 2))
            out[..., way] = _shared(load.ravel(), C, self.pitch, EA, strain, g).reshape(*load.shape, -1)
        return out

    def _membrane(self, plate: MetalPlate | LaminatePlate, way: int) -> Array:
        """E A (way 0) or G A (way 1) of the strip of one plate between rows, (row - 1,) [N]."""
        E, G, _ = plate.elastic
        EA = np.full(self.rows - 1, E * plate.thickness * plate.width)
        EA = EA if plate.stiffness is None else plate.stiffness
        return EA if way == 0 else EA * G / E

    @checked
    def margins(self, loads: JointLoads, requirement: Requirement) -> Table:
        """Margins of the bolts and of both plates at every row, the least over its bolts.

        Parameters
        ----------
        loads : JointLoads
            On plate A at the first row: along the joint, then the axes across.
        requirement : Requirement
            Factors and services.

        Returns
        -------
        DataFrame
            Rows of the margin table.

        Raises
        ------
        ValueError
            If the service of the joint is not one of the requirement.
        """
        return judged_rows(self._judged(loads, requirement), requirement)

    def _judged(self, loads: JointLoads, requirement: Requirement) -> list[Judged]:
        """Checks of bolts and plates at every row, each with its lines."""
        states = [one for one in requirement.services if self.service in (None, one.name)]
        if not states:
            known = ", ".join(one.name for one in requirement.services)
            reject(f"RowJoint '{self.name}': service", repr(self.service), f"one of: {known}")
        checks = installation_checks(self.bolt, self.plates, len(loads.cases))
        for state in states:
            checks += self._checks(loads, requirement, state)
        return [Judged(self.name, checks, loads, self.factors, self.station)]

    def _checks(self, loads: JointLoads, requirement: Requirement, state: Service) -> list[JointCheck]:
        """Checks of all rows in one service, each solved at the load of its level."""
        at_level = case_factors(requirement, loads.at_point)
        levels: tuple[Level, ...] = ("ultimate", "limit")
        heat = f"{state.temperature - self.assembly_temperature:+.0f} K since assembly"
        loose = "tight" if not self.clearance.any() else "clearance along and across by itself (own rule)"
        held = "" if self.service is not None else "; strengths the same in every service"
        tail = f"; {self._flexibility_said}, {loose}, {heat}{held}"
        checks = []
        for level in levels:
            k = at_level[level] / (requirement.special_factor if level == "ultimate" else 1.0)
            k = np.where(k > 0.0, k, 1.0)  # a case at ultimate load: its limit rows are left out later
            shared = self.loads_of_rows(
                k[:, None] * loads.force, k[:, None] * loads.moment, temperature=state.temperature
            )
            given = np.cumsum(shared, axis=2)
            whole = given[:, :, -1:, :]
            past = (whole - given, given - shared)  # behind the row in A, before it in B
            for row in range(self.rows):
                passed = shared[:, :, row]
                size = np.hypot(passed[..., 0], passed[..., 1])
                found = bolt_checks(self.bolt, f"bolt, row {row + 1}", size, None, self.plates, level)
                before = self._row_work(k[:, None] * loads.force, k[:, None] * loads.moment, passed, heat)
                checks += to_checks(_more(found, tail), k, level, service=state.title, before=before)
                for plate, beyond, count in zip(self.plates, past, (1, self.bolt.planes), strict=True):
                    part = f"{plate.name}, row {row + 1}"
                    bears, passes = passed / count, beyond[:, :, row] / count
                    holes = plate_checks(plate, row, part, bears, passes, 0.0 * size, level, False)
                    of_plies = isinstance(plate, LaminatePlate)
                    checks += to_checks(
                        _more(holes, tail), k, level, laminate=of_plies, service=state.title, before=before
                    )
        return checks

    def _row_work(self, force: Array, moment: Array, passed: Array, heat: str) -> Work:
        """Lines to the load of the bolts of a row, at the load that is judged (case, 3) and (case, column, row 2)."""

        def work(i: int, j: int) -> list[Line]:
            strip, n = self.strip_loads(force[i], moment[i])[j], self.columns
            F, M = force[i], moment[i]
            lines = given("N", "at the load that is judged", N=F[0], V2=F[1], V3=F[2])
            lines += given("-", "bolts in a row", n=n)
            if self.radius is None:
                lines += [line("q1", strip[0], "N", "N / n"), line("q2", strip[1], "N", "V2 / n")]
            else:
                lines += given("N m", "at the load that is judged", T=M[0], Ma=M[1], Mb=M[2])
                lines += [*given("m", R0=self.radius), *given("rad", a=2 * np.pi * j / n)]
                along = "N / n + 2 * (Ma * sin(a) - Mb * cos(a)) / (n * R0)"
                around = "T / (n * R0) + 2 * (V3 * cos(a) - V2 * sin(a)) / n"
                lines += [line("q1", strip[0], "N", along), line("q2", strip[1], "N", around)]
            text = f"on the bolt of this row: rows share q1, q2 by the springs of bolts and plates, {heat}"
            lines += given("m/N", self._flexibility_said, slip=float(self.slips.max()))
            return lines + given("N", text, b1=passed[i, j, 0], b2=passed[i, j, 1])

        return work

    @property
    def _flexibility_said(self) -> str:
        """Words for the flexibility of the bolts."""
        if self.flexibility_basis is not None:
            return f"flexibility: {self.flexibility_basis}"
        kinds = {isinstance(plate, LaminatePlate) for plate in self.plates}
        mixed = ", factor b plate by plate (convention)" if len(kinds) == 2 and self.law == "huth" else ""
        return f"flexibility: {self.law}, quoted elsewhere{mixed}"


def _more(found: list[Found], tail: str) -> list[Found]:
    """The same checks with more words."""
    return [one._replace(words=one.words + tail) for one in found]
