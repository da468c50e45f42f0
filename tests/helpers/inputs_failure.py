"""One good call of every public callable of laminate.failure."""

from bad_input import (
    number,
    thing,
    values,
)

from laminate import failure as f
from materials import lamina

ALLOWABLES = {"allowables": thing(lamina("T300/5208").allowables)}
STATE = values([1e8, 1e7, 1e7], 1)
STRAIN = values([1e-3, 1e-4, 1e-3], 1)
ON_STRESS = {"stress": STATE} | ALLOWABLES | {"residual": values([0.0, 1e6, 0.0], 1, optional=True)}
ON_STRAIN = {"strain": STRAIN} | ALLOWABLES | {"residual": values([0.0, 1e-4, 0.0], 1, optional=True)}

INTERACTION = {"interaction": number(-0.5, slips=(1.0, -1.0, 2.0))}
HASHIN = {
    "transverse_shear": number(60e6, "positive", slips=(60.0,), optional=True),
    "shear_share": number(1.0, "not negative", slips=(100.0,)),
}
SLOPES = {
    "inclination_tension": number(0.35, "not negative", slips=(35.0,)),
    "inclination_compression": number(0.3, "positive", slips=(30.0,)),
}
PUCK = SLOPES | {"fiber_coupling": number(0.0, slips=(30.0,))}
LARC03 = {
    "shear_modulus": number(7e9, "positive", slips=(7.0,), optional=True),
    "toughness_ratio": number(0.35, "not negative", slips=(35.0,)),
    "fracture_angle_deg": number(53.0, "positive", slips=(0.925, 100.0)),
}

REGISTRY = {
    f.max_stress: ON_STRESS,
    f.max_stress_mode: ON_STRESS,
    f.max_stress_surfaces: ALLOWABLES,
    f.max_strain: ON_STRAIN,
    f.max_strain_mode: ON_STRAIN,
    f.max_strain_surfaces: ALLOWABLES,
    f.tsai_hill: ON_STRESS,
    f.tsai_hill_mode: ON_STRESS,
    f.hoffman: ON_STRESS,
    f.hoffman_mode: ON_STRESS,
    f.hoffman_surfaces: ALLOWABLES,
    f.tsai_wu: ON_STRESS | INTERACTION,
    f.tsai_wu_mode: ON_STRESS | INTERACTION,
    f.tsai_wu_surfaces: ALLOWABLES | INTERACTION,
    f.hashin: ON_STRESS | HASHIN,
    f.hashin_mode: ON_STRESS | HASHIN,
    f.puck: ON_STRESS | PUCK,
    f.puck_mode: ON_STRESS | PUCK,
    f.fracture_angle: {"stress": values([0.0, -1e8, 1e7], 1)}
    | {k: v for k, v in (ON_STRESS | SLOPES).items() if k != "stress"},
    f.larc03: ON_STRESS | LARC03,
    f.larc03_mode: ON_STRESS | LARC03,
    f.labels: {"mode": values([1, 2], sign="not negative", slips=([1.7], [99]), leading=False)},
}
EXCLUDED = {"Mode": "an enumeration"}
MODULES = (f,)
