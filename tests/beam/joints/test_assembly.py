"""Fittings: free bodies in equilibrium, loads of their joints, rows, masses, refusals, and the joints of the Tarn."""

import time
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
import tarn
import tarn_joints
from bonded import BOX, TITANIUM, WALL, sleeve
from matplotlib.figure import Figure
from small_strut import CASES, LENGTH, LOADS, MOLD_LINE, REQUIREMENT, lattice

import beam
from beam.joints import (
    Bushing,
    FittedJoint,
    Fitting,
    Lug,
    Pin,
    assembly_margins,
    free_body,
    hinge_shares,
    joint_load_table,
    joint_loads,
    leg_masses,
    with_joints,
)
from beam.joints.assembly import worked_joints
from beam.joints.plots import plot_free_body
from beam.strength.section_forces import in_state
from beam.strut import Band, PointLoads, Strut, Support
from beam.units import shown, symbol
from materials import metal

PIN = Pin(name="pin", diameter=20e-3, metal=metal("4340 180 ksi"), outer=10e-3, middle=15e-3, gap=0.5e-3)
LUG = Lug(name="lug", hole=20e-3, width=40e-3, edge=20e-3, thickness=15e-3, pin_diameter=19.9e-3, arm=30e-3,
          metal=metal("7075-T6 bar"))  # fmt: skip
TURNED = [[0.0, 1, 0], [0, 0, 1], [1, 0, 0]]


@pytest.fixture(scope="module")
def strut():
    return Strut(MOLD_LINE, lattice().book([[4, 2, 2], [4, 2, 2]]))


@pytest.fixture(scope="module")
def job():
    """The Tarn, its joints and 88 cases of landing and rolling on it."""
    landing = beam.Landing(load_factor=2.96)
    static = beam.static_reactions(tarn.AIRPLANE)
    design = beam.design_cases(
        tarn.GEAR, beam.ground_cases(tarn.AIRPLANE, landing), tarn.MOLD_LINE, static=static
    )
    fittings = [one.on(tarn.FIRST_STRUT) for one in tarn_joints.FITTINGS]
    start = time.process_time()
    rows = assembly_margins(fittings, tarn.FIRST_STRUT, design.loads, tarn.REQUIREMENT, cases=design.labels)
    spent = time.process_time() - start
    return SimpleNamespace(
        fittings=fittings, loads=design.loads, labels=design.labels, rows=rows, spent=spent
    )


def fitting(start, end, *joints, name="fitting", **more):
    return Fitting(name=name, start=start, end=end, joints=joints, **more)


def about_root(at, wrench):
    """Force and moment (case, 6) about the root of wrenches (case, force, 6) at stations."""
    lever = np.outer(at, [1.0, 0.0, 0.0])
    moment = wrench[..., 3:] + np.cross(lever, wrench[..., :3])
    return np.concatenate([wrench[..., :3], moment], axis=-1).sum(axis=1)


def test_every_fitting_and_the_whole_are_in_equilibrium(job):
    outside = 0.0
    for one in job.fittings:
        body = free_body(tarn.FIRST_STRUT, job.loads, one)
        assert body.residual.max() < 1e-10
        total = about_root(body.stations, body.wrench)
        size = abs(body.wrench).max()
        assert abs(total).max() < 1e-10 * 10 * size
        enters = [side == "entering" for side in body.sides]
        outside = outside + about_root(body.stations[enters], body.wrench[:, enters])
    assert abs(outside).max() < 1e-10 * abs(job.loads.wrench).max()


