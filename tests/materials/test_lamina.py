import dataclasses

import pytest

from materials import Allowables, Factor, Lamina, Source

SOURCE = Source("coupon tests")
ALLOWABLES = Allowables(
    Xt=1950e6, Xc=1480e6, Yt=48e6, Yc=200e6, S=79e6, basis="mean", condition="dry", source=SOURCE
)
GOOD = {
    "name": "AS4/3501-6", "kind": "tape", "E1": 126e9, "E2": 11e9, "G12": 6.6e9, "nu12": 0.28, "thickness": 0.125e-3,
    "density": 1580.0, "alpha1": -1e-6, "alpha2": 26e-6, "beta2": 0.44, "stress_free_temperature": 450.0,
    "allowables": ALLOWABLES, "source": SOURCE,
}  # fmt: skip


def test_kind_is_tape_or_fabric_and_must_be_said():
    assert Lamina(**GOOD | {"kind": "fabric"}).kind == "fabric"
    for wrong in ("cloth", "unidirectional", "Tape", None):
        with pytest.raises(
            ValueError, match=r"kind: got .*, must be 'tape' or 'fabric'; fibers along axis 1"
        ):
            Lamina(**GOOD | {"kind": wrong})
    with pytest.raises((TypeError, ValueError), match="kind"):
        Lamina(**{name: value for name, value in GOOD.items() if name != "kind"})


def test_minor_ratio_by_reciprocity():
    ply = Lamina(**GOOD)
    assert ply.nu21 / ply.E2 == pytest.approx(ply.nu12 / ply.E1, rel=1e-14)


def test_equal_values_are_one_key():
    book = {Lamina(**GOOD): 1}
    book[Lamina(**GOOD)] = 2
    book[Lamina(**GOOD | {"thickness": 0.25e-3})] = 3
    assert sorted(book.values()) == [2, 3]


def test_whole_numbers_become_floats():
    assert isinstance(Lamina(**GOOD | {"density": 1580}).density, float)


def test_frozen():
    with pytest.raises(dataclasses.FrozenInstanceError):
        Lamina(**GOOD).E1 = 1.0


def test_transverse_shear_is_never_guessed():
    with pytest.raises(ValueError, match=r"no G13, G23.*transverse shear"):
        Lamina(**GOOD).transverse_shear
    with pytest.raises(ValueError, match="no G23"):
        Lamina(**GOOD, G13=6.6e9).transverse_shear
    assert Lamina(**GOOD, G13=6.6e9, G23=3.9e9).transverse_shear == (6.6e9, 3.9e9)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"E1": 11e9, "E2": 140e9, "nu12": 0.3}, r"nu12 .*below sqrt\(E1/E2\) = 0.28 in size.*swapped"),
        ({"E2": 11e6}, "E1, E2.*within a factor of 500; MPa and GPa mixed"),
        ({"G12": 6.6e6}, "E1, G12.*MPa and GPa mixed"),
        ({"E3": 11e6}, "E1, E3.*MPa and GPa mixed"),
        ({"allowables": dataclasses.replace(ALLOWABLES, Xt=19.5e9, Xc=19.5e9), "E1": 40e9}, "MPa and GPa"),
        ({"allowables": dataclasses.replace(ALLOWABLES, e2t=0.0999)}, "percent"),
    ],
)
def test_refuses_values_that_do_not_go_together(change, message):
    with pytest.raises(ValueError, match=f"Lamina 'AS4/3501-6': .*{message}"):
        Lamina(**GOOD | change)


def test_moduli_may_differ_up_to_five_hundred_times():
    stiff = Lamina(**GOOD | {"E1": 500e9, "E2": 1e9, "G12": 1e9, "nu12": 0.1, "allowables": None})
    assert stiff.E1 == 500e9
    with pytest.raises(ValueError, match="within a factor"):
        dataclasses.replace(stiff, E1=500.001e9)


@pytest.mark.parametrize(("percent", "name"), [(0.2, "Xt"), (0.2, "S")])
def test_a_strength_may_reach_a_fifth_of_its_modulus(percent, name):
    modulus = {"Xt": 40e9, "S": 6.6e9}[name]
    strong = {"E1": 40e9, "allowables": dataclasses.replace(ALLOWABLES, **{name: percent * modulus})}
    assert Lamina(**GOOD | strong).allowables is strong["allowables"]
    strong["allowables"] = dataclasses.replace(ALLOWABLES, **{name: percent * modulus * 1.001})
    with pytest.raises(ValueError, match=f"{name} / "):
        Lamina(**GOOD | strong)


def test_a_failure_strain_may_reach_twenty_times_the_linear_one():
    linear = ALLOWABLES.Yt / 11e9
    soft = dataclasses.replace(ALLOWABLES, e2t=19.99 * linear)
    assert Lamina(**GOOD | {"allowables": soft}).allowables.e2t == 19.99 * linear
    with pytest.raises(ValueError, match=r"e2t E2 / Yt.*<= 20; strain given in percent"):
        Lamina(**GOOD | {"allowables": dataclasses.replace(ALLOWABLES, e2t=20.01 * linear)})


def test_a_deep_knockdown_is_no_slip_of_units():
    filled = ALLOWABLES.with_linear_strains(E1=126e9, E2=11e9, G12=6.6e9)
    deep = Factor(name="test", value=0.03, on=("Yt",), source=SOURCE)
    assert Lamina(**GOOD | {"allowables": filled.times(deep)}).allowables.factors == (deep,)


@pytest.mark.parametrize("field", ["E1", "nu12", "thickness", "density", "source"])
def test_nothing_essential_has_a_default(field):
    with pytest.raises(TypeError, match=field):
        Lamina(**{name: value for name, value in GOOD.items() if name != field})


@pytest.mark.parametrize("excess", [1e-9, -1e-9])
def test_poisson_bound_is_the_positive_definite_one(excess):
    # The plane-stress compliance [[1/E1, -nu12/E1], [-nu12/E1, 1/E2]] loses definiteness at nu12^2 = E1/E2.
    nu12 = (126e9 / 11e9) ** 0.5 * (1 + excess)
    if excess > 0:
        with pytest.raises(ValueError, match="nu12"):
            Lamina(**GOOD | {"nu12": nu12})
    else:
        assert Lamina(**GOOD | {"nu12": nu12}).nu12 == nu12


def test_missing_data_names_the_test_that_gives_it():
    ply = Lamina(**GOOD)
    for name, test in (
        ("GIc", "D5528"), ("GIIc", "D7905"), ("shear_nonlinearity", "D3518"), ("wet_glass_transition", "D7028"),
    ):  # fmt: skip
        with pytest.raises(ValueError, match=rf"no {name}, must be given for this check; .*{test}"):
            ply.need(name)
    assert Lamina(**GOOD, GIc=277.4).need("GIc") == 277.4


def test_values_with_a_source_of_their_own_and_placeholders():
    guess = Source("usual value", standing="placeholder")
    ply = Lamina(**GOOD | {"allowables": dataclasses.replace(ALLOWABLES, sources=[("S", guess)])},
                 sources=[("G12", guess), ("E1", Source("report", standing="read"))])  # fmt: skip
    assert ply.placeholders == ("G12", "S")
    assert (ply.source_of("G12"), ply.source_of("E2")) == (guess, SOURCE)
    with pytest.raises(ValueError, match="sources: got Xt, must be of its values"):
        Lamina(**GOOD, sources=[("Xt", guess)])
