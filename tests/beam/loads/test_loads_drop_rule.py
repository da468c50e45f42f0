"""23.725: load factor of a drop test, against worked values beside the rule."""

import pytest
from printed import printed
from scipy.constants import inch

from beam.loads import drop_load_factor, effective_mass


@pytest.mark.parametrize(
    ("n_j", "effective", "mass", "lift_ratio", "n"),
    # worked from 14 CFR 23.725(b), (e), which are from memory and derived from the energy and vertical balances:
    [
        (3.2, 591.573, 800.0, 2 / 3, "3.03296"),  # W_M 800 lb, W/S 12 lb/ft2, d 8 in
        (3.5, 0.80382, 1.0, 0.667, "3.4804"),  # W/S 16 lb/ft2, d 6 in; W_e / W is given
    ],
)
def test_load_factor_of_a_drop_test(n_j, effective, mass, lift_ratio, n):
    assert drop_load_factor(n_j, effective, mass, lift_ratio) == printed(n)


def test_effective_mass_of_the_same_example():
    # the ratio of masses is the ratio of weights
    assert effective_mass(800.0, 12.4708 * inch, 8.0 * inch, 2 / 3) == printed("591.573")
