"""Response: equilibrium, energy, the residual part kept apart, and prescribed deformations."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from stacks import CARBON, GLASS, WEAVE, stacks

from laminate import Laminate, Ply, Response

STACK = Laminate.from_code("[0G/45F/0C/-30C_2/90G]", {"G": GLASS, "F": WEAVE, "C": CARBON})
CROSS = Laminate.from_code("[0/90]s", CARBON)
N = np.array([4e4, -1e4, 2e4])
M = np.array([3.0, -2.0, 5.0])
RNG = np.random.default_rng(3)


def resultants(stack: Laminate, stress: np.ndarray) -> np.ndarray:
    """Running loads and moments of stresses linear in each ply, in laminate axes: Simpson's rule is exact."""
    T = stack.rotation
    s = np.einsum("pji,psj->psi", T, stress)
    t, z = stack.ply_thickness[:, None], stack.surfaces
    mid, zm = s.mean(axis=1), z.mean(axis=1)[:, None]
    N = (mid * t).sum(axis=0)
    M = ((s[:, 0] * z[:, :1] + 4 * mid * zm + s[:, 1] * z[:, 1:]) * t / 6).sum(axis=0)
    return np.concatenate([N, M])


@given(stacks(), st.floats(-200, 200), st.floats(0, 0.02))
@settings(max_examples=60, deadline=None)
def test_stresses_balance_the_loads(stack: Laminate, dT: float, moisture: float) -> None:
    h = stack.thickness
    load = np.concatenate([N, M * h / 1e-3])
    r = stack.response(N=load[:3], M=load[3:], temperature_change=dT, moisture=moisture)
    scale = np.array([1, 1, 1, h, h, h]) * (abs(r.stress).max() + abs(r.residual_stress).max()) * h
    assert_allclose(resultants(stack, r.stress) / scale, load / scale, atol=1e-9)
    assert_allclose(resultants(stack, r.residual_stress) / scale, 0, atol=1e-9)
    assert_allclose(resultants(stack, r.load_stress) / scale, load / scale, atol=1e-9)


@given(stacks())
@settings(max_examples=60, deadline=None)
def test_work_of_the_loads_is_the_energy_in_the_plies(stack: Laminate) -> None:
    M_sized = M * stack.thickness / 1e-3
    r = stack.response(N=N, M=M_sized)
    density = (r.stress * r.strain).sum(axis=-1) / 2
    middle = (r.stress.mean(axis=1) * r.strain.mean(axis=1)).sum(axis=-1) / 2
    energy = (stack.ply_thickness * (density.sum(axis=1) + 4 * middle) / 6).sum()
    work = (N @ r.midplane_strain + M_sized @ r.curvature) / 2
    assert_allclose(energy, work, rtol=1e-9)


@given(stacks(), st.floats(-200, 200))
@settings(max_examples=40, deadline=None)
def test_the_load_part_grows_and_the_residual_part_does_not(stack: Laminate, dT: float) -> None:
    one = stack.response(N=N, temperature_change=dT, residual_N=-0.3 * N)
    two = stack.response(N=2 * N, temperature_change=dT, residual_N=-0.3 * N)
    none = stack.response(temperature_change=dT, residual_N=-0.3 * N)
    atol = 1e-12 * (abs(one.load_stress).max() + abs(one.residual_stress).max())
    assert_allclose(two.load_stress, 2 * one.load_stress, atol=atol)
    assert_allclose(two.residual_stress, one.residual_stress, atol=atol)
    assert_allclose(none.stress, one.residual_stress, atol=atol)
    assert_allclose(one.stress, one.load_stress + one.residual_stress, atol=atol)
    assert_allclose(one.strain, one.load_strain + one.residual_strain, rtol=1e-14)


def test_strain_is_what_makes_the_stress() -> None:
    r = STACK.response(N=N, M=M, temperature_change=-120.0, moisture=0.01)
    assert_allclose(np.einsum("pij,psj->psi", STACK.Q, r.strain), r.stress, rtol=1e-9, atol=1.0)


