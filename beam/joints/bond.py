"""Bonded sleeve or socket: a metal fitting on, in, or on both faces of the end of a laminated tube."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import lru_cache
from typing import Annotated, Any, Literal, NamedTuple, Protocol, runtime_checkable

import numpy as np

from beam.joints import bond_ratios as ratios_of
from beam.joints import lap
from beam.joints.bond_ratios import ANGLES, less_uniform, plastic_ratio, reach, socket_couple
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
    with_joints,
)
from beam.joints.line_loads import Around, Outline, around, line_loads
from beam.strength.check import Level
from beam.strength.requirement import Requirement, Service
from laminate import Laminate, Ply
from materials import Adhesive, AdhesiveCurve, Metal
from materials.checks import Array, Frozen, Limits, Table, checked, default, reject

ROUND_LIMIT = 20.0
"""Largest radius over thickness at which a round wall counts as held by its hoop; own limit."""
ELEMENTS = 48
PULL_SHARE = 0.2
"""Share of the tensile strength across the bond that the couple of a socket may use; own rule."""
TROUGH = 0.1
"""Share of the shear strength that the middle of an overlap should stay under, for creep (from memory)."""
THICK_BOND = 2.0
"""Most bond thickness over the edge of a fitting on both faces: to there the peel was compared with solids."""
SQUARE_END = (
    "NOT COUNTED: a square end of the bond pulls the ply by shear x bond thickness / 2 more within about a bond "
    "thickness (of plane solids up to 2.4 times this peel, mean of the first 0.5 mm)"
)
PLACES = {True: 10, False: 5}
"""Places on a quarter of a round tube, and on a corner of a box."""

_LENGTH = Limits("m", above=0.0, at_most=2.0, cause="given in mm?")
_SIZE = Limits("m", at_least=0.0, at_most=1.0, cause="given in mm?")

FAIL_SAFE = {
    "bolts": "14 CFR 23.573(a)(5)(i) (from memory): bolts carry limit load with the bond gone",
    "disbond": "14 CFR 23.573(a)(5)(i) (from memory): the rest carries limit load with the largest disbond",
    "proof test": "14 CFR 23.573(a)(5)(ii) (from memory): every article is proof tested to limit load",
    "inspection": "14 CFR 23.573(a)(5)(iii) (from memory): inspection proves each bond, none accepted today",
}


@runtime_checkable
class HasMargins(Protocol):
    """A joint: what gives rows of the margin table for its loads."""

    def margins(self, loads: JointLoads, requirement: Requirement) -> Table:
        """Rows of the margin table."""
        ...


@runtime_checkable
class Works(HasMargins, Protocol):
    """A joint that also gives the lines of its margins."""

    def _judged(self, loads: JointLoads, requirement: Requirement) -> list[Judged]:
        """Checks in groups of loads."""
        ...


class BondedSleeve(Frozen):
    """A metal sleeve or socket bonded to the end of a laminated tube, round or a box with rounded corners.

    Parameters
    ----------
    name : str
        Name of the joint in the margin table.
    wall : Laminate
        Wall of the tube all round, as in the ply book: x along the tube, first ply inside. A metal tube is one ply of
        `Metal.lamina`.
    metal : Metal
        Of the fitting.
    thickness : float
        Wall thickness of the fitting, of each of both walls with ``side="both"``; a solid plug has half its width [m].
    width, height : float
        Bonded surface along e2 and e3, with both faces the middle of the wall; alike and twice `corner_radius` for a
        round tube [m].
    corner_radius : float
        Of the bonded surface [m].
    overlap : float
        Length of the bond [m].
    bond_thickness : float
        Thickness of the adhesive [m].
    adhesive : Adhesive
        Its curves over temperature and moisture.
    side : {"outside", "inside", "both"}
        Where the fitting lies: a sleeve on the tube, a plug in it, or both.
    fail_safe : {"bolts", "disbond", "proof test", "inspection"}
        How 14 CFR 23.573(a)(5) is met.
    fail_safe_basis : str
        Drawing, test or agreement behind that choice; printed.
    bolts : object with ``margins(loads, requirement)``, optional
        Bolted joint that carries limit load alone, for "bolts".
    disbond : float, optional
        Longest disbond from the mouth that design features stop, for "disbond" [m].
    taper, tip : float, optional
        Length over which the fitting grows from `tip` at its mouth to `thickness` [m].
    wall_taper, wall_tip : float, optional
        Length over which the wall falls to `wall_tip` at the end of the tube [m].
    body_gap : float, optional
        Distance behind the end of the tube at which both walls of a fitting on both faces become one body; without it
        they count as free to turn at the end of the tube [m].
    couple_share : float
        Share of bending and shear that the couple of pressures in the socket must carry beside the bond [-].
    couple_basis : str, optional
        Model behind a share below 1.
    yield_decides : bool
        Whether the elastic limit of the adhesive at limit load decides. Switched off, its row is still printed.
    factors : JointFactors
        Fitting factor.

    Raises
    ------
    ValueError
        If the overlap is shorter than its tapers, a taper has no tip, the wall is not balanced, a round wall is
        thinner than a twentieth of its radius, or what the fail-safe rule needs is missing.

    Notes
    -----
    Line loads of the section, n_x = N/p + M2 y3/J2 - M3 y2/J3 and n_xs = T/2A + shear flow, act on strips of the
    overlap; moments grow over the overlap by V times its length. Round walls: shear lag (Volkersen 1938) with E A, E I
    and G J of tube and fitting, peel by the tube with springs of its hoop. Flats bonded on one face: Goland and
    Reissner's lap for unlike adherends. Both faces: shear lag; peel of the walls of the fitting as beams on the
    adhesive, with the arm (t + eta)/2 of the shear (own derivation): 1.0 to 1.5 times that in the middle of the bond
    of plane solids, bonds of 0.07 to 2 edges of the fitting. The wall itself has more within a bond thickness of a
    square end, which the rows say.

    "adhesive shear" is elastic-plastic: strain reaches its ultimate value anywhere, along and across at once, with
    the stress of mismatch held fixed; of flats, whose face strains as their strips bend, without the coupling to peel.
    Left out: load that the bent box throws on its corners, transverse shear of the adherends, mismatch of flats across,
    growth of the edge moment of a flat in compression. The edge moment is that of the given load: of a joint
    that holds, more than at failure.

    References
    ----------
    O. Volkersen (1938); M. Goland, E. Reissner (1944); R. D. Adams, N. A. Peppiatt (1977); L. J. Hart-Smith, NASA
    CR-112235 to -7 (1973): from memory, the formulas derived anew.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from materials import AdhesiveCurve, Source, lamina, metal
    >>> paste = Adhesive(name="paste", basis="mean", stress_free_temperature=296.0, curves=[AdhesiveCurve(
    ...     temperature=296.0, moisture=0.0, G=0.8e9, E=2.2e9, shear_strength=40e6, ultimate_strain=0.5,
    ...     peel_strength=50e6, source=Source("invented"))])
    >>> tape = lamina("AS4/3501-6")
    >>> tape = replace(tape, allowables=replace(tape.allowables, Zt=40e6))
    >>> sleeve = BondedSleeve(name="root", wall=Laminate.from_code("[0_2/45/-45/0_2]s", tape),
    ...                       metal=metal("Ti-6Al-4V bar"), thickness=3e-3, width=0.06, height=0.06,
    ...                       corner_radius=0.03, overlap=0.06,
    ...                       bond_thickness=0.2e-3, adhesive=paste, side="outside", fail_safe="proof test",
    ...                       fail_safe_basis="invented")
    >>> required = Requirement(services=[Service(name="room", temperature=296.0)], special_factor=1.0,
    ...                        special_factor_basis="invented", route="allowables")
    >>> table = sleeve.margins(JointLoads(force=[[40e3, 0, 0]], moment=[[500.0, 0, 0]]), required)
    >>> float(table["reserve"].groupby(level="mode", observed=True).min().round(2)["adhesive shear"])
    2.23
    """

    name: str
    wall: Laminate
    metal: Metal
    thickness: Annotated[float, _LENGTH]
    width: Annotated[float, _LENGTH]
    height: Annotated[float, _LENGTH]
    corner_radius: Annotated[float, _SIZE]
    overlap: Annotated[float, _LENGTH]
    bond_thickness: Annotated[float, Limits("m", at_least=2e-5, at_most=5e-3, cause="given in mm?")]
    adhesive: Adhesive
    side: Literal["outside", "inside", "both"]
    fail_safe: Literal["bolts", "disbond", "proof test", "inspection"]
    fail_safe_basis: str
    bolts: HasMargins | None = None
    disbond: Annotated[float | None, _LENGTH] = None
    taper: Annotated[float, _SIZE] = 0.0
    tip: Annotated[float | None, _LENGTH] = None
    wall_taper: Annotated[float, _SIZE] = 0.0
    wall_tip: Annotated[float | None, _LENGTH] = None
    body_gap: Annotated[float | None, _SIZE] = None
    couple_share: Annotated[float, Limits("-", at_least=0.0, at_most=1.0)] = 1.0
    couple_basis: str | None = None
    yield_decides: bool = True
    factors: JointFactors = default(JointFactors())

    def __post_init__(self) -> None:
        super().__post_init__()
        who, least = f"BondedSleeve '{self.name}'", min(self.width, self.height)
        if self.taper + self.wall_taper > self.overlap:
            limit = f">= its tapers, {self.taper + self.wall_taper:g}"
            reject(f"{who}: overlap [m]", f"{self.overlap:g}", limit, "they may not cross")
        for length, tip, most, name in (
            (self.taper, self.tip, self.thickness, "tip"),
            (self.wall_taper, self.wall_tip, self.wall.thickness, "wall_tip"),
        ):
            if (tip is None) != (length == 0.0) or (tip is not None and tip > most):
                reject(f"{who}: {name} [m]", tip, f"<= {most:g} with its taper, None without")
        if 2.0 * self.corner_radius > least * (1.0 + 1e-9):
            reject(
                f"{who}: corner_radius [m]",
                f"{self.corner_radius:g}",
                f"<= {least / 2:g}, half the lesser side",
            )
        edge = self.tip or self.thickness
        if self.side == "both" and self.bond_thickness > THICK_BOND * edge * (1.0 + 1e-9):
            limit = f"<= {THICK_BOND:g} times the edge of the fitting, {THICK_BOND * edge:g}"
            reject(
                f"{who}: bond_thickness [m]", f"{self.bond_thickness:g}", limit, "no peel was verified beyond"
            )
        if self.side == "inside" and self.thickness > least / 2.0 * (1.0 + 1e-9):
            reject(f"{who}: thickness [m]", f"{self.thickness:g}", f"<= {least / 2:g}, that of a solid plug")
        if not self.wall.is_balanced:
            reject(f"{who}: wall", self.wall.code, "balanced", "a wall that twists as it is pulled")
        if self.side != "both" and self.corner_radius > ROUND_LIMIT * self.wall.thickness:
            limit = f"<= {ROUND_LIMIT:g} wall thicknesses, {ROUND_LIMIT * self.wall.thickness:g}"
            cause = "its hoop no longer holds the lap straight: bond both faces"
            reject(f"{who}: corner_radius [m]", f"{self.corner_radius:g}", limit, cause)
        if self.couple_share < 1.0 and self.couple_basis is None:
            reject(
                f"{who}: couple_basis",
                None,
                "given with a couple_share below 1",
                "what model shares the load?",
            )
        for rule, value, name in (("bolts", self.bolts, "bolts"), ("disbond", self.disbond, "disbond")):
            if (self.fail_safe == rule) != (value is not None):
                reject(f"{who}: {name}", value, f'given with fail_safe "{rule}", and with no other')
        if self.disbond is not None and self.disbond >= self.overlap:
            reject(f"{who}: disbond [m]", f"{self.disbond:g}", f"< the overlap, {self.overlap:g}")

    @property
    def faces(self) -> int:
        """Number of bonded faces of the wall [-]."""
        return 2 if self.side == "both" else 1

    @property
    def is_round(self) -> bool:
        """Whether the bonded surface is a circle."""
        return max(self.width, self.height) - 2.0 * self.corner_radius < 1e-9

    @property
    def mass(self) -> float:
        """Of the walls of the fitting over the overlap, tapers taken off, without adhesive [kg]."""
        mean = self.taper / self.overlap * ((self.tip or self.thickness) + self.thickness) / 2
        mean += (1.0 - self.taper / self.overlap) * self.thickness
        middle = self.bond_thickness + self.thickness / 2  # of a wall of the fitting, from the bonded surface
        far = self.wall.thickness / 2 + middle  # with both faces the surface is the middle of the tube's wall
        offsets = {"outside": [middle], "inside": [-middle], "both": [far, -far]}[self.side]
        around = sum(_offset(self, d).perimeter for d in offsets)
        return self.metal.density * mean * self.overlap * around

    @property
    def places(self) -> Array:
        """Where the bond is checked around the section, (place, 2): y2, y3 [m]."""
        return _around(self).y

    @checked
    def line_loads(self, loads: JointLoads) -> Array:
        """Loads per width that cross the bond around the section.

        Parameters
        ----------
        loads : JointLoads
            Force (N, V2, V3) and moment (T, M2, M3) that the tube puts on the fitting at its mouth, strut axes.

        Returns
        -------
        ndarray, shape (case, place, 5)
            Of N, M2 and M3 along the tube, of T and of V around it, counter-clockwise seen against e1 [N/m].
        """
        grow = abs(loads.force[:, :0:-1]) * self.overlap
        moment = loads.moment.copy()
        moment[:, 1:] = np.copysign(abs(moment[:, 1:]) + grow, moment[:, 1:])
        return line_loads(loads.force, moment, _around(self))

    @checked
    def shear_stress(self, loads: JointLoads, service: Service) -> tuple[Array, Array]:
        """Linear shear stress of the adhesive along the overlap, mismatch of heat and moisture included.

        Parameters
        ----------
        loads : JointLoads
            As for `line_loads`.
        service : Service
            Temperature and moisture.

        Returns
        -------
        x : ndarray, shape (node,)
            Distance from the mouth of the fitting [m].
        stress : ndarray, shape (case, place, node, 2)
            Along the tube and around it [Pa].
        """
        state = _in_service(self, service)
        found = _stresses(self, state, self.line_loads(loads))
        stress = found.shear.copy()
        stress[..., 0] += found.heat_shear
        return state.x, stress

    @checked
    def peel(self, loads: JointLoads, service: Service) -> tuple[Array, Array]:
        """Linear peel stress of the adhesive along the overlap, tension positive, mismatch included.

        Parameters
        ----------
        loads : JointLoads
            As for `line_loads`.
        service : Service
            Temperature and moisture.

        Returns
        -------
        x : ndarray, shape (node,)
            Distance from the mouth of the fitting [m].
        stress : ndarray, shape (case, place, node)
            Stress across the middle of the bond [Pa].
        """
        state = _in_service(self, service)
        found = _stresses(self, state, self.line_loads(loads))
        return state.x, found.peel + found.heat_peel

    @checked
    def long_strength(self, service: Service) -> tuple[float, float]:
        """Axial load that breaks the bond of an overlap so long that more does not help.

        Parameters
        ----------
        service : Service
            Temperature and moisture.

        Returns
        -------
        tuple of float
            Tension, compression; negative where the mismatch alone breaks the bond [N].

        Notes
        -----
        P(+) = -K2 mismatch + sqrt(2 m eta U K2 (1 + K2/K1)), P(-) = K1 mismatch + sqrt(2 m eta U K1 (1 + K1/K2)),
        the least governs; signs of the mismatch turn in compression. Without tapers and without peel: of one-faced
        flats an upper bound.
        """
        state = _in_service(self, service)
        pull, push = lap.long_strength(state.K, state.bond, state.curve.energy, state.mismatch)
        perimeter = _around(self).whole.perimeter
        return pull * perimeter, push * perimeter

    @checked
    def useful_overlap(self, service: Service) -> float:
        """Overlap beyond which more length adds no strength.

        Parameters
        ----------
        service : Service
            Temperature and moisture.

        Returns
        -------
        float
            Plastic zones of the long bond and an elastic trough of 6 / lambda between them [m].

        Notes
        -----
        l = P / (m tau_p) - 2 / lambda + 6 / lambda, lambda^2 = (G m / eta) (1/K1 + 1/K2); the trough keeps the middle
        under a tenth of the shear strength, for creep (Hart-Smith, from memory).
        """
        state = _in_service(self, service)
        strength = lap.long_strength(state.K, state.bond, state.curve.energy, state.mismatch)
        rate = np.sqrt(state.curve.G * self.faces / self.bond_thickness * sum(1.0 / K for K in state.K))
        plastic = max(*strength, 0.0) / (self.faces * state.curve.shear_strength) - 2.0 / rate
        return float(max(plastic, 0.0) + 6.0 / rate)

    @checked
    def loads_without_bond(self, loads: JointLoads) -> JointLoads:
        """Limit loads as the largest loads that must be borne with the bond gone, 23.573(a)(5).

        Parameters
        ----------
        loads : JointLoads
            As for `line_loads`; a case at ultimate load keeps its size.

        Returns
        -------
        JointLoads
            The same loads at ultimate level, so that no factor of safety acts on them.
        """
        level: Any = ("ultimate",) * len(loads.cases)
        return replace(loads, level=level, factor_of_safety=None)

    @checked
    def margins(self, loads: JointLoads, requirement: Requirement) -> Table:
        """Rows of the margin table: adhesive, ply next to the bond, fitting, and what carries limit load without bond.

        Parameters
        ----------
        loads : JointLoads
            As for `line_loads`.
        requirement : Requirement
            Services and factors.

        Returns
        -------
        DataFrame
            One row for each case and mode, of its lowest service.

        Raises
        ------
        ValueError
            If a service is above the wet glass transition of adhesive or wall less 28 K, its tests do not surround
            it, or the ply next to the bond has no Zt.
        """
        table = judged_rows(self._judged(loads, requirement), requirement)
        if self.bolts is None or isinstance(self.bolts, Works):
            return table
        return with_joints(table, self.bolts.margins(self.loads_without_bond(loads), requirement))

    def _judged(self, loads: JointLoads, requirement: Requirement) -> list[Judged]:
        """Checks of the bond and of what carries limit load without it, each with its lines."""
        found = [self._group(self.name, loads, requirement)]
        gone = self.loads_without_bond(loads)
        if isinstance(self.bolts, Works):
            found += self.bolts._judged(gone, requirement)
        if self.disbond is not None:
            rest = replace(
                self,
                overlap=self.overlap - self.disbond,
                taper=0.0,
                tip=None,
                disbond=None,
                fail_safe="inspection",
            )
            found.append(rest._group(f"{self.name}, {self.disbond * 1e3:g} mm unbonded", gone, requirement))
        return found

    def _group(self, name: str, loads: JointLoads, requirement: Requirement) -> Judged:
        """Checks of the bond, the lowest service of each mode and case."""
        checks: list[JointCheck] = []
        found = [_checks(self, loads, service) for service in requirement.services]
        for same in zip(*found, strict=True):
            ratios = np.array([check.ratio for check in same])
            lowest = ratios.argmin(axis=0)
            for i, check in enumerate(same):
                if (lowest == i).any():
                    checks.append(check._replace(ratio=np.where(lowest == i, check.ratio, np.nan)))
        return Judged(name, checks, loads, self.factors)


def _around(joint: BondedSleeve) -> Around:
    """Places around the bonded surface."""
    return around(joint.width, joint.height, joint.corner_radius, PLACES[joint.is_round])


class _Strip(NamedTuple):
    """Stress of unit loads along the overlap of one kind of wall, and its plastic strength."""

    shear: Array
    """Along the tube: (column, node) of N, M2, M3, or of N and both edge moments of a flat [1/m], [1/m2]."""
    across: Array
    """Around the tube: (2, node) of T and V [1/m]."""
    peel: Array
    """Of the same columns as `shear` (column, node)."""
    heat_shear: Array
    """(node,) [Pa]."""
    heat_peel: Array
    """(node,) [Pa]."""
    per_shear: float
    """Most peel over shear of a fitting on both faces [-]; inf where peel does not follow the shear."""
    peaks: Array
    """Shear at both ends of unit load along and across in the plastic solution, (2 ends, 2) [1/m]."""
    strength: Array
    """Plastic strength of both halves in the directions `ANGLES`, (2, angle) [N/m]."""


class _State(NamedTuple):
    """A joint in one service."""

    x: Array
    curve: AdhesiveCurve
    bond: lap.Bondline
    wall: Laminate
    K: tuple[float, float]
    """Membrane stiffness of wall and fitting per width of bond under axial load [N/m]."""
    flat_K: tuple[float, float]
    """The same of a flat strip."""
    D: tuple[float, float]
    """Bending stiffness of strips of wall and fitting [N m]."""
    mismatch: float
    """Free strain of the fitting less that of the wall along the tube [-]."""
    strips: Mapping[bool, _Strip]
    """Of flats (True) and of round walls (False)."""


@lru_cache(maxsize=64)
def _in_service(joint: BondedSleeve, service: Service) -> _State:
    """Stress of unit loads and plastic strength in one service."""
    curve = joint.adhesive.at(temperature=service.temperature, moisture=service.moisture)
    wall = Laminate([Ply(service.lamina(ply.lamina), ply.angle_deg) for ply in joint.wall.plies])
    for one in dict.fromkeys(ply.lamina for ply in wall.plies):
        service.refuse_too_hot(one)
    change = service.temperature - joint.adhesive.stress_free_temperature
    mismatch = joint.metal.alpha * change - wall.free_strain(change, service.free_moisture)[:2]
    t1, t2 = wall.thickness, joint.thickness
    x = lap.mesh(joint.overlap, (joint.taper, joint.overlap - joint.wall_taper), ELEMENTS)
    h, middle = np.diff(x), (x[1:] + x[:-1]) / 2
    grows2, grows1 = middle < joint.taper, middle > joint.overlap - joint.wall_taper
    share2 = np.where(grows2, _ramp(joint.tip, t2, middle, joint.taper), 1.0)
    share1 = np.where(grows1, _ramp(joint.wall_tip, t1, joint.overlap - middle, joint.wall_taper), 1.0)
    slope2 = np.where(grows2, (t2 - (joint.tip or t2)) / (joint.taper or 1.0), 0.0)
    slope1 = np.where(grows1, -(t1 - (joint.wall_tip or t1)) / (joint.wall_taper or 1.0), 0.0)
    moduli, bending = wall.moduli(curvature="held"), wall.flexural_moduli(midplane="held")
    K1, G1, hoop1 = (float(modulus) * t1 for modulus in (moduli.Ex, moduli.Gxy, moduli.Ey))
    K2, G2 = joint.metal.E * t2 * joint.faces, joint.metal.G * t2 * joint.faces
    D1, D2 = float(bending.Ex) * t1**3 / 12, joint.metal.E * t2**3 / 12
    bond = lap.Bondline(curve.G, curve.E, joint.bond_thickness, joint.faces)
    section = _around(joint)
    out = {"outside": 1.0, "inside": -1.0, "both": 0.0}[joint.side]
    of1, of2 = (_offset(joint, d) for d in (-out * t1 / 2, out * t2 / 2))
    ratios = {
        name: (part(of1) / part(section.whole), part(of2) / part(section.whole))
        for name, part in (
            ("N", lambda o: o.perimeter), ("M2", lambda o: o.J2), ("M3", lambda o: o.J3), ("T", lambda o: o.torsion)
        )
    }  # fmt: skip
    both = {name: (K1 * one * share1, K2 * two * share2) for name, (one, two) in ratios.items()}
    turn = {name: (G1 * ratios[name][0] * share1, G2 * ratios[name][1] * share2) for name in ("T", "N")}
    stiff = joint.metal.E / (1 - joint.metal.nu**2)
    wall2 = lap.Adherend(both["N"][1], stiff * (t2 * share2) ** 3 / 12, t2 * share2, slope2, 0.0 * share2)
    arm = None if joint.body_gap is None else joint.body_gap + t2 / 2  # half of the wall turns in the body
    along, pulls = [], []
    for one, two in (both[name] for name in ("N", "M2", "M3")):
        if joint.faces == 2:
            shear, peel = lap.both_faces(h, one, wall2._replace(K=two), bond, arm=arm)
            pulls.append(peel)
        else:
            shear = lap.shear_lag(h, one, two, bond)
        along.append(shear)
    across = np.stack([lap.shear_lag(h, *turn[name], bond)[:, 0] for name in ("T", "N")])

    def strength(pair: tuple[Array, Array], heat: float) -> Array:
        two = np.stack([1 / pair[1], 1 / turn["T"][1]], axis=-1)
        one = np.stack([1 / pair[0], 1 / turn["T"][0]], axis=-1)
        return lap.shear_strength(
            h, one + two, two, bond, strength=curve.shear_strength, ultimate=curve.ultimate_strain, mismatch=heat,
            directions=np.stack([np.cos(ANGLES), np.sin(ANGLES)], axis=-1)
        )  # fmt: skip

    def adherends(spring1: float, spring2: float) -> tuple[lap.Adherend, lap.Adherend]:
        one = lap.Adherend(K1 * share1, D1 * share1**3, t1 * share1, slope1, spring1 * share1)
        return one, lap.Adherend(K2 * share2, D2 * share2**3, t2 * share2, slope2, spring2 * share2)

    strips = {}
    if (~section.flat).any() or joint.faces == 2:
        heat = along[0][:, 1] * mismatch[0]
        if joint.faces == 2:
            peel, heat_peel = np.stack([one[:, 0] for one in pulls]), pulls[0][:, 1] * mismatch[0]
            rate = float(lap.peel_per_shear(t2 * share2, stiff, bond).max())
        else:
            R = joint.corner_radius
            found = lap.sandwich(h, *adherends(hoop1 / R**2, K2 / R**2), bond, tube=True)["peel"]
            rate, peel, heat_peel = np.inf, np.stack([found[:, 0]] * 3), found[:, 1] * mismatch[0]
            heat_peel = heat_peel + _radial(joint, curve, hoop1, K2, mismatch[1])
        peaks = np.stack([along[0][[0, -1], 0], across[0][[0, -1]]], axis=-1)
        shear = np.stack([one[:, 0] for one in along])
        strips[False] = _Strip(
            shear, across, peel, heat, heat_peel, rate, peaks, strength(both["N"], mismatch[0])
        )
    if section.flat.any() and joint.faces == 1:
        lap_found = lap.sandwich(h, *adherends(0.0, 0.0), bond, tube=False)
        # the face of a strip that bends freely strains as if it were softer: four times if it is homogeneous
        face1, face2 = (1 / (1 / one.K + one.t**2 / (4 * one.D)) for one in adherends(0.0, 0.0))
        lag = lap.shear_lag(h, face1, face2, bond)
        more = max(1.0, float((lap_found["shear"][[0, -1], 3] / lag[[0, -1], 1]).max()))
        peaks = np.stack([lag[[0, -1], 0], across[0][[0, -1]]], axis=-1)
        shear, peel = lap_found["shear"].T, lap_found["peel"].T
        plastic = strength((face1, face2), more * mismatch[0])
        strips[True] = _Strip(
            shear[:3], across, peel[:3], shear[3] * mismatch[0], peel[3] * mismatch[0], np.inf, peaks, plastic
        )
    K = float(K1 * ratios["N"][0]), float(K2 * ratios["N"][1])
    return _State(x, curve, bond, wall, K, (K1, K2), (D1, D2), float(mismatch[0]), strips)


def _ramp(tip: float | None, full: float, distance: Array, length: float) -> Array:
    """Thickness over the full one at a distance from the thin end (...) [-]."""
    start = 1.0 if tip is None else tip / full
    return np.asarray(start + (1.0 - start) * distance / (length or 1.0))


def _offset(joint: BondedSleeve, d: float) -> Outline:
    """Outline at a distance outside the bonded surface [m]."""
    return Outline.of(joint.width + 2 * d, joint.height + 2 * d, max(joint.corner_radius + d, 0.0))


def _radial(joint: BondedSleeve, curve: AdhesiveCurve, hoop: float, sleeve: float, mismatch: float) -> float:
    """Stress across the bond of a round tube from the mismatch of its hoop, tension positive [Pa]; 0 for a box.

    Lame's ring for a plug, thin rings for a sleeve and for the tube.
    """
    if not joint.is_round:
        return 0.0
    a, metal = joint.corner_radius, joint.metal
    q = min((1.0 - joint.thickness / a) ** 2, 1.0)
    plug = a / metal.E * ((1.0 + q) / (1.0 - q) - metal.nu)
    ring = plug if joint.side == "inside" else a**2 / sleeve
    sign = -1.0 if joint.side == "inside" else 1.0
    return sign * a * mismatch / (ring + a**2 / hoop + joint.bond_thickness / curve.constrained_modulus)


class _Stresses(NamedTuple):
    """Linear stress of the load and of the mismatch, and what the plastic strength compares."""

    shear: Array
    """Of the load (case, place, node, 2) [Pa]."""
    peel: Array
    """Of the load (case, place, node) [Pa]."""
    heat_shear: Array
    """(place, node) [Pa]."""
    heat_peel: Array
    """(place, node) [Pa]."""
    strength: Array
    """Factor on the load at plastic failure (case, place) [-]."""
    edge: Array
    """Bending moment of the fitting behind the end of the tube (case, place) [N]."""
    uniform: Array
    """Shear of flats that does not fall off along the overlap (case, place) [Pa]."""


def _stresses(joint: BondedSleeve, state: _State, n: Array) -> _Stresses:
    """Stress at every place and node under line loads n (case, place, 5), of flats and round walls in turn."""
    section = _around(joint)
    cases, places, count = len(n), len(section.y), len(state.x)
    out = _Stresses(
        np.zeros((cases, places, count, 2)), np.zeros((cases, places, count)), np.zeros((places, count)),
        np.zeros((places, count)), np.zeros((cases, places)), np.zeros((cases, places)), np.zeros((cases, places)),
    )  # fmt: skip
    energy, most = state.curve.energy, state.curve.ultimate_strain
    for flat, strip in state.strips.items():
        at = np.flatnonzero(section.flat == flat) if joint.faces == 1 else np.arange(places)
        columns, uniform = n[:, at, :3], np.zeros((cases, len(at)))
        if flat:
            load = columns.sum(axis=-1)
            thick = state.wall.thickness, joint.thickness
            edges = lap.edge_moments(load, state.flat_K, state.D, thick, joint.overlap) * load[..., None]
            uniform = lap.uniform_shear(load, edges, state.flat_K, state.D, thick, joint.overlap)
            out.edge[:, at], out.uniform[:, at] = edges[..., 1], uniform
            columns = np.concatenate([load[..., None], edges], axis=-1)
        shear = np.stack([columns @ strip.shear, n[:, at, 3:] @ strip.across], axis=-1)
        out.shear[:, at], out.peel[:, at] = shear, columns @ strip.peel
        out.heat_shear[at], out.heat_peel[at] = strip.heat_shear, strip.heat_peel
        ratios = []
        for end in (0, -1):  # loads of the plastic solution, as each end has them
            ends = (shear[..., end, :] - np.stack([uniform, 0.0 * uniform], axis=-1)) / strip.peaks[end]
            ratios.append(
                less_uniform(
                    plastic_ratio(ends, strip.strength[end]),
                    abs(uniform) * most / energy,
                    _heat(state, strip, end),
                )
            )
        out.strength[:, at] = np.minimum(*ratios)
    all_plastic = joint.faces * state.curve.shear_strength * joint.overlap
    size = np.hypot(n[..., :3].sum(-1), n[..., 3:].sum(-1))
    np.minimum(out.strength, strength_ratio(all_plastic, size), out=out.strength)
    return out


def _heat(state: _State, strip: _Strip, end: int) -> float:
    """Share of the mismatch in the energy of the adhesive at an end of the bond, as a stress ratio [-]."""
    return min(abs(float(strip.heat_shear[end])) / np.sqrt(2.0 * state.curve.G * state.curve.energy), 1.0)


def _checks(joint: BondedSleeve, loads: JointLoads, service: Service) -> list[JointCheck]:
    """Every check of the bond in one service."""
    state = _in_service(joint, service)
    n, curve = joint.line_loads(loads), state.curve
    found = _stresses(joint, state, n)
    shear, held = (found.shear[..., 0], found.shear[..., 1]), (found.heat_shear, 0.0 * found.heat_shear)
    tension = np.where(found.peel > 0.0, found.peel, np.nan)
    most_peel = min(strip.per_shear for strip in state.strips.values()) * curve.shear_strength

    def until(strength: float) -> Array:
        """Factor at which the peel reaches a strength (case, place, node); of both faces, yielding bounds it."""
        if most_peel <= strength:
            return np.full(found.peel.shape, np.inf)
        ratio = np.where(found.peel > 0.0, (strength - found.heat_peel) / tension, np.inf)
        return np.where(found.heat_peel >= strength, 0.0, np.maximum(ratio, 0.0))

    def least(ratio: Array) -> Array:
        return np.asarray(ratio.reshape(len(ratio), -1).min(axis=1))

    plies = joint.wall.plies
    next_to = {"outside": plies[-1:], "inside": plies[:1], "both": (plies[0], plies[-1])}[joint.side]
    limits = [service.allowables(service.lamina(ply.lamina)) for ply in next_to]
    Zt, S = min(one.through_thickness for one in limits), min(one.S for one in limits)
    apart = reach(shear, held, S)
    at_shear = found.peel * np.where(np.isfinite(apart), apart, 0.0) + found.heat_peel
    across = S / Zt
    pulled = reach((*shear, across * found.peel), (*held, across * found.heat_peel), S, tension=True)
    part = np.where(at_shear > 0.0, pulled, apart)
    if curve.shear_strength < S:  # the yielding bond hands over no more shear
        part = np.maximum(part, until(Zt * np.sqrt(1.0 - (curve.shear_strength / S) ** 2)))
    t2 = joint.thickness
    direct = abs(n[..., :3].sum(-1)) / (t2 * joint.faces) + 6.0 * abs(found.edge) / t2**2
    metal = np.sqrt(direct**2 + 3.0 * (n[..., 3:].sum(-1) / (t2 * joint.faces)) ** 2)
    V, M = np.linalg.norm(loads.force[:, 1:], axis=1), np.linalg.norm(loads.moment[:, 1:], axis=1)
    pressure = joint.couple_share * socket_couple(V, M, joint.overlap)[0] / min(joint.width, joint.height)
    trough = np.hypot(*shear).min(axis=-1).max(axis=-1)
    bond = (
        f"{joint.adhesive.name}: {joint.adhesive.basis}, tau_p {curve.shear_strength / 1e6:.3g} MPa, "
        f"gamma {curve.ultimate_strain:.3g}, G {curve.G / 1e6:.3g} MPa at {curve.temperature:g} K; {curve.source}"
    )
    safe = f"{FAIL_SAFE[joint.fail_safe]}; {joint.fail_safe_basis}"
    peel = "linear; flats free to rotate beyond the joint, arms long"
    if joint.faces == 2:
        peel = "linear, in the middle of a bond with square ends; wall straight, fitting free to turn at its mouth"
        behind = "" if joint.body_gap is None else f" but for its body {joint.body_gap * 1e3:g} mm behind"
        peel += f" and at the end of the tube{behind}"
    pull = f"own rule, {PULL_SHARE:g} of the strength across the bond; share {joint.couple_share:g}"
    pull += f" by {joint.couple_basis}" if joint.couple_basis else ", the bond carries the whole too"
    ply = f"ply next to the bond: Zt {Zt / 1e6:.3g}, S {S / 1e6:.3g} MPa; {limits[0].source}"
    if joint.faces == 2:
        ply = f"{SQUARE_END}; {ply}"
    with np.errstate(divide="ignore"):
        rows: list[tuple[str, str, Level, Array, str, bool]] = [
            ("bond", "adhesive yield", "limit", reach(shear, held, curve.shear_strength), bond, False),
            ("bond", "adhesive shear", "ultimate", found.strength, f"elastic-plastic; {bond}; {safe}", False),
            ("bond", "peel", "ultimate", until(curve.peel_strength), f"{peel}; {bond}", False),
            ("wall", "ply next to bond", "ultimate", part, f"{peel}; {ply}", True),
            ("bond", "socket pull", "ultimate", PULL_SHARE * min(Zt, curve.peel_strength) / pressure, pull, True),
            ("bond", "creep trough", "limit", TROUGH * curve.shear_strength / trough, "from memory", False),
            ("fitting", "wall yield", "limit", joint.metal.Fty / metal, of_metal(joint.metal, "Fty"), False),
            ("fitting", "wall", "ultimate", joint.metal.Ftu / metal, of_metal(joint.metal, "Ftu"), False),
        ]  # fmt: skip
    work = _bond_work(joint, state, loads, n, found, {"yield": reach(shear, held, curve.shear_strength),
                      "peel": until(curve.peel_strength), "ply": part, "apart": np.where(at_shear > 0.0, pulled, apart),
                      "pull": PULL_SHARE * min(Zt, curve.peel_strength) / np.where(pressure > 0.0, pressure, np.nan),
                      "trough": trough}, S, Zt)  # fmt: skip
    quiet = {"creep trough"} | (set() if joint.yield_decides else {"adhesive yield"})
    return [
        JointCheck(
            place, mode, level, least(ratio), text, laminate=laminate, service=service.title, decides=mode not in quiet,
            work=work[mode],
        )
        for place, mode, level, ratio, text, laminate in rows
    ]  # fmt: skip


def _bond_work(
    joint: BondedSleeve,
    state: _State,
    loads: JointLoads,
    n: Array,
    found: _Stresses,
    ratio: Mapping[str, Array],
    S: float,
    Zt: float,
) -> dict[str, Callable[[int], list[Line]]]:
    """Lines of every mode of a bond, at the place that governs the case."""
    section, curve, L = _around(joint), state.curve, joint.overlap
    whole = section.whole
    outline = (whole.perimeter, whole.area, whole.J2, whole.J3)

    def lowest(of: Array, i: int) -> tuple[int, int]:
        place, node = np.unravel_index(int(np.nanargmin(of[i])), of[i].shape)
        return int(place), int(node)

    def at(i: int, place: int) -> list[Line]:
        moment = loads.moment[i].copy()
        moment[1:] = np.copysign(abs(moment[1:]) + abs(loads.force[i, :0:-1]) * L, moment[1:])
        return ratios_of.place_work(moment, L, section.y[place], outline, section.flow[place], n[i, place])

    def stress(i: int, place: int, node: int) -> list[Line]:
        x = f"by {'Goland and Reissner' if (section.flat[place] and joint.faces == 1) else 'shear lag'}"
        return [
            *at(i, place),
            *given("m", f"from the mouth; stresses there {x} from nx, ns", x=state.x[node]),
        ]

    def of_yield(i: int) -> list[Line]:
        p, k = lowest(ratio["yield"], i)
        heat, R = float(found.heat_shear[p, k]), float(ratio["yield"][i, p, k])
        return [*stress(i, p, k), *ratios_of.reach_work(found.shear[i, p, k], heat, curve.shear_strength, R)]

    def of_shear(i: int) -> list[Line]:
        p = int(found.strength[i].argmin())
        flat = bool(section.flat[p]) and joint.faces == 1
        strip, uniform = state.strips[flat], float(found.uniform[i, p])
        size = float(np.hypot(n[i, p, :3].sum(), n[i, p, 3:].sum()))
        ends = [
            ratios_of.plastic_work(
                found.shear[i, p, end], uniform, strip.peaks[end], strip.strength[end], _heat(state, strip, end),
                abs(uniform) * curve.ultimate_strain / curve.energy, joint.faces * curve.shear_strength * L, size,
            )
            for end in (0, -1)
        ]  # fmt: skip
        end = int(np.argmin([R for R, _ in ends]))
        return [*stress(i, p, (0, -1)[end]), *ends[end][1]]

    def of_peel(i: int) -> list[Line]:
        p, k = lowest(ratio["peel"], i)
        peel, heat = float(found.peel[i, p, k]), float(found.heat_peel[p, k])
        return [
            *stress(i, p, k),
            *ratios_of.peel_work(peel, heat, curve.peel_strength, float(ratio["peel"][i, p, k])),
        ]

    def of_ply(i: int) -> list[Line]:
        p, k = lowest(ratio["ply"], i)
        R = float(ratio["ply"][i, p, k])
        held = (float(found.heat_shear[p, k]), float(found.heat_peel[p, k]))
        three = (*found.shear[i, p, k].tolist(), float(found.peel[i, p, k]))
        yields = float(ratio["apart"][i, p, k]) * (1.0 + 1e-12) < R
        return [*stress(i, p, k), *ratios_of.ply_work(three, held, S, Zt, curve.shear_strength, R, yields)]

    def of_pull(i: int) -> list[Line]:
        strength, width = min(Zt, curve.peel_strength), min(joint.width, joint.height)
        return ratios_of.couple_work(
            joint.couple_share, L, width, strength, PULL_SHARE, float(ratio["pull"][i])
        )

    def of_trough(i: int) -> list[Line]:
        lines = given("Pa", "least shear along the overlap, the most around it", tau=ratio["trough"][i])
        lines += given("Pa", str(curve.source), taup=curve.shear_strength)
        return [
            *lines,
            line("R", TROUGH * curve.shear_strength / ratio["trough"][i], "-", f"{TROUGH:g} * taup / tau"),
        ]

    def metal(strength: float, said: str) -> Callable[[int], list[Line]]:
        def work(i: int) -> list[Line]:
            along, around = n[i, :, :3].sum(-1), n[i, :, 3:].sum(-1)
            t2, faces = joint.thickness, joint.faces
            direct = abs(along) / (t2 * faces) + 6.0 * abs(found.edge[i]) / t2**2
            p = int(np.argmax(np.hypot(direct, np.sqrt(3.0) * around / (t2 * faces))))
            edge = float(found.edge[i, p])
            return [*at(i, p), *ratios_of.metal_work(along[p], around[p], edge, t2, faces, strength, said)]

        return work

    return {
        "adhesive yield": of_yield, "adhesive shear": of_shear, "peel": of_peel, "ply next to bond": of_ply,
        "socket pull": of_pull, "creep trough": of_trough,
        "wall yield": metal(joint.metal.Fty, of_metal(joint.metal, "Fty")),
        "wall": metal(joint.metal.Ftu, of_metal(joint.metal, "Ftu")),
    }  # fmt: skip
