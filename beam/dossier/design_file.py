"""Objects of the library as tables of a TOML file, and back.

A table holds the fields of one class under their own names; a field left at its default is left out. Where a field
takes several classes, the key ``type`` names the class. The key ``from`` names a function of `MAKERS` that makes the
object from the keys of the table that are its arguments; the rest replace fields of what it made. Text in place of a
table names an object that stands in a table of its own, as a material does.
"""

from collections import OrderedDict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import MISSING, fields, replace
from difflib import get_close_matches
from inspect import BoundArguments, Parameter, signature
from types import GenericAlias, UnionType
from typing import Annotated, Any, Union, get_args, get_origin

import numpy as np

from beam.gear import Tire
from beam.joints import fastener
from beam.strength import DECLARED_GUIDANCE, GUIDANCE, recommended, screening
from beam.units import from_text
from materials import Allowables, Factor, conditioned, lamina, metal
from materials.checks import (
    Frozen,
    Items,
    Limits,
    Numbers,
    OptionalNumbers,
    WholeNumbers,
    field_hints,
    reject,
)

MAKERS: dict[str, Callable[..., Any]] = {
    "catalog": lamina,
    "tested conditions": conditioned,
    "smiley_horne": Tire.smiley_horne,
    "recommended": recommended,
    "screening": screening,
    "metals of the catalog": metal,
    "bolts of the catalog": fastener,
}
"""Functions that a table may name under ``from``."""

NAMED: dict[str, Any] = {"guidance": GUIDANCE, "declared guidance": DECLARED_GUIDANCE}
"""Objects that every file may name."""

_LISTS = (Items, tuple, list, Sequence, Iterable)
_NUMBERS = (Numbers, OptionalNumbers, WholeNumbers, float, int)


# --- from objects to tables -----------------------------------------------------------------------------


def to_table(thing: Any, names: Mapping[int, str], hint: Any = None) -> Any:
    """Return an object as data of a TOML file; `names` are those of objects, by id, that stand in their own table."""
    if isinstance(thing, Frozen) and id(thing) in names:
        return names[id(thing)]
    if isinstance(thing, Allowables) and thing.before is not None:
        factors = [to_table(one, names) for one in thing.factors]
        return to_table(thing.before, names, hint) | {"factors": factors}
    if isinstance(thing, Frozen):
        kind = type(thing)
        hints = field_hints(kind)
        table: dict[str, Any] = {} if _plain(hint) is kind else {"type": kind.__name__}
        for field in fields(thing):
            value = getattr(thing, field.name)
            if field.init and value is not None and not _same(value, field.default):
                table[field.name] = to_table(value, names, hints[field.name])
        return table
    if isinstance(thing, np.ndarray | np.generic):
        return thing.tolist()
    if isinstance(thing, Mapping):
        return {str(key): to_table(value, names) for key, value in thing.items()}
    if isinstance(thing, list | tuple):
        inner = _item_hint(hint)
        return [to_table(one, names, inner) for one in thing]
    if not isinstance(thing, str | bool | int | float):
        reject(
            "Design.write",
            f"{thing!r:.60}",
            "numbers, text and objects of the library",
            "a function of your own?",
        )
    return thing


def _same(value: Any, usual: Any) -> bool:
    """Whether a value is the default of its field."""
    if usual is MISSING or usual is None:
        return False
    try:
        return bool(np.array_equal(value, usual)) if isinstance(value, np.ndarray) else bool(value == usual)
    except ValueError:
        return False


def _plain(hint: Any) -> Any:
    """The one class in an annotation, without limits and None; None if there are several or none."""
    while get_origin(hint) is Annotated:
        hint = get_args(hint)[0]
    if get_origin(hint) in (Union, UnionType):
        some = {_plain(part) for part in get_args(hint) if part is not type(None)}
        return some.pop() if len(some) == 1 else None
    return hint


def _item_hint(hint: Any) -> Any:
    """Annotation of the items of a sequence."""
    while get_origin(hint) is Annotated:
        hint = get_args(hint)[0]
    args = get_args(hint)
    return args[0] if get_origin(hint) in (tuple, list, Items) and args else None


# --- from tables to objects -----------------------------------------------------------------------------


