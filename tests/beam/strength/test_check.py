"""Two load levels, checks that decide and checks that do not, caps, and what each refuses."""

from dataclasses import replace

import numpy as np
import pytest
from small_strut import CASES, CLOTH, INVENTED, LOADS, MOLD_LINE, REQUIREMENT, STRAIGHT, TAPE, WALLS, lattice

from beam.dossier import lowest, texts
from beam.sizing import lightest
from beam.strength import (
    DECLARED_GUIDANCE,
    GUIDANCE,
    Caps,
    Check,
    Requirement,
    Service,
    margins,
    recommended,
    screening,
)
from beam.strength.check import shares
from beam.strut import BookPly, PlyBook, PointLoads, Strut
from laminate import Laminate
from laminate.failure import Crush, MaxStress, Puck, ShearStrength
from materials import Factor

TESTED = Caps(name="after impact", tension=0.006, compression=0.005, basis="A", condition="hot wet",
              shares=(0.25, 0.5, 0.25), outside="mark", source=INVENTED)  # fmt: skip


def offset(lamina, S02=50e6):
    """The lamina with a shear strength at 0.2 % offset."""
    return replace(lamina, allowables=replace(lamina.allowables, S02=S02))


SMALL = lattice()
KINDS = [replace(kind, lamina=offset(kind.lamina)) for kind in SMALL.kinds]
OFFSET = replace(SMALL, kinds=KINDS)
STRUT = Strut(MOLD_LINE, OFFSET.book([[4, 2, 1], [3, 1, 1]]))
BOTH = replace(REQUIREMENT, checks=recommended(), deflection_allowance=1.04)


@pytest.fixture(scope="module")
def table():
    return margins(STRUT, LOADS, BOTH, cases=CASES, stations=[0.0, 0.3])


def test_each_level_has_its_factor(table):
    """Special factor and 1.5 never multiply limit load; the deflection allowance stands on both."""
    of = {"limit": 1.04, "ultimate": 1.5 * 1.2 * 1.04}
    for level, rows in table.groupby("level", observed=True):
        np.testing.assert_allclose(rows["ratio"], rows["reserve"] * of[level], rtol=1e-12)
        if level == "ultimate":
            assert (rows["factor"] == of[level]).all()
    heavier = margins(STRUT, LOADS, replace(BOTH, special_factor=1.5), cases=CASES, stations=[0.0, 0.3])
    at_limit = table["level"] == "limit"
    np.testing.assert_allclose(heavier["margin"][at_limit], table["margin"][at_limit], rtol=1e-12)
    ultimate = ~at_limit & (table.index.get_level_values("mode") != "curved wall buckling")
    np.testing.assert_allclose(heavier["reserve"][ultimate] * 1.25, table["reserve"][ultimate], rtol=1e-12)


def test_default_checks_and_their_levels(table):
    plain = {"services": REQUIREMENT.services, "special_factor": 1.0, "special_factor_basis": "A-basis"}
    assert Requirement(**plain, route="allowables").checks == recommended()
    level = table.groupby(level="mode", observed=True)["level"].first().to_dict()
    assert {mode for mode, one in level.items() if one == "limit"} == {"limit matrix", "limit shear"}
    assert {"fiber strain", "ultimate shear", "crush", "buckling", "column"} <= set(level)
    silent = set(table.index[~table["decides"]].get_level_values("mode"))
    assert silent == {"tsai_wu", "max_strain"}


def test_matrix_checks_leave_fabric_out():
    full = margins(STRUT, LOADS, BOTH, cases=CASES, stations=[0.1], every_ply=True)
    kinds = np.array(["", *(ply.lamina.kind for ply in STRUT.ply_book.plies)])
    for mode, expected in (
        ("limit matrix", {"tape"}),
        ("crush", {"tape"}),
        ("limit shear", {"tape", "fabric"}),
    ):
        rows = full.xs(mode, level="mode")
        assert set(kinds[rows.index.get_level_values("ply")]) == expected


