"""Plates of metal and laminate with bolts in them: bearing and bypass of a hole, strength of a bolt as installed."""

from typing import Annotated, Literal

import numpy as np
from numpy.typing import ArrayLike

from beam.joints.bushing import SIZE
from beam.joints.fasteners import THICKNESS, Fastener, Preload
from beam.joints.joint_rows import (
    JointCheck,
    interaction_ratio,
    of_metal,
    strength_ratio,
)
from beam.joints.pin import Pin
from beam.strength.check import Level
from laminate import Laminate
from laminate.constants import inplane_moduli
from laminate.notch import LoadedHole
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


Found = tuple[str, str, Array, str]
"""Part, mode, ratio (case, bolt) and words of a check."""

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
    bearing = strength_ratio(borne, np.hypot(bears[..., 0], bears[..., 1]))
    return [
        (part, f"net section{tail}", strength_ratio(of * net, load), f"even, von Mises; {said}"),
        (part, f"bearing{tail}", bearing, said),
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
    found = [
        hole.ratios(total * sign, bypass=mean + way * turned, pull=pull)
        for sign in signs
        for way in (1.0, -1.0)
    ]
    missed = [f"{rule.name} {rule.value:.3g}" for rule in hole.rules if not rule.met]
    words = f"{hole.source}; resultant as if along the strip, bypass by its principal parts (own rule)"
    if level == "ultimate" and not plate.limit_holes:
        words += "; not checked at limit load: no strengths at 2 % offset"
    words += f"; against the rules of practice: {', '.join(missed)}" if missed else ""
    tail = "" if level == "ultimate" else " yield"
    modes = [mode for mode in found[0]._fields if mode != "pull_through" or hole.pull_through is not None]
    return [
        (
            part,
            mode.replace("_", " ") + tail,
            np.min([getattr(one, mode) for one in found], axis=0),
            words,
        )
        for mode in modes
    ]


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
        left = max(f.yield_load - tight.most(f.diameter), 0.0)
        added = strength_ratio(left, tight.external_share * tension)
        open_at = strength_ratio(tight.least(f.diameter), tension)
        return [
            (part, "thread yield", added, f"{tight.said}; {tight.external_share:g} of the load adds"),
            (part, "gapping", open_at, tight.said),
        ]
    pin = _pin(bolt, plates[0].thickness, plates[1].thickness)
    bent = bolt.bending_share * pin.moment_per_load * shear
    rs = shear / (bolt.planes * f.shear_strength)
    rb = bent / (pin.moment_factor * f.metal.Ftu * pin.section_modulus)
    said = f"{f.source}; {of_metal(f.metal, 'Ftu', 'Fsu')}"
    share = "" if bolt.bending_share == 1.0 else f", {bolt.bending_share:g} of it: {bolt.bending_basis}"
    arm = f"arm of even bearing{share}, k {pin.moment_factor:.3g}"
    out = [
        (part, "shear", strength_ratio(1.0, rs), said),
        (part, "bending", strength_ratio(1.0, rb), f"{arm}; {said}"),
    ]
    if tension is None:
        both = interaction_ratio((rs, 2.0), (rb, 2.0))
        return [*out, (part, "shear and bending", both, f"Rs^2 + Rb^2; {arm}; {said}")]
    rt = tension / f.tension_strength
    every = interaction_ratio((rs, PULLED_AND_SHEARED), (rt + rb, 2.0))
    words = f"Rs^3 + (Rt + Rb)^2; {arm}; {said}"
    return [*out, (part, "tension", strength_ratio(1.0, rt), said), (part, "interaction", every, words)]


def installation_checks(bolt: InstalledBolt, plates: tuple[Plate, Plate], cases: int) -> list[JointCheck]:
    """Checks of the installation, (case,) each: thread and washers under the largest preload."""
    f, tight = bolt.fastener, bolt.preload
    if tight is None:
        return []
    most, root = tight.most(f.diameter), np.sqrt(4 * f.thread_area / np.pi)
    twist = 16 * 0.5 * (1 + tight.scatter) * tight.torque / (np.pi * root**3)
    stress = np.hypot(most / f.thread_area, np.sqrt(3.0) * twist)
    words = f"{tight.said}; half of the torque twists the thread (from memory); no load needed"
    out = [JointCheck("bolt", "installation", "limit", np.full(cases, f.metal.Fty / stress), words)]
    for plate in plates:
        if not isinstance(plate, LaminatePlate) or plate.crush is None:
            continue
        bears = np.pi / 4 * (f.head_diameter**2 - plate.holes[0].diameter ** 2)
        if bears <= 0.0:
            reject(f"bolt {f.name}: head_diameter [m]", f"{f.head_diameter:g}", "> the hole: add a washer")
        ratio = np.full(cases, plate.crush * bears / most)
        out.append(JointCheck(plate.name, "washer pressure", "limit", ratio, tight.said, laminate=True))
    return out


def to_checks(
    found: list[Found],
    scale: ArrayLike,
    level: Level,
    *,
    laminate: bool = False,
    service: str = "",
) -> list[JointCheck]:
    """Checks whose ratio is the least over bolts, at the given load scaled by `scale` (case,)."""
    return [
        JointCheck(part, mode, level, scale * ratio.min(axis=-1), words,
                   "bearing" if mode.startswith("bearing") else "strength", laminate, service)
        for part, mode, ratio, words in found
    ]  # fmt: skip
