"""One good call of every public callable of beam.joints."""

from small_strut import CLOTH, MOLD_LINE, REQUIREMENT

from beam import joints
from beam.joints import (
    BoltGroup,
    Bushing,
    Clamp,
    Fastener,
    Glue,
    InstalledBolt,
    JointFactors,
    JointLoads,
    LaminatePlate,
    Lug,
    LugCurves,
    MetalPlate,
    Pin,
    Preload,
    PressFit,
    ReadCurve,
    RowJoint,
    Saddle,
    Spacer,
    ThroughBolt,
    fastener,
    fastener_flexibility,
    prying_share,
    row_loads,
    squeezed_box,
    squeezed_ring,
    with_joints,
)
from beam.joints.joint_rows import JointCheck, joint_rows
from beam.strut import Band, BookPly, PlyBook
from laminate import Laminate
from laminate.notch import LoadedHole
from materials import Adhesive, AdhesiveCurve, Source, metal

LOADS = JointLoads(force=[[20e3, 8e3, 0.0], [-10e3, 0.0, 0.0]], cases=["level", "spring-back"])
FACTORS = JointFactors(bearing=2.0, bearing_basis="invented")
CHECK = JointCheck("pin", "shear", "ultimate", LOADS.force[:, 0] / 1e4, "invented")
ROWS = joint_rows("pivot", [CHECK], LOADS, REQUIREMENT, factors=FACTORS)

INVENTED = Source("invented", "for the tests")
STEEL = metal("4340 180 ksi")
CURVE = ReadCurve(x=[0.1, 10.0], y=[0.9, 0.8], source=INVENTED)
BUSHING = {
    "bore": 20e-3, "diameter": 25e-3, "length": 15e-3, "metal": STEEL, "allowed_pressure": 60e6,
    "pressure_basis": "invented",
}  # fmt: skip
LUG = {
    "name": "pivot", "hole": 25e-3, "width": 60e-3, "edge": 30e-3, "thickness": 15e-3, "metal": metal("2024-T3 sheet"),
    "pin_diameter": 20e-3, "bushing": Bushing(**BUSHING), "moves": True, "areas": [4e-4, 3e-4, 3e-4, 4e-4],
    "curves": LugCurves(net=CURVE, bearing=CURVE, transverse=CURVE, transverse_yield=CURVE, yielding=CURVE),
    "arm": 40e-3, "sideways": 0.1, "factors": FACTORS, "station": 0.5,
}  # fmt: skip
LAMINATE = Laminate.from_code("[45/-45/0/90/45/-45]s", CLOTH)
HOLE = LoadedHole(diameter=6e-3, width=27e-3, edge=24e-3, thickness=3e-3, tension=400e6, compression=250e6,
                  bearing=500e6, shear=150e6, relief=0.3, pull_through=60e6, head_diameter=9e-3,
                  source=INVENTED)  # fmt: skip
