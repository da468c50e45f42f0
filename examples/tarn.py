"""The Tarn, a four-seat glacier-survey tourer. Invented for this demonstration, as are all its numbers.

Airplane axes: x aft of the firewall, y starboard, z up from the ground. Change the numbers in
capitals and run `size_strut.py` again; everything below follows from them.
"""

from dataclasses import replace

import numpy as np
from scipy.constants import g, psi

from beam import (
    Airplane,
    AirSpring,
    Equipment,
    Lattice,
    MainGear,
    MoldLine,
    Orifice,
    PlyKind,
    Requirement,
    Service,
    Shock,
    Strut,
    Tire,
    TrailingLink,
)
from beam.strength import screening
from materials import Factor, Source, lamina, tolerance_factor

MAX_MASS = 1240.0  # [kg]
LANDING_MASS = 1180.0  # [kg]
STRUT_LENGTH = 0.62  # [m]
TAPE = "T700S/2510"  # spanwise plies of the caps
CLOTH = "T700S/2510 plain weave"  # wraps and hoop plies
STRESS_FREE = 405.15  # tape and cloth cure together, at 132 degC [K]
WET_TG = 400.0  # wet glass transition, invented [K]
SPECIAL_FACTOR = 1.2  # 14 CFR 23.619; agree yours with the authority
INVENTED = Source("the Tarn demonstration", note="invented; use your own coupons")

# --- gear -----------------------------------------------------------------------------------------------
# What the checks gave: shock stroke over wheel travel 0.48 to 0.55, wheel travel 251 mm; standing at 60 to 66 % of the
# stroke. Limit drop at landing mass: n = 2.96 (23.473(g) asks for 2.67), 91 % of the stroke; at maximum mass
# n = 2.93, 93 %. At 1.2 times the descent speed with lift = weight 92 and 94 %: it does not bottom.
TRUNNION = np.array([2.30, 0.72, 0.8152])  # at the cabin floor
OUTBOARD_DEG = 22.5  # strut axis from straight down

_down = np.array([0.0, np.sin(np.radians(OUTBOARD_DEG)), -np.cos(np.radians(OUTBOARD_DEG))])
PIVOT = TRUNNION + STRUT_LENGTH * _down
BRACKET = PIVOT + np.array([0.055, -0.12, 0.30])

GEAR = MainGear(
    link=TrailingLink(
        pivot=PIVOT,
        axle=PIVOT + (0.205, 0.093, -0.2194),  # 0.300 m long in side view, wheel outboard of the link
        shock_on_link=PIVOT + (0.123, -0.02, -0.132),
        shock_on_strut=BRACKET,
    ),
    shock=Shock(
        spring=AirSpring(pressure=2.40e6, volume=265e-6, area=1.8e-3, exponent=1.1),
        damper=Orifice(compression=22e3, extension=90e3),
        max_stroke=0.125,
        friction=300.0,
    ),
    tire=Tire.smiley_horne(
        width=0.160,
        diameter=0.4445,
        pressure=42 * psi,
        rated_pressure=42 * psi,
        bottoming_deflection=0.11,
        damping=0.03,
    ),
    wheel_mass=9.0,
    wheel_inertia=0.13,
    rolling_radius=0.20,
    link_mass=5.0,
)

# --- airplane -------------------------------------------------------------------------------------------
_leg_mass = 0.85 * MAX_MASS / 2
_contact = GEAR.contact(GEAR.static(_leg_mass), _leg_mass * g)
GROUND = float(_contact[2])  # z of the ground, standing

AIRPLANE = Airplane(
    name="Tarn",
    max_mass=MAX_MASS,
    landing_mass=LANDING_MASS,
    wing_area=11.8,
    stall_speed=29.0,
    cg_forward=(_contact[0] - 0.40, 0.0, GROUND + 0.95),
    cg_aft=(_contact[0] - 0.30, 0.0, GROUND + 0.95),
    nose_contact=(_contact[0] - 2.00, 0.0, GROUND),
    main_contact=_contact,
    main_wheel_radius=GEAR.axle(GEAR.static(_leg_mass))[2] - GROUND,
    nose_wheel_radius=0.17,
    tail_down_angle_deg=12.0,
    main_tire_pressure=42 * psi,
)

# Static reactions: each main 4.6 to 5.2 kN, nose 1.7 to 2.4 kN, mains 80 to 85 % of the weight.
# Invented ratings, and the points of the airframe that come near the ground. What the layout checks gave: nose share
# 15 to 20 %, tip-back 17.5 deg (>= 15 and >= the 12 deg of the tail-down landing), turnover 51.9 deg (<= 63),
# the tail touches at 14.9 deg, propeller clearance 0.23 m standing (>= 0.178), all ratings met.
EQUIPMENT = Equipment(
    main_wheel_static_rating=7.8e3,
    main_wheel_limit_rating=24e3,
    main_tire_static_rating=7.8e3,
    nose_wheel_static_rating=5.5e3,
    nose_wheel_limit_rating=14e3,
    nose_tire_dynamic_rating=7.5e3,
    brake_energy_rating=270e3,
    propeller_tip=_contact + (-2.55, -_contact[1], 0.23),
    nose_sink=0.14,
    tail_point=_contact + (4.10, -_contact[1], 1.09),
)