def test_sum_of_joint_loads_is_what_is_applied(job):
    """Root socket: all loads and the side brace about its mouth. Lugs: the loads or the brace, in strut axes.

    Statics give the brace: about the trunnion axis it alone holds the loads.
    """
    strut, line, (trunnion, bracket, pivot) = tarn.FIRST_STRUT, tarn.MOLD_LINE, job.fittings
    root = joint_loads(strut, job.loads, trunnion, trunnion.joints[0])
    place, stay, hinge = (
        line.frame @ one
        for one in (
            tarn.BRACE_ON_STRUT - tarn.TRUNNION,
            tarn.BRACE_ON_AIRPLANE - tarn.BRACE_ON_STRUT,
            tarn.TRUNNION_AXIS,
        )
    )
    loads = about_root(job.loads.at, job.loads.wrench)
    pull = np.outer(-(loads[:, 3:] @ hinge) / (np.cross(place, stay) @ hinge), stay)
    held = np.hstack([pull, np.cross(place - [trunnion.end, 0.0, 0.0], pull)])
    whole = about_root(job.loads.at - trunnion.end, job.loads.wrench) + held
    np.testing.assert_allclose(np.hstack([root.force, root.moment]), whole, atol=1e-10 * abs(whole).max())
    link, shock = job.loads.force[:, 0], job.loads.force[:, 1]
    for one, force, names, alike in (
        (pivot, link, "pivot lug", 1),
        (bracket, shock, "shock bracket", 2),
        (bracket, pull, "brace lug", 2),
    ):
        lugs = [joint for joint in one.joints if joint.name.startswith(names)]
        found = alike * sum(joint_loads(strut, job.loads, one, joint).force @ joint.axes for joint in lugs)
        np.testing.assert_allclose(found, force, atol=1e-9 * abs(found).max())
    for name, point in (("shock pin", line.frame @ (tarn.BRACKET - tarn.TRUNNION)), ("brace pin", place)):
        (pin,) = (joint for joint in bracket.joints if joint.name == name)
        np.testing.assert_allclose(pin.point, point, atol=1e-12)
        found = joint_loads(strut, job.loads, bracket, pin)
        assert not found.moment.any()  # shock and brace have ball ends
    assert not found.force[:, 1:].any()  # the brace is loaded along its own line


def test_loads_and_reactions_add_up_to_what_enters(strut):
    """A pull and an elastic brace on arms, on one fitting of a clamped strut with heat."""
    brace = Support.point(0.3, [[0.0, 1.0, 0.5]], arm=[0.0, 0.02, 0.05], stiffness=5e6, name="brace")
    braced = replace(strut, supports=[Support.clamp(), brace])
    arm = np.array([[0.0, -0.03, 0.04], [0.0, 0.0, 0.0]])
    force = np.array([[[3e3, 1e3, -2e3], [0.0, 0.0, 2e3]], [[0.0, -4e3, 500.0], [1e3, 2e3, 0.0]]])
    loads = PointLoads(at=[0.28, LENGTH], force=force, moment=np.cross(arm, force), arm=arm)
    heat = [1e-4, 0.0, 0.0, 0.0, 2e-4, -3e-4]
    share = np.diag([1.0, 0.5, 0.5, 1.0, 0.0, 2.0])
    at = {"point": [0.29, 0.01, 0.06], "axes": TURNED, "share": share}
    sides = [FittedJoint(joint=PIN, takes=takes, **at) for takes in ("load", "reaction", "entering")]
    one = fitting(0.27, 0.32, *sides)
    load, reaction, entering = (
        np.hstack([found.force, found.moment])
        for found in (joint_loads(braced, loads, one, joint, free_strain=heat) for joint in sides)
    )
    np.testing.assert_allclose(load + reaction, entering, atol=1e-9 * abs(entering).max())

    def own(at, force):
        lever = np.array(at) - sides[0].point
        return np.hstack([force @ sides[0].axes.T, np.cross(lever, force) @ sides[0].axes.T]) @ share.T

    np.testing.assert_allclose(load, own([0.28, -0.03, 0.04], force[:, 0]), atol=1e-9 * abs(load).max())
    push = braced.span.reactions(loads, free_strain=heat)[:, 6:] * [[0.0, 1.0, 0.5]] / np.hypot(1.0, 0.5)
    assert abs(push).max() > 100.0
    np.testing.assert_allclose(reaction, own([0.3, 0.02, 0.05], push), atol=1e-9 * abs(reaction).max())
    with pytest.raises(ValueError, match="no load, support or tube there"):
        joint_loads(braced, loads, fitting(0.4, LENGTH, sides[1]), sides[1])


def test_lugs_of_a_hinge_hold_force_and_moment():
    first, second = hinge_shares(0.08, thrust=0.7)
    load = np.array([1e3, -2e3, 3e3, 40.0, -50.0, 6.0])
    forces = first @ load, second @ load
    places = np.array([0.0, 0.0, 0.04]), np.array([0.0, 0.0, -0.04])
    np.testing.assert_allclose(forces[0][:3] + forces[1][:3], load[:3], rtol=1e-12)
    moment = sum(np.cross(place, one[:3]) + one[3:] for place, one in zip(places, forces, strict=True))
    np.testing.assert_allclose(moment, load[3:], rtol=1e-12)


