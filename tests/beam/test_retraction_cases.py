"""The gear in the air on the strut: the span's own reactions against those of the rigid leg, and what is refused."""

from dataclasses import replace

import numpy as np
import pytest
import tarn
from calls_retraction import GROUND, STRUT
from numpy.testing import assert_allclose
from retracting import AXIS, BEARINGS, BRACE, CARRIED, DOWN_LOCK, HOLDING, LINK, RETRACTING, UP_LOCK, T
from scipy.constants import g
from scipy.spatial.transform import Rotation

from beam.axes import into
from beam.gear import FlightCondition, Lock, OverCenterBrace, flight_conditions, leg_loads, swing
from beam.gear.plots import plot_retraction
from beam.retraction_cases import (
    down_lock_force,
    locked_down_supports,
    retraction_cases,
    sizing_cases,
)
from beam.strength.margins import margins
from beam.strut import PointLoads, Strut

CONDITIONS = CARRIED["conditions"]
LINE = tarn.MOLD_LINE
# outboard of the leg, which folds inboard
OUTBOARD = OverCenterBrace(
    **(BRACE | {"on_airplane": T + (0.0, 0.6, 0.0), "knee": T + (0.0, 0.353, -0.13), "play": 0.0})
)


@pytest.fixture(scope="module")
def found():
    return retraction_cases(**CARRIED)


@pytest.fixture(scope="module")
def linked():
    return retraction_cases(**CARRIED, link=LINK)


