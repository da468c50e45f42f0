"""Every input check of the library: a limit is declared once, at the field or argument, and read here.

    class Wheel(Frozen):
        mass: Annotated[float, Limits("kg", above=0.0, at_most=500.0, cause="given in pounds?")]
        axle: Annotated[Numbers, Limits("m", shape=(3,))]

    @checked
    def drop_height(wing_loading: Annotated[float, Limits("Pa", above=0.0)]) -> float: ...

A refusal is a ValueError that says what, got, limit and likely cause. A quantity that carries a unit (an object
with ``.to(unit)``, as of pint or astropy) is converted to the unit declared, or refused. Text, Decimal and bool are
never numbers.
"""

import re
import sys
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from functools import cache, wraps
from html import escape
from inspect import Parameter, signature
from numbers import Real
from types import MethodType, UnionType
from typing import (
    TYPE_CHECKING,
    Annotated,
    Any,
    ClassVar,
    Generic,
    Literal,
    NoReturn,
    ParamSpec,
    TypeVar,
    Union,
    dataclass_transform,
    get_args,
    get_origin,
    is_typeddict,
)

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]
P = ParamSpec("P")
R = TypeVar("R")
T = TypeVar("T")
Reader = Callable[[str, Any], Any]


# --- what a declaration says ----------------------------------------------------------------------------


@dataclass(frozen=True)
class Limits:
    """Unit, limits and shape of one field or argument: ``Annotated[float, Limits("kg", above=0.0)]``."""

    unit: str = "-"  # as in "N s2/m2"; "-" for none, "any" where the caller chooses
    above: float = -np.inf  # open limits of every number
    below: float = np.inf
    at_least: float = -np.inf  # closed limits of every number
    at_most: float = np.inf
    cause: str = ""  # likely cause of a value outside the limits
    shape: tuple[int, ...] | None = None  # whole shape of an array; -1 is any length
    last: tuple[int, ...] = ()  # trailing shape of an array
    axes: int | None = None  # most axes of an array
    finite: bool = True  # refuse NaN and infinity
    whole: bool = False  # refuse fractions; an array arrives as one of whole numbers
    items: int = 1  # fewest items of a sequence; 0 also lets a text be blank
    copy: bool = True  # False reads a large array in place, for a function that does not keep it
    definite: bool = False  # the last two axes are a symmetric, positive definite matrix
    single: Literal["", "zero", "any"] = (
        ""  # the number 0, or any number, may stand for the whole trailing shape
    )

    def __repr__(self) -> str:
        """What differs from no limit at all, so that a signature stays short."""
        given = [f for f in fields(self) if getattr(self, f.name) != f.default]
        return f"Limits({', '.join(f'{f.name}={getattr(self, f.name)!r}' for f in given)})"

    def hold(self, what: str, values: Array) -> None:
        """Refuse the first number outside the limits; NaN is outside any."""
        for extreme, within, sign, limit in (
            (np.min, np.greater, ">", self.above),
            (np.min, np.greater_equal, ">=", self.at_least),
            (np.max, np.less, "<", self.below),
            (np.max, np.less_equal, "<=", self.at_most),
        ):
            if np.isfinite(limit) and values.size and not within(extreme(values), limit):
                outside = values[~within(values, limit)]
                reject(what, f"{outside.flat[0]:g}", f"{sign} {limit:g}", self.cause)
        if self.definite:
            _refuse_indefinite(what, values)


ASYMMETRY = 1e-8
"""Difference of the two halves of a symmetric matrix of unit diagonal that rounding may leave."""


