"""Bolts in plates of metal and laminate, and a group of bolts that carries a force beside it and a moment.

::

          y ^   o 3        o 4          force at the point (x, y, z), z above the wall: the group carries it with its
            |       c +                 moment about the centroid c, in the plane by shear, out of it by tension
            |   o 1        o 2
            +------------------> x      Fz > 0 pulls off the wall
"""

from typing import Annotated, Literal

import numpy as np
from numpy.typing import ArrayLike

from beam.joints.bushing import SIZE
from beam.joints.fasteners import THICKNESS, Fastener, Preload
from beam.joints.joint_rows import (
    JointCheck,
    JointFactors,
    JointLoads,
    interaction_ratio,
    joint_rows,
    of_metal,
    strength_ratio,
)
from beam.joints.pin import Pin
from beam.strength.check import Level
from beam.strength.requirement import Requirement
from laminate import Laminate
from laminate.constants import inplane_moduli
from laminate.notch import LoadedHole
from materials import Metal
from materials.checks import (
    Array,
    Frozen,
    Items,
    Limits,
    Numbers,
    OptionalNumbers,
    Table,
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


@checked
def prying_share(
    arm: Annotated[float, WIDTH],
    toe: Annotated[float, WIDTH],
    *,
    hole: Annotated[float, SIZE],
    pitch: Annotated[float, WIDTH],
) -> float:
    """Tension that a bending flange adds to its bolts, over the tension without it: the largest there can be.

    Parameters
    ----------
    arm : float
        From the bolt to the face of the web that pulls [m].
    toe : float
        From the bolt to the edge of the flange beyond; more than 1.25 arms do not count [m].
    hole : float
        Diameter of the hole [m].
    pitch : float
        Of the bolts along the flange [m].

    Returns
    -------
    float
        Prying force over tension [-].

    Notes
    -----
    T arm = M1 + M2, Q toe = M2 at the bolts, M2 <= M1 (1 - hole / pitch): Q / T = arm / toe x d / (1 + d) with
    d = 1 - hole / pitch. A stiffer flange pries less. Equilibrium; the limit of 1.25 arms is from memory (AISC).

    Examples
    --------
    >>> round(prying_share(20e-3, 20e-3, hole=6e-3, pitch=30e-3), 4)
    0.4444
    """
    if pitch <= hole:
        reject("prying_share: pitch [m]", f"{pitch:g}", f"> hole = {hole:g}")
    net = 1 - hole / pitch
    return arm / min(toe, 1.25 * arm) * net / (1 + net)


class BoltGroup(Frozen, eq=True):
    """Bolts of a bracket on a wall.

    Parameters
    ----------
    name : str
        Of the joint, in the margin table.
    positions : array_like, shape (bolt, 2)
        Of the bolts in the plane of the wall [m].
    bolt : InstalledBolt
        One for all, in single shear.
    wall : LaminatePlate or MetalPlate
        What the bracket stands on.
    bracket : LaminatePlate or MetalPlate
        Its foot.
    point : array_like, shape (3,)
        Where force and moment of the loads act; z above the faying face [m].
    weights : array_like, shape (bolt,), optional
        Stiffness of each bolt over that of the first; equal ones by default [-].
    prying : float, optional
        Prying force over bolt tension, as `prying_share` has it; 0 for a thick foot. Needed once a bolt is pulled [-].
    prying_basis : str, optional
        Where it comes from.
    foot : array_like, shape (4,), optional
        x from, x to, y from, y to of a rigid foot on a rigid wall: moments turn it about its edge. Without it about the
        centroid of the bolts, as on a thin laminate, with larger bolt tension [m].
    factors : JointFactors
        Factors of Part 23 on the loads of the joint.
    station : float
        Of the joint on the strut [m].

    Raises
    ------
    ValueError
        If bolts stand closer than 2 diameters, a bolt stands outside the foot, a bolt does not fit its holes, prying
        has no basis, or the bolts are in double shear.

    Notes
    -----
    Centroid c of the weights k, M about it: shear f_i = k_i [F / sum k + (M / J) (-(y_i - c_y), x_i - c_x)],
    J = sum k |r_i - c|^2. Tension t_i = k_i [Fz / sum k + a x_i + b y_i], a and b by equilibrium with the moments; on a
    rigid foot t_i = M y_i / sum y_i^2 from the edge that stays down, for both axes together. Plates are rigid in their
    plane; bending of the foot itself is not checked.

    References
    ----------
    V. B. Bhandari, Design of Machine Elements, examples 7.4 and 8.27 (printed answers).

    Examples
    --------
    >>> from beam.joints import MetalPlate, fastener
    >>> from materials import metal
    >>> plate = MetalPlate(name="foot", metal=metal("2024-T3 sheet"), thickness=4e-3, width=30e-3, edge=15e-3,
    ...                    hole=6e-3)
    >>> group = BoltGroup(name="bracket", positions=[[0, 0], [0, 0.075], [0, 0.15]], wall=plate, bracket=plate,
    ...                   bolt=InstalledBolt(fastener=fastener("M6 8.8")), point=[0.305, 0.075, 0])
    >>> shear, tension = group.bolt_loads([[0, -5000.0, 0]], [[0, 0, 0]])
    >>> abs(shear[0]).round(1).tolist()
    [[10166.7, 1666.7], [0.0, 1666.7], [10166.7, 1666.7]]
    """

    name: str
    positions: Annotated[Numbers, Limits("m", shape=(-1, 2))]
    bolt: InstalledBolt
    wall: MetalPlate | LaminatePlate
    bracket: MetalPlate | LaminatePlate
    point: Annotated[Numbers, Limits("m", shape=(3,))]
    weights: Annotated[OptionalNumbers, Limits("-", above=0.0, shape=(-1,))] = default(None)
    prying: Annotated[float | None, Limits("-", at_least=0.0, at_most=2.0)] = None
    prying_basis: str | None = None
    foot: Annotated[OptionalNumbers, Limits("m", shape=(4,))] = default(None)
    factors: JointFactors = default(JointFactors())
    station: Annotated[float, Limits("m", at_least=0.0)] = 0.0

    def __post_init__(self) -> None:
        super().__post_init__()
        owner, r, d = f"BoltGroup '{self.name}'", self.positions, self.bolt.fastener.diameter
        count = len(r)
        apart = np.linalg.norm(r[:, None] - r[None], axis=-1) + np.eye(count)
        if apart.min(initial=1.0) < 2 * d * (1 - 1e-9):
            reject(f"{owner}: least pitch [m]", f"{apart.min():g}", f">= 2 diameters = {2 * d:g}")
        if self.weights is not None and self.weights.shape != (count,):
            reject(f"{owner}: weights", f"shape {self.weights.shape}", f"({count},)")
        if self.bolt.planes != 1:
            reject(f"{owner}: planes of the bolt", "2", "1", "a bracket stands on one face")
        if (self.prying is None) != (self.prying_basis is None):
            reject(f"{owner}: prying, prying_basis", "one of both", "given together")
        if self.foot is not None:
            low, high = self.foot[[0, 2]], self.foot[[1, 3]]
            if (low >= high).any() or (r < low - 1e-12).any() or (r > high + 1e-12).any():
                reject(f"{owner}: foot [m]", self.foot.tolist(), "from < to, around all bolts")
        for plate in (self.wall, self.bracket):
            refuse_misfit(self.bolt, owner, plate)

    @property
    def centroid(self) -> Array:
        """Of the bolts by weight, (2,) [m]."""
        return np.average(self.positions, axis=0, weights=self.weights)

    @checked
    def bolt_loads(
        self,
        force: Annotated[ArrayLike, Limits("N", last=(3,))],
        moment: Annotated[ArrayLike, Limits("N m", last=(3,))],
    ) -> tuple[Array, Array]:
        """Shear and tension of each bolt, without prying.

        Parameters
        ----------
        force : array_like, shape (..., 3)
            On the bracket at its point [N].
        moment : array_like, shape (..., 3)
            Besides it [N m].

        Returns
        -------
        tuple of ndarray
            Force that the load puts on each bolt in the plane (..., bolt, 2), and tension (..., bolt); what is negative
            the foot presses on the wall [N].
        """
        F, count = np.asarray(force), len(self.positions)
        k = np.ones(count) if self.weights is None else self.weights
        c = self.centroid
        lever = self.point - np.array([*c, 0.0])
        M = np.asarray(moment) + np.cross(lever, F)
        from_c = self.positions - c
        J = k @ (from_c**2).sum(axis=1)
        around = np.stack([-from_c[:, 1], from_c[:, 0]], axis=-1)
        turning = (M[..., 2] / J if J > 0.0 else self._no_arm(M[..., 2]))[..., None, None]
        shear = k[:, None] * (F[..., None, :2] / k.sum() + turning * around)
        return shear, k * F[..., 2, None] / k.sum() + self._tension(k, from_c, M[..., :2])

    def _no_arm(self, moment: Array) -> Array:
        """No share of a moment that is zero; refuse one that one bolt cannot carry."""
        if abs(moment).max(initial=0.0) > 0.0:
            cause = "bolts on one spot or line hold no moment about it: move the load or add bolts"
            what = f"BoltGroup '{self.name}': moment about the bolts [N m]"
            reject(what, f"{abs(moment).max():g}", "0", cause)
        return np.zeros_like(moment)

    def _tension(self, k: Array, from_c: Array, moment: Array) -> Array:
        """Tension (..., bolt) of each bolt by the moments (..., 2) about x and y of the centroid [N]."""
        if self.foot is None:
            pull = np.stack([from_c[:, 1], -from_c[:, 0]], axis=-1)  # moment about x pulls where y > 0
            inertia = np.einsum("b,bi,bj->ij", k, pull, pull)
            lost = moment - moment @ np.linalg.pinv(inertia, rcond=1e-10) @ inertia
            scale = 1e-9 * abs(moment).max(initial=0.0)
            self._no_arm(np.where(abs(lost) > scale, lost, 0.0))
            return k * (moment @ np.linalg.pinv(inertia, rcond=1e-10) @ pull.T)
        x, y = (self.positions).T
        x0, x1, y0, y1 = self.foot
        out = np.zeros((*moment.shape[:-1], len(k)))
        for about, arms in ((moment[..., 0], (y - y0, y1 - y)), (-moment[..., 1], (x - x0, x1 - x))):
            for size, arm in zip((np.maximum(about, 0.0), np.maximum(-about, 0.0)), arms, strict=True):
                total = k @ arm**2
                out = out + (size / total if total > 0.0 else self._no_arm(size))[..., None] * k * arm
        return out

    @checked
    def margins(
        self, loads: JointLoads, requirement: Requirement, bypass: Annotated[ArrayLike, Limits("N")] = 0.0
    ) -> Table:
        """Margins of every bolt and its holes.

        Parameters
        ----------
        loads : JointLoads
            Force and moment at the point, in the axes of the group.
        requirement : Requirement
            Factors.
        bypass : array_like, shape (case,) or (case, bolt)
            Load of the wall past each hole on the width of its strip, tension positive [N].

        Returns
        -------
        DataFrame
            Rows of the margin table.

        Raises
        ------
        ValueError
            If a bolt is pulled and no prying is given.
        """
        shear, tension = self.bolt_loads(loads.force, loads.moment)
        past = np.asarray(bypass, dtype=float)
        past = np.broadcast_to(past[..., None] if past.ndim == 1 else past, tension.shape)
        pull = np.maximum(tension, 0.0)
        pull = np.where(pull > 1e-9 * abs(shear).max(initial=0.0), pull, 0.0)
        if self.prying is None and (pull > 0.0).any():
            cause = "0 for a thick foot, else from prying_share, with its basis"
            reject(f"BoltGroup '{self.name}': prying", None, "given where bolts are pulled", cause)
        pull = pull * (1.0 + (self.prying or 0.0))
        pried = f"; prying {self.prying:g}: {self.prying_basis}" if self.prying is not None else ""
        axis = "about the centroid" if self.foot is None else "about the edge of a rigid foot"
        checks = installation_checks(self.bolt, (self.wall, self.bracket), len(loads.cases))
        levels: tuple[Level, ...] = ("ultimate", "limit")
        for i in range(len(self.positions)):
            one = slice(i, i + 1)
            passing = np.stack([past[:, one], np.zeros_like(past[:, one])], axis=-1)
            for level in levels:
                total = np.hypot(shear[:, one, 0], shear[:, one, 1])
                plates = (self.wall, self.bracket)
                found = bolt_checks(self.bolt, f"bolt {i + 1}", total, pull[:, one], plates, level)
                found = [(*check[:3], f"{check[3]}; tension {axis}{pried}") for check in found]
                checks += to_checks(found, 1.0, level)
                for plate, passes in ((self.wall, passing), (self.bracket, 0.0 * passing)):
                    part = f"{plate.name}, bolt {i + 1}"
                    holes = plate_checks(plate, 0, part, shear[:, one], passes, pull[:, one], level, True)
                    of_plies = isinstance(plate, LaminatePlate)
                    checks += to_checks(holes, 1.0, level, laminate=of_plies)
        return joint_rows(self.name, checks, loads, requirement, factors=self.factors, station=self.station)