def picked(cases):
    """Cases of every state, early, in the middle and late."""
    state = np.array(cases.state)
    rows = [np.flatnonzero(state == one) for one in dict.fromkeys(cases.state)]
    return [int(of[k]) for of in rows for k in sorted({0, len(of) // 3, len(of) - 1})]


@pytest.mark.parametrize("kind", ["found", "linked"])
def test_a_flexible_span_stands_on_its_supports_as_the_rigid_leg_does(kind, request):
    """Six reactions from the span, statically determinate, in axes that turn with the gear."""
    cases = request.getfixturevalue(kind)
    for k in picked(cases):
        span = Strut(LINE, STRUT.ply_book, cases.supports[k]).span
        got = span.reactions(cases.loads.take([k]))[0]
        rows = span.held.rows
        turn = Rotation.from_rotvec(-cases.angle[k] * AXIS.direction)
        size = np.abs(cases.loads.force[k]).max()
        forces = [into(LINE.frame, turn.apply(f)) for f in cases.reactions.bearing_force[k].copy()]
        expected = [*(rows[:3, :3] @ forces[0]), *(rows[3:5, :3] @ forces[1]), cases.reactions.link_force[k]]
        assert_allclose(got, expected, atol=1e-9 * max(size, np.abs(got).max()))


@pytest.mark.parametrize("kind", ["found", "linked"])
def test_loads_on_the_strut_are_the_loads_on_the_leg(kind, request):
    """Force and moment about the trunnion, turned back; the link cannot change what reaches the root."""
    cases = request.getfixturevalue(kind)
    for condition in ("n 3.8", "n -1.5"):
        k = next(i for i, label in enumerate(cases.labels) if condition in label)
        loads = leg_loads(RETRACTING, AXIS.angle, load_factor=(0, 0, float(condition[2:])))
        turn = Rotation.from_rotvec(-AXIS.angle * AXIS.direction)
        force = loads.force[0].sum(axis=0)
        moment = (loads.moment[0] + np.cross(loads.points[0] - T, loads.force[0])).sum(axis=0)
        on = cases.loads
        arm = np.outer(on.at, [1.0, 0.0, 0.0])
        assert_allclose(on.force[k].sum(axis=0), into(LINE.frame, turn.apply(force)), atol=1e-9)
        total = (on.moment[k] + np.cross(arm, on.force[k])).sum(axis=0)
        assert_allclose(total, into(LINE.frame, turn.apply(moment)), atol=1e-9)


def test_the_link_hands_the_wheel_on_to_pivot_and_bracket(found, linked):
    bracket = float((LINK.shock_on_strut - LINE.root) @ LINE.frame[0])
    assert np.isclose(linked.loads.at, bracket).any()
    assert not np.isclose(found.loads.at, bracket).any()
    span = STRUT.span
    near, far = (span.forces(c.loads, [bracket - 0.02, bracket + 0.05]) for c in (found, linked))
    assert_allclose(near[:, 0], far[:, 0], atol=1e-8 * np.abs(near).max())
    assert np.abs(near[:, 1] - far[:, 1]).max() > 1.0


def test_the_actuator_is_that_of_the_swing(found):
    for one in CONDITIONS:
        if one.moving:
            motion = swing(
                RETRACTING,
                duration=5.0,
                steps=10,
                load_factor=one.load_factor,
                dynamic_pressure=one.dynamic_pressure,
                sideslip_deg=one.sideslip_deg,
                wheel_speed=one.wheel_speed,
                brake_torque=one.brake_torque,
                extending=one.state == "extending",
            )
            rows = [i for i, label in enumerate(found.labels) if label.startswith(f"{one.name}, ")]
            rows = [i for i in rows if found.state[i] == one.state and _same(one, found.labels[i])]
            assert len(rows) == len(motion.time)
            got = found.reactions.link_force[rows]
            assert_allclose(got, motion.force, atol=1e-9 * np.abs(motion.force).max())
            assert_allclose(found.angle[rows], motion.angle, atol=1e-12)


def _same(one, label):
    """True if the name is the whole name of the label's condition: what follows it is the turn."""
    return (
        label[len(one.name) + 2 :].split(" ")[1].startswith("deg")
        and "sideslip" not in label[len(one.name) :]
    )


def test_every_case_is_named_once_and_has_what_holds_it(found):
    assert len(set(found.labels)) == len(found.labels) == len(found.supports) == len(found.loads.force)
    assert set(found.held_by) == {"actuator", "down-lock", "up-lock"}
    names: dict[str, set[str]] = {}
    for held_by, supports in zip(found.held_by, found.supports, strict=True):
        names.setdefault(held_by, set()).update(support.name for support in supports)
    assert names["actuator"] == {"trunnion bearing 1", "trunnion bearing 2", "actuator"}
    assert "brace" in names["down-lock"]
    assert "lock" in names["up-lock"]
    assert found.angle.min() == 0.0
    assert found.angle.max() == pytest.approx(AXIS.angle)


def test_conditions_are_those_of_the_paragraph():
    """1.6 V_S1 with the gear moving or down, load factors 0 and 2, both sideslips, both brakes; gear up at both n."""
    assert len(CONDITIONS) == 2 * 3 * 2 + 2 * 3 + 2 * 3 + 2
    assert len({one.name for one in CONDITIONS}) == len(CONDITIONS)
    for one in CONDITIONS:
        if one.state == "up":
            assert one.dynamic_pressure == 0.0
            assert float(one.load_factor[2]) in (3.8, -1.5)
        else:
            assert one.dynamic_pressure == pytest.approx(1.225 * (1.6 * 29.0) ** 2 / 2)
            assert float(one.load_factor[2]) in (0.0, 2.0)
    braked = [one for one in CONDITIONS if one.brake_torque]
    assert {one.state for one in braked} == {"retracting"}
    assert {one.sideslip_deg for one in CONDITIONS} == {0.0, 10.0, -10.0}


def test_the_up_lock_carries_the_flight_load_factor():
    """Without door rod, in proportion to n; by hand from the moment of the weights."""
    bare = replace(RETRACTING, door=None)
    flights = [FlightCondition(name=f"n {n:g}", state="up", load_factor=(0, 0, n)) for n in (3.8, -1.5, 1.0)]
    cases = retraction_cases(**(CARRIED | {"gear": bare, "conditions": flights}))
    force = cases.reactions.link_force
    assert_allclose(force / force[2], [3.8, -1.5, 1.0], rtol=1e-12)
    turn = Rotation.from_rotvec(AXIS.angle * AXIS.direction)
    arms = np.array([turn.apply(c - T) for c in bare.center.copy()])
    weight = np.cross(arms, [[0.0, 0.0, -g * m] for m in bare.mass]).sum(axis=0) @ AXIS.direction
    hook = turn.apply(UP_LOCK.on_gear - T)
    assert force[2] == pytest.approx(-weight / (np.cross(hook, UP_LOCK.line) @ AXIS.direction), rel=1e-9)
    assert list(cases.table["note"]) == ["", "the lock pushes: a hook needs a stop", ""]


def test_an_actuator_that_pushes_against_the_lock_loads_it():
    free, pushed = (
        FlightCondition(name=f"{force:g}", state="down", actuator_force=force) for force in (0.0, 2000.0)
    )
    cases = retraction_cases(**(CARRIED | {"conditions": [free, pushed]}))
    ends = [np.linalg.norm(AXIS.at(DOWN_LOCK.on_gear, q) - DOWN_LOCK.on_airplane) for q in (1e-6, -1e-6)]
    ratio = float(RETRACTING.actuator_arm(0.0)) / ((ends[0] - ends[1]) / 2e-6)
    assert np.diff(cases.reactions.link_force)[0] == pytest.approx(-2000.0 * ratio, rel=1e-6)


def test_locking_moment_is_that_of_the_brace_where_the_gear_is_down(found):
    down = np.array(found.state) == "down"
    assert np.isinf(found.locking_moment[~down]).all()
    factors = [one.load_factor for one in CONDITIONS if one.state == "down"]
    expected = DOWN_LOCK.locking_moment(found.reactions.link_force[down], factors)
    assert_allclose(found.locking_moment[down], expected)
    least = found.worst.loc["down-lock, least locking moment"]
    assert least["value"] == pytest.approx(expected.min())
    assert least["case"] == found.labels[down][np.argmin(expected)]
    assert not found.unlocked.any()


def test_a_brace_that_opens_is_named():
    """Without springs a brace in tension leaves its stop; a heavy knee folds it in compression."""
    slack = OverCenterBrace(**(BRACE | {"spring_moment": 0.0, "knee_mass": 0.0}))
    cases = retraction_cases(**(CARRIED | {"down_lock": slack}))
    down = np.array(cases.state) == "down"
    assert_allclose(cases.unlocked[down], cases.reactions.link_force[down] < 0)
    assert cases.unlocked.any()
    assert cases.table["note"][cases.unlocked].str.contains("straight in tension").all()
    heavy = OverCenterBrace(**(BRACE | {"spring_moment": 0.0, "knee_mass": 60.0}))
    pushed = FlightCondition(name="push-over", state="down", load_factor=(0, 3.0, -2.0))
    cases = retraction_cases(**(CARRIED | {"down_lock": heavy, "conditions": [pushed]}))
    assert cases.reactions.link_force[0] > 0
    assert cases.table["note"][0] == "UNLOCKED: the brace folds"


def test_a_brace_without_any_locking_moment_is_unlocked(found):
    assert replace(found, locking_moment=np.zeros(len(found.labels))).unlocked.all()


def test_worst_reactions_are_the_largest_of_the_table(found):
    table, worst = found.table, found.worst
    actuator = table[table["held_by"] == "actuator"]["link_force"]
    assert worst.loc["actuator, negative", "value"] == actuator.min() < 0
    assert worst.loc["actuator, positive", "value"] == actuator.max() > 0
    for column, name in (("radial_1", "bearing 1, radial"), ("radial_2", "bearing 2, radial")):
        row = worst.loc[name]
        assert row["value"] == table[column].max()
        assert table.set_index("case").loc[row["case"], column] == row["value"]


def test_down_lock_force_is_the_reaction_of_the_span():
    """Any loads on the strut, here with a moment and at two stations: the span on the locked-down supports."""
    rng = np.random.default_rng(3)
    loads = PointLoads(
        at=[0.3, LINE.length], force=rng.normal(size=(4, 2, 3)) * 5e3, moment=rng.normal(size=(4, 2, 3)) * 400
    )
    pin = Lock(on_gear=T + (0.0, 0.1, -0.25), line=(0.1, -1.0, 0.2))
    for lock in (DOWN_LOCK, pin):
        supports = locked_down_supports(RETRACTING, LINE, bearings=BEARINGS, down_lock=lock)
        span = Strut(LINE, STRUT.ply_book, supports).span
        got = down_lock_force(RETRACTING, LINE, loads, down_lock=lock)
        assert_allclose(got, span.reactions(loads)[:, -1], rtol=1e-8)


def test_cases_are_ready_for_margins(linked):
    k = int(np.argmax(np.abs(linked.reactions.link_force)))
    strut = Strut(LINE, STRUT.ply_book, linked.supports[k])
    table = margins(
        strut, linked.loads.take([k]), tarn.REQUIREMENT, stations=[0.1, 0.3], cases=[linked.labels[k]]
    )
    assert table["reserve"].min() > 2


def test_assumptions_name_the_missing_link(found, linked):
    assert any("enter at the tip" in one for one in found.assumptions)
    assert not any("enter at the tip" in one for one in linked.assumptions)
    assert any("two-force member" in one for one in found.assumptions)


def test_plot_shows_every_holder(found):
    axes = plot_retraction(found.table)
    texts = [text.get_text() for text in axes[0].get_legend().get_texts()]
    assert [text.split(",")[0] for text in texts] == ["down-lock", "actuator", "up-lock"]
    low = found.reactions.link_force[np.array(found.held_by) == "actuator"].min() / 1e3
    assert f"{low:.3g}" in texts[1]
    assert "limit" in axes[0].get_ylabel()


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"conditions": [CONDITIONS[0]] * 2}, "all different"),
        ({"bearings": BEARINGS + [0.0, 0.0, 0.01]}, "distance from the pivot axis"),
        ({"up_lock": Lock(on_gear=T + (0, 0.2, -0.5), line=AXIS.direction)}, "passes through the axis"),
        ({"link": replace(LINK, pivot=LINK.pivot + [0.0, 0.0, 1e-3])}, "the tip at the pivot"),
        ({"wheel": 4}, "the number of parts"),
        ({"down_lock": OUTBOARD}, "within the reach of its links"),
    ],
)  # fmt: skip
def test_what_does_not_fit_is_refused(change, message):
    with pytest.raises(ValueError, match=message):
        retraction_cases(**(CARRIED | change))


