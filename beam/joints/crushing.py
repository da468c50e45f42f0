"""A tube squeezed across: ring and box under two opposite loads, and a bolt through it with a spacer tube.

::

          | F                  |F|                 squeezed: the pressed walls bend inward, the others outward, and
       .--v--.            .----|-|----.  <- washer the corners close
      (       )           |  spacer   |
       '--^--'            '----|-|----'            gap: what the spacer is shorter than the cavity
          | F                  |F|
"""

from collections.abc import Callable
from typing import Annotated, Literal, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from beam.joints.bolted_plates import InstalledBolt
from beam.joints.bushing import SIZE
from beam.joints.joint_rows import (
    JointCheck,
    JointFactors,
    JointLoads,
    Judged,
    Line,
    given,
    judged_rows,
    line,
    strength_ratio,
)
from beam.strength.requirement import Requirement
from laminate import Laminate
from materials import Metal
from materials.checks import Array, Frozen, Limits, Table, checked, checked_together, default, reject

ACROSS = Limits("m", above=0.0, at_most=2.0, cause="given in mm?")
LINE_LOAD = Limits("N/m", cause="force over length of tube")
STRAIN = Limits("-", above=0.0, at_most=0.05, cause="given in percent or microstrain?")
PRESSURE = Limits("Pa", at_least=1e5, at_most=5e9, cause="given in MPa?")


class Squeeze(NamedTuple):
    """Running moments [N] of a squeezed tube: under the load and at the far place (side of a ring, corner of a box),
    positive where the inner face is in tension; `closure` of the diameter or height [m]."""

    loaded: Array
    far: Array
    closure: Array


@checked_together
def squeezed_ring(
    load: Annotated[ArrayLike, LINE_LOAD],
    *,
    radius: Annotated[float, ACROSS],
    stiffness: Annotated[float, Limits("N m", above=0.0)],
) -> Squeeze:
    """Moments of a ring between two opposite loads.

    Parameters
    ----------
    load : array_like, shape (...)
        Over the length of the tube, pressing inward [N/m].
    radius : float
        Of the middle of the wall [m].
    stiffness : float
        E I of the wall over its length, in bending around [N m].

    Returns
    -------
    Squeeze
        Shape (...) each.

    Notes
    -----
    P R / pi under the load, -P R (1/2 - 1/pi) at the side, closure P R^3 / EI (pi/4 - 2/pi). Thin ring, derived.

    Examples
    --------
    >>> found = squeezed_ring(1000.0, radius=35e-3, stiffness=50.0)
    >>> round(float(found.loaded), 4), round(float(found.far), 5), round(float(found.closure) * 1e3, 6)
    (11.1408, -6.35915, 0.127577)
    """
    P = np.asarray(load, dtype=float)
    closes = P * radius**3 / stiffness * (np.pi / 4 - 2 / np.pi)
    return Squeeze(P * radius / np.pi, -P * radius * (1 / 2 - 1 / np.pi), closes)


@checked_together
def squeezed_box(
    load: Annotated[ArrayLike, LINE_LOAD],
    *,
    width: Annotated[float, ACROSS],
    height: Annotated[float, ACROSS],
    stiffness: Annotated[ArrayLike, Limits("N m", above=0.0, shape=(2,))],
    spread: Literal["middle", "even"] = "middle",
) -> Squeeze:
    """Moments of a box pressed on two opposite walls.

    Parameters
    ----------
    load : array_like, shape (...)
        On each of both walls over the length of the tube, pressing inward [N/m].
    width : float
        Of the pressed walls, between the middles of the others [m].
    height : float
        Of the other walls [m].
    stiffness : array_like, shape (2,)
        E I of the pressed walls and of the others over their length, in bending around [N m].
    spread : {"middle", "even"}
        Whether the load stands on the middle of the wall or evenly on its width.

    Returns
    -------
    Squeeze
        Shape (...) each.

    Notes
    -----
    Corner (P b / 8 or, even, P b / 12) / (1 + (h / b) (EI_b / EI_h)); middle P b / 4 or P b / 8 less the corner. Walls
    as beams with sharp corners, derived. Pressing closes the corners: no peel in them. The closure is without the
    shortening of the other walls.

    Examples
    --------
    >>> found = squeezed_box(1000.0, width=80e-3, height=60e-3, stiffness=[50.0, 50.0])
    >>> round(float(-found.far), 5), round(float(found.loaded), 4)
    (5.71429, 14.2857)
    """
    P, (EI_b, EI_h) = np.asarray(load, dtype=float), np.asarray(stiffness)
    turn = 1 / (1 + height / width * EI_b / EI_h)
    if spread == "middle":
        corner, simple, sag = P * width / 8 * turn, P * width / 4, P * width**3 / (48 * EI_b)
    else:
        corner, simple, sag = P * width / 12 * turn, P * width / 8, 5 * P * width**3 / (384 * EI_b)
    closure = 2 * (sag - corner * width**2 / (8 * EI_b))
    return Squeeze(simple - corner, -corner, closure)


