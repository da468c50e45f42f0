import copy
import dataclasses
import math
import pickle

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from materials import Allowables, Factor, Source

SOURCE = Source("coupon tests", "table 2")
STRENGTHS = {"Xt": 1950e6, "Xc": 1480e6, "Yt": 48e6, "Yc": 200e6, "S": 79e6}
STRAINS = {"e1t": 0.0138, "e1c": 0.01175, "e2t": 0.00436, "e2c": 0.02, "g12": 0.02}
SAID = {"basis": "B", "condition": "24 degC, dry", "source": SOURCE}
FULL = Allowables(**STRENGTHS, **STRAINS, **SAID)


def factor(name, value, *on):
    return Factor(name=name, value=value, on=on, source=Source(f"{name} tests"))


WET = factor("hot-wet", 0.80, "Xc", "S", "e1c")
IMPACT = factor("impact", 0.65, "Xc", "e1c")


def test_factors_multiply_only_what_they_name():
    reduced = FULL.times(WET, IMPACT)
    assert reduced.Xc == pytest.approx(1480e6 * 0.80 * 0.65, rel=1e-14)
    assert reduced.e1c == pytest.approx(0.01175 * 0.80 * 0.65, rel=1e-14)
    assert math.isclose(reduced.S, 79e6 * 0.80, rel_tol=1e-14)
    for name in ("Xt", "Yt", "Yc", "e1t", "e2t", "e2c", "g12"):
        assert getattr(reduced, name) == getattr(FULL, name)
    assert reduced.factors == (WET, IMPACT)
    assert reduced.before == FULL
    assert (reduced.basis, reduced.condition, reduced.source) == ("B", "24 degC, dry", SOURCE)


def test_one_by_one_is_all_at_once():
    assert FULL.times(WET).times(IMPACT) == FULL.times(WET, IMPACT)
    assert hash(FULL.times(WET).times(IMPACT)) == hash(FULL.times(WET, IMPACT))


def test_no_factors_changes_nothing():
    assert FULL.times() == FULL
    assert FULL.times(WET).times() == FULL.times(WET)


def test_original_is_untouched():
    FULL.times(WET)
    assert FULL.factors == ()
    assert FULL.Xc == 1480e6


@settings(deadline=None, max_examples=40)
@given(values=st.lists(st.floats(0.5, 1.0), min_size=1, max_size=5))
def test_order_of_factors_does_not_matter(values):
    factors = [factor(f"f{i}", value, "Yt") for i, value in enumerate(values)]
    forth, back = FULL.times(*factors), FULL.times(*reversed(factors))
    assert forth.Yt == pytest.approx(back.Yt, rel=1e-13)


def test_explains_every_step():
    said = FULL.times(WET, IMPACT).explain("Xc").splitlines()
    assert said[0] == "Xc = 1480 MPa: B, 24 degC, dry; coupon tests, table 2"
    assert said[1] == "  x 0.8 hot-wet; hot-wet tests"
    assert said[2] == "  x 0.65 impact; impact tests"
    assert said[3] == "  = 769.6 MPa"
    assert len(said) == 4


def test_explains_an_unfactored_value_in_one_line():
    assert FULL.times(IMPACT).explain("e1t") == "e1t = 0.0138: B, 24 degC, dry; coupon tests, table 2"


def test_replaced_numbers_are_not_explained_by_old_factors():
    assert dataclasses.replace(FULL.times(WET), Xc=9e8).factors == ()


def test_factor_on_a_strain_that_is_not_given():
    with pytest.raises(ValueError, match="'impact': on: got e1c, must be given"):
        Allowables(**STRENGTHS, **SAID).times(IMPACT)


def test_same_factor_twice():
    with pytest.raises(ValueError, match="applied once"):
        FULL.times(WET).times(WET)


def test_what_is_not_a_factor():
    with pytest.raises(ValueError, match=r"times: factors\[0\]: got 0.8, must be of type Factor"):
        FULL.times(0.8)


def test_strains_in_order():
    assert FULL.strains == (0.0138, 0.01175, 0.00436, 0.02, 0.02)


def test_missing_strains_are_named():
    with pytest.raises(ValueError, match=r"no e2c, g12.*with_linear_strains"):
        dataclasses.replace(FULL, e2c=None, g12=None).strains


def test_linear_strains_fill_only_the_gaps():
    partly = Allowables(**STRENGTHS, e1t=0.0138, **SAID)
    filled = partly.with_linear_strains(E1=126e9, E2=11e9, G12=6.6e9)
    assert filled.strains == (0.0138, 1480e6 / 126e9, 48e6 / 11e9, 200e6 / 11e9, 79e6 / 6.6e9)
    assert filled.source.note == "e1c, e2t, e2c, g12 = strength / modulus"
    assert FULL.with_linear_strains(E1=126e9, E2=11e9, G12=6.6e9) is FULL


def test_linear_strains_come_before_knockdowns():
    with pytest.raises(ValueError, match="before times"):
        FULL.times(WET).with_linear_strains(E1=126e9, E2=11e9, G12=6.6e9)


ZT = Allowables(**STRENGTHS, **STRAINS, Zt=60e6, **SAID)


