"""Bolt groups: printed examples, equilibrium, mirror, interaction, prying; plates and their holes."""

from dataclasses import replace

import numpy as np
import pytest
from calls_joints import GROUP, HOLE, LAMINATE, METAL_PLATE, TIGHT, TORQUE, WALL
from hypothesis import given, settings
from hypothesis import strategies as st
from printed import printed
from small_strut import REQUIREMENT

from beam.joints import (
    BoltGroup,
    InstalledBolt,
    JointFactors,
    JointLoads,
    LaminatePlate,
    MetalPlate,
    Preload,
    fastener,
    prying_share,
)

PLAIN = replace(REQUIREMENT, deflection_allowance=1.0)
M6 = fastener("M6 8.8")
BARE = InstalledBolt(fastener=M6)
FREE = {"weights": None, "prying": 0.0, "prying_basis": "thick foot", "foot": None, "bolt": BARE}


def group(**change):
    return BoltGroup(**GROUP | FREE | {"factors": JointFactors()} | change)


def rows(one, force, moment=0.0, level="limit", **more):
    loads = JointLoads(force=[force], moment=[moment] if np.ndim(moment) else moment, level=(level,))
    table = one.margins(loads, PLAIN, **more).reset_index()
    table["part"] = table["wall"].astype(str).str.partition(": ")[2]
    return table.set_index(["part", "mode"])


def test_three_bolts_in_line():
    """Bhandari, example 7.4: 5 kN at 305 mm from bolts 75 mm apart, M20 by the printed answer."""
    at = [[0, 0], [0, 75e-3], [0, 150e-3]]
    shear, tension = group(positions=at, point=[305e-3, 75e-3, 0]).bolt_loads([0, -5000.0, 0], [0, 0, 0])
    assert not tension.any()
    assert np.max(np.linalg.norm(shear, axis=-1)) == pytest.approx(np.hypot(10166.667, 1666.667), rel=1e-6)
    across = group(positions=[[x, 0] for _, x in at], point=[380e-3, 0, 0])
    worst = np.linalg.norm(across.bolt_loads([0, -5000.0, 0], [0, 0, 0])[0], axis=-1)
    assert worst == pytest.approx([8500.0, 1666.67, 11833.3], abs=0.05)
    assert np.sqrt(4 * worst.max() / (np.pi * 63.333)) == printed("15.424")


def test_nine_rivets():
    """Bhandari, example 8.27: printed diameter 21.587293 mm at 60 MPa."""
    at = [[x, y] for x in (0, 0.1, 0.2) for y in (0, 0.1, 0.2)]
    shear, _ = group(positions=at, point=[0.4, 0.1, 0]).bolt_loads([0, -50e3, 0], [0, 0, 0])
    worst = np.linalg.norm(shear, axis=-1).max()
    assert worst == printed("21960.3")
    assert 2 * np.sqrt(worst / (np.pi * 60)) == printed("21.5873")


def test_unequal_bolts():
    one = group(weights=[1, 1, 1, 2], point=[0.12, 0.03, 0])
    assert one.centroid * 1e3 == pytest.approx([16, 38], rel=1e-14)
    shear, _ = one.bolt_loads([3000, -8000, 0], [0, 0, 100])
    for found, text in zip(
        np.linalg.norm(shear, axis=-1), ["3243.48", "5171.07", "4416.98", "7673.23"], strict=True
    ):
        assert found == printed(text)


forces = st.lists(st.floats(-1e4, 1e4), min_size=3, max_size=3)
moments = st.lists(st.floats(-1e3, 1e3), min_size=3, max_size=3)


