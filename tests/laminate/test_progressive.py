"""First-ply to last-ply failure."""

from dataclasses import replace

import numpy as np
import pytest
from failure_cases import M1, TSAI_HAHN
from hypothesis import given, settings
from hypothesis import strategies as st

from laminate import Laminate, Ply
from laminate.failure import CRITERIA, Hashin, LaRC03, MaxStress, Mode, Puck, TsaiWu
from laminate.progressive import Damage, discounted_stiffness, progressive
from materials import Lamina

CARBON = Lamina(
    name="T300/5208", kind="tape", E1=181e9, E2=10.3e9, G12=7.17e9, nu12=0.28, thickness=0.125e-3, density=1600.0,
    alpha1=0.02e-6, alpha2=22.5e-6, beta2=0.6, allowables=M1, source=TSAI_HAHN,
)  # fmt: skip


def modes(step):
    return [(f.ply, f.mode) for f in step.failures]


@pytest.mark.parametrize("criterion", CRITERIA, ids=lambda c: c.name)
def test_first_step_is_the_smallest_ratio_of_the_intact_laminate(criterion):
    laminate = Laminate.from_code("[0/45/-45/90]s", CARBON)
    N, M = [200e3, -30e3, 40e3], [5.0, -2.0, 3.0]
    r = laminate.response(N, M, temperature_change=-60.0)
    load, residual = r.load_stress, r.residual_stress
    if criterion.takes == "strain":
        load, residual = r.load_strain, r.residual_strain
    want = criterion.ratio(load, M1, residual=residual)
    got = progressive(laminate, N, M, criterion=criterion, temperature_change=-60.0)
    assert got.first_ply == pytest.approx(want.min(), rel=1e-9)
    failure = got.steps[0].failures[0]
    assert (failure.ply, failure.surface) == np.unravel_index(want.argmin(), want.shape)
    whole = laminate.response(
        np.multiply(got.first_ply, N), np.multiply(got.first_ply, M), temperature_change=-60.0
    )
    np.testing.assert_allclose(got.steps[0].deformation, whole.deformation, rtol=1e-9)


@pytest.mark.parametrize("criterion", [MaxStress(), Hashin(), Puck()], ids=lambda c: c.name)
def test_cross_ply_ends_when_its_fibers_break(criterion):
    # the 90 plies crack, then all load is in the fibers of the 0 plies: N = Xt h / 2
    laminate = Laminate.from_code("[0/90]s", CARBON)
    got = progressive(laminate, [1.0, 0, 0], criterion=criterion)
    assert [m.in_fiber for _, m in modes(got.steps[0])] == [False, False]
    assert {p for p, _ in modes(got.steps[0])} == {1, 2}
    assert modes(got.steps[-1]) == [(0, Mode.FIBER_TENSION), (3, Mode.FIBER_TENSION)]
    assert got.last_ply == pytest.approx(1500e6 * 0.25e-3, rel=1e-3)
    assert got.first_ply < 0.5 * got.last_ply


def test_unidirectional_along_the_fiber_has_one_step():
    got = progressive(Laminate.from_code("[0_4]T", CARBON), [1.0, 0, 0])
    assert len(got.steps) == 1
    assert {m for _, m in modes(got.steps[0])} == {Mode.FIBER_TENSION}
    assert got.first_ply == got.last_ply == pytest.approx(1500e6 * 0.5e-3, rel=1e-9)


@pytest.mark.parametrize(
    ("code", "N", "end"),
    [
        ("[90_4]T", [1.0, 0, 0], 40e6 * 0.5e-3),
        ("[0_4]T", [0, -1.0, 0], 246e6 * 0.5e-3),
        ("[0/90]s", [0, 0, 1.0], 68e6 * 0.5e-3),
    ],
)
def test_load_that_no_fiber_carries_ends_with_the_matrix(code, N, end):
    got = progressive(Laminate.from_code(code, CARBON), N, criterion=MaxStress())
    assert len(got.steps) == 1
    assert got.last_ply == pytest.approx(end, rel=1e-9)