def test_redundant_supports_with_heat_stay_in_equilibrium(strut):
    """A brace at 0.3 m beside the clamp: reactions of load and of heat, at the fitting that has the brace."""
    brace = Support.point(0.3, [[0, 1.0, 0.5]], arm=[0, 0.0, 0.05], stiffness=5e6, name="brace")
    braced = replace(strut, supports=[Support.clamp(), brace])
    heat = [1e-4, 0.0, 0.0, 0.0, 2e-4, -3e-4]
    for one, names in ((fitting(0.0, 0.1), {"clamp"}), (fitting(0.28, 0.32), {"brace"})):
        body = free_body(braced, LOADS, one, free_strain=heat)
        assert names < set(body.names)
        assert body.residual.max() < 1e-10
    cold = free_body(braced, LOADS, fitting(0.28, 0.32), free_strain=heat).wrench[:, 0]
    assert abs(cold - free_body(braced, LOADS, fitting(0.28, 0.32)).wrench[:, 0]).max() > 1.0
    one = fitting(0.0, 0.1, FittedJoint(joint=PIN, takes="outboard"))
    with pytest.raises(ValueError, match="assembly_temperature"):
        joint_load_table([one], braced, LOADS, REQUIREMENT)
    with pytest.raises(ValueError, match="assembly_temperature"):
        assembly_margins([one], braced, LOADS, REQUIREMENT, whole=False)


def test_joints_of_a_braced_strut_are_judged_in_every_service_with_its_heat_and_without(strut):
    """The brace is redundant: its pin carries what the span gives it, the lowest row over the services counts."""
    brace = Support.point(0.3, [[1.0, 1.0, 0.5]], stiffness=5e6, name="brace")
    braced = replace(strut, supports=[Support.clamp(), brace])
    required = replace(REQUIREMENT, assembly_temperature=293.0)
    at = fitting(0.28, 0.32, FittedJoint(joint=PIN, takes="entering", point=[0.3, 0, 0]))
    found = assembly_margins([at], braced, LOADS, required, cases=CASES, whole=False).reset_index()
    assert not found.duplicated(["case", "wall", "mode", "level"]).any()
    each = []
    for service in required.services:
        one = in_state(braced, service)
        strain = one.free_strain(service.temperature - 293.0, service.moisture)
        for heat in (strain, np.zeros(6)):
            rows = assembly_margins([at], one, LOADS, required, cases=CASES, free_strain=heat, whole=False)
            each.append(rows.reset_index()["margin"].to_numpy())
    assert len(required.services) > 1
    np.testing.assert_allclose(found["margin"], np.min(each, axis=0), rtol=1e-12)
    assert np.ptp(each, axis=0).max() > 1e-3  # heat moves them
    assert found["assumption"].str.contains("redundant supports, ").all()
    alone = one.span.reactions(LOADS)  # without heat the pin has the reaction of the brace
    here = joint_loads(one, LOADS, at, at.joints[0], free_strain=np.zeros(6))
    np.testing.assert_allclose(
        np.linalg.norm(here.force, axis=-1),
        abs(alone[:, 6]) * np.linalg.norm(one.span.held.rows[6][:3]),
        rtol=1e-9,
    )
    table = joint_load_table([at], braced, LOADS, required, cases=CASES)
    each_load = [joint_loads(in_state(braced, s), LOADS, at, at.joints[0],
                             free_strain=in_state(braced, s).free_strain(s.temperature - 293.0, s.moisture)).force[:, 1]
                 for s in required.services]  # fmt: skip
    most = max(one.max() for one in [*each_load, here.force[:, 1]])
    printed = table.xs("limit", level="level").loc[("fitting", "pin, own axes"), "F2 [N]"].max()
    assert printed == pytest.approx(most * required.deflection_allowance, rel=1e-9)
    row = found.loc[found["margin"].idxmin()].to_dict()
    (worked,) = worked_joints([at], braced, LOADS, required, [row], cases=CASES)
    assert worked is not None
    assert worked.lines[-1].value == pytest.approx(row["margin"], rel=1e-9)


def test_cases_on_several_sets_of_supports_are_judged_group_by_group(strut):
    at = fitting(0.0, 0.1, FittedJoint(joint=PIN, takes="entering"))
    hinge = Support(at=0.0, translations=np.eye(3), rotations=[[1.0, 0, 0], [0, 1.0, 0]], name="hinge")
    brace = Support.point(0.3, [[0, 1.0, 0.0]], name="brace")
    sets = ([Support.clamp()], [hinge, brace])
    groups = [(replace(strut, supports=one), LOADS.take([i])) for i, one in enumerate(sets)]
    found = [
        assembly_margins([at], on, loads, REQUIREMENT, cases=[f"group {i}"], whole=False)
        for i, (on, loads) in enumerate(groups)
    ]
    table = with_joints(*found)
    assert set(table.index.get_level_values("case")) == {"group 0", "group 1"}
    for on, loads in groups:
        body = free_body(on, loads, at)
        assert body.residual.max() < 1e-10