@given(force=forces, moment=moments, weights=st.lists(st.floats(0.2, 5), min_size=4, max_size=4))
@settings(max_examples=40, deadline=None)
def test_equilibrium_and_mirror(force, moment, weights):
    one = group(weights=weights)
    shear, tension = one.bolt_loads(force, moment)
    f = np.concatenate([shear, tension[:, None]], axis=1)
    r = np.concatenate([one.positions, np.zeros((4, 1))], axis=1)
    asked = np.asarray(moment) + np.cross(one.point, force)
    scale = np.abs(f).max() + 1.0
    assert f.sum(axis=0) == pytest.approx(np.asarray(force), abs=1e-10 * scale)
    assert np.cross(r, f).sum(axis=0) == pytest.approx(asked, abs=1e-10 * scale)
    for mine, back in zip(
        one.bolt_loads(force, moment), one.bolt_loads(-np.array(force), -np.array(moment)), strict=True
    ):
        assert mine == pytest.approx(-back, abs=1e-10 * scale)


def test_rigid_plate_stiffness_finds_the_same():
    """Second way: a rigid plate on springs, solved for its six motions."""
    one = group(weights=[1, 1.5, 0.7, 2])
    K = np.zeros((6, 6))
    maps = []
    for (x, y), k in zip(one.positions, one.weights, strict=True):
        move = np.hstack([np.eye(3), np.array([[0, 0, -y], [0, 0, x], [y, -x, 0]])])  # u + w x r
        maps.append(k * move)
        K += move.T @ (k * move)
    force, moment = np.array([3e3, -2e3, 4e3]), np.array([50.0, -80.0, 120.0])
    motion = np.linalg.solve(K, np.concatenate([force, moment + np.cross(one.point, force)]))
    shear, tension = one.bolt_loads(force, moment)
    assert np.hstack([shear, tension[:, None]]) == pytest.approx(
        np.array([m @ motion for m in maps]), rel=1e-9
    )


def test_rigid_foot_turns_about_its_edge():
    one = group(foot=[-0.01, 0.06, -0.02, 0.09], point=[0.0, 0.0, 0.0], weights=None)
    _, tension = one.bolt_loads([0, 0, 0], [300.0, 0, 0])
    y = one.positions[:, 1] + 0.02
    assert tension == pytest.approx(300.0 * y / (y**2).sum(), rel=1e-12)
    _, back = one.bolt_loads([0, 0, 0], [-300.0, 0, 0])
    y = 0.09 - one.positions[:, 1]
    assert back == pytest.approx(300.0 * y / (y**2).sum(), rel=1e-12)
    _, side = one.bolt_loads([0, 0, 0], [0.0, 200.0, 0])  # presses where x is large
    x = 0.06 - one.positions[:, 0]
    assert side == pytest.approx(200.0 * x / (x**2).sum(), rel=1e-12)
    _, other = one.bolt_loads([0, 0, 0], [0.0, -200.0, 0])
    x = one.positions[:, 0] + 0.01
    assert other == pytest.approx(200.0 * x / (x**2).sum(), rel=1e-12)


def test_more_bolts_in_a_symmetric_pattern_never_raise_the_worst():
    last = np.inf
    for count in (2, 4, 6, 8, 12):
        angle = 2 * np.pi * np.arange(count) / count
        ring = 0.05 * np.stack([np.cos(angle), np.sin(angle)], axis=-1)
        shear, _ = group(positions=ring, point=[0.1, 0, 0]).bolt_loads([0, -5e3, 0], [0, 0, 0])
        worst = np.linalg.norm(shear, axis=-1).max()
        assert worst < last
        last = worst