def test_angle_ply_without_matrix_is_a_mechanism():
    laminate = Laminate.from_code("[45/-45]s", CARBON)
    assert len(progressive(laminate, [1.0, 0, 0], criterion=MaxStress()).steps) == 1
    # but shear is carried by the fibers alone: s1 = +-2 N/h
    got = progressive(laminate, [0, 0, 1.0], criterion=MaxStress())
    assert got.last_ply == pytest.approx(1500e6 * 0.5e-3 / 2, rel=1e-5)
    assert got.steps[-1].failures[0].mode.in_fiber


def test_complete_discount_leaves_nothing_of_a_cracked_ply():
    laminate = Laminate.from_code("[0/90]s", CARBON)
    kept = progressive(laminate, [1.0, 1.0, 0], criterion=MaxStress())
    gone = progressive(laminate, [1.0, 1.0, 0], criterion=MaxStress(), complete=True)
    assert gone.first_ply == kept.first_ply
    # all plies crack together under N, N: with the fibers left they carry N = Xt h / 2, without nothing
    assert kept.last_ply == pytest.approx(1500e6 * 0.25e-3, rel=1e-4)
    assert gone.last_ply == gone.first_ply


def test_load_can_fall_after_the_first_ply():
    # one 0 ply among 90s: once it breaks, the rest carries less than the factor reached
    laminate = Laminate(Ply(CARBON, a) for a in (90, 90, 0, 90, 90))
    got = progressive(laminate, [-1.0, 0, 0], criterion=MaxStress())
    factors = [step.factor for step in got.steps]
    assert got.last_ply == max(factors)
    assert got.first_ply == factors[0]
    assert factors[-1] < max(factors)


def test_partial_discount_shares_the_load_by_stiffness():
    # [0/90]s with half of the matrix stiffness left: 0 plies carry E1 / (E1 + E2 / 2), nearly
    laminate = Laminate.from_code("[0/90]s", replace(CARBON, nu12=0.0))
    got = progressive(laminate, [1.0, 0, 0], criterion=MaxStress(), matrix_left=0.5)
    share = 181 / (181 + 10.3 / 2)
    fiber = next(step for step in got.steps if any(m.in_fiber for _, m in modes(step)))
    assert fiber.factor == pytest.approx(1500e6 * 0.25e-3 / share, rel=1e-9)


def test_residual_stress_beyond_a_criterion_cracks_at_zero_load():
    laminate = Laminate.from_code("[0/90]s", CARBON)
    got = progressive(laminate, [1.0, 0, 0], criterion=MaxStress(), temperature_change=-400.0)
    assert got.first_ply == 0
    assert {m for _, m in modes(got.steps[0])} == {Mode.MATRIX_TENSION}
    assert got.last_ply == pytest.approx(1500e6 * 0.25e-3, rel=1e-3)


@given(
    st.lists(st.sampled_from([0, 30, 45, -45, 60, 90]), min_size=1, max_size=6),
    st.lists(st.floats(-1, 1), min_size=6, max_size=6).filter(lambda v: max(map(abs, v)) > 0.1),
)
@settings(max_examples=40, deadline=None)
def test_every_progression_ends(angles, load):
    laminate = Laminate(Ply(CARBON, a) for a in angles)
    got = progressive(laminate, np.multiply(load[:3], 1e5), np.multiply(load[3:], 10.0), criterion=Hashin())
    assert got.steps
    assert all(np.isfinite(step.factor) and step.factor > 0 for step in got.steps)
    assert len(got.steps) <= 2 * len(angles)
    assert got.last_ply >= got.first_ply
    gone = [f.ply for step in got.steps for f in step.failures]
    assert max(gone.count(i) for i in gone) <= 2


