"""Choice of the shock: gas pressure, volume and orifice for a stroke and a load factor; what more stroke would bring.

python examples/shock_for_gear.py [folder for the picture]
"""

import sys
from pathlib import Path

from make_pictures import save
from tourer import GEAR

from beam.gear import AirSpring, Orifice, ShockDemand, choose_shock, shock_trade
from beam.gear.plots import plot_shock_trade

DEMAND = ShockDemand(stroke=0.115, load_factor=3.3, mass=500.0, speed=2.9, reserve_speed=1.2 * 2.9)


def main(folder: Path | None = None) -> None:
    """Print the chosen shock, draw the least load factor over the stroke."""
    found = choose_shock(GEAR, DEMAND, rounds=0)
    spring, damper = found.gear.shock.spring, found.gear.shock.damper
    assert isinstance(spring, AirSpring)
    assert isinstance(damper, Orifice)
    print(f"pressure {spring.pressure / 1e6:.2f} MPa, volume {1e6 * spring.volume:.0f} cm3, "
          f"orifice {damper.compression / 1e3:.1f} kN s2/m2, of {found.tried} designs")  # fmt: skip
    print(f"limit landing: n = {found.limit.load_factor:.3f}, {1e3 * found.limit.max_stroke_used:.0f} mm of stroke; "
          f"reserve landing bottoms: {not found.holds}")  # fmt: skip
    trade = shock_trade(GEAR, DEMAND, [0.095, 0.105, 0.115, 0.125], rounds=0)
    save(plot_shock_trade(trade, found), folder, "shock_for_gear")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
