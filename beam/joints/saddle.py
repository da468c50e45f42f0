"""Bracket on a band of the strut: a saddle clamped around it or bonded to it, with the pads of the ply book under it.

::

        e3 ^      ____________________  cap                 F1 along the strut and M1 about it go by friction or bond,
           |     |====================| <- pads             F2, F3, M2, M3 by pressure of the faces
           |     |  |            |  |
           |     |====================|                     length: of the band along e1
           +---> e2   |  base  |
"""

from collections.abc import Callable
from typing import Annotated, Literal, NamedTuple, Self

import numpy as np

from beam.joints.bolted_plates import InstalledBolt
from beam.joints.bushing import SIZE
from beam.joints.crushing import PRESSURE, STRAIN, squeezed_box
from beam.joints.joint_rows import (
    JointCheck,
    JointFactors,
    JointLoads,
    Judged,
    Line,
    given,
    judged_rows,
    line,
    of_metal,
    strength_ratio,
)
from beam.strength.requirement import Requirement, Service
from beam.strut import Band, MoldLine, PlyBook
from laminate import Laminate
from laminate.constants import inplane_moduli
from materials import Adhesive, Metal
from materials.checks import Array, Frozen, Limits, Table, checked, default, reject

PART_23 = JointFactors()
"""Factors of a joint of which nothing else is said."""
PULL_SHARE = 0.2
"""Share of the tensile strength across the plies that a bond may be pulled with; own rule."""
SMOOTH = 1e-9
"""Length over that of the strut within which a station is the edge of a band."""


class Faces(NamedTuple):
    """Pressure [Pa] on the walls across e3 and across e2, (2, case)."""

    across_e3: Array
    across_e2: Array


class Clamp(Frozen, eq=True):
    """Bolts that clamp a cap on a base, pressing along e3.

    Parameters
    ----------
    bolt : InstalledBolt
        With its preload.
    bolts : int
        Number of bolts that pull the cap to the base [-].
    friction : float
        Least coefficient of friction between saddle and wall, in the worst surroundings [-].
    friction_basis : str
        Where it comes from.

    Raises
    ------
    ValueError
        If the bolt has no preload.

    Examples
    --------
    >>> from beam.joints import Preload, fastener
    >>> bolt = InstalledBolt(fastener=fastener("M6 8.8"),
    ...                      preload=Preload(torque=6.0, nut_factor=0.2, nut_factor_basis="practice"))
    >>> clamp = Clamp(bolt=bolt, bolts=4, friction=0.15, friction_basis="invented")
    >>> round(clamp.least), round(clamp.most)
    (8400, 26000)
    """

    bolt: InstalledBolt
    bolts: Annotated[int, Limits("-", at_least=2, at_most=100)]
    friction: Annotated[float, Limits("-", above=0.0, at_most=1.0)]
    friction_basis: str

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.bolt.preload is None:
            reject("Clamp: preload of the bolt", None, "given: the clamp holds by it")

    @property
    def most(self) -> float:
        """Largest clamping force, at installation [N]."""
        assert self.bolt.preload is not None
        return self.bolts * self.bolt.preload.most(self.bolt.fastener.diameter)

    @property
    def least(self) -> float:
        """Least clamping force, relaxed [N]."""
        assert self.bolt.preload is not None
        return self.bolts * self.bolt.preload.least(self.bolt.fastener.diameter)


class Glue(Frozen, eq=True):
    """Bond between a stiff saddle and the wall.

    Parameters
    ----------
    adhesive : Adhesive
        Tested at the conditions of every service.
    thickness : float
        Of the bondline [m].
    saddle : Metal
        Of the saddle, for its thermal expansion.

    Examples
    --------
    >>> from materials import AdhesiveCurve, Source, metal
    >>> test = AdhesiveCurve(temperature=296.0, moisture=0.0, G=0.8e9, E=2.2e9, shear_strength=40e6,
    ...                      ultimate_strain=0.5, peel_strength=50e6, source=Source("invented"))
    >>> paste = Adhesive(name="paste", curves=[test], stress_free_temperature=296.0, basis="mean")
    >>> Glue(adhesive=paste, thickness=0.2e-3, saddle=metal("2024-T3 sheet")).thickness
    0.0002
    """

    adhesive: Adhesive
    thickness: Annotated[float, Limits("m", at_least=2e-5, at_most=5e-3, cause="given in mm?")]
    saddle: Metal


