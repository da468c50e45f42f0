"""The governing ratio of a laminate against all of its ply surfaces."""

from dataclasses import replace

import numpy as np
import pytest
from failure_cases import GLASS, M1, TSAI_HAHN
from hypothesis import given, settings
from hypothesis import strategies as st

from laminate import Laminate, Ply
from laminate.failure import Hashin, Hoffman, MaxStrain, MaxStress, TsaiWu
from laminate.governing import governing
from materials import Lamina

CARBON = Lamina(
    name="T300/5208", kind="tape", E1=181e9, E2=10.3e9, G12=7.17e9, nu12=0.28, thickness=0.125e-3, density=1600.0,
    alpha1=0.02e-6, alpha2=22.5e-6, beta2=0.6, allowables=M1, source=TSAI_HAHN,
)  # fmt: skip
E_GLASS = Lamina(
    name="E-glass/LY556", kind="tape", E1=53.48e9, E2=17.7e9, G12=5.83e9, nu12=0.278, thickness=0.2e-3, density=2000.0,
    alpha1=8.6e-6, alpha2=26.4e-6, allowables=GLASS, source=GLASS.source,
)  # fmt: skip
CONVEX = [MaxStress(), MaxStrain(), Hoffman(), TsaiWu(), TsaiWu(interaction=0.0)]
ply = st.builds(Ply, st.sampled_from([CARBON, E_GLASS]), st.sampled_from([0, 30, 45, -45, 90, 135]))
stacks = st.lists(ply, min_size=1, max_size=9).map(Laminate)


def everywhere(laminate, criterion, N, M, **state):
    """Smallest ratio over every surface of every ply."""
    r = laminate.response(N, M, **state)
    ratios = []
    for i, p in enumerate(laminate.plies):
        if criterion.takes == "strain":
            load, residual = r.load_strain, r.residual_strain
        else:
            load, residual = r.load_stress, r.residual_stress
        ratios.append(
            criterion.ratio(load[..., i, :, :], p.lamina.allowables, residual=residual[..., i, :, :])
        )
    return np.min(ratios, axis=(0, -1))


@pytest.mark.parametrize("criterion", CONVEX, ids=repr)
@given(laminate=stacks, temperature_change=st.sampled_from([0.0, -60.0]), seed=st.integers(0, 99))
@settings(max_examples=15, deadline=None)
def test_no_ply_surface_is_worse(criterion, laminate, temperature_change, seed):
    rng = np.random.default_rng(seed)
    h = laminate.thickness
    N, M = rng.normal(size=(4, 3)) * 1e8 * h, rng.normal(size=(4, 3)) * 1e8 * h * h / 6
    state = {"temperature_change": temperature_change, "moisture": 0.002}
    prepared = governing(laminate, criterion, **state)
    want = everywhere(laminate, criterion, N, M, **state)
    loads = np.concatenate([N, M], axis=-1)
    np.testing.assert_allclose(prepared.ratio_of_loads(loads), want, rtol=1e-9)
    np.testing.assert_allclose(prepared.ratio(loads @ laminate.compliance), want, rtol=1e-9)


@given(laminate=stacks, seed=st.integers(0, 99))
@settings(max_examples=20, deadline=None)
def test_place_is_where_the_ratio_is_found(laminate, seed):
    deformation = np.random.default_rng(seed).normal(size=(3, 6)) * ([1e-3] * 3 + [1.0] * 3)
    prepared = governing(laminate, temperature_change=-40.0)
    ply_index, side = prepared.place(deformation)
    assert ply_index.shape == side.shape == (3,)
    residual = laminate.response(temperature_change=-40.0).residual_stress
    for x, i, s, R in zip(deformation, ply_index, side, prepared.ratio(deformation), strict=True):
        stress = laminate.stress_recovery[i, s] @ x
        there = TsaiWu().ratio(stress, laminate.plies[i].lamina.allowables, residual=residual[i, s])
        assert there == pytest.approx(R, rel=1e-9)


@pytest.mark.parametrize("temperature_change", [0.0, -80.0])
def test_membrane_strain_is_a_deformation_without_curvature(temperature_change):
    laminate = Laminate.from_code("[0/45/-45/90/0]T", CARBON)
    strain = np.random.default_rng(2).normal(size=(2, 5, 3)) * 1e-3
    prepared = governing(laminate, temperature_change=temperature_change)
    got = prepared.ratio_of_strain(strain)
    whole = prepared.ratio(np.concatenate([strain, np.zeros((2, 5, 3))], axis=-1))
    np.testing.assert_allclose(got, whole, rtol=1e-10)


