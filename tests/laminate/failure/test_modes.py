"""Names of the modes."""

import numpy as np
import pytest
from failure_cases import M1

from laminate.failure import MaxStress, Mode, TsaiWu, labels


def test_labels_are_words_in_the_shape_of_the_modes():
    got = labels(np.array([[Mode.NONE, Mode.FIBER_TENSION], [Mode.INTER_FIBER_C, Mode.SHEAR]]))
    assert got.tolist() == [["none", "fiber tension"], ["inter fiber c", "shear"]]
    assert labels(5) == "shear"
    for unknown in (99, -1, 1.7):
        with pytest.raises(ValueError, match="values of Mode"):
            labels(unknown)


def test_only_fiber_modes_are_in_the_fiber():
    assert [m for m in Mode if m.in_fiber] == [Mode.FIBER_TENSION, Mode.FIBER_COMPRESSION]


def test_violating_residual_has_a_mode():
    for criterion in (MaxStress(), TsaiWu()):
        assert criterion.mode([1e6, 0, 0], M1, residual=[0, 41e6, 0]) == Mode.MATRIX_TENSION
