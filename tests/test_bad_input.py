"""Every public callable of materials and laminate against what a tired engineer may hand it.

The registries of `inputs_*.py` hold one good call of each. What takes the place of an argument must be refused
by its name.
"""

import inputs_laminate
import inputs_walls
import pytest
from bad_input import (
    answers,
    equals_loop,
    escaped,
    names_every_parameter,
    refuses,
    refuses_shapes,
)

ROOMS = (inputs_laminate, inputs_walls)
REGISTRY = {(room.__name__[7:], f): arguments for room in ROOMS for f, arguments in room.REGISTRY.items()}


def each(wanted=lambda arguments: True):
    """Every callable with its arguments."""
    return pytest.mark.parametrize(
        ("function", "arguments"),
        [
            pytest.param(f, arguments, id=f"{room}-{f.__qualname__}")
            for (room, f), arguments in REGISTRY.items()
            if wanted(arguments)
        ],
    )


def test_no_public_callable_escapes():
    """A new function belongs in the registry of its room; one that cannot go there is excluded with a reason."""
    excluded = {name: reason for room in ROOMS for name, reason in room.EXCLUDED.items()}
    modules = [module for room in ROOMS for module in room.MODULES]
    assert not escaped([function for _, function in REGISTRY], excluded, *modules)


@each()
def test_good_input_is_answered(function, arguments):
    names_every_parameter(function, arguments)
    answers(function, arguments)


@pytest.mark.parametrize(
    ("function", "arguments", "name"),
    [
        pytest.param(f, arguments, name, id=f"{room}-{f.__qualname__}-{name}")
        for (room, f), arguments in REGISTRY.items()
        for name in arguments
        if arguments[name].bad
    ],
)
def test_bad_input_is_refused_by_name(function, arguments, name):
    refuses(function, arguments, name)


@each(lambda arguments: sum(one.leading for one in arguments.values()) > 1)
def test_shapes_that_do_not_fit_are_refused(function, arguments):
    refuses_shapes(function, arguments)


@each(lambda arguments: any(one.leading for one in arguments.values()))
def test_cases_together_equal_their_loop(function, arguments):
    equals_loop(function, arguments)
