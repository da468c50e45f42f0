"""What a tired engineer may put in place of an argument, and what must come back: a refusal that names it.

A registry holds one good call of every public callable, argument by argument. Each argument says what it is,
and so what cannot be put in its place.
"""

import inspect
import re
import warnings
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from types import ModuleType
from typing import Any

import numpy as np
from numpy.testing import assert_allclose

from laminate import Response

HOUSE = re.compile(r"got .+, must be |^Orientation code: ", re.S)
"""What, got, limit: how the library refuses. What numpy or Python say by themselves does not look like it."""

RAGGED = [[1.0, 2.0], [3.0]]


@dataclass(frozen=True, kw_only=True)
class Argument:
    """A value that works, values that do not, and whether axes may be put in front of the one that works."""

    good: Any
    bad: Mapping[str, Any] = field(default_factory=dict)
    leading: bool = False
    inf: bool = False


Registry = Mapping[Callable[..., Any], Mapping[str, Argument]]


def number(good, sign="any", *, slips=(), optional=False, most=None):
    """One number: `sign` "positive" refuses zero and below, "not negative" below zero; `slips` are of units."""
    bad = {"nan": np.nan, "inf": np.inf, "minus inf": -np.inf, "a word": "heavy", "two": [good, good],
           "an array": np.array([good]), "a mapping": {}}  # fmt: skip
    return Argument(good=good, bad=bad | _limits(good, sign, slips, optional) | _most(most))


def values(
    good,
    last=0,
    sign="any",
    *,
    slips=(),
    optional=False,
    leading=True,
    inf=False,
    most=None,
    cut=True,
    one=False,
):
    """An array whose last axes, `last` of them, are of fixed length unless `cut` is False.

    `inf` says that infinity has an answer, `one` that one number stands for all of the last axis.
    """
    array = np.asarray(good)
    spoiled = np.array(array, dtype=float)
    spoiled.flat[-1] = np.nan
    bad = {"nan": spoiled, "a word": "heavy", "words": ["light", "heavy"], "ragged": RAGGED, "a mapping": {}}
    bad |= {"complex": array + 1j, "masked": np.ma.array(array, mask=True)}
    if not inf:
        bad |= {"inf": np.where(np.isnan(spoiled), np.inf, spoiled)}
    if last:
        bad |= {"empty": []} | ({} if one else {"one number": 1.0, "axes missing": array[0]})
        bad |= {"cut short": array[..., :-1]} if cut else {}
    limits = _limits(array, sign, slips, optional)
    return Argument(good=good, bad=bad | limits | _most(most), leading=leading, inf=inf)


def stiffness(good, *, leading=True):
    """A matrix that must be symmetric and positive definite."""
    matrix = np.asarray(good)
    skew, indefinite = np.array(matrix), np.array(matrix)
    skew[..., 0, 1] += 0.1 * matrix[..., 0, 0]
    indefinite[..., 0, 1] = indefinite[..., 1, 0] = 1.01 * np.sqrt(matrix[..., 0, 0] * matrix[..., 1, 1])
    bad = {"unsymmetric": skew, "indefinite": indefinite, "zero": 0.0 * matrix, "negative": -matrix}
    return Argument(good=good, bad=values(good, 2).bad | bad, leading=leading)


def count(good, least, *, optional=False, most=None):
    """A whole number."""
    bad = {"a fraction": good + 0.5, "nan": np.nan, "inf": np.inf, "a word": "many", "below": least - 1,
           "two": [good, good], "negative": -good}  # fmt: skip
    return Argument(good=good, bad=bad | ({} if optional else {"none": None}) | _most(most))


def items(good, spoiled=(), *, optional=False, empty=False):
    """A sequence; `spoiled` are items that may not be in it."""
    bad = (
        {"a number": 3.0, "text": "all", "digits": "09"}
        | ({} if optional else {"none": None})
        | ({} if empty else {"empty": ()})
    )
    bad |= {f"with {item!r}": (item, *tuple(good)[1:]) for item in spoiled}
    return Argument(good=good, bad=bad)


def word(good, *, optional=False):
    """One of some words."""
    bad = {"nonsense": "nonsense", "a number": 3.0, "in a list": [good], "empty": ""}
    return Argument(good=good, bad=bad | ({} if optional else {"none": None}))


def text(good, *, empty=False):
    """Any text."""
    bad = {"none": None, "a number": 3.0, "in a list": [good]}
    return Argument(good=good, bad=bad | ({} if empty else {"empty": "", "blank": " "}))


def thing(good, *, optional=False):
    """An object of the library."""
    bad = {"a word": "T300", "a number": 3.0, "in a list": [good], "nan": np.nan}
    return Argument(good=good, bad=bad | ({} if optional else {"none": None}))


def flag(good):
    """True or False."""
    return Argument(good=good, bad={"no": "no", "none": None, "a number": 1.5, "in a list": [good]})


