import dataclasses

import pytest
from numpy.testing import assert_allclose

from materials import Condition, ConditionedLamina, Factor, GlassTransitionWarning, Source, lamina

ROOM = lamina("AS4/3501-6")
SOURCE = Source("coupon report")


def ply(stiffness=1.0, strength=1.0):
    a = ROOM.allowables
    allowables = dataclasses.replace(a, Yt=a.Yt * strength, S=a.S * strength, Xc=a.Xc * strength)
    return dataclasses.replace(
        ROOM, E2=ROOM.E2 * stiffness, G12=ROOM.G12 * stiffness, allowables=allowables, source=SOURCE
    )


COLD = Condition(name="cold dry", temperature=219.0, moisture=0.0, lamina=ply(1.1, 1.05))
DRY = Condition(name="room dry", temperature=297.0, moisture=0.0, lamina=ply())
HOT = Condition(name="hot dry", temperature=355.0, moisture=0.0, lamina=ply(0.9, 0.85))
WET = Condition(name="hot wet", temperature=355.0, moisture=0.012, lamina=ply(0.7, 0.6))
TESTED = ConditionedLamina(name="AS4/3501-6", conditions=(COLD, DRY, HOT, WET), wet_glass_transition=430.0)


def test_tested_condition_gives_the_tested_lamina():
    assert TESTED.at(temperature=297.0, moisture=0.0) is DRY.lamina
    assert TESTED.at(temperature=355.0, moisture=0.012) is WET.lamina


def test_half_way_in_temperature():
    between = TESTED.at(temperature=326.0, moisture=0.0)
    assert_allclose((between.E1, between.E2), (ROOM.E1, 0.95 * ROOM.E2), rtol=1e-12)
    assert_allclose((between.G12, between.nu12), (0.95 * ROOM.G12, ROOM.nu12), rtol=1e-12)
    assert between.allowables.Yt == pytest.approx(0.925 * ROOM.allowables.Yt, rel=1e-12)
    assert between.allowables.Xt == pytest.approx(ROOM.allowables.Xt, rel=1e-12)
    assert between.allowables.e2t == pytest.approx(ROOM.allowables.e2t, rel=1e-12)


def test_what_acts_through_the_thickness_goes_along():
    def stated(condition, Zt, E3):
        allowables = dataclasses.replace(condition.lamina.allowables, Zt=Zt)
        return dataclasses.replace(
            condition, lamina=dataclasses.replace(condition.lamina, E3=E3, allowables=allowables)
        )

    tested = ConditionedLamina(name="ply", conditions=(stated(DRY, 60e6, 11e9), stated(HOT, 40e6, 9e9)))
    between = tested.at(temperature=326.0, moisture=0.0)
    assert_allclose((between.allowables.Zt, between.E3), (50e6, 10e9), rtol=1e-12)
    with pytest.raises(ValueError, match="Zt in one only"):
        ConditionedLamina(name="ply", conditions=(stated(DRY, 60e6, 11e9), stated(HOT, None, 9e9)))


def test_half_way_in_moisture():
    between = TESTED.at(temperature=355.0, moisture=0.006)
    assert_allclose(between.E2, 0.8 * ROOM.E2, rtol=1e-12)
    assert between.allowables.Xc == pytest.approx(0.725 * ROOM.allowables.Xc, rel=1e-12)


def test_says_that_it_is_interpolated_and_of_what():
    between = TESTED.at(temperature=326.0, moisture=0.006)
    assert between.name == "AS4/3501-6, 326 K, moisture 0.006"
    assert between.allowables.condition == "326 K, moisture 0.006, interpolated"
    assert between.source == Source("coupon report", note="interpolated: 0.5 room dry + 0.5 hot wet")
    assert between.allowables.basis == "typical"


def test_lamina_without_allowables_stays_without():
    bare = tuple(
        dataclasses.replace(one, lamina=dataclasses.replace(one.lamina, allowables=None))
        for one in (DRY, HOT)
    )
    assert (
        ConditionedLamina(name="bare", conditions=bare).at(temperature=320.0, moisture=0.0).allowables is None
    )


@pytest.mark.parametrize(("T", "c"), [(380.0, 0.0), (210.0, 0.0), (280.0, 0.006), (355.0, 0.02)])
def test_refuses_to_extrapolate(T, c):
    with pytest.raises(ValueError, match=r"between the tested conditions \(cold dry: 219, 0.*extrapolated"):
        TESTED.at(temperature=T, moisture=c)


def test_warns_near_the_wet_glass_transition():
    near = dataclasses.replace(TESTED, wet_glass_transition=355.0 + 27.0)
    with pytest.warns(GlassTransitionWarning, match="above 354 K"):
        near.at(temperature=355.0, moisture=0.012)
    dataclasses.replace(TESTED, wet_glass_transition=355.0 + 28.0).at(temperature=355.0, moisture=0.012)


def test_knockdowns_come_after():
    wet = Factor(name="hot-wet", value=0.8, on=("S",), source=SOURCE)
    reduced = dataclasses.replace(ROOM, allowables=ROOM.allowables.times(wet))
    with pytest.raises(ValueError, match="counts twice"):
        Condition(name="room dry", temperature=297.0, moisture=0.0, lamina=reduced)
    at = TESTED.at(temperature=326.0, moisture=0.0)
    assert_allclose(at.allowables.times(wet).S, 0.8 * 0.925 * ROOM.allowables.S, rtol=1e-12)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"name": ""}, "name"),
        ({"temperature": 82.0}, "degC"),
        ({"moisture": 1.2}, "percent"),
        ({"moisture": -0.001}, ">= 0"),
        ({"temperature": float("nan")}, "finite"),
        ({"lamina": "AS4"}, "a Lamina"),
    ],
)
def test_condition_refuses(change, message):
    with pytest.raises(ValueError, match=message):
        dataclasses.replace(DRY, **change)


@pytest.mark.parametrize(
    ("conditions", "message"),
    [
        ((), "one Condition or more"),
        ((DRY, "hot"), "one Condition or more"),
        ((DRY, dataclasses.replace(HOT, temperature=297.0)), "both at 297 K"),
        (
            (DRY, dataclasses.replace(HOT, lamina=dataclasses.replace(HOT.lamina, G23=None))),
            "G23 in one only",
        ),
        (
            (dataclasses.replace(DRY, lamina=dataclasses.replace(DRY.lamina, G23=None)), HOT),
            "G23 in one only",
        ),
        (
            (DRY, dataclasses.replace(HOT, lamina=dataclasses.replace(HOT.lamina, allowables=None))),
            "S, Xc, Xt, Yc, Yt, e1c.*in one only",
        ),
        (
            (
                DRY,
                dataclasses.replace(
                    HOT,
                    lamina=dataclasses.replace(
                        HOT.lamina, allowables=dataclasses.replace(HOT.lamina.allowables, basis="B")
                    ),
                ),
            ),
            "of one basis",
        ),
    ],
)
def test_conditioned_lamina_refuses(conditions, message):
    with pytest.raises(ValueError, match=message):
        ConditionedLamina(name="AS4/3501-6", conditions=conditions)


@pytest.mark.parametrize(
    ("T", "c", "message"), [(55.0, 0.0, "degC"), (300.0, 0.6, "percent"), (float("nan"), 0.0, "finite")]
)
def test_at_refuses(T, c, message):
    with pytest.raises(ValueError, match=message):
        TESTED.at(temperature=T, moisture=c)


def test_glass_transition_in_celsius():
    with pytest.raises(ValueError, match="degC"):
        dataclasses.replace(TESTED, wet_glass_transition=160.0)
