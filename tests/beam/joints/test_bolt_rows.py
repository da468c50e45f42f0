"""Joints of several rows: printed shares, an independent assembly of springs, clearance, heat, rings, margins."""

from dataclasses import replace

import numpy as np
import pytest
from calls_joints import HOLE, METAL_PLATE, TIGHT, WALL
from hypothesis import given, settings
from hypothesis import strategies as st
from printed import printed
from scipy.optimize import brentq
from small_strut import REQUIREMENT

from beam.joints import InstalledBolt, JointLoads, RowJoint, fastener, fastener_flexibility, row_loads

PLAIN = replace(REQUIREMENT, deflection_allowance=1.0)
BARE = InstalledBolt(fastener=fastener("M6 8.8"))
GIVEN = {"name": "root", "plates": (WALL, METAL_PLATE), "bolt": BARE, "pitch": [25e-3, 25e-3], "columns": 1}
COLD_HOT = [2e-6 * -80.0, 23e-6 * -80.0]
FOUR = {
    "flexibility": [2e-8, 2.2e-8, 1.8e-8, 2e-8], "pitch": [25e-3, 25e-3, 30e-3],
    "stiffness": [[6e6, 6e6, 6e6], [6.3e6, 6.3e6, 4.2e6]],
}  # fmt: skip


def joint(**change):
    return RowJoint(**GIVEN | change)


def springs(load, flexibility, pitch, stiffness, free_strain=(0.0, 0.0)):
    """Second way: plates and bolts as springs between nodes, displacements by one stiffness matrix."""
    n = len(flexibility)
    K, f = np.zeros((2 * n, 2 * n)), np.zeros(2 * n)

    def add(i, j, k, longer=0.0):
        K[np.ix_([i, j], [i, j])] += k * np.array([[1, -1], [-1, 1]])
        f[[i, j]] += np.array([-1, 1]) * k * longer

    for plate in range(2):
        for i in range(n - 1):
            length = pitch[i]
            add(plate * n + i, plate * n + i + 1, stiffness[plate][i] / length, free_strain[plate] * length)
    for i in range(n):
        add(i, n + i, 1 / flexibility[i])
    f[0] -= load  # pulls plate A away from the joint
    u = np.zeros(2 * n)
    free = np.arange(2 * n - 1)  # the end of plate B stays
    u[free] = np.linalg.solve(K[np.ix_(free, free)], f[free])
    return (u[n:] - u[:n]) / np.asarray(flexibility)


def test_printed_shares():
    EA = 72e9 * 3e-3 * 25e-3
    C = float(fastener_flexibility(6.35e-3, 200e9, thickness=[3e-3, 3e-3], moduli=[72e9, 72e9]))
    assert printed("1.98828e-05") == 1e3 * C
    equal = row_loads([1.0], flexibility=[C] * 3, pitch=[25e-3] * 2, stiffness=[[EA] * 2] * 2)[0]
    for found, text in zip(equal, ["0.355729", "0.288543", "0.355729"], strict=True):
        assert found == printed(text)
    C = float(fastener_flexibility(6.35e-3, 200e9, thickness=[6e-3, 3e-3], moduli=[72e9, 72e9]))
    for flexibility, texts in ((C, "0.307285 0.298028 0.394687"), (0.0, "0.333333 0.000000 0.666667")):
        stepped = {"pitch": [25e-3] * 2, "stiffness": [[2 * EA] * 2, [EA] * 2]}
        for found, text in zip(
            row_loads([1.0], flexibility=[flexibility] * 3, **stepped)[0], texts.split(), strict=True
        ):
            assert found == printed(text)
    two = {"flexibility": [2e-8, 3e-8], "pitch": [30e-3], "stiffness": [[6e6], [9e6]]}
    assert row_loads([10e3], **two)[0] == pytest.approx([6000, 4000], rel=1e-12)
    assert row_loads([10e3], **two, free_strain=COLD_HOT)[0] == pytest.approx([6864, 3136], rel=1e-12)
    for found, text in zip(
        row_loads([20e3], **FOUR, free_strain=COLD_HOT)[0],
        ["7679.07", "4123.48", "3410.90", "4786.55"],
        strict=True,
    ):
        assert found == printed(text)
    three = {"flexibility": [2e-8] * 3, "pitch": [25e-3] * 2, "stiffness": [[6e6] * 2] * 2}
    for found, text in zip(
        row_loads([15e3], **three, clearance=[0, 5e-5, 0])[0], ["6036.59", "2926.83", "6036.59"], strict=True
    ):
        assert found == printed(text)