def fixed(good):
    """What is not put to the test: the object of a method."""
    return Argument(good=good)


def _limits(good, sign, slips, optional):
    bad = {f"slip {np.shape(slip)} {np.ravel(slip)[:4]}": slip for slip in slips} | (
        {} if optional else {"none": None}
    )
    if sign == "positive":
        bad |= {"zero": 0.0 * good}
    if sign != "any":
        bad |= {"negative": -abs(good) - (good == 0.0)}
    return bad


def _most(most):
    return {} if most is None else {"too large": most}


def complaint(function, call, says):
    """Why the answer of a bad call is not the refusal that it owes; empty if it is."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            answer = function(**call)
    except (ValueError, TypeError) as error:
        if not HOUSE.search(str(error)):
            return f"bare {type(error).__name__}: {error}"
        return "" if re.search(says, str(error)) else f"does not say {says}: {error}"
    except Exception as error:
        return f"{type(error).__name__}: {error}"
    return f"answered {answer!r}"


def good_call(arguments):
    return {name: argument.good for name, argument in arguments.items()}


def refuses(function, arguments, name):
    """Assert that all that cannot stand for an argument is refused by its name."""
    call = good_call(arguments)
    found = {
        key: complaint(function, call | {name: value}, rf"\b{name}\b")
        for key, value in arguments[name].bad.items()
    }
    assert not any(found.values()), "\n".join(f"{key}: {why}" for key, why in found.items() if why)


def refuses_shapes(function, arguments):
    """Assert that each two arrays whose leading axes do not fit together are refused."""
    call = good_call(arguments)
    arrays = [name for name, argument in arguments.items() if argument.leading]
    found = {}
    for one, other in zip(arrays, arrays[1:] + arrays[:1], strict=True):
        if one != other:
            two, three = np.stack([call[one]] * 2), np.stack([call[other]] * 3)
            found[one, other] = complaint(function, call | {one: two, other: three}, "broadcastable|shape")
    assert not any(found.values()), "\n".join(f"{key}: {why}" for key, why in found.items() if why)


def answers(function, arguments):
    """Assert that the good call has an answer without NaN, and so has infinity where it is declared."""
    call = good_call(arguments)
    for bad in [{}] + [{name: np.inf} for name, argument in arguments.items() if argument.inf]:
        result = function(**call | bad)
        for part in result if isinstance(result, tuple) else (result,):
            assert np.asarray(part).dtype.kind != "f" or not np.isnan(part).any(), bad


def equals_loop(function, arguments):
    """Assert that two cases along a new axis in front, all arrays different in them, are answered as one by one."""
    call = good_call(arguments)
    arrays = [name for name, argument in arguments.items() if argument.leading]
    first = {name: np.asarray(call[name]) for name in arrays}
    # Whole numbers stay whole, and a share below 1 stays below.
    second = {
        name: value + 1 if value.dtype.kind == "i" else value * (1 - 0.01 * (place + 1))
        for place, (name, value) in enumerate(first.items())
    }
    together = _parts(function(**call | {name: np.stack([first[name], second[name]]) for name in arrays}))
    for case, given in enumerate((first, second)):
        for whole, alone in zip(together, _parts(function(**call | given)), strict=True):
            assert_allclose(whole[case], alone, rtol=1e-9, atol=1e-9 * np.abs(alone).max(initial=0.0))


def _parts(result):
    if isinstance(result, Response):
        result = result.load_stress, result.residual_strain, result.deformation
    return [np.asarray(part) for part in (result if isinstance(result, tuple) else (result,))]


def names_every_parameter(function, arguments):
    assert set(arguments) == set(inspect.signature(function).parameters)


def public(*modules: ModuleType):
    """Every public callable of some modules, and the public methods of their classes.

    A package stands for the names it offers, a module for what is written in it.
    """
    for module in modules:
        offered = getattr(module, "__all__", None)
        inside = [
            name for name, item in vars(module).items() if getattr(item, "__module__", "") == module.__name__
        ]
        for name in offered or [name for name in inside if not name.startswith("_")]:
            item = getattr(module, name)
            if not callable(item) or not hasattr(item, "__qualname__"):
                continue
            yield item
            if inspect.isclass(item) and item.__module__.split(".")[0] == module.__name__.split(".")[0]:
                for method, value in vars(item).items():
                    if not method.startswith("_") and (
                        inspect.isfunction(value) or isinstance(value, classmethod)
                    ):
                        yield getattr(item, method)


def escaped(registry, excluded, *modules):
    """Public callables that are neither in the registry nor excluded, and names there that are not public."""
    held = {_full_name(f) for f in registry}
    offered = {_full_name(f): f.__qualname__ for f in public(*modules)}
    missing = {full for full, name in offered.items() if full not in held and name not in excluded}
    return missing | (held - set(offered)) | (set(excluded) - set(offered.values()))


def _full_name(function):
    return f"{function.__module__}.{function.__qualname__}"