METAL_PLATE = MetalPlate(
    name="fitting", metal=metal("2024-T3 sheet"), thickness=4e-3, width=27e-3, edge=15e-3, hole=6e-3
)
WALL = LaminatePlate(name="wall", laminate=LAMINATE, holes=[HOLE], limit_holes=[HOLE], crush=200e6)
TORQUE = {
    "torque": 6.0, "nut_factor": 0.2, "nut_factor_basis": "invented", "scatter": 0.3, "remaining": 0.6,
    "external_share": 0.5,
}  # fmt: skip
TIGHT = Preload(**TORQUE)
TESTS = [
    AdhesiveCurve(temperature=T, moisture=0.0, G=G, E=2.6 * G, shear_strength=tau, ultimate_strain=0.3,
                  peel_strength=50e6, source=INVENTED)
    for T, G, tau in ((219.0, 1e9, 60e6), (296.0, 0.8e9, 40e6))
]  # fmt: skip
PASTE = Adhesive(name="paste", curves=TESTS, stress_free_temperature=340.0, basis="mean")
SPAN = {"walls": MOLD_LINE.wall_names, "start": 0.0, "end": MOLD_LINE.length}
BOOK = PlyBook(BookPly(lamina=CLOTH, angle_deg=angle, **SPAN) for angle in (45, -45, 0, 90))
PIN = {
    "name": "pivot", "diameter": 20e-3, "metal": STEEL, "outer": 10e-3, "middle": 15e-3, "gap": 0.5e-3, "bore": 8e-3,
    "arrangement": "double", "peaking": 0.9, "peaking_basis": "invented", "bending_factor": 1.2, "lugs": (150e3, 320e3),
    "factors": FACTORS, "station": 0.5,
}  # fmt: skip
FIT = {
    "name": "pivot", "bushing": Bushing(**BUSHING), "member": metal("7075-T6 bar"), "width": 60e-3,
    "interference": (20e-6, 40e-6), "temperature": 296.0, "friction": 0.12, "friction_basis": "invented",
    "test_basis": "invented", "factors": FACTORS, "station": 0.5,
}  # fmt: skip
BOLT = {
    "fastener": fastener("M6 8.8"), "planes": 1, "gap": 0.2e-3, "bending_share": 0.5, "bending_basis": "invented",
    "preload": TIGHT,
}  # fmt: skip
BOLTED = {"bolt": InstalledBolt(**BOLT), "factors": FACTORS, "station": 0.5}
GROUP = BOLTED | {
    "name": "bracket", "positions": [[0.0, 0.0], [0.04, 0.0], [0.04, 0.05], [0.0, 0.07]], "wall": WALL,
    "bracket": METAL_PLATE, "point": [0.12, 0.03, 0.05], "weights": [1.0, 1.0, 1.0, 2.0], "prying": 0.3,
    "prying_basis": "invented", "foot": [-0.01, 0.06, -0.02, 0.09],
}  # fmt: skip
ROWED = BOLTED | {
    "name": "root", "plates": (WALL, METAL_PLATE), "pitch": [25e-3, 25e-3], "columns": 8, "radius": 35e-3,
    "law": "huth", "flexibility": [2e-8, 2e-8, 2e-8], "flexibility_basis": "invented", "clearance": [0.0, 1e-5, 0.0],
    "assembly_temperature": 294.0, "service": "cold",
}  # fmt: skip
SPACER = {"metal": metal("2024-T3 sheet"), "diameter": 12e-3, "bore": 6.5e-3, "gap": 1e-4}
THROUGH = BOLTED | {
    "name": "link", "wall": WALL.laminate, "shape": "box", "across": 70e-3, "depth": 60e-3, "washer": 18e-3,
    "crush": 150e6, "strain": 0.004, "strength_basis": "invented", "spacer": Spacer(**SPACER), "length": 40e-3,
}  # fmt: skip
CLAMP = {"bolt": InstalledBolt(**BOLT), "bolts": 4, "friction": 0.15, "friction_basis": "invented"}
SADDLE = {
    "name": "bracket", "length": 60e-3, "width": 50e-3, "height": 40e-3, "depth": 70e-3, "wall": WALL.laminate,
    "hold": Clamp(**CLAMP), "crush": 150e6, "strain": 0.004, "strength_basis": "invented", "pull": 20e6,
    "torsion": "form", "filled": False, "sides": True, "factors": FACTORS, "station": 0.5,
}  # fmt: skip
JUDGED = {"loads": LOADS, "requirement": REQUIREMENT}