def test_three_equal_bolts_in_closed_form():
    kappa = 25e-3 / (6e6 * 2e-8)
    found = row_loads([1.0], flexibility=[2e-8] * 3, pitch=[25e-3] * 2, stiffness=[[6e6] * 2] * 2)[0]
    assert found == pytest.approx(np.array([1 + kappa, 1, 1 + kappa]) / (3 + 2 * kappa), rel=1e-12)


def test_limits():
    soft = row_loads([1.0], flexibility=[1e-5] * 4, pitch=FOUR["pitch"], stiffness=FOUR["stiffness"])[0]
    assert soft == pytest.approx([0.25] * 4, rel=1e-3)  # soft bolts share evenly
    one = row_loads([5e3, -2e3], flexibility=[2e-8], pitch=[], stiffness=np.zeros((2, 0)) + 1, clearance=1e-4)
    assert one.tolist() == [[5e3], [-2e3]]


sizes = st.lists(st.floats(0.2, 5.0), min_size=5, max_size=5)


@given(C=sizes, p=sizes, A=sizes, B=sizes, load=st.floats(-3e4, 3e4), heat=st.floats(-2e-3, 2e-3))
@settings(max_examples=40, deadline=None)
def test_shares_are_those_of_a_matrix_solve(C, p, A, B, load, heat):
    given_ = {
        "flexibility": np.array(C) * 2e-8, "pitch": np.array(p[:4]) * 25e-3,
        "stiffness": np.array([A[:4], B[:4]]) * 6e6,
    }  # fmt: skip
    found = row_loads([load], **given_, free_strain=[heat, -heat / 3])[0]
    assert found == pytest.approx(springs(load, **given_, free_strain=[heat, -heat / 3]), rel=1e-7, abs=1e-5)
    assert found.sum() == pytest.approx(load, rel=1e-10, abs=1e-10 * abs(found).max())


@given(
    C=sizes, g=st.lists(st.floats(0, 2e-4), min_size=5, max_size=5), load=st.floats(-3e4, 3e4),
    heat=st.floats(-2e-3, 2e-3),
)  # fmt: skip
@settings(max_examples=80, deadline=None)
def test_clearance_keeps_contact_true(C, g, load, heat):
    """Bolts that carry have slipped their clearance in that sense, the others not: slips by the plates alone."""
    C, g = np.array(C) * 2e-8, np.array(g)
    pitch, EA = np.full(4, 25e-3), np.array([[6e6] * 4, [9e6] * 4])
    F = row_loads([load], flexibility=C, pitch=pitch, stiffness=EA, free_strain=[heat, 0.0], clearance=g)[0]
    assert F.sum() == pytest.approx(load, rel=1e-10, abs=1e-6)
    S = np.cumsum(F)[:-1]
    lost = np.concatenate([[0], np.cumsum(pitch * ((load - S) / EA[0] + heat - S / EA[1]))])
    bears = abs(F) > 1e-6
    if not bears.any():
        assert lost.max() - lost.min() <= 2 * g.max() + 1e-12
        return
    slips = C * F + np.sign(F) * g
    first = np.flatnonzero(bears)[0]
    every = slips[first] + lost[first] - lost
    assert every[bears] == pytest.approx(slips[bears], rel=1e-7, abs=1e-11)
    assert (abs(every[~bears]) <= g[~bears] * (1 + 1e-7) + 1e-11).all()
    back = row_loads(
        [-load], flexibility=C, pitch=pitch, stiffness=EA, free_strain=[-heat, 0.0], clearance=g
    )[0]
    assert back == pytest.approx(-F, rel=1e-7, abs=1e-5)


def test_load_takes_up_clearances_one_by_one():
    loads = [0.0, 100.0, 3e3, 15e3, -15e3]
    F = row_loads(
        loads, flexibility=[2e-8] * 3, pitch=[25e-3] * 2, stiffness=[[6e6] * 2] * 2, clearance=[2e-4, 0, 1e-4]
    )
    assert F[0].tolist() == [0, 0, 0]
    assert F[1] == pytest.approx([0, 100, 0], abs=1e-9)
    assert F[2, 0] == pytest.approx(0.0, abs=1e-9)
    assert (F[3] > 0).all()
    assert F[4] == pytest.approx(-F[3], rel=1e-12)


@pytest.mark.parametrize(
    "change", [{"pitch": [25e-3]}, {"stiffness": [[6e6] * 2] * 2}, {"clearance": [0.0, 0.0]}]
)
def test_shapes_that_do_not_match(change):
    with pytest.raises(ValueError, match="row_loads"):
        row_loads([1e3], **FOUR | change)