def test_strain_of_a_gauge_holds_the_expansion() -> None:
    r = STACK.response(N=N, M=M, temperature_change=-120.0, moisture=0.01)
    free = np.array([(p.lamina.alpha1, p.lamina.alpha2, 0) for p in STACK.plies]) * -120.0
    free += np.array([(p.lamina.beta1, p.lamina.beta2, 0) for p in STACK.plies]) * 0.01
    gauge = np.einsum("pij,psj->psi", STACK.rotation, r.laminate_strain)
    assert_allclose(gauge, r.strain + free[:, None], atol=1e-15)
    z = STACK.surfaces[2, 1]
    assert_allclose(r.laminate_strain[2, 1], r.midplane_strain + z * r.curvature, rtol=1e-13)


def test_stress_in_laminate_axes() -> None:
    r = CROSS.response(N=(1e5, 0.0, 3e4))
    assert_allclose(r.laminate_stress[1], r.stress[1][:, [1, 0, 2]] * [1, 1, -1], rtol=1e-12)
    assert_allclose(r.laminate_stress[0], r.stress[0], rtol=1e-12)
    r = STACK.response(N=N, M=M)
    expected = np.einsum("pij,psj->psi", STACK.q_bar, r.laminate_strain)
    assert_allclose(r.laminate_stress, expected, rtol=1e-9, atol=1.0)


def test_a_free_ply_has_no_residual_stress() -> None:
    one = Laminate((Ply(CARBON, 33.0),))
    r = one.response(temperature_change=-150.0, moisture=0.01)
    assert_allclose(r.residual_stress, 0, atol=1e-5)
    same = Laminate.from_code("[33_3]", CARBON)
    assert_allclose(same.response(temperature_change=-150.0).stress, 0, atol=1e-5)


def test_cooling_a_cross_ply_pulls_across_the_fibers_and_pushes_along() -> None:
    r = CROSS.response(temperature_change=-100.0)
    assert (r.residual_stress[..., 1] > 0).all()
    assert (r.residual_stress[..., 0] < 0).all()


def test_residual_stress_of_a_symmetric_cross_ply_in_closed_form() -> None:
    # equal strain of both layers: s2 = -s1 = E-like factor (a2 - a1) dT of the two-bar problem with Q
    Q = CROSS.Q[0]
    dT = -100.0
    eps = ((Q[0, 0] + Q[0, 1]) * CARBON.alpha1 + (Q[0, 1] + Q[1, 1]) * CARBON.alpha2) * dT
    eps /= Q[0, 0] + 2 * Q[0, 1] + Q[1, 1]
    e1, e2 = eps - CARBON.alpha1 * dT, eps - CARBON.alpha2 * dT
    s2 = Q[0, 1] * e1 + Q[1, 1] * e2
    r = CROSS.response(temperature_change=dT)
    assert_allclose(r.residual_stress[..., 1], s2, rtol=1e-10)
    assert_allclose(r.residual_stress[..., 0], -s2, rtol=1e-10)
    assert_allclose(r.residual_stress[..., 2], 0, atol=1e-6)


def test_loads_of_neighbors_belong_to_the_residual_part() -> None:
    r = STACK.response(N=N, residual_N=(1e3, 2e3, 3e3), residual_M=(1.0, 0.0, -1.0))
    as_load = STACK.response(N=(1e3, 2e3, 3e3), M=(1.0, 0.0, -1.0))
    assert_allclose(r.residual_stress, as_load.stress, rtol=1e-9, atol=1e-3)
    assert_allclose(r.N, N + [1e3, 2e3, 3e3], rtol=1e-9)
    assert_allclose(r.M, [1.0, 0.0, -1.0], atol=1e-8)


@pytest.mark.parametrize("names", [("ey",), ("kx", "ky", "kxy"), ("gxy", "ky"), ("ex", "ey", "gxy")])
def test_prescribed_deformations_come_out_and_their_loads_are_reactions(names: tuple[str, ...]) -> None:
    order = ("ex", "ey", "gxy", "kx", "ky", "kxy")
    value = dict(zip(order, (1e-3, -5e-4, 2e-4, 0.3, -0.1, 0.2), strict=True))
    load = np.concatenate([N, M])
    fixed = np.isin(order, names)
    load[fixed] = 0.0
    r = STACK.response(
        N=load[:3], M=load[3:], prescribed={n: value[n] for n in names}, temperature_change=-100
    )
    assert_allclose(r.deformation[fixed], [value[n] for n in order if n in names], rtol=1e-12)
    back = np.concatenate([r.N, r.M])
    assert_allclose(back[~fixed], load[~fixed], rtol=1e-7, atol=1e-7)
    assert_allclose(resultants(STACK, r.stress), back, rtol=1e-7, atol=1e-7)
    assert_allclose(r.residual_deformation[fixed], 0, atol=1e-18)