class TableReader:
    """Reads the tables of one file; `names` are objects that text may stand for."""

    def __init__(self, file: str, names: Mapping[str, Any]) -> None:
        self.file, self.names = file, [*NAMED.items(), *names.items()]

    def read(self, hint: Any, value: Any, where: str, limits: Limits | None = None) -> Any:
        """Return the value of a key for an annotation; text with a unit becomes a number in the declared unit."""
        origin, args = get_origin(hint), get_args(hint)
        if origin is Annotated:
            return self.read(
                args[0], value, where, next((a for a in args[1:] if isinstance(a, Limits)), limits)
            )
        if isinstance(value, Mapping) and "from" in value:
            return self.make(hint, value, where)
        if origin in _LISTS:
            if not isinstance(value, list):
                self.fault(where, f"{value!r:.60}", "a list")
            names = [one for one in value if isinstance(one, str)]
            if (
                len(set(names)) < len(names)
                and isinstance(_plain(args[0]), type)
                and _is_object(_plain(args[0]))
            ):
                self.fault(where, f"{names}", "each once")
            each = args if origin is tuple and args[-1] is not Ellipsis else args[:1] * len(value)
            if len(each) != len(value):
                self.fault(where, f"{len(value)} items", f"{len(each)} items")
            return [
                self.read(e, v, f"{where}[{i}]", limits)
                for i, (e, v) in enumerate(zip(each, value, strict=True))
            ]
        if origin in (Union, UnionType):
            classes = tuple(part for part in args if isinstance(part, type) and _is_object(part))
            if isinstance(value, str) and len(classes) > 1:
                return self.named(classes, value, where)
            return self.read(_chosen(args, value), value, where, limits)
        if hint in _NUMBERS:
            return self.number(value, where, limits)
        if isinstance(value, Mapping):
            return self.make(hint, value, where)
        if isinstance(hint, type) and _is_object(hint) and isinstance(value, str):
            return self.named((hint,), value, where)
        return value

    def number(self, value: Any, where: str, limits: Limits | None) -> Any:
        """Return numbers in the declared unit."""
        if isinstance(value, list):
            return [self.number(one, where, limits) for one in value]
        if isinstance(value, str):
            with self.place(where):
                return from_text(value, "-" if limits is None else limits.unit)
        return value

    def named(self, classes: tuple[type, ...], name: str, where: str) -> Any:
        """Return the object of a name, of one of the classes."""
        fits = {key: one for key, one in self.names if isinstance(one, classes)}
        if name not in fits:
            kinds = " or ".join(one.__name__ for one in classes)
            self.fault(where, repr(name), f"the name of a {kinds}", near(name, fits))
        return fits[name]

    def make(self, hint: Any, table: Mapping[str, Any], where: str) -> Any:
        """Return the object of a table."""
        given = dict(table)
        maker, kind = given.pop("from", None), given.pop("type", None)
        if maker is not None:
            if maker not in MAKERS:
                self.fault(f"{where}.from", repr(maker), "the name of a maker", near(maker, MAKERS))
            about = signature(MAKERS[maker])
            args = {
                key: self.read(_of_rest(about.parameters[key]), given.pop(key), f"{where}.{key}")
                for key in list(given)
                if key in about.parameters
            }
            bound = BoundArguments(
                about, OrderedDict((key, args[key]) for key in about.parameters if key in args)
            )
            with self.place(where):
                made = MAKERS[maker](*bound.args, **bound.kwargs)
            return self.changed(made, given, where) if given else made
        wanted = _plain(hint)
        options = _classes(wanted)
        if kind is not None:
            if kind not in options:
                self.fault(
                    f"{where}.type", repr(kind), f"one of {', '.join(sorted(options))}", near(kind, options)
                )
            cls = options[kind]
        elif isinstance(wanted, type) and wanted.__name__ in options:
            cls = wanted
        else:
            self.fault(where, "no key 'type'", f"type = one of {', '.join(sorted(options))}")
        factors = given.pop("factors", None) if cls is Allowables else None
        self.keys(given, cls, where)
        needed = [
            f.name for f in fields(cls) if f.init and f.default is MISSING and f.default_factory is MISSING
        ]
        missing = [name for name in needed if name not in given]
        if missing:
            self.fault(where, "no " + ", ".join(missing), "given")
        with self.place(where):
            made = cls(**self.fields(cls, given, where))
        return made if factors is None else self.changed(made, {"factors": factors}, where)

    def fields(self, cls: Any, given: Mapping[str, Any], where: str) -> dict[str, Any]:
        """Return the values of the fields of a class."""
        hints = field_hints(cls)
        return {key: self.read(hints[key], value, f"{where}.{key}") for key, value in given.items()}

    def changed(self, made: Any, given: Mapping[str, Any], where: str) -> Any:
        """Return an object with some fields replaced; allowables also take ``to_basis`` and ``factors``."""
        if not isinstance(made, Frozen):
            self.fault(where, ", ".join(given), "arguments of the maker", near(next(iter(given)), ()))
        new = dict(given)
        basis, factors = (new.pop(key, None) if isinstance(made, Allowables) else None
                          for key in ("to_basis", "factors"))  # fmt: skip
        self.keys(new, type(made), where)
        with self.place(where):
            nested = {key: self.changed(getattr(made, key), value, f"{where}.{key}") for key, value in new.items()
                      if isinstance(value, Mapping) and isinstance(getattr(made, key), Frozen)}  # fmt: skip
            rest = {key: value for key, value in new.items() if key not in nested}
            if new:
                made = replace(made, **nested, **self.fields(type(made), rest, where))
            if basis is not None:
                made = made.to_basis(**basis)
            if factors is not None:
                made = made.times(*(self.read(Factor, one, f"{where}.factors") for one in factors))
        return made

    def keys(self, given: Mapping[str, Any], cls: Any, where: str) -> None:
        """Refuse a key that is no field of a class."""
        known = [field.name for field in fields(cls) if field.init]
        for key in given:
            if key not in known:
                self.fault(f"{where}.{key}", "an unknown key", f"a field of {cls.__name__}", near(key, known))

    @contextmanager
    def place(self, where: str) -> Iterator[None]:
        """Name file and table in front of a refusal, once."""
        try:
            yield
        except ValueError as error:
            if str(error).startswith(self.file):
                raise
            raise ValueError(f"{self.file}: {where}: {error}") from None

    def fault(self, where: str, got: str, limit: str, cause: str = "") -> Any:
        """Refuse what stands at a place of the file."""
        reject(f"{self.file}: {where}", got, limit, cause)


