"""The design file: round trips, faults named by file, table and key, units in text."""

import tomllib
from dataclasses import replace

import numpy as np
import pint
import pytest
import tarn
import tarn_joints
import tomli_w
from bonded import sleeve
from calls_dossier import DESIGN, TARN
from calls_joints import FIT, GROUP, LAMINATE, LUG, PIN, ROWED, SADDLE, THROUGH
from calls_sizing import FOUND

from beam.dossier import Design, compare, read_margins, read_ply_book, write_ply_book, write_table
from beam.joints import (
    BoltGroup,
    FittedJoint,
    Fitting,
    Lug,
    Pin,
    PressFit,
    RowJoint,
    Saddle,
    ThroughBolt,
    assembly_margins,
)
from beam.sizing import AngleStep, Contiguity, LeastShare, OuterPlies
from beam.strut import Band, PointLoads, Rib
from beam.units import _UNITS, from_text
from materials import Factor, Source

PULL = PointLoads(at=[0.62], force=[[[5e3, 2e3, 1e3]]])


@pytest.fixture(scope="module")
def tables():
    return TARN.tables()


def changed(tables, path, value):
    """Tables with one key set, or left out if the value is None."""
    out = tomllib.loads(tomli_w.dumps(tables))
    *above, last = path
    place = out
    for key in above:
        place = place[key]
    if value is None:
        del place[last]
    else:
        place[last] = value
    return out


def test_a_written_design_is_read_back_number_for_number(tmp_path):
    TARN.write(tmp_path / "design.toml")
    again = Design.read(tmp_path / "design.toml")
    assert again.digest == TARN.digest
    assert again.requirement == TARN.requirement
    assert again.ply_book == TARN.ply_book
    assert again.strut.mass == TARN.strut.mass
    assert compare(TARN, again)["what"].tolist() == ["plies", "mass of the strut [kg]"]
    assert [file.name for file in tmp_path.iterdir()] == ["design.toml"]


def test_a_class_of_the_users_own_does_not_hide_the_one_below_it():
    class Finer(type(tarn.GEAR.shock.damper)):
        """An orifice of another maker."""

    assert Finer is not None
    assert Design.from_tables(TARN.tables()).digest == TARN.digest
    del Finer


def test_bands_ribs_and_ends_are_read_back():
    bands = [
        Band(name="bracket", start=0.27, end=0.32),
        Band(name="pivot", start=0.6, end=0.62, walls=["aft"]),
    ]
    ribs = [Rib(station=0.28), Rib(station=0.31, bending_stiffness=40.0)]
    design = Design(**DESIGN | {"bands": bands, "ribs": ribs, "root_end": "closed", "tip_end": "closed"})
    again = Design.from_tables(design.tables())
    assert again.digest == design.digest != TARN.digest
    assert [band.walls for band in again.strut.bands] == [(), ("aft",)]
    assert (again.strut.ribs[1].bending_stiffness, again.strut.tip_end) == (40.0, "closed")


def test_fittings_are_read_back_with_every_kind_of_joint(tmp_path):
    """Fittings drawn on the strut and plain joints, with metals, adhesives and bolts by name."""
    design = tarn_joints.DESIGN
    design.write(tmp_path / "design.toml")
    again = Design.read(tmp_path / "design.toml")
    assert compare(design, again).empty
    assert again.digest == design.digest
    tables = design.tables()
    assert {"Ti-6Al-4V bar", "4340 180 ksi"} <= set(tables["metals"])
    assert set(tables["bolts"]) == {"M10 8.8", "M8 8.8"}
    assert tables["fittings"][0]["joints"][0]["joint"]["adhesive"] == "flexible paste"
    kinds = {type(one.joint).__name__ for fitting in again.fittings for one in fitting.joints}
    assert kinds == {"DrawnSocket", "DrawnSaddle", "Lug", "Pin", "PressFit"}
    of = [
        assembly_margins(one.fittings[::2], tarn.FIRST_STRUT, PULL, tarn.REQUIREMENT, whole=False)
        for one in (design, again)
    ]
    np.testing.assert_array_equal(of[0]["ratio"], of[1]["ratio"])
    for field, value in (("end", 0.16), ("other_mass", 1.7)):
        other = replace(design.fittings[0], **{field: value})
        assert replace(design, fittings=(other, *design.fittings[1:])).digest != design.digest


