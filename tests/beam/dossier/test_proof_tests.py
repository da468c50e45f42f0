"""Test plans: samples, jack loads, predicted gauge readings, and the way back."""

import numpy as np
import pytest
from calls_sizing import FOUND, FOUND_LOADS
from matplotlib.figure import Figure
from small_strut import REQUIREMENT, TAPE

from beam.dossier import (
    Gauge,
    compare_gauges,
    coupon_plan,
    element_plan,
    inspection_plan,
    plan_static_test,
    plots,
)
from beam.strength import GUIDANCE, Damage


@pytest.fixture(scope="module")
def plan():
    return plan_static_test(FOUND.strut, FOUND_LOADS, REQUIREMENT, FOUND.margins, cases=[0, 1, 2], overload=1.15,
                            overload_basis="invented", count=2)  # fmt: skip


SAMPLES = [
    ("A", "reduced", (55, 5)),
    ("A", "robust", (75, 10)),
    ("B", "reduced", (18, 3)),
    ("B", "robust", (30, 5)),
]


@pytest.mark.parametrize(("basis", "sample", "size"), SAMPLES)
def test_samples_of_strengths(basis, sample, size):
    """CMH-17-1G section 8.2, from memory, as in strength allowables."""
    table = coupon_plan(REQUIREMENT, [TAPE], basis=basis, sample=sample)
    shear = table[table["standard"] == "ASTM D3518"]
    assert {(n, b) for n, b in zip(shear["specimens"], shear["batches"], strict=True)} == {size}
    assert set(table["environment"]) >= {one.name for one in REQUIREMENT.services}
    assert (table[table["property"] == "wet glass transition"]["specimens"] == 6).all()


def test_coupon_plan_says_what_is_missing():
    table = coupon_plan(REQUIREMENT, [TAPE]).drop_duplicates("property").set_index("property")["in use today"]
    assert table["fracture toughness, sliding"] == "none"
    assert TAPE.allowables.basis in table["tension along the fibers"]


def test_jack_loads_are_limit_loads_times_overload_and_factors(plan):
    """Balance: the reactions of the clamp carry what the jacks put on."""
    lowest = int(np.argmin(FOUND.margins.groupby(level="case")["margin"].min()))
    assert plan.cases[0] == str(lowest)
    np.testing.assert_allclose(plan.limit[0, :, :3], 1.15 * FOUND_LOADS.force[lowest], rtol=1e-12)
    table = plan.loads().set_index(["case", "level", "station [m]"])
    ultimate = REQUIREMENT.factor_of_safety * REQUIREMENT.special_factor
    both = [table.xs((plan.cases[0], level)).to_numpy() for level in ("limit", "ultimate")]
    np.testing.assert_allclose(both[1], ultimate * both[0], rtol=1e-12)
    np.testing.assert_allclose(plan.reactions[:, :3], -plan.limit[:, :, :3].sum(axis=1), rtol=1e-9)


def test_predicted_readings_are_the_strains_of_the_outer_ply(plan):
    """Ply axes to wall axes by Mohr's circle, from the state that the criteria judge."""
    strut, gauge = FOUND.strut, plan.gauges[1]
    case = [int(c) for c in plan.cases]
    forces = strut.span.forces(FOUND_LOADS.times(1.15), at=[gauge.station])[case, 0]
    wall = strut.mold_line.wall_names.index(gauge.wall)
    running = strut.section(gauge.station).wall_loads(forces, [0.5])[:, wall, 0]
    laminate = strut.ply_book.laminate(gauge.wall, gauge.station)
    e1, e2, g12 = np.moveaxis(
        laminate.response(N=running[:, :3], M=running[:, 3:]).load_strain[:, -1, 1], -1, 0
    )
    a = np.radians(laminate.plies[-1].angle_deg)
    mean, half = (e1 + e2) / 2, (e1 - e2) / 2
    along = mean + half * np.cos(2 * a) - g12 / 2 * np.sin(2 * a)
    around = mean - half * np.cos(2 * a) + g12 / 2 * np.sin(2 * a)
    shear = 2 * half * np.sin(2 * a) + g12 * np.cos(2 * a)
    found = plan.strain[:, 1]
    np.testing.assert_allclose(found, np.stack([along, around, shear], -1), rtol=1e-9, atol=1e-12)
    table = plan.readings()
    row = table[(table["channel"] == f"{gauge.title}, along the span") & (table["load / limit"] == 0.4)].iloc[
        0
    ]
    assert row["predicted"] == pytest.approx(0.4 * along[0], rel=1e-9)