def test_a_wall_held_flat() -> None:
    """Hoop load zero but hoop strain free is the default; hoop strain fixed gives the stiffer wall."""
    free = CROSS.response(N=(1e5, 0, 0))
    fixed = CROSS.response(N=(1e5, 0, 0), prescribed={"ey": 0.0})
    assert_allclose(1e5 / free.midplane_strain[0], CROSS.moduli().Ex * CROSS.thickness, rtol=1e-12)
    assert_allclose(1e5 / fixed.midplane_strain[0], CROSS.A[0, 0], rtol=1e-12)
    assert_allclose(fixed.N[1], CROSS.A[0, 1] * fixed.midplane_strain[0], rtol=1e-12)


def test_all_loads_or_all_deformations_are_inverse_to_each_other() -> None:
    r = STACK.response(N=N, M=M)
    back = STACK.response(
        prescribed=dict(zip(("ex", "ey", "gxy", "kx", "ky", "kxy"), r.deformation, strict=True))
    )
    assert_allclose(back.N, N, rtol=1e-9)
    assert_allclose(back.M, M, rtol=1e-8)
    assert_allclose(back.stress, r.stress, rtol=1e-8, atol=1.0)


def test_a_profile_that_is_uniform_is_the_uniform_change() -> None:
    plies = (len(STACK.plies), 2)
    uniform = STACK.response(temperature_change=-80.0, moisture=0.01)
    profile = STACK.response(
        temperature_change=-100.0,
        temperature_profile=np.full(plies, 20.0),
        moisture_profile=np.full(plies, 0.01),
    )
    assert_allclose(profile.residual_stress, uniform.residual_stress, rtol=1e-9, atol=1e-2)
    assert_allclose(profile.deformation, uniform.deformation, rtol=1e-10, atol=1e-14)


def test_a_linear_gradient_bends_one_material_without_stress() -> None:
    one = Laminate.from_code("[0_3]", CARBON)
    gradient = 1e5  # [K/m]
    r = one.response(temperature_profile=gradient * one.surfaces)
    expected = [gradient * CARBON.alpha1, gradient * CARBON.alpha2, 0]
    assert_allclose(r.curvature, expected, rtol=1e-10, atol=1e-12)
    assert_allclose(r.midplane_strain, 0, atol=1e-15)
    assert_allclose(r.residual_stress, 0, atol=1e-3)


def test_a_wet_skin_is_pushed_and_its_core_pulled() -> None:
    plate = Laminate.from_code("[0_4]", CARBON)
    profile = np.array([[0.02, 0.0], [0.0, 0.0], [0.0, 0.0], [0.0, 0.02]])
    s2 = plate.response(moisture_profile=profile).residual_stress[..., 1]
    assert s2[0, 0] < 0 < s2[1, 0]
    assert_allclose(s2, s2[::-1, ::-1], rtol=1e-9)


def test_leading_axes_equal_their_loop() -> None:
    loads = RNG.normal(size=(4, 3, 3)) * 1e4
    moments = RNG.normal(size=(3, 3))
    dT = np.array([[-100.0], [0.0], [20.0], [50.0]])
    ey = RNG.normal(size=(3,)) * 1e-3
    loads[..., 1] = 0
    r = STACK.response(N=loads, M=moments, temperature_change=dT, moisture=0.01, prescribed={"ey": ey})
    assert r.shape == (4, 3)
    for i, j in np.ndindex(4, 3):
        one = STACK.response(
            N=loads[i, j],
            M=moments[j],
            temperature_change=dT[i, 0],
            moisture=0.01,
            prescribed={"ey": ey[j]},
        )
        for name in (
            "midplane_strain",
            "curvature",
            "strain",
            "stress",
            "residual_stress",
            "load_strain",
            "N",
            "M",
        ):
            whole = getattr(r, name)
            assert whole.shape[:2] == (4, 3), name
            assert_allclose(whole[i, j], getattr(one, name), rtol=1e-8, atol=1e-6, err_msg=name)