def test_more_rows_lower_the_worst_and_more_columns_the_strip():
    last = np.inf
    for count in (1, 2, 3, 4, 6):
        one = joint(plates=(METAL_PLATE, METAL_PLATE), pitch=[25e-3] * (count - 1))
        worst = one.loads_of_rows([[10e3, 0, 0]], [[0, 0, 0]]).max()
        assert worst < last
        last = worst
    assert joint(columns=4).strip_loads([8e3, 4e3, 0], [0, 0, 0]).tolist() == [[2e3, 1e3]]


def test_ring_is_in_equilibrium():
    one = joint(columns=9, radius=36e-3)
    force, moment = (
        np.array([[20e3, 3e3, -4e3], [-5e3, 0, 0]]),
        np.array([[300.0, 200.0, -500.0], [0, 0, 100.0]]),
    )
    strips = one.strip_loads(force, moment)
    angle = 2 * np.pi * np.arange(9) / 9
    along, around = strips[..., 0], strips[..., 1]
    y, z = 36e-3 * np.cos(angle), 36e-3 * np.sin(angle)
    whole = np.stack(
        [along.sum(-1), -(around * np.sin(angle)).sum(-1), (around * np.cos(angle)).sum(-1)], axis=-1
    )
    turned = np.stack([36e-3 * around.sum(-1), (z * along).sum(-1), -(y * along).sum(-1)], axis=-1)
    assert whole == pytest.approx(force, rel=1e-10, abs=1e-7)
    assert turned == pytest.approx(moment, rel=1e-10, abs=1e-9)
    shared = one.loads_of_rows(force, moment, temperature=233.0)
    assert shared.sum(axis=2) == pytest.approx(strips, rel=1e-10, abs=1e-6)
    heat = one.loads_of_rows(0 * force, 0 * moment, temperature=233.0)
    assert abs(heat[..., 0]).max() > 10.0
    assert not heat[..., 1].any()


def test_rows_across_share_with_the_shear_stiffness():
    one = joint(plates=(METAL_PLATE, METAL_PLATE))
    metal, C = METAL_PLATE.metal, float(one.slips[0])
    G = metal.G * 4e-3 * 27e-3
    found = one.loads_of_rows([[0, 6e3, 0]], [[0, 0, 0]])[0, 0, :, 1]
    assert found == pytest.approx(
        row_loads([6e3], flexibility=[C] * 3, pitch=[25e-3] * 2, stiffness=[[G] * 2] * 2)[0]
    )


def rows(one, force, moment=(0.0, 0.0, 0.0)):
    table = one.margins(JointLoads(force=[force], moment=[moment]), PLAIN).reset_index()
    table["part"] = table["wall"].astype(str).str.partition(": ")[2]
    return table.set_index(["part", "mode", "service"]).sort_index()


def test_margins_of_one_row_by_hand():
    """One bolt per column: no sharing, no heat; ratios as the hole and the bolt have them alone."""
    one = joint(pitch=[])
    found = rows(one, [4e3, 0, 0])
    for service in ("room", "cold"):
        hole = HOLE.ratios(4e3)
        for mode in ("net_tension", "bearing", "shear_out"):
            key = ("wall, row 1", mode.replace("_", " "), service)
            assert found.loc[key, "ratio"] == pytest.approx(float(getattr(hole, mode)), rel=1e-9)
            assert found.loc[key, "reserve"] == pytest.approx(
                found.loc[key, "ratio"] / (1.5 * 1.15 * 1.2), rel=1e-9
            )
        rs = 4e3 / BARE.fastener.shear_strength
        assert found.loc[("bolt, row 1", "shear", service), "ratio"] == pytest.approx(1 / rs, rel=1e-9)
        R = found.loc[("bolt, row 1", "shear and bending", service), "ratio"]
        rb = 4e3 * 1.75e-3 / (1.56 * 800e6 * np.pi * 6e-3**3 / 32)
        assert pytest.approx(1 / np.hypot(rs, rb), rel=1e-9) == R
    half = joint(pitch=[], bolt=replace(BARE, bending_share=0.5, bending_basis="test"))
    key = ("bolt, row 1", "bending", "room")
    assert rows(half, [4e3, 0, 0]).loc[key, "ratio"] == pytest.approx(2 * found.loc[key, "ratio"], rel=1e-9)
    assert "0.5 of it: test" in rows(half, [4e3, 0, 0]).loc[key, "assumption"]


