"""Bad values for every argument, made from its declaration, and what counts as a clear refusal.

A register holds one good call of every public callable. What must be refused follows from the annotation and the
`Limits` of each argument, so that a test says nothing that the declaration does not.
"""

import inspect
import re
import types
from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import Annotated, Any, Literal, TypeVar, Union, get_args, get_origin

import astropy.units
import numpy as np
import pint
from numpy.typing import ArrayLike, NDArray

from materials.checks import (
    Array,
    Frozen,
    Items,
    Limits,
    Numbers,
    OptionalNumbers,
    Table,
    WholeNumbers,
    field_hints,
    reader,
)

CLEAR = re.compile(r"got .+, must be |^Orientation code: ", re.S)
"""What, got, limit: how the library refuses. What numpy or Python say by themselves does not look like it."""

PINT = pint.UnitRegistry()
ARRAYS = (Numbers, OptionalNumbers, WholeNumbers, ArrayLike, Array, NDArray[np.intp])


def declarations(function: Callable[..., Any]) -> dict[str, Any]:
    """Annotation of every argument of a function, or of every field of a class."""
    if inspect.isclass(function) and issubclass(function, Frozen):
        hints = field_hints(function)
        return {name: hints[name] for name in inspect.signature(function).parameters}
    return {
        name: p.annotation
        for name, p in inspect.signature(function).parameters.items()
        if name != "self" and p.kind is not p.VAR_KEYWORD
    }


def parts_of(hint: Any, limits: Limits = Limits()) -> tuple[Any, Limits, bool, bool]:  # noqa: B008
    """Bare type, limits, whether None will do, and whether limits were declared."""
    declared = optional = False
    while True:
        if get_origin(hint) is Annotated:
            found = [extra for extra in get_args(hint)[1:] if isinstance(extra, Limits)]
            if found:
                limits, declared = found[0], True
            hint = get_args(hint)[0]
        elif get_origin(hint) in (Union, types.UnionType) and type(None) in get_args(hint):
            optional = True
            rest = tuple(part for part in get_args(hint) if part is not type(None))
            hint = ArrayLike if set(rest) >= set(get_args(ArrayLike)) else Union[rest]  # noqa: UP007
        elif hint is OptionalNumbers:
            return Numbers, limits, True, declared
        else:
            return hint, limits, optional, declared


def bad_values(hint: Any, good: Any) -> dict[str, Any]:
    """What must be refused in place of a good value, by a short label."""
    kind, limits, optional, declared = parts_of(hint)
    bad: dict[str, Any] = {} if optional or kind is Any or isinstance(kind, TypeVar) else {"None": None}
    origin, args = get_origin(kind), get_args(kind)
    if kind in (float, int):
        bad |= {"nan": np.nan, "inf": np.inf, "a word": "heavy", "digits": "3", "Decimal": Decimal(3), "bool": True,
                "two": [good, good], "a mapping": {}}  # fmt: skip
        bad |= {"a fraction": 1.5} if kind is int else {}
        bad |= _outside(limits) | _wrong_unit(limits, declared)
    elif kind in ARRAYS:
        bad |= _bad_arrays(np.asarray(good if good is not None else 1.0, dtype=float), limits)
        bad |= _wrong_unit(limits, declared)
    elif kind is bool:
        bad |= {"a word": "no", "a number": 1.5}
    elif kind is str:
        bad |= {"a number": 3.0, "blank": " ", "a list": [good]}
    elif origin is Literal:
        bad |= {"nonsense": "nonsense", "a number": 3.0, "a list": [good]}
    elif origin is tuple and args and args[-1] is not Ellipsis:
        bad |= {"a number": 3.0, "text": "all", "too long": (*tuple(good or (1.0,)), 1.0)}
    elif origin in (tuple, list, Items) or (
        isinstance(origin, type) and issubclass(origin, types.GenericAlias)
    ):
        bad |= _bad_sequences(args, good, limits)
    elif isinstance(origin, type) and issubclass(origin, Mapping):
        bad |= {"a number": 3.0}
    elif origin is np.ndarray:
        bad |= {"a number": 3.0, "a mapping": {}, "objects": [object()]}
    elif isinstance(origin, type) and hasattr(origin, "__iter__"):
        bad |= _bad_sequences(args, good, limits)
    elif origin is Callable or "Callable" in str(origin):
        bad |= {"a word": "word", "a number": 3.0}
    elif isinstance(kind, type) and kind not in (object, Any):
        bad |= {"a word": "word", "a number": 3.0, "nan": np.nan, "a list": [good]}
        bad |= {} if good is None or kind in (dict, type, Table) else {"the class": type(good)}
    return bad


def _outside(limits: Limits) -> dict[str, Any]:
    """Numbers just outside the limits."""
    step = lambda x: 1e-9 * max(1.0, abs(x))  # noqa: E731
    rows = {"not above": limits.above, "not below": limits.below,
            "below the least": limits.at_least - step(limits.at_least),
            "above the most": limits.at_most + step(limits.at_most)}  # fmt: skip
    return {label: x for label, x in rows.items() if np.isfinite(x)}


