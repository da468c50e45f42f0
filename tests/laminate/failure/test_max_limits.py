"""Maximum stress and strain: residuals, and what is refused."""

from dataclasses import replace

import pytest
from failure_cases import M1

from laminate.failure import MaxStrain, MaxStress, Mode

BARE = replace(M1, e1t=None, e1c=None, e2t=None, e2c=None, g12=None)


def test_strain_criterion_without_strains_is_refused():
    with pytest.raises(ValueError, match="no e1t, e1c, e2t, e2c, g12"):
        MaxStrain().ratio([1e-3, 0, 0], BARE)


def test_residual_can_change_the_mode():
    load = [500e6, 5e6, 0]
    assert MaxStress().mode(load, M1) == Mode.FIBER_TENSION
    assert MaxStress().mode(load, M1, residual=[0, 30e6, 0]) == Mode.MATRIX_TENSION
