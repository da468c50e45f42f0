"""The landing envelope: which drops it makes, what governs, what becomes of it in the case table, what it refuses."""

from dataclasses import replace

import measured_gear
import numpy as np
import pytest
import tarn
from numpy.testing import assert_allclose
from printed import printed
from scipy.constants import atm, foot, g, inch

import beam
from beam.flexibility import Flexibility
from beam.gear import VARIANTS, Tire, Variant, fore_aft_stiffness, landing_envelope
from beam.gear.landing.variants import tread_factor
from beam.gear.one_gear import check_one_gear
from beam.loads import Landing, balance, case_list, contact_speed, drop_height, limit_descent_speed, part23
from materials import Source

AIRPLANE, GEAR = measured_gear.AIRPLANE, measured_gear.GEAR
MASSES = (1180.0, 1240.0)
INVENTED = Source("a test")


@pytest.fixture(scope="module")
def full():
    """The whole envelope of the Tarn on a rigid strut."""
    return landing_envelope(AIRPLANE, GEAR, equipment=measured_gear.EQUIPMENT)


@pytest.fixture(scope="module")
def strut():
    """A strut that bends and twists about as much as the sized one: 0.8 MN/m fore and aft at the pivot."""
    pivot = [1.2e-6] * 3 + [1.2e-5] * 3
    bracket = [2e-7] * 3 + [4e-6] * 3
    return Flexibility(
        points=(GEAR.link.pivot, GEAR.link.shock_on_strut), compliance=np.diag(pivot + bracket)
    )


@pytest.fixture(scope="module")
def flexible(strut):
    """The nominal unit on that strut."""
    return landing_envelope(AIRPLANE, GEAR, flexibility=strut, variants=())


def rows(envelope, **wanted):
    """Rows of the table with some values."""
    table = envelope.table
    for name, value in wanted.items():
        table = table[table[name] == value]
    return table


def test_every_drop_that_the_conditions_ask_for(full):
    """3 attitudes x 2 masses x 2 speeds x (nominal + 12 variants + 8 corners), and 13 at reserve energy."""
    limit, reserve = rows(full, kind="limit"), rows(full, kind="reserve")
    assert len(limit) == 3 * 2 * 2 * 21
    assert len(reserve) == 3 * 2 * 13
    assert limit.groupby(["condition", "mass", "ground_speed"])["variant"].nunique().eq(21).all()
    assert set(limit["attitude_deg"]) == {0.0, 12.0}
    for mass in MASSES:
        speeds = set(rows(full, kind="limit", mass=mass)["ground_speed"])
        assert speeds == {0.0, contact_speed(AIRPLANE, mass)}
        assert set(rows(full, kind="reserve", mass=mass)["ground_speed"]) == {0.0}


def test_each_mass_has_its_own_descent_speed_and_height(full):
    """23.473(d), 23.723(b), 23.725(a), 23.727: from the wing loading of that mass."""
    for mass in MASSES:
        loading = mass * g / AIRPLANE.wing_area
        limit, reserve = (rows(full, kind=kind, mass=mass) for kind in ("limit", "reserve"))
        assert_allclose(limit["speed"], limit_descent_speed(loading))
        assert_allclose(reserve["speed"], 1.2 * limit_descent_speed(loading))
        assert_allclose(limit["drop_height"], drop_height(loading))
        assert_allclose(reserve["drop_height"], 1.44 * drop_height(loading))
        assert set(limit["lift_ratio"]) == {2 / 3}
        assert set(reserve["lift_ratio"]) == {1.0}
    assert (full.table["drop_height"] >= 9.2 * inch).all()
    assert full.table.loc[full.table["kind"] == "limit", "speed"].between(7 * foot, 10 * foot).all()


def test_energy_balance_of_every_row(full, flexible):
    for one in (full, flexible):
        assert one.table["energy_error"].max() < 1e-5


