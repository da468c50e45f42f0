"""The reader of declarations itself: `Limits`, `Frozen`, `checked`, `plain` and the single checks."""

import copy
import dataclasses
import pickle
from collections.abc import Callable, Sequence
from decimal import Decimal
from typing import Annotated, Any, Literal, Protocol, runtime_checkable

import astropy.units
import numpy as np
import pint
import pytest
from numpy.testing import assert_allclose
from numpy.typing import ArrayLike

from materials.checks import (
    Frozen,
    Items,
    Limits,
    Numbers,
    OptionalNumbers,
    WholeNumbers,
    array,
    broadcastable,
    checked,
    common_shape,
    default,
    flag,
    instance,
    instances,
    number,
    one_of,
    plain,
    sequence,
    text,
    whole,
)

U = pint.UnitRegistry()
LBF = astropy.units.def_unit("lbf", 4.4482216152605 * astropy.units.N)
POUNDS = "given in pounds?"


class Tire(Frozen, eq=True):
    name: str
    mass: Annotated[float, Limits("kg", above=0.0, at_most=500.0, cause=POUNDS)] = 9.0


class Wheel(Frozen):
    tire: Tire
    axle: Annotated[Numbers, Limits("m", shape=(3,))]
    loads: Annotated[Numbers, Limits("N", last=(2,))] = default(((0.0, 0.0),) * 4)
    rate: Annotated[OptionalNumbers, Limits("N/m")] = default(None)
    counts: WholeNumbers = default((1, 2))
    spares: Items[Tire] = default((Tire(name="spare"),))
    kind: Literal["main", "nose"] = "main"
    braked: bool = True
    bolts: int = 4
    law: Callable[[float], float] | None = None


GOOD = {"tire": Tire(name="5.00-5", mass=8), "axle": [0, 1, 2]}


@checked
def weigh(
    load: Annotated[float, Limits("N")] = 0.0,
    *,
    places: Annotated[ArrayLike, Limits("m", last=(2,))] = 0.0,
    change: Annotated[float, Limits("K", at_least=-400.0)] = 0.0,
    temperature: Annotated[float | None, Limits("K", at_least=200.0, cause="given in degC?")] = None,
    share: Annotated[ArrayLike, Limits("-", at_least=0.0, at_most=1.0, cause="given in percent?")] = 0.0,
    any_unit: Annotated[float, Limits("any")] = 0.0,
    batches: Annotated[Sequence[ArrayLike], Limits("Pa", shape=(-1,), items=2)] = ((1.0,), (2.0,)),
    pair: Annotated[tuple[float, float], Limits("s")] = (0.0, 1.0),
    whole_array: Annotated[ArrayLike, Limits("-", whole=True)] = 1,
    note: Annotated[str, Limits(items=0)] = "",
    either: float | str = 1.0,
    options: "dict[str, Any] | None" = None,
) -> tuple[Any, ...]:
    """All arguments as they were read."""
    return (
        load,
        places,
        change,
        temperature,
        share,
        any_unit,
        batches,
        pair,
        whole_array,
        note,
        either,
        options,
    )


@checked
def gather(first: float, *rest: Annotated[float, Limits("m", above=0.0)]) -> tuple[float, ...]:
    return first, *rest


def read(name, value):
    """How `weigh` reads one argument."""
    names = list(weigh.__wrapped__.__code__.co_varnames[: weigh.__wrapped__.__code__.co_kwonlyargcount + 1])
    given = {"places": np.zeros(2), name: value}
    return weigh(**given)[names.index(name)]


# --- units ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("force", [-2000 * U.lbf, -2000 * LBF, np.array(-2000.0) * U.lbf], ids=str)
def test_pounds_of_force_become_newtons(force):
    assert read("load", force) == pytest.approx(-8896.443230521)  # exactly 4.4482216152605 N in 1 lbf
    assert type(read("load", force)) is float