def test_every_kind_of_joint_is_written_and_read_back():
    """Joints of the gallery of calls, one fitting each: laminates, plates, bolts and clamps inside them."""
    joints = [Pin(**PIN), Lug(**LUG), PressFit(**FIT), BoltGroup(**GROUP), RowJoint(**ROWED), ThroughBolt(**THROUGH),
              Saddle(**SADDLE), PressFit(**FIT | {"member": LAMINATE, "width": 0.2}), sleeve(),
              sleeve(fail_safe="bolts", bolts=RowJoint(**ROWED | {"radius": 30e-3}))]  # fmt: skip
    places = [FittedJoint(joint=one, takes="entering") for one in joints]
    fittings = [
        Fitting(name=f"{i}", start=0.01 * i, end=0.01 * i + 0.01, joints=[one])
        for i, one in enumerate(places)
    ]
    design = Design(**DESIGN | {"fittings": fittings})
    again = Design.from_tables(tomllib.loads(tomli_w.dumps(design.tables())))
    assert again.digest == design.digest
    for one, other in zip(joints, (f.joints[0].joint for f in again.fittings), strict=True):
        assert type(one) is type(other)
    found = again.fittings[4].joints[0].joint
    assert found.plates[0].laminate.code == ROWED["plates"][0].laminate.code


@pytest.mark.parametrize(
    ("path", "value", "said"),
    [
        (("fittings", 0, "ends"), 0.2, r"fittings\[0\].ends: got an unknown key.* did you mean 'end'"),
        (("fittings", 0, "end"), -0.1, r"fittings\[0\]: .*end"),
        (("fittings", 2, "joints", 1, "joint", "type"), "Lugg", r"joint.type: got 'Lugg'.* did you mean 'Lug'"),
        (("fittings", 2, "joints", 1, "joint", "metal"), "titan", r"joints\[1\].joint.metal: got 'titan'.* a Metal"),
        (("fittings", 2, "joints", 5, "joint", "member"), "titan", r"joint.member: got 'titan'.* a Metal or Laminate"),
        (("fittings", 0, "joints", 0, "joint", "bolt", "fastener"), "M9", "fastener: got 'M9'.* a Fastener"),
        (("fittings", 0, "joints", 0, "joint", "thickness"), "4 psi", "joint.thickness: .*psi"),
        (("fittings", 0, "joints", 0, "takes"), "both", r"joints\[0\].*takes"),
    ],
)  # fmt: skip
def test_faults_in_fittings_are_named_by_file_table_and_key(path, value, said):
    with pytest.raises(ValueError, match=rf"tarn.toml: .*{said}"):
        Design.from_tables(changed(tarn_joints.DESIGN.tables(), path, value), file="tarn.toml")


def test_every_input_moves_the_digest():
    for field, value in (
        ("airplane", replace(tarn.AIRPLANE, max_mass=1241.0)),
        ("gear", replace(tarn.GEAR, wheel_mass=9.1)),
        ("requirement", replace(tarn.REQUIREMENT, deflection_allowance=1.04)),
        ("name", "another"),
    ):
        assert Design(**DESIGN | {field: value}).digest != TARN.digest


def test_comparison_names_what_changed():
    new = Design(**DESIGN | {"airplane": replace(tarn.AIRPLANE, max_mass=1260.0)})
    assert compare(TARN, new).iloc[0].tolist() == ["airplane.max_mass", 1240.0, 1260.0]
    table = compare(TARN, TARN, margins=(FOUND.margins, FOUND.margins))
    low = table[table["what"] == "lowest margin, tsai_wu"]
    assert low["old"].item() == FOUND.margins.xs("tsai_wu", level="mode")["margin"].min()


