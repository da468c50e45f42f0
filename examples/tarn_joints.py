"""Fittings of the Tarn: trunnion socket, bracket of the shock, pivot of the link. Invented, as are all their numbers.

They take walls and sizes from the strut that they are judged on; `joint_margins.py` judges them under the load cases.
"""

from dataclasses import replace
from typing import Any

import numpy as np
import tarn

from beam.joints import (
    Bushing,
    Clamp,
    DrawnSaddle,
    DrawnSocket,
    FittedJoint,
    Fitting,
    Glue,
    InstalledBolt,
    JointFactors,
    Lug,
    LugCurves,
    Pin,
    Preload,
    PressFit,
    ReadCurve,
    fastener,
    hinge_shares,
)
from materials import Adhesive, AdhesiveCurve, Source, metal

INVENTED = Source("the Tarn demonstration", note="invented; use your own tests")
LENGTH = tarn.STRUT_LENGTH

# --- materials ------------------------------------------------------------------------------------------
_bearing: dict[str, Any] = {"Fbru": 1.45e9, "Fbry": 1.20e9, "Fbru_1_5": 1.15e9, "Fbry_1_5": 1.00e9}
TITANIUM = replace(metal("Ti-6Al-4V bar"), **_bearing, sources=[(name, INVENTED) for name in _bearing])
STEEL = metal("4340 180 ksi")
BRONZE = replace(metal("C63000 bar"), Fcy=430e6, sources=[("Fcy", INVENTED)])


def _tested(
    temperature: float, moisture: float, G: float, strength: float, strain: float, peel: float
) -> AdhesiveCurve:
    """Adhesive at one temperature and moisture."""
    return AdhesiveCurve(temperature=temperature, moisture=moisture, G=G, E=2.7 * G, shear_strength=strength,
                         ultimate_strain=strain, peel_strength=peel, source=INVENTED)  # fmt: skip


PASTE = Adhesive(
    name="toughened paste",
    basis="estimate",
    stress_free_temperature=313.0,
    wet_glass_transition=393.0,
    curves=(
        *(_tested(228.0, wet, 0.33e9, 42e6, 0.40, 45e6) for wet in (0.0, tarn.WET)),
        _tested(355.0, 0.0, 0.30e9, 33e6, 0.70, 34e6),
        _tested(355.0, tarn.WET, 0.25e9, 31e6, 0.80, 32e6),
    ),
)

# For the sockets: walls of metal on both faces peel least off a soft, thick bond. With the toughened paste the plies
# would open at half of the load; the saddle, short and loaded along alone, keeps it.
FLEXIBLE = Adhesive(
    name="flexible paste",
    basis="estimate",
    stress_free_temperature=313.0,
    wet_glass_transition=393.0,
    curves=(
        *(_tested(228.0, wet, 0.15e9, 30e6, 0.70, 32e6) for wet in (0.0, tarn.WET)),
        _tested(355.0, 0.0, 0.12e9, 24e6, 1.10, 25e6),
        _tested(355.0, tarn.WET, 0.10e9, 22e6, 1.20, 23e6),
    ),
)

# --- factors --------------------------------------------------------------------------------------------
FIXED = JointFactors()
MOVING = JointFactors(bearing=2.0, bearing_basis="practice for loose joints under shock, from memory")
BOLTS_CARRY = "bolts through tube and fitting, sized to limit load without the bond"
FILLED = 0.85  # compressive strength with a filled hole over that without
COUPLE = "both faces bonded: the shear of the bond carries all bending, the walls press nowhere (invented)"
# Medians of four readings by others of the figure for aluminum and steel, good to 2 %: read the figure yourself.
TRANSVERSE = LugCurves(
    transverse_yield=ReadCurve(
        x=[0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.2, 1.4],
        y=[0.12, 0.255, 0.38, 0.50, 0.61, 0.715, 0.81, 0.895, 0.975, 1.045, 1.175, 1.28],
        source=Source("NASA TM X-73305 section B2", "Ktry", "medians of readings by others", "quoted"),
    )
)


