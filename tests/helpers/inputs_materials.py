"""One good call of every public callable of materials."""

from dataclasses import replace

from bad_input import (
    count,
    fixed,
    items,
    number,
    text,
    thing,
    values,
    word,
)

import materials as m

SOURCE = m.Source("made up for tests")
PLY = m.lamina("T300/5208")
ROOM = m.Condition(name="room", temperature=296.0, moisture=0.0, lamina=PLY)
HOT = m.Condition(name="hot", temperature=344.0, moisture=0.0, lamina=PLY)
TESTED = m.ConditionedLamina(name="tested", conditions=(ROOM, HOT))
STEEL = m.metal("4130 N tube")
FIBER = m.Fiber(
    name="carbon", E1=230e9, E2=15e9, G12=24e9, nu12=0.2, density=1760.0, alpha1=-0.5e-6, alpha2=10e-6,
    source=SOURCE,
)  # fmt: skip
RESIN = m.Matrix(name="epoxy", E=3.5e9, nu=0.35, density=1200.0, alpha=55e-6, beta=0.33, source=SOURCE)

MODULUS = {"sign": "positive", "slips": (70.0, 7e13)}
DENSITY = number(1600.0, "positive", slips=(1.6,))
EXPANSION = number(20e-6, slips=(20.0,))
STRENGTH = number(60e6, "positive", slips=(60.0, 60e12))
STRAIN = number(0.01, "positive", slips=(1.0,), optional=True)
SHARE = values(0.6, sign="not negative", slips=(60.0,))
BASIS = word("B")
PLATE = {
    "time": values(1e6, sign="not negative"),
    "thickness": values(2e-3, sign="positive", slips=(2.0, 0.125)),
    "diffusivity": values(4e-13, sign="positive", slips=(4e-7,)),
}
MOISTURE = values(0.01, sign="not negative", slips=(1.0,))

