"""Bad values for every argument of every public callable, and what counts as a clear refusal.

A register holds one valid call of every door: its arguments, each with a value and the kind of value it is. The
kind says what must be refused.
"""

import inspect

import numpy as np
import pytest

NOT_A_NUMBER = (np.nan, np.inf, -np.inf, None, "word", (1.0, "word"))
BAD = {
    "number": (*NOT_A_NUMBER, (1.0, 2.0)),
    "positive number": (*NOT_A_NUMBER, (1.0, 2.0), 0.0, -1.0),
    "number from 0": (*NOT_A_NUMBER, (1.0, 2.0), -1.0),
    "fraction": (*NOT_A_NUMBER, (0.1, 0.2), -0.1, 1.1),
    "station": (*NOT_A_NUMBER, (0.1, 0.2), -0.1, 99.0),
    "count": (*NOT_A_NUMBER, (1, 2), 0, -1, 1.5),
    "index": (*NOT_A_NUMBER, -1, 99, 0.5),
    "array": (*NOT_A_NUMBER, np.ones((7, 7, 7))),
    "values": NOT_A_NUMBER,
    "values from 0": (*NOT_A_NUMBER, -1.0),
    "positive values": (*NOT_A_NUMBER, 0.0, -1.0),
    "positive array": (*NOT_A_NUMBER, np.ones((7, 7, 7)), 0.0, -1.0),
    "stiffness": (np.nan, None, "word", np.ones(7), 0.0, -1.0),
    "play": (*NOT_A_NUMBER, np.ones(7), -1.0),
    "fractions": (*NOT_A_NUMBER, (-0.1,), (1.1,)),
    "stations": (*NOT_A_NUMBER, (-0.1,), (99.0,)),
    "counts": (*NOT_A_NUMBER, (0.5,), (-99,)),
    "indices": (*NOT_A_NUMBER, (99,), (0.5,), (-99,)),
    "object": (None, 3.0, "word"),
    "objects": (None, 3.0, "word", ("word",), (None,), ("word",) * 4, ()),
    "some": (None, 3.0, "word", ("word",), (None,)),
    "name": (None, 3.0, "no such name"),
    "names": (None, 3.0, "word", ("word",), (None,) * 4),
    "labels": (None, 3.0, "word", (None,), ()),
    "text": (None, 3.0),
    "flag": (None, 3.0, "no"),
    "callable": (None, 3.0, "word"),
}
"""What each kind must refuse. A kind that ends in "?" may be left out, so that None is a valid value."""


def doors_of(*packages):
    """Names of all public functions, classes and their methods that a package offers and that take arguments."""
    found = {}
    for package in packages:
        for name in package.__all__:
            item = getattr(package, name)
            label = f"{package.__name__}.{name}"
            found[label] = item
            if inspect.isclass(item):
                for part in dir(item):
                    method = getattr(item, part)
                    own = getattr(method, "__module__", None) or ""
                    if part.startswith("_") or not callable(method) or not own.startswith("beam."):
                        continue
                    if set(inspect.signature(method).parameters) - {"self", "section"}:
                        found[f"{label}.{part}"] = method
    return found


def trials(register):
    """Every (door, argument, bad value) of a register as parameters of a test."""
    out = []
    for name, (_, arguments) in register.items():
        for argument, (_, kind) in arguments.items():
            for bad in BAD[kind.rstrip("?")]:
                if not (bad is None and kind.endswith("?")):
                    shown = f"shape {bad.shape}" if isinstance(bad, np.ndarray) else repr(bad)
                    out.append(pytest.param(name, argument, bad, id=f"{name}({argument}={shown})"))
    return out


def refuses(register, name, argument, bad):
    """Call a door with one bad argument: a ValueError that says what, got and limit, and names the argument."""
    door, arguments = register[name]
    given = {key: value for key, (value, _) in arguments.items()} | {argument: bad}
    with pytest.raises(ValueError, match=r"(?s): got .*, must be ") as stop:
        door(**given)
    assert argument.lower() in str(stop.value).lower(), stop.value
