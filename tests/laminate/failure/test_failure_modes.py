"""Modes: which part of the criterion is met first, and its name."""

import numpy as np
import pytest
from failure_cases import AXES, GLASS, M1, limits_of

from laminate.failure import (
    CRITERIA,
    MODE_OF,
    Mode,
    labels,
    larc03_mode,
    max_stress_mode,
    puck_mode,
    tsai_wu_mode,
)
from laminate.failure.puck import action_plane_resistance

ALONE = {
    "Xt": Mode.FIBER_TENSION,
    "Xc": Mode.FIBER_COMPRESSION,
    "Yt": Mode.MATRIX_TENSION,
    "Yc": Mode.MATRIX_COMPRESSION,
    "S": Mode.SHEAR,
    "-S": Mode.SHEAR,
}
OTHERWISE = {
    "puck": {
        "Yt": {Mode.INTER_FIBER_A},
        "Yc": {Mode.INTER_FIBER_C},
        "S": {Mode.INTER_FIBER_A, Mode.INTER_FIBER_B},
    },
    "hashin": {"S": {Mode.FIBER_TENSION, Mode.MATRIX_TENSION, Mode.MATRIX_COMPRESSION}},
    "larc03": {"S": {Mode.MATRIX_TENSION, Mode.MATRIX_COMPRESSION}},
}


@pytest.mark.parametrize("criterion", CRITERIA, ids=lambda c: c.__name__)
@pytest.mark.parametrize("name", AXES)
def test_mode_of_one_stress_alone(criterion, name):
    Xt, Xc, Yt, Yc, S = limits_of(criterion, M1)
    limit = {"Xt": Xt, "Xc": Xc, "Yt": Yt, "Yc": Yc, "S": S, "-S": S}[name]
    mode = Mode(int(MODE_OF[criterion](0.3 * limit * np.array(AXES[name]), M1)))
    assert mode in OTHERWISE.get(criterion.__name__, {}).get(name.strip("-"), {ALONE[name]})


def test_violating_residual_has_a_mode():
    assert max_stress_mode([1e6, 0, 0], M1, residual=[0, 41e6, 0]) == Mode.MATRIX_TENSION
    assert tsai_wu_mode([1e6, 0, 0], M1, residual=[0, 41e6, 0]) == Mode.MATRIX_TENSION
    assert puck_mode([1e6, 0, 0], M1, residual=[0, 41e6, 0]) == Mode.INTER_FIBER_A
    RA, _ = action_plane_resistance(M1)
    assert puck_mode([1e6, 0, 0], M1, residual=[0, -0.9 * RA, 150e6]) == Mode.INTER_FIBER_B
    assert puck_mode([1e6, 0, 0], M1, residual=[0, -1.1 * RA, 150e6]) == Mode.INTER_FIBER_C


def test_residual_can_change_the_mode():
    load = [500e6, 5e6, 0]
    assert max_stress_mode(load, M1) == Mode.FIBER_TENSION
    assert max_stress_mode(load, M1, residual=[0, 30e6, 0]) == Mode.MATRIX_TENSION


def test_tsai_wu_names_the_stress_nearest_its_strength():
    assert tsai_wu_mode([0, -100e6, 60e6], M1) == Mode.SHEAR
    assert tsai_wu_mode([0, -230e6, 20e6], M1) == Mode.MATRIX_COMPRESSION


@pytest.mark.parametrize("allowables", [M1, GLASS])
def test_puck_modes_along_the_fracture_curve(allowables):
    RA, pp = action_plane_resistance(allowables)
    corner = np.array([0, -RA, allowables.S * np.sqrt(1 + 2 * pp)])
    assert puck_mode([0, 0.1e6, 10e6], allowables) == Mode.INTER_FIBER_A
    assert puck_mode(corner * [1, 0.98, 1], allowables) == Mode.INTER_FIBER_B
    assert puck_mode(corner * [1, 1.02, 1], allowables) == Mode.INTER_FIBER_C
    assert puck_mode([10e6, 0.01e6, 0], allowables) == Mode.FIBER_TENSION


def test_nearly_pure_compression_along_the_fiber_kinks_it():
    across = np.concatenate([-np.linspace(1e3, 2e6, 400), [0.0, 1e3, 1e6]])
    load = np.stack([np.full_like(across, -1000e6), across, 0 * across], axis=-1)
    assert (larc03_mode(load, M1) == Mode.FIBER_COMPRESSION).all()


def test_labels_are_words_in_the_shape_of_the_modes():
    got = labels(np.array([[Mode.NONE, Mode.FIBER_TENSION], [Mode.INTER_FIBER_C, Mode.SHEAR]]))
    assert got.tolist() == [["none", "fiber tension"], ["inter fiber c", "shear"]]
    assert labels(5) == "shear"
    for unknown in (99, -1, 1.7):
        with pytest.raises(ValueError, match="values of Mode"):
            labels(unknown)


def test_only_fiber_modes_are_in_the_fiber():
    assert [m for m in Mode if m.in_fiber] == [Mode.FIBER_TENSION, Mode.FIBER_COMPRESSION]