HOT = tarn.REQUIREMENT.services[1].lamina(tarn.TAPE_A).allowables  # titanium on both faces keeps impact off
assert HOT
assert HOT.e1t
assert HOT.e1c
WALL: dict[str, Any] = {
    "metal": TITANIUM, "adhesive": FLEXIBLE, "tension": HOT.e1t, "compression": FILLED * HOT.e1c, "bearing": 480e6,
    "shear": 110e6, "couple_share": 0.0, "couple_basis": COUPLE, "fail_safe_basis": BOLTS_CARRY,
    "strength_source": replace(
        INVENTED, note="Ex x fiber strain, hot wet; filled hole 0.85, bearing and shear invented"
    ),
}  # fmt: skip


def trunnion(*, overlap: float = 0.15, bolt: str = "M10 8.8") -> Fitting:
    """Socket on the root, bonded and bolted; the tube ends 1 mm before the bottom of its slot."""
    own = DrawnSocket(name="trunnion socket", thickness=4e-3, bond_thickness=1e-3, taper=0.1, tip=1e-3, body_gap=1e-3,
                      columns=9, rows=4, bolt=InstalledBolt(fastener=fastener(bolt), planes=2), **WALL)  # fmt: skip
    place = FittedJoint(joint=own, takes="outboard", said="section forces at the mouth")
    basis = "journals and lock arm, 36 bolts, invented"
    return Fitting(name="trunnion", start=0.0, end=overlap, joints=[place], other_mass=1.6, other_basis=basis)


def bracket() -> Fitting:
    """Saddle bonded around the strut, with two lugs and a pin each for the shock and the side brace."""
    start, end, frame = 0.235, 0.36, tarn.MOLD_LINE.frame
    point = np.round(frame @ (tarn.BRACKET - tarn.TRUNNION), 12)
    line = tarn.GEAR.link.shock_on_link - tarn.BRACKET
    line = line / np.linalg.norm(line)
    pin = tarn.GEAR.link.hinge - line * (tarn.GEAR.link.hinge @ line)
    pin = pin / np.linalg.norm(pin)
    axes = np.round(np.array([line, np.cross(pin, line), pin]) @ frame.T, 12)
    lug = Lug(name="shock bracket", hole=16e-3, width=40e-3, edge=20e-3, thickness=9e-3, metal=TITANIUM,
              pin_diameter=15.99e-3, curves=TRANSVERSE, arm=25e-3, factors=FIXED)  # fmt: skip
    body: dict[str, Any] = {
        "crush": 120e6,
        "pull": 15e6,
        "strain": 0.006,
        "strength_basis": "invented",
        "filled": True,
    }
    tight = Preload(torque=30.0, nut_factor=0.2, nut_factor_basis="dry, practice")
    clamp = Clamp(bolt=InstalledBolt(fastener=fastener("M10 8.8"), preload=tight), bolts=8, friction=0.1,
                  friction_basis="not counted on")  # fmt: skip
    bond = Glue(adhesive=PASTE, thickness=0.5e-3, saddle=TITANIUM)
    eye = Pin(name="shock pin", diameter=15.99e-3, metal=STEEL, outer=9e-3, middle=18e-3, gap=0.5e-3)
    at: dict[str, Any] = {"takes": "load", "point": point, "axes": axes}
    stay = frame @ (tarn.BRACE_ON_AIRPLANE - tarn.BRACE_ON_STRUT)
    stay = np.asarray(np.round(stay / np.linalg.norm(stay), 12), dtype=float)
    across = np.array([0.0, 1.0, 0.0])
    brace: dict[str, Any] = {"takes": "reaction", "point": frame @ (tarn.BRACE_ON_STRUT - tarn.TRUNNION),
                             "axes": np.array([stay, np.cross(across, stay), across]) + 0.0}  # fmt: skip
    ear = replace(
        lug, name="brace lug", hole=20e-3, width=48e-3, edge=24e-3, thickness=10e-3, pin_diameter=19.99e-3
    )
    bolt = replace(eye, name="brace pin", diameter=19.99e-3, outer=10e-3, middle=20e-3)
    joints = [
        FittedJoint(joint=DrawnSaddle(name="saddle, bond", hold=bond, **body), takes="entering",
                    share=np.diag([1.0, 0, 0, 1, 0, 0]), said="the bond carries F1 and M1, the clamp the rest"),
        FittedJoint(joint=DrawnSaddle(name="saddle, clamp", hold=clamp, **body), takes="entering",
                    share=np.diag([0.0, 1, 1, 0, 1, 1]), said="pressed by F2, F3, M2, M3, the bond carries the rest"),
        FittedJoint(joint=lug, share=0.5 * np.eye(6), said="each of two lugs takes half", **at),
        FittedJoint(joint=eye, said="the whole force of the shock", **at),
        FittedJoint(joint=ear, share=0.5 * np.eye(6), said="each of two lugs takes half", **brace),
        FittedJoint(joint=bolt, said="the whole force of the brace", **brace),
    ]  # fmt: skip
    basis = "saddle, plug in the tube, second lug, bolts, invented"
    return Fitting(name="bracket", start=start, end=end, joints=joints, other_mass=0.9, other_basis=basis)