class Saddle(Frozen, eq=True):
    """A saddle around a band of a box strut.

    Parameters
    ----------
    name : str
        Of the joint, in the margin table.
    length : float
        Of the band along the strut [m].
    width : float
        Flat width of the walls across e3 [m].
    height : float
        Flat width of the walls across e2 [m].
    depth : float
        Between the outer faces of the walls across e3 [m].
    wall : Laminate
        Under the saddle, pads included, its axis 1 along the strut; the weakest of the walls.
    hold : Clamp or Glue
        How the saddle holds.
    crush : float
        Strength of the laminate against pressure across the plies, hot and wet [Pa].
    pull : float, optional
        Tensile strength across the plies or of the bond, the lower; needed with a bond [Pa].
    strain : float
        Strain around the strut that a hollow wall bears in bending [-].
    strength_basis : str
        Where crush, pull and strain come from.
    torsion : {"friction", "form"}
        What holds the torsion of a clamped saddle: friction, or pressure across the width of the walls across e3.
    filled : bool
        Whether a plug, foam or ribs carry the pressure from wall to wall: then the walls do not bend.
    sides : bool
        Whether the saddle also holds the walls across e2.
    factors : JointFactors
        Factors of Part 23 on the loads of the joint.
    station : float
        Middle of the band on the strut [m].

    Raises
    ------
    ValueError
        If a bonded saddle has no pull strength, or the depth is below the thickness of two walls.

    Notes
    -----
    Force and moment in the axes of the strut at the middle of the band, on the strut. A face of width b carries a
    force F and a moment M about its own axis across by the pressure F / (b L) + 6 M / (b L^2) at its end, as a stiff
    saddle does; the clamp adds its largest force. Friction: sqrt(F1^2 + (M1 / (depth / 2))^2) is at most friction x
    (2 clamp - F3) with the least clamp, F3 always taking some off. By form, M1 presses with 6 M1 / (b^2 L) at the edges
    of both faces, each on half of its width. The lifting half of M2 pulls half of the bolts with 3/2 M2 / L.

    Bond: the wall shears on a rigid saddle, tau = n k coth(k L), k^2 = G / (bond thickness x wall stiffness), of the
    flow n along and of that around, plus heat, G strain tanh(k L / 2) / (bond thickness k); elastic up to the shear
    strength (safe). The pulled face bears a fifth of its tensile strength (own rule). Pressure peaks at the ends of a
    saddle that is not tapered: not covered.

    References
    ----------
    O. Volkersen, Luftfahrtforschung 15 (1938), shear lag (derived); own rules as named.

    Examples
    --------
    >>> from beam.joints import JointLoads, Preload, fastener
    >>> from materials import lamina
    >>> bolt = InstalledBolt(fastener=fastener("M6 8.8"),
    ...                      preload=Preload(torque=6.0, nut_factor=0.2, nut_factor_basis="practice"))
    >>> saddle = Saddle(name="bracket", length=60e-3, width=50e-3, height=40e-3, depth=70e-3,
    ...     wall=Laminate.from_code("[45/-45/0/90]4s", lamina("T300/5208")), crush=150e6, strain=0.004,
    ...     hold=Clamp(bolt=bolt, bolts=4, friction=0.15, friction_basis="invented"), strength_basis="invented")
    >>> round(float(saddle.pressure(JointLoads(force=[[0, 0, 6000.0]])).across_e3[0, 0]) / 1e6, 3)
    2.0
    """

    name: str
    length: Annotated[float, SIZE]
    width: Annotated[float, SIZE]
    height: Annotated[float, SIZE]
    depth: Annotated[float, SIZE]
    wall: Laminate
    hold: Clamp | Glue
    crush: Annotated[float, PRESSURE]
    strain: Annotated[float, STRAIN]
    strength_basis: str
    pull: Annotated[float | None, PRESSURE] = None
    torsion: Literal["friction", "form"] = "friction"
    filled: bool = False
    sides: bool = True
    factors: JointFactors = default(JointFactors())
    station: Annotated[float, Limits("m", at_least=0.0)] = 0.0

    def __post_init__(self) -> None:
        super().__post_init__()
        owner = f"Saddle '{self.name}'"
        if isinstance(self.hold, Glue) and self.pull is None:
            reject(f"{owner}: pull [Pa]", None, "given with a bond: one of its faces is pulled")
        if self.depth <= 2 * self.wall.thickness:
            limit = f"> two walls, {2 * self.wall.thickness:g}"
            reject(f"{owner}: depth [m]", f"{self.depth:g}", limit)

    @classmethod
    @checked
    def on_band(
        cls,
        band: Band,
        line: MoldLine,
        book: PlyBook,
        *,
        hold: Clamp | Glue,
        crush: Annotated[float, PRESSURE],
        strain: Annotated[float, STRAIN],
        strength_basis: str,
        pull: Annotated[float | None, PRESSURE] = None,
        torsion: Literal["friction", "form"] = "friction",
        filled: bool = False,
        factors: JointFactors = PART_23,
    ) -> Self:
        """Saddle on a band of a strut: sizes from the mold line, walls with their pads from the ply book.

        Parameters
        ----------
        band : Band
            Its walls: the two across e3, or all four flat ones.
        line : MoldLine
            Of the strut.
        book : PlyBook
            Of the strut; every ply on the walls of the band covers it whole.
        hold, crush, strain, strength_basis, pull, torsion, filled, factors
            As in `Saddle` [Pa], [-].

        Returns
        -------
        Saddle
            With the thinnest of the walls.

        Raises
        ------
        ValueError
            If the band lies on walls that no saddle grips, or a ply starts or ends within it.
        """
        e3, e2 = line.flat_walls[0::2], line.flat_walls[1::2]
        walls = set(band.walls) & set(line.flat_walls) if band.walls else set(line.flat_walls)
        if walls not in (set(e3), {*e3, *e2}):
            limit = f"{', '.join(e3)}, or all four flat walls"
            reject(f"Band '{band.name}': walls of a saddle", sorted(walls), limit)
        for wall in sorted(walls):
            _refuse_ends(band, book, wall, line.length)
        middle = band.middle
        laminates = [book.laminate(wall, middle) for wall in sorted(walls)]
        width, height, _, _ = line.flat_widths(middle)
        return cls(
            name=band.name, length=band.end - band.start, width=float(width), height=float(height),
            depth=float(line.at(middle).height), wall=min(laminates, key=lambda one: one.thickness),
            sides=len(walls) == 4, station=middle, hold=hold, crush=crush, strain=strain,
            strength_basis=strength_basis, pull=pull, torsion=torsion, filled=filled, factors=factors,
        )  # fmt: skip

    def _refuse_loads(self, loads: JointLoads) -> None:
        """Refuse loads that need walls the saddle does not hold."""
        side = max(abs(loads.force[:, 1]).max(), abs(loads.moment[:, 2]).max())
        if not self.sides and side > 0.0:
            what = f"Saddle '{self.name}': F2 [N], M3 [N m]"
            reject(what, f"{side:g}", "0 without the side walls", "give the band all four walls")

    @checked
    def pressure(self, loads: JointLoads) -> Faces:
        """Pressure at the ends of the band by the loads alone, without a clamp.

        Parameters
        ----------
        loads : JointLoads
            In the axes of the strut, at the middle of the band.

        Returns
        -------
        Faces
            Row 0 at the loaded end; row 1 mean, shape (2, case) [Pa].
        """
        (_, F2, F3), (M1, M2, M3), L = abs(loads.force).T, abs(loads.moment).T, self.length
        b, h = self.width, self.height
        mean3, mean2 = F3 / (b * L), F2 / (h * L)
        formed = isinstance(self.hold, Clamp) and self.torsion == "form"
        twisted = 6 * M1 / (b**2 * L) if formed else 0.0
        ends3, ends2 = mean3 + 6 * M2 / (b * L**2) + twisted, mean2 + 6 * M3 / (h * L**2)
        return Faces(np.stack([ends3, mean3]), np.stack([ends2, mean2]))

    @checked
    def margins(self, loads: JointLoads, requirement: Requirement) -> Table:
        """Margins of pressure, wall bending, and slip or bond.

        Parameters
        ----------
        loads : JointLoads
            In the axes of the strut, at the middle of the band, on the strut.
        requirement : Requirement
            Factors and services.

        Returns
        -------
        DataFrame
            Rows of the margin table. A clamp does not grow with load; ratio 0: the clamp alone is too much.

        Raises
        ------
        ValueError
            If the saddle does not hold the side walls and loads press them.
        """
        return judged_rows(self._judged(loads, requirement), requirement)

    def _judged(self, loads: JointLoads, requirement: Requirement) -> list[Judged]:
        """Checks of pressure, wall bending, and slip or bond, each with its lines."""
        self._refuse_loads(loads)
        faces, said = self.pressure(loads), self.strength_basis
        clamp = self.hold.most / (self.width * self.length) if isinstance(self.hold, Clamp) else 0.0
        pressed = (("e3", faces.across_e3[0], clamp), ("e2", faces.across_e2[0], 0.0))
        checks = []
        for face, pressure, before in pressed[: 2 if self.sides else 1]:
            part = f"wall across {face}"
            mode = "pressure"
            text = f"stiff saddle, ends tapered; {said}"
            if before:
                text += f"; clamped at {before / 1e6:.3g} MPa"
            left = max(self.crush - before, 0.0)
            ratio, work = strength_ratio(left, pressure), self._press_work(face, pressure, before, self.crush)
            checks.append(JointCheck(part, mode, "ultimate", ratio, text, laminate=True, work=work))
            if not self.filled:
                bears = self._bent_at(face)
                ratio = strength_ratio(max(bears - before, 0.0), pressure)
                bent = f"hollow box, sharp corners, even pressure on two walls; {text}"
                work = self._press_work(face, pressure, before, bears)
                checks.append(
                    JointCheck(part, "wall bending", "ultimate", ratio, bent, laminate=True, work=work)
                )
        if isinstance(self.hold, Clamp):
            checks += self._slip(self.hold, loads)
        else:
            checks += self._pulled(faces)
            for state in requirement.services:
                checks.append(self._sheared(self.hold, loads, state))
        return [Judged(self.name, checks, loads, self.factors, self.station)]

    def _face_work(self, face: str, pressure: Array, i: int) -> list[Line]:
        """Lines to the pressure p at the loaded end of a face."""
        formed = isinstance(self.hold, Clamp) and self.torsion == "form"
        twist = " + 6 * abs(M1) / (b^2 * L)" if formed else ""
        if face == "e3":
            lines, text = (
                given("m", L=self.length, b=self.width),
                "abs(F3) / (b * L) + 6 * abs(M2) / (b * L^2)" + twist,
            )
        else:
            lines, text = (
                given("m", L=self.length, h=self.height),
                "abs(F2) / (h * L) + 6 * abs(M3) / (h * L^2)",
            )
        return [*lines, line("p", pressure[i], "Pa", text)]

    def _press_work(
        self, face: str, pressure: Array, before: float, bears: float
    ) -> Callable[[int], list[Line]]:
        """Lines of a face that bears a pressure [Pa], under the clamp before [Pa] and the load."""

        def work(i: int) -> list[Line]:
            lines = self._face_work(face, pressure, i)
            bent = "even pressure that bends the walls of the box to the allowed strain, by its frame"
            said = self.strength_basis if bears == self.crush else bent
            lines += [*given("Pa", said, pb=bears), *given("Pa", "of the clamp", pc=before)]
            return [*lines, line("R", max(bears - before, 0.0) / pressure[i], "-", "max(pb - pc, 0) / p")]

        return work

    def _bent_at(self, face: str) -> float:
        """Even pressure on two opposite walls that bends them to the allowed strain [Pa]."""
        t, EI = self.wall.thickness, float(1 / self.wall.compliance[4, 4])
        b, h = (self.width, self.height) if face == "e3" else (self.height, self.width)
        one = squeezed_box(b, width=b, height=h, stiffness=[EI, EI], spread="even")
        return self.strain * 2 * EI / (t * max(float(one.loaded), -float(one.far)))

    def _slip(self, hold: Clamp, loads: JointLoads) -> list[JointCheck]:
        """Slip of a clamped saddle along and around the strut."""
        F1, F3 = loads.force[:, 0], abs(loads.force[:, 2])
        M1, M2 = loads.moment[:, 0], abs(loads.moment[:, 1])
        sliding = np.hypot(F1, M1 / (self.depth / 2) if self.torsion == "friction" else 0.0)
        asked = np.where(sliding > 0.0, sliding + hold.friction * F3, 0.0)
        assert hold.bolt.preload is not None
        tight = hold.bolt.preload.said
        text = f"friction {hold.friction:g}: {hold.friction_basis}; {tight}; torsion by {self.torsion}"
        strength = hold.bolts * hold.bolt.fastener.tension_strength
        pulled = F3 + 3 * M2 / self.length
        bolts = f"either sense of F3; {of_metal(hold.bolt.fastener.metal, 'Ftu')}"
        slip = strength_ratio(2 * hold.friction * hold.least, asked)
        gap, broken = strength_ratio(hold.least, pulled), strength_ratio(strength, pulled)

        def slip_work(i: int) -> list[Line]:
            turns = " + (M1 / (depth / 2))^2" if self.torsion == "friction" else ""
            return [
                *given("m", depth=self.depth),
                *given("-", hold.friction_basis, mu=hold.friction),
                *given("N", f"least clamp; {tight}", Fc=hold.least),
                line("slide", sliding[i], "N", f"sqrt(F1^2{turns})"),
                line("R", slip[i], "-", "2 * mu * Fc / (slide + mu * abs(F3))"),
            ]

        def bolt_work(name: str, value: float, said: str, ratio: Array) -> Callable[[int], list[Line]]:
            return lambda i: [
                *given("m", L=self.length),
                *given("N", said, **{name: value}),
                line("pull", pulled[i], "N", "abs(F3) + 3 * abs(M2) / L"),
                line("R", ratio[i], "-", f"{name} / pull"),
            ]

        return [
            JointCheck("clamp", "slip", "ultimate", slip, text, work=slip_work),
            JointCheck("clamp", "gapping", "limit", gap, tight,
                       work=bolt_work("Fc", hold.least, f"least clamp; {tight}", gap)),
            JointCheck("clamp", "bolt tension", "ultimate", broken, bolts,
                       work=bolt_work("Put", strength, f"all bolts; {bolts}", broken)),
        ]  # fmt: skip

    def _pulled(self, faces: Faces) -> list[JointCheck]:
        """Pull on the bond of the faces that the loads lift."""
        assert self.pull is not None
        text = f"a fifth of the tensile strength (own rule); {self.strength_basis}"
        allowed = PULL_SHARE * self.pull
        found = [("e3", faces.across_e3[0]), ("e2", faces.across_e2[0])][: 2 if self.sides else 1]

        def work(face: str, p: Array) -> Callable[[int], list[Line]]:
            return lambda i: [
                *self._face_work(face, p, i),
                *given("Pa", self.strength_basis, pull=self.pull or 0.0),
                line("R", allowed / p[i], "-", f"{PULL_SHARE:g} * pull / p"),
            ]

        return [
            JointCheck(f"bond across {face}", "pull", "ultimate", strength_ratio(allowed, p), text, laminate=True,
                       work=work(face, p))
            for face, p in found
        ]  # fmt: skip

    def _sheared(self, glue: Glue, loads: JointLoads, state: Service) -> JointCheck:
        """Shear of the bond in one service."""
        curve = glue.adhesive.at(temperature=state.temperature, moisture=state.moisture)
        t, L = self.wall.thickness, self.length
        moduli = inplane_moduli(self.wall.abd, t, curvature="held")
        width = 2 * (self.width + (self.height if self.sides else 0.0))
        flow = abs(loads.force[:, 0]) / width
        enclosed = self.width * self.depth * (2.0 if self.sides else 1.0)
        turning = abs(loads.moment[:, 0]) / enclosed
        k, kt = (np.sqrt(curve.G / (glue.thickness * float(E) * t)) for E in (moduli.Ex, moduli.Gxy))
        along, across = flow * k / np.tanh(k * L), turning * kt / np.tanh(kt * L)
        heat = state.temperature - glue.adhesive.stress_free_temperature
        mismatch = abs(glue.saddle.alpha * heat - float(self.wall.free_strain(heat)[..., 0]))
        thermal = curve.G * mismatch * np.tanh(k * L / 2) / (glue.thickness * k)
        left = max(curve.shear_strength - thermal, 0.0)
        text = f"peak of shear lag on a rigid saddle, heat {thermal / 1e6:.3g} MPa; {curve.source}"
        ratio = strength_ratio(left, np.hypot(along, across))

        def work(i: int) -> list[Line]:
            sides = " + h" if self.sides else ""
            return [
                *given("m", L=L, b=self.width, h=self.height, depth=self.depth, t=t, eta=glue.thickness),
                *given("Pa", str(curve.source), G=curve.G, taup=curve.shear_strength),
                *given("Pa", "moduli of the wall", Ex=moduli.Ex, Gxy=moduli.Gxy),
                *given("-", "saddle and wall, free strain of heat apart", mismatch=mismatch),
                line("nx", flow[i], "N/m", f"abs(F1) / (2 * (b{sides}))"),
                line("ns", turning[i], "N/m", f"abs(M1) / ({'2 * ' if self.sides else ''}b * depth)"),
                line("k", k, "1/m", "sqrt(G / (eta * Ex * t))"),
                line("kt", kt, "1/m", "sqrt(G / (eta * Gxy * t))"),
                line("tx", along[i], "Pa", "nx * k / tanh(k * L)"),
                line("ts", across[i], "Pa", "ns * kt / tanh(kt * L)"),
                line("heat", thermal, "Pa", "G * mismatch * tanh(k * L / 2) / (eta * k)"),
                line("R", ratio[i], "-", "max(taup - heat, 0) / sqrt(tx^2 + ts^2)"),
            ]

        return JointCheck("bond", "shear", "ultimate", ratio, text, service=state.title, work=work)


def _refuse_ends(band: Band, book: PlyBook, wall: str, length: float) -> None:
    """Refuse a ply that starts or ends on a wall within the band: the pad would be shorter than the saddle."""
    for number, ply in enumerate(book.plies, 1):
        if wall not in ply.walls:
            continue
        for edge in (ply.start, ply.end):
            if band.start + SMOOTH * length < edge < band.end - SMOOTH * length:
                what = f"Saddle on band '{band.name}': ply {number} on wall '{wall}' ends [m]"
                reject(
                    what,
                    f"{edge:g}",
                    f"outside {band.start:g} to {band.end:g}",
                    "a pad shorter than the band",
                )