@pytest.mark.parametrize("length", [U.inch, astropy.units.imperial.inch])
def test_arrays_and_lists_of_quantities_are_converted(length):
    inches = [[1.0, 2.0], [3.0, 4.0]]
    for given in (
        np.array(inches) * length,
        [[one * length for one in row] for row in inches],
        tuple(np.array(row) * length for row in inches),
    ):
        assert_allclose(read("places", given), 0.0254 * np.array(inches), rtol=1e-14)
    objects = np.empty(2, dtype=object)
    objects[:] = [1.0 * U.inch, 2.0 * U.mm]
    assert_allclose(read("places", objects), [0.0254, 0.002], rtol=1e-14)


@pytest.mark.parametrize("percent", [50 * U.percent, 50 * astropy.units.percent], ids=["pint", "astropy"])
def test_percent_becomes_a_share(percent):
    assert read("share", percent) == pytest.approx(0.5)


def test_a_temperature_in_celsius_is_converted_but_is_no_change_of_temperature():
    assert read("temperature", U.Quantity(20.0, "degC")) == pytest.approx(293.15)
    assert read("temperature", U.Quantity(68.0, "degF")) == pytest.approx(293.15)

    @checked
    def strain(temperature_change: Annotated[float, Limits("K")]) -> float:
        return temperature_change

    assert strain(U.Quantity(20.0, "delta_degC")) == pytest.approx(20.0)
    for wrong in (U.Quantity(20.0, "degC"), U.Quantity(20.0, "degF"), 20.0 * astropy.units.deg_C):
        with pytest.raises(
            ValueError, match=r"strain: temperature_change \[K\]: got .* convertible to \[K\]"
        ):
            strain(wrong)


@pytest.mark.parametrize(
    ("name", "value", "message"),
    [
        ("load", 3.0 * U.kg, r"load \[N\]: got .*kilogram.*, must be convertible to \[N\]"),
        ("load", 3.0 * astropy.units.kg, r"load \[N\]: got .*kg.*, must be convertible to \[N\]"),
        ("places", [1.0 * U.m, 2.0 * U.s], r"places \[m\]: .*convertible to \[m\]"),
        ("any_unit", 3.0 * U.m, r"any_unit \[any\]: .*must be plain numbers; numbers with a unit"),
        ("share", 3.0 * U.m, r"share \[-\]: .*convertible"),
        ("share", 50.0 * U.m / U.m, r"share \[-\]: got 50, must be <= 1; given in percent"),
    ],
)
def test_a_unit_that_does_not_fit_is_refused(name, value, message):
    with pytest.raises(ValueError, match=message):
        read(name, value)


def test_units_of_powers_and_products():
    for unit in ("kg/m3", "kg/m^3", "N s2/m2", "1/K", "m2/s"):
        words = (
            unit.replace("^", "")
            .replace("m3", "m**3")
            .replace("s2", "s**2")
            .replace("m2", "m**2")
            .replace(" ", "*")
        )
        assert plain(f"x [{unit}]", 2.0 * U.parse_units(words)) == pytest.approx(2.0)
    assert plain("x [m][3]", 2.0 * U.km) == pytest.approx(2000.0)
    for what in ("x", "x [K, -]"):
        with pytest.raises(ValueError, match="plain numbers"):
            plain(what, 2.0 * U.km)
    given = [1.0, 2.0]
    assert plain("x [m]", given) is given


# --- limits --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("limits", "inside", "outside"),
    [
        (Limits("m", above=1.0), 1.001, (1.0, 0.9, "> 1")),
        (Limits("m", at_least=1.0), 1.0, (0.999, 0.0, ">= 1")),
        (Limits("m", below=1.0), 0.999, (1.0, 1.1, "< 1")),
        (Limits("m", at_most=1.0), 1.0, (1.001, 2.0, "<= 1")),
    ],
)
def test_limits_are_open_or_closed_for_numbers_and_arrays(limits, inside, outside):
    @checked
    def take(one: Annotated[float, limits], many: Annotated[ArrayLike, limits]) -> Any:
        return one, many

    one, many = take(inside, [inside, inside])
    assert (one, many.tolist()) == (inside, [inside, inside])
    for bad in outside[:2]:
        for name, call in {"one": (bad, inside), "many": (inside, [inside, bad])}.items():
            with pytest.raises(ValueError, match=rf"take: {name} \[m\]: got {bad:g}, must be {outside[2]}$"):
                take(*call)