@pytest.mark.parametrize(
    ("angle", "standing", "moving"),
    [(4.0, "3.106", "3.064"), (8.0, "3.276", "3.193"), (12.0, "3.475", "3.347")],
)
def test_load_factor_nose_up(angle, standing, moving):
    """Measured by an independent integrator: a trailing link loses lever nose-up."""
    airplane = replace(AIRPLANE, tail_down_angle_deg=angle)
    found = landing_envelope(airplane, GEAR, variants=())
    drops = rows(found, kind="limit", mass=1180.0, condition="tail-down").set_index("ground_speed")[
        "load_factor"
    ]
    assert drops[0.0] == pytest.approx(float(standing), abs=1e-3)
    assert drops.iloc[-1] == pytest.approx(float(moving), abs=1e-3)
    level = rows(found, kind="limit", mass=1180.0, condition="nose clear")["load_factor"]
    assert sorted(level.round(3)) == [2.960, 2.965]
    # 23.481(b): the tail-down n is that of the drop without ground speed
    point = next(p for p in found.landing.points if p.condition == "tail-down" and p.mass == 1180.0)
    assert point.load_factor == drops[0.0]
    assert not point.instants


@pytest.mark.parametrize(
    ("name", "n"),
    [
        ("nominal", "2.96"),
        ("orifice +25 %", "3.14"),
        ("orifice -25 %", "3.17"),
        ("exponent 1.3, dry gas", "3.01"),
        ("gas -40 degC", "2.90"),
        ("charge -10 %", "2.93"),
        ("charge +10 %", "2.99"),
    ],
)
def test_load_factor_of_variants(full, name, n):
    """Measured by an independent integrator, level, landing mass, ground moving."""
    found = rows(full, kind="limit", mass=1180.0, condition="nose clear", variant=name)
    assert found.loc[found["ground_speed"] > 0, "load_factor"].item() == printed(n)


def test_a_row_is_the_drop_of_that_shock(full):
    """Second way: one drop by another integrator, of a gear whose shock is changed by hand."""
    name = "corner: orifice +25%, charge -10%, gas +70 degC"
    spring, damper = GEAR.shock.spring, GEAR.shock.damper
    pressure = (0.9 * spring.pressure + atm) * 343.15 / 293.15 - atm
    shock = replace(
        GEAR.shock,
        spring=replace(spring, pressure=pressure),
        damper=replace(damper, compression=1.25 * damper.compression, extension=1.25 * damper.extension),
    )
    found = rows(full, kind="limit", mass=1240.0, condition="nose clear", variant=name)
    row = found[found["ground_speed"] > 0].iloc[0]
    one = beam.drop(
        replace(GEAR, shock=shock),
        mass=620.0,
        speed=row.speed,
        lift_ratio=2 / 3,
        ground_speed=row.ground_speed,
    )
    assert row.load_factor == pytest.approx(one.load_factor, rel=1e-4)
    assert row.spin_up_ground_drag == pytest.approx(
        float(one.history.forces_at(one.spin_up.time).drag), rel=1e-3
    )
    assert row.spin_up_vertical == pytest.approx(one.spin_up.vertical, rel=1e-3)
    assert row.stroke == pytest.approx(one.max_stroke_used, rel=1e-4)
    assert row.peak_shock_force == pytest.approx(one.shock_force.max(), rel=1e-3)


def test_tire_pressure_scales_the_law_of_the_tire(full):
    """Smiley and Horne: load in proportion to p + 0.08 p_rated, here by a tire of that pressure."""
    tire = replace(GEAR.tire, law=replace(GEAR.tire.law, pressure=1.1 * GEAR.tire.law.pressure))
    found = rows(full, kind="limit", mass=1180.0, condition="nose clear", variant="tire pressure +10 %")
    one = beam.drop(replace(GEAR, tire=tire), mass=590.0, speed=found["speed"].iloc[0], lift_ratio=2 / 3)
    assert found.loc[found["ground_speed"] == 0, "load_factor"].item() == pytest.approx(
        one.load_factor, rel=1e-4
    )