@pytest.mark.parametrize(
    ("path", "value", "said"),
    [
        (("airplane", "max_mas"), 1240.0, r"airplane\.max_mas: got an unknown key.*mean 'max_mass'"),
        (("airplane", "max_mass"), None, r"airplane: got no max_mass"),
        (("airplane", "max_mass"), "1240 lb ft", r"airplane\.max_mass: unit: got 'lb ft', must be a unit of kg"),
        (("airplane", "max_mass"), -3.0, r"airplane: Airplane.*max_mass \[kg\]: got -3"),
        (("gear", "shock", "spring", "type"), "AirSprin", r"spring\.type: got 'AirSprin'.*mean 'AirSpring'"),
        (("gear", "shock", "spring", "type"), None, r"spring: got no key 'type', must be type = one of AirSpring"),
        (("lattice", "kinds", 0, "lamina"), "IM7", r"kinds\[0\]\.lamina: got 'IM7', must be the name of a Lamina"),
        (("version",), 0, "version: got 0, must be 1; a file of another release"),
        (("airplan",), {}, "airplan: got an unknown key.*mean 'airplane'"),
        (("lattice", "stations"), "0.3 m", "lattice: Lattice: stations"),
        (("requirement", "services"), "cold", r"requirement\.services: got 'cold', must be a list"),
        (("first_counts",), [[99, 1, 1, 1]], r"Lattice\.book: counts"),
        (("bands",), [{"name": "b", "start": 0.1, "end": 0.2}, {"name": "b", "start": 0.3, "end": 0.4}],
         r"names of bands: got \['b', 'b'\]"),
        (("bands",), [{"name": "b", "start": 0.1, "end": 9.2}], "'b'"),
        (("supports",), [{"name": "s", "at": at, "translations": np.eye(3).tolist(), "rotations": np.eye(3).tolist()}
                         for at in (0.0, 0.1)], r"supports: got \['s', 's'\], must be distinct by name"),
        (("requirement", "services", 0, "factors"), ["barely visible impact damage"] * 2, "must be each once"),
        (("requirement", "checks"), {"from": "recomended"}, r"checks\.from: got 'recomended'.*mean 'recommended'"),
    ],
)  # fmt: skip
def test_faults_are_named_by_file_table_and_key(tables, path, value, said):
    with pytest.raises(ValueError, match=f"my.toml: .*{said}"):
        Design.from_tables(changed(tables, path, value), file="my.toml")


def test_a_file_that_is_no_toml_is_named(tmp_path):
    (tmp_path / "a.toml").write_text("name = 'a'\nname = 'b'\n")
    with pytest.raises(ValueError, match=r"a\.toml: Cannot overwrite a value \(at line 2"):
        Design.read(tmp_path / "a.toml")


def test_a_file_with_a_byte_order_mark_is_read(tmp_path):
    TARN.write(tmp_path / "a.toml")
    (tmp_path / "a.toml").write_bytes(b"\xef\xbb\xbf" + (tmp_path / "a.toml").read_bytes())
    assert Design.read(tmp_path / "a.toml").digest == TARN.digest


def test_a_folder_that_is_not_there_leaves_nothing_behind(tmp_path):
    with pytest.raises(FileNotFoundError):
        TARN.write(tmp_path / "missing" / "design.toml")
    assert not list(tmp_path.iterdir())


def test_makers_and_names_in_a_file_give_the_objects_of_python(tables):
    """A material from the catalog with changes, and checks by name, are those that a script makes."""
    from beam.strength import DECLARED_GUIDANCE, recommended
    from materials import lamina

    short = {"from": "catalog", "name": "IM7/8552 tape 190 g/m2", "G23": "3 GPa",
             "allowables": {"Zt": "40 MPa", "to_basis": {"basis": "A", "kind": "tape", "coupons": 30,
                                                         "batches": 5}}}  # fmt: skip
    new = changed(tables, ("materials", "tape"), short)
    new["lattice"]["kinds"][0]["lamina"] = "tape"
    new["requirement"]["checks"] = {"from": "recommended", "caps": "declared guidance"}
    found = Design.from_tables(new)
    tape = lamina("IM7/8552 tape 190 g/m2")
    wanted = replace(tape.allowables, Zt=40e6).to_basis("A", kind="tape", coupons=30, batches=5)
    assert found.lattice.kinds[0].lamina == replace(tape, G23=3e9, allowables=wanted)
    assert found.requirement.checks == recommended(DECLARED_GUIDANCE)


def test_units_in_text_are_those_of_an_independent_library():
    units = pint.UnitRegistry()
    other = {"lbf": "force_pound", "um": "micrometer", "kt": "knot", "t": "metric_ton", "%": "percent", "-": "",
             "psf": "force_pound/foot**2", "msi": "megapsi", "ksi": "kilopsi", "L": "liter", "gal": "gallon",
             "h": "hour", "in": "inch", "mph": "mile/hour"}  # fmt: skip
    for name, (size, _) in _UNITS.items():
        base = units.Quantity(1.0, other.get(name, name)).to_base_units()
        assert size == pytest.approx(base.magnitude, rel=1e-12), name
    for text, unit in (
        ("3 lb/ft3", "kg/m3"),
        ("2 lbf in", "N m"),
        ("5 N s2/m2", "N s2/m2"),
        ("7 lbf/in", "N/m"),
    ):
        number, own = text.split(" ", 1)
        plain = [re_.replace("lbf in", "force_pound*inch").replace("lbf", "force_pound").replace("N m", "N*m")
                 .replace("s2", "s**2").replace("m2", "m**2").replace("N s", "N*s").replace("t3", "t**3")
                 .replace("m3", "m**3") for re_ in (own, unit)]  # fmt: skip
        assert from_text(text, unit) == pytest.approx(
            units.Quantity(float(number), plain[0]).to(plain[1]).magnitude, rel=1e-12
        )
    assert from_text("160 degF", "K") == pytest.approx(units.Quantity(160, "degF").to("K").magnitude)


