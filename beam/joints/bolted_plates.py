"""Plates of metal and laminate with bolts in them: bearing and bypass of a hole, strength of a bolt as installed."""

from collections.abc import Callable
from typing import Annotated, Literal, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from beam.joints.bushing import SIZE
from beam.joints.fasteners import THICKNESS, Fastener, Preload
from beam.joints.joint_rows import (
    JointCheck,
    Line,
    given,
    interaction_ratio,
    line,
    of_metal,
    strength_ratio,
)
from beam.joints.pin import Pin
from beam.strength.check import Level
from laminate import Laminate
from laminate.constants import inplane_moduli
from laminate.notch import LoadedHole
from laminate.notch.loaded_hole import CHECKED_PITCH, CONE
from materials import Metal
from materials.checks import (
    Array,
    Frozen,
    Items,
    Limits,
    OptionalNumbers,
    checked,
    default,
    reject,
)

WIDTH = Limits("m", above=0.0, at_most=2.0, cause="given in mm?")
AXIAL = Limits("N", above=0.0, cause="E x thickness x width")
LOOSE = 1.1
"""Hole over bolt above which the bolt does not belong to the hole; own limit."""
SLENDER = 0.5
"""Diameter over thickness below which bearing is not even over the thickness; own limit."""
PULLED_AND_SHEARED = 3.0
"""Power of the shear in Rs^3 + Rt^2 = 1."""


class MetalPlate(Frozen, eq=True):
    """A metal plate with a bolt in each strip.

    Parameters
    ----------
    name : str
        As in "fitting".
    metal : Metal
        With its bearing strengths.
    thickness : float
        Of the plate [m].
    width : float
        Of the strip that one bolt loads: the pitch across the load [m].
    edge : float
        From the hole's center to the free end or the next row, the least [m].
    hole : float
        Diameter of the hole [m].
    stiffness : array_like, shape (row - 1,), optional
        E A of the strip between rows, of a stepped plate; by default E x thickness x width [N].

    Raises
    ------
    ValueError
        If edge or pitch lie below 1.5 and 2 diameters, or the metal has no bearing strengths.

    Examples
    --------
    >>> from materials import metal
    >>> plate = MetalPlate(name="fitting", metal=metal("2024-T3 sheet"), thickness=4e-3, width=30e-3, edge=15e-3,
    ...                    hole=6e-3)
    >>> round(plate.metal.bearing_strength(plate.edge / plate.hole)[0] / 1e6)
    889
    """

    name: str
    metal: Metal
    thickness: Annotated[float, THICKNESS]
    width: Annotated[float, WIDTH]
    edge: Annotated[float, WIDTH]
    hole: Annotated[float, SIZE]
    stiffness: Annotated[OptionalNumbers, AXIAL] = default(None)

    def __post_init__(self) -> None:
        super().__post_init__()
        owner, d = f"MetalPlate '{self.name}'", self.hole
        for what, value, least in (("width", self.width, 2.0), ("edge", self.edge, 1.5)):
            if value < least * d * (1 - 1e-9):
                limit = f">= {least:g} diameters = {least * d:g}"
                reject(f"{owner}: {what} [m]", f"{value:g}", limit, "pitch or edge distance too small")
        self.bearing  # noqa: B018  # refuses a metal without bearing strengths

    @property
    def elastic(self) -> tuple[float, float, float]:
        """E [Pa], G [Pa] and thermal expansion [1/K]."""
        return self.metal.E, self.metal.G, self.metal.alpha

    @property
    def bearing(self) -> tuple[float, float]:
        """Ultimate and yield strength in bearing [Pa]."""
        return self.metal.bearing_strength(self.edge / self.hole * (1 + 1e-12))

    @property
    def holes(self) -> tuple[float, ...]:
        """Diameters of the holes, one for all rows [m]."""
        return (self.hole,)


