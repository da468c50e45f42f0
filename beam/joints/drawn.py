"""Joints drawn on a strut: their walls, widths and holes come from its mold line and ply book.

They stand in a `Fitting` of a design, which is written before the strut is sized; `Fitting.on` draws them on a strut.
"""

from typing import Annotated, Literal

import numpy as np

from beam.joints.bolt_rows import RowJoint
from beam.joints.bolted_plates import InstalledBolt, LaminatePlate, MetalPlate
from beam.joints.bond import BondedSleeve
from beam.joints.joint_rows import JointFactors
from beam.joints.line_loads import around
from beam.joints.saddle import PRESSURE, STRAIN, Clamp, Glue, Saddle
from beam.strut import Strut
from laminate import Laminate
from laminate.notch import LoadedHole
from laminate.notch.loaded_hole import STRENGTH
from materials import Adhesive, Metal, Source
from materials.checks import Frozen, Limits, checked, default, reject
from materials.source import SOURCED

SAMPLES = 9
"""Stations of a fitting at which its thinnest wall is looked for."""
INSIDE = 1e-6
"""Distance from the ends of a fitting at which its walls are looked at [m]."""

_LENGTH = Limits("m", above=0.0, at_most=2.0, cause="given in mm?")
_STATION = Limits("m", at_least=0.0, at_most=10.0, cause="given in mm?")


def thinnest(strut: Strut, start: float, end: float, walls: tuple[str, ...]) -> Laminate:
    """Thinnest laminate of some walls between two stations [m]."""
    stations = np.linspace(start + INSIDE, end - INSIDE, SAMPLES)
    every = (strut.ply_book.laminate(wall, s) for s in stations.tolist() for wall in walls)
    return min(every, key=lambda one: one.thickness)


class DrawnSocket(Frozen):
    """A metal socket bonded to both faces of an end of a box strut, with bolts that carry limit load alone.

    Parameters
    ----------
    name : str
        Of the joint, in the margin table.
    metal : Metal
        Of the fitting.
    adhesive : Adhesive
        Of the bond.
    thickness : float
        Of each of both walls of the fitting [m].
    bond_thickness : float
        Of the adhesive [m].
    bolt : InstalledBolt
        In double shear through fitting and tube.
    columns, rows : int
        Bolts around the tube, and rows along it, three diameters apart [-].
    tension, compression : float
        Strains along the tube at which its wall fails beside a filled hole, before the stress peak of the hole [-].
    bearing, shear : float
        Strengths of the wall in bearing and shear-out [Pa].
    strength_source : Source
        Where these come from.
    fail_safe_basis : str
        Drawing or agreement behind the bolts.
    taper, tip, body_gap : float, optional
        As of `BondedSleeve` [m].
    couple_share : float
        As of `BondedSleeve` [-].
    couple_basis : str, optional
        Model behind a share below 1.
    factors : JointFactors
        Fitting factor of the bond.

    Raises
    ------
    ValueError
        If the bolt is not in double shear.

    Notes
    -----
    The bond has the thinnest flat wall under the fitting all round, and its width and height at the mouth. Bolts
    stand on a ring whose worst strip has the running load of the worst place of the box, whichever way the moment
    points. They are judged with the thinnest wall across e3, loads on the walls across e2 raised by the ratio of the
    thicknesses. The stress peak falls by the share of plies along the tube (from memory).

    Examples
    --------
    >>> import tarn, tarn_joints  # examples/tarn.py
    >>> own = tarn_joints.TRUNNION.joints[0].joint
    >>> sleeve = own.on(tarn.FIRST_STRUT, start=0.0, end=0.15, mouth=0.15)
    >>> type(sleeve).__name__, round(sleeve.width * 1e3, 1)
    ('BondedSleeve', 88.4)
    """

    name: str
    metal: Metal
    adhesive: Adhesive
    thickness: Annotated[float, _LENGTH]
    bond_thickness: Annotated[float, Limits("m", at_least=2e-5, at_most=5e-3, cause="given in mm?")]
    bolt: InstalledBolt
    columns: Annotated[int, Limits("-", at_least=3, at_most=500)]
    rows: Annotated[int, Limits("-", at_least=1, at_most=50)]
    tension: Annotated[float, STRAIN]
    compression: Annotated[float, STRAIN]
    bearing: Annotated[float, STRENGTH]
    shear: Annotated[float, STRENGTH]
    strength_source: Annotated[Source, SOURCED]
    fail_safe_basis: str
    taper: Annotated[float, Limits("m", at_least=0.0, at_most=1.0, cause="given in mm?")] = 0.0
    tip: Annotated[float | None, _LENGTH] = None
    body_gap: Annotated[float | None, Limits("m", at_least=0.0, at_most=1.0, cause="given in mm?")] = None
    couple_share: Annotated[float, Limits("-", at_least=0.0, at_most=1.0)] = 1.0
    couple_basis: str | None = None
    factors: JointFactors = default(JointFactors())

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.bolt.planes != 2:
            reject(
                f"DrawnSocket '{self.name}': planes of the bolt",
                f"{self.bolt.planes}",
                "2: metal on both faces",
            )

    @checked
    def on(
        self,
        strut: Strut,
        *,
        start: Annotated[float, _STATION],
        end: Annotated[float, _STATION],
        mouth: Annotated[float, _STATION],
    ) -> BondedSleeve:
        """Draw the socket on a strut.

        Parameters
        ----------
        strut : Strut
            With its ply book.
        start, end, mouth : float
            Stretch of the fitting, and the end of it where the tube leaves [m].

        Returns
        -------
        BondedSleeve
            With its bolts.
        """
        flat = strut.mold_line.flat_walls
        wall, cap = (thinnest(strut, start, end, walls) for walls in (flat, flat[0::2]))
        t, d, profile = wall.thickness, self.bolt.fastener.diameter, strut.mold_line.at(mouth)
        width, height, radius = (
            float(one) for one in (profile.width - t, profile.height - t, profile.corner_radius - t / 2)
        )
        box = around(width, height, radius, 5)
        on_web = box.flat & (abs(box.y[:, 0]) > width / 2 - 1e-9)
        stress = np.hypot(box.y[:, 1] / box.whole.J2, box.y[:, 0] / box.whole.J3)
        stress = stress * np.where(on_web, cap.thickness / t, 1.0)
        ring = float(2 / (box.whole.perimeter * stress.max()))
        pitch = 2 * np.pi * ring / self.columns
        Ex = float(cap.moduli(curvature="held").Ex)
        along = sum(ply.angle_deg == 0.0 for ply in cap.plies) / len(cap.plies)
        hole = LoadedHole(
            diameter=d, width=pitch, edge=3 * d, thickness=cap.thickness, tension=Ex * self.tension,
            compression=Ex * self.compression, bearing=self.bearing, shear=self.shear, relief=along,
            source=self.strength_source,
        )  # fmt: skip
        plates = (
            LaminatePlate(name="tube", laminate=cap, holes=[hole]),
            MetalPlate(
                name="fitting", metal=self.metal, thickness=self.thickness, width=pitch, edge=3 * d, hole=d
            ),
        )
        through = RowJoint(
            name=f"{self.name}, bond gone", plates=plates, bolt=self.bolt, columns=self.columns, radius=ring,
            pitch=[3 * d] * (self.rows - 1), factors=self.factors,
        )  # fmt: skip
        return BondedSleeve(
            name=self.name, wall=wall, metal=self.metal, thickness=self.thickness, width=width, height=height,
            corner_radius=radius, overlap=end - start, bond_thickness=self.bond_thickness, adhesive=self.adhesive,
            side="both", fail_safe="bolts", fail_safe_basis=self.fail_safe_basis, bolts=through, taper=self.taper,
            tip=self.tip, body_gap=self.body_gap, couple_share=self.couple_share, couple_basis=self.couple_basis,
            factors=self.factors,
        )  # fmt: skip