def test_margins_of_a_bolt_by_hand():
    """One bolt in shear and tension: Rs^3 + (Rt + Rb)^2 = 1 at the ratio, bearing of the metal foot by its table."""
    one = group(positions=[[0.0, 0.0]], point=[0, 0, 0], prying=0.25, bolt=replace(BARE, gap=0.2e-3))
    found = rows(one, [3e3, 0.0, 2e3])
    R = found.loc[("bolt 1", "interaction"), "ratio"]
    rs, rt = 3e3 / (480e6 * np.pi * 9e-6), 2.5e3 / (800e6 * 20.1e-6)
    rb = 3e3 * (1.5e-3 + 0.2e-3 + 2e-3) / 2 / (1.56 * 800e6 * np.pi * 6e-3**3 / 32)
    assert (R * rs) ** 3 + (R * (rt + rb)) ** 2 == pytest.approx(1.0, rel=1e-9)
    assert found.loc[("bolt 1", "shear"), "ratio"] == pytest.approx(1 / rs, rel=1e-9)
    assert found.loc[("bolt 1", "tension"), "ratio"] == pytest.approx(1 / rt, rel=1e-9)
    assert found.loc[("bolt 1", "bending"), "ratio"] == pytest.approx(1 / rb, rel=1e-9)
    ultimate, yields = METAL_PLATE.metal.bearing_strength(2.5)
    assert found.loc[("fitting, bolt 1", "bearing"), "ratio"] == pytest.approx(
        ultimate * 24e-6 / 3e3, rel=1e-9
    )
    assert found.loc[("fitting, bolt 1", "bearing yield"), "ratio"] == pytest.approx(
        yields * 24e-6 / 3e3, rel=1e-9
    )
    net = METAL_PLATE.metal.Ftu * 4e-3 * 21e-3 / 3e3
    assert found.loc[("fitting, bolt 1", "net section"), "ratio"] == pytest.approx(net, rel=1e-9)
    hole = HOLE.ratios(3e3, pull=2.5e3)
    for mode in ("net_tension", "bearing", "shear_out", "pull_through"):
        ratio = found.loc[("wall, bolt 1", mode.replace("_", " ")), "ratio"]
        assert ratio == pytest.approx(float(getattr(hole, mode)), rel=1e-9)
    words = found.loc[("bolt 1", "interaction"), "assumption"]
    assert "prying 0.25: thick foot" in words
    reserve = found.loc[("bolt 1", "shear"), "reserve"]
    assert reserve == pytest.approx(1 / rs / (1.5 * 1.15))
    of_plies = found.loc[("wall, bolt 1", "shear out")]
    assert of_plies["reserve"] == pytest.approx(of_plies["ratio"] / (1.5 * 1.15 * PLAIN.special_factor))


def test_a_thick_foot_does_not_pry():
    found = rows(group(positions=[[0.0, 0.0]], point=[0, 0, 0]), [0, 0, 2e3])
    assert found.loc[("bolt 1", "tension"), "ratio"] == pytest.approx(M6.tension_strength / 2e3, rel=1e-12)


def test_bypass_of_the_wall_counts_in_both_senses():
    one = group(positions=[[0.0, 0.0]], point=[0, 0, 0])
    pulled = rows(one, [3e3, 0, 0], bypass=[5e3])
    pushed = rows(one, [3e3, 0, 0], bypass=[-5e3])
    key = ("wall, bolt 1", "net tension")
    assert pulled.loc[key, "ratio"] == pytest.approx(
        float(HOLE.ratios(3e3, bypass=5e3).net_tension), rel=1e-9
    )
    key = ("wall, bolt 1", "compression")
    assert pushed.loc[key, "ratio"] == pytest.approx(
        float(HOLE.ratios(3e3, bypass=-5e3).compression), rel=1e-9
    )


def test_bypass_by_case_and_bolt():
    one = group(point=[0, 0, 0], prying=None, prying_basis=None)
    loads = JointLoads(force=[[3e3, 0, 0], [1e3, 0, 0]])
    past = np.array([[0.0, 1e3, 2e3, 3e3], [4e3, 0, 0, 1e3]])
    found = one.margins(loads, PLAIN, bypass=past).reset_index().set_index(["case", "wall", "mode"])["ratio"]
    each = (
        one.margins(loads, PLAIN, bypass=past[:, 3])
        .reset_index()
        .set_index(["case", "wall", "mode"])["ratio"]
    )
    shear, _ = one.bolt_loads(loads.force, loads.moment)
    for case in range(2):
        for i in range(4):
            hole = HOLE.ratios(np.linalg.norm(shear[case, i]), bypass=past[case, i])
            key = (case, f"bracket: wall, bolt {i + 1}", "net tension")
            assert found[key] == pytest.approx(float(hole.net_tension), rel=1e-9)
            assert (
                each[(case, "bracket: wall, bolt 4", "net tension")]
                == found[(case, "bracket: wall, bolt 4", "net tension")]
            )
    with pytest.raises(ValueError, match="bypass"):
        one.margins(loads, PLAIN, bypass=[1.0, 2.0, 3.0])