def test_a_refusal_says_what_got_limit_and_cause():
    with pytest.raises(
        ValueError, match=r"^Tire '5.00-5': mass \[kg\]: got 900, must be <= 500; given in pounds\?$"
    ):
        Tire(name="5.00-5", mass=900)
    with pytest.raises(ValueError, match=r"^Tire: name: got ' ', must be text$"):
        Tire(name=" ")
    with pytest.raises(ValueError, match=r"temperature \[K\]: got 20, must be >= 200; given in degC\?"):
        read("temperature", 20.0)


@pytest.mark.parametrize("bad", ["3", b"3", Decimal(3), True, np.True_, 1 + 0j, None, [3.0], np.array([3.0]), np.nan,
                                 -np.inf, {}, object], ids=repr)  # fmt: skip
def test_what_is_no_number(bad):
    with pytest.raises(ValueError, match=r"weigh: load \[N\]: got .*must be (a number|finite)"):
        read("load", bad)
    for good in (3, np.float32(3.0), np.int64(3), np.array(3.0)):
        assert type(read("load", good)) is float


@pytest.mark.parametrize(
    "bad", ["34", ["3", "4"], [Decimal(3), Decimal(4)], [True, False], [3 + 0j, 4], [None, 4.0], [np.nan, 4.0],
            [np.inf, 4.0], np.ma.array([3.0, 4.0], mask=[0, 1]), [[1.0, 2.0], [3.0]], [3.0, 4.0, 5.0], 3.0, {}, []],
    ids=repr,
)  # fmt: skip
def test_what_is_no_array_of_pairs(bad):
    with pytest.raises(ValueError, match=r"weigh: places \[m\]: got .*must be "):
        read("places", bad)


def test_arrays_are_frozen_copies():
    given = np.array([3, 4])
    out = read("places", given)
    given[0] = 9
    assert out.tolist() == [3.0, 4.0]
    assert not out.flags.writeable
    assert out.dtype == float
    large = np.zeros((5, 2))
    assert np.shares_memory(array("x [m]", large, copy=False), large)
    assert large.flags.writeable


@pytest.mark.parametrize(
    ("name", "value", "message"),
    [
        ("batches", [[1.0]], r"batches \[Pa\]: got 1, must be at least 2"),
        ("batches", [[1.0], [[2.0]]], r"batches \[Pa\]\[1\]: got shape \(1, 1\), must be of shape \(n\)"),
        ("batches", [[1.0], ["2"]], r"batches \[Pa\]\[1\]: got .*an array of numbers"),
        ("batches", 3.0, r"batches \[Pa\]: got 3.0, must be a sequence; a single one"),
        ("pair", (1.0, 2.0, 3.0), r"pair \[s\]: got 3 items, must be 2 items"),
        ("pair", (1.0, "2"), r"pair \[s\]\[1\]: got '2', must be a number"),
        ("whole_array", [1, 2.5], r"whole_array \[-\]: got 2.5, must be whole numbers"),
        ("note", 3, r"note: got 3, must be text"),
        ("either", [1], r"either: got \[1\], must be text"),
    ],
)
def test_refuses(name, value, message):
    with pytest.raises(ValueError, match=message):
        read(name, value)


def test_what_is_read():
    assert [one.tolist() for one in read("batches", [[1], (2.0, 3.0) * U.MPa])] == [[1.0], [2e6, 3e6]]
    assert read("pair", [1.0 * U.ms, 2]) == (0.001, 2.0)
    assert read("whole_array", [1.0, 2.0]).dtype == np.intp
    assert read("note", "") == ""
    assert (read("either", 2), read("either", "two")) == (2.0, "two")
    assert read("temperature", None) is None
    assert read("options", 3.0) == 3.0  # an annotation in quotes is not read