class LaminatePlate(Frozen, eq=True):
    """A laminate with a bolt in each strip.

    Parameters
    ----------
    name : str
        As in "wall".
    laminate : Laminate
        The plies at the joint, local ones included; its axis 1 along the joint.
    holes : iterable of LoadedHole
        One for all rows, or one for each: strengths at ultimate.
    limit_holes : iterable of LoadedHole, optional
        The same with the strengths at limit (bearing at 2 % offset); without them there is no check at limit load.
    crush : float, optional
        Strength against pressure across the plies, hot and wet, under a washer [Pa].
    stiffness : array_like, shape (row - 1,), optional
        E A of the strip between rows, where plies end; by default that of the laminate [N].

    Raises
    ------
    ValueError
        If holes and laminate differ in thickness, or the numbers of holes do not match.

    Examples
    --------
    >>> from materials import Source, lamina
    >>> hole = LoadedHole(diameter=6e-3, width=30e-3, edge=24e-3, thickness=4e-3, tension=400e6, compression=250e6,
    ...                   bearing=500e6, shear=150e6, relief=0.3, source=Source("invented"))
    >>> wall = LaminatePlate(name="wall", laminate=Laminate.from_code("[0/90]s", lamina("T300/5208")), holes=[hole])
    Traceback (most recent call last):
    ValueError: LaminatePlate 'wall': thickness of the holes [m]: got 0.004, must be 0.0005, that of the laminate
    """

    name: str
    laminate: Laminate
    holes: Items[LoadedHole]
    limit_holes: Annotated[Items[LoadedHole], Limits(items=0)] = default(())
    crush: Annotated[float | None, Limits("Pa", at_least=1e5, at_most=5e9, cause="given in MPa?")] = None
    stiffness: Annotated[OptionalNumbers, AXIAL] = default(None)

    def __post_init__(self) -> None:
        super().__post_init__()
        owner, t = f"LaminatePlate '{self.name}'", self.laminate.thickness
        for hole in (*self.holes, *self.limit_holes):
            if abs(hole.thickness - t) > 1e-3 * t:
                limit = f"{t:g}, that of the laminate"
                reject(f"{owner}: thickness of the holes [m]", f"{hole.thickness:g}", limit)
        if self.limit_holes and len(self.limit_holes) != len(self.holes):
            reject(
                f"{owner}: limit_holes", f"{len(self.limit_holes)}", f"as many as holes, {len(self.holes)}"
            )
        for one, other in zip(self.holes, self.limit_holes, strict=False):
            if (one.diameter, one.width, one.edge) != (other.diameter, other.width, other.edge):
                reject(f"{owner}: limit_holes", "another diameter, width or edge", "those of holes")

    @property
    def thickness(self) -> float:
        """Of the laminate [m]."""
        return self.laminate.thickness

    @property
    def width(self) -> float:
        """Of the strip [m]."""
        return self.holes[0].width

    @property
    def elastic(self) -> tuple[float, float, float]:
        """E along the joint, G [Pa] and thermal expansion along the joint [1/K]."""
        moduli = inplane_moduli(self.laminate.abd, self.thickness, curvature="held")
        return float(moduli.Ex), float(moduli.Gxy), float(self.laminate.free_strain(1.0)[..., 0])


Work = Callable[[int, int], list[Line]]
"""Lines of a case and bolt, to the ratio Ro at the load that was judged."""


class Found(NamedTuple):
    """Part, mode, ratio (case, bolt), words and lines of a check."""

    part: str
    mode: str
    ratio: Array
    words: str
    work: Work


Plate = MetalPlate | LaminatePlate
"""A plate of a bolted joint."""