def test_preload_in_a_group():
    one = group(positions=[[0.0, 0.0]], point=[0, 0, 0], bolt=replace(BARE, preload=TIGHT))
    found = rows(one, [0, 0, 1000.0])
    assert found.loc[("bolt 1", "gapping"), "ratio"] == pytest.approx(2100.0 / 1000, rel=1e-9)
    left = 640e6 * 20.1e-6 - 6500.0
    assert found.loc[("bolt 1", "thread yield"), "ratio"] == pytest.approx(left / (0.5 * 1000), rel=1e-9)
    washer = 200e6 * np.pi / 4 * (8.88e-3**2 - 6e-3**2) / 6500.0
    assert found.loc[("wall", "washer pressure"), "ratio"] == pytest.approx(washer, rel=1e-9)
    s, d = 6500.0 / 20.1e-6, np.sqrt(4 * 20.1e-6 / np.pi)
    tau = 16 * 0.5 * 1.3 * 6.0 / (np.pi * d**3)
    install = 640e6 / np.sqrt(s**2 + 3 * tau**2)
    assert found.loc[("bolt", "installation"), "ratio"] == pytest.approx(install, rel=1e-9)
    too_tight = replace(BARE, preload=Preload(**TORQUE | {"torque": 20.0}))
    found = rows(replace(one, bolt=too_tight), [0, 0, 1000.0])
    assert found.loc[("bolt 1", "thread yield"), "ratio"] == 0.0
    assert found.loc[("bolt", "installation"), "margin"] < 0.0


def test_reversed_load_mirrors_in_a_symmetric_pattern():
    square = [[-0.03, -0.03], [0.03, -0.03], [0.03, 0.03], [-0.03, 0.03]]
    one = group(positions=square, point=[0, 0, 0.05])
    ahead, back = (rows(one, [sign * 3e3, 0, 0]) for sign in (1, -1))
    mirrored = {1: 2, 2: 1, 3: 4, 4: 3}
    for i, j in mirrored.items():
        for mode in ("interaction", "tension", "shear"):
            left, right = ahead.loc[(f"bolt {i}", mode), "ratio"], back.loc[(f"bolt {j}", mode), "ratio"]
            assert left == pytest.approx(right, rel=1e-12)


def test_cases_together_equal_their_loop():
    one = BoltGroup(**GROUP)
    force, moment = np.array([[3e3, -1e3, 2e3], [-1e3, 4e3, -2e3]]), np.array([[5.0, 6, 7], [-8, 9, 1]])
    together = one.margins(JointLoads(force=force, moment=moment), PLAIN)["margin"]
    for case in range(2):
        alone = one.margins(JointLoads(force=force[case : case + 1], moment=moment[case : case + 1]), PLAIN)[
            "margin"
        ]
        assert together.xs(case, level="case").to_numpy() == pytest.approx(alone.to_numpy(), rel=1e-12)


def test_prying():
    net = 1 - 6 / 30
    M = 1.0 / (1 + net)  # T arm = M1 + net M1
    assert prying_share(1.0, 0.5, hole=6e-3, pitch=30e-3) == pytest.approx(net * M / 0.5, rel=1e-12)
    assert prying_share(0.02, 0.5, hole=6e-3, pitch=30e-3) == prying_share(
        0.02, 0.025, hole=6e-3, pitch=30e-3
    )
    with pytest.raises(ValueError, match="pitch"):
        prying_share(0.02, 0.5, hole=6e-3, pitch=6e-3)