def test_arguments_by_place_and_many():
    assert gather(1, 2, 3) == (1.0, 2.0, 3.0)
    assert gather(1, 2 * U.km) == (1.0, 2000.0)
    assert gather(1) == (1.0,)
    with pytest.raises(ValueError, match=r"gather: rest \[m\]\[1\]: got 0, must be > 0"):
        gather(1, 2, 0)
    with pytest.raises(TypeError, match="lode"):
        weigh(lode=3.0)
    assert weigh.__doc__ == "All arguments as they were read."


# --- frozen objects ------------------------------------------------------------------------------------


def test_fields_are_read_and_frozen():
    wheel = Wheel(
        **GOOD, loads=[[1, 2]], rate=5 * U.kN / U.m, counts=[3.0], spares=iter([Tire(name="a")]), bolts=5.0
    )
    assert wheel.axle.tolist() == [0.0, 1.0, 2.0]
    assert wheel.rate == pytest.approx(5000.0)
    assert (wheel.counts.dtype, wheel.counts.tolist()) == (np.intp, [3])
    assert wheel.spares == (Tire(name="a"),)
    assert (wheel.bolts, type(wheel.bolts)) == (5, int)
    for name in ("axle", "loads", "counts"):
        assert not getattr(wheel, name).flags.writeable
    with pytest.raises(dataclasses.FrozenInstanceError):
        wheel.bolts = 3
    with pytest.raises(TypeError, match="positional"):
        Tire("5.00-5")


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (
            {"tire": Tire},
            r"Wheel: tire: got the class Tire, must be of type Tire; an object is wanted: call the class",
        ),
        ({"tire": "5.00-5"}, r"Wheel: tire: got '5.00-5', must be of type Tire"),
        ({"tire": None}, r"Wheel: tire: got None"),
        ({"axle": [0, 1]}, r"Wheel: axle \[m\]: got shape \(2,\), must be of shape \(3\)"),
        ({"axle": None}, r"Wheel: axle \[m\]: got None, must be an array of numbers"),
        ({"loads": [1, 2, 3]}, r"Wheel: loads \[N\]: got shape \(3,\), must be of shape \(..., 2\)"),
        ({"counts": [1.5]}, r"Wheel: counts.*: got 1.5, must be whole numbers"),
        ({"spares": Tire(name="a")}, r"Wheel: spares: got .*a sequence; a single one\? put it in brackets"),
        ({"spares": ()}, r"Wheel: spares: got none, must be at least 1"),
        ({"spares": [Tire(name="a"), "b"]}, r"Wheel: spares\[1\]: got 'b', must be of type Tire"),
        ({"kind": "tail"}, r"Wheel: kind: got 'tail', must be 'main' or 'nose'"),
        ({"braked": "no"}, r"Wheel: braked: got 'no', must be True or False"),
        ({"bolts": 4.5}, r"Wheel: bolts.*: got 4.5, must be whole"),
        ({"law": 3.0}, r"Wheel: law: got 3.0, must be a function"),
    ],
)
def test_a_field_refuses(change, message):
    with pytest.raises(ValueError, match=message):
        Wheel(**GOOD | change)


@pytest.mark.parametrize(
    "again",
    [copy.copy, copy.deepcopy, lambda one: pickle.loads(pickle.dumps(one)), dataclasses.replace],
    ids=["copy", "deepcopy", "pickle", "replace"],
)
def test_copies_are_rebuilt_and_checked(again):
    wheel = Wheel(**GOOD)
    other = again(wheel)
    assert other is not wheel
    assert repr(other) == repr(wheel)
    assert not other.axle.flags.writeable
    object.__setattr__(wheel, "bolts", "many")  # by force
    with pytest.raises(ValueError, match="bolts"):
        again(wheel)


def test_objects_equal_by_value_only_where_declared():
    assert Tire(name="a", mass=8) == Tire(name="a", mass=8.0 * U.kg)
    assert len({Tire(name="a"), Tire(name="a"), Tire(name="b")}) == 2
    assert Wheel(**GOOD) != Wheel(**GOOD)