def test_rows_are_independent_across_blocks():
    prepared = governing(Laminate.from_code("[0/45/-45/90]s", CARBON))
    deformation = np.random.default_rng(2).normal(size=(30_001, 6)) * ([1e-3] * 3 + [1.0] * 3)
    whole = prepared.ratio(deformation)
    picked = [0, 5_000, 29_999, 30_000]
    np.testing.assert_allclose(whole[picked], [prepared.ratio(deformation[i]) for i in picked], rtol=1e-13)


def test_cost_does_not_grow_with_the_number_of_plies():
    counts = np.array([8, 32, 128, 512])
    forms = [
        len(governing(Laminate(Ply(CARBON, a) for a in (0, 45, -45, 90) * (n // 4))).forms.linear)
        for n in counts
    ]
    exponent = np.polyfit(np.log(counts), np.log(forms), 1)[0]
    assert exponent == pytest.approx(0.0, abs=1e-12)
    assert forms[0] == 8  # four directions, two outer surfaces each


def test_fixed_running_loads_are_residual():
    laminate = Laminate.from_code("[0/90]s", CARBON)
    fixed, N = np.array([20e3, -5e3, 3e3]), np.array([30e3, 10e3, 5e3])
    prepared = governing(laminate, residual_N=fixed)
    r = laminate.response(N, residual_N=fixed)
    want = TsaiWu().ratio(r.load_stress, M1, residual=r.residual_stress).min()
    assert prepared.ratio_of_loads([*N, 0, 0, 0]) == pytest.approx(want, rel=1e-10)


def test_residual_beyond_the_criterion_leaves_nothing():
    laminate = Laminate.from_code("[0/90]s", CARBON)
    prepared = governing(laminate, temperature_change=-400.0)
    np.testing.assert_array_equal(prepared.ratio(np.ones((2, 6)) * 1e-4), [0, 0])
    np.testing.assert_array_equal(prepared.ratio_of_strain(np.ones((2, 3)) * 1e-4), [0, 0])
    with pytest.raises(ValueError, match="beyond the criterion"):
        prepared.place(np.ones(6) * 1e-4)


def test_zero_deformation_is_never_critical():
    prepared = governing(Laminate.from_code("[0/90]s", CARBON), temperature_change=-50.0)
    assert prepared.ratio(np.zeros(6)) == np.inf


def test_bad_input_is_refused():
    laminate = Laminate.from_code("[0/90]s", CARBON)
    with pytest.raises(ValueError, match="every ply surface"):
        governing(laminate, Hashin())
    with pytest.raises(ValueError, match="allowables: got None"):
        governing(Laminate.from_code("[0]T", replace(CARBON, allowables=None)))
    with pytest.raises(ValueError, match="prepare one for each"):
        governing(laminate, residual_N=np.ones((2, 3)))
    prepared = governing(laminate)
    for method, n in ((prepared.ratio, 6), (prepared.ratio_of_loads, 6), (prepared.ratio_of_strain, 3)):
        with pytest.raises(ValueError, match="finite"):
            method(np.full((2, n), np.nan))


@pytest.mark.parametrize("criterion", CONVEX, ids=repr)
@pytest.mark.parametrize("temperature_change", [0.0, -60.0])
def test_safe_deformations_of_a_coupled_laminate_are_a_convex_set(criterion, temperature_change):
    """Chords between states at failure, of strain and curvature, in a stack that couples them all."""
    laminate = Laminate([Ply(CARBON, 0), Ply(E_GLASS, 30), Ply(CARBON, -60), Ply(CARBON, 45), Ply(CARBON, 0)])
    assert abs(laminate.B).min() > 1e-3 * abs(laminate.B).max()
    scale = np.array([1e-3] * 3 + [2e-3 / laminate.thickness] * 3)
    rng = np.random.default_rng(8)
    ends = rng.normal(size=(2, 400, 6)) * scale * rng.choice([0.05, 1.0], size=(2, 400, 6))
    state = {"temperature_change": temperature_change}

    def ratio(x):
        loads = x @ laminate.abd
        return everywhere(laminate, criterion, loads[..., :3], loads[..., 3:], **state)

    ends = ends * ratio(ends)[..., None]
    share = rng.uniform(size=(400, 1))
    inside = share * ends[0] + (1 - share) * ends[1]
    assert ratio(inside).min() >= 1 - 1e-9
    np.testing.assert_allclose(
        governing(laminate, criterion, **state).ratio(inside), ratio(inside), rtol=1e-7
    )