def test_tire_pressure_changes_the_fore_aft_stiffness(strut):
    """Smiley and Horne: in proportion to p + 4 p_rated; here by a tire of that pressure, dropped by itself."""
    law = GEAR.tire.law

    def tire(pressure):
        stiffness = fore_aft_stiffness(
            diameter=law.diameter, pressure=pressure, rated_pressure=law.rated_pressure, deflection=0.03
        )
        return replace(GEAR.tire, law=replace(law, pressure=pressure), fore_aft_stiffness=stiffness)

    gear = replace(GEAR, tire=tire(law.pressure))
    low = Variant(name="soft", source=INVENTED, tire_pressure=0.6)
    found = landing_envelope(AIRPLANE, gear, flexibility=strut, variants=[low])
    row = rows(found, kind="limit", mass=1180.0, condition="nose clear", variant="soft").query(
        "ground_speed > 0"
    )
    one = beam.drop(
        replace(gear, tire=tire(0.6 * law.pressure)),
        mass=590.0,
        speed=row["speed"].item(),
        lift_ratio=2 / 3,
        ground_speed=row["ground_speed"].item(),
        flexibility=strut,
    )
    assert row["spin_up_drag"].item() == pytest.approx(one.spin_up.axle_drag, rel=1e-3)
    assert row["spring_back_drag"].item() == pytest.approx(one.spring_back.axle_drag, rel=2e-3)
    # by itself the stiffness matters: with that of the nominal pressure the answer is another
    assert tread_factor(gear.tire, np.array([0.6])) == pytest.approx((0.6 + 4) / 5)
    measured = replace(gear.tire, law=Tire.power_law(radius=0.22, load=5e3, deflection=0.04, exponent=1.2,
                                                     bottoming_deflection=0.11).law)  # fmt: skip
    assert tread_factor(measured, np.array([0.6])) == pytest.approx((0.6 + 4) / 5)


def test_the_largest_governs_and_is_named(full):
    for point in full.landing.points:
        limit = rows(full, kind="limit", mass=point.mass, condition=point.condition)
        if point.condition == "tail-down":
            limit = limit[limit["ground_speed"] == 0]
        top = limit.loc[limit["load_factor"].idxmax()]
        assert point.load_factor == top["load_factor"]
        assert "n" in top["governs"].split(", ")
        assert top["variant"] in point.basis
        assert point.load_factor > limit.loc[limit["variant"] == "nominal", "load_factor"].max()
    assert len(full.landing.points) == 6
    assert full.landing.load_factor == max(p.load_factor for p in full.landing.points if p.mass == 1180.0)


def test_corners_are_those_of_the_variants():
    """Only orifice and charge vary: four corners. One more deviation widens them."""
    some = [one for one in VARIANTS if one.orifice != 1 or one.charge != 1]
    found = landing_envelope(AIRPLANE, GEAR, variants=some)
    assert sum(name.startswith("corner") for name in found.table["variant"].unique()) == 4
    worse = landing_envelope(
        AIRPLANE, GEAR, variants=[*some, Variant(name="orifice +40 %", source=INVENTED, orifice=1.4)]
    )
    assert worse.landing.load_factor > found.landing.load_factor + 0.05
    alone = landing_envelope(AIRPLANE, GEAR, variants=some, corners=False)
    assert not any(name.startswith("corner") for name in alone.table["variant"])
    assert any("corners" in note and "SWITCHED OFF" in note for note in alone.notes)


def test_one_load_factor_for_all_is_a_choice(full):
    """The user's choice, named and printed; every landing case then has the largest n."""
    one = replace(full, factors="one for all").landing
    most = max(point.load_factor for point in full.landing.points)
    conditions = (part23.nose_clear_landing, part23.tail_down_landing)
    for case in case_list(AIRPLANE, one, conditions=conditions):
        if (
            "of the drop" not in case.condition
            and "spin" not in case.condition
            and "spring" not in case.condition
        ):
            assert sum(wheel.Fz for wheel in case.wheels) == pytest.approx((most - 2 / 3) * case.mass * g)
    own = {
        case.condition: sum(wheel.Fz for wheel in case.wheels) / (case.mass * g) + 2 / 3
        for case in case_list(AIRPLANE, full.landing, conditions=conditions)
        if case.mass == 1240.0
    }
    assert own["tail-down"] > own["nose clear, peak vertical"]
    assert any("per condition" in note for note in full.notes)


