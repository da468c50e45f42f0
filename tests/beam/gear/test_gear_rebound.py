"""After the peak: rebound, settling to the standing position, heat; and what other shocks and attitudes do."""

import numpy as np
import pytest
from gears import trailing_gear, with_shock
from landings import GEAR, LIMIT, limit_drop
from scipy.constants import g
from scipy.integrate import simpson

from beam.gear import CurveSpring, DamperCurve, Orifice, TwoChamberSpring, drop

TWO_CHAMBERS = TwoChamberSpring(
    pressure=2.6e6, volume=180e-6, second_pressure=8e6, second_volume=60e-6, area=1.6e-3, exponent=1.1
)


def test_it_settles_to_where_it_stands():
    found = drop(GEAR, mass=350.0, speed=2.0, lift_ratio=0.0, duration=4.0)
    assert found.stroke[-1] == pytest.approx(float(GEAR.static(350.0, slow=False)), rel=1e-6)
    assert found.ground_force[-1] == pytest.approx(350 * g, rel=1e-6)
    assert found.tire_deflection[-1] == pytest.approx(float(GEAR.tire.deflection(350 * g)), rel=1e-6)
    # all of the energy that came in and is not in spring and tire was turned into heat
    assert found.heat > 0.8 * 0.5 * 350 * 2.0**2


def test_rebound_leaves_the_ground_only_with_lift():
    assert np.isfinite(drop(GEAR, **{**LIMIT, "lift_ratio": 1.0}).lift_off_time)
    heavy = with_shock(GEAR, damper=Orifice(compression=20e3, extension=3e6))
    assert np.isnan(drop(heavy, mass=400.0, speed=1.0, lift_ratio=0.0).lift_off_time)


def test_attitude_turns_the_link():
    # nose up, the trailing link hangs steeper to the ground: same as turning the whole gear
    turn = np.radians(10.0)
    rotate = np.array([[np.cos(turn), 0, np.sin(turn)], [0, 1, 0], [-np.sin(turn), 0, np.cos(turn)]])
    up = drop(GEAR, **LIMIT, attitude_deg=10.0)
    turned = drop(trailing_gear(rotate=rotate), **LIMIT)
    assert up.peak_ground_force == pytest.approx(turned.peak_ground_force, rel=1e-6)
    assert up.load_factor != pytest.approx(limit_drop().load_factor, rel=1e-3)
    # nose up lowers the tail: the airplane's aft axis turns toward the ground
    assert (rotate @ [1, 0, 0])[2] < 0


@pytest.mark.parametrize(
    "changes",
    [
        {"spring": TWO_CHAMBERS},
        {"spring": CurveSpring(stroke=[0, 0.04, 0.08, 0.115], fast_force=[4e3, 6e3, 10e3, 26e3])},
        {"damper": DamperCurve(rate=[-1.0, 0.0, 1.0, 2.0], force_at_rate=[-60e3, 0.0, 14e3, 40e3])},
    ],
)
def test_other_springs_and_dampers_land_too(changes):
    found = drop(with_shock(GEAR, **changes), **LIMIT, bottoming="record")
    assert found.energy_error < 1e-5
    assert 2.0 < found.load_factor < 5.0


def test_heat_is_the_work_of_damper_and_friction():
    found = limit_drop(rtol=1e-8)
    f = found.history.forces
    work = simpson((f.damper + f.friction) * f.stroke_rate, x=found.time)
    assert found.heat == pytest.approx(work, rel=1e-4)
    assert found.heat > 1.01 * found.history.state("damper_loss")[-1]


def test_stronger_damping_uses_less_stroke():
    used = [
        drop(with_shock(GEAR, damper=Orifice(compression=c, extension=250e3)), **LIMIT).max_stroke_used
        for c in (15e3, 20e3, 30e3)
    ]
    assert used[0] > used[1] > used[2]