def _wrong_unit(limits: Limits, declared: bool) -> dict[str, Any]:
    """Quantities of both libraries in a unit that cannot fit."""
    if not declared or limits.unit == "any":
        return {}
    return {
        "pint unit": 3.0 * PINT.mole / PINT.candela,
        "astropy unit": 3.0 * astropy.units.mol / astropy.units.cd,
    }


def _bad_arrays(good: Array, limits: Limits) -> dict[str, Any]:
    spoiled = np.array(good, dtype=float)
    spoiled.flat[-1:] = np.nan
    bad: dict[str, Any] = {
        "a word": "heavy",
        "words": ["light", "heavy"],
        "a mapping": {},
        "ragged": [[1.0, 2.0], [3.0]],
    }
    bad |= {
        "digits": good.astype(str),
        "Decimals": [Decimal(1)] * 3,
        "complex": good + 1j,
        "an empty field": [None, 1.0],
    }
    bad |= {"masked": np.ma.array(good, mask=True)} if good.size else {}
    if limits.finite and good.size:
        bad |= {"nan": spoiled, "inf": np.where(np.isnan(spoiled), np.inf, spoiled)}
    if good.size:
        for label, x in _outside(limits).items():
            bad[label] = np.array(good, dtype=float)
            bad[label].flat[-1] = x
    if limits.axes is not None:
        bad["too many axes"] = good[(None,) * (limits.axes + 1 - good.ndim)]
    if limits.whole and good.size:
        bad["fractions"] = good + 0.5
    want = limits.shape or limits.last
    if want and want[-1] > 0:
        bad |= {"cut short": good[..., :-1]} | ({} if limits.single == "any" else {"one number": 1.0})
    if limits.definite:
        bad |= {"negative": -good, "zero": 0.0 * good, "unsymmetric": good + np.triu(good + good.max(), 1)}
    return bad


def _bad_sequences(args: tuple[Any, ...], good: Any, limits: Limits) -> dict[str, Any]:
    bad: dict[str, Any] = {"a number": 3.0, "text": "all"}
    bad |= {"empty": ()} if limits.items else {}
    item = args[0] if args else Any
    rest = tuple(good)[1:] if isinstance(good, tuple | list) else ()
    first = next(iter(good), None) if isinstance(good, tuple | list) else None
    for label, one in bad_values(item, first).items():
        bad[f"item {label}"] = (one, *rest)
    return bad


def complaint(function: Callable[..., Any], call: Mapping[str, Any], says: str) -> str:
    """Why the answer of a bad call is not the refusal that it owes; empty if it is."""
    try:
        answer = _call(function, call)
    except (ValueError, TypeError) as error:
        if not CLEAR.search(str(error)):
            return f"bare {type(error).__name__}: {error}"
        return "" if re.search(says, str(error)) else f"does not say {says}: {error}"
    except Exception as error:
        return f"{type(error).__name__}: {error}"
    return f"answered {answer!r:.200}"


def _call(function: Callable[..., Any], call: Mapping[str, Any]) -> Any:
    """Call by keyword, but `self` and positional-only or variadic arguments by place."""
    given = dict(call)
    front = [given.pop("self")] if "self" in given else []
    parameters = inspect.signature(function).parameters
    if any(p.kind is p.VAR_POSITIONAL for p in parameters.values()):  # the register holds one item of it
        front += [
            given.pop(name)
            for name, p in parameters.items()
            if p.kind is not p.KEYWORD_ONLY and name in given
        ]
    return function(*front, **given)


def complaints(function: Callable[..., Any], call: Mapping[str, Any], skip: Mapping[str, str]) -> list[str]:
    """Every bad value of every argument that is not refused by the argument's name."""
    found = []
    for name, hint in declarations(function).items():
        if isinstance(hint, str) or name not in call:
            found.append(f"{name}: not in the register, or its annotation is a string")
            continue
        for label, bad in bad_values(hint, call[name]).items():
            if f"{name}: {label}" in skip:
                continue
            if why := complaint(function, {**call, name: bad}, rf"\b{name}\b"):
                found.append(f"{name}: {label}: {why}")
    return found


def unit_faults(function: Callable[..., Any], call: Mapping[str, Any]) -> list[str]:
    """Arguments with a unit that do not read a thousandfold unit of pint and of astropy as the same number."""
    found = []
    for name, hint in declarations(function).items():
        kind, limits, _, declared = parts_of(hint)
        good = call.get(name)
        if (
            not declared
            or kind not in (float, *ARRAYS)
            or limits.unit in ("any",)
            or "," in limits.unit
            or good is None
        ):
            continue
        words = (
            "" if limits.unit == "-" else re.sub(r"(?<=[A-Za-z])(\d)", r"**\1", limits.unit).replace(" ", "*")
        )
        for library, unit in (("pint", PINT.parse_units(words)), ("astropy", astropy.units.Unit(words))):
            given = np.asarray(good, dtype=float) / 1000 * (1000 * unit)
            read = reader(hint)(f"{name} [{limits.unit}]", given)
            if not np.allclose(read, good, rtol=1e-12, atol=0.0, equal_nan=True):
                found.append(f"{name}: {library} {given!r} read as {read!r}")
    return found