class InstalledBolt(Frozen, eq=True):
    """A bolt as it is installed in a joint of two plates.

    Parameters
    ----------
    fastener : Fastener
        Size and strengths.
    planes : {1, 2}
        Shear planes: 2 with the first plate between two of the second.
    gap : float
        Shim or sealant between the plates [m].
    bending_share : float
        Share of the bending by the arm of even bearing that counts [-].
    bending_basis : str, optional
        Where a share below 1 comes from: test of joints with this clamping.
    preload : Preload, optional
        Of the installation.

    Raises
    ------
    ValueError
        If a share below 1 has no basis.

    Notes
    -----
    Arm of the bending as in `Pin`: both plates keep the bolt from turning. Shear and bending: Rs^2 + Rb^2 = 1; with
    tension Rs^3 + (Rt + Rb)^2 = 1 (both from memory; bending added to tension is an own rule). Preload does not count
    at ultimate load, where a ductile bolt has yielded it away. Installation: the thread takes half of the torque,
    sqrt(s^2 + 3 t^2) <= Fty.

    Examples
    --------
    >>> from beam.joints import fastener
    >>> bolt = InstalledBolt(fastener=fastener("M6 8.8"))
    >>> round(bolt.moment_per_load(4e-3, 4e-3), 6)
    0.002
    """

    fastener: Fastener
    planes: Annotated[int, Limits("-", at_least=1, at_most=2)] = 1
    gap: Annotated[float, Limits("m", at_least=0.0, at_most=0.05, cause="given in mm?")] = 0.0
    bending_share: Annotated[float, Limits("-", at_least=0.0, at_most=1.0)] = 1.0
    bending_basis: str | None = None
    preload: Preload | None = None

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.bending_share < 1.0 and self.bending_basis is None:
            reject("InstalledBolt: bending_basis", None, "given with a bending_share below 1")

    @checked
    def moment_per_load(
        self, first: Annotated[float, THICKNESS], second: Annotated[float, THICKNESS]
    ) -> float:
        """Moment in the bolt over the load that it transfers.

        Parameters
        ----------
        first, second : float
            Thickness of the first plate (the middle one in double shear) and of the second [m].

        Returns
        -------
        float
            Moment over load [m].
        """
        return self.bending_share * _pin(self, first, second).moment_per_load


def _pin(bolt: InstalledBolt, first: float, second: float) -> Pin:
    """The bolt as a pin through plates of two thicknesses [m]."""
    kind: Literal["double", "single restrained"] = "double" if bolt.planes == 2 else "single restrained"
    f = bolt.fastener
    return Pin(name=f.name, diameter=f.diameter, metal=f.metal, outer=second, middle=first, gap=bolt.gap,
               arrangement=kind)  # fmt: skip


def refuse_misfit(bolt: InstalledBolt, owner: str, plate: Plate) -> None:
    """Refuse a bolt that does not fit the holes of a plate or is too thin for it."""
    d = bolt.fastener.diameter
    for hole in plate.holes:
        size = hole if isinstance(hole, float) else hole.diameter
        if not d * (1 - 1e-9) <= size <= LOOSE * d * (1 + 1e-9):
            limit = f"{d:g} to {LOOSE * d:g} for the bolt {bolt.fastener.name}"
            reject(f"{owner}: hole of '{plate.name}' [m]", f"{size:g}", limit, "another bolt's hole?")
    if d < SLENDER * plate.thickness * (1 - 1e-9):
        limit = f">= {SLENDER:g} x {plate.thickness:g}, the thickness of '{plate.name}'"
        reject(f"{owner}: diameter [m]", f"{d:g}", limit, "a thin bolt does not bear evenly")


def plate_checks(
    plate: Plate,
    row: int,
    part: str,
    bears: Array,
    passes: Array,
    pull: Array,
    level: Level,
    either_way: bool,
) -> list[Found]:
    """Ratios (case, bolt) of the hole in one row under loads (case, bolt, 2) and pulls (case, bolt) of the bolts."""
    if isinstance(plate, MetalPlate):
        return _metal_checks(plate, part, bears, passes, level)
    return _laminate_checks(plate, row, part, bears, passes, pull, level, either_way)


