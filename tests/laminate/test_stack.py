"""Laminate and Ply: identity, symmetry, balance, and the properties that every stack must have."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from numpy.testing import assert_allclose
from printed import printed
from stacks import CARBON, GLASS, MADE_UP, WEAVE, stacks

import laminate
from laminate import Laminate, Ply, angles
from laminate.lamina_stiffness import strain_rotation
from materials.lamina import Lamina

QUASI = Laminate.from_code("[45/0/-45/90]s", CARBON)


@given(stacks())
@settings(max_examples=60, deadline=None)
def test_stiffness_is_positive_definite(stack: Laminate) -> None:
    d = 1 / np.sqrt(np.diag(stack.abd))
    assert np.linalg.eigvalsh(stack.abd * d * d[:, None]).min() > 0
    assert np.linalg.eigvalsh(stack.A).min() > 0
    assert np.linalg.eigvalsh(stack.D).min() > 0
    assert_allclose(stack.abd, stack.abd.T, rtol=1e-12, atol=1e-12 * stack.A.max() * stack.thickness)
    assert_allclose((stack.compliance @ stack.abd) * d / d[:, None], np.eye(6), atol=1e-10)


@given(stacks())
@settings(max_examples=60, deadline=None)
def test_a_mirrored_stack_does_not_couple(stack: Laminate) -> None:
    for whole in (stack.plies + stack.plies[::-1], stack.plies[::-1] + stack.plies[1:]):
        mirrored = Laminate(whole)
        assert mirrored.is_symmetric
        assert_allclose(mirrored.B, 0, atol=1e-13 * mirrored.A.max() * mirrored.thickness)


@given(stacks())
@settings(max_examples=60, deadline=None)
def test_a_balanced_stack_does_not_shear_when_pulled(stack: Laminate) -> None:
    balanced = Laminate(stack.plies + tuple(p.mirrored for p in stack.plies))
    assert balanced.is_balanced
    assert_allclose(balanced.A[:2, 2], 0, atol=1e-12 * balanced.A.max())


@given(stacks())
@settings(max_examples=40, deadline=None)
def test_turning_the_whole_stack_turns_its_stiffness(stack: Laminate) -> None:
    """Energy at the same physical deformation is the same from both axes."""
    theta = 37.0
    turned = Laminate(tuple(Ply(p.lamina, p.angle_deg + theta) for p in stack.plies))
    T = np.kron(np.eye(2), strain_rotation(theta))
    size = np.sqrt(np.outer(np.diag(turned.abd), np.diag(turned.abd)))
    assert_allclose(T.T @ stack.abd @ T / size, turned.abd / size, atol=1e-11)


def test_quasi_isotropic_stack() -> None:
    assert_allclose(QUASI.A[0, 0] - QUASI.A[0, 1], 2 * QUASI.A[2, 2], rtol=1e-12)
    for n in (3, 4, 5, 7):  # n directions evenly spread are isotropic in plane
        spread = Laminate(tuple(Ply(CARBON, 180 / n * i - 90) for i in range(n)))
        assert_allclose(spread.A / n, QUASI.A / 8, atol=1e-12 * QUASI.A.max())


def test_mixed_materials_and_thicknesses() -> None:
    stack = Laminate.from_code("[0G/45F/0C]", {"G": GLASS, "F": WEAVE, "C": CARBON})
    assert_allclose(stack.ply_thickness, [200e-6, 250e-6, 125e-6])
    assert stack.thickness == pytest.approx(575e-6)
    assert stack.areal_density == pytest.approx(1900 * 200e-6 + 1550 * 250e-6 + 1600 * 125e-6)
    assert_allclose(stack.interfaces, [-287.5e-6, -87.5e-6, 162.5e-6, 287.5e-6])
    assert_allclose(stack.surfaces, [[-287.5e-6, -87.5e-6], [-87.5e-6, 162.5e-6], [162.5e-6, 287.5e-6]])
    assert stack.B[0, 0] > 0, "the carbon, much the stiffest, lies on the outer side"


def test_first_ply_of_the_code_is_inside() -> None:
    stack = Laminate.from_code("[0/90]", CARBON)
    assert stack.angles_deg[0] == 0
    assert stack.B[0, 0] < 0, "the stiff ply along x lies at negative z"
    assert stack.B[1, 1] > 0


@pytest.mark.parametrize(
    ("code", "symmetric", "balanced"),
    [
        ("[0]", True, True),
        ("[0/90]", False, True),
        ("[45]", True, False),
        ("[±45]", False, True),
        ("[±45]s", True, True),
        ("[45/0/-45]", False, True),
        ("[45/0]s", True, False),
        ("[90/-90]", True, True),
        ("[30/-30/60]s", True, False),
    ],
)
def test_symmetry_and_balance(code: str, symmetric: bool, balanced: bool) -> None:
    stack = Laminate.from_code(code, CARBON)
    assert stack.is_symmetric is symmetric
    assert stack.is_balanced is balanced


def test_symmetry_and_balance_look_at_the_material() -> None:
    assert not Laminate((Ply(CARBON, 0), Ply(GLASS, 0))).is_symmetric
    assert not Laminate((Ply(CARBON, 45), Ply(GLASS, -45))).is_balanced


def test_an_even_weave_is_the_same_after_a_quarter_turn() -> None:
    assert Ply(WEAVE, 45) != Ply(WEAVE, -45)
    assert Ply(WEAVE, 45).direction_deg == Ply(WEAVE, -45).direction_deg
    stack = Laminate((Ply(WEAVE, 45), Ply(WEAVE, 0), Ply(WEAVE, -45)))
    assert stack.is_symmetric
    assert Laminate((Ply(WEAVE, 45),)).is_balanced
    assert_allclose(Laminate((Ply(WEAVE, 45),)).A[:2, 2], 0, atol=1e-6)
    assert not Laminate((Ply(dataclasses.replace(WEAVE, alpha2=4e-6), 45),)).is_balanced


def test_equal_plies_make_equal_laminates() -> None:
    same = Laminate.from_code("[45/0/-45/90]s", dataclasses.replace(CARBON))
    assert same == QUASI
    assert hash(same) == hash(QUASI)
    assert len({same, QUASI, Laminate.from_code("[0]", CARBON)}) == 2
    assert Laminate([Ply(CARBON, 0)]) == Laminate((Ply(CARBON, 0.0),))


def test_arrays_are_kept_and_cannot_be_written() -> None:
    assert QUASI.abd is QUASI.abd
    for name in ("A", "B", "D", "abd", "compliance", "angles_deg", "ply_thickness", "interfaces", "surfaces"):
        with pytest.raises(ValueError, match="read-only"):
            getattr(QUASI, name)[0] = 1.0
    for name in ("Q", "q_bar", "rotation", "strain_recovery", "stress_recovery", "transverse_shear"):
        with pytest.raises(ValueError, match="read-only"):
            getattr(QUASI, name)[0] = 1.0
    with pytest.raises(dataclasses.FrozenInstanceError):
        QUASI.plies = ()  # type: ignore[misc]


def test_from_code_reads_the_code() -> None:
    assert tuple(QUASI.angles_deg) == angles("[45/0/-45/90]s")
    assert {p.lamina for p in QUASI.plies} == {CARBON}
    one_label = Laminate.from_code("[(±45)F/0F]", WEAVE)
    assert tuple(one_label.angles_deg) == (45, 0)
    mixed = Laminate.from_code("[0/90G]", {"": CARBON, "G": GLASS})
    assert [p.lamina.name for p in mixed.plies] == ["T300/5208", "glass"]


@pytest.mark.parametrize("code", ["[0]T", "[±45/0]s", "[0/9̅0̅]s", "[45/0_2]2s", "[0A/±45B/90A]T"])
def test_the_code_of_a_stack(code: str) -> None:
    stack = Laminate.from_code(code, {"": CARBON, "A": CARBON, "B": GLASS})
    assert stack.code == code


def test_the_code_of_a_stack_turns_angles_into_its_range() -> None:
    assert Laminate((Ply(CARBON, 135.0), Ply(CARBON, -90.0), Ply(CARBON, 180.0))).code == "[-45/-90/0]T"
    assert Laminate((Ply(CARBON, 33.3), Ply(CARBON, -100.0))).code == "[33.3/80]T"
    many = [dataclasses.replace(CARBON, name=str(i)) for i in range(25)]
    assert Laminate(tuple(Ply(m, 0.0) for m in many)).code.startswith("[0A/0B/0C/0D/0E/0G/")
    assert Laminate(tuple(Ply(m, 0.0) for m in many)).code.endswith("/0Z/0AA/0BB]T")


LARGE = Lamina(
    name="x", kind="tape", E1=1e9, E2=1e9, G12=1e9, nu12=0.3, thickness=1e-3, density=1e3, source=MADE_UP
)


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: Laminate((CARBON,)), r"plies\[0\].*wrap it"),
        (lambda: Ply(45.0, CARBON), "another order"),
        (lambda: Laminate.from_code("[0C/90G]", CARBON), "a mapping"),
        (lambda: Laminate.from_code("[0C/90G]", {"C": CARBON}), "'G'"),
        (lambda: Laminate.from_code("[0/90", CARBON), "Orientation code"),
        (lambda: Laminate((Ply(LARGE, 0),)).transverse_shear, "G13, G23"),
    ],
)
def test_bad_input(make, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        make()


def bimetal(n: float, m: float, a1: float, a2: float, t2: float) -> Laminate:
    """Two metal layers, lower over upper modulus n and thickness m, without contraction across."""

    def layer(E: float, alpha: float, t: float) -> Ply:
        same = {"E1": E, "E2": E, "G12": E / 2, "nu12": 0.0, "alpha1": alpha, "alpha2": alpha}
        return Ply(
            Lamina(name="metal", kind="fabric", thickness=t, density=7000.0, source=MADE_UP, **same), 0.0
        )

    return Laminate((layer(n * 50e9, a1, m * t2), layer(50e9, a2, t2)))


@pytest.mark.parametrize(("n", "m"), [(1.0, 1.0), (2.0, 1.0), (0.2, 1.0), (5.0, 0.3), (3.0, 4.0)])
def test_bimetal_strip(n: float, m: float) -> None:
    """Curvature 6 (a2 - a1) dT (1 + m)^2 / (h [3 (1 + m)^2 + (1 + m n)(m^2 + 1/(m n))]).

    S. Timoshenko, Analysis of bi-metal thermostats, J. Opt. Soc. Am. 11 (1925) 233-255, eq. 4 (from memory);
    m = t1/t2, n = E1/E2. A strip has no stress across, as a plate without contraction has none.
    """
    dT, a1, a2, t2 = 60.0, 2e-6, 19e-6, 0.8e-3
    h = (1 + m) * t2
    kappa = 6 * (a2 - a1) * dT * (1 + m) ** 2 / (h * (3 * (1 + m) ** 2 + (1 + m * n) * (m**2 + 1 / (m * n))))
    warp = bimetal(n, m, a1, a2, t2).free_strain(dT)[3:]
    assert warp == pytest.approx(np.array([kappa, kappa, 0.0]), rel=1e-11, abs=1e-15)


@pytest.mark.parametrize(("n", "factor"), [(1.0, "1.5000"), (2.0, "1.4545")])
def test_bimetal_strip_of_equal_layers(n: float, factor: str) -> None:
    # same paper: 24 / (14 + n + 1/n)
    stack = bimetal(n, 1.0, 0.0, 1e-5, 1e-3)
    assert stack.free_strain(100.0)[3] * stack.thickness / 1e-3 == printed(factor)


def test_every_name_of_the_package_is_there() -> None:
    assert all(hasattr(laminate, name) for name in laminate.__all__)
    assert set(laminate.__all__) <= set(dir(laminate))
    with pytest.raises(AttributeError, match="no attribute 'lamina'"):
        laminate.lamina  # type: ignore[attr-defined]
