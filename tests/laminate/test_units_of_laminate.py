"""Other base units must change every answer as its declared unit says."""

from collections.abc import Callable

import numpy as np
import pytest
from numpy.testing import assert_allclose

from laminate import batch, constants, lamina_stiffness, lamination_parameters, plate, transverse_shear

KG, M, S = 2.0, 3.0, 5.0
UNITS = {
    "-": 1.0,
    "m": M,
    "Pa": KG / M / S**2,
    "1/Pa": M * S**2 / KG,
    "N": KG * M / S**2,
    "N/m": KG / S**2,
    "Nm": KG * M**2 / S**2,
    "1/m": 1 / M,
}
RNG = np.random.default_rng(4)
ANGLES = np.array([10.0, -40.0, 75.0])
Q = lamina_stiffness.q_reduced(150e9, 9e9, 5e9, 0.3)
Q_BAR = lamina_stiffness.q_rotated(Q, ANGLES)
T = np.array([1e-4, 2e-4, 1.5e-4])
FREE = RNG.normal(size=(3, 2, 3)) * 1e-3
G_BAR = transverse_shear.shear_modulus_rotated(5e9, 3e9, ANGLES)
XI = lamination_parameters.lamination_parameters(ANGLES, T)
U = lamina_stiffness.invariants(Q)


def block(a: str, b: str, c: str) -> np.ndarray:
    """Factors of a 6 x 6 matrix with the units a, b; b, c."""
    return np.kron([[UNITS[a], UNITS[b]], [UNITS[b], UNITS[c]]], np.ones((3, 3)))


ABD = block("N/m", "N", "Nm")
SIX = np.repeat([UNITS["N/m"], UNITS["N"]], 3)


@pytest.mark.parametrize(
    ("f", "inputs", "units", "factor"),
    [
        (lambda q, t: plate.abd(q, t), (Q_BAR, T), ("Pa", "m"), ABD),
        (lambda q, t: plate.inverse(plate.abd(q, t)), (Q_BAR, T), ("Pa", "m"), 1 / ABD),
        (plate.thermal_resultants, (Q_BAR, T, FREE), ("Pa", "m", "-"), SIX),
        (plate.interfaces, (T,), ("m",), M),
        (lamina_stiffness.q_reduced, (150e9, 9e9, 5e9, 0.3), ("Pa", "Pa", "Pa", "-"), UNITS["Pa"]),
        (lamina_stiffness.invariants, (Q,), ("Pa",), UNITS["Pa"]),
        (lamination_parameters.lamination_parameters, (ANGLES, T), ("-", "m"), 1.0),
        (lamination_parameters.abd_of_parameters, (XI, U, T.sum()), ("-", "Pa", "m"), ABD),
        (lambda q, t: transverse_shear.shear_spread(q, t, [0.5]), (Q_BAR, T), ("Pa", "m"), UNITS["1/m"]),
        (transverse_shear.shear_stiffness, (Q_BAR, T, G_BAR), ("Pa", "m", "Pa"), UNITS["N/m"]),
        (lambda q, t: batch.abd_of_choices([[0, 2, 1, 0]], q, t), (Q_BAR, T), ("Pa", "m"), ABD),
        (lambda q: batch.abd_of_choices([[0, 2, 1, 0]], q, 1e-4), (Q_BAR,), ("Pa",), UNITS["Pa"]),
        (lambda q, t: constants.stretch_bend_coupling(plate.abd(q, t)), (Q_BAR, T), ("Pa", "m"), 1.0),
        (lambda q, t: constants.bending_parameters(plate.abd(q, t)[3:, 3:]), (Q_BAR, T), ("Pa", "m"), 1.0),
    ],
)
def test_scaling_of_base_units(
    f: Callable[..., np.ndarray], inputs: tuple, units: tuple[str, ...], factor: np.ndarray
) -> None:
    scaled = [v * UNITS[u] for v, u in zip(inputs, units, strict=True)]
    assert_allclose(f(*scaled), np.asarray(f(*inputs)) * factor, rtol=1e-9)


def test_scaling_of_the_moduli() -> None:
    factor = np.array([UNITS["Pa"]] * 3 + [1.0] * 4)
    for moduli in (constants.inplane_moduli, constants.flexural_moduli):
        one = moduli(plate.abd(Q_BAR, T), T.sum())
        other = moduli(plate.abd(Q_BAR * UNITS["Pa"], T * M), T.sum() * M)
        assert_allclose(other, np.array(one) * factor, rtol=1e-9)