def _metal_checks(plate: MetalPlate, part: str, bears: Array, passes: Array, level: Level) -> list[Found]:
    """Ratios (case, bolt) of a hole in metal."""
    at = 0 if level == "ultimate" else 1
    tail = "" if level == "ultimate" else " yield"
    net = plate.thickness * (plate.width - plate.hole)
    past = bears + passes
    load = np.hypot(past[..., 0], np.sqrt(3.0) * past[..., 1])
    of = plate.metal.Ftu if level == "ultimate" else plate.metal.Fty
    said = of_metal(plate.metal, "Ftu", "Fbru")
    borne = plate.bearing[at] * plate.hole * plate.thickness
    total = np.hypot(bears[..., 0], bears[..., 1])
    bearing, broken = strength_ratio(borne, total), strength_ratio(of * net, load)

    def net_work(i: int, j: int) -> list[Line]:
        return [
            *given("N", "of this bolt and past it", bx=bears[i, j, 0], by=bears[i, j, 1], px=passes[i, j, 0],
                   py=passes[i, j, 1]),
            *given("m", t=plate.thickness, w=plate.width, d=plate.hole),
            *given("Pa", said, F=of),
            line("A", net, "m2", "t * (w - d)"),
            line("V", load[i, j], "N", "sqrt((bx + px)^2 + 3 * (by + py)^2)"),
            line("Ro", broken[i, j], "-", "F * A / V"),
        ]  # fmt: skip

    def bearing_work(i: int, j: int) -> list[Line]:
        return [
            *given("N", "of this bolt", bx=bears[i, j, 0], by=bears[i, j, 1]),
            *given("m", t=plate.thickness, d=plate.hole),
            *given("Pa", said, Fbr=plate.bearing[at]),
            line("B", total[i, j], "N", "sqrt(bx^2 + by^2)"),
            line("Ro", bearing[i, j], "-", "Fbr * d * t / B"),
        ]

    return [
        Found(part, f"net section{tail}", broken, f"even, von Mises; {said}", net_work),
        Found(part, f"bearing{tail}", bearing, said, bearing_work),
    ]


def _laminate_checks(
    plate: LaminatePlate,
    row: int,
    part: str,
    bears: Array,
    passes: Array,
    pull: Array,
    level: Level,
    either_way: bool,
) -> list[Found]:
    """Ratios (case, bolt) of a hole in a laminate."""
    holes = plate.holes if level == "ultimate" else plate.limit_holes
    if not holes:
        return []
    hole = holes[row if len(holes) > 1 else 0]
    total = np.hypot(bears[..., 0], bears[..., 1])
    signs = (1.0, -1.0) if either_way else (np.where(bears[..., 0] < 0.0, -1.0, 1.0),)
    mean, turned = passes[..., 0] / 2, np.hypot(passes[..., 0] / 2, passes[..., 1])
    ways = [(total * sign, mean + way * turned) for sign in signs for way in (1.0, -1.0)]
    found = [hole.ratios(load, bypass=past, pull=pull) for load, past in ways]
    missed = [f"{rule.name} {rule.value:.3g}" for rule in hole.rules if not rule.met]
    words = f"{hole.source}; resultant as if along the strip, bypass by its principal parts (own rule)"
    if level == "ultimate" and not plate.limit_holes:
        words += "; not checked at limit load: no strengths at 2 % offset"
    words += f"; against the rules of practice: {', '.join(missed)}" if missed else ""
    tail = "" if level == "ultimate" else " yield"
    modes = [mode for mode in found[0]._fields if mode != "pull_through" or hole.pull_through is not None]

    def work_of(mode: str, each: Array) -> Work:
        def work(i: int, j: int) -> list[Line]:
            load, past = ways[int(each[:, i, j].argmin())]
            ratio = each[:, i, j].min()
            return [
                *given("N", "of this bolt", bx=bears[i, j, 0], by=bears[i, j, 1]),
                line("B", total[i, j], "N", "sqrt(bx^2 + by^2)"),
                *given(
                    "N", "on the strip, in the worst sense, tension positive", Pb=load[i, j], Pp=past[i, j]
                ),
                *_hole_work(hole, mode, float(pull[i, j]), 1 / ratio),
                line("Ro", ratio, "-", "1 / u"),
            ]

        return work

    out = []
    for mode in modes:
        each = np.array([getattr(one, mode) for one in found])
        out.append(Found(part, mode.replace("_", " ") + tail, each.min(axis=0), words, work_of(mode, each)))
    return out


