"""Ply and stack stiffness against printed values. T300/5208 of Tsai & Hahn throughout."""

import dataclasses

import numpy as np
import pytest
from invariants import invariants
from printed import printed
from stacks import CARBON

from laminate import Laminate, lamina_stiffness

TSAI_HAHN = "S. W. Tsai, H. T. Hahn, Introduction to Composite Materials, 1980, ch. 3 (from memory)"
KAW_27 = "A. K. Kaw, Mechanics of Composite Materials, 2nd ed. 2006, Ex. 2.7 (from memory)"
KAW_42 = "A. K. Kaw, Mechanics of Composite Materials, 2nd ed. 2006, Ex. 4.2 (from memory)"
KAW_43 = "A. K. Kaw, Mechanics of Composite Materials, 2nd ed. 2006, Ex. 4.3 (from memory)"

M1 = dataclasses.replace(CARBON, thickness=5e-3)
Q = lamina_stiffness.q_reduced(M1.E1, M1.E2, M1.G12, M1.nu12)
STACK = Laminate.from_code("[0/30/-45]", M1)
COMPONENT = {"11": (0, 0), "12": (0, 1), "16": (0, 2), "22": (1, 1), "26": (1, 2), "66": (2, 2)}


@pytest.mark.parametrize(
    ("at", "value", "source"),
    [
        ("11", "181.8", TSAI_HAHN),
        ("12", "2.897", TSAI_HAHN),
        ("22", "10.35", TSAI_HAHN),
        ("66", "7.17", TSAI_HAHN),
    ],
)
def test_reduced_stiffness(at: str, value: str, source: str) -> None:
    assert Q[COMPONENT[at]] / 1e9 == printed(value), source


@pytest.mark.parametrize(
    ("i", "value", "source"),
    [
        (1, "76.37", TSAI_HAHN),
        (2, "85.73", TSAI_HAHN),
        (3, "19.71", TSAI_HAHN),
        (4, "22.61", TSAI_HAHN),
        (5, "26.88", TSAI_HAHN),
    ],
)
def test_invariants(i: int, value: str, source: str) -> None:
    assert invariants(Q)[i - 1] / 1e9 == printed(value), source


@pytest.mark.parametrize(
    ("at", "value", "source"),
    [
        ("11", "23.65", KAW_27),
        ("12", "32.46", KAW_27),
        ("16", "20.05", KAW_27),
        ("22", "109.4", KAW_27),
        ("26", "54.19", KAW_27),
        ("66", "36.74", KAW_27),
    ],
)
def test_stiffness_at_60_deg(at: str, value: str, source: str) -> None:
    assert lamina_stiffness.q_rotated(Q, 60.0)[COMPONENT[at]] / 1e9 == printed(value), source


@pytest.mark.parametrize(
    ("at", "value", "source"),
    [
        ("11", "0.8053e-10", KAW_27),
        ("12", "-0.7878e-11", KAW_27),
        ("16", "-0.3234e-10", KAW_27),
        ("22", "0.3475e-10", KAW_27),
        ("26", "-0.4696e-10", KAW_27),
        ("66", "0.1141e-9", KAW_27),
    ],
)
def test_compliance_at_60_deg(at: str, value: str, source: str) -> None:
    S = np.linalg.inv(lamina_stiffness.q_rotated(Q, 60.0))
    assert S[COMPONENT[at]] == printed(value), source


@pytest.mark.parametrize(
    ("matrix", "scale", "at", "value", "source"),
    [
        ("A", 1e9, "11", "1.739", KAW_42),
        ("A", 1e9, "12", "0.3884", KAW_42),
        ("A", 1e9, "16", "0.05663", KAW_42),
        ("A", 1e9, "22", "0.4533", KAW_42),
        ("A", 1e9, "26", "-0.1141", KAW_42),
        ("A", 1e9, "66", "0.4525", KAW_42),
        ("B", 1e6, "11", "-3.129", KAW_42),
        ("B", 1e6, "12", "0.9855", KAW_42),
        ("B", 1e6, "16", "-1.072", KAW_42),
        ("B", 1e6, "22", "1.158", KAW_42),
        ("B", 1e6, "26", "-1.072", KAW_42),
        ("B", 1e6, "66", "0.9855", KAW_42),
        ("D", 1e3, "11", "33.43", KAW_42),
        ("D", 1e3, "12", "6.461", KAW_42),
        ("D", 1e3, "16", "-5.240", KAW_42),
        ("D", 1e3, "22", "9.320", KAW_42),
        ("D", 1e3, "26", "-5.596", KAW_42),
        ("D", 1e3, "66", "7.663", KAW_42),
    ],
)
def test_abd_of_an_unsymmetric_stack(matrix: str, scale: float, at: str, value: str, source: str) -> None:
    assert getattr(STACK, matrix)[COMPONENT[at]] / scale == printed(value), source


@pytest.mark.parametrize(
    ("i", "value", "source"),
    [
        (0, "3.123e-7", KAW_43),
        (1, "3.492e-6", KAW_43),
        (2, "-7.598e-7", KAW_43),
        (3, "2.971e-5", KAW_43),
        (4, "-3.285e-4", KAW_43),
        (5, "4.101e-4", KAW_43),
    ],
)
def test_deformation_under_biaxial_load(i: int, value: str, source: str) -> None:
    assert STACK.response(N=(1000.0, 1000.0, 0.0)).deformation[i] == printed(value), source


@pytest.mark.parametrize(
    ("quantity", "values", "source"),
    [
        ("strain", ("2.380e-7", "4.313e-6", "-1.785e-6"), KAW_43),
        ("stress", ("6.930e4", "7.391e4", "3.381e4"), KAW_43),
    ],
)
def test_first_surface_of_the_30_deg_ply(quantity: str, values: tuple[str, ...], source: str) -> None:
    at_surface = getattr(STACK.response(N=(1000.0, 1000.0, 0.0)), quantity)[1, 0]
    T = lamina_stiffness.strain_rotation(-30.0)
    if quantity == "stress":
        T = lamina_stiffness.strain_rotation(30.0).T
    assert list(T @ at_surface) == [printed(v) for v in values], source
