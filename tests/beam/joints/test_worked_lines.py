"""Lines of worked margins: a calculator reaches every margin of every joint from the printed digits."""

from dataclasses import replace

import numpy as np
import pytest
from bonded import BOX, sleeve
from calculator import follow
from calls_joints import (
    BUSHING,
    CLAMP,
    FIT,
    GROUP,
    LAMINATE,
    LUG,
    METAL_PLATE,
    PASTE,
    PIN,
    ROWED,
    SADDLE,
    THROUGH,
    WALL,
)
from printed import printed
from small_strut import REQUIREMENT

from beam.joints import (
    BoltGroup,
    Bushing,
    Clamp,
    Glue,
    InstalledBolt,
    JointFactors,
    JointLoads,
    Lug,
    LugCurves,
    Pin,
    PressFit,
    RowJoint,
    Saddle,
    ThroughBolt,
    fastener,
)
from beam.joints.joint_rows import Line, worked_lines
from materials import metal

NAMES = ("F1", "F2", "F3", "M1", "M2", "M3")
PLANE = LugCurves(transverse_yield=LUG["curves"].transverse_yield)
BOLT = InstalledBolt(fastener=fastener("M6 8.8"))
TWO = InstalledBolt(fastener=fastener("M6 8.8"), planes=2)
FLAT = {"columns": 2, "radius": None, "clearance": 0.0, "service": None}
ALONE = {"positions": [[0.0, 0.0]], "point": [0.0, 0.0, 0.0], "weights": None, "foot": None}
MOUNT = {"hold": Glue(adhesive=PASTE, thickness=0.3e-3, saddle=metal("2024-T3 sheet")), "filled": True}
WIDE = replace(WALL, holes=[replace(WALL.holes[0], width=50e-3)], limit_holes=())
SLIM = {"lugs": None, "arrangement": "single free", "bore": 0.0, "bending_factor": None}
GENERAL = [[8e3, 3e3, 2e3, 40.0, -60.0, 25.0], [-6e3, -2e3, -3e3, -50.0, 30.0, -45.0]]
IN_PLANE = [[9e3, 4e3, 1e3, 0, 0, 0], [-7e3, -2e3, -1e3, 0, 0, 0]]

