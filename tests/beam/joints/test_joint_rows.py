"""Factors and rows of joints: 14 CFR 23.619 to 23.625, and the margin table they must fit into."""

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest
from small_strut import CASES, LOADS, MOLD_LINE, REQUIREMENT, lattice

from beam.dossier.tables import lowest
from beam.joints import JointFactors, JointLoads, with_joints
from beam.joints.joint_rows import JointCheck, interaction_ratio, joint_rows, strength_ratio
from beam.strength.margins import margins
from beam.strut import Strut

FORCE = [[1.0, 0.0, 0.0], [2.0, 0.0, 0.0], [3.0, 0.0, 0.0]]
REQUIRED = replace(REQUIREMENT, special_factor=1.2, deflection_allowance=1.1)


def check(level="ultimate", **more):
    return JointCheck("part", "mode", level, np.array([3.0, 3.0, 3.0]), "invented", **more)


def rows(*checks, loads=None, factors=None):
    loads = loads or JointLoads(force=FORCE)
    return joint_rows("joint", checks, loads, REQUIRED, factors=factors or JointFactors())


def test_reserve_by_the_factors_of_the_code():
    bearing = JointFactors(bearing=2.0, bearing_basis="practice")
    for given, factors, divisor in (
        (check(), JointFactors(), 1.5 * 1.15 * 1.1),
        (check(laminate=True), JointFactors(), 1.5 * 1.2 * 1.15 * 1.1),
        (check("limit", laminate=True), JointFactors(), 1.15 * 1.1),
        (check(kind="bearing"), bearing, 1.5 * 2.0 * 1.1),
        (check(), bearing, 1.5 * 1.15 * 1.1),
        (check(kind="bearing"), JointFactors(casting=1.5, casting_basis="visual"), 1.5 * 1.25 * 1.1),
        (check(), JointFactors(casting=1.5, casting_basis="visual"), 1.5 * 1.5 * 1.1),
        (
            check(laminate=True),
            JointFactors(combination="highest", combination_basis="agreed"),
            1.5 * 1.2 * 1.1,
        ),
    ):
        table = rows(given, factors=factors)
        np.testing.assert_allclose(table["reserve"], 3.0 / divisor, rtol=1e-14)
        np.testing.assert_allclose(table["margin"], 3.0 / divisor - 1, rtol=1e-13)


def test_which_rule_ran_is_printed():
    said = rows(check(laminate=True))["assumption"].iloc[0]
    assert "fitting 1.15: 14 CFR 23.625" in said
    assert "special 1.2: " in said


def test_a_case_at_ultimate_load_meets_no_limit_check_and_no_second_factor():
    loads = JointLoads(force=FORCE, cases=["a", "b", "c"], level=("limit", "ultimate", "limit"),
                       factor_of_safety=[1.5, 1.0, 2.0])  # fmt: skip
    table = rows(check("limit"), check(), loads=loads)
    assert len(table) == 5
    ultimate = table[table["level"] == "ultimate"]["reserve"]
    np.testing.assert_allclose(ultimate, 3.0 / (1.15 * 1.1 * np.array([1.5, 1.0, 2.0])), rtol=1e-14)


def test_rows_fit_into_the_margin_table():
    strut = Strut(MOLD_LINE, lattice(1, most=(1, 1, 1)).book([[1, 1, 1]]))
    table = margins(strut, LOADS, REQUIREMENT, cases=CASES, stations=[0.1], whole_strut=False)
    loads = JointLoads(force=np.ones((len(CASES), 3)), cases=CASES)
    weak = JointCheck("lug", "net tension", "ultimate", np.full(len(CASES), 0.1), "invented")
    new = joint_rows("pivot", [weak], loads, REQUIREMENT, factors=JointFactors(), station=0.5)
    assert list(new.columns) == list(table.columns)
    assert new.index.names == table.index.names
    both = with_joints(table, new)
    assert (both.dtypes == table.dtypes).drop(["assumption", "service"]).all()
    assert all(
        isinstance(both[name].dtype, pd.CategoricalDtype) for name in ("level", "service", "assumption")
    )
    assert len(both) == len(table) + len(new)
    pd.testing.assert_series_equal(both["ratio"].iloc[: len(table)].reset_index(drop=True),
                                   table["ratio"].reset_index(drop=True))  # fmt: skip
    first = lowest(both, 1).iloc[0]
    assert (first["wall"], first["mode"], first["ply"], first["station"]) == (
        "pivot: lug",
        "net tension",
        0,
        0.5,
    )
    assert len(pd.concat([table, new])) == len(both)


def test_interaction_meets_its_equation_and_its_closed_forms():
    rng = np.random.default_rng(1)
    s, t = 10 ** rng.uniform(-6, 3, (2, 200))
    R = interaction_ratio((s, 3.0), (t, 2.0))
    np.testing.assert_allclose((R * s) ** 3 + (R * t) ** 2, 1.0, rtol=1e-12)
    np.testing.assert_allclose(interaction_ratio((s, 2.0), (t, 2.0)), 1 / np.hypot(s, t), rtol=1e-12)
    np.testing.assert_allclose(interaction_ratio((s, 1.6), (0.0, 1.6)), 1 / s, rtol=1e-12)
    assert interaction_ratio((0.0, 3.0), (0.0, 2.0)) == np.inf
    assert strength_ratio(3.0, [-2.0, 0.0]).tolist() == [1.5, np.inf]


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"fitting": 1.1}, "fitting .*1.15"),
        ({"casting": 1.25}, "casting_basis"),
        ({"bearing": 2.0}, "bearing_basis"),
        ({"combination": "highest"}, "combination_basis"),
    ],
)
def test_a_factor_without_its_basis_is_named(given, says):
    with pytest.raises(ValueError, match=says):
        JointFactors(**given)


def test_loads_that_do_not_match_are_named():
    with pytest.raises(ValueError, match=r"cases.*3, all different"):
        JointLoads(force=FORCE, cases=["a", "a", "b"])
    with pytest.raises(ValueError, match=r"force, moment: got shapes"):
        JointLoads(force=FORCE, moment=np.ones((2, 3)))
    with pytest.raises(ValueError, match=r"level: got length 2"):
        JointLoads(force=FORCE, level=("limit", "limit"))