def _refuse_indefinite(what: str, matrix: Array) -> None:
    """Refuse matrices (..., n, n) that are not symmetric and positive definite, scaled to a unit diagonal."""
    diagonal = np.diagonal(matrix, axis1=-2, axis2=-1)
    if not (diagonal > 0).all():
        reject(what, f"diagonal down to {diagonal.min():g}", "> 0 on the diagonal, so positive definite")
    d = np.sqrt(diagonal)
    unit = matrix / (d[..., :, None] * d[..., None, :])
    if (abs(unit - unit.swapaxes(-1, -2)) > ASYMMETRY).any():
        reject(what, "an unsymmetric matrix", "symmetric")
    try:
        np.linalg.cholesky(unit)
    except np.linalg.LinAlgError:
        reject(what, "a matrix that is not positive definite", "positive definite")


NONE = Limits()


class Numbers:
    """Type of an array field: takes array_like, holds a read-only float array."""

    def __get__(self, instance: object, owner: object) -> Array: ...  # type: ignore[empty-body]
    def __set__(self, instance: object, value: ArrayLike) -> None: ...


class OptionalNumbers:
    """Type of an array field that may be None."""

    def __get__(self, instance: object, owner: object) -> Array | None: ...
    def __set__(self, instance: object, value: ArrayLike | None) -> None: ...


class WholeNumbers:
    """Type of an array field of whole numbers."""

    def __get__(self, instance: object, owner: object) -> NDArray[np.intp]: ...  # type: ignore[empty-body]
    def __set__(self, instance: object, value: ArrayLike) -> None: ...


if TYPE_CHECKING:
    from pandas import DataFrame as Table
else:

    class Table:
        """Type of an argument that is a pandas DataFrame; pandas is not imported to check it."""


class Items(Generic[T]):
    """Type of a field that takes any iterable and holds a tuple."""

    def __get__(self, instance: object, owner: object) -> tuple[T, ...]: ...  # type: ignore[empty-body]
    def __set__(self, instance: object, value: Iterable[T]) -> None: ...


def default(value: Any) -> Any:
    """Default of a field typed `Numbers`, `OptionalNumbers` or `Items`."""
    return value


# --- the two readers of declarations: a class of frozen fields, a function ------------------------------