@pytest.mark.parametrize(("takes", "station"), [("inboard", 0.1), ("outboard", 0.2)])
def test_the_tube_gives_its_section_forces(strut, takes, station):
    """Of both ends with the same signs: tension, and moments that stretch the same side."""
    one = FittedJoint(joint=PIN, takes=takes)
    found = joint_loads(strut, LOADS, fitting(0.1, 0.2, one), one)
    expected = strut.span.forces(LOADS, at=[station])[:, 0]
    np.testing.assert_allclose(np.hstack([found.force, found.moment]), expected, atol=1e-6)


def test_a_load_at_the_end_of_a_fitting_belongs_to_it(strut):
    body = free_body(strut, LOADS, fitting(0.2, 0.25))
    assert body.names == ("load at 0.25 m", "tube inboard", "tube outboard")
    assert body.residual.max() < 1e-10


def test_without_load_nothing_acts(strut):
    body = free_body(strut, LOADS.times(0.0), fitting(0.2, 0.25))
    assert not body.wrench.any()
    assert not body.residual.any()


def test_point_and_axes_turn_the_load(strut):
    """A force at the middle of the axes about a point 0.1 m up: by hand."""
    pull = PointLoads(at=[LENGTH], force=[[[100.0, 20.0, -30.0]]], moment=[[[1.0, 2.0, 3.0]]])
    one = FittedJoint(joint=PIN, takes="entering", point=[LENGTH, 0.0, 0.1], axes=TURNED)
    found = joint_loads(strut, pull, fitting(0.4, LENGTH, one), one)
    assert found.force[0].tolist() == [20.0, -30.0, 100.0]
    # about the point: m + (0, 0, -0.1) x f = (1 + 2, 2 - 10, 3)
    np.testing.assert_allclose(found.moment[0], [-8.0, 3.0, 3.0], atol=1e-9)


def test_level_and_factor_of_safety_are_kept(strut):
    loads = replace(LOADS, level=["limit", "ultimate", "limit"], factor_of_safety=[1.5, 1.0, 2.0])
    one = FittedJoint(joint=PIN, takes="entering", axes=TURNED)
    at = fitting(0.4, LENGTH, one)
    rows = assembly_margins([at], strut, loads, REQUIREMENT, cases=CASES, whole=False)
    pair = rows["factor"].groupby(level=["case", "mode"], observed=True).first()
    assert pair[("drag", "shear")] == pytest.approx(1.5 * 1.15)
    assert pair[("side", "shear")] == pytest.approx(1.15)
    assert pair[("spring-back", "shear")] == pytest.approx(2.0 * 1.15)
    assert "bending yield" not in rows.loc["side"].index.get_level_values("mode")


def test_rows_are_those_of_each_joint(job):
    """Nothing is lost or changed on the way; the station is that of the fitting, the way of the load is named."""
    flat, place = job.rows.reset_index(), 0
    for one in job.fittings:
        for joint in one.joints:
            loads = joint_loads(tarn.FIRST_STRUT, job.loads, one, joint, cases=job.labels)
            own = joint.joint.margins(loads, tarn.REQUIREMENT).reset_index()
            part = flat.iloc[place : place + len(own)].reset_index(drop=True)
            place += len(own)
            for column in ("case", "wall", "mode", "level", "service"):
                assert [*map(str, part[column])] == [*map(str, own[column])]
            for column in ("ratio", "reserve", "factor"):
                np.testing.assert_array_equal(part[column], own[column])
            assert (part["station"] == one.middle).all()
            assert part["assumption"].astype(str).str.endswith(joint.said).all()
    assert place == len(flat)


def test_the_joints_of_the_tarn_hold_and_are_judged_quickly(job):
    assert (job.rows.loc[job.rows["decides"], "margin"] > 0.0).all()
    assert set(job.rows["service"].dropna()) <= {state.title for state in tarn.REQUIREMENT.states}
    assert job.spent < 1.5  # 0.3 s on an idle machine; tests/bench/bench_joints.py measures it


