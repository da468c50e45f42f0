"""Formulas of arrays: an array is the loop over its numbers, and shapes that do not broadcast are refused."""

import inspect
from itertools import pairwise

import numpy as np
import pytest
from calls_loads import CALLS
from refusals import ARRAYS, declarations, parts_of

from beam.loads import airplane_axes, cg_range, ground_axes, static_reactions


def arrays_of(function):
    """Names of the arguments of a function that are arrays of any shape."""
    for name, hint in declarations(function).items():
        kind, limits, _, _ = parts_of(hint)
        if kind in ARRAYS and not limits.shape and not limits.last:
            yield name


OTHERS = (static_reactions, ground_axes, airplane_axes, cg_range)
FORMULAS = [f for f in CALLS if not inspect.isclass(f) and f not in OTHERS and list(arrays_of(f))]


@pytest.mark.parametrize("formula", FORMULAS, ids=lambda f: f.__name__)
def test_an_array_is_the_loop_over_its_numbers(formula):
    call, names = CALLS[formula], list(arrays_of(formula))
    along = {name: call[name] * np.array([1.0, 0.98, 0.96, 0.9]) for name in names}
    together = np.asarray(formula(**call | along))
    assert together.shape[-1] == 4
    for i in range(4):
        alone = np.asarray(formula(**call | {name: values[i] for name, values in along.items()}))
        np.testing.assert_allclose(together[..., i], alone, rtol=1e-14)


@pytest.mark.parametrize(
    "formula", [f for f in FORMULAS if len(list(arrays_of(f))) > 1], ids=lambda f: f.__name__
)
def test_arrays_broadcast_or_are_refused(formula):
    call, names = CALLS[formula], list(arrays_of(formula))
    for one, two in pairwise(names):
        across = {one: np.full((3, 1), call[one]), two: np.full(2, call[two])}
        assert np.asarray(formula(**call | across)).shape[-2:] == (3, 2)
        with pytest.raises(ValueError, match=rf"{one}.*{two}.*: got shapes .*, must be broadcastable"):
            formula(**call | across | {one: np.full(3, call[one])})