def test_shapes() -> None:
    plies = len(STACK.plies)
    for r, lead in (
        (STACK.response(), ()),
        (STACK.response(N=np.zeros((2, 5, 3))), (2, 5)),
        (STACK.response(temperature_change=np.zeros((7, 1)), N=np.zeros((4, 3))), (7, 4)),
        (STACK.response(temperature_profile=np.zeros((6, plies, 2))), (6,)),
        (STACK.response(N=np.zeros((0, 3))), (0,)),
    ):
        assert r.shape == lead
        for name in ("midplane_strain", "curvature", "N", "M"):
            assert getattr(r, name).shape == (*lead, 3)
        for name in ("stress", "strain", "residual_stress", "residual_strain", "load_stress", "load_strain"):
            assert getattr(r, name).shape == (*lead, plies, 2, 3), name
        for name in ("laminate_strain", "laminate_stress"):
            assert getattr(r, name).shape == (*lead, plies, 2, 3), name


def test_inputs_stay_and_results_cannot_be_written() -> None:
    loads = np.array([[1e4, 0.0, 0.0]])
    r = STACK.response(N=loads, temperature_change=-50.0)
    for name in ("stress", "strain", "residual_stress", "residual_strain", "load_stress", "load_strain", "N"):
        with pytest.raises(ValueError, match="read-only"):
            getattr(r, name)[...] = 0.0
    loads[0, 0] = 7.0
    assert_allclose(r.N, [[1e4, 0, 0]], rtol=1e-9, atol=1e-6)
    assert isinstance(r, Response)


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ({"N": 5.0}, "0 or of shape"),
        ({"temperature_profile": np.ones((3, 2))}, "temperature_profile.*shape"),
        ({"temperature_profile": np.zeros((3, 2))}, "temperature_profile.*shape"),
        ({"moisture_profile": np.full((1, 2), 0.01)}, "moisture_profile.*shape"),
        ({"prescribed": {"e1": 0.0}}, "one of ex, ey"),
        ({"prescribed": {"ex": np.nan}}, "finite"),
        ({"prescribed": {"ex": 0.5}}, "percent"),
        ({"prescribed": {"ex": np.zeros(2), "ey": np.zeros(3)}}, "broadcastable"),
        ({"prescribed": {"ex": np.zeros(2)}, "N": np.zeros((3, 3))}, "broadcastable"),
        ({"prescribed": {"ex": 0.0}, "N": (1.0, 0.0, 0.0)}, "Nx beside prescribed ex"),
        ({"prescribed": {"kxy": 0.0}, "residual_M": (0.0, 0.0, 1.0)}, "Mxy beside prescribed kxy"),
    ],
)
def test_arguments_that_do_not_go_together_are_refused(arguments: dict, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        STACK.response(**arguments)


def test_zero_stands_for_no_load_and_no_profile() -> None:
    plain, zero = STACK.response(N=N), STACK.response(N=N, M=0, residual_N=0, temperature_profile=0.0)
    assert_allclose(zero.stress, plain.stress, rtol=0)


def test_free_strains_that_do_not_fit_the_plies_are_refused() -> None:
    with pytest.raises(ValueError, match="surfaces"):
        STACK.resultants_of(np.zeros((6, 3, 3)))
    with pytest.raises(ValueError, match="plies"):
        STACK.ply_free_strain(np.zeros((4, 1)), [[0.0]])
    with pytest.raises(ValueError, match="free: got shape"):
        Response(
            laminate=STACK,
            load_deformation=np.zeros(6),
            residual_deformation=np.zeros(6),
            free=np.zeros((4, 2, 3)),
        )
    with pytest.raises(ValueError, match="broadcastable"):
        Response(
            laminate=STACK,
            load_deformation=np.zeros((2, 6)),
            residual_deformation=np.zeros((3, 6)),
            free=np.zeros((6, 1, 3)),
        )