def pivot(*, lug_width: float = 52e-3) -> Fitting:
    """Socket on the tip with two lugs for the link; the link has ears on both sides of each lug."""
    start, spread, frame = LENGTH - 0.12, 0.11, tarn.MOLD_LINE.frame
    own = DrawnSocket(name="pivot socket", thickness=3e-3, bond_thickness=1.2e-3, taper=0.1, tip=1.5e-3, body_gap=1e-3,
                      columns=9, rows=3, bolt=InstalledBolt(fastener=fastener("M8 8.8"), planes=2), **WALL)  # fmt: skip
    bushing = Bushing(bore=22e-3, diameter=26e-3, length=19.5e-3, metal=BRONZE, allowed_pressure=240e6,
                      pressure_basis="greased, invented")  # fmt: skip
    lug: dict[str, Any] = {"hole": 26e-3, "width": lug_width, "edge": lug_width / 2, "thickness": 19.5e-3,
           "metal": TITANIUM,
           "pin_diameter": 21.98e-3, "bushing": bushing, "curves": TRANSVERSE, "moves": True, "arm": 30e-3,
           "factors": MOVING}  # fmt: skip
    pin = Pin(
        name="pivot pin", diameter=21.98e-3, metal=STEEL, outer=9e-3, middle=19.5e-3, gap=0.5e-3, bore=8e-3
    )
    fit = PressFit(name="pivot bushing", bushing=bushing, member=TITANIUM, width=lug_width, temperature=294.15,
                   interference=(35e-6, 50e-6), friction=0.12, friction_basis="invented")  # fmt: skip
    down = np.array([0.0, 0.0, -1.0])
    axes = np.array([down, np.cross(tarn.GEAR.link.hinge, down), tarn.GEAR.link.hinge]) @ frame.T
    at: dict[str, Any] = {"takes": "entering", "point": [LENGTH, 0.0, 0.0], "axes": axes}
    joints = [FittedJoint(joint=own, takes="inboard", said="section forces at the mouth")]
    for side, share in zip(("first", "second"), hinge_shares(spread, thrust=1.0), strict=True):
        said = f"{side} of two lugs {spread * 1e3:g} mm apart, by statics; the first alone has thrust faces"
        one: dict[str, Any] = {"share": share, "said": said} | at
        joints += [
            FittedJoint(joint=Lug(name=f"pivot lug, {side}", **lug), **one),
            FittedJoint(joint=replace(pin, name=f"pivot pin, {side} lug"), **one),
        ]
    slides = np.zeros((6, 6))
    slides[2, 2] = 0.1
    joints.append(
        FittedJoint(joint=fit, share=slides, said="flange takes the thrust, a tenth rubs (invented)", **at)
    )
    basis = "body between tube and lugs, 27 bolts, invented"
    return Fitting(name="pivot", start=start, end=LENGTH, joints=joints, other_mass=0.9, other_basis=basis)


TRUNNION, BRACKET, PIVOT = trunnion(), bracket(), pivot()
FITTINGS = (TRUNNION, BRACKET, PIVOT)
"""The three fittings of the Tarn, drawn on any strut of it."""

DESIGN = replace(tarn.DESIGN, fittings=FITTINGS)
"""The whole design; the same stands in `tarn.toml`."""