@dataclass_transform(frozen_default=True, kw_only_default=True)
class Frozen:
    """Base of every object of the library: a frozen dataclass that reads its fields by their declared limits.

    A subclass declares fields as a dataclass does. Cross-field rules stand in its `__post_init__`, after
    ``super().__post_init__()``. Copies, pickles and `dataclasses.replace` go through the constructor, so that no
    object exists unchecked and no cached value outlives a change.

    Class arguments: ``eq=True`` for objects equal and hashed by value, ``kw_only=False`` for positional fields.

    Examples
    --------
    >>> class Wheel(Frozen):
    ...     mass: Annotated[float, Limits("kg", above=0.0, cause="given in pounds?")]
    >>> Wheel(mass=9)
    Wheel(mass=9.0)
    >>> Wheel(mass="9")
    Traceback (most recent call last):
    ValueError: Wheel: mass [kg]: got '9', must be a number; given in pounds?
    """

    __dataclass_fields__: ClassVar[dict[str, Any]]

    def __init_subclass__(cls, *, eq: bool = False, kw_only: bool = True) -> None:
        super().__init_subclass__()
        dataclass(frozen=True, kw_only=kw_only, eq=eq, repr=False)(cls)
        if eq and "__hash__" in vars(cls):
            cls.__hash__ = _hashed_once(cls.__hash__)  # type: ignore[assignment]

    def __post_init__(self) -> None:
        owner, kind = self._owner(), self._kind()
        for name, (read, label, given) in _field_readers(kind).items():
            value = getattr(self, name)
            if not (value is None and given is None):
                object.__setattr__(self, name, read(f"{owner}: {label}", value))

    def _kind(self) -> Any:
        return type(self)

    def _owner(self) -> str:
        name = getattr(self, "name", None)
        return type(self).__name__ + (f" '{name}'" if isinstance(name, str) and name.strip() else "")

    def __reduce__(self) -> tuple[Any, ...]:
        return _rebuild, (type(self), {f.name: getattr(self, f.name) for f in fields(self) if f.init})

    def __repr__(self) -> str:
        parts = [f"{f.name}={_short(getattr(self, f.name))}" for f in fields(self) if f.repr]
        while len(text := f"{type(self).__name__}({', '.join(parts)})") > 400:
            parts = [*parts[: max(1, len(parts) // 2)], "..."] if len(parts) > 2 else [parts[0][:300] + "..."]
        return text

    def _repr_html_(self) -> str:
        rows = ""
        for name, (_, label, _) in _field_readers(self._kind()).items():
            cells = _short(getattr(self, name)), label.partition(" [")[2].rstrip("]")
            rows += f"<tr><th>{name}</th>" + "".join(f"<td>{escape(cell)}</td>" for cell in cells) + "</tr>"
        return f"<table><caption>{escape(self._owner())}</caption>{rows}</table>"


def _hashed_once(of_values: Callable[[Any], int]) -> Callable[[Any], int]:
    """Hash of an object by its values, found at the first call: they never change."""

    def hashed(self: Any) -> int:
        try:
            found: int = self.__dict__["_hash"]
        except KeyError:
            found = of_values(self)
            object.__setattr__(self, "_hash", found)
        return found

    return hashed


def _rebuild(cls: type[T], given: dict[str, Any]) -> T:
    return cls(**given)


def _short(value: object) -> str:
    """One value in a repr: long arrays and sequences by their size, objects inside by their name."""
    if isinstance(value, np.ndarray):
        return (
            np.array2string(value, precision=6, separator=", ", max_line_width=10_000)
            if value.size < 7
            else (f"<array {'x'.join(map(str, value.shape))}>")
        )
    if isinstance(value, Frozen):
        name = getattr(value, "name", None)
        return f"{type(value).__name__}({repr(name) if isinstance(name, str) else '...'})"
    if isinstance(value, tuple | list | dict) and len(value) > 3:
        return f"<{len(value)} items>"
    if isinstance(value, tuple | list):
        inner = ", ".join(map(_short, value))
        return f"({inner},)" if len(value) == 1 else f"({inner})"
    return f"{value!r:.60}"


@cache
def _field_readers(cls: Any) -> dict[str, tuple[Reader, str, Any]]:
    """Reader, label and default of every field of a class."""
    hints = field_hints(cls)
    return {f.name: (*_reader_of(f.name, hints[f.name]), f.default) for f in fields(cls)}


def field_hints(cls: type) -> dict[str, Any]:
    """Annotation of every field of a class; text that names nothing loaded, as "pd.DataFrame", reads as Any."""
    out: dict[str, Any] = {}
    for base in reversed(cls.__mro__):
        space = vars(sys.modules[base.__module__])
        for name, hint in vars(base).get("__annotations__", {}).items():
            try:
                out[name] = eval(hint, space) if isinstance(hint, str) else hint
            except NameError:
                out[name] = Any
    return out


def checked(function: Callable[P, R]) -> Callable[P, R]:
    """Read the arguments of a function by their declared limits before it is called.

    Arrays arrive in the function as read-only float arrays, sequences as tuples, quantities as plain numbers in the
    declared unit. An argument whose annotation is a string is passed on as it is.

    Examples
    --------
    >>> @checked
    ... def weight(mass: Annotated[float, Limits("kg", above=0.0)]) -> float:
    ...     return 9.80665 * mass
    >>> weight(-1)
    Traceback (most recent call last):
    ValueError: weight: mass [kg]: got -1, must be > 0
    """
    return _checked(function, together=False)


def checked_together(function: Callable[P, R]) -> Callable[P, R]:
    """Read the arguments as `checked` does, and refuse arrays whose leading axes do not broadcast with each other.

    The leading axes are those in front of the declared `last`; an array of a declared `shape` has none.
    """
    return _checked(function, together=True)


def _checked(function: Callable[P, R], together: bool) -> Callable[P, R]:
    about = signature(function)
    owner = function.__qualname__
    named = {
        name: p for name, p in about.parameters.items() if p.kind in (p.POSITIONAL_OR_KEYWORD, p.KEYWORD_ONLY)
    }
    in_order = [name for name, p in named.items() if p.kind is p.POSITIONAL_OR_KEYWORD]
    needed = {name for name, p in named.items() if p.default is p.empty}
    plain = len(named) == len(about.parameters)

    @cache
    def readers() -> dict[str, tuple[Reader, str, Any]]:
        return {
            name: (*_reader_of(name, _hint_of(p)), p.default)
            for name, p in about.parameters.items()
            if p.annotation is not Parameter.empty and not isinstance(p.annotation, str)
        }

    @wraps(function)
    def call(*args: P.args, **kwargs: P.kwargs) -> R:
        given: dict[str, Any] = dict(zip(in_order, args, strict=False)) | kwargs
        count = len(args) + len(kwargs)
        quick = plain and len(given) == count and needed <= given.keys() <= named.keys()
        bound = about.bind(*args, **kwargs) if not quick else None  # slow; says what is wrong
        given = given if bound is None else bound.arguments
        for name, (read, label, usual) in readers().items():
            if name in given and not (given[name] is None and usual is None):
                given[name] = read(f"{owner}: {label}", given[name])
        if together:
            arrays = {name: given[name] for name in trailing() if given.get(name) is not None}
            ahead = {name: one.shape[: one.ndim - trailing()[name]] for name, one in arrays.items()}
            common_shape(f"{owner}: {', '.join(ahead)}, leading", *ahead.values())
        return function(**given) if bound is None else function(*bound.args, **bound.kwargs)  # type: ignore[call-arg]

    @cache
    def trailing() -> dict[str, int]:
        """Number of declared trailing axes of every array argument that has leading axes."""
        arrays = {
            name: _limits_of(p.annotation) for name, p in about.parameters.items() if _is_array(p.annotation)
        }
        return {name: len(limits.last) for name, limits in arrays.items() if limits.shape is None}

    call.together = together  # type: ignore[attr-defined]
    return call


def _is_array(hint: Any) -> bool:
    """Whether an annotation takes arrays."""
    bare = get_args(hint)[0] if get_origin(hint) is Annotated else hint
    return bare == Array or set(get_args(bare)) >= set(get_args(ArrayLike))


def unchecked(function: Callable[P, R]) -> Callable[P, R]:
    """Return the function or bound method behind `checked`, for a loop whose numbers were read before."""
    inner: Callable[P, R] | None = getattr(function, "__wrapped__", None)
    owner = getattr(function, "__self__", None)
    if inner is None:
        return function
    return inner if owner is None else MethodType(inner, owner)


def _hint_of(parameter: Parameter) -> Any:
    """Annotation of an argument; of ``*args``, that of their tuple."""
    hint = parameter.annotation
    if parameter.kind is Parameter.VAR_POSITIONAL:
        return Annotated[tuple[hint, ...], Limits(items=0)]  # type: ignore[valid-type]
    return hint


def _reader_of(name: str, hint: Any) -> tuple[Reader, str]:
    limits = _limits_of(hint)
    return reader(hint), f"{name} [{limits.unit}]" if limits is not NONE and _has_numbers(hint) else name


def _has_numbers(hint: Any) -> bool:
    """Whether an annotation holds numbers or arrays, at any depth."""
    return hint in NUMERIC or any(map(_has_numbers, get_args(hint)))


def _limits_of(hint: Any) -> Limits:
    """`Limits` nearest to the numbers in an annotation, at any depth."""
    for part in get_args(hint):
        if (found := _limits_of(part)) is not NONE:
            return found
    return next((extra for extra in getattr(hint, "__metadata__", ()) if isinstance(extra, Limits)), NONE)


def reader(hint: Any, limits: Limits = NONE) -> Reader:
    """Return the function ``(what, value) -> value`` that reads a value of an annotated type."""
    origin, args = get_origin(hint), get_args(hint)
    if origin is Annotated:
        return reader(args[0], next((extra for extra in args[1:] if isinstance(extra, Limits)), limits))
    if hint is Any or isinstance(hint, TypeVar) or hint is object:
        return lambda what, value: value
    if hint in (Numbers, OptionalNumbers) or hint is ArrayLike or hint == Array:
        return lambda what, value: _limited_array(what, value, limits)
    if hint is WholeNumbers or hint == NDArray[np.intp]:
        return lambda what, value: _limited_array(what, value, limits, whole=True)
    if hint is Table:
        return _table_reader
    if origin is np.ndarray:
        scalar = get_args(args[1])[0]
        return lambda what, value: _typed_array(what, value, scalar)
    if origin in (Union, UnionType):
        return _union_reader(args, limits)
    if origin is Literal:
        return lambda what, value: one_of(what, value, args, limits.cause)
    if origin in (tuple, list, Items) or (
        isinstance(origin, type) and issubclass(origin, Collection | Iterable)
    ):
        return _sequence_reader(origin, args, limits)
    if origin is Callable or hint is Callable:
        return _call_reader
    if hint in SCALARS:
        return lambda what, value: SCALARS[hint](what, value, limits)
    kind = origin or hint
    if kind is type or is_typeddict(kind):
        kind = dict if is_typeddict(kind) else type
    return lambda what, value: instance(what, value, kind, limits.cause)


def _union_reader(args: tuple[Any, ...], limits: Limits) -> Reader:
    """Reader of a union: of arrays and numbers, of one type or None, or of several classes."""
    some = [part for part in args if part is not type(None)]
    optional = len(some) < len(args)
    flat = set(get_args(ArrayLike))
    if set(some) >= flat:  # a union flattens ArrayLike | None
        numbers: Reader = lambda what, value: _limited_array(what, value, limits)  # noqa: E731
        inner = _first_that_reads([*(reader(part, limits) for part in some if part not in flat), numbers])
    elif len(some) == 1:
        inner = reader(some[0], limits)
    elif all(isinstance(part, type) and part not in (float, int, bool) for part in some):
        kinds = tuple(some)
        inner = lambda what, value: instance(what, value, kinds)  # noqa: E731
    else:
        inner = _first_that_reads([reader(part, limits) for part in some])
    return (lambda what, value: None if value is None else inner(what, value)) if optional else inner


def _first_that_reads(readers: list[Reader]) -> Reader:
    def read(what: str, value: Any) -> Any:
        for one in readers[:-1]:
            try:
                return one(what, value)
            except ValueError:
                continue
        return readers[-1](what, value)

    return read


def _sequence_reader(origin: Any, args: tuple[Any, ...], limits: Limits) -> Reader:
    if isinstance(origin, type) and issubclass(origin, Mapping):
        return lambda what, value: instance(what, value, Mapping)
    if origin is tuple and args and args[-1] is not Ellipsis:  # a pair, a triple
        each = [reader(arg, limits) for arg in args]

        def read_fixed(what: str, value: Any) -> Any:
            items = sequence(what, value, empty=not each)
            if len(items) != len(each):
                reject(what, f"{len(items)} items", f"{len(each)} items")
            return tuple(
                one(f"{what}[{i}]", item) for i, (one, item) in enumerate(zip(each, items, strict=True))
            )

        return read_fixed
    # An empty sequence may be allowed without allowing blank text in it.
    item = reader(args[0], replace(limits, items=1)) if args else (lambda what, value: value)

    def read(what: str, value: Any) -> Any:
        items = sequence(what, value, empty=True)
        if len(items) < limits.items:
            reject(what, len(items) or "none", f"at least {limits.items}")
        return tuple(item(f"{what}[{i}]", one) for i, one in enumerate(items))

    return read


def _table_reader(what: str, value: Any) -> Any:
    if "DataFrame" not in {kind.__name__ for kind in type(value).__mro__}:
        reject(what, f"{value!r:.80}", "a pandas DataFrame")
    return value


def _call_reader(what: str, value: Any) -> Any:
    if not callable(value):
        reject(what, f"{value!r:.80}", "a function")
    return value


def _limited_array(what: str, value: Any, limits: Limits, whole: bool = False) -> Any:
    alone = bool(limits.single) and not isinstance(value, list | tuple) and np.ndim(value) == 0
    last, whole = () if alone else limits.last, whole or limits.whole
    out = array(what, value, last=last, finite=limits.finite, copy=limits.copy, keep_whole=whole)
    if alone:
        if limits.single == "zero" and out != 0:
            reject(what, f"{out:g}", f"0 or of shape (..., {', '.join(map(str, limits.last))})")
        out = np.full([max(size, 1) for size in limits.last], out)
        out.setflags(write=False)
    want = limits.shape
    if want is not None and (
        out.ndim != len(want) or any(w not in (-1, h) for w, h in zip(want, out.shape, strict=True))
    ):
        reject(what, f"shape {out.shape}", f"of shape ({', '.join('n' if w < 0 else str(w) for w in want)})")
    if limits.axes is not None and out.ndim > limits.axes:
        reject(what, f"shape {out.shape}", f"an array of at most {limits.axes} axes")
    limits.hold(what, out)
    if whole and out.dtype.kind == "f":
        if (out != np.rint(out)).any():
            reject(what, f"{out[out != np.rint(out)].flat[0]:g}", "whole numbers", limits.cause)
        out = out.astype(np.intp)
        out.setflags(write=False)
    return out


def _typed_array(what: str, value: Any, scalar: type[np.generic]) -> Any:
    """Copy to a read-only array of text, of flags or of any other kind of item."""
    out = np.array(value)
    if out.ndim == 0 or not issubclass(out.dtype.type, scalar):
        reject(what, f"{value!r:.80}", f"an array of {scalar.__name__.rstrip('_')}")
    out.setflags(write=False)
    return out


# --- single checks, for the readers above and for cross-field rules -------------------------------------


def reject(what: str, got: object, limit: str, cause: str = "") -> NoReturn:
    """Raise the ValueError of the library: what, got, limit, likely cause."""
    raise ValueError(f"{what}: got {got}, must be {limit}" + (f"; {cause}" if cause else ""))


def plain(what: str, value: Any) -> Any:
    """Convert a value that carries a unit to plain numbers in the unit that `what` ends with, as in ``[kg/m3]``.

    Lists of quantities are converted item by item. A value without a unit is returned as it is.
    """
    if isinstance(value, list | tuple):
        return [plain(what, one) for one in value] if _holds_unit(value) else value
    if isinstance(value, np.ndarray) and value.dtype == object:
        return plain(what, value.tolist()) if _holds_unit(value.ravel().tolist()) else value
    if not _carries_unit(value):
        return value
    unit = re.search(r"\[([^\[\]]*)\](\[\d+\])*$", what)
    if unit is None or "," in unit[1] or unit[1] == "any":
        reject(what, f"{value!r:.80}", "plain numbers", "numbers with a unit are not taken here")
    text = unit[1]
    words = re.sub(r"(?<=[A-Za-z])\^?(-?\d)", r"**\1", text).replace(" ", "*") if text != "-" else ""
    try:
        if text == "K" and "change" in what:
            value + value  # a temperature such as degC cannot be added; a difference can
        out = value.to(words)
    except Exception as error:
        reject(what, f"{value!r:.80}", f"convertible to [{text}]", str(error).splitlines()[0])
    return out.magnitude if hasattr(out, "magnitude") else out.value


def _carries_unit(value: Any) -> bool:
    return hasattr(value, "to") and (hasattr(value, "units") or hasattr(value, "unit"))


def _holds_unit(values: Sequence[Any]) -> bool:
    return any(_holds_unit(v) if isinstance(v, list | tuple) else _carries_unit(v) for v in values)


def array(
    what: str,
    value: ArrayLike,
    *,
    last: tuple[int, ...] = (),
    finite: bool = True,
    copy: bool = True,
    keep_whole: bool = False,
) -> Array:
    """Copy to a read-only float array with the trailing shape `last`; `what` ends with the unit in brackets.

    With `keep_whole` an array of whole numbers stays one; if it is not copied, in its own type.
    """
    given = plain(what, value)
    if isinstance(given, np.ma.MaskedArray) and np.ma.is_masked(given):
        reject(what, "masked values", "present", "choose what to put in place of what is missing")
    try:
        raw = np.asarray(given)
    except (TypeError, ValueError):
        reject(what, f"{value!r:.200}", "an array of numbers")
    if raw.dtype.kind == "c":
        reject(what, "complex numbers", "real")
    if raw.dtype.kind not in "iuf":
        reject(what, f"{value!r:.200}", "an array of numbers")
    kind: Any = float
    if keep_whole and raw.dtype.kind in "iu":
        kind = np.intp if copy else raw.dtype
    out: Any = np.array(raw, dtype=kind, copy=True if copy else None)
    tail = out.shape[out.ndim - len(last) :] if out.ndim >= len(last) else None
    if tail is None or any(want not in (-1, have) for want, have in zip(last, tail, strict=True)):
        reject(what, f"shape {out.shape}", f"of shape (..., {', '.join(map(str, last))})")
    if finite and kind is float and not np.isfinite(out).all():
        reject(what, "NaN or infinity", "finite")
    if not copy:
        out = out.view()
    out.setflags(write=False)
    return out


def number(
    what: str,
    value: float,
    *,
    above: float = -np.inf,
    at_least: float = -np.inf,
    below: float = np.inf,
    at_most: float = np.inf,
    cause: str = "",
) -> float:
    """Return `value` as a finite float within its limits; `what` ends with the unit in brackets."""
    given: Any = plain(what, value)
    if isinstance(given, np.ndarray):
        if given.ndim:
            reject(what, f"an array of shape {given.shape}", "a number", cause)
        given = given[()]
    if isinstance(given, bool | np.bool_) or not isinstance(given, Real):
        reject(what, f"{value!r:.80}", "a number", cause)
    out = float(given)
    if not np.isfinite(out):
        reject(what, out, "finite", cause)
    for holds, sign, limit in (
        (out > above, ">", above),
        (out >= at_least, ">=", at_least),
        (out < below, "<", below),
        (out <= at_most, "<=", at_most),
    ):
        if not holds:
            reject(what, f"{out:g}", f"{sign} {limit:g}", cause)
    return out


def whole(
    what: str, value: float, *, at_least: float = -np.inf, at_most: float = np.inf, cause: str = ""
) -> int:
    """Return `value` as a whole number within its closed limits."""
    out = number(what, value, cause=cause)
    if not (out.is_integer() and at_least <= out <= at_most):
        above = f", >= {at_least:g}" if at_least > -np.inf else ""
        reject(what, f"{out:g}", f"whole{above}" + (f", <= {at_most:g}" if at_most < np.inf else ""), cause)
    return int(out)


def sequence(what: str, value: Iterable[Any], *, empty: bool = False) -> tuple[Any, ...]:
    """Return the items of a sequence; refuse text, a single thing, and no item unless `empty`."""
    given: object = value
    try:
        out = None if isinstance(given, str | bytes | Mapping) else tuple(value)
    except TypeError:
        out = None
    if out is None:
        reject(what, f"{value!r:.80}", "a sequence", "a single one? put it in brackets")
    if not out and not empty:
        reject(what, "none", "at least one")
    return out


def one_of(what: str, value: str, known: Iterable[str], cause: str = "") -> str:
    """Return `value` if it is one of the known words."""
    words = tuple(known)
    given: object = value
    if not isinstance(given, str) or given not in words:
        shown = [repr(word) for word in words]
        limit = " or ".join(shown) if len(words) == 2 else "one of " + ", ".join(shown)
        reject(what, f"{value!r:.80}", limit, cause)
    return value


def flag(what: str, value: bool) -> bool:
    """Return `value` if it is True or False; a word such as "no" would count as true."""
    given: object = value
    if not isinstance(given, bool | np.bool_):
        reject(what, f"{value!r:.80}", "True or False")
    return bool(given)


def text(what: str, value: str, *, empty: bool = False, cause: str = "") -> str:
    """Return `value` if it is text, not blank unless `empty`."""
    given: object = value
    if not isinstance(given, str) or not (empty or given.strip()):
        reject(what, f"{given!r:.80}", "text", cause)
    return value


def instance(what: str, value: T, kind: type | tuple[type, ...], cause: str = "") -> T:
    """Return `value` if it is an object of that kind, or has the parts of that protocol."""
    given: object = value
    kinds = kind if isinstance(kind, tuple) else (kind,)
    names = " or ".join(one.__name__ for one in kinds)
    if isinstance(given, type) and type not in kinds:
        reject(what, f"the class {given.__name__}", f"of type {names}", "an object is wanted: call the class")
    if not isinstance(given, kind):
        parts = sorted(getattr(kinds[0], "__protocol_attrs__", ())) or _protocol_parts(kinds[0])
        missing = [part for part in parts if not hasattr(given, part)]
        if parts:
            reject(what, f"{given!r:.80}", f"an object with {', '.join(parts)}", f"no {', '.join(missing)}")
        reject(what, f"{given!r:.80}", f"of type {names}", cause)
    return value


def _protocol_parts(kind: type) -> list[str]:
    if not getattr(kind, "_is_protocol", False):
        return []
    return sorted(
        name for name in {*vars(kind), *getattr(kind, "__annotations__", {})} if not name.startswith("_")
    )


def instances(what: str, values: Iterable[T], kind: type, *, least: int = 1) -> tuple[T, ...]:
    """Return `values` as a tuple if each is an object of that kind and there are at least `least`."""
    out = tuple(
        instance(f"{what}[{i}]", value, kind) for i, value in enumerate(sequence(what, values, empty=True))
    )
    if len(out) < least:
        reject(what, len(out) or "none", f"at least {least}")
    return out


def common_shape(what: str, *shapes: tuple[int, ...]) -> tuple[int, ...]:
    """Shape that the given shapes broadcast to."""
    try:
        return np.broadcast_shapes(*shapes)
    except ValueError:
        reject(what, "shapes " + ", ".join(map(str, shapes)), "broadcastable with each other")


def broadcastable(**given: ArrayLike) -> tuple[Array, ...]:
    """Return checked arrays in the order given; refuse shapes that do not broadcast with each other."""
    arrays = tuple(np.asarray(value) for value in given.values())
    common_shape(", ".join(given), *(one.shape for one in arrays))
    return arrays


NUMERIC = (float, int, Numbers, OptionalNumbers, WholeNumbers, ArrayLike, Array, NDArray[np.intp])
SCALARS: dict[Any, Callable[[str, Any, Limits], Any]] = {
    float: lambda what, value, s: number(
        what, value, above=s.above, at_least=s.at_least, below=s.below, at_most=s.at_most, cause=s.cause
    ),
    int: lambda what, value, s: whole(what, value, at_least=s.at_least, at_most=s.at_most, cause=s.cause),
    bool: lambda what, value, s: flag(what, value),
    str: lambda what, value, s: text(what, value, empty=s.items == 0, cause=s.cause),
}
