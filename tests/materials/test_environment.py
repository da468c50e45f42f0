import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from materials import (
    Condition,
    ConditionedLamina,
    Factor,
    Source,
    check_glass_transition,
    lamina,
)
from materials.environment import condition_weights

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
    for tested in (COLD, DRY, HOT, WET):
        at = TESTED.at(temperature=tested.temperature, moisture=tested.moisture)
        assert dataclasses.replace(at, allowables=tested.lamina.allowables) == tested.lamina
        assert dataclasses.replace(at.allowables, highest=None) == tested.lamina.allowables


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

    tested = ConditionedLamina(
        name="ply", conditions=(stated(DRY, 60e6, 11e9), stated(HOT, 40e6, 9e9)), wet_glass_transition=430.0
    )
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


def test_stays_below_the_wet_glass_transition():
    near = dataclasses.replace(TESTED, wet_glass_transition=355.0 + 27.9)
    with pytest.raises(
        ValueError, match=r"'AS4/3501-6': service temperature \[K\]: got 355, must be <= 354.9"
    ):
        near.at(temperature=355.0, moisture=0.012)
    allowed = dataclasses.replace(TESTED, wet_glass_transition=355.0 + 28.0)
    assert allowed.at(temperature=355.0, moisture=0.012).E2 == WET.lamina.E2
    unknown = dataclasses.replace(TESTED, wet_glass_transition=None)
    assert unknown.at(temperature=323.15, moisture=0.0).E2 < ROOM.E2
    with pytest.raises(
        ValueError, match=r"323.15 without a wet glass transition; ASTM D7028 on moist specimens"
    ):
        unknown.at(temperature=323.2, moisture=0.0)


def test_the_lowest_glass_transition_of_the_laminae_counts():
    def with_tg(one, value):
        return dataclasses.replace(one, lamina=dataclasses.replace(one.lamina, wet_glass_transition=value))

    tested = ConditionedLamina(name="ply", conditions=(with_tg(DRY, 400.0), with_tg(HOT, 375.0)))
    assert tested.operational_limit == 347.0
    assert tested.at(temperature=347.0, moisture=0.0).wet_glass_transition == 375.0
    with pytest.raises(ValueError, match="<= 347"):
        tested.at(temperature=347.1, moisture=0.0)


def test_knockdowns_come_after():
    wet = Factor(name="hot-wet", value=0.8, on=("S",), source=SOURCE)
    reduced = dataclasses.replace(ROOM, allowables=ROOM.allowables.times(wet))
    with pytest.raises(ValueError, match="counts twice"):
        Condition(name="room dry", temperature=297.0, moisture=0.0, lamina=reduced)
    at = TESTED.at(temperature=326.0, moisture=0.0)
    assert_allclose(at.allowables.times(wet).S, 0.8 * 0.925 * ROOM.allowables.S, rtol=1e-12)


@pytest.mark.parametrize(
    ("conditions", "message"),
    [
        ((), "at least 1"),
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


def test_gate_at_both_sides_of_its_limit():
    assert check_glass_transition(382.0, 410.0) == 382.0
    with pytest.raises(
        ValueError, match=r"got 382.1, must be <= 382, the wet glass transition 410 K less 28 K"
    ):
        check_glass_transition(382.1, 410.0)
    assert check_glass_transition(323.15) == 323.15
    with pytest.raises(ValueError, match="ASTM D7028"):
        check_glass_transition(323.16)


# cold dry, room dry, hot dry, hot wet
FOUR = np.array([[219.0, 0.0], [297.0, 0.0], [355.0, 0.0], [355.0, 0.012]])
GRID = np.array([[297.0, 0.0], [355.0, 0.0], [297.0, 0.01], [355.0, 0.01]])
SKEW = np.array([[219.0, 0.0], [297.0, 0.0], [320.0, 0.0], [297.0, 0.01], [355.0, 0.01], [330.0, 0.02]])


def inside_four(s, w):
    """Return a point of the triangle of the four tests."""
    c = 0.012 * w
    return (1 - w) * (219.0 + s * 136.0) + w * 355.0, c


@settings(deadline=None, max_examples=60)
@given(s=st.floats(0, 1), w=st.floats(0, 1))
def test_exact_for_linear_properties_and_no_negative_weight(s, w):
    T, c = inside_four(s, w)
    weights = condition_weights(FOUR, min(T, 355.0), c)
    assert (weights >= 0.0).all()
    assert weights.sum() == pytest.approx(1.0, abs=1e-12)
    assert weights @ FOUR[:, 0] == pytest.approx(T, abs=1e-6)
    assert weights @ FOUR[:, 1] == pytest.approx(c, abs=2e-9)


@settings(deadline=None, max_examples=60)
@given(T=st.floats(290, 360), c=st.floats(0, 0.02))
def test_exact_for_linear_properties_on_skew_tests(T, c):
    weights = condition_weights(SKEW, T, c)
    if weights is not None:
        assert (weights >= 0.0).all()
        assert weights @ SKEW[:, 0] == pytest.approx(T, abs=1e-5)
        assert weights @ SKEW[:, 1] == pytest.approx(c, abs=2e-9)


@pytest.mark.parametrize("row", range(4))
def test_tested_condition_is_itself(row):
    assert condition_weights(FOUR, *FOUR[row]).tolist() == np.eye(4)[row].tolist()


def test_bilinear_on_a_grid():
    weights = condition_weights(GRID, 297.0 + 0.25 * 58.0, 0.004)
    assert weights == pytest.approx([0.75 * 0.6, 0.25 * 0.6, 0.75 * 0.4, 0.25 * 0.4], abs=1e-12)


def test_linear_on_the_triangle_under_a_hot_wet_test():
    # Half way from room dry to hot wet.
    assert condition_weights(FOUR, 326.0, 0.006) == pytest.approx([0, 0.5, 0, 0.5], abs=1e-9)


def test_continuous_across_the_end_of_a_tested_range():
    below, above = (condition_weights(SKEW, 320.0 + d, 0.005) for d in (-1e-6, 1e-6))
    assert np.abs(below - above).max() < 1e-6


def test_one_temperature_one_moisture():
    assert condition_weights(FOUR[:1], 219.0, 0.0).tolist() == [1.0]
    assert condition_weights(FOUR[:1], 220.0, 0.0) is None


def test_order_of_tests_does_not_matter():
    order = [3, 1, 0, 2]
    assert condition_weights(FOUR[order], 330.0, 0.003) == pytest.approx(
        condition_weights(FOUR, 330.0, 0.003)[order], abs=1e-15
    )


@pytest.mark.parametrize(
    ("T", "c"),
    [
        (200.0, 0.0),
        (356.0, 0.0),
        (356.0, 0.012),
        (300.0, 0.012),
        (355.0, 0.013),
        (230.0, 0.006),
        (218.9, 1e-4),
    ],
)
def test_outside_is_none(T, c):
    assert condition_weights(FOUR, T, c) is None