def test_caps_are_compared_with_the_strain_of_the_load_alone():
    """Axial load on one material: R is cap over N / (E1 A), whatever the cure left behind."""
    book = PlyBook([BookPly(lamina=offset(TAPE), angle_deg=0.0, walls=WALLS, start=0.0, end=0.5)] * 4)
    strut, N = Strut(STRAIGHT, book), np.array([2e5, -1e5])
    loads = PointLoads(at=[0.5], force=N[:, None, None] * [1.0, 0.0, 0.0])
    found = margins(strut, loads, replace(REQUIREMENT, checks=recommended(TESTED), corner_opening=False),
                    stations=[0.1], whole_strut=False).xs("fiber strain", level="mode")  # fmt: skip
    strain = N / (strut.section(0.1).mass_per_length / TAPE.density) / TAPE.E1
    for case, cap in ((0, TESTED.tension), (1, TESTED.compression)):
        np.testing.assert_allclose(found.xs(case, level="case")["ratio"], cap / abs(strain[case]), rtol=1e-9)


def test_ultimate_cases_meet_no_check_at_limit_and_no_second_factor(table):
    given = replace(LOADS, level=["limit", "ultimate", "limit"])
    found = margins(STRUT, given, BOTH, cases=CASES, stations=[0.0, 0.3])
    side = found.xs("side", level="case")
    assert set(side["level"]) == {"ultimate"}
    same = table.xs("side", level="case").loc[side.index]
    np.testing.assert_allclose(side["reserve"], 1.5 * same["reserve"], rtol=1e-12)
    others = found.drop("side", level="case")
    np.testing.assert_allclose(others["margin"], table.drop("side", level="case")["margin"], rtol=1e-12)
    own = margins(
        STRUT, replace(LOADS, factor_of_safety=[1.5, 2.0, 1.5]), BOTH, cases=CASES, stations=[0.0, 0.3]
    )
    ultimate = own.xs("side", level="case")
    ultimate = ultimate[ultimate["level"] == "ultimate"]
    np.testing.assert_allclose(ultimate["reserve"], same.loc[ultimate.index]["reserve"] * 0.75, rtol=1e-12)
    assert given.take([1, 0]).level == ("ultimate", "limit")
    assert given.times(2.0).level == given.level


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"level": ["limit"]}, "level: got length 1"),
        ({"level": ["limit", "mean", "limit"]}, "level"),
        ({"factor_of_safety": [1.5]}, "factor_of_safety: got length 1"),
        ({"factor_of_safety": [0.9, 1.5, 1.5]}, "factor_of_safety"),
        ({"level": ["ultimate"] * 3, "factor_of_safety": [1.5] * 3}, "act twice"),
    ],
)
def test_bad_levels(given, words):
    with pytest.raises(ValueError, match=words):
        replace(LOADS, **given)


def test_lightest_takes_both_levels_and_only_what_decides():
    """Enumerated: the lightest uniform book whose deciding rows hold; Tsai-Wu may be negative in it."""
    checks = (
        Check(criterion=MaxStress(), level="limit", applies_to="fabric"),
        Check(criterion=Puck(fiber=False), level="limit", name="limit matrix", applies_to="tape"),
        Check(criterion=ShearStrength(), level="ultimate", applies_to="tape"),
        Check(criterion=TESTED.criterion, level="ultimate", caps=TESTED),
    )
    one = lattice(1, most=(3, 2, 2))
    loads = replace(LOADS.times(0.6), level=["limit", "ultimate", "limit"])
    required = replace(REQUIREMENT, checks=checks)
    found = lightest(one, loads, required, cases=CASES)
    stations = np.unique(found.margins.index.get_level_values("station"))
    masses = []
    for counts in one.candidates:
        strut = Strut(MOLD_LINE, one.book(counts[None]))
        table = margins(strut, loads, required, cases=CASES, stations=stations)
        if table.loc[table["decides"], "margin"].min() >= -1e-9:
            masses.append(strut.mass)
    assert found.mass == pytest.approx(min(masses), rel=1e-12)
    assert abs(found.gap) < 1e-9