def test_a_wider_lug_bears_more(job):
    low = []
    for width in (0.036, 0.044, 0.052):
        one = tarn_joints.pivot(lug_width=width)
        one = replace(one, joints=[joint for joint in one.joints if "lug" in joint.name])
        rows = assembly_margins([one], tarn.FIRST_STRUT, job.loads, tarn.REQUIREMENT, whole=False)
        low.append(float(rows.xs("root section", level="mode")["margin"].min()))
    assert low == sorted(low)
    assert low[0] < low[-1]


def test_load_table_holds_the_extremes(job):
    table = joint_load_table(job.fittings, tarn.FIRST_STRUT, job.loads, tarn.REQUIREMENT, cases=job.labels)
    forces = tarn.FIRST_STRUT.span.forces(job.loads, at=[0.15])[:, 0]
    columns = ["F1 [N]", "F2 [N]", "F3 [N]", "M1 [N m]", "M2 [N m]", "M3 [N m]"]
    allowance, safety = tarn.REQUIREMENT.deflection_allowance, tarn.REQUIREMENT.factor_of_safety
    for level, factor in (("limit", allowance), ("ultimate", safety * allowance)):
        own = table.loc[("trunnion", "tube outboard", level)]
        for i, name in enumerate(columns):
            assert own[name].max() == pytest.approx(factor * forces[:, i].max(), abs=1e-3)
            assert own[name].min() == pytest.approx(factor * forces[:, i].min(), abs=1e-3)
        most = own[own.index.str.contains("most M1")].iloc[0]
        assert most["case"] == job.labels[forces[:, 3].argmax()]
        assert most["F2 [N]"] == pytest.approx(factor * forces[forces[:, 3].argmax(), 1])


def test_load_table_in_other_units(strut):
    base, si, us = (
        joint_load_table([fitting(0.4, LENGTH)], strut, LOADS, REQUIREMENT, cases=CASES, units=units)
        for units in (None, "SI", "US")
    )
    assert list(us.columns)[:3] == ["case", "factor [-]", "F1 [lbf]"]
    np.testing.assert_allclose(us["F3 [lbf]"] * 4.4482216152605, base["F3 [N]"])
    np.testing.assert_allclose(us["M2 [lbf in]"] * 0.0254 * 4.4482216152605, base["M2 [N m]"])
    np.testing.assert_allclose(si[f"F3 [{symbol('force')}]"], shown(base["F3 [N]"], "force"))


def test_a_case_at_ultimate_load_has_no_limit_row(strut):
    loads = replace(LOADS, level=["limit", "ultimate", "ultimate"])
    table = joint_load_table([fitting(0.4, LENGTH)], strut, loads, REQUIREMENT, cases=CASES)
    own = table.loc[("fitting", "load at 0.5 m")]
    assert set(own.loc["limit", "case"]) == {"drag"}
    assert own.loc["ultimate", "F3 [N]"].max() == pytest.approx(6e3)  # of "side", without a second 1.5


def test_two_loads_at_one_station_stay_two(strut):
    loads = PointLoads(at=[LENGTH, LENGTH], force=[[[100.0, 0, 0], [0, 50.0, 0]]])
    table = joint_load_table([fitting(0.4, LENGTH)], strut, loads, REQUIREMENT)
    assert table.loc[("fitting", "load at 0.5 m", "limit"), "F1 [N]"].tolist() == [100.0]
    assert table.loc[("fitting", "load at 0.5 m (2)", "limit"), "F2 [N]"].tolist() == [50.0]


def test_masses_by_hand(strut):
    one = FittedJoint(joint=PIN, takes="entering")
    lug = FittedJoint(joint=LUG, takes="entering")
    own = fitting(0.4, LENGTH, one, one, lug, other_mass=0.3, other_basis="drawing")
    table = leg_masses(strut, [own])
    assert table["mass"].tolist() == pytest.approx([
        strut.mass,
        7833 * np.pi / 4 * 0.02**2 * (0.02 + 0.015 + 0.001),
        2796 * 0.015 * (0.04 * (0.03 + 0.02) - np.pi / 4 * 0.02**2),
        0.3,
    ])  # fmt: skip
    assert table["mass"].sum() == pytest.approx(strut.mass + own.mass)