def _hole_work(hole: LoadedHole, mode: str, pull: float, use: float) -> list[Line]:
    """Lines to the utilization u of a hole from Pb and Pp on the strip and a pull of the bolt [N]."""
    d, t = hole.diameter, hole.thickness
    strip = min(hole.width, CHECKED_PITCH * d)
    lines = given("m", d=d, w=hole.width, e=hole.edge, t=t, cs=hole.countersink)
    lines += [line("ws", strip, "m", "min(w, 6 * d)")]
    said = str(hole.source)
    if mode == "net_tension":
        return [
            *lines,
            *given("Pa", said, F=hole.tension),
            *given("-", said, C=hole.relief),
            line("ke", hole.loaded_concentration, "-",
                 "2 + (ws / d - 1) - 1.5 * min(1.5 - 0.5 * ws / e, 1) * (ws / d - 1) / (ws / d + 1)"),
            line("ko", hole.open_concentration, "-", "2 + (1 - d / ws)^3"),
            line("A", t * (strip - d) - CONE * hole.countersink**2, "m2", "t * (ws - d) - 1.19 * cs^2"),
            line("kb", 1 + hole.relief * (hole.loaded_concentration - 1), "-", "1 + C * (ke - 1)"),
            line("kp", 1 + hole.relief * (hole.open_concentration - 1), "-", "1 + C * (ko - 1)"),
            line("u", use, "-", "(kb * max(Pb, 0) + kp * max(Pp * ws / w, 0)) / (F * A)"),
        ]  # fmt: skip
    bearing = "abs(Pb) / (d * (t - cs / 2) * Fbr)"
    if mode == "compression":
        lines += given("Pa", said, Fbr=hole.bearing, Fc=hole.compression)
        return [*lines, line("u", use, "-", f"{bearing} + max(-Pp * ws / w, 0) / (ws * t * Fc)")]
    if mode == "bearing":
        return [*lines, *given("Pa", said, Fbr=hole.bearing), line("u", use, "-", bearing)]
    if mode == "shear_out":
        return [
            *lines,
            *given("Pa", said, Fs=hole.shear),
            line("u", use, "-", "max(Pb, 0) / (2 * e * t * Fs)"),
        ]
    lines += [*given("m", dh=hole.head_diameter or 0.0), *given("Pa", said, Fp=hole.pull_through or 0.0)]
    return [*lines, *given("N", Pt=pull), line("u", use, "-", "Pt / (pi * dh * t * Fp)")]


