"""The choice of the shock: no random design is better, the choice meets the demand, misses are named."""

import pickle
import sys
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from gears import linear_spring, trailing_gear
from numpy.testing import assert_allclose
from scipy.constants import g

from beam.gear import (
    Bump,
    Constraint,
    NoShock,
    ShockDemand,
    Shocks,
    choose_shock,
    drop,
    drops,
    reserve_energy,
    shock_trade,
    taxi_bump,
)
from beam.gear.landing.shock_search import search, standing_pressure

GEAR = trailing_gear()
BUMP = Bump(ground_speed=10.0, bump_height=0.05, bump_length=1.0)
DEMAND = ShockDemand(
    stroke=0.115,
    load_factor=3.2,
    mass=500.0,
    speed=2.9,
    reserve_speed=1.2 * 2.9,
    ground_speed=35.0,
    static_window=(0.60, 0.70),
    bump=BUMP,
)


@cache
def chosen():
    return choose_shock(GEAR, DEMAND, rounds=4)


@cache
def trade():
    return shock_trade(GEAR, DEMAND, [0.10, 0.115, 0.13], rounds=3)


def test_the_chosen_shock_holds_everything_by_the_tight_solution():
    found = chosen()
    assert found.holds
    gear = found.gear
    landing = {"mass": 500.0, "ground_speed": 35.0, "rtol": 1e-7}
    limit = drop(gear, speed=2.9, lift_ratio=2 / 3, **landing)
    assert limit.load_factor <= 3.2
    assert limit.load_factor == pytest.approx(found.limit.load_factor, rel=1e-5)
    assert not reserve_energy(gear, reserve_speed=1.2 * 2.9, **landing).bottomed
    assert not taxi_bump(gear, mass=500.0, ground_speed=10.0, bump_height=0.05, bump_length=1.0).bottomed
    assert 0.60 - 1e-9 <= float(gear.static(500.0)) / 0.115 <= 0.70 + 1e-9
    assert gear.shock.max_stroke == 0.115


def test_what_is_not_chosen_stays():
    old, new = GEAR.shock, chosen().gear.shock
    assert new.spring.area == old.spring.area
    assert new.spring.exponent == old.spring.exponent
    assert new.damper.extension == old.damper.extension
    assert new.friction == old.friction
    assert chosen().gear.tire is GEAR.tire


def test_no_random_design_is_better():
    # brute force with its own draw, its own pressures and its own bookkeeping
    rng = np.random.default_rng(11)
    count = 1000
    volume, orifice = rng.uniform(190e-6, 400e-6, count), rng.uniform(6e3, 40e3, count)
    standing = rng.uniform(0.60, 0.70, count) * 0.115
    load = GEAR.shock_at_rest(standing, 500.0 * g)
    pressure = (load / 1.6e-3 + 101325.0) * (1 - 1.6e-3 * standing / volume) - 101325.0
    shocks = Shocks.of(GEAR.shock, pressure=pressure, volume=volume, compression=orifice)
    landing = {"mass": 500.0, "ground_speed": 35.0, "shocks": shocks, "rtol": 1e-3}
    limit = drops(GEAR, speed=2.9, lift_ratio=2 / 3, **landing)
    reserve = drops(GEAR, speed=1.2 * 2.9, lift_ratio=1.0, **landing)
    holds = ~limit.bottomed & ~reserve.bottomed
    assert holds.sum() > 100
    assert chosen().limit.load_factor < limit.load_factor[holds].min() * (1 + 2e-3)


def test_the_least_force_is_above_that_of_a_rectangle():
    # no absorber does better than a constant force over shock and tire: F d = m V^2 / 2 + (1 - L) m g d
    limit = chosen().limit
    d = limit.sink.max()
    least = 0.5 * 500.0 * 2.9**2 / d + (1 - 2 / 3) * 500.0 * g
    assert least < limit.peak_ground_force < 1.5 * least


def test_standing_pressure_makes_the_gear_stand_there():
    standing, tightness = 0.64, 0.8
    pressure = float(standing_pressure(GEAR, 480.0, np.array(standing), np.array(tightness)))
    volume = 1.6e-3 * 0.115 / tightness
    shock = Shocks.of(GEAR.shock, pressure=[pressure], volume=[volume]).shock(0)
    assert float(replace(GEAR, shock=shock).static(480.0)) == pytest.approx(standing * 0.115, rel=1e-9)


def test_the_search_repeats_itself():
    one, other = (search(GEAR, DEMAND, rounds=1) for _ in range(2))
    assert_allclose(one.places, other.places, rtol=0)
    assert len(one.shocks.pressure) == len(one.load_factor) == len(one.places)
    best = one.by_load_factor[0]
    assert one.load_factor[best] == one.load_factor[one.stroke_over <= -1e-3].min()


def test_more_stroke_never_costs_load_factor():
    found = trade()
    assert (np.diff(found.load_factor) < 0).all()
    assert found.load_factor[1] == pytest.approx(chosen().limit.load_factor, rel=1e-2)
    assert (found.volume > 1.6e-3 * found.stroke).all()


def test_a_stroke_without_a_spring_is_left_blank():
    spring = replace(GEAR.shock.spring, area=0.09, volume=0.012)
    wide = replace(GEAR, shock=replace(GEAR.shock, spring=spring))
    found = shock_trade(wide, replace(DEMAND, mass=60.0), [0.10, 0.115], rounds=0)
    assert np.isnan(found.load_factor).all()
    assert np.isnan(found.volume).all()


