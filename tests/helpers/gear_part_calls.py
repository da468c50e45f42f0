"""One valid call for every public callable of the gear's parts: springs, dampers, shocks, tires, the link."""

import numpy as np
from gears import trailing_gear

import beam.gear as gear
from beam.gear import AirSpring, Curve, CurveSpring, DamperCurve, Orifice, Shocks, TwoChamberSpring

GEAR = trailing_gear()
CURVE = Curve(x=[0.0, 0.1, 0.3], y=[0.0, 2.0, 3.0])
AIR = {
    "pressure": 2.6e6,
    "volume": 221e-6,
    "area": 1.6e-3,
    "exponent": 1.1,
    "slow_exponent": 1.05,
    "ambient_pressure": 1e5,
}
TWO = {**AIR, "second_pressure": 8e6, "second_volume": 60e-6}
POINTS = {"stroke": [0.0, 0.05, 0.115], "fast_force": [4e3, 7e3, 3e4], "slow_force": [3.9e3, 6e3, 2.5e4]}
RATES = {"rate": [-1.0, 0.0, 1.0], "force_at_rate": [-5e4, 0.0, 1e4]}
SHOCKS = Shocks.of(GEAR.shock, pressure=[2.4e6, 2.6e6])
SIZE = {"width": 0.16, "diameter": 0.44, "pressure": 290e3, "rated_pressure": 290e3, "tire_type": "III"}
TIRE = {"radius": 0.2, "bottoming_deflection": 0.1, "damping": 0.03}
STROKE, RATE, ANGLE = np.array([0.02, 0.05]), np.array([-0.5, 1.0]), np.array([0.1, 0.4])


def part_calls():
    """Name -> (callable, its arguments)."""
    link, shock, tire = GEAR.link, GEAR.shock, GEAR.tire
    springs = {
        "AirSpring": AirSpring(**AIR),
        "TwoChamberSpring": TwoChamberSpring(**TWO),
        "CurveSpring": CurveSpring(**POINTS),
    }
    found = {
        "AirSpring": (AirSpring, AIR),
        "TwoChamberSpring": (TwoChamberSpring, TWO),
        "CurveSpring": (CurveSpring, POINTS),
        "TwoChamberSpring.break_stroke": (springs["TwoChamberSpring"].break_stroke, {"slow": True}),
        "Curve": (Curve, {"x": [0.0, 1.0, 2.0], "y": [0.0, 1.0, 3.0], "extend": True, "name": "curve"}),
        "Curve.__call__": (CURVE, {"x": STROKE}),
        "Curve.integral": (CURVE.integral, {"x": STROKE}),
        "DamperCurve": (DamperCurve, RATES),
        "DamperCurve.force": (DamperCurve(**RATES).force, {"stroke": STROKE, "rate": RATE}),
        "Orifice": (Orifice, {"compression": 2e4, "extension": 2e5, "metering": CURVE}),
        "Orifice.force": (
            Orifice(compression=2e4, extension=2e5, metering=CURVE).force,
            {"stroke": STROKE, "rate": RATE},
        ),
        "orifice_coefficient": (
            gear.orifice_coefficient,
            {"density": 860.0, "hydraulic_area": 4e-3, "orifice_area": 6e-5, "discharge_coefficient": 0.9},
        ),
        "Shock": (
            gear.Shock,
            {
                "spring": shock.spring,
                "damper": shock.damper,
                "max_stroke": 0.1,
                "friction": 300.0,
                "friction_speed": 0.02,
                "stop_stiffness": 1e7,
            },
        ),
        "Shock.elastic_force": (shock.elastic_force, {"stroke": STROKE, "slow": True}),
        "Shock.damper_force": (shock.damper_force, {"stroke": STROKE, "rate": RATE}),
        "Shock.friction_force": (shock.friction_force, {"rate": RATE}),
        "Shock.force": (shock.force, {"stroke": STROKE, "rate": RATE}),
        "Shock.energy": (shock.energy, {"stroke": STROKE}),
        "Shock.settled": (shock.settled, {"stroke": 0.07}),
        "Shocks": (Shocks, {name: getattr(SHOCKS, name) for name in (*Shocks.numbers(), "metering")}),
        "Shocks.numbers": (Shocks.numbers, {}),
        "Shocks.of": (
            Shocks.of,
            {
                "shock": shock,
                "pressure": [2e6, 3e6],
                "volume": [2e-4, 2e-4],
                "area": [1.6e-3, 1.5e-3],
                "compression": [1e4, 2e4],
                "extension": [2e5, 3e5],
                "max_stroke": [0.1, 0.11],
            },
        ),
        "Shocks.take": (SHOCKS.take, {"index": [1, 0]}),
        "Shocks.shock": (SHOCKS.shock, {"index": 1}),
        "Shocks.elastic_force": (SHOCKS.elastic_force, {"stroke": STROKE}),
        "Shocks.damper_force": (SHOCKS.damper_force, {"stroke": STROKE, "rate": RATE}),
        "Shocks.friction_force": (SHOCKS.friction_force, {"rate": RATE}),
        "Shocks.energy": (SHOCKS.energy, {"stroke": STROKE}),
        "GroundFriction": (
            gear.GroundFriction,
            {"slip": [0.0, 0.1, 1.0], "coefficient": [0.0, 0.8, 0.7], "least_speed": 8.0},
        ),
        "GroundFriction.__call__": (GEAR.friction, {"slip_speed": RATE, "ground_speed": [30.0, 20.0]}),
        "Tire": (gear.Tire, {**TIRE, "law": tire.law, "bottoming_stiffness": 1e6}),
        "Tire.smiley_horne": (gear.Tire.smiley_horne, {**SIZE, "bottoming_deflection": 0.1, "damping": 0.03}),
        "Tire.power_law": (gear.Tire.power_law, {**TIRE, "load": 5e3, "deflection": 0.04, "exponent": 1.5}),
        "Tire.from_points": (
            gear.Tire.from_points,
            {**TIRE, "deflection": [0.0, 0.05, 0.1], "load": [0.0, 6e3, 14e3]},
        ),
        "Tire.load": (tire.load, {"deflection": STROKE, "rate": RATE}),
        "Tire.energy": (tire.energy, {"deflection": STROKE}),
        "Tire.deflection": (tire.deflection, {"load": [5e3, 6e3]}),
        "Tire.loaded_radius": (tire.loaded_radius, {"load": [5e3, 6e3]}),
        "TrailingLink": (
            gear.TrailingLink,
            {
                name: getattr(link, name)
                for name in ("pivot", "axle", "shock_on_link", "shock_on_strut", "hinge", "wheel_axis")
            },
        ),
        "TrailingLink.angle": (link.angle, {"stroke": STROKE}),
        "TrailingLink.motion_ratio": (link.motion_ratio, {"stroke": STROKE}),
        "alignment": (gear.alignment, {"link": link, "stroke": STROKE}),
    }
    for name, spring in springs.items():
        found[f"{name}.force"] = (spring.force, {"stroke": STROKE, "slow": True})
        found[f"{name}.energy"] = (spring.energy, {"stroke": STROKE})
        found[f"{name}.settled"] = (spring.settled, {"stroke": 0.07})
    for name in ("shock_length", "shock_arm", "axle_at", "axle_slope", "lug_at", "wheel_axis_at"):
        found[f"TrailingLink.{name}"] = (getattr(link, name), {"angle": ANGLE})
    return found