def test_drop_becomes_cases_beside_appendix_d(flexible):
    """23.479(b), (c): drag, vertical and stroke of one instant; the ground's drag alone balances the airplane."""
    landing = flexible.landing
    cases = case_list(AIRPLANE, landing, conditions=(part23.nose_clear_landing, part23.one_wheel_landing))
    named = {(case.condition, case.mass, case.cg): case for case in cases}
    for mass in MASSES:
        moving = rows(flexible, kind="limit", mass=mass, condition="nose clear", variant="nominal").iloc[-1]
        for name, part, appendix in (
            ("spin-up", "spin_up", "spin-up"),
            ("spring-back", "spring_back", "spring-back, peak vertical"),
        ):
            case = named[(f"nose clear, {name} of the drop", mass, "aft")]
            assert case.strokes == (pytest.approx(moving[f"{part}_stroke"] / GEAR.shock.max_stroke),)
            for wheel in case.wheels:
                assert wheel.Fx == moving[f"{part}_drag"]
                assert wheel.ground_drag == moving[f"{part}_ground_drag"]
                assert wheel.Fz == moving[f"{part}_vertical"]
            found = balance(AIRPLANE, [case])[0]
            assert found.load_factor[0] == pytest.approx(2 * moving[f"{part}_ground_drag"] / (mass * g))
            assert named[(f"starboard wheel only, {name} of the drop", mass, "aft")].wheels == case.wheels[:1]
            assert (f"nose clear, {appendix}", mass, "aft") in named
        assert moving["spin_up_ground_drag"] <= 0.8 * moving["spin_up_vertical"] * (1 + 1e-9)
        assert moving["spring_back_drag"] < -500.0


def test_table_holds_the_drag_of_the_ground(flexible, tmp_path):
    table = beam.ground_cases(AIRPLANE, flexible.landing)
    swings = table["condition"].str.contains("of the drop")
    assert (table.loc[~swings, "ground_drag"] == table.loc[~swings, "Fx"]).all()
    assert (table.loc[swings, "ground_drag"] != table.loc[swings, "Fx"]).all()
    table.to_csv(tmp_path / "loads.csv", index=False)
    assert beam.loads.read_cases(tmp_path / "loads.csv").equals(table)


def test_drop_cases_reach_the_strut(flexible):
    cases = beam.ground_cases(AIRPLANE, flexible.landing, conditions=(part23.nose_clear_landing,))
    static = beam.static_reactions(AIRPLANE)
    design = beam.design_cases(GEAR, cases, tarn.MOLD_LINE, static=static, airplane=AIRPLANE)
    found = [label for label in design.labels if "spin-up of the drop, 1180 kg fwd" in label]
    assert len(found) == 1


def test_what_is_switched_off_is_printed(full):
    off = landing_envelope(AIRPLANE, GEAR, variants=(), drop_instants=False)
    text = off.summary()
    assert text.count("SWITCHED OFF") == 2
    assert "RIGID" in text
    assert "23.479(a)(2) allows" in text
    assert not any(point.instants for point in off.landing.points)
    assert "SWITCHED OFF" not in full.summary()
    assert "no source" in full.summary()


def test_reserve_energy_at_each_attitude(full):
    """23.723(b): lift equal to weight, so each main wheel carries (n - 1) W / 2."""
    cases = {
        (case.condition, case.mass): case
        for case in case_list(AIRPLANE, full.landing, conditions=(part23.reserve_energy,))
    }
    assert {pitch.attitude_deg for pitch in cases.values()} == {0.0, 12.0}
    assert len(cases) == 4
    for (name, mass), case in cases.items():
        drops = rows(full, kind="reserve", mass=mass, condition=name.removeprefix("reserve energy, "))
        assert case.level == "ultimate"
        assert case.wheels[0].Fz == pytest.approx(drops["peak_vertical"].max())


