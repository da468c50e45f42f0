"""The main wheel of the airplane sheet and that of the gear must be one: checked wherever both are known."""

import numpy as np
from numpy.typing import ArrayLike
from scipy.constants import g

from beam.gear.main_gear import MainGear
from beam.loads import Airplane, static_reactions
from materials.checks import Array, reject

SAME_WHEEL = 5e-3
"""Distance by which the wheels of the airplane sheet and of the gear may differ [m]."""


def check_one_gear(what: str, airplane: Airplane, gear: MainGear) -> None:
    """Refuse an airplane sheet and a gear whose main wheels do not stand at one place."""
    static = static_reactions(airplane)
    check_one_wheel(what, gear, static["main"].to_numpy(), **static.attrs["main_wheel"])


def check_one_wheel(
    what: str, gear: MainGear, static: Array, *, contact: ArrayLike, radius: float | None, attitude_deg: float
) -> None:
    """The same, for static loads (...) [N] and the main wheel of the sheet: contact (3,) and radius [m]."""
    load = np.linspace(static.min(), static.max(), 9)
    sheet, contact = np.asarray(contact), gear.contact(gear.static(load / g), load, attitude_deg)
    y = float(contact[0, 1])
    half = f"{y:.4g} m of the gear"
    for factor, cause in ((2.0, "the sheet has the whole track"), (0.5, "the gear has the whole track")):
        if abs(sheet[1] - factor * y) <= SAME_WHEEL * max(factor, 1.0):
            reject(f"{what}: main_contact y of the airplane sheet [m]", f"{sheet[1]:.4g}", f"half the track, {half}",
                   f"doubled track: {cause} for the half one")  # fmt: skip
    apart = contact - sheet
    nearest = apart[np.argmin(np.linalg.norm(apart, axis=-1))]
    if np.linalg.norm(nearest) > SAME_WHEEL:
        x, y, z = (1e3 * nearest).tolist()
        got = f"the contact of the gear {x:+.0f} mm aft, {y:+.0f} mm outboard, {z:+.0f} mm up of that of the sheet"
        limit = f"within {1e3 * SAME_WHEEL:g} mm at some static load"
        reject(f"{what}: main_contact and gear [m]", got, limit, "two origins, or another wheel?")
    if radius is not None:
        loaded = gear.tire.loaded_radius(load)
        off = float(np.abs(loaded - radius).min())
        if off > SAME_WHEEL:
            got = f"{radius:.4g}, {1e3 * off:.0f} mm off"
            reject(f"{what}: main_wheel_radius of the airplane sheet [m]", got,
                   f"the loaded radius of the gear's tire, {loaded.min():.4g} to {loaded.max():.4g}")  # fmt: skip
