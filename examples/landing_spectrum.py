"""Repeated loads on a small tube and on a pin: cycles of a thousand landings, growth of damage, factors of the test.

The tube, its loads and the response to sink speed are invented. The spectrum is the default one, of military land
planes, from memory: put the use of your airplane in its place.
"""

import numpy as np
from scipy.constants import g
from small_tube import LINE, REQUIREMENT, ROOM, TAPE

from beam import BookPly, PlyBook, PointLoads, Strut
from beam.strength import LandingSpectrum, load_enhancement, no_growth_reserve, repeated_strain

MASS = 350.0  # on the leg, standing [kg]
DRAG = {"spin-up": 0.5, "spring-back": -0.4, "maximum vertical": 0.1}  # of the vertical load
AFTER_IMPACT = 0.003  # static strain after impact, guidance [-]


def wheel_load(row: tuple[str, float, str, str]) -> tuple[float, float, float]:
    """Force on the wheel (down the strut, side, drag) in one case of the spectrum [N]."""
    name, level, _, step = row
    weight = MASS * g
    if name == "sink speed":
        up = weight * (1.0 + 0.6 * level) * (0.8 if step != "maximum vertical" else 1.0)
        return -up, 0.0, DRAG[step] * up
    if name == "taxi":
        return -weight * (1.0 + level * (1 if step == "up" else -1)), 0.0, 0.0
    if name == "braking":
        return -weight, 0.0, 0.8 * level * weight
    if name == "turning":
        return -weight, weight * level * (1 if step == "left" else -1), 0.0
    return -weight, 0.0, 0.0


def main() -> dict[str, float]:
    """Print the cycles and the reserves, and return the reserves."""
    spectrum = LandingSpectrum()
    force = np.array([wheel_load(row) for row in spectrum.rows])
    book = PlyBook(
        [BookPly(lamina=TAPE.lamina, angle_deg=0.0, walls=LINE.wall_names, start=0.0, end=0.4)] * 8
    )
    loads = PointLoads(at=[0.4], force=force[:, None])
    strain = repeated_strain(Strut(LINE, book), loads, REQUIREMENT, ROOM, stations=[0.0])[:, 0]
    wall = int(np.abs(strain).max(axis=0).argmax())
    cycles, pin = spectrum.cycles(strain[:, wall]), spectrum.cycles(force[:, 2])
    print(
        f"{'range':>10} {'mean':>8} {'count':>8}  in a thousand landings, wall {LINE.wall_names[wall]} [microstrain]"
    )
    for size, mean, count in cycles[:8]:
        print(f"{1e6 * size:10.0f} {1e6 * mean:8.0f} {count:8.1f}")
    print(f"drag on the pin: largest range {pin[0, 0] / 1e3:.1f} kN")
    size = np.abs(cycles[:, 1]) + cycles[:, 0] / 2
    growth = float(no_growth_reserve(size, strain=0.6 * AFTER_IMPACT).min())
    factor = float(load_enhancement(2.0, basis="B"))
    print(
        f"reserve against growth of damage {growth:.2f} (0.6 of {1e6 * AFTER_IMPACT:.0f} microstrain, guidance)"
    )
    print(
        f"test of two lifetimes, one article, B-basis: loads x {factor:.3f}, where the static strength allows it"
    )
    for one in (spectrum.landing, *spectrum.ground):
        print(f"  {one.name}: {one.source}")
    return {"growth": growth, "factor": factor}


if __name__ == "__main__":
    main()