def test_ply_book_and_margins_are_read_back_bit_for_bit(tmp_path):
    book = TARN.ply_book
    write_ply_book(book, tmp_path / "book.csv")
    assert read_ply_book(tmp_path / "book.csv", {p.lamina.name: p.lamina for p in book.plies}) == book
    write_table(FOUND.margins, tmp_path / "margins.csv")
    again = read_margins(tmp_path / "margins.csv")
    for name in ("ratio", "reserve", "margin", "place", "angle_deg"):
        np.testing.assert_array_equal(again[name], FOUND.margins[name])
    assert (
        again.index.get_level_values("mode").tolist() == FOUND.margins.index.get_level_values("mode").tolist()
    )
    assert (again["decides"].to_numpy() == FOUND.margins["decides"].to_numpy()).all()


def test_text_that_a_spreadsheet_would_run_is_made_harmless(tmp_path):
    plies = [replace(p, lamina=replace(p.lamina, name='=cmd("x"), é')) for p in TARN.ply_book.plies[:2]]
    book = type(TARN.ply_book)(plies)
    write_ply_book(book, tmp_path / "book é.csv")
    assert "\n=cmd" not in (text := (tmp_path / "book é.csv").read_text(encoding="utf-8"))
    assert "'=cmd" in text
    assert read_ply_book(tmp_path / "book é.csv", {plies[0].lamina.name: plies[0].lamina}) == book
    cases = FOUND.margins.rename(index={"a": "=1+1"}, level="case")
    write_table(cases, tmp_path / "m.csv")
    assert "\n=1" not in (tmp_path / "m.csv").read_text()


def test_a_line_that_is_not_a_ply_is_named(tmp_path):
    (tmp_path / "book.csv").write_text("lamina,angle_deg,walls,start,end\nT700S,0,aft,0,0.1\n")
    with pytest.raises(ValueError, match=r"book\.csv: line 2: lamina: got 'T700S', must be a known one"):
        read_ply_book(tmp_path / "book.csv", {})
    laminae = {"T700S": tarn.TAPE_A}
    (tmp_path / "book.csv").write_text("lamina,angle_deg,walls,start,end\nT700S,0,aft,0.2,0.1\n")
    with pytest.raises(ValueError, match=r"line 2: BookPly: end"):
        read_ply_book(tmp_path / "book.csv", laminae)


def test_factors_and_sources_with_one_name_stay_apart():
    one, two = (
        Factor(name="hot", value=v, on=("Xc",), source=Source("own", note="invented")) for v in (0.8, 0.9)
    )
    services = [replace(s, factors=(f,)) for s, f in zip(tarn.REQUIREMENT.services, (one, two), strict=True)]
    design = Design(**DESIGN | {"requirement": replace(tarn.REQUIREMENT, services=services)})
    again = Design.from_tables(design.tables())
    assert [s.factors[0].value for s in again.requirement.services] == [0.8, 0.9]


def test_local_kinds_and_rules_of_the_lattice_are_read_back(tmp_path):
    rules = (
        Contiguity(most=6),
        LeastShare(share=0.01, directions_deg=(90.0,)),
        AngleStep(most_deg=90.0),
        OuterPlies(),
    )
    lattice = TARN.lattice
    pad = replace(
        lattice.kinds[-1], name="pad", least=0, most=1, start=lattice.stations[-2], end=lattice.stations[-1]
    )
    own = replace(TARN, lattice=replace(lattice, kinds=(*lattice.kinds, pad), rules=rules))
    own.write(tmp_path / "design.toml")
    again = Design.read(tmp_path / "design.toml").lattice
    assert again.rules == rules
    assert again.kinds[-1] == own.lattice.kinds[-1]
    np.testing.assert_array_equal(again.candidates, own.lattice.candidates)
    assert '"Contiguity"' in (tmp_path / "design.toml").read_text()