def test_own_attitude_of_the_nose_clear_landing():
    found = landing_envelope(AIRPLANE, GEAR, variants=(), nose_clear_attitude_deg=4.0)
    level = rows(found, kind="limit", mass=1180.0, condition="nose clear", ground_speed=0.0)
    assert level["load_factor"].item() == pytest.approx(3.106, abs=1e-3)
    case = case_list(AIRPLANE, found.landing, conditions=(part23.nose_clear_landing,))[0]
    assert case.attitude_deg == 4.0


def test_flexibility_and_wheel_offset_change_the_drag(flexible, strut):
    """A wheel farther outboard twists the strut more: another drag on the axle; n hardly moves."""
    out = replace(GEAR, link=replace(GEAR.link, axle=GEAR.link.axle + (0.0, 0.15, 0.0)))
    contact = AIRPLANE.main_contact + (0.0, 0.15, 0.0)
    found = landing_envelope(replace(AIRPLANE, main_contact=contact), out, flexibility=strut, variants=())
    rigid = landing_envelope(AIRPLANE, GEAR, variants=())
    drag = [one.table["spin_up_drag"].max() for one in (rigid, flexible, found)]
    assert drag[1] > 1.02 * drag[0]
    assert abs(drag[2] / drag[1] - 1) > 0.01
    level = [
        rows(one, kind="limit", condition="nose clear", mass=1180.0, ground_speed=0.0)["load_factor"].item()
        for one in (rigid, flexible)
    ]
    assert level[1] == pytest.approx(level[0], rel=0.05)


def test_processes_share_the_drops():
    alone = landing_envelope(AIRPLANE, GEAR, variants=(), workers=1).table
    shared = landing_envelope(AIRPLANE, GEAR, variants=(), workers=2).table
    assert alone.drop(columns="energy_error").equals(shared.drop(columns="energy_error"))


def test_progress_is_told():
    said = []
    landing_envelope(AIRPLANE, GEAR, variants=(), progress=said.append)
    assert said == ["landing envelope: 6 drops at each of 2 attitudes"]


# --- bad input ------------------------------------------------------------------------------------------


def test_a_variant_that_bottoms_is_a_named_row():
    leak = Variant(name="half the charge", source=INVENTED, charge=0.5)
    found = landing_envelope(AIRPLANE, GEAR, variants=[leak])
    bottomed = rows(found, bottomed=True)
    assert set(bottomed["variant"]) == {"half the charge"}
    assert (bottomed["energy_left"] > 0).all()
    assert any("BOTTOMS" in note and "half the charge" in note and "J left" in note for note in found.notes)
    assert (rows(found, bottomed=False)["energy_left"] == 0).all()


def test_a_load_factor_off_the_stop_is_refused_by_name(full):
    """The table stays: the landing alone is refused."""
    hard = replace(full, table=full.table.assign(load_factor=25.0, bottomed=True, energy_left=321.0))
    with pytest.raises(
        ValueError, match=r"three-point at 1180 kg .* < 20; nominal: the shock bottoms with 321 J left"
    ):
        _ = hard.landing


def test_cold_gas_that_cannot_stand_is_named():
    cold = Variant(name="leaked and cold", source=INVENTED, charge=0.25, gas_temperature=220.0)
    found = landing_envelope(AIRPLANE, GEAR, variants=[cold], corners=False)
    assert rows(found, variant="leaked and cold")["standing"].isna().all()
    assert rows(found, variant="nominal")["standing"].notna().all()
    assert any("CANNOT CARRY" in note and "leaked and cold" in note for note in found.notes)


def test_standing_stroke_is_that_of_the_gear(full):
    load = beam.static_reactions(AIRPLANE).query("mass == 1180")["main"].max()
    stands = rows(full, variant="nominal", mass=1180.0)["standing"].iloc[0]
    assert stands * GEAR.shock.max_stroke == pytest.approx(float(GEAR.static(load / g)), rel=1e-6)


def shifted(**change):
    """The airplane sheet with another main contact, or another field."""
    if "by" in change:
        change["main_contact"] = AIRPLANE.main_contact + np.array(change.pop("by"))
    return replace(AIRPLANE, **change)