class DrawnSaddle(Frozen):
    """A saddle around all four flat walls of a box strut, on the stretch of its fitting.

    Parameters
    ----------
    name : str
        Of the joint, in the margin table.
    hold : Clamp or Glue
        How the saddle holds.
    crush, pull : float
        As of `Saddle` [Pa].
    strain : float
        As of `Saddle` [-].
    strength_basis : str
        Where crush, pull and strain come from.
    torsion : {"friction", "form"}
        What holds the torsion of a clamped saddle.
    filled : bool
        Whether a plug, foam or ribs carry the pressure from wall to wall.
    factors : JointFactors
        Factors of Part 23 on the loads of the joint.

    Examples
    --------
    >>> import tarn, tarn_joints  # examples/tarn.py
    >>> own = tarn_joints.BRACKET.joints[0].joint
    >>> round(own.on(tarn.FIRST_STRUT, start=0.235, end=0.36, mouth=0.36).length, 3)
    0.125
    """

    name: str
    hold: Clamp | Glue
    crush: Annotated[float, PRESSURE]
    strain: Annotated[float, STRAIN]
    strength_basis: str
    pull: Annotated[float | None, PRESSURE] = None
    torsion: Literal["friction", "form"] = "friction"
    filled: bool = False
    factors: JointFactors = default(JointFactors())

    @checked
    def on(
        self,
        strut: Strut,
        *,
        start: Annotated[float, _STATION],
        end: Annotated[float, _STATION],
        mouth: Annotated[float, _STATION],
    ) -> Saddle:
        """Draw the saddle on a strut, with the thinnest wall and the least widths under it.

        Parameters
        ----------
        strut : Strut
            With its ply book.
        start, end, mouth : float
            Stretch of the fitting; a saddle has no mouth [m].

        Returns
        -------
        Saddle
            On the stretch.
        """
        line = strut.mold_line
        flat = line.flat_widths([start, end]).min(axis=0)
        return Saddle(
            name=self.name, length=end - start, width=float(flat[0]), height=float(flat[1]),
            depth=float(line.at([start, end]).height.max()), wall=thinnest(strut, start, end, line.flat_walls),
            hold=self.hold, crush=self.crush, strain=self.strain, strength_basis=self.strength_basis, pull=self.pull,
            torsion=self.torsion, filled=self.filled, factors=self.factors,
        )  # fmt: skip
