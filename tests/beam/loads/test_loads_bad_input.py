"""Every public callable of the room refuses what is no input, by the name of the argument."""

import inspect

import matplotlib as mpl
import numpy as np
import pytest
from loads_calls import CALLS, Each, Point, Text, Word, plain

from beam import loads
from beam.loads import part23

mpl.use("Agg")

RESULTS = {"Balance", "Check"}  # made by the room, not by its users


def public():
    """Names of every public function, class and method."""
    for package in (loads, part23):
        for name in package.__all__:
            item = getattr(package, name)
            if inspect.isfunction(item) or inspect.isclass(item):
                yield name
            if inspect.isclass(item):
                for part, method in vars(item).items():
                    if inspect.isfunction(method) and not part.startswith("_"):
                        yield f"{name}.{part}"


def run(call, given):
    """Call by name, the starred arguments last."""
    first, starred, named = [], [], {}
    for name, parameter in inspect.signature(call).parameters.items():
        if name not in given:
            continue
        if parameter.kind is parameter.VAR_POSITIONAL:
            starred = given[name]
        elif parameter.kind is parameter.POSITIONAL_OR_KEYWORD and not inspect.isclass(call):
            first.append(given[name])
        else:
            named[name] = given[name]
    found = call(*first, *starred, **named)
    return list(found) if inspect.isgenerator(found) else found


def wrong(call, good):
    """Yield (argument, kind of fault, all arguments) of every fault that can be made."""
    parameters = inspect.signature(call).parameters
    for name, value in good.items():
        optional = parameters[name].default is None
        words = [("words", "words"), ("a number", 3.0)]
        if isinstance(value, Word | Text):
            faults = [("a number", 3.0), ("empty", "")] + (
                [("words", "words")] if isinstance(value, Word) else []
            )
        elif isinstance(value, Point):
            nan = np.full(np.shape(value.value), np.nan)
            faults = [
                ("nan", nan),
                ("inf", nan + np.inf),
                ("words", "words"),
                ("shape", [[[1.0, 2.0, 3.0, 4.0]]]),
            ]
        elif isinstance(value, Each | float):
            faults = [("nan", np.nan), ("inf", np.inf), ("minus inf", -np.inf), ("words", "words")]
            faults += (
                [("shape", [[1.0, 2.0]])] if isinstance(value, float) else [("ragged", [[1.0], [1.0, 2.0]])]
            )
        elif name == "landing" and "conditions" in parameters:
            faults = words
        elif parameters[name].kind is inspect.Parameter.VAR_POSITIONAL:
            faults, optional = [("a number", (3.0,))], True
        else:
            faults = words
        if not optional:
            faults.append(("None", None))
        for fault, bad in faults:
            yield name, fault, plain(good) | {name: bad}
        others = [other for other, v in good.items() if isinstance(v, Each | Point) and other != name]
        if isinstance(value, Each) and others:
            clash = {name: np.full(3, value.value)}
            other = good[others[0]].value
            yield (
                name,
                "shapes",
                plain(good) | clash | {others[0]: np.broadcast_to(other, (2, *np.shape(other)))},
            )


FAULTS = [(call, *fault) for call, good in CALLS.values() for fault in wrong(call, good)]
IDS = [f"{name}-{fault[0]}-{fault[1]}" for name, (call, good) in CALLS.items() for fault in wrong(call, good)]


def test_no_callable_escapes():
    assert set(public()) - RESULTS == set(CALLS) - {"plot_airplane"}
    for name, (call, good) in CALLS.items():
        required = set(inspect.signature(call).parameters)
        assert required == set(good), name


@pytest.mark.parametrize("name", CALLS)
def test_the_good_arguments_are_good(name):
    from matplotlib import pyplot as plt

    call, good = CALLS[name]
    run(call, plain(good))
    plt.close("all")


@pytest.mark.parametrize(("call", "argument", "fault", "given"), FAULTS, ids=IDS)
def test_bad_input_is_refused_by_name(call, argument, fault, given):
    with pytest.raises(ValueError, match=rf"\b{argument}\b.*got .*must be") as refused:
        run(call, given)
    assert refused.value.__cause__ is None