def bolt_checks(
    bolt: InstalledBolt,
    part: str,
    shear: Array,
    tension: Array | None,
    plates: tuple[Plate, Plate],
    level: Level,
) -> list[Found]:
    """Part, mode, ratio (case, bolt) and words of the bolt under load across and along it (case, bolt)."""
    f, tight = bolt.fastener, bolt.preload
    if level == "limit":
        if tension is None or tight is None:
            return []
        pulled = tension
        most, least, share = tight.most(f.diameter), tight.least(f.diameter), tight.external_share
        added = strength_ratio(max(f.yield_load - most, 0.0), share * tension)
        open_at = strength_ratio(least, tension)

        def thread(i: int, j: int) -> list[Line]:
            return [
                *given("N", tight.said, Pt=pulled[i, j], preload=most),
                *given("m2", "of the thread", At=f.thread_area),
                *given("Pa", of_metal(f.metal, "Fty"), Fty=f.metal.Fty),
                *given("-", "of the pull adds", share=share),
                line("Ro", added[i, j], "-", "max(Fty * At - preload, 0) / (share * Pt)"),
            ]

        def gapping(i: int, j: int) -> list[Line]:
            lines = given("N", tight.said, Pt=pulled[i, j], preload=least)
            return [*lines, line("Ro", open_at[i, j], "-", "preload / Pt")]

        return [
            Found(part, "thread yield", added, f"{tight.said}; {share:g} of the load adds", thread),
            Found(part, "gapping", open_at, tight.said, gapping),
        ]
    pin = _pin(bolt, plates[0].thickness, plates[1].thickness)
    bent = bolt.bending_share * pin.moment_per_load * shear
    moment = pin.moment_factor * f.metal.Ftu * pin.section_modulus
    rs = shear / (bolt.planes * f.shear_strength)
    rb = bent / moment
    said = f"{f.source}; {of_metal(f.metal, 'Ftu', 'Fsu')}"
    share_said = "" if bolt.bending_share == 1.0 else f", {bolt.bending_share:g} of it: {bolt.bending_basis}"
    arm = f"arm of even bearing{share_said}, k {pin.moment_factor:.3g}"

    def sheared(i: int, j: int) -> list[Line]:
        return [
            *given("N", "on the bolt", Pv=shear[i, j]),
            *given("N", f"one shear plane; {said}", Pus=f.shear_strength),
            line("Rs", rs[i, j], "-", f"Pv / ({bolt.planes} * Pus)"),
        ]

    def bending(i: int, j: int) -> list[Line]:
        middle = "(t2 / 2 + g + t1 / 4) / 2" if bolt.planes == 2 else "(t1 / 2 + t2 / 2 + g) / 2"
        return [
            *given("N", "on the bolt", Pv=shear[i, j]),
            *given("m", "bolt, plates, gap", d=f.diameter, t1=plates[0].thickness, t2=plates[1].thickness, g=bolt.gap),
            *given("-", arm, k=pin.moment_factor, share=bolt.bending_share),
            *given("Pa", said, Ftu=f.metal.Ftu),
            line("M", bent[i, j], "N m", f"share * {middle} * Pv"),
            line("Mu", moment, "N m", "k * Ftu * pi * d^3 / 32"),
            line("Rb", rb[i, j], "-", "M / Mu"),
        ]  # fmt: skip

    def alone(lines: Work, name: str, use: Array) -> Work:
        return lambda i, j: [*lines(i, j), line("Ro", 1 / use[i, j], "-", f"1 / {name}")]

    out = [
        Found(part, "shear", strength_ratio(1.0, rs), said, alone(sheared, "Rs", rs)),
        Found(part, "bending", strength_ratio(1.0, rb), f"{arm}; {said}", alone(bending, "Rb", rb)),
    ]
    if tension is None:
        both = interaction_ratio((rs, 2.0), (rb, 2.0))

        def sheared_and_bent(i: int, j: int) -> list[Line]:
            lines = [*sheared(i, j), *bending(i, j)[1:]]
            return [*lines, line("Ro", both[i, j], "-", "1 / sqrt(Rs^2 + Rb^2)")]

        return [*out, Found(part, "shear and bending", both, f"Rs^2 + Rb^2; {arm}; {said}", sheared_and_bent)]
    rt = tension / f.tension_strength
    every = interaction_ratio((rs, PULLED_AND_SHEARED), (rt + rb, 2.0))
    words = f"Rs^3 + (Rt + Rb)^2; {arm}; {said}"

    def pull(i: int, j: int) -> list[Line]:
        lines = given("N", "prying included", Pt=rt[i, j] * f.tension_strength)
        lines += given("N", said, Put=f.tension_strength)
        return [*lines, line("Rt", rt[i, j], "-", "Pt / Put")]

    def together(i: int, j: int) -> list[Line]:
        lines = [*sheared(i, j), *bending(i, j)[1:], *pull(i, j)]
        lines += given("-", "root of the next line", Ro=every[i, j])
        return [*lines, line("sum", 1.0, "-", "(Ro * Rs)^3 + (Ro * (Rt + Rb))^2")]

    return [
        *out,
        Found(part, "tension", strength_ratio(1.0, rt), said, alone(pull, "Rt", rt)),
        Found(part, "interaction", every, words, together),
    ]