REGISTRY = {
    m.Allowables: dict.fromkeys(("Xt", "Xc", "Yt", "Yc", "S"), STRENGTH)
    | dict.fromkeys(("e1t", "e1c", "e2t", "e2c", "g12"), STRAIN)
    | {"Zt": number(30e6, "positive", slips=(30.0,), optional=True)}
    | {"basis": BASIS, "condition": text("dry"), "source": thing(SOURCE)},
    m.Allowables.explain: {"self": fixed(PLY.allowables), "name": word("Xt")},
    m.Allowables.with_linear_strains: {
        "self": fixed(
            m.Allowables(Xt=1e9, Xc=1e9, Yt=4e7, Yc=1e8, S=7e7, basis="B", condition="dry", source=SOURCE)
        )
    }
    | dict.fromkeys(("E1", "E2", "G12"), number(70e9, "positive", slips=(70.0,))),
    m.Condition: {
        "name": text("hot"),
        "temperature": number(350.0, "positive", slips=(77.0,)),
        "moisture": number(0.01, "not negative", slips=(1.0,)),
        "lamina": thing(PLY),
    },
    m.ConditionedLamina: {
        "name": text("tested"),
        "conditions": items((ROOM, HOT), (PLY, None, "hot")),
        "wet_glass_transition": number(400.0, "positive", slips=(127.0,), optional=True),
    },
    m.ConditionedLamina.at: {
        "self": fixed(TESTED),
        "temperature": number(320.0, "positive", slips=(47.0,)),
        "moisture": number(0.0, "not negative", slips=(1.0,)),
    },
    m.Factor: {
        "name": text("hot-wet"),
        "value": number(0.8, "positive", slips=(80.0,)),
        "on": items(("Xt", "Yt"), (["Xt"], "strength", 3.0, None, "Yt")),
        "source": thing(SOURCE),
    },
    m.Fiber: {
        "name": text("carbon"),
        "E1": number(230e9, **MODULUS),
        "E2": number(15e9, **MODULUS),
        "G12": number(24e9, **MODULUS),
        "nu12": number(0.2, slips=(20.0,)),
        "density": DENSITY,
        "alpha1": EXPANSION,
        "alpha2": EXPANSION,
        "source": thing(SOURCE),
    },
    m.Lamina: {
        "name": text("ply"),
        "E1": number(140e9, **MODULUS),
        "E2": number(10e9, **MODULUS),
        "G12": number(5e9, **MODULUS),
        "nu12": number(0.3, slips=(30.0, 5.0)),
        "thickness": number(125e-6, "positive", slips=(0.125,)),
        "density": DENSITY,
        "G13": number(5e9, **MODULUS, optional=True),
        "G23": number(3e9, **MODULUS, optional=True),
        "E3": number(10e9, **MODULUS, optional=True),
        "nu13": number(0.3, slips=(30.0,), optional=True),
        "nu23": number(0.4, slips=(40.0,), optional=True),
        "alpha3": number(20e-6, slips=(20.0,), optional=True),
        "beta3": number(0.6, slips=(60.0,), optional=True),
        "alpha1": EXPANSION,
        "alpha2": EXPANSION,
        "beta1": number(0.0, slips=(60.0,)),
        "beta2": number(0.6, slips=(60.0,)),
        "stress_free_temperature": number(450.0, "positive", slips=(177.0,), optional=True),
        "allowables": thing(PLY.allowables, optional=True),
        "source": thing(SOURCE),
    },
    m.Matrix: {
        "name": text("epoxy"),
        "E": number(3.5e9, **MODULUS),
        "nu": number(0.35, slips=(35.0, 0.5, -1.0)),
        "density": DENSITY,
        "alpha": EXPANSION,
        "beta": number(0.33, slips=(33.0,)),
        "source": thing(SOURCE),
    },
    m.Metal: {
        "name": text("steel"),
        "E": number(200e9, **MODULUS),
        "nu": number(0.3, slips=(30.0, 0.5, -1.0)),
        "density": number(7850.0, "positive", slips=(7.85,)),
        "alpha": EXPANSION,
        "Ftu": number(650e6, "positive", slips=(650.0,)),
        "Fty": number(480e6, "positive", slips=(480.0, 700e6)),
        **dict.fromkeys(
            ("Fcy", "Fsu", "Fbru", "Fbry"), number(500e6, "positive", slips=(500.0,), optional=True)
        ),
        "basis": BASIS,
        "source": thing(SOURCE),
    },
    m.Metal.lamina: {"self": fixed(STEEL), "thickness": number(1e-3, "positive", slips=(1.0,))},
    m.Source: {"document": text("report")} | dict.fromkeys(("place", "note"), text("table 1", empty=True)),
    m.check_glass_transition: {
        "temperature": number(320.0, "positive", slips=(47.0,)),
        "wet_glass_transition": number(400.0, "positive", slips=(127.0,)),
    },
    m.cured_thickness: {
        "areal_weight": values(0.2, sign="positive", slips=(200.0,)),
        "fiber_density": values(1760.0, sign="positive", slips=(1.76,), most=1e6),
        "fiber_volume": values(0.6, sign="positive", slips=(60.0,)),
    },
    m.fiber_volume: {
        "areal_weight": values(0.2, sign="positive", slips=(200.0,)),
        "fiber_density": values(1760.0, sign="positive", most=1e6),
        "cured_thickness": values(0.4e-3, sign="positive", slips=(0.8,)),
        "plies": values(2, sign="positive", slips=(1.5,)),
    },
    m.void_volume: dict.fromkeys(
        ("measured_density", "theoretical_density"), values(1600.0, sign="positive", most=1e6)
    ),
    m.mixture: {"fiber": values(230e9), "matrix": values(3e9), "fiber_volume": SHARE},
    m.series: {
        "fiber": values(15e9, sign="positive"),
        "matrix": values(3e9, sign="positive"),
        "fiber_volume": SHARE,
    },
    m.halpin_tsai: {
        "fiber": values(15e9, sign="positive"),
        "matrix": values(3e9, sign="positive"),
        "fiber_volume": SHARE,
        "reinforcement": values(2.0, sign="not negative"),
    },
    m.longitudinal_expansion: {
        "fiber": values(-0.5e-6),
        "matrix": values(55e-6),
        "fiber_volume": SHARE,
        "fiber_modulus": values(230e9, sign="positive"),
        "matrix_modulus": values(3e9, sign="positive"),
    },
    m.transverse_expansion: {
        "fiber": values(10e-6),
        "matrix": values(55e-6),
        "fiber_volume": SHARE,
        "fiber_along": values(-0.5e-6),
        "fiber_poisson": values(0.2, slips=(20.0,)),
        "matrix_poisson": values(0.35, slips=(35.0, 0.6)),
        "along": values(0.1e-6),
    },
    m.unidirectional: {
        "fiber": thing(FIBER),
        "matrix": thing(RESIN),
        "name": text("ply"),
        "fiber_volume": number(0.6, "positive", slips=(60.0, 0.95)),
        "areal_weight": number(0.2, "positive", slips=(200.0,)),
        "reinforcement_E2": number(2.0, "not negative"),
        "reinforcement_G12": number(1.0, "not negative"),
        "stress_free_temperature": number(450.0, "positive", slips=(177.0,), optional=True),
    },
    m.lamina: {"name": word("T300/5208")},
    m.metal: {"name": word(STEEL.name)},
    m.diffusivity: {
        "temperature": values(300.0, sign="positive", slips=(27.0,)),
        "prefactor": values(6.5e-6, sign="positive"),
        "activation_temperature": values(5700.0, sign="positive"),
    },
    m.equilibrium_moisture: {
        "relative_humidity": values(0.5, sign="not negative", slips=(50.0,)),
        "saturation": values(0.015, sign="not negative", slips=(1.5,)),
        "exponent": values(1.0, sign="positive", most=10.0),
    },
    m.through_thickness: {"lamina": thing(replace(PLY, G23=3.5e9))},
    m.uptake_fraction: PLATE | {"faces": count(2, 1, most=3)},
    m.moisture_uptake: PLATE | {"equilibrium": MOISTURE, "initial": MOISTURE, "faces": count(2, 1, most=3)},
    m.moisture_profile: {"position": values(1e-3, sign="not negative", slips=(1.0, 3e-3))}
    | PLATE
    | {"equilibrium": MOISTURE, "initial": MOISTURE, "faces": count(2, 1, most=3)},
}

EXCLUDED = {
    "Allowables.times": "takes factors one after another, by place only: test_allowables.py",
    "GlassTransitionWarning": "a warning",
    "ThroughThickness": "a result, made by through_thickness",
    "catalog": "takes nothing",
    "metals": "takes nothing",
}
MODULES = (m,)