def test_sequence_reaches_limit_before_ultimate(plan):
    """14 CFR 23.305: no detrimental deformation at limit load; ultimate load for three seconds."""
    table = plan.sequence()
    first = table[table["do"].str.contains("hold 3 s")].index.min()
    assert (table.loc[: first - 1, "load / limit"] >= 1.0).any()
    assert table["load / limit"].max() == pytest.approx(
        REQUIREMENT.factor_of_safety * REQUIREMENT.special_factor
    )
    each = table[table["load / limit"] == 1.0]
    assert len(each[each["do"].str.contains("permanent")]) == len(plan.cases)


def test_measured_readings_come_back_as_errors_and_stops(plan):
    read = plan.readings()[["case", "load / limit", "channel", "predicted"]].rename(
        columns={"predicted": "measured"}
    )
    read["measured"] *= 1.02
    table = compare_gauges(plan, read)
    largest = table.loc[table["error / largest"].abs().idxmax()]
    assert abs(largest["error / largest"]) == pytest.approx(0.02, rel=1e-9)
    assert not table["stop"].any()
    read["measured"] *= 1.1 / 1.02 + 1e-6
    assert compare_gauges(plan, read)["stop"].any()
    ax = plots.plot_gauges(table, plan.cases[0], ax=Figure().subplots())
    assert len(ax.lines) == 18
    with pytest.raises(ValueError, match="a planned reading; misspelt"):
        compare_gauges(plan, read.assign(channel="nowhere"))
    with pytest.raises(ValueError, match="no measured, must be the columns"):
        compare_gauges(plan, read.drop(columns="measured"))


def test_elements_stand_behind_the_lowest_margin_of_their_mode():
    table = element_plan(FOUND.margins).set_index("test")
    low = FOUND.margins.xs("buckling", level="mode")["margin"].min()
    assert table.loc["wall between corners, compression and shear", "margin"] == pytest.approx(low)
    assert table.loc["lug of a fitting", "margin"] == "not judged"


def test_damage_categories_say_what_they_carry():
    table = inspection_plan([Damage(category=1, caps=GUIDANCE, standing="guidance")]).set_index("item")
    assert "ultimate load" in table.loc["damage category 1", "then"]
    assert "GUIDANCE" in table.loc["damage category 1", "then"]


def test_bad_input_is_named():
    with pytest.raises(ValueError, match="Gauge: wall: got 'aftt'"):
        plan_static_test(FOUND.strut, FOUND_LOADS, REQUIREMENT, FOUND.margins, cases=[0, 1, 2], overload=1.0,
                         overload_basis="x", gauges=[Gauge(station=0.1, wall="aftt")])  # fmt: skip
    with pytest.raises(ValueError, match="cases: got 2 labels, must be 3"):
        plan_static_test(FOUND.strut, FOUND_LOADS, REQUIREMENT, FOUND.margins, cases=["a", "b"], overload=1.0,
                         overload_basis="x")  # fmt: skip
    with pytest.raises(ValueError, match="cases: got no '0', must be the labels"):
        plan_static_test(FOUND.strut, FOUND_LOADS, REQUIREMENT, FOUND.margins, cases=["a", "b", "c"], overload=1.0,
                         overload_basis="x")  # fmt: skip
