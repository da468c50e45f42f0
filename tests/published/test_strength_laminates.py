"""Six measured laminates of IM7/8552: what the checks at limit and at ultimate predict of their strength.

NCAMP CAM-RP-2009-015 Rev B (2019), Table 2-1, means at room temperature, 0.183 mm ply, read in a public transcription;
laminate strengths UNT and UNC in ksi, normalized. Expansion: from memory; GIc: P. P. Camanho et al. 2007.
"""

import numpy as np
import pytest
from printed import printed

from laminate import Laminate, in_situ
from laminate.failure import FiberStrain, Hashin, Puck, ShearOffset, TsaiWu
from laminate.progressive import progressive
from materials import Allowables, Lamina, Source

NCAMP = Source("NCAMP CAM-RP-2009-015 Rev B", "Table 2-1", "means", "read")
KSI = 6.894757e6
CURE = -156.0
MODULUS = {"tension": 158.5e9, "compression": 138.2e9}
TESTS = {
    ("[45/0/-45/90]2s", "tension"): 104.69,
    ("[45/0/-45/90]2s", "compression"): 87.05,
    ("[45/-45/0/45/-45/90/45/-45/45/-45]s", "tension"): 67.01,
    ("[45/-45/0/45/-45/90/45/-45/45/-45]s", "compression"): 66.44,
    ("[0/45/0/90/0/-45/0/45/0/-45]s", "tension"): 175.63,
    ("[0/45/0/90/0/-45/0/45/0/-45]s", "compression"): 120.84,
}
CASES = [(code, sense) for code, sense in TESTS]
six = pytest.mark.parametrize(("code", "sense"), CASES, ids=lambda text: text)


def laminate(code, sense):
    means = Allowables(
        Xt=2501e6, Xc=1716e6, Yt=64.1e6, Yc=285.7e6, S=91.1e6, S02=53.5e6,
        basis="mean", condition="21 degC, dry", source=NCAMP,
    )  # fmt: skip
    ply = Lamina(
        name="IM7/8552", kind="tape", E1=MODULUS[sense], E2=8.96e9, G12=4.69e9, nu12=0.316, thickness=0.183e-3,
        density=1570.0, alpha1=-0.5e-6, alpha2=28e-6, GIc=277.4, allowables=means, source=NCAMP,
    )  # fmt: skip
    return Laminate.from_code(code, ply)


def at_failure(code, sense):
    """Laminate, its measured failing load and the response to it, cure residual apart."""
    stack = laminate(code, sense)
    N = TESTS[code, sense] * KSI * stack.thickness * (1 if sense == "tension" else -1)
    return stack, [N, 0.0, 0.0], stack.response(N=[N, 0.0, 0.0], temperature_change=CURE)


def lowest(criterion, response, allowables, *, residual=True):
    """Lowest ratio over plies and surfaces: predicted over measured strength."""
    states = response.load_stress, response.residual_stress
    if criterion.takes == "strain":
        states = response.load_strain, response.residual_strain
    load, fixed = states
    return min(
        criterion.ratio(load[i], a, residual=fixed[i] if residual else None).min()
        for i, a in enumerate(allowables)
    )


@six
def test_caps_of_the_quasi_isotropic_laminate_foretell_the_others(code, sense):
    reference, N, _ = at_failure("[45/0/-45/90]2s", sense)
    cap = abs(float(reference.response(N=N).midplane_strain[0]))
    stack, _, response = at_failure(code, sense)
    ratio = lowest(FiberStrain(tension=cap, compression=cap), response, in_situ(stack), residual=False)
    assert 0.80 < ratio < 1.15


@six
def test_last_ply_failure_with_discount(code, sense):
    stack, N, _ = at_failure(code, sense)
    assert 0.8 < progressive(stack, N, criterion=Hashin(), temperature_change=CURE).last_ply < 1.25


@six
def test_limit_checks_stand_below_the_measured_strength(code, sense):
    stack, _, response = at_failure(code, sense)
    matrix = lowest(Puck(fiber=False), response, in_situ(stack))
    offset = lowest(ShearOffset(), response, in_situ(stack))
    assert 0.5 < min(matrix, offset) < 1.0