def test_parts_of_other_cases_are_refused(found):
    with pytest.raises(ValueError, match=r"cases of its parts.* equally many"):
        replace(found, angle=[0.0])


def test_a_condition_that_contradicts_itself_is_refused():
    with pytest.raises(ValueError, match=r"brake_torque .* 0 where the gear is locked"):
        FlightCondition(name="up", state="up", brake_torque=10.0)
    with pytest.raises(ValueError, match=r"actuator_force .* 0 where the gear moves"):
        FlightCondition(name="up", state="retracting", actuator_force=10.0)
    with pytest.raises(ValueError, match="a brake acts on a turning wheel only"):
        FlightCondition(name="up", state="retracting", brake_torque=10.0)
    with pytest.raises(ValueError, match="state"):
        FlightCondition(name="up", state="stowed")
    with pytest.raises(ValueError, match="arm of the lock about the axis"):
        down_lock_force(
            RETRACTING, LINE, PointLoads(at=[0.6], force=[[[0, 0, 1.0]]]),
            down_lock=Lock(on_gear=T + (0, 0, -0.2), line=(0, 0, 1)),
        )  # fmt: skip
    with pytest.raises(ValueError, match="twice the same"):
        locked_down_supports(RETRACTING, LINE, **(HOLDING | {"bearings": [BEARINGS[0]] * 2}))
    assert not flight_conditions(flight_load_factor=3.8, negative_load_factor=0.0, stall_speed_clean=30.0)[
        0
    ].brake_torque