def test_puck_inter_fiber_is_convex_in_stress():
    """So the outermost plies govern: no state between two safe ones is unsafe."""
    rng = np.random.default_rng(5)
    for lamina in (TAPE, replace(TAPE, allowables=replace(TAPE.allowables, Yc=285e6, S=91e6, Yt=64e6))):
        a, criterion = lamina.allowables, Puck(fiber=False)
        states = rng.normal(size=(2, 20000, 3)) * [500e6, 100e6, 50e6]
        edge = states * criterion.ratio(states, a)[..., None]
        share = rng.uniform(size=(20000, 1))
        between = share * edge[0] + (1 - share) * edge[1]
        assert criterion.ratio(between, a).min() > 1 - 1e-9
    assert Check(criterion=Puck(fiber=False), level="limit").convex
    steep = Puck(inclination_tension=0.2, inclination_compression=0.3)
    assert not Check(criterion=steep, level="limit").convex


def test_shares_of_directions():
    assert shares(Laminate.from_code("[0/+45/-45/90]s", TAPE)) == pytest.approx((0.25, 0.5, 0.25))
    assert shares(Laminate.from_code("[0/45]s", CLOTH)) == pytest.approx((0.25, 0.5, 0.25))
    wall = Laminate.from_code("[0_3/45]s", TAPE)
    with pytest.raises(
        ValueError, match=r"share of 0 degree plies .* got 0.750, must be within 0.15 of the 0.25"
    ):
        replace(TESTED, outside="refuse").outside_range(wall)
    assert TESTED.outside_range(wall)
    assert not GUIDANCE.outside_range(wall)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"compression": 0.4}, "percent"),
        ({"compression": -0.003}, "sign"),
        ({"shares": ()}, "shares of 0, 45 and 90"),
        ({"shares": (0.5, 0.5, 0.5)}, "add up to 1"),
        ({"shares": (25, 50, 25)}, "percent"),
        ({"holes": (6.35,)}, "mm"),
        ({"holes": (0.00635, 0.003)}, "smallest and largest"),
        ({"basis": "guess"}, "basis"),
        ({"temperatures": (300.0,)}, "lowest and highest"),
        ({"temperatures": (21.0, 71.0)}, "degC"),
        (
            {"coupons": 30, "batches": 5},
            "'A' from estimate, not A-basis: 30 coupons in 5 batches, 55 in 5 needed",
        ),
    ],
)
def test_bad_caps(change, words):
    with pytest.raises(ValueError, match=words):
        replace(TESTED, **change)


def test_caps_belong_to_their_criterion():
    with pytest.raises(ValueError, match="must not differ"):
        Check(criterion=GUIDANCE.criterion, level="ultimate", caps=DECLARED_GUIDANCE)


def test_missing_strength_names_its_test():
    with pytest.raises(ValueError, match="ASTM D3518"):
        margins(Strut(MOLD_LINE, SMALL.book([[1, 1, 1], [1, 1, 1]])), LOADS, BOTH, stations=[0.1])


