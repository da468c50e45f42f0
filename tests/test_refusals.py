"""Every public callable refuses what its declarations exclude, and reads quantities with units.

Each `calls_*.py` of the helpers holds `CALLS`, one good call of every public callable of its packages, `PACKAGES`,
and `EXCLUDED`, the names that take no argument or cannot be called here, each with its reason.
"""

import copy
import dataclasses
import importlib
import inspect
import pickle
from pathlib import Path

import numpy as np
import pytest
from refusals import complaints, unit_faults

from materials.checks import Frozen

HELPERS = Path(__file__).parent / "helpers"
REGISTERS = [importlib.import_module(path.stem) for path in sorted(HELPERS.glob("calls_*.py"))]
CALLS = [(f, call, module) for module in REGISTERS for f, call in module.CALLS.items()]
IDS = [f"{f.__module__}.{f.__qualname__}" for f, _, _ in CALLS]
SKIP = {key: reason for module in REGISTERS for key, reason in getattr(module, "SKIP", {}).items()}


def offered(package):
    """Public functions and classes of a package and their public methods, by full name."""
    for name in package.__all__:
        item = getattr(package, name)
        if not callable(item) or not hasattr(item, "__qualname__"):
            continue
        yield item
        if inspect.isclass(item):
            for part, raw in vars(item).items():
                if not part.startswith("_") and (
                    inspect.isfunction(raw) or isinstance(raw, classmethod | staticmethod)
                ):
                    yield getattr(item, part)


@pytest.mark.parametrize("register", REGISTERS, ids=lambda m: m.__name__)
def test_every_public_callable_is_registered(register):
    have = {f"{f.__module__}.{f.__qualname__}" for f, _, _ in CALLS}
    want = {f"{f.__module__}.{f.__qualname__}": f for package in register.PACKAGES for f in offered(package)}
    missing = {
        name
        for name, f in want.items()
        if name not in have
        and f.__qualname__ not in register.EXCLUDED
        and set(inspect.signature(f).parameters) - {"self"}
    }
    assert not missing


@pytest.mark.parametrize(("function", "call", "register"), CALLS, ids=IDS)
def test_bad_arguments_are_refused_by_name(function, call, register):
    skip = {
        key.partition(" ")[2]: why
        for key, why in SKIP.items()
        if key.partition(" ")[0] == function.__qualname__
    }
    assert not complaints(function, call, skip)


@pytest.mark.parametrize(("function", "call", "register"), CALLS, ids=IDS)
def test_quantities_are_read_in_the_declared_unit(function, call, register):
    assert not unit_faults(function, call)


FROZEN = [(f, call) for f, call, _ in CALLS if inspect.isclass(f) and issubclass(f, Frozen)]


@pytest.mark.parametrize(("cls", "call"), FROZEN, ids=lambda x: getattr(x, "__qualname__", ""))
def test_copies_are_rebuilt_by_the_constructor(cls, call):
    """Pickle, copy, deepcopy and replace keep the fields, stay frozen and carry no cached value along."""
    one = cls(**call)
    names = [f.name for f in dataclasses.fields(one) if f.init]
    for other in (
        pickle.loads(pickle.dumps(one)),
        copy.copy(one),
        copy.deepcopy(one),
        dataclasses.replace(one),
    ):
        assert type(other) is cls
        assert set(vars(other)) <= {f.name for f in dataclasses.fields(one)}
        for name in names:
            value = getattr(other, name)
            assert repr(value) == repr(getattr(one, name))
            assert not (isinstance(value, np.ndarray) and value.flags.writeable)
        with pytest.raises(dataclasses.FrozenInstanceError):
            setattr(other, names[0], None)


@pytest.mark.parametrize(("cls", "call"), FROZEN, ids=lambda x: getattr(x, "__qualname__", ""))
def test_repr_is_short(cls, call):
    assert len(repr(cls(**call))) < 500