def test_cases_on_a_clamped_root_have_the_section_forces_of_their_supports(linked):
    """The span on its own supports, group by group, against the span clamped at the root with the holder's force."""
    sized = sizing_cases(linked)
    clamped = Strut(LINE, STRUT.ply_book).span
    assert sized.labels.tolist() == linked.labels.tolist()
    stations = np.linspace(0.02, LINE.length - 1e-3, 7)
    rows = {label: k for k, label in enumerate(linked.labels.tolist())}
    seen = 0
    for group in linked.groups:
        seen += len(group.labels)
        case = rows[group.labels[0]]
        own = Strut(LINE, STRUT.ply_book, group.supports).span.forces(group.loads.take([0]), stations)
        got = clamped.forces(sized.loads.take([case]), stations)
        assert_allclose(got, own, atol=1e-9 * np.abs(own).max())
    assert seen == len(linked.labels)
    # one group for each lock, one for each turn in transit
    turns = {
        round(float(q), 9) for q, state in zip(linked.angle, linked.state, strict=True) if "ing" in state
    }
    assert len(linked.groups) <= len(turns) + 2


def test_cases_in_the_air_follow_those_on_the_ground(linked):
    ground = replace(GROUND, loads=replace(GROUND.loads, level=["ultimate"] * len(GROUND.labels)))
    both, air = sizing_cases(linked, ground), sizing_cases(linked)
    count = len(ground.labels)
    assert both.labels.tolist() == [*ground.labels.tolist(), *linked.labels.tolist()]
    assert both.loads.level == ("ultimate",) * count + ("limit",) * len(linked.labels)
    stations = [0.1, 0.45]
    span = Strut(LINE, STRUT.ply_book).span
    got = span.forces(both.loads, stations)
    want = np.concatenate([span.forces(one.loads, stations) for one in (ground, air)])
    assert_allclose(got, want, atol=1e-9 * np.abs(want).max())


def test_margins_of_a_group_are_those_of_its_sizing_cases(linked):
    requirement = replace(tarn.REQUIREMENT, checks=tarn.REQUIREMENT.checks[:1])
    sized = sizing_cases(linked)
    group = linked.groups[-1]
    rows = [linked.labels.tolist().index(label) for label in group.labels]
    on_supports = margins(Strut(LINE, STRUT.ply_book, group.supports), group.loads, requirement)
    on_clamp = margins(STRUT, sized.loads.take(rows), requirement)
    assert on_clamp["margin"].min() == pytest.approx(on_supports["margin"].min(), rel=1e-6)
