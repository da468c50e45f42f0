"""A bonded sleeve, invented, for tests: a round and a box tube of unidirectional wall with a metal fitting."""

from small_strut import INVENTED, TAPE

from beam.joints import BondedSleeve
from laminate import Laminate
from materials import Adhesive, AdhesiveCurve, Metal


def curve(temperature, G, strength, strain, peel, moisture=0.0, E=None):
    return AdhesiveCurve(
        temperature=temperature, moisture=moisture, G=G, E=E or 2.75 * G, shear_strength=strength,
        ultimate_strain=strain, peel_strength=peel, source=INVENTED,
    )  # fmt: skip


PASTE = Adhesive(
    name="paste", basis="mean", stress_free_temperature=330.0, wet_glass_transition=390.0,
    curves=[curve(219.0, 1e9, 60e6, 0.15, 60e6), curve(296.0, 0.8e9, 40e6, 0.5, 50e6),
            curve(355.0, 0.4e9, 20e6, 0.8, 25e6)],
)  # fmt: skip
ALUMINUM = Metal(name="aluminum", E=71e9, nu=0.33, density=2800.0, alpha=23.2e-6, Ftu=530e6, Fty=455e6,
                 basis="estimate", source=INVENTED)  # fmt: skip
TITANIUM = Metal(name="titanium", E=116e9, nu=0.31, density=4430.0, alpha=8.8e-6, Ftu=890e6, Fty=820e6,
                 basis="estimate", source=INVENTED)  # fmt: skip
WALL = Laminate.from_code("[45/-45/0_6/90]s", TAPE)
ROUND = {
    "name": "root", "wall": WALL, "metal": TITANIUM, "thickness": 3e-3, "width": 0.06, "height": 0.06,
    "corner_radius": 0.03, "overlap": 0.06, "bond_thickness": 0.2e-3, "adhesive": PASTE, "side": "outside",
    "fail_safe": "proof test", "fail_safe_basis": "invented",
}  # fmt: skip
BOX = {"width": 0.08, "height": 0.06, "corner_radius": 0.015}


def sleeve(**changes):
    return BondedSleeve(**ROUND | changes)
