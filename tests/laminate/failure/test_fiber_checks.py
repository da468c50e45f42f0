"""Criteria of the two load levels, the kinds of ply that criteria judge, and missing values."""

from dataclasses import replace

import numpy as np
import pytest
from failure_cases import M1
from printed import printed

from laminate import Laminate
from laminate.failure import (
    CRITERIA,
    Crush,
    Fabric,
    FiberStrain,
    LaRC03,
    MaxStress,
    Mode,
    Puck,
    ShearOffset,
    ShearStrength,
    TsaiWu,
)
from laminate.governing import governing
from laminate.plots import plot_envelope
from laminate.progressive import progressive
from materials import Allowables, Source, lamina

INVENTED = Source("invented", "for the tests")
CLOTH = Allowables(
    Xt=911e6, Xc=704e6, Yt=776e6, Yc=698e6, S=131e6,
    basis="typical", condition="room", source=INVENTED,
)  # fmt: skip
FABRIC_PLY = lamina("AGP370-5H/3501-6S")
WOVEN = Laminate.from_code("[0/45]s", FABRIC_PLY)
CAPS = FiberStrain(tension=0.005, compression=0.004)


def test_puck_and_larc03_of_in_situ_strengths():
    """Derived values, by two codes."""
    a = replace(CLOTH, Xt=2323.5e6, Xc=1200.1e6, Yt=160.2e6, Yc=199.8e6, S=130.2e6)
    states = np.array([(0, 50, 40), (0, -150, 40), (200, 100, 0), (-700, -60, 40)]) * 1e6
    puck, larc03 = Puck(fiber=False), LaRC03(shear_modulus=5290e6)
    for state, by_puck, by_larc03 in zip(
        states,
        ("2.0437", "1.2939", "1.6020", "2.8128"),
        ("2.1099", "1.3320", "1.6020", "1.6016"),
        strict=True,
    ):
        assert puck.ratio(state, a) == printed(by_puck)
        assert larc03.ratio(state, a) == printed(by_larc03)


def test_puck_without_fiber_is_puck_where_the_matrix_fails_first():
    load = np.random.default_rng(1).normal(size=(2000, 3)) * [1e9, 5e7, 5e7]
    both, alone = Puck().ratio(load, M1), Puck(fiber=False).ratio(load, M1)
    in_fiber = np.isin(Puck().mode(load, M1), (Mode.FIBER_TENSION, Mode.FIBER_COMPRESSION))
    np.testing.assert_array_equal(both[~in_fiber], alone[~in_fiber])
    assert (alone[in_fiber] >= both[in_fiber]).all()
    assert Puck(fiber=False).ratio([5e9, 0.0, 0.0], M1) == np.inf


def test_fiber_strain_of_tape_and_of_fabric():
    strains = [[0.0025, 0.05, 0.3], [-0.002, -0.1, 0.0], [0.0, 0.0025, 0.0], [0.001, -0.002, 0.0]]
    assert CAPS.ratio(strains, M1) == pytest.approx([2.0, 2.0, np.inf, 5.0])
    assert CAPS.for_kind("fabric").ratio(strains[2:], CLOTH) == pytest.approx([2.0, 2.0])
    assert CAPS.for_kind("fabric").mode(strains[3], CLOTH) == Mode.FIBER_COMPRESSION
    assert CAPS.for_kind("tape") is CAPS


def test_fabric_fails_by_direction():
    a, share = CLOTH, Fabric(shear_share=0.5)
    loads = np.array([(a.Xt, 0, 0), (-a.Xc, 0, 0), (0, a.Yt, 0), (0, -a.Yc, 0), (0, 0, a.S), (0, 0, -a.S)])
    assert Fabric().ratio(loads, a) == pytest.approx(1.0, rel=1e-14)
    assert Fabric().mode(loads[:4], a).tolist() == [1, 2, 1, 2]
    assert Fabric().ratio([a.Xt, a.Yt, 0.0], a) == pytest.approx(1.0)  # each direction by itself
    assert share.ratio([a.Xt / 2, 0.0, a.S * np.sqrt(1.5)], a) == pytest.approx(1 / np.sqrt(1.5))
    state = np.array([0.5 * a.Xt, -0.7 * a.Yc, 0.6 * a.S])
    assert Fabric().ratio(state, a) == pytest.approx(1 / np.hypot(0.7, 0.6))
    assert share.ratio(state, a) == pytest.approx(1 / np.sqrt(0.49 + 0.5 * 0.36))
    residual = np.array([0.0, -0.1 * a.Yc, 0.2 * a.S])
    R = share.ratio(state, a, residual=residual)
    at = R * state + residual
    assert (at[1] / a.Yc) ** 2 + 0.5 * (at[2] / a.S) ** 2 == pytest.approx(1.0)


def test_fabric_without_shear_share_is_maximum_stress():
    load = np.random.default_rng(5).normal(size=(500, 3)) * [8e8, 8e8, 1e8]
    np.testing.assert_allclose(Fabric(shear_share=0.0).ratio(load, CLOTH), MaxStress().ratio(load, CLOTH))
    assert governing(WOVEN, Fabric(shear_share=0.0)).ratio_of_strain([1e-3, 0.0, 0.0]) > 1