PACKAGES = [joints]
CALLS = {
    JointLoads: {
        "force": [[20e3, 8e3, 0.0], [-10e3, 0.0, 0.0]],
        "moment": [[0.0, 0.0, 5.0], [0.0, 0.0, 0.0]],
        "cases": ("level", "spring-back"),
        "level": ("limit", "limit"),
        "factor_of_safety": [1.5, 1.5],
    },
    JointFactors: {
        "fitting": 1.15,
        "fitting_basis": "14 CFR 23.625",
        "casting": 1.25,
        "casting_basis": "invented",
        "bearing": 2.0,
        "bearing_basis": "invented",
        "combination": "product",
        "combination_basis": "invented",
    },
    JointFactors.fitting_of: {"self": FACTORS, "kind": "bearing"},
    with_joints: {"table": ROWS, "rows": ROWS},
    Bushing: BUSHING,
    PressFit: FIT,
    PressFit.stress: {"self": PressFit(**FIT), "interference": [2e-5, 4e-5], "temperature": [296.0, 300.0]},
    PressFit.margins: {"self": PressFit(**FIT)} | JUDGED,
    ReadCurve: {"x": [1.0, 2.0], "y": [0.9, 0.8], "source": INVENTED},
    ReadCurve.at: {"self": CURVE, "x": 1.5},
    LugCurves: dict.fromkeys(("net", "bearing", "transverse", "transverse_yield", "yielding"), CURVE),
    Lug: LUG,
    Lug.margins: {"self": Lug(**LUG)} | JUDGED,
    Pin: PIN,
    Pin.margins: {"self": Pin(**PIN)} | JUDGED,
    Fastener: {
        "name": "M6",
        "diameter": 6e-3,
        "thread_area": 20.1e-6,
        "head_diameter": 9e-3,
        "metal": STEEL,
        "source": INVENTED,
        "shear_load": 12e3,
        "tension_load": 15e3,
    },
    Preload: TORQUE,
    Preload.most: {"self": TIGHT, "diameter": 6e-3},
    Preload.least: {"self": TIGHT, "diameter": 6e-3},
    fastener: {"name": "M6 8.8"},
    fastener_flexibility: {
        "diameter": 6e-3,
        "modulus": 200e9,
        "thickness": [3e-3, 4e-3],
        "moduli": [70e9, 50e9],
        "laminates": (False, False),
        "planes": 1,
        "riveted": False,
        "law": "huth",
        "poisson": 0.3,
    },
    MetalPlate: {
        "name": "fitting",
        "metal": metal("2024-T3 sheet"),
        "thickness": 4e-3,
        "width": 27e-3,
        "edge": 15e-3,
        "hole": 6e-3,
        "stiffness": [7e6, 7e6],
    },
    LaminatePlate: {
        "name": "wall",
        "laminate": LAMINATE,
        "holes": [HOLE],
        "limit_holes": [HOLE],
        "crush": 200e6,
        "stiffness": [5e6, 5e6],
    },
    InstalledBolt: BOLT,
    InstalledBolt.moment_per_load: {"self": InstalledBolt(**BOLT), "first": 3e-3, "second": 4e-3},
    prying_share: {"arm": 20e-3, "toe": 15e-3, "hole": 6e-3, "pitch": 30e-3},
    BoltGroup: GROUP,
    BoltGroup.bolt_loads: {"self": BoltGroup(**GROUP), "force": [1e3, 2e3, 3e3], "moment": [1.0, 2.0, 3.0]},
    BoltGroup.margins: {"self": BoltGroup(**GROUP), "bypass": [1e3, -1e3]} | JUDGED,
    row_loads: {
        "load": [20e3, -1e3],
        "flexibility": [2e-8, 3e-8],
        "pitch": [30e-3],
        "stiffness": [[6e6], [9e6]],
        "free_strain": [1e-4, 2e-4],
        "clearance": [0.0, 1e-5],
    },
    RowJoint: ROWED,
    RowJoint.strip_loads: {"self": RowJoint(**ROWED), "force": [1e3, 2e3, 3e3], "moment": [1.0, 2.0, 3.0]},
    RowJoint.loads_of_rows: {
        "self": RowJoint(**ROWED),
        "force": [[1e3, 2e3, 3e3]],
        "moment": [[1.0, 2.0, 3.0]],
        "temperature": 250.0,
    },
    RowJoint.margins: {"self": RowJoint(**ROWED)} | JUDGED,
    squeezed_ring: {"load": [1e3, 2e3], "radius": 35e-3, "stiffness": 50.0},
    squeezed_box: {
        "load": [1e3, 2e3],
        "width": 80e-3,
        "height": 60e-3,
        "stiffness": [50.0, 40.0],
        "spread": "even",
    },
    Spacer: SPACER,
    ThroughBolt: THROUGH,
    ThroughBolt.wall_load: {"self": ThroughBolt(**THROUGH), "force": [1e3, 5e3]},
    ThroughBolt.margins: {"self": ThroughBolt(**THROUGH)} | JUDGED,
    Clamp: CLAMP,
    Glue: {"adhesive": PASTE, "thickness": 0.2e-3, "saddle": metal("2024-T3 sheet")},
    Saddle: SADDLE,
    Saddle.pressure: {"self": Saddle(**SADDLE), "loads": LOADS},
    Saddle.on_band: {
        "band": Band(name="bracket", start=0.1, end=0.15),
        "line": MOLD_LINE,
        "book": BOOK,
        "hold": Clamp(**CLAMP),
        "crush": 150e6,
        "strain": 0.004,
        "strength_basis": "invented",
        "pull": 20e6,
        "torsion": "form",
        "filled": True,
        "factors": FACTORS,
    },
    Saddle.margins: {"self": Saddle(**SADDLE)} | JUDGED,
}
EXCLUDED = {
    "BalancedPin": "a result, made by Pin.balanced",
    "FitStress": "a result, made by PressFit.stress",
    "FreeBody": "a result, made by free_body",
    "LugStrength": "a result, made by Lug.strength",
}