@given(st.floats(0.01, 100))
@settings(max_examples=10, deadline=None)
def test_factors_are_inverse_to_the_load(size):
    laminate = Laminate.from_code("[0/45/-45/90]s", CARBON)
    one = progressive(laminate, [1e5, 2e4, -3e4], temperature_change=-50.0)
    other = progressive(laminate, [size * 1e5, size * 2e4, -size * 3e4], temperature_change=-50.0)
    assert [modes(s) for s in one.steps] == [modes(s) for s in other.steps]
    np.testing.assert_allclose(
        [s.factor * size for s in other.steps], [s.factor for s in one.steps], rtol=1e-9
    )


def test_discounted_stiffness_by_damage():
    laminate = Laminate.from_code("[0/30/90]T", CARBON)
    Q = discounted_stiffness(
        laminate, [Damage.NONE, Damage.MATRIX, Damage.PLY], matrix_left=0.1, fiber_left=0.01
    )
    np.testing.assert_array_equal(Q[0], laminate.Q[0])
    S = np.linalg.inv(Q[1])
    np.testing.assert_allclose([1 / S[0, 0], 1 / S[1, 1], 1 / S[2, 2]], [181e9, 1.03e9, 0.717e9], rtol=1e-12)
    assert -S[0, 1] / S[0, 0] == pytest.approx(0.028, rel=1e-12)
    np.testing.assert_allclose(Q[2], laminate.Q[2] * 0.01)


def test_bad_input_is_refused():
    with pytest.raises(ValueError, match="N, M: got zero"):
        progressive(Laminate.from_code("[0/90]s", CARBON))
    with pytest.raises(ValueError, match="allowables: got None"):
        progressive(Laminate.from_code("[0]T", replace(CARBON, allowables=None)), [1e5, 0, 0])


@pytest.mark.parametrize(
    "criterion",
    [
        TsaiWu(interaction=0.0),
        TsaiWu(interaction=0.4),
        Hashin(transverse_shear=90e6, shear_share=0.0),
        Puck(inclination_tension=0.25, inclination_compression=0.20, fiber_coupling=0.1),
        LaRC03(shear_modulus=7.17e9, toughness_ratio=0.1, fracture_angle_deg=56.0),
    ],
    ids=repr,
)
def test_parameters_reach_the_ratio_and_the_mode(criterion):
    laminate = Laminate.from_code("[0/90/30]s", CARBON)
    N = [-300e3, -450e3, 160e3]
    stress = laminate.response(N).load_stress
    ratio, mode = criterion.ratio(stress, M1), criterion.mode(stress, M1)
    got = progressive(laminate, N, criterion=criterion)
    assert got.first_ply == pytest.approx(ratio.min(), rel=1e-12)
    assert got.first_ply != pytest.approx(type(criterion)().ratio(stress, M1).min(), rel=1e-4)
    assert got.steps[0].failures[0].mode == mode.flat[ratio.argmin()]


def test_mode_is_told_with_the_same_parameters():
    laminate = Laminate.from_code("[0]T", CARBON)
    N = np.multiply([1000e6, 0.0, 50e6], laminate.thickness)  # fiber tension only if shear takes part in it
    with_shear, without = (progressive(laminate, N, criterion=Hashin(shear_share=x)) for x in (1.0, 0.0))
    assert modes(with_shear.steps[0]) == [(0, Mode.FIBER_TENSION)]
    assert modes(without.steps[0]) == [(0, Mode.MATRIX_TENSION)]


@pytest.mark.parametrize("load", [[1e5, 0, 0], [1e5, 0, 8e4]])
def test_a_ply_with_failed_matrix_goes_by_its_fiber_however_much_is_left(load):
    """Half of G12 left, the ply still carries shear, by which it is not judged again."""
    steps = progressive(Laminate.from_code("[0/45/-45/90]s", CARBON), load, matrix_left=0.5).steps
    failures = [failure for step in steps for failure in step.failures]
    again = [f.mode for i, f in enumerate(failures) if f.ply in {before.ply for before in failures[:i]}]
    assert again
    assert set(again) == {Mode.FIBER_TENSION}
