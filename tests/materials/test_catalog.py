import numpy as np
import pytest

from materials import Lamina, Metal, catalog, lamina, metal, metals
from materials.metal import PROPERTIES

TABLE, METALS = catalog(), metals()
LAMINAE = [(lamina(name), row) for name, row in TABLE.iterrows()]


def test_offers_what_a_light_airplane_needs():
    assert len(TABLE) >= 10
    assert {"tape", "fabric"} == set(TABLE["kind"])
    for fiber in ("carbon", "glass"):
        for kind in ("tape", "fabric"):
            assert ((TABLE["kind"] == kind) & TABLE["fiber"].str.contains(fiber)).any()
    assert TABLE["process"].str.contains("oven").sum() >= 2
    assert len(METALS) >= 3


def test_every_lamina_is_its_row_and_says_where_it_comes_from():
    for ply, row in LAMINAE:
        assert isinstance(ply, Lamina)
        assert ply == lamina(ply.name)
        assert ply.source.document == row["document"]
        assert ply.source.standing == row["standing"]
        assert ply.stress_free_temperature is not None
        assert ply.allowables.basis == row["basis"]
        for column in ("E1", "E2", "G12", "nu12", "thickness", "density", "alpha1", "alpha2"):
            assert getattr(ply, column) == row[column]
        for column in ("beta1", "beta2"):
            assert getattr(ply, column) == np.nan_to_num(row[column])
        for column in ("Xt", "Xc", "Yt", "Yc", "S"):
            assert getattr(ply.allowables, column) == row[column]
        for column in ("G13", "G23"):
            assert (getattr(ply, column) is None) == np.isnan(row[column])


def test_strains_are_published_or_linear_and_say_so():
    for ply, row in LAMINAE:
        linear = {
            "e1t": row["Xt"] / row["E1"], "e1c": row["Xc"] / row["E1"], "e2t": row["Yt"] / row["E2"],
            "e2c": row["Yc"] / row["E2"], "g12": row["S"] / row["G12"],
        }  # fmt: skip
        for strain, value in linear.items():
            published = not np.isnan(row[strain])
            assert getattr(ply.allowables, strain) == (row[strain] if published else value)
            assert published != (strain in ply.allowables.source.note.split("; ")[-1])
        assert (row["strains"] == "published") == (not row[list(linear)].isna().any())


def test_fiber_direction_strain_is_near_linear():
    # Fibers are nearly linear to failure: what is printed may not be far from strength / modulus.
    for ply, _ in LAMINAE:
        assert ply.allowables.e1t * ply.E1 / ply.allowables.Xt == pytest.approx(1.0, abs=0.12)
        assert ply.allowables.e1c * ply.E1 / ply.allowables.Xc == pytest.approx(1.0, abs=0.12)


def test_every_metal_is_its_row():
    for name, row in METALS.iterrows():
        alloy = metal(name)
        assert isinstance(alloy, Metal)
        for column in PROPERTIES:
            value = getattr(alloy, column)
            assert np.isnan(row[column]) if value is None else value == row[column]
        assert alloy.source.standing == row["standing"]
        assert all(source.standing and source.document for _, source in alloy.sources)


def test_tables_are_fresh_copies():
    table = catalog()
    table.loc["AS4/3501-6", "E1"] = 0.0
    assert catalog().loc["AS4/3501-6", "E1"] > 0.0


@pytest.mark.parametrize(
    ("wanted", "near"),
    [
        ("as4", "AS4/3501-6, AS4/8552 plain weave 193 g/m2"),
        ("T300-5208", "T300/5208, T700G/2510"),
        ("it7/8552", "IM7/8552, T300/5208"),
    ],
)
def test_unknown_name_lists_the_near_ones(wanted, near):
    with pytest.raises(ValueError, match=f"got '{wanted}', must be one of: {near}"):
        lamina(wanted)


def test_far_name_lists_all():
    with pytest.raises(ValueError, match=r"4130 N tube.*C63000"):
        metal("unobtainium")


def test_fiber_and_report_of_the_t700_tape_agree():
    tape = lamina("T700G/2510")
    assert "T700GC-12K-31E" in tape.source.document
    assert TABLE.loc["T700G/2510", "fiber"].startswith("T700GC-12K-31E")
    assert lamina("T700S/2510") == tape
    assert "T700SC-12K-50C" in lamina("T700S/2510 plain weave").source.document


def test_standing_of_single_values():
    ply = lamina("AS4/3501-6")
    assert ply.source_of("E1").standing == "read"
    assert ply.source_of("thickness").standing == "memory"
    assert ply.allowables.source_of("Yt").standing == "read"
    assert ply.allowables.source_of("e2t").standing == "memory"
    tape = lamina("IM7/8552 tape 190 g/m2")
    assert "Camanho" in tape.source_of("GIc").document
    assert {row["standing"] for _, row in TABLE.iterrows()} <= {"read", "quoted", "memory"}