@pytest.mark.parametrize(
    ("change", "named"),
    [
        ({"positions": [[0, 0], [0.011, 0]]}, "least pitch"),
        ({"weights": [1, 2]}, "weights"),
        ({"bolt": InstalledBolt(fastener=M6, planes=2)}, "planes"),
        ({"prying": None}, "prying"),
        ({"foot": [0.01, 0.06, -0.02, 0.09]}, "foot"),
        ({"bolt": InstalledBolt(fastener=fastener("M5 8.8"))}, "hole of 'wall'"),
        ({"bolt": InstalledBolt(fastener=fastener("M8 8.8"))}, "hole of 'wall'"),
        ({"wall": replace(WALL, holes=[HOLE, HOLE], limit_holes=())}, "holes of 'wall'"),
        ({"bracket": replace(METAL_PLATE, thickness=13e-3)}, "does not bear evenly"),
    ],
)
def test_groups_that_cannot_be(change, named):
    with pytest.raises(ValueError, match=named):
        group(**change)


def test_plates_that_cannot_be():
    for change, named in (({"edge": 8e-3}, "edge"), ({"width": 11e-3}, "width")):
        with pytest.raises(ValueError, match=named):
            replace(METAL_PLATE, **change)
    at_rules = replace(METAL_PLATE, width=12e-3, edge=9e-3)
    assert at_rules.bearing[0] == pytest.approx(METAL_PLATE.metal.Fbru_1_5, rel=1e-9)
    with pytest.raises(ValueError, match="Fbru"):
        MetalPlate(name="x", metal=replace(METAL_PLATE.metal, Fbru=None, Fbry=None, Fbru_1_5=None, Fbry_1_5=None),
                   thickness=4e-3, width=27e-3, edge=15e-3, hole=6e-3)  # fmt: skip
    short = {"name": "wall", "laminate": LAMINATE}
    for holes, limits, named in (
        ([replace(HOLE, thickness=2.9e-3)], [], "thickness of the holes"),
        ([HOLE], [HOLE, HOLE], "limit_holes"),
        ([HOLE], [replace(HOLE, edge=25e-3)], "another diameter"),
    ):
        with pytest.raises(ValueError, match=named):
            LaminatePlate(**short, holes=holes, limit_holes=limits)
    with pytest.raises(ValueError, match="bending_basis"):
        InstalledBolt(fastener=M6, bending_share=0.5)
    bare = replace(HOLE, diameter=6.6e-3, head_diameter=None, pull_through=None)
    wide = replace(WALL, holes=[bare], limit_holes=())
    small = InstalledBolt(fastener=replace(M6, head_diameter=6.5e-3), preload=TIGHT)
    with pytest.raises(ValueError, match="add a washer"):
        rows(group(wall=wide, bolt=small), [1e3, 0, 0])


def test_loads_that_a_group_cannot_carry():
    one = group(positions=[[0.0, 0.0]], point=[0, 0, 0])
    for moment in ([0, 0, 5.0], [0, 5.0, 0]):
        with pytest.raises(ValueError, match="hold no moment"):
            one.bolt_loads([0, 0, 0], moment)
    line = group(positions=[[0.0, 0.0], [0.05, 0.0]], point=[0, 0, 0])
    with pytest.raises(ValueError, match="hold no moment"):
        line.bolt_loads([0, 0, 0], [5.0, 0, 0])
    assert line.bolt_loads([0, 0, 0], [0, 5.0, 0])[1] == pytest.approx([100.0, -100.0])
    with pytest.raises(ValueError, match="prying"):
        rows(group(prying=None, prying_basis=None), [0, 0, 1e3])
    rows(group(prying=None, prying_basis=None, point=[0, 0, 0]), [1e3, 0, 0])


def test_practice_rules_are_told():
    found = rows(group(positions=[[0.0, 0.0]], point=[0, 0, 0], wall=replace(WALL, holes=[replace(HOLE, edge=14e-3)],
                       limit_holes=())), [1e3, 0, 0])  # fmt: skip
    words = found.loc[("wall, bolt 1", "bearing"), "assumption"]
    assert "edge / diameter 2.33" in words
    assert "not checked at limit load: no strengths at 2 % offset" in words
    assert "same in every service" in words
    assert ("wall, bolt 1", "bearing yield") not in found.index
    told = rows(group(positions=[[0.0, 0.0]], point=[0, 0, 0]), [1e3, 0, 0])
    assert "not checked" not in told.loc[("wall, bolt 1", "bearing"), "assumption"]
    assert ("wall, bolt 1", "bearing yield") in told.index