def test_tsai_wu_of_fabric_has_its_own_interaction_and_maximum_stress():
    fabric = TsaiWu().for_kind("fabric")
    assert fabric == TsaiWu(kind="fabric")
    load = np.random.default_rng(8).normal(size=(2000, 3)) * [5e8, 5e8, 5e7]
    both = np.minimum(TsaiWu(interaction=0.0).ratio(load, CLOTH), MaxStress().ratio(load, CLOTH))
    np.testing.assert_allclose(fabric.ratio(load, CLOTH), both, rtol=1e-12)
    equal = [100e6, 100e6, 0.0]
    assert TsaiWu().ratio(equal, CLOTH) > 1.05 * MaxStress().ratio(equal, CLOTH)  # what the tape form hides
    assert fabric.ratio(equal, CLOTH) <= MaxStress().ratio(equal, CLOTH)
    mode = fabric.mode(load, CLOTH)
    assert (mode != Mode.NONE).all()


def test_tape_and_fabric_of_one_laminate_take_their_own_form():
    stack = Laminate.from_code("[0/45C]s", {"": lamina("T300/5208"), "C": FABRIC_PLY})
    prepared = governing(stack, TsaiWu())
    strain = np.random.default_rng(3).normal(size=(50, 3)) * 3e-3
    each = []
    for i, ply in enumerate(stack.plies):
        criterion = TsaiWu().for_kind(ply.lamina.kind)
        stress = strain @ (stack.Q[i] @ stack.rotation[i]).T
        each.append(criterion.ratio(stress, ply.lamina.allowables))
    np.testing.assert_allclose(prepared.ratio_of_strain(strain), np.min(each, axis=0), rtol=1e-9)


def test_shear_and_crush():
    a = replace(M1, S02=40e6)
    states = [[1e9, 1e9, -20e6], [0.0, 1e6, 0.0]]
    assert ShearOffset().ratio(states, a) == pytest.approx([2.0, np.inf])
    assert ShearStrength().ratio(states, a) == pytest.approx([3.4, np.inf])
    assert ShearOffset().ratio(states[0], a, residual=[0.0, 0.0, -10e6]) == pytest.approx(1.5)
    assert Crush().ratio([[0.0, -123e6, 1e9], [0.0, 5e9, 0.0]], a) == pytest.approx([2.0, np.inf])


def test_a_missing_offset_strength_names_its_test_and_what_may_stand_in():
    with pytest.raises(ValueError, match=r"S02 .* ASTM D3518; .* may stand in"):
        ShearOffset().ratio([0.0, 0.0, 1e6], M1)


def test_a_cap_in_percent_or_microstrain_is_refused():
    for cap in (0.4, 4000.0):
        with pytest.raises(ValueError, match="4000 microstrain; given in percent"):
            FiberStrain(tension=cap, compression=0.003)
        with pytest.raises(ValueError, match="compression"):
            FiberStrain(tension=0.004, compression=cap)


@pytest.mark.parametrize(
    "meets",
    [
        lambda c: progressive(WOVEN, [1e5, 0.0, 0.0], criterion=c),
        lambda c: plot_envelope(WOVEN, [c]),
        lambda c: c.for_kind("fabric"),
    ],
)
def test_matrix_criteria_refuse_a_fabric(meets):
    refusing = [c for c in (*CRITERIA, Crush()) if c.suits == ("tape",)]
    assert [c.name for c in refusing] == ["hashin", "puck", "larc03", "crush"]
    for criterion in refusing:
        with pytest.raises(
            ValueError, match=rf"{criterion.name}: kind of the lamina: got 'fabric', must be 'tape'"
        ):
            meets(criterion)


def test_governing_refuses_the_wrong_kind():
    with pytest.raises(ValueError, match="kind of the lamina: got 'fabric'"):
        governing(WOVEN, Crush())
    with pytest.raises(ValueError, match="kind of the lamina: got 'tape'"):
        governing(Laminate.from_code("[0/90]s", lamina("T300/5208")), Fabric(shear_share=0.0))


def test_allowables_for_each_ply():
    stack = Laminate.from_code("[0/90]s", lamina("T300/5208"))
    own = stack.plies[0].lamina.allowables
    raised = [own, replace(own, Yt=2 * own.Yt), replace(own, Yt=2 * own.Yt), own]
    pull, plain = [1e5, 0.0, 0.0], governing(stack, MaxStress())
    loads = [1e5, 0.0, 0.0, 0.0, 0.0, 0.0]
    ratio = governing(stack, MaxStress(), allowables=raised).ratio_of_loads(loads)
    assert 1.5 * plain.ratio_of_loads(loads) < ratio <= 2 * plain.ratio_of_loads(loads) * (1 + 1e-12)
    found = progressive(stack, pull, criterion=MaxStress(), allowables=raised)
    assert found.first_ply == pytest.approx(float(ratio), rel=1e-9)
    for call in (governing, lambda s, **k: progressive(s, pull, **k)):
        with pytest.raises(ValueError, match="one for each of the 4 plies"):
            call(stack, allowables=raised[:2])
