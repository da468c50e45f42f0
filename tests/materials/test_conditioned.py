"""Sparse tests: what stands between them is declared, said and never extrapolated."""

from dataclasses import replace

import pytest

from materials import Condition, ConditionedLamina, conditioned

TAPE, CLOTH = "IM7/8552 tape 190 g/m2", "AS4/8552 plain weave 193 g/m2"
TESTS, WETTEST, LINE = (conditioned(TAPE, between=rule) for rule in ("tests", "hottest wet", "room-dry line"))
COLD, ROOM, HOT, WET = TESTS.conditions


def test_tested_point_gives_back_what_was_tested():
    for tested in (TESTS, WETTEST, LINE):
        for one in (COLD, ROOM, WET):
            at = tested.at(temperature=one.temperature, moisture=one.moisture)
            assert replace(at, allowables=one.lamina.allowables) == one.lamina
            assert replace(at.allowables, highest=None) == one.lamina.allowables


def test_without_a_rule_a_service_between_sparse_tests_is_refused():
    with pytest.raises(ValueError, match=r"E1 at temperature.*got 344.15, 0.01.*hot wet: 394.15.*ASTM D3039"):
        TESTS.at(temperature=344.15, moisture=0.01)
    # On the line from room dry to hot wet, moisture included, the tests do surround it.
    between = TESTS.at(temperature=344.15, moisture=0.005)
    assert pytest.approx((ROOM.lamina.E2 + WET.lamina.E2) / 2, rel=1e-12) == between.E2


def test_hottest_wet_rule_gives_that_test_and_says_so():
    at = WETTEST.at(temperature=344.15, moisture=0.01)
    assert at.E2 == WET.lamina.E2
    assert (at.allowables.Xc, at.allowables.S02) == (WET.lamina.allowables.Xc, WET.lamina.allowables.S02)
    assert at.source.note == "hottest wet: 1 hot wet"
    assert at.allowables.condition == "344.15 K, moisture 0.01, hottest wet"


def test_hottest_wet_rule_never_raises_a_strength_above_room_dry():
    # The weave is stronger in tension at 121 degC wet than at room temperature.
    cloth = conditioned(CLOTH, between="hottest wet")
    room, wet = cloth.conditions[1].lamina.allowables, cloth.conditions[3].lamina.allowables
    assert wet.Xt > room.Xt
    assert cloth.at(temperature=330.0, moisture=0.01).allowables.Xt == room.Xt
    assert cloth.at(temperature=394.15, moisture=0.01).allowables.Xt == wet.Xt


def test_line_holds_in_its_upper_half_only():
    for T in (344.15, 360.0, 394.0):
        w = (T - 294.15) / 100.0
        at = LINE.at(temperature=T, moisture=0.01)
        want = (1 - w) * ROOM.lamina.allowables.Xc + w * WET.lamina.allowables.Xc
        assert at.allowables.Xc == pytest.approx(want, rel=1e-12)
        assert pytest.approx((1 - w) * ROOM.lamina.G12 + w * WET.lamina.G12, rel=1e-12) == at.G12
    assert "line from room dry to hottest wet" in LINE.at(temperature=344.15, moisture=0.01).source.note
    with pytest.raises(ValueError, match="between='room-dry line' does not reach there"):
        LINE.at(temperature=344.0, moisture=0.01)


@pytest.mark.parametrize(
    ("T", "c"), [(394.3, 0.01), (344.15, 0.0101), (260.0, 0.008), (218.0, 0.0), (294.0, 0.01)]
)
def test_no_rule_extrapolates(T, c):
    for tested in (TESTS, WETTEST, LINE):
        with pytest.raises(ValueError, match="nothing is extrapolated"):
            tested.at(temperature=T, moisture=c)


def test_what_was_tested_hot_dry_is_used_and_nothing_else():
    with pytest.raises(ValueError, match="E1 at temperature"):
        TESTS.at(temperature=394.15, moisture=0.0)
    at = WETTEST.at(temperature=394.15, moisture=0.0)
    assert at.allowables.Xc == HOT.lamina.allowables.Xc > WET.lamina.allowables.Xc
    assert (at.E1c, at.allowables.Yc) == (HOT.lamina.E1c, WET.lamina.allowables.Yc)
    assert at.source.note == "hottest wet: 1 hot wet; E1c, Xc tested: 1 hot dry"
    half = WETTEST.at(temperature=344.15, moisture=0.0).allowables.Xc
    assert half == pytest.approx((ROOM.lamina.allowables.Xc + HOT.lamina.allowables.Xc) / 2, rel=1e-12)


def test_toughness_belongs_to_its_condition():
    assert TESTS.at(temperature=294.15, moisture=0.0).GIc == 277.4
    for T, c in ((394.15, 0.01), (219.15, 0.0), (260.0, 0.0)):
        assert TESTS.at(temperature=T, moisture=c).GIc is None
    with pytest.raises(ValueError, match="no GIc, must be given for this check; ASTM D5528 gives it"):
        TESTS.at(temperature=394.15, moisture=0.01).need("GIc")


def test_stated_strengths_are_the_highest_of_all_tests_whatever_the_service():
    stated = [
        LINE.at(temperature=T, moisture=c).allowables.stated
        for T, c in ((219.15, 0.0), (250.0, 0.0), (294.15, 0.0), (344.15, 0.01), (394.15, 0.01))
    ]
    for one in stated:
        for name in ("Xt", "Xc", "Yt", "Yc", "S"):
            want = max(getattr(t.lamina.allowables, name) for t in (COLD, ROOM, WET))
            assert getattr(one, name) == want
    assert stated[0].Yc == COLD.lamina.allowables.Yc > ROOM.lamina.allowables.Yc


def test_placeholders_are_named():
    nominal = {"density", "alpha1", "alpha2", "stress_free_temperature"}
    assert set(TESTS.at(temperature=294.15, moisture=0.0).placeholders) == nominal
    cloth = conditioned(CLOTH, between="room-dry line").at(temperature=344.15, moisture=0.01)
    assert set(cloth.placeholders) == nominal | {"E2", "G12", "nu12", "S"}
    assert cloth.source_of("G12").standing == "placeholder"
    assert cloth.source_of("E1").standing == "read"


def test_gate_of_the_published_tape():
    hot = replace(WETTEST, wet_glass_transition=394.15 + 27.9)
    with pytest.raises(ValueError, match="the matrix softens there"):
        hot.at(temperature=394.15, moisture=0.01)
    assert WETTEST.operational_limit == pytest.approx(405.75)


def test_refusals():
    with pytest.raises(
        ValueError, match=r"conditioned: name: got 'AS4/3501-6'.*tested at one condition only"
    ):
        conditioned("AS4/3501-6")
    with pytest.raises(ValueError, match=r"only: got Zt, must be values that the lamina gives"):
        Condition(name="hot", temperature=394.0, moisture=0.0, lamina=WET.lamina, only=("Zt",))
    with pytest.raises(ValueError, match="one tested in all"):
        ConditionedLamina(name="ply", conditions=(HOT,))
    with pytest.raises(ValueError, match="kind tape, fabric, must be of one kind"):
        ConditionedLamina(
            name="ply", conditions=(ROOM, replace(WET, lamina=replace(WET.lamina, kind="fabric")))
        )
    # Without a room dry test no rule has its other end.
    with pytest.raises(ValueError, match="does not reach there"):
        ConditionedLamina(
            name="ply", conditions=(COLD, WET), wet_glass_transition=433.0, between="hottest wet"
        ).at(temperature=344.15, moisture=0.01)