def test_bypass_of_every_row():
    """Without heat: at row i plate A still carries what the rows behind it take, plate B what those before it gave."""
    one = joint(assembly_temperature=293.0)
    found = rows(one, [9e3, 0, 0])
    F = one.loads_of_rows([[9e3, 0, 0]], [[0, 0, 0]])[0, 0, :, 0]
    for i in range(3):
        hole = HOLE.ratios(F[i], bypass=9e3 - F[: i + 1].sum())
        ratio = found.loc[(f"wall, row {i + 1}", "net tension", "room"), "ratio"]
        assert ratio == pytest.approx(float(hole.net_tension), rel=1e-9)
        net = METAL_PLATE.metal.Ftu * 4e-3 * 21e-3 / F[: i + 1].sum()
        assert found.loc[(f"fitting, row {i + 1}", "net section", "room"), "ratio"] == pytest.approx(
            net, rel=1e-9
        )
    back = rows(one, [-9e3, 0, 0])
    hole = HOLE.ratios(-F[0], bypass=F[0] - 9e3)
    assert back.loc[("wall, row 1", "compression", "room"), "ratio"] == pytest.approx(
        float(hole.compression), rel=1e-9
    )
    assert np.isinf(back.loc[("wall, row 1", "net tension", "room"), "ratio"])
    assert back.loc[("bolt, row 1", "shear", "room"), "ratio"] == pytest.approx(
        found.loc[("bolt, row 1", "shear", "room"), "ratio"], rel=1e-12
    )


def test_double_shear_halves_bearing_and_bolt_shear():
    both = (METAL_PLATE, METAL_PLATE)
    one, two = (joint(plates=both, pitch=[], bolt=replace(BARE, planes=planes)) for planes in (1, 2))
    single, double = rows(one, [4e3, 0, 0]), rows(two, [4e3, 0, 0])
    key = ("bolt, row 1", "shear", "room")
    assert double.loc[key, "ratio"] == pytest.approx(2 * single.loc[key, "ratio"], rel=1e-12)
    three = joint(plates=both, bolt=replace(BARE, planes=2))
    EA = METAL_PLATE.metal.E * 4e-3 * 27e-3
    shared = row_loads([4e3], flexibility=three.slips, pitch=[25e-3] * 2, stiffness=[[EA] * 2, [2 * EA] * 2])[
        0
    ]
    assert three.loads_of_rows([[4e3, 0, 0]], [[0, 0, 0]])[0, 0, :, 0] == pytest.approx(shared, rel=1e-12)
    borne = METAL_PLATE.metal.bearing_strength(2.5)[0] * 24e-6
    found = double.xs("bearing", level="mode")["ratio"]
    assert sorted(found[found.index.get_level_values("service") == "room"]) == pytest.approx(
        [borne / 4e3, borne / 2e3]
    )


def test_reserve_is_one_at_the_load_that_breaks_with_heat_and_clearance():
    """Heat and clearance do not grow with load: the load of reserve 1 puts the hole at its strength."""
    one = joint(service="cold", clearance=[0, 3e-5, 3e-5])
    key = ("wall, row 1", "net tension", "cold")
    P = brentq(lambda load: rows(one, [load, 0, 0]).loc[key, "reserve"] - 1, 2e3, 60e3, xtol=1e-6)
    F = one.loads_of_rows([[1.5 * P, 0, 0]], [[0, 0, 0]], temperature=233.0)[0, 0, :, 0]
    hole = HOLE.ratios(F[0], bypass=1.5 * P - F[0])
    assert float(hole.net_tension) == pytest.approx(1.15 * 1.2, rel=1e-6)
    words = rows(one, [1e3, 0, 0]).loc[key, "assumption"]
    assert "factor b plate by plate (convention)" in words
    assert "-61 K since assembly" in words
    assert "same in every service" not in words
    assert "same in every service" in rows(joint(), [1e3, 0, 0]).loc[key, "assumption"]


def test_a_torque_bears_with_its_resultant_and_the_principal_bypass():
    one = joint(columns=8, radius=36e-3, assembly_temperature=293.0)
    found = rows(one, [8e3, 0, 0], [200.0, 0, 0])
    F = one.loads_of_rows([[8e3, 0, 0]], [[200.0, 0, 0]])[0, 0]
    left = np.array([1e3, 200 / (8 * 36e-3)]) - F[0]
    top = left[0] / 2 + np.hypot(left[0] / 2, left[1])
    hole = HOLE.ratios(np.hypot(*F[0]), bypass=top)
    ratio = found.loc[("wall, row 1", "net tension", "room"), "ratio"]
    assert ratio == pytest.approx(float(hole.net_tension), rel=1e-9)
    both = F[0] + 0 * left
    net = METAL_PLATE.metal.Ftu * 4e-3 * 21e-3 / np.hypot(both[0], np.sqrt(3) * both[1])
    assert found.loc[("fitting, row 1", "net section", "room"), "ratio"] == pytest.approx(net, rel=1e-9)