def _of_rest(parameter: Parameter) -> Any:
    """Annotation of an argument; of ``*args``, that of a list of them."""
    hint = parameter.annotation
    return GenericAlias(list, (hint,)) if parameter.kind is Parameter.VAR_POSITIONAL else hint


def _chosen(options: tuple[Any, ...], value: Any) -> Any:
    """The annotation of a union that a value is read by."""
    some = [part for part in options if part is not type(None)]
    lists = [part for part in some if get_origin(part) in _LISTS]
    classes = [part for part in some if isinstance(part, type) and _is_object(part)]
    if isinstance(value, list) and lists:
        return lists[0]
    if len(classes) == 1 and isinstance(value, str | Mapping):
        return classes[0]
    return some[0] if len(some) == 1 or all(part in _NUMBERS for part in some) else object


def _is_object(hint: type) -> bool:
    """Whether a class is one of the library's, or a protocol for them."""
    return issubclass(hint, Frozen) or getattr(hint, "_is_protocol", False)


def _classes(wanted: Any) -> dict[str, type]:
    """Classes by name that fit an annotation: itself, and those below it; of a protocol, those that answer to it."""
    if not isinstance(wanted, type):
        return {}
    every = _below(Frozen)
    if getattr(wanted, "_is_protocol", False):
        needed = [name for name in vars(wanted) if not name.startswith("_")]
        found = [one for one in every if all(hasattr(one, name) for name in needed)]
    else:
        found = [one for one in every if issubclass(one, wanted)]
    return {one.__name__: one for one in found if not _abstract(one)}


def _abstract(cls: Any) -> bool:
    """Whether a class only stands for those below it."""
    return getattr(cls, "_is_protocol", False) or bool(cls.__subclasses__() and not fields(cls))


def _below(cls: type) -> Sequence[type]:
    """All classes below one."""
    direct: list[type] = cls.__subclasses__()
    return [one for below in direct for one in (below, *_below(below))]


def near(name: str, known: Any) -> str:
    """The known name nearest to a misspelled one."""
    near = get_close_matches(str(name), list(known), n=1, cutoff=0.6)
    return f"did you mean {near[0]!r}?" if near else ""