@pytest.mark.parametrize(
    ("airplane", "message"),
    [
        (shifted(by=(0.0, AIRPLANE.main_contact[1], 0.0)), "doubled track: the sheet has the whole track"),
        (
            shifted(by=(0.0, -AIRPLANE.main_contact[1] / 2, 0.0)),
            "doubled track: the gear has the whole track",
        ),
        (shifted(by=(0.15, 0.0, 0.0)), r"-15\d mm aft"),
        (shifted(by=(0.0, 0.02, 0.0)), r"-20 mm outboard"),
        (shifted(main_wheel_radius=0.22), "main_wheel_radius"),
    ],
)
def test_sheet_and_gear_must_have_one_wheel(airplane, message):
    with pytest.raises(ValueError, match=message):
        landing_envelope(airplane, GEAR, variants=())
    cases, static = beam.ground_cases(airplane, Landing(load_factor=3.0)), beam.static_reactions(airplane)
    # the tables bring the wheel of their sheet, also through a choice of rows
    chosen = cases[cases["leg"] != "nose"].reset_index(drop=True)
    for table, named in ((cases, {"airplane": airplane}), (cases, {}), (chosen, {})):
        with pytest.raises(ValueError, match=message):
            beam.design_cases(GEAR, table, tarn.MOLD_LINE, static=static, **named)


def test_tables_of_two_sheets_are_refused():
    other = shifted(by=(0.003, 0.0, 0.0))
    cases, static = beam.ground_cases(other, Landing(load_factor=3.0)), beam.static_reactions(AIRPLANE)
    with pytest.raises(ValueError, match="one airplane sheet"):
        beam.design_cases(GEAR, cases, tarn.MOLD_LINE, static=static)
    # read back from a file, a table brings no wheel: the one that does is asked
    static.attrs.clear()
    assert len(beam.design_cases(GEAR, cases, tarn.MOLD_LINE, static=static).labels)


def test_wheels_within_five_millimeters_are_one():
    check_one_gear("test", shifted(by=(0.003, 0.003, 0.0)), GEAR)
    with pytest.raises(ValueError, match="within 5 mm"):
        check_one_gear("test", shifted(by=(0.004, 0.004, 0.0)), GEAR)


def test_attitude_beyond_the_clearance_of_the_tail():
    high = replace(AIRPLANE, tail_down_angle_deg=15.5)
    with pytest.raises(ValueError, match=r"tail_down_angle_deg .*15.5.*tail touches"):
        landing_envelope(high, GEAR, variants=(), equipment=measured_gear.EQUIPMENT)
    with pytest.raises(ValueError, match=r"nose_clear_attitude_deg .*<= 12"):
        landing_envelope(AIRPLANE, GEAR, variants=(), nose_clear_attitude_deg=13.0)
    with pytest.raises(ValueError, match="tail_down_angle_deg: got None"):
        landing_envelope(replace(AIRPLANE, tail_down_angle_deg=None), GEAR, variants=())


def test_a_strut_too_soft_is_refused(strut):
    soft = replace(strut, compliance=300 * strut.compliance)
    with pytest.raises((ValueError, RuntimeError), match="soft"):
        landing_envelope(AIRPLANE, GEAR, variants=(), flexibility=soft)


def test_names_of_variants_differ():
    with pytest.raises(ValueError, match="all different"):
        landing_envelope(AIRPLANE, GEAR, variants=[VARIANTS[0], VARIANTS[0]])


def test_a_landing_of_another_sheet_is_refused(full):
    """Points stand for masses and a tail-down angle: another sheet must not take them in silence."""
    with pytest.raises(ValueError, match="none for nose clear at 1150 kg"):
        case_list(
            replace(AIRPLANE, landing_mass=1150.0), full.landing, conditions=(part23.nose_clear_landing,)
        )
    with pytest.raises(ValueError, match="tail-down angle of the airplane sheet"):
        case_list(
            replace(AIRPLANE, tail_down_angle_deg=10.0), full.landing, conditions=(part23.tail_down_landing,)
        )