def test_cases_together_equal_their_loop_and_ultimate_cases_meet_no_limit_check():
    one = joint(columns=6, radius=36e-3, clearance=2e-5, bolt=replace(BARE, preload=TIGHT))
    force, moment = np.array([[3e3, -1e3, 2e3], [-9e3, 0, 0]]), np.array([[50.0, 60, 70], [0, 0, 0]])
    level = ("limit", "ultimate")
    together = one.margins(JointLoads(force=force, moment=moment, level=level), PLAIN)["reserve"]
    for i in range(2):
        alone = JointLoads(force=force[i : i + 1], moment=moment[i : i + 1], level=level[i : i + 1])
        found = one.margins(alone, PLAIN)["reserve"].to_numpy()
        assert together.xs(i, level="case").to_numpy() == pytest.approx(found, rel=1e-9)
    table = one.margins(JointLoads(force=force, moment=moment, level=level), PLAIN).reset_index()
    assert set(table[table["case"] == 1]["level"]) == {"ultimate"}
    assert set(table[table["case"] == 0]["level"]) == {"ultimate", "limit"}


@pytest.mark.parametrize(
    ("change", "named"),
    [
        ({"pitch": [11e-3]}, "pitch"),
        ({"pitch": 0.02}, "pitch"),
        ({"flexibility": [1e-8] * 3}, "flexibility_basis"),
        ({"flexibility": [1e-8] * 2, "flexibility_basis": "test"}, "flexibility"),
        ({"clearance": [0.0, 0.0]}, "clearance"),
        ({"radius": 36e-3, "columns": 2}, "columns"),
        ({"radius": 36e-3, "columns": 10}, "strips overlap"),
        ({"law": "swift"}, "laminates"),
        ({"plates": (replace(WALL, holes=[HOLE, HOLE], limit_holes=()), METAL_PLATE)}, "holes of 'wall'"),
        ({"plates": (WALL, replace(METAL_PLATE, stiffness=[7e6]))}, "stiffness of 'fitting'"),
        ({"bolt": InstalledBolt(fastener=fastener("M5 8.8"))}, "hole of 'wall'"),
    ],
)
def test_joints_that_cannot_be(change, named):
    with pytest.raises(ValueError, match=named):
        joint(**change)


def test_loads_and_services_that_do_not_fit():
    with pytest.raises(ValueError, match="BoltGroup"):
        joint().strip_loads([1e3, 0, 0], [0, 0, 1.0])
    with pytest.raises(ValueError, match="BoltGroup"):
        joint().strip_loads([1e3, 0, 1.0], [0, 0, 0])
    with pytest.raises(ValueError, match="one of: room, cold"):
        rows(joint(service="hot"), [1e3, 0, 0])


def test_many_random_joints_with_clearance_at_once():
    """The slip of row 1 that every row allows: a bolt that bears fixes it, a loose one leaves a range."""
    rng = np.random.default_rng(5)
    for _ in range(12):
        n = int(rng.integers(2, 9))
        C = 10 ** rng.uniform(-8.5, -7, n) * (rng.random() > 0.2)
        g = rng.uniform(0, 3e-4, n) * (rng.random(n) > 0.3)
        P, heat = rng.uniform(-3e4, 3e4, 60), rng.uniform(-2e-3, 2e-3, (60, 2))
        p, EA = rng.uniform(15e-3, 40e-3, n - 1), 10 ** rng.uniform(6, 7.5, (2, n - 1))
        given_ = {"flexibility": C, "pitch": p, "stiffness": EA, "clearance": g}
        F = row_loads(P, **given_, free_strain=heat)
        assert F.sum(axis=1) == pytest.approx(P, rel=1e-10)
        S = np.cumsum(F, axis=1)[:, :-1]
        grows = p * ((P[:, None] - S) / EA[0] + heat[:, :1] - S / EA[1] - heat[:, 1:])
        lost = np.concatenate([np.zeros((60, 1)), np.cumsum(grows, axis=1)], axis=1)
        bears = abs(F) > 1e-6
        touch = C * F + np.sign(F) * g
        low, high = np.where(bears, touch, -g) + lost, np.where(bears, touch, g) + lost
        assert (low.max(axis=1) <= high.min(axis=1) + 1e-10).all()
        assert row_loads(P[:1], **given_, free_strain=heat[0])[0] == pytest.approx(F[0], rel=1e-7, abs=1e-5)