def test_strength_through_the_thickness_is_knocked_down_like_the_others():
    wet = Factor(name="hot wet", value=0.5, on=("Zt", "Yt"), source=SOURCE)
    less = ZT.times(wet)
    assert (less.Zt, less.through_thickness, less.Yt, less.Xt) == (30e6, 30e6, 24e6, 1950e6)
    assert less.explain("Zt").splitlines()[0].startswith("Zt = 60 MPa: ")
    assert less.explain("Zt").splitlines()[-1] == "  = 30 MPa"


def test_strength_through_the_thickness_is_never_guessed():
    assert FULL.Zt is None
    with pytest.raises(ValueError, match=r"no Zt.*D6415"):
        _ = FULL.through_thickness
    with pytest.raises(ValueError, match="got Zt, must be given"):
        FULL.times(Factor(name="wet", value=0.5, on=("Zt",), source=SOURCE))
    with pytest.raises(ValueError, match="one of Xt, Xc, Yt, Yc, S, e1t"):
        FULL.explain("Zt")


@pytest.mark.parametrize(
    "copied",
    [copy.copy, copy.deepcopy, lambda one: pickle.loads(pickle.dumps(one))],
    ids=["copy", "deepcopy", "pickle"],
)
def test_a_copy_keeps_its_knockdowns(copied):
    for one in (FULL, FULL.times(WET, IMPACT)):
        assert copied(one) == one
        assert copied(one).factors == one.factors
        assert copied(one).before == one.before


def test_names_of_a_factor():
    listed = Factor(name="wet", value=1, on=["Xc", "S"], source=SOURCE)
    assert listed.on == ("Xc", "S")
    assert hash(listed) == hash(Factor(name="wet", value=1.0, on=("Xc", "S"), source=SOURCE))
    for on, message in (
        (("Xc", "Xc"), "different names"),
        (("F1c",), "one of 'Xt'"),
        ("Xc", "put it in brackets"),
    ):
        with pytest.raises(ValueError, match=rf"Factor 'wet': on.*{message}"):
            Factor(name="wet", value=0.8, on=on, source=SOURCE)


def test_a_factor_above_one_is_refused_by_name():
    assert factor("none", 1.0, "Yt").value == 1.0
    with pytest.raises(
        ValueError, match=r"Factor 'embedded': value.*got 1.584, must be <= 1; a factor reduces"
    ):
        factor("embedded", 1.584, "Yt")


def test_stated_is_what_was_before_any_factor():
    assert FULL.stated is FULL
    assert FULL.times(WET, IMPACT).stated is FULL
    assert FULL.times(WET).times(IMPACT).stated is FULL


def test_stated_takes_the_highest_strength_of_all_tests():
    cold = dataclasses.replace(FULL, Yc=260e6, Xt=1900e6)
    hot = dataclasses.replace(FULL, Xc=1000e6, highest=cold)
    for one in (hot, hot.times(WET), hot.times(WET, IMPACT), pickle.loads(pickle.dumps(hot.times(WET)))):
        stated = one.stated
        assert (stated.Xt, stated.Xc, stated.Yc, stated.S) == (1950e6, 1480e6, 260e6, 79e6)
        assert stated.factors == ()
    assert hot.times(WET).before == hot
    raised = dataclasses.replace(hot, Yt=70e6)  # an in-situ strength, before any factor
    assert raised.times(factor("basis", 0.8, "Yt")).stated.Yt == 70e6


def test_offset_strength_in_shear():
    assert dataclasses.replace(FULL, S02=79e6).S02 == 79e6
    with pytest.raises(ValueError, match=r"S02 \[Pa\]: got 8e\+07, must be <= S = 7.9e\+07"):
        dataclasses.replace(FULL, S02=80e6)
    with pytest.raises(
        ValueError, match=r"no S02, must be given for this check; ASTM D3518, strength at 0.2 %"
    ):
        FULL.need("S02")
    assert FULL.need("Xt") == FULL.Xt


def test_a_basis_that_its_sample_does_not_bear():
    assert dataclasses.replace(FULL, basis="B", coupons=18, batches=3).basis_said.startswith(
        "B-basis, reduced"
    )
    with pytest.raises(
        ValueError, match=r"basis: got 'A' from estimate, not A-basis: 30 coupons.*'estimate'"
    ):
        dataclasses.replace(FULL, basis="A", coupons=30, batches=5)
    assert dataclasses.replace(FULL, basis="A").basis_said == "A-basis, sampling not stated"
    assert dataclasses.replace(FULL, basis="mean").basis_said == "mean"
    for word in ("S", "a", "A-basis", "minimum"):
        with pytest.raises(
            ValueError, match=r"basis: got .*one of 'mean', 'typical', 'specification', 'A', 'B'"
        ):
            dataclasses.replace(FULL, basis=word)


def test_sources_of_single_values():
    other = Source("another report", standing="read")
    mixed = dataclasses.replace(FULL, sources=[("Yt", other)])
    assert (mixed.source_of("Yt"), mixed.source_of("Xt")) == (other, SOURCE)
    assert mixed.explain("Yt").endswith("another report (read)")
    assert mixed.times(IMPACT).source_of("Yt") == other
    with pytest.raises(ValueError, match="sources: got E1, must be of its values"):
        dataclasses.replace(FULL, sources=[("E1", other)])
    with pytest.raises(ValueError, match="different names"):
        dataclasses.replace(FULL, sources=[("Yt", other), ("Yt", other)])
