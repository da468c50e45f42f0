"""One good call of every public callable of beam.strength."""

from matplotlib.figure import Figure
from small_strut import CASES, INVENTED, LOADS, MOLD_LINE, REQUIREMENT, TAPE, knocked, lattice

from beam import strength
from beam.strength import (
    Caps,
    Check,
    Damage,
    LandingSpectrum,
    RegionFactor,
    RepeatedLoad,
    Requirement,
    Service,
    SpanStrain,
    TipLimit,
    alignment_limits,
    brick_margins,
    check_stations,
    life_factor,
    load_enhancement,
    margins,
    no_growth_reserve,
    plots,
    ply_end_margins,
    rainflow,
    repeated_strain,
    screening,
    span_strain,
)
from beam.strut import PointMass, Strut
from beam.strut.bricks import Density
from laminate import Laminate
from laminate.failure import MaxStress

STRUT = Strut(MOLD_LINE, lattice(1, most=(1, 1, 1)).book([[1, 1, 1]]))
SERVICE = REQUIREMENT.services[0]
STRAIN = span_strain(STRUT, LOADS, REQUIREMENT, SERVICE, stations=[0.0, 0.1])
TABLE = margins(STRUT, LOADS, REQUIREMENT, stations=[0.1], whole_strut=False)
AX = Figure().subplots()

CAPS = {
    "name": "after impact",
    "tension": 0.006,
    "compression": 0.0036,
    "basis": "A",
    "condition": "hot wet",
    "source": INVENTED,
    "shares": (0.25, 0.5, 0.25),
    "holes": (0.005, 0.0065),
    "outside": "mark",
    "temperatures": (288.0, 344.0),
    "moisture": 0.01,
    "services": ("room",),
    "coupons": 60,
    "batches": 6,
}
ROLL = {
    "name": "roll",
    "unit": "g",
    "levels": [0.0, 0.1, 0.2],
    "exceedances": [5000.0, 100.0, 0.0],
    "steps": ("up", "down"),
    "source": INVENTED,
}
CHECK = Check(criterion=MaxStress(), level="ultimate")

REGION = {
    "region": "ply end",
    "fiber": 1.1,
    "shear": 1.0,
    "matrix": 1.2,
    "corner": 1.0,
    "source": INVENTED,
}
TIP_LIMIT = TipLimit(name="toe", form=(0, 0, 0, 1, 0, 0), limit=0.01)

PACKAGES = [strength, plots]
CALLS = {
    Service: {
        "name": "cold",
        "temperature": 233.0,
        "moisture": 0.01,
        "factors": (knocked("impact", 0.7),),
        "conditioned": (),
        "residual_temperature": 293.0,
        "residual_moisture": 0.0,
    },
    Service.refuse_too_hot: {"self": SERVICE, "lamina": TAPE},
    Service.lamina: {"self": SERVICE, "lamina": TAPE},
    Service.allowables: {"self": SERVICE, "lamina": TAPE},
    Requirement: {
        "services": REQUIREMENT.services,
        "special_factor": 1.2,
        "special_factor_basis": "agreed",
        "factor_of_safety": 1.5,
        "deflection_allowance": 1.05,
        "route": "allowables",
        "mixed": "agreed with the authority",
        "checks": (CHECK,),
        "credit_relief": False,
        "deflection_limit": 0.01,
        "twist_limit": 0.1,
        "tip_limits": (TIP_LIMIT,),
        "frequency_limit": 10.0,
        "carried": (PointMass(at=0.5, mass=10.0),),
        "corner_opening": True,
        "assembly_temperature": 293.0,
        "region_factors": (RegionFactor(**REGION),),
    },
    Caps: CAPS,
    Caps.outside_range: {"self": Caps(**CAPS), "laminate": Laminate.from_code("[0/90]s", TAPE)},
    Check: {
        "criterion": Caps(**CAPS).criterion,
        "level": "limit",
        "name": "fiber strain",
        "services": ("room",),
        "applies_to": "tape",
        "decides": False,
        "assumption": "tested",
        "in_situ": False,
        "in_situ_shear": False,
        "caps": Caps(**CAPS),
    },
    Damage: {"category": 1, "caps": Caps(**CAPS), "standing": "invented"},
    life_factor: {"basis": "A", "articles": 2, "life_shape": 1.25},
    load_enhancement: {
        "lifetimes": [1.0, 2.0],
        "basis": "B",
        "articles": 2,
        "life_shape": 1.25,
        "strength_shape": 20.0,
        "static_reserve": 1.5,
        "metal": False,
    },
    RepeatedLoad: ROLL,
    LandingSpectrum: {"landing": LandingSpectrum().landing, "ground": (RepeatedLoad(**ROLL),)},
    LandingSpectrum.cycles: {"self": LandingSpectrum(ground=()), "response": [0.1] * 31},
    repeated_strain: {
        "strut": STRUT,
        "loads": LOADS,
        "requirement": REQUIREMENT,
        "service": SERVICE,
        "stations": [0.1],
    },
    rainflow: {"history": [0.0, 3.0, 1.0, 5.0, 0.0]},
    no_growth_reserve: {"ranges": [1e-3, 2e-3], "strain": 2e-3},
    screening: {"decides": False},
    RegionFactor: REGION,
    check_stations: {"strut": STRUT, "loads": LOADS},
    brick_margins: {
        "strut": STRUT,
        "loads": LOADS,
        "requirement": REQUIREMENT,
        "density": Density(per_corner=9, per_face=2, size=0.05, fine=0.006),
        "stations": [0.1],
        "cases": CASES,
        "every_ply": False,
        "whole_strut": True,
    },
    ply_end_margins: {
        "strut": STRUT,
        "loads": LOADS,
        "requirement": REQUIREMENT,
        "cases": CASES,
        "table": None,
    },
    margins: {
        "strut": STRUT,
        "loads": LOADS,
        "requirement": REQUIREMENT,
        "stations": [0.1],
        "cases": CASES,
        "every_ply": False,
        "deflected": False,
        "whole_strut": False,
        "supports": None,
    },
    alignment_limits: {"mold_line": MOLD_LINE, "toe_deg": 0.5, "camber_deg": 1.0},
    TipLimit: {"name": "toe", "form": (0, 0, 0, 1, 0, 0), "limit": 0.01},
    span_strain: {
        "strut": STRUT,
        "loads": LOADS,
        "requirement": REQUIREMENT,
        "service": SERVICE,
        "stations": [0.1],
    },
    SpanStrain: {
        name: getattr(STRAIN, name)
        for name in ("stations", "strain", "case", "allowable", "service", "laminae", "walls", "caps")
    },
    SpanStrain.governing: {"self": STRAIN, "lamina": 0, "wall": 1, "part": 2},
    plots.plot_strain_along_span: {
        "strain": STRAIN,
        "part": "fiber",
        "wall": 0,
        "letters": dict(enumerate(CASES)),
        "ax": AX,
        "units": "SI",
    },
    plots.plot_reserve_along_span: {
        "table": TABLE,
        "ax": AX,
        "modes": ("tsai_wu",),
        "wall": "aft",
        "highest": 4.0,
        "units": "SI",
    },
    plots.strain_figure: {"strain": STRAIN, "part": "fiber", "cases": CASES, "table": TABLE, "units": "SI"},
    plots.plot_margin_map: {"table": TABLE, "strut": STRUT, "ax": AX, "highest": 2.0, "units": "SI"},
}
EXCLUDED = {
    "Service.temperature_change": "takes laminae by place: its refusals stand in test_requirement.py",
    "recommended": "takes caps by place: its refusals stand in test_check.py",
}