def test_a_demand_too_hard_is_named_from_both_sides():
    with pytest.raises(NoShock) as error:
        choose_shock(GEAR, replace(DEMAND, load_factor=2.965, bump=None), rounds=4)
    first, second = ([c for c in row if not c.holds] for row in error.value.nearest)
    # either the load factor ...
    assert [c.name for c in first] == ["load factor at the limit landing"]
    assert first[0].excess == pytest.approx(chosen().limit.load_factor - 2.965, abs=2e-3)
    assert f"exceeds by {first[0].excess:.3g}" in str(error.value)
    # ... or the stroke at the reserve energy
    missed = {c.name: c for c in second}
    assert "stroke at reserve energy" in missed
    assert "load factor at the limit landing" not in missed
    assert missed["stroke at reserve energy"].excess > 0
    assert "J left when it meets the stop" in str(error.value)
    again = reserve_energy(error.value.gear, mass=500.0, reserve_speed=1.2 * 2.9, ground_speed=35.0)
    assert not again.bottomed


def test_a_bump_too_high_is_named(monkeypatch):
    monkeypatch.setattr(sys.modules[choose_shock.__module__], "OTHERS", 1)
    wall = Bump(ground_speed=10.0, bump_height=0.25, bump_length=1.0)
    with pytest.raises(NoShock, match="stroke over the bump") as error:
        choose_shock(GEAR, replace(DEMAND, load_factor=5.0, bump=wall), rounds=0)
    assert {c.name for c in error.value.nearest[0] if not c.holds} == {"stroke over the bump"}


def test_a_piston_too_large_for_the_weight_is_named():
    spring = replace(GEAR.shock.spring, area=0.09, volume=0.012)
    wide = replace(GEAR, shock=replace(GEAR.shock, spring=spring))
    with pytest.raises(NoShock, match="piston area") as error:
        choose_shock(wide, replace(DEMAND, mass=60.0))
    ((missed,),) = error.value.nearest
    assert missed.value == 0.09
    # with the area named, the softest gas stands at the least place on just the least charge
    fitting = replace(spring, area=missed.limit)
    narrow = replace(GEAR, shock=replace(GEAR.shock, spring=fitting))
    assert float(standing_pressure(narrow, 60.0, np.array(0.60), np.array(0.30))) == pytest.approx(
        1e3, rel=1e-6
    )


def test_a_bought_unit_cannot_be_tuned():
    with pytest.raises(ValueError, match="AirSpring"):
        choose_shock(replace(GEAR, shock=replace(GEAR.shock, spring=linear_spring(1e5))), DEMAND)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"stroke": 115.0}, "given in mm"),
        ({"load_factor": 0.5}, r"> lift_ratio, 0.6667; n of the airplane"),
        ({"speed": 9.5}, "given in ft/s"),
        ({"reserve_speed": 2.8}, r">= speed, 2.9; 1.2 times"),
        ({"static_window": (0.7, 0.6)}, "least < largest"),
        ({"static_window": (0.6, 0.6)}, "least < largest"),
        ({"static_window": (60.0, 70.0)}, "percent"),
    ],
)
def test_bad_demands_are_refused(change, message):
    with pytest.raises(ValueError, match=message):
        replace(DEMAND, **change)


@pytest.mark.parametrize(
    ("name", "limit", "beyond"),
    [
        ("stroke", 2.0, 2.01),
        ("stroke", 0.0101, 0.01),
        ("load_factor", 20.0, 20.1),
        ("speed", 3.48, 3.49),
        ("reserve_speed", 10.0, 10.1),
        ("reserve_speed", 2.9, 2.89),
        ("static_window", (0.01, 0.99), (0.01, 1.0)),
    ],
)
def test_limits_of_a_demand(name, limit, beyond):
    replace(DEMAND, **{name: limit})
    with pytest.raises(ValueError, match=name):
        replace(DEMAND, **{name: beyond})


def test_a_constraint_holds_at_its_limit():
    asked = Constraint(name="stroke", value=0.1, limit=0.1, unit="m")
    assert asked.holds
    assert str(asked) == "stroke: 0.1 m, at most 0.1 m, within"


def test_the_error_is_pickled_with_its_designs():
    error = NoShock([(Constraint(name="stroke", value=0.2, limit=0.1, unit="m", note="5 J left"),)], GEAR)
    other = pickle.loads(pickle.dumps(error))
    assert str(other) == str(error)
    assert "exceeds by 0.1 m; 5 J left" in str(other)
    assert other.nearest == error.nearest
    assert other.gear.wheel_mass == GEAR.wheel_mass


def test_the_grid_spans_window_tightness_and_orifice():
    places = search(GEAR, DEMAND, rounds=0).places
    # a constant shock force F stops the mass within the stroke: F S = m v^2 / 2 + (1 - L) m g S / ratio
    ratio = float(GEAR.link.motion_ratio(0.0))
    force = 500.0 * (2.9**2 / 2 / 0.115 + (1 - 2 / 3) * g / ratio)
    orifice = np.log(force / (ratio * 2.9) ** 2 * np.array([0.05, 3.0]))
    assert_allclose(
        [places.min(axis=0), places.max(axis=0)], np.transpose([[0.60, 0.70], [0.30, 0.97], orifice])
    )
    assert len(places) == 5 * 7 * 7