@six
def test_values_of_the_limit_checks(code, sense):
    """Derived before, by own code: Puck with Yt in situ, and the shear offset, to their two digits in tension.

    In compression those values (1.60, .99, 1.63 and .86, .59, .94) take the modulus of tension, as a run with it shows
    within 0.01; the modulus of compression, which is that of the test, gives 0.88 to 0.92 of them.
    """
    derived = dict(zip(CASES, [(0.62, 0.72), (1.60, 0.86), (0.63, 0.59), (0.99, 0.59), (0.64, 0.57), (1.63, 0.94)],
                       strict=True))[code, sense]  # fmt: skip
    N = TESTS[code, sense] * KSI * (1 if sense == "tension" else -1)
    for modulus, share in (("tension", 1.0), (sense, 1.0 if sense == "tension" else 0.90)):
        stack = laminate(code, modulus)
        response = stack.response(N=[N * stack.thickness, 0.0, 0.0], temperature_change=CURE)
        found = [lowest(one, response, in_situ(stack)) for one in (Puck(fiber=False), ShearOffset())]
        np.testing.assert_allclose(
            found, np.multiply(share, derived), rtol=0.025 if share < 1 else 0, atol=0.0101
        )


ROWS = {
    "fiber strain": ("1.33", "1.06", "1.30", "0.89", "1.21", "1.20"),
    "cap": ("1.00", "1.00", "0.98", "0.84", "0.92", "1.11"),
    "last ply, modulus of tension": ("1.15", "1.05", "0.90", "0.87", "1.13", "1.20"),
}
"""Derived before, by own code, and found here to the digit: which modulus of compression each row takes."""


@pytest.mark.parametrize("number", range(6), ids=[f"{code} {sense}" for code, sense in CASES])
def test_rows_derived_before(number):
    code, sense = CASES[number]
    _, _, response = at_failure(code, sense)
    coupon = FiberStrain(tension=2501e6 / 158.5e9, compression=1716e6 / 138.2e9)
    stack = laminate(code, "tension")
    assert lowest(coupon, response, in_situ(stack)) == pytest.approx(
        float(ROWS["fiber strain"][number]), abs=0.0101
    )
    reference, N, _ = at_failure("[45/0/-45/90]2s", sense)
    cap = abs(float(reference.response(N=N).midplane_strain[0]))
    found = lowest(FiberStrain(tension=cap, compression=cap), response, in_situ(stack), residual=False)
    assert found == printed(ROWS["cap"][number])
    N = TESTS[code, sense] * KSI * stack.thickness * (1 if sense == "tension" else -1)
    last = progressive(stack, [N, 0.0, 0.0], criterion=Hashin(), temperature_change=CURE).last_ply
    assert last == printed(ROWS["last ply, modulus of tension"][number])


def test_shear_of_the_quasi_isotropic_laminate_in_closed_form():
    """Second way: t12 = G12 s / (2 G) in the 45 degree plies, G = U1/2 - U4/2 of the invariants, no residual shear.

    0.77 of the measured compression with the modulus of compression, 0.86 with that of tension.
    """
    s, E2, G12, nu12 = TESTS["[45/0/-45/90]2s", "compression"] * KSI, 8.96e9, 4.69e9, 0.316
    for modulus, value in (("compression", "0.77"), ("tension", "0.86")):
        E1 = MODULUS[modulus]
        Q11, Q22 = (E / (1 - nu12**2 * E2 / E1) for E in (E1, E2))
        U1 = (3 * Q11 + 3 * Q22 + 2 * nu12 * Q22 + 4 * G12) / 8
        U4 = (Q11 + Q22 + 6 * nu12 * Q22 - 4 * G12) / 8
        ratio = 53.5e6 / (G12 * s / (U1 - U4))
        assert ratio == printed(value)
        stack = laminate("[45/0/-45/90]2s", modulus)
        response = stack.response(N=[-s * stack.thickness, 0.0, 0.0], temperature_change=CURE)
        assert lowest(ShearOffset(), response, in_situ(stack)) == pytest.approx(ratio, rel=1e-9)


@six
def test_first_ply_tsai_wu_is_far_below_the_measured_strength(code, sense):
    stack, _, response = at_failure(code, sense)
    assert 0.15 < lowest(TsaiWu(), response, [ply.lamina.allowables for ply in stack.plies]) < 0.7


def test_fiber_strain_of_the_coupon_is_no_check_by_itself():
    """With the matrix intact it overrates the laminates, by up to a third."""
    found = []
    for code, sense in CASES:
        stack, _, response = at_failure(code, sense)
        coupon = FiberStrain(tension=2501e6 / 158.5e9, compression=1716e6 / 138.2e9)
        found.append(lowest(coupon, response, in_situ(stack), residual=False))
    assert max(found) == pytest.approx(1.33, abs=0.04)
    assert sum(ratio > 1 for ratio in found) >= 4