# --- strut ----------------------------------------------------------------------------------------------
MOLD_LINE = MoldLine(
    root=TRUNNION,
    tip=PIVOT,
    stations=[0.0, STRUT_LENGTH],
    width=[0.112, 0.076],
    height=[0.082, 0.060],
    corner_radius=[0.022, 0.016],
)
WEBS = ("aft", "forward")
CAPS = tuple(wall for wall in MOLD_LINE.wall_names if wall not in WEBS)
BAYS = 16

# --- material -------------------------------------------------------------------------------------------
# One load path, so A-basis (14 CFR 23.613): 1 - k_A times a coefficient of variation of 5 % over 30 coupons.
A_BASIS = Factor(
    name="mean to A-basis",
    value=1 - float(tolerance_factor(30, basis="A")) * 0.05,
    on=("Xt", "Xc", "Yt", "Yc", "S", "e1t", "e1c", "e2t", "e2c", "g12", "Zt"),
    source=Source("MIL-HDBK-17-1F", "table 8.5.11", "k_A for 30 coupons; the 5 % is invented"),
)
# A ply embedded in the wall bears more across its fibers than a coupon does: in-situ strength of a thick ply, Davila &
# Camanho, NASA/TM-2003-212663, from memory.
EMBEDDED = 1.12 * np.sqrt(2)
IMPACT = Factor(
    name="barely visible impact damage",
    value=0.70,
    on=("Xc", "Yc", "e1c", "e2c", "Zt"),  # of a weave both ways are fibers
    source=INVENTED,
)
HOT_WET = Factor(
    name="hot wet, 71 degC",
    value=0.80,
    on=("Xc", "Yt", "Yc", "S", "e1c", "e2t", "e2c", "g12", "Zt"),
    source=INVENTED,
)

# The catalog knows nothing of these two through the thickness, where corners are pulled open: invented.
_tape = replace(lamina(TAPE), stress_free_temperature=STRESS_FREE, wet_glass_transition=WET_TG, G23=3.0e9)
_cloth = replace(
    lamina(CLOTH),
    stress_free_temperature=STRESS_FREE,
    wet_glass_transition=WET_TG,
    G13=3.0e9,
    G23=3.0e9,
    E3=9.0e9,
    nu13=0.35,
    nu23=0.35,
    alpha3=50e-6,
)
assert _tape.allowables
assert _cloth.allowables
assert _tape.allowables.e2t
_in_wall = replace(
    _tape.allowables, Zt=40e6, Yt=_tape.allowables.Yt * EMBEDDED, e2t=_tape.allowables.e2t * EMBEDDED
)
TAPE_A = replace(_tape, allowables=_in_wall.times(A_BASIS))
CLOTH_A = replace(_cloth, allowables=replace(_cloth.allowables, Zt=36e6).times(A_BASIS))

REQUIREMENT = Requirement(
    services=(
        Service(name="cold dry, -30 degC", temperature=243.15, factors=(IMPACT,)),
        Service(name="hot wet, 71 degC", temperature=344.15, factors=(IMPACT, HOT_WET)),
    ),
    special_factor=SPECIAL_FACTOR,
    route="allowables",
    mixed="A-basis, hot wet and 1.2 together: scatter and environment count twice, on the safe side",
    checks=screening(),  # first ply with all knockdowns decides; the two laminae lack a 0.2 % offset strength
    deflection_allowance=1.03,  # checked on the deflected shape after sizing
    special_factor_basis="allowables from moist specimens at the maximum temperature: practice, from memory",
)

LATTICE = Lattice(
    mold_line=MOLD_LINE,
    stations=np.linspace(0.0, STRUT_LENGTH, BAYS + 1),
    kinds=(
        PlyKind(
            name="cap tape",
            lamina=TAPE_A,
            angles_deg=(0.0,),
            walls=CAPS,
            least=12,
            most=26,
            depth=0.0,
            pitch=1.0,
        ),
        PlyKind(
            name="web tape",
            lamina=TAPE_A,
            angles_deg=(0.0,),
            walls=WEBS,
            least=6,
            most=18,
            depth=0.1,
            pitch=1.0,
        ),
        PlyKind(
            name="+-45 wrap",
            lamina=CLOTH_A,
            angles_deg=(45.0, -45.0),
            walls=MOLD_LINE.wall_names,
            least=3,
            most=5,
            depth=-1.0,
            pitch=5.0,
        ),
        PlyKind(
            name="hoop",
            lamina=CLOTH_A,
            angles_deg=(90.0,),
            walls=MOLD_LINE.wall_names,
            least=1,
            most=2,
            depth=-0.5,
            pitch=4.0,
        ),
    ),
)

# A strut to start from. The landing on it and that on the strut sized to it differ by less than 1 %.
_thin = np.arange(8)
FIRST_STRUT = Strut(
    MOLD_LINE,
    LATTICE.book(
        [[20, 14, 4, 2]] * 8 + np.stack([19 - _thin, 13 - _thin, 4 + 0 * _thin, 1 + 0 * _thin], -1).tolist()
    ),
)