def test_mass_of_a_sleeve_is_its_volume():
    """Round: rings of pi R^2; box on both faces: areas between outlines. A linear taper takes its mean off."""
    eta, t, rho = 0.2e-3, 3e-3, TITANIUM.density
    ring = np.pi * ((0.03 + eta + t) ** 2 - (0.03 + eta) ** 2)
    assert sleeve().mass == pytest.approx(rho * ring * 0.06)
    assert sleeve(taper=0.02, tip=1e-3).mass == pytest.approx(rho * ring * (0.04 + 0.02 * 2 / 3))
    inner = np.pi * ((0.03 - eta) ** 2 - (0.03 - eta - t) ** 2)
    assert sleeve(side="inside").mass == pytest.approx(rho * inner * 0.06)

    def area(d):  # of the box at a distance from the middle of the wall
        return (0.08 + 2 * d) * (0.06 + 2 * d) - (4 - np.pi) * (0.015 + d) ** 2

    half = WALL.thickness / 2 + eta
    both = area(half + t) - area(half) + area(-half) - area(-half - t)
    assert sleeve(side="both", **BOX).mass == pytest.approx(rho * both * 0.06)


def test_mass_of_a_lug_counts_its_bushing():
    bushing = Bushing(bore=20e-3, diameter=25e-3, length=15e-3, metal=metal("C63000 bar"))
    own = replace(LUG, hole=25e-3, width=60e-3, edge=30e-3, bushing=bushing)
    ring = 7584 * np.pi / 4 * (0.025**2 - 0.02**2) * 0.015
    assert own.mass - replace(own, bushing=None, pin_diameter=25e-3).mass == pytest.approx(ring)


def test_picture_names_level_case_and_values(job):
    ax = Figure().subplots()
    trunnion = job.fittings[0]
    plot_free_body(trunnion, tarn.FIRST_STRUT, job.loads, tarn.REQUIREMENT, case=3, level="limit", ax=ax)
    said = ax.get_title() + ax.get_legend().get_texts()[0].get_text()
    body = free_body(tarn.FIRST_STRUT, job.loads, trunnion)
    assert "LIMIT load = 1.03 x the case" in said
    assert f"{1.03e-3 * body.wrench[3, 0, 0]:+.3g}" in said
    assert len(ax.get_legend().get_texts()) == 2


def test_refusals(strut, job):
    one = FittedJoint(joint=PIN, takes="entering", axes=TURNED)
    banded = replace(strut, bands=[Band(name="bracket", start=0.22, end=0.28)])
    ultimate = replace(LOADS, level=["ultimate"] * 3)
    for message, call in (
        ("in no fitting", lambda: assembly_margins([fitting(0.4, LENGTH, one)], strut, LOADS, REQUIREMENT)),
        ("share a load", lambda: joint_load_table([fitting(0.0, 0.3), fitting(0.2, 0.4, name="b")], strut, LOADS,
                                                  REQUIREMENT)),
        ("all different", lambda: joint_load_table([fitting(0.0, 0.1), fitting(0.2, 0.4)], strut, LOADS, REQUIREMENT)),
        ("no joint", lambda: assembly_margins([fitting(0.0, 0.1)], strut, LOADS, REQUIREMENT)),
        ("at most the tip", lambda: free_body(strut, LOADS, fitting(0.1, 0.6))),
        ("the band of this fitting", lambda: free_body(banded, LOADS, fitting(0.25, 0.3))),
        ("no load, support or tube there", lambda: joint_loads(strut, LOADS, fitting(0.1, 0.2), one)),
        ("labels, must be 3", lambda: joint_loads(strut, LOADS, fitting(0.4, LENGTH), one, cases=["one"])),
        ("outboard of its start|> start", lambda: fitting(0.2, 0.1)),
        ("> start", lambda: fitting(0.2, 0.2)),
        ("other_basis", lambda: fitting(0.1, 0.2, other_mass=1.0)),
        ("right-handed", lambda: FittedJoint(joint=PIN, takes="entering", axes=-np.eye(3))),
        ("holds no moment", lambda: assembly_margins(
            [fitting(0.4, LENGTH, FittedJoint(joint=LUG, takes="entering", share=hinge_shares(0.1)[0]))],
            strut, LOADS, REQUIREMENT, whole=False)),
        ("number of cases", lambda: plot_free_body(fitting(0.0, 0.1), strut, LOADS, REQUIREMENT, case=3,
                                                   ax=Figure().subplots())),
        ("given at ultimate load", lambda: plot_free_body(fitting(0.0, 0.1), strut, ultimate, REQUIREMENT,
                                                          level="limit", ax=Figure().subplots())),
    ):  # fmt: skip
        with pytest.raises(ValueError, match=message):
            call()
