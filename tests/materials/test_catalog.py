import numpy as np
import pytest

from materials import Lamina, Metal, catalog, lamina, metal, metals

LAMINAE = tuple(catalog().index)
METALS = tuple(metals().index)


def test_holds_what_a_light_airplane_needs():
    table = catalog()
    assert len(table) >= 10
    assert {"unidirectional", "woven"} == set(table["kind"])
    for fiber in ("carbon", "glass"):
        for kind in ("unidirectional", "woven"):
            assert ((table["kind"] == kind) & table["fiber"].str.contains(fiber)).any()
    assert table["process"].str.contains("oven").sum() >= 2
    assert len(metals()) >= 3


@pytest.mark.parametrize("name", LAMINAE)
def test_every_lamina_builds_and_says_where_it_comes_from(name):
    ply, row = lamina(name), catalog().loc[name]
    assert isinstance(ply, Lamina)
    assert ply == lamina(name)
    assert ply.source.document == row["document"]
    assert ply.source.note.startswith(row["standing"])
    assert ply.stress_free_temperature is not None
    assert ply.allowables.basis == row["basis"]
    assert len(ply.allowables.strains) == 5


@pytest.mark.parametrize("name", LAMINAE)
def test_object_holds_the_row(name):
    ply, row = lamina(name), catalog().loc[name]
    for column in ("E1", "E2", "G12", "nu12", "thickness", "density", "alpha1", "alpha2"):
        assert getattr(ply, column) == row[column]
    for column in ("beta1", "beta2"):
        assert getattr(ply, column) == np.nan_to_num(row[column])
    for column in ("Xt", "Xc", "Yt", "Yc", "S"):
        assert getattr(ply.allowables, column) == row[column]
    for column in ("G13", "G23"):
        assert (getattr(ply, column) is None) == np.isnan(row[column])


@pytest.mark.parametrize("name", LAMINAE)
def test_strains_are_published_or_linear_and_say_so(name):
    ply, row = lamina(name), catalog().loc[name]
    linear = {
        "e1t": row["Xt"] / row["E1"], "e1c": row["Xc"] / row["E1"], "e2t": row["Yt"] / row["E2"],
        "e2c": row["Yc"] / row["E2"], "g12": row["S"] / row["G12"],
    }  # fmt: skip
    for strain, value in linear.items():
        published = not np.isnan(row[strain])
        assert getattr(ply.allowables, strain) == (row[strain] if published else value)
        assert published != (strain in ply.allowables.source.note.split("; ")[-1])
    assert (row["strains"] == "published") == (not row[list(linear)].isna().any())


@pytest.mark.parametrize("name", LAMINAE)
def test_fiber_direction_strain_is_near_linear(name):
    # Fibers are nearly linear to failure: what is printed may not be far from strength / modulus.
    ply = lamina(name)
    assert ply.allowables.e1t * ply.E1 / ply.allowables.Xt == pytest.approx(1.0, abs=0.12)
    assert ply.allowables.e1c * ply.E1 / ply.allowables.Xc == pytest.approx(1.0, abs=0.12)


@pytest.mark.parametrize("name", METALS)
def test_every_metal_builds(name):
    alloy, row = metal(name), metals().loc[name]
    assert isinstance(alloy, Metal)
    for column in ("E", "nu", "density", "alpha", "Ftu", "Fty", "Fcy", "Fsu", "Fbru", "Fbry"):
        value = getattr(alloy, column)
        assert np.isnan(row[column]) if value is None else value == row[column]
    assert alloy.source.note.startswith(row["standing"])


def test_tables_are_fresh_copies():
    table = catalog()
    table.loc[LAMINAE[0], "E1"] = 0.0
    assert catalog().loc[LAMINAE[0], "E1"] > 0.0


@pytest.mark.parametrize(
    ("wanted", "near"), [("as4", "AS4/3501-6"), ("T300-5208", "T300/5208"), ("it7/8552", "IM7/8552")]
)
def test_unknown_name_lists_the_near_ones(wanted, near):
    with pytest.raises(ValueError, match=f"{wanted}.*{near}"):
        lamina(wanted)


@pytest.mark.parametrize("wanted", ["unobtainium", "", None, 3.5])
def test_far_name_lists_all(wanted):
    with pytest.raises(ValueError, match=r"4130 N tube.*C63000"):
        metal(wanted)
