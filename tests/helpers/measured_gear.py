"""The gear and strut of drops that were measured once: the Tarn with 265 cm3 of gas, on T700S/2510 tape and cloth."""

from dataclasses import replace

import numpy as np
import tarn
from scipy.constants import g

from beam import Strut
from materials import lamina

GEAR = replace(
    tarn.GEAR, shock=replace(tarn.GEAR.shock, spring=replace(tarn.GEAR.shock.spring, volume=265e-6))
)
_load = 0.85 * tarn.MAX_MASS / 2
_contact = GEAR.contact(GEAR.static(_load), _load * g)
_lower = _contact - tarn.AIRPLANE.main_contact
AIRPLANE = replace(
    tarn.AIRPLANE,
    main_contact=_contact,
    main_wheel_radius=GEAR.axle(GEAR.static(_load))[2] - _contact[2],
    **{name: getattr(tarn.AIRPLANE, name) + _lower for name in ("cg_forward", "cg_aft", "nose_contact")},
)
"""The airplane that stands on it."""

EQUIPMENT = replace(
    tarn.EQUIPMENT,
    **{name: getattr(tarn.EQUIPMENT, name) + _lower for name in ("propeller_tip", "tail_point")},
)

_laid = {"cap tape": "T700S/2510", "web tape": "T700S/2510"}
_kinds = [
    replace(kind, lamina=lamina(_laid.get(kind.name, "T700S/2510 plain weave")), least=1, most=26)
    for kind in tarn.LATTICE.kinds
    if not kind.is_local
]
_line = replace(tarn.MOLD_LINE, corner_radius=[0.022, 0.016])
_thin = np.arange(8)
_counts = [[20, 14, 4, 2]] * 8 + np.stack([19 - _thin, 13 - _thin, 4 + 0 * _thin, 1 + 0 * _thin], -1).tolist()
LATTICE = replace(tarn.LATTICE, mold_line=_line, kinds=_kinds)
STRUT = Strut(_line, LATTICE.book(_counts))
"""2.3 kg, without bands."""