@pytest.mark.parametrize(
    ("route", "basis", "factors", "words"),
    [
        ("allowables", "mean", (), "a mean is no allowable"),
        ("allowables", "typical", (), "typical"),
        ("factor", "A", (), "scatter counts twice"),
        ("factor", "mean", (Factor(name="hot wet", value=0.8, on=("Xc",), source=INVENTED),), "hot wet"),
    ],
)
def test_routes_are_not_mixed_in_silence(route, basis, factors, words):
    tape = replace(TAPE, allowables=replace(TAPE.allowables, basis=basis).times(*factors))
    strut = Strut(
        MOLD_LINE, PlyBook([BookPly(lamina=tape, angle_deg=0.0, walls=WALLS, start=0.0, end=0.5)] * 4)
    )
    special = 1.0 if route == "allowables" else 1.2
    asked = replace(REQUIREMENT, route=route, special_factor=special, corner_opening=False, mixed=None)
    with pytest.raises(ValueError, match=words):
        margins(strut, LOADS, asked, stations=[0.1])
    mixed = replace(asked, mixed="invented", special_factor=1.2)
    assert len(margins(strut, LOADS, mixed, stations=[0.1]))
    if basis in ("mean", "typical"):
        with pytest.raises(ValueError, match=r"special_factor .* got 1.1, .* nothing covers scatter"):
            margins(strut, LOADS, replace(mixed, special_factor=1.1), stations=[0.1])


def test_the_route_of_allowables_needs_the_worst_environment():
    hot = Service(name="hot", temperature=344.0)
    asked = replace(REQUIREMENT, services=(hot,), special_factor=1.0, mixed=None)
    with pytest.raises(
        ValueError, match=r"environment of service 'hot': got none, must be tests .* or a factor"
    ):
        margins(STRUT, LOADS, asked, stations=[0.1])
    known = replace(hot, factors=(Factor(name="tested hot", value=1.0, on=("Xc",), source=INVENTED),))
    assert len(margins(STRUT, LOADS, replace(asked, services=(known,)), stations=[0.1]))


def test_rows_of_a_wall_outside_the_lay_up_of_its_caps_say_so():
    """The caps are of 25/50/25; at the root the caps of the tube hold more tape, at the tip less."""
    table = margins(STRUT, LOADS, replace(BOTH, checks=recommended(TESTED)), cases=CASES, stations=[0.0, 0.3])
    rows = table.xs("fiber strain", level="mode")
    said = rows["assumption"].astype(str).str.startswith("OUTSIDE THE LAY-UP OF THE CAPS")
    for (_, station, wall, _), out in said.items():
        share = shares(STRUT.ply_book.laminate(wall, station))[0]
        assert out == (abs(share - 0.25) > 0.15)
    assert said.any()
    assert not said.all()
    with pytest.raises(ValueError, match="share of 0 degree plies"):
        margins(
            STRUT, LOADS, replace(BOTH, checks=recommended(replace(TESTED, outside="refuse"))), stations=[0.0]
        )


def test_each_environment_may_have_caps_of_its_own():
    warm = replace(TESTED, services=("room",), temperatures=(288.0, 300.0))
    cold = replace(TESTED, tension=0.004, services=("cold",), temperatures=(220.0, 240.0), moisture=0.0)
    found = margins(STRUT, LOADS, replace(BOTH, checks=recommended(warm, cold)), cases=CASES, stations=[0.0])
    for name, caps in (("room", warm), ("cold", cold)):
        rows = found.xs(f"fiber strain, {name}", level="mode")
        assert set(rows["service"]) == {name}
        alone = replace(BOTH, services=[s for s in BOTH.services if s.name == name],
                        checks=recommended(replace(caps, services=())))  # fmt: skip
        same = margins(STRUT, LOADS, alone, cases=CASES, stations=[0.0]).xs("fiber strain", level="mode")
        np.testing.assert_allclose(rows["ratio"], same["ratio"], rtol=1e-12)
    for wrong, words in (
        ([warm], "caps of service 'cold': got none"),
        (
            [warm, replace(cold, temperatures=(240.0, 260.0))],
            "service 'cold': temperature .* got 233.* D5766",
        ),
        ([replace(cold, services=())], "service 'room': temperature"),
        ([replace(TESTED, basis="mean")], None),
    ):
        if words is None:
            with pytest.raises(ValueError, match="no mean on route"):
                replace(BOTH, checks=recommended(*wrong), special_factor=1.0, mixed=None)
            continue
        with pytest.raises(ValueError, match=words):
            replace(BOTH, checks=recommended(*wrong))
    wet = replace(TESTED, moisture=0.004)
    with pytest.raises(ValueError, match=r"moisture .* got 0.006, must be <= 0.004"):
        replace(
            BOTH, checks=recommended(wet), services=[Service(name="wet", temperature=293.0, moisture=0.006)]
        )


