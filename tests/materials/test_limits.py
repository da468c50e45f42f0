import re

import numpy as np
import pytest

from materials.limits import between, positive


def test_copies_are_frozen_and_apart():
    given = np.array([0.1, 0.2])
    out = between("share [-]", given, 0.0, 1.0)
    given[0] = 9.0
    assert out.tolist() == [0.1, 0.2]
    assert not out.flags.writeable


def test_limits_are_closed():
    assert between("share [-]", [0.0, 1.0], 0.0, 1.0).tolist() == [0.0, 1.0]
    assert positive("modulus [Pa]", [1e-9, 5.0], 5.0).tolist() == [1e-9, 5.0]


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: between("share [-]", [0.5, 60.0], 0.0, 1.0, "percent?"),
            "share [-]: got 60, must be from 0 to 1; percent?",
        ),
        (lambda: between("share [-]", -0.1, 0.0, 1.0), "got -0.1"),
        (lambda: between("share [-]", np.nan, 0.0, 1.0), "finite"),
        (lambda: positive("modulus [Pa]", [1.0, 0.0]), "got 0, must be > 0"),
        (lambda: positive("modulus [Pa]", [1.0, 9.0], 5.0, "twice?"), "got 9, must be <= 5; twice?"),
        (lambda: positive("modulus [Pa]", "stiff"), "an array of numbers"),
    ],
)
def test_says_what_got_limit_cause(call, message):
    with pytest.raises(ValueError, match=re.escape(message)):
        call()