def test_repr_is_short_and_names_what_is_inside():
    many = tuple(Tire(name=f"tire {i}") for i in range(5))
    said = repr(Wheel(**GOOD, loads=np.zeros((500, 2)), spares=many))
    assert said == (
        "Wheel(tire=Tire('5.00-5'), axle=[0., 1., 2.], loads=<array 500x2>, rate=None, counts=[1, 2], "
        "spares=<5 items>, kind='main', braked=True, bolts=4, law=None)"
    )
    assert "spares=(Tire('spare'),)" in repr(Wheel(**GOOD))
    assert len(repr(Tire(name="x" * 10_000))) < 450


def test_table_of_a_notebook_gives_names_values_and_units():
    html = Tire(name="<5>", mass=8)._repr_html_()
    assert html.startswith("<table><caption>Tire &#x27;&lt;5&gt;&#x27;</caption>")
    assert "<tr><th>mass</th><td>8.0</td><td>kg</td></tr>" in html
    assert "<tr><th>name</th><td>&#x27;&lt;5&gt;&#x27;</td><td></td></tr>" in html


# --- single checks -------------------------------------------------------------------------------------


@runtime_checkable
class Law(Protocol):
    """Anything with a rate and a force."""

    rate: float

    def force(self, x: float) -> float: ...


class Spring:
    rate = 3.0

    def force(self, x: float) -> float:
        return self.rate * x


def test_an_object_with_the_parts_of_a_protocol_will_do():
    @checked
    def press(law: Law) -> float:
        return law.force(2.0)

    assert press(Spring()) == 6.0
    with pytest.raises(
        ValueError, match=r"press: law: got 3.0, must be an object with force, rate; no force, rate"
    ):
        press(3.0)
    with pytest.raises(ValueError, match="got the class Spring, must be of type Law"):
        press(Spring)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: number("x [m]", 3.0, below=3.0), r"x \[m\]: got 3, must be < 3"),
        (lambda: number("x [m]", 3.0, above=3.0, cause="why"), r"x \[m\]: got 3, must be > 3; why"),
        (lambda: whole("n [-]", 3, at_least=4), r"got 3, must be whole, >= 4$"),
        (lambda: whole("n [-]", 3, at_most=2), r"got 3, must be whole, <= 2$"),
        (lambda: whole("n [-]", 0.5), r"got 0\.5, must be whole$"),
        (lambda: sequence("s", ()), "got none, must be at least one"),
        (lambda: sequence("s", "text"), "got 'text', must be a sequence"),
        (lambda: sequence("s", {"a": 1}), "must be a sequence"),
        (lambda: one_of("w", "x", ("a", "b", "c"), "cause"), "got 'x', must be one of 'a', 'b', 'c'; cause"),
        (lambda: flag("f", 1), "got 1, must be True or False"),
        (lambda: text("t", 3), "got 3, must be text"),
        (lambda: instance("i", 3, (str, list)), "got 3, must be of type str or list"),
        (lambda: instance("i", 3, str, "a cause"), "got 3, must be of type str; a cause"),
        (lambda: instances("i", [], str), "i: got none, must be at least 1"),
        (lambda: instances("i", ["a"], str, least=2), "i: got 1, must be at least 2"),
        (lambda: common_shape("a, b", (2,), (3,)), r"a, b: got shapes \(2,\), \(3,\), must be broadcastable"),
        (lambda: broadcastable(a=np.zeros(2), b=np.zeros(3)), r"a, b: got shapes \(2,\), \(3,\)"),
    ],
)
def test_single_checks_refuse(call, message):
    with pytest.raises(ValueError, match=message):
        call()


def test_single_checks_return_what_was_given():
    assert number("x [m]", 3, at_least=3.0, at_most=3.0) == 3.0
    assert whole("n [-]", 4.0, at_least=4, at_most=4) == 4
    assert sequence("s", range(2)) == (0, 1)
    assert sequence("s", [], empty=True) == ()
    assert one_of("w", "a", ("a", "b")) == "a"
    assert flag("f", np.True_) is True
    assert text("t", "", empty=True) == ""
    assert common_shape("a, b", (2, 1), (3,)) == (2, 3)
    assert [one.shape for one in broadcastable(a=np.zeros((2, 1)), b=1.0)] == [(2, 1), ()]