JOINTS = {
    "pin with its lugs": (Pin(**PIN), IN_PLANE),
    "pin that its lugs limit": (Pin(**PIN | {"lugs": (20e3, 30e3)}), IN_PLANE),
    "pin in single shear": (Pin(**PIN | SLIM), IN_PLANE),
    "lug by curves": (Lug(**LUG), IN_PLANE),
    "lug by closed form": (Lug(**LUG | {"curves": PLANE, "areas": None}), IN_PLANE),
    "lug of a metal with bearing strengths": (
        Lug(**LUG | {"curves": PLANE, "metal": metal("7075-T6 bar"), "bushing": None, "moves": False, "hole": 20.5e-3}),
        IN_PLANE,
    ),
    "press fit": (PressFit(**FIT), GENERAL),
    "press fit in a laminate": (
        PressFit(**FIT | {"member": LAMINATE, "width": 0.2, "bushing": Bushing(**BUSHING)}), GENERAL
    ),
    "bolt group on a foot": (BoltGroup(**GROUP), GENERAL),
    "bolt group about its centroid": (BoltGroup(**GROUP | {"foot": None, "bolt": BOLT}), GENERAL),
    "bolt group with wide strips": (BoltGroup(**GROUP | {"wall": WIDE}), GENERAL),
    "one bolt": (BoltGroup(**GROUP | ALONE), [[3e3, 1e3, 2e3, 0, 0, 0]]),
    "ring of bolts": (RowJoint(**ROWED), GENERAL),
    "flat rows in double shear": (RowJoint(**ROWED | FLAT | {"bolt": TWO}), [[9e3, 4e3, 0, 0, 0, 0]]),
    "rows of metal": (RowJoint(**ROWED | {"plates": (METAL_PLATE, METAL_PLATE), "service": None}), GENERAL),
    "through bolt": (ThroughBolt(**THROUGH), [[0, 0, 900.0, 0, 0, 0]]),
    "through bolt alone": (
        ThroughBolt(**THROUGH | {"spacer": None, "shape": "round", "depth": 70e-3}), [[0, 0, 9.0, 0, 0, 0]]
    ),
    "clamped saddle": (Saddle(**SADDLE), GENERAL),
    "clamped saddle by friction": (Saddle(**SADDLE | {"torsion": "friction", "hold": Clamp(**CLAMP)}), GENERAL),
    "bonded saddle": (Saddle(**SADDLE | MOUNT), GENERAL),
    "bonded saddle without sides": (
        Saddle(**SADDLE | MOUNT | {"sides": False}), [[8e3, 0, 2e3, 40.0, -60.0, 0.0]]
    ),
    "round sleeve": (sleeve(), GENERAL),
    "box sleeve": (sleeve(**BOX, yield_decides=False), GENERAL),
    "box bonded on both faces": (sleeve(**BOX, side="both"), GENERAL),
    "sleeve with a disbond": (sleeve(fail_safe="disbond", disbond=0.01), GENERAL),
    "sleeve with bolts": (
        sleeve(fail_safe="bolts", bolts=RowJoint(**ROWED | {"radius": 30e-3})), GENERAL
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", JOINTS)
def test_a_calculator_reaches_every_margin_from_the_printed_digits(name):
    joint, wrench = JOINTS[name]
    wrench = np.asarray(wrench, dtype=float)
    for level, requirement in (
        ("limit", REQUIREMENT),
        ("ultimate", replace(REQUIREMENT, special_factor=1.1)),
    ):
        loads = JointLoads(force=wrench[:, :3], moment=wrench[:, 3:], level=(level,) * len(wrench))
        table = joint.margins(loads, requirement).reset_index()
        groups = joint._judged(loads, requirement)
        assert len(table)
        for row in table[np.isfinite(table["ratio"])].to_dict("records"):
            lines = worked_lines(groups, requirement, row)
            assert lines is not None, (row["wall"], row["mode"])
            i = list(loads.cases).index(row["case"])
            start = dict(zip(NAMES, (*loads.force[i], *loads.moment[i]), strict=True))
            ends = follow([(one.name, one.value, one.formula) for one in lines], start)
            assert ends["R"] == pytest.approx(row["ratio"], rel=1e-4)
            assert ends["MS"] == pytest.approx(row["margin"], rel=1e-4, abs=1e-4)


def test_a_calculator_notices_a_wrong_line():
    with pytest.raises(AssertionError):
        follow([("a", 2.0, ""), ("b", 4.01, "a^2")], {})
    with pytest.raises(NameError):
        follow([("b", 4.0, "a^2")], {})
    assert follow([Line("a", 2.0)[:2] + ("",), ("b", 4.0, "a^2")], {}) == {"a": 2.0, "b": 4.0}


def test_a_row_that_no_check_makes_is_not_worked():
    joint, requirement = Pin(**PIN | {"factors": JointFactors()}), REQUIREMENT
    loads = JointLoads(force=[[1e3, 0, 0]])
    row = joint.margins(loads, requirement).reset_index().iloc[0].to_dict()
    assert worked_lines(joint._judged(loads, requirement), requirement, row)
    for change in ({"mode": "peel"}, {"wall": "lug: pin"}, {"ratio": 1.0}):
        assert worked_lines(joint._judged(loads, requirement), requirement, row | change) is None


# --- intermediate check values that the lines print: arithmetic on the formulas, from a reference of the project ------


def values_of(joint, force, mode, level="ultimate"):
    """Lines of a row by name."""
    loads = JointLoads(force=[force])
    table = joint.margins(loads, REQUIREMENT).reset_index()
    row = table[(table["mode"] == mode) & (table["level"] == level)].iloc[0].to_dict()
    return {one.name: one.value for one in worked_lines(joint._judged(loads, REQUIREMENT), REQUIREMENT, row)}


STEEL = replace(metal("4340 180 ksi"), Ftu=1241.06e6, Fty=1123.85e6)
PLAIN_LUG = {"name": "lug", "hole": 20e-3, "width": 50e-3, "edge": 25e-3, "thickness": 15e-3, "pin_diameter": 19.9e-3,
             "metal": STEEL}  # fmt: skip


def test_width_that_counts_in_a_lug():
    found = values_of(Lug(**PLAIN_LUG), [1e3, 0, 0], "net tension")
    assert found["Cr"] == printed("0.972534")
    assert found["beff"] * 1e3 == printed("11.4762")
    assert found["P"] / 1e3 == printed("415.542")


def test_areas_of_a_transverse_lug():
    found = values_of(Lug(**PLAIN_LUG, curves=PLANE), [1e3, 1e3, 0], "oblique")
    assert found["A1"] * 1e6 == printed("268.934")
    assert found["A2"] * 1e6 == printed("225")
    assert found["q"] == printed("0.841665")


@pytest.mark.parametrize(
    ("width", "edge", "loaded", "open_hole"),
    [(36e-3, 36e-3, "2.23214", "1.39468"), (18e-3, 12e-3, "1.60938", "1.32407")],
)
def test_stress_peaks_of_a_loaded_hole(width, edge, loaded, open_hole):
    hole = replace(WALL.holes[0], width=width, edge=edge, relief=0.25, pull_through=None, head_diameter=None)
    wall = replace(WALL, holes=[hole], limit_holes=())
    joint = BoltGroup(**GROUP | ALONE | {"wall": wall, "bolt": BOLT, "prying": 0.0})
    found = values_of(joint, [1e3, 0, 0], "net tension")
    assert found["kb"] == pytest.approx(float(loaded), abs=5.0001e-6)  # one of them is a tie of rounding
    assert found["kp"] == printed(open_hole)