def installation_checks(bolt: InstalledBolt, plates: tuple[Plate, Plate], cases: int) -> list[JointCheck]:
    """Checks of the installation, (case,) each: thread and washers under the largest preload."""
    f, tight = bolt.fastener, bolt.preload
    if tight is None:
        return []
    most, root = tight.most(f.diameter), np.sqrt(4 * f.thread_area / np.pi)
    twist = 16 * 0.5 * (1 + tight.scatter) * tight.torque / (np.pi * root**3)
    stress = np.hypot(most / f.thread_area, np.sqrt(3.0) * twist)

    def installed(i: int) -> list[Line]:
        return [
            *given("N m", tight.said, T=tight.torque),
            *given("-", tight.said, K=tight.nut_factor, scatter=tight.scatter),
            *given("m", d=f.diameter),
            *given("m2", "of the thread", At=f.thread_area),
            *given("Pa", of_metal(f.metal, "Fty"), Fty=f.metal.Fty),
            line("Fp", most, "N", "(1 + scatter) * T / (K * d)"),
            line("dr", root, "m", "sqrt(4 * At / pi)"),
            line("tau", twist, "Pa", "16 * 0.5 * (1 + scatter) * T / (pi * dr^3)"),
            line("s", stress, "Pa", "sqrt((Fp / At)^2 + 3 * tau^2)"),
            line("R", f.metal.Fty / stress, "-", "Fty / s"),
        ]

    words = f"{tight.said}; half of the torque twists the thread (from memory); no load needed"
    out = [
        JointCheck(
            "bolt", "installation", "limit", np.full(cases, f.metal.Fty / stress), words, work=installed
        )
    ]
    for plate in plates:
        if not isinstance(plate, LaminatePlate) or plate.crush is None:
            continue
        bears = np.pi / 4 * (f.head_diameter**2 - plate.holes[0].diameter ** 2)
        if bears <= 0.0:
            reject(f"bolt {f.name}: head_diameter [m]", f"{f.head_diameter:g}", "> the hole: add a washer")
        ratio = np.full(cases, plate.crush * bears / most)
        work = _washer_work(f.head_diameter, plate.holes[0].diameter, plate.crush, most, tight.said)
        out.append(
            JointCheck(plate.name, "washer pressure", "limit", ratio, tight.said, laminate=True, work=work)
        )
    return out


def _washer_work(
    head: float, hole: float, crush: float, most: float, said: str
) -> Callable[[int], list[Line]]:
    """Lines of the pressure under a washer at the largest preload [N]."""
    return lambda i: [
        *given("m", dh=head, d=hole),
        *given("Pa", "across the plies", Fz=crush),
        *given("N", said, Fp=most),
        line("R", crush * np.pi / 4 * (head**2 - hole**2) / most, "-", "Fz * pi / 4 * (dh^2 - d^2) / Fp"),
    ]


def to_checks(
    found: list[Found],
    scale: ArrayLike,
    level: Level,
    *,
    laminate: bool = False,
    service: str = "",
    before: Work | None = None,
) -> list[JointCheck]:
    """Checks whose ratio is the least over bolts, at the given load scaled by `scale` (case,).

    `before` gives the lines from the loads of the joint to those of a bolt.
    """

    def work_of(one: Found) -> Callable[[int], list[Line]]:
        def work(i: int) -> list[Line]:
            j, k = int(one.ratio[i].argmin()), float(np.broadcast_to(scale, len(one.ratio))[i])
            lines = [*(before(i, j) if before else ()), *one.work(i, j)]
            lines += given("-", "load that was judged over the given load", k=k) if before else []
            return [*lines, line("R", k * one.ratio[i, j], "-", "k * Ro" if before else "Ro")]

        return work

    return [
        JointCheck(one.part, one.mode, level, scale * one.ratio.min(axis=-1), one.words,
                   "bearing" if one.mode.startswith("bearing") else "strength", laminate, service, work=work_of(one))
        for one in found
    ]  # fmt: skip