def test_a_matrix_criterion_is_not_given_a_fabric():
    puck = Check(criterion=Puck(), level="limit")
    with pytest.raises(ValueError, match=r"puck.*fabric"):
        margins(STRUT, LOADS, replace(REQUIREMENT, checks=(puck,)), stations=[0.1])


def test_recommended_takes_caps_only():
    for given in ((3.0,), (GUIDANCE, 3.0), (None,)):
        with pytest.raises(ValueError, match="must be of type Caps"):
            recommended(*given)


def test_fiber_strain_without_caps_names_the_tests():
    with pytest.raises(ValueError, match=r"ASTM D5766.*GUIDANCE may stand in"):
        Check(criterion=TESTED.criterion, level="ultimate")


def test_rows_say_what_they_rest_on(table):
    said = table.groupby(level="mode", observed=True)["assumption"].first()
    assert "GUIDANCE, not an allowable" in said["fiber strain"]
    assert "B, invented; invented for tests; B-basis, sampling not stated" in said["crush"]
    assert "A-basis, sampling not stated" in TESTED.note
    assert "A-basis, reduced sampling: 55 coupons in 5" in replace(TESTED, coupons=55, batches=5).note
    assert "does not decide" in said["tsai_wu"]
    assert not (table["assumption"] == "").any()


def test_printed_tables_name_level_reason_and_warning(table):
    text = texts.margins(lowest(table, None, by="mode"))
    assert "limit matrix" in text
    assert "tsai_wu" not in text
    assert "GUIDANCE" in text
    one = texts.margins(lowest(table[table["level"] == "limit"], 3))
    assert "Only checks at limit load stand in this table" in one
    worse = margins(STRUT, LOADS.times(3.0), BOTH, cases=CASES, stations=[0.0])
    silent = texts.screened(worse)
    assert silent.startswith("WARNING: negative, though it does not decide: tsai_wu")
    assert "first-ply failure at ultimate load is no requirement" in " ".join(silent.split())


def test_shear_strain_beyond_the_linear_one_is_cut():
    """The failure strain of the nonlinear coupon is no limit of a linear analysis."""
    loose = replace(TAPE, allowables=replace(TAPE.allowables, g12=0.05))
    struts = [
        Strut(MOLD_LINE, PlyBook([BookPly(lamina=one, angle_deg=45.0, walls=WALLS, start=0.0, end=0.5)] * 4))
        for one in (TAPE, loose)
    ]
    cut = replace(TAPE.allowables, g12=TAPE.allowables.S / TAPE.G12)
    asked = replace(REQUIREMENT, corner_opening=False)
    loads = PointLoads(at=[0.5], force=np.zeros((1, 1, 3)), moment=[[[900.0, 0.0, 0.0]]])
    strut = Strut(MOLD_LINE, PlyBook([BookPly(lamina=replace(TAPE, allowables=cut), angle_deg=45.0, walls=WALLS,
                                              start=0.0, end=0.5)] * 4))  # fmt: skip
    given = [
        margins(one, loads, asked, stations=[0.1]).xs("max_strain", level="mode") for one in (*struts, strut)
    ]
    np.testing.assert_allclose(given[1]["ratio"], given[2]["ratio"], rtol=1e-12)
    assert given[1]["assumption"].str.contains("g12 cut from 0.05 to S/G12 = 0.02143").all()


def test_crush_is_the_transverse_strength():
    check = next(one for one in recommended() if one.mode == "crush")
    assert check.criterion == Crush()
    assert [one.mode for one in screening(decides=False) if not one.decides] == ["tsai_wu", "max_strain"]
