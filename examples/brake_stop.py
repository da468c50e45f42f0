"""A stop of the tourer: heat from the brakes up to the tip of the strut, fore-aft mode under the brake, c.g. range.

All data are invented. Run it: it prints the temperatures with their assumptions, the judgment of the fore-aft mode
and the center of gravity of the loadings.
"""

from beam import Service
from beam.gear import (
    BrakeHeat,
    BrakeStop,
    Conduction,
    Convection,
    Radiation,
    ThermalNode,
    gear_walk,
)
from beam.loads import MassItem, cg_range
from materials import Source

DRAWING = Source("invented drawing of a wheel and brake", note="invented")
GUESS = Source("no measurement", note="guess")

NETWORK = BrakeHeat(
    nodes=[
        ThermalNode(name="disc", mass=2.2, specific_heat=500, heat_share=0.9, highest_temperature=920, source=DRAWING),
        ThermalNode(name="caliper", mass=0.9, specific_heat=900, heat_share=0.1, highest_temperature=480,
                    source=DRAWING),
        ThermalNode(name="wheel", mass=3.6, specific_heat=900, source=DRAWING, highest_temperature=450),
        ThermalNode(name="axle", mass=1.1, specific_heat=480, source=DRAWING),
        ThermalNode(name="link", mass=3.0, specific_heat=900, source=DRAWING),
        ThermalNode(name="strut tip", mass=0.35, specific_heat=950, source=DRAWING, highest_temperature=344),
    ],
    links=[
        Convection(first="disc", second="wheel", coefficient=900, surface=3e-3, source=GUESS),
        Radiation(first="disc", second="wheel", emissivity=0.6, view_factor=0.4, surface=0.05, source=GUESS),
        Radiation(first="disc", second="ambient", emissivity=0.8, view_factor=0.6, surface=0.05, source=GUESS),
        Convection(first="disc", second="ambient", coefficient=20, surface=0.05, source=GUESS),
        Convection(first="caliper", second="ambient", coefficient=15, surface=0.03, source=GUESS),
        Convection(first="caliper", second="axle", coefficient=400, surface=2e-3, source=GUESS),
        Convection(first="wheel", second="ambient", coefficient=12, surface=0.25, source=GUESS),
        Convection(first="wheel", second="axle", coefficient=400, surface=1.5e-3, source=GUESS),
        Conduction(first="axle", second="link", conductivity=45, cross_section=7e-4, length=0.06, source=DRAWING),
        Convection(first="link", second="ambient", coefficient=10, surface=0.10, source=GUESS),
        Convection(first="link", second="strut tip", coefficient=300, surface=2e-3, source=GUESS),
        Convection(first="strut tip", second="ambient", coefficient=8, surface=0.02, source=GUESS),
    ],
    ambient=303.0,
    tip="strut tip",
)  # fmt: skip
LANDING = BrakeStop(name="landing", mass=1180, ground_speed=29, deceleration=3)
REJECTED = BrakeStop(name="rejected take-off", mass=1240, ground_speed=34, deceleration=3, start=900)

ITEMS = [
    MassItem(name="empty", mass=760, arm=(2.44, 0.0, 0.20)),
    MassItem(name="front seats", least=55, mass=200, arm=(2.30, 0.0, 0.25)),
    MassItem(name="rear seats", least=0, mass=180, arm=(2.85, 0.0, 0.28)),
    MassItem(name="fuel", least=15, mass=160, arm=(2.50, 0.0, 0.10)),
    MassItem(name="baggage", least=0, mass=40, arm=(3.30, 0.0, 0.25)),
]


def main() -> None:
    """Print temperatures, the fore-aft mode and the range of the center of gravity."""
    found = NETWORK.temperatures([LANDING, REJECTED])
    print(
        "Temperatures after a landing and a rejected take-off a quarter of an hour later; all data invented"
    )
    print(found.table.round(1).to_string(index=False))
    print(f"tip of the strut: {found.tip_temperature:.1f} K after {found.tip_time / 60:.0f} min")
    # the service in which every load case is then judged: beam.Requirement(services=(..., hot))
    hot = Service(name="after a rejected take-off", temperature=found.tip_temperature, moisture=0.008)
    print(
        f"service of the strength check: {hot.name}, {hot.temperature:.1f} K, moisture {100 * hot.moisture:.1f} %"
    )
    print(f"energy of one brake {found.energy_in / 1e3:.0f} kJ, error of the ledger {found.ledger_error:.1e}")
    for line in found.assumptions:
        print(f"* {line}")
    print("\nFore-aft mode under the brake")
    mode = gear_walk(stiffness=5e5, mass=14, wheel_inertia=0.25, rolling_radius=0.19, damping_ratio=0.03,
                     torque_slope=[0.0, -0.3, -3.0])  # fmt: skip
    print(mode.table.round(3).to_string(index=False))
    print("\nCenter of gravity")
    print(cg_range(ITEMS, [1240, 1180]).table.round(3).to_string(index=False))


if __name__ == "__main__":
    main()