class Spacer(Frozen, eq=True):
    """A tube around a bolt that keeps two walls apart.

    Parameters
    ----------
    metal : Metal
        Of the tube.
    diameter : float
        Outer diameter [m].
    bore : float
        Inner diameter [m].
    gap : float
        What it is shorter than the cavity; negative where it is longer [m].

    Raises
    ------
    ValueError
        If the bore is not inside the diameter.

    Examples
    --------
    >>> from materials import metal
    >>> round(Spacer(metal=metal("2024-T3 sheet"), diameter=12e-3, bore=8.5e-3, gap=1e-4).area * 1e6, 2)
    56.35
    """

    metal: Metal
    diameter: Annotated[float, SIZE]
    bore: Annotated[float, SIZE]
    gap: Annotated[float, Limits("m", at_least=-5e-4, at_most=5e-4, cause="spacers are cut to 0.1 mm")] = 0.0

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.bore >= self.diameter:
            reject("Spacer: bore [m]", f"{self.bore:g}", f"< diameter = {self.diameter:g}", "swapped?")

    @property
    def area(self) -> float:
        """Of its cross section [m2]."""
        return np.pi / 4 * (self.diameter**2 - self.bore**2)


class ThroughBolt(Frozen, eq=True):
    """A bolt across an empty tube: what its preload does to the walls.

    Parameters
    ----------
    name : str
        Of the joint, in the margin table.
    bolt : InstalledBolt
        With its preload.
    wall : Laminate
        Of the tube at the bolt, its axis 1 along the tube.
    shape : {"box", "round"}
        Of the tube.
    across : float
        Width of the pressed walls of a box, or diameter of a round tube, to the middle of the walls [m].
    depth : float
        Between the middles of the pressed walls of a box; of a round tube the diameter again [m].
    washer : float
        Outer diameter of the washers [m].
    crush : float
        Strength of the laminate against pressure across the plies, hot and wet [Pa].
    strain : float
        Strain around the tube that the wall bears in bending [-].
    strength_basis : str
        Where crush and strain come from.
    spacer : Spacer, optional
        Without it the walls alone carry the preload.
    length : float, optional
        Of the tube that takes part; by default washer + 2 wall thicknesses, a spread of 45 deg (own, unproven) [m].
    factors : JointFactors
        Factors of Part 23 on the loads of the joint.
    station : float
        Of the joint on the strut [m].

    Raises
    ------
    ValueError
        If the bolt has no preload, the washer is not larger than the bolt, or the spacer does not go over the bolt.

    Notes
    -----
    Walls and spacer are springs side by side: F = k_wall x + k_spacer (x - gap), each for what it is compressed. The
    moment of `squeezed_ring` or `squeezed_box` over E I = 1 / d22 gives the strain of the wall's surface. Squeezing
    closes the corners of a box, so their plies do not peel. Heat does not count.

    Examples
    --------
    >>> from beam.joints import Preload, fastener
    >>> from materials import lamina, metal
    >>> tight = Preload(torque=8.0, nut_factor=0.2, nut_factor_basis="practice")
    >>> across = ThroughBolt(name="link", bolt=InstalledBolt(fastener=fastener("M6 8.8"), preload=tight), shape="box",
    ...     wall=Laminate.from_code("[45/-45/0/90]4s", lamina("T300/5208")), across=70e-3, depth=60e-3, washer=18e-3,
    ...     crush=150e6, strain=0.004, strength_basis="invented",
    ...     spacer=Spacer(metal=metal("2024-T3 sheet"), diameter=12e-3, bore=6.5e-3))
    >>> round(float(across.wall_load(8000.0)))
    75
    """

    name: str
    bolt: InstalledBolt
    wall: Laminate
    shape: Literal["box", "round"]
    across: Annotated[float, ACROSS]
    depth: Annotated[float, ACROSS]
    washer: Annotated[float, SIZE]
    crush: Annotated[float, PRESSURE]
    strain: Annotated[float, STRAIN]
    strength_basis: str
    spacer: Spacer | None = None
    length: Annotated[float | None, ACROSS] = None
    factors: JointFactors = default(JointFactors())
    station: Annotated[float, Limits("m", at_least=0.0)] = 0.0

    def __post_init__(self) -> None:
        super().__post_init__()
        owner, d = f"ThroughBolt '{self.name}'", self.bolt.fastener.diameter
        if self.bolt.preload is None:
            reject(f"{owner}: preload of the bolt", None, "given: it is what crushes the tube")
        if self.washer <= d:
            reject(f"{owner}: washer [m]", f"{self.washer:g}", f"> the bolt, {d:g}")
        if self.spacer is not None and self.spacer.bore < d:
            reject(f"{owner}: bore of the spacer [m]", f"{self.spacer.bore:g}", f">= the bolt, {d:g}")
        if self.shape == "round" and self.across != self.depth:
            reject(f"{owner}: depth [m]", f"{self.depth:g}", f"across = {self.across:g} of a round tube")

    @property
    def takes_part(self) -> float:
        """Length of tube that carries the load of the washers [m]."""
        return self.length or self.washer + 2 * self.wall.thickness

    @property
    def bending_stiffness(self) -> float:
        """E I of the wall around the tube over its length [N m]."""
        return float(1 / self.wall.compliance[4, 4])

    def _squeezed(self, load: ArrayLike) -> Squeeze:
        """Moments and closure under a force (...) on the walls [N]."""
        line, EI = np.asarray(load) / self.takes_part, self.bending_stiffness
        if self.shape == "round":
            return squeezed_ring(line, radius=self.across / 2, stiffness=EI)
        return squeezed_box(line, width=self.across, height=self.depth, stiffness=[EI, EI])

    @checked
    def wall_load(self, force: Annotated[ArrayLike, Limits("N", at_least=0.0)]) -> Array:
        """Force that the walls take of a force that squeezes walls and spacer.

        Parameters
        ----------
        force : array_like, shape (...)
            Tension of the bolt [N].

        Returns
        -------
        ndarray, shape (...)
            Force on each pressed wall [N].
        """
        F = np.asarray(force, dtype=float)
        if self.spacer is None:
            return F
        kw, ks, g = *self._springs, self.spacer.gap
        alone = kw * g if g > 0.0 else -ks * g  # force up to which only one of them is compressed
        shared = kw * (F + ks * g) / (kw + ks)
        return np.where(alone >= F, F if g > 0.0 else 0.0, shared)

    def _force_at(self, wall: float) -> float:
        """Force that loads the walls with `wall` [N], inverse of `wall_load`."""
        if self.spacer is None:
            return wall
        kw, ks, g = *self._springs, self.spacer.gap
        return wall + ks * max(wall / kw - g, 0.0)

    @property
    def _springs(self) -> tuple[float, float]:
        """Stiffness of the walls and of the spacer [N/m]."""
        assert self.spacer is not None
        cavity = self.depth - self.wall.thickness
        return 1 / float(self._squeezed(1.0).closure), self.spacer.metal.E * self.spacer.area / cavity

    @checked
    def margins(self, loads: JointLoads, requirement: Requirement) -> Table:
        """Margins of wall, washers and spacer under the largest preload and a force that squeezes the tube besides.

        Parameters
        ----------
        loads : JointLoads
            Column 3 of `force` lies along the bolt, squeezing positive; a pull of the walls apart does not count.
            Columns 1 and 2 load the holes: see `RowJoint` and `BoltGroup`.
        requirement : Requirement
            Factors.

        Returns
        -------
        DataFrame
            Rows of the margin table. The preload does not grow with load; ratio 0: the preload alone is too much.
        """
        return judged_rows(self._judged(loads, requirement), requirement)

    def _judged(self, loads: JointLoads, requirement: Requirement) -> list[Judged]:
        """Checks of wall, washers and spacer, each with its lines."""
        f, tight = self.bolt.fastener, self.bolt.preload
        assert tight is not None
        outer = np.maximum(loads.force[:, 2], 0.0)
        most = tight.most(f.diameter)
        one = self._squeezed(1.0)
        moment = max(abs(float(one.loaded)), abs(float(one.far)))
        allowed = self.strain * 2 * self.bending_stiffness / (self.wall.thickness * moment)
        bears = np.pi / 4 * (self.washer**2 - f.diameter**2)
        said = f"{tight.said}; length of tube {1e3 * self.takes_part:.3g} mm; {self.strength_basis}"
        frame = given("-", self.strength_basis, strain=self.strain)
        frame += given("N m", "of the wall around the tube", EI=self.bending_stiffness)
        frame += given(
            "m", "wall, and moment per length under 1 N by ring or box", t=self.wall.thickness, m1=moment
        )
        frame += [line("Fw", allowed, "N", "strain * 2 * EI / (t * m1)")]
        press = [
            *given("m", "washer, bolt", dw=self.washer, d=f.diameter),
            *given("Pa", self.strength_basis, Fz=self.crush),
        ]
        found = [
            ("wall", "bending by squeezing", self._force_at(allowed), True,
             [*frame, self._shared_line("F", self._force_at(allowed), "Fw", 0)]),
            ("wall", "washer pressure", self.crush * bears, True,
             [*press, line("F", self.crush * bears, "N", "Fz * pi / 4 * (dw^2 - d^2)")]),
        ]  # fmt: skip
        if self.spacer is not None:
            yields = self.spacer.metal.Fty if self.spacer.metal.Fcy is None else self.spacer.metal.Fcy
            strength = yields * self.spacer.area
            press = [
                *given("Pa", "of the spacer", Fcy=yields),
                *given("m2", "of the spacer", As=self.spacer.area),
            ]
            press += [line("Fs", strength, "N", "Fcy * As")]
            force = self._crush_force(strength)
            found.append(("spacer", "yield", force, False, [*press, self._shared_line("F", force, "Fs", 1)]))
        checks = []
        for part, mode, force, of_plies, lines in found:
            before = [*self._spring_work, *lines, *given("N", tight.said, preload=most)]
            left = max(force - most, 0.0)
            alone = np.full(len(outer), force / most)
            words = f"own length of tube; {said}" if self.length is None else said
            ratio = strength_ratio(left, outer)
            checks += [
                JointCheck(part, mode, "ultimate", ratio, words, laminate=of_plies,
                           work=_squeeze_work(before, ratio, "max(F - preload, 0) / F3")),
                JointCheck(part, f"{mode}, preload alone", "limit", alone, words, laminate=of_plies,
                           work=_squeeze_work(before, alone, "F / preload")),
            ]  # fmt: skip
        return [Judged(self.name, checks, loads, self.factors, self.station)]

    @property
    def _spring_work(self) -> list[Line]:
        """Lines of the springs of walls and spacer; none without a spacer."""
        if self.spacer is None:
            return []
        lines = given("m", "spacer shorter than the cavity by", gap=self.spacer.gap)
        return lines + given(
            "N/m", "springs of the walls and of the spacer", kw=self._springs[0], ks=self._springs[1]
        )

    def _shared_line(self, name: str, value: float, part: str, of: int) -> Line:
        """Line of the force at which the walls (0) or the spacer (1) carry the force called `part`."""
        if self.spacer is None:
            return line(name, value, "N", part)
        formula = (f"{part} + ks * max({part} / kw - gap, 0)", f"{part} + kw * max({part} / ks + gap, 0)")[of]
        return line(name, value, "N", formula)

    def _crush_force(self, strength: float) -> float:
        """Force at which the spacer carries its strength [N]."""
        assert self.spacer is not None
        kw, ks = self._springs
        return strength + kw * max(strength / ks + self.spacer.gap, 0.0)


def _squeeze_work(before: list[Line], ratio: Array, formula: str) -> Callable[[int], list[Line]]:
    """Lines of a squeezed part."""
    return lambda i: [*before, line("R", ratio[i], "-", formula)]
