"""Toe and camber under load: direct geometry, unit loads for the rotation of the tip, signs, limits."""

from dataclasses import replace

import numpy as np
import pytest
import tarn
from calls_retraction import LEGS, STRUT
from gears import SKEW, trailing_gear
from numpy.testing import assert_allclose
from scipy.constants import g
from scipy.optimize import brentq
from scipy.spatial.transform import Rotation

from beam.axes import into
from beam.gear import alignment, leg_cases
from beam.gear.plots import plot_alignment
from beam.strength import alignment_limits
from beam.strut import PointLoads
from beam.wheel_alignment import alignment_under_load, standing_legs

GEAR, LINE = tarn.GEAR, tarn.MOLD_LINE
SKEWED = trailing_gear(**SKEW).link
STROKE = np.array([0.0, 0.04, 0.1])


def test_moved_ends_against_direct_geometry():
    """Link angle by a root of the shock's length between the moved ends, axle by a general rotation."""
    moved, turned = np.array([0.004, -0.006, 0.003]), np.array([0.02, -0.03, 0.025])
    bracket = np.array([0.002, 0.005, -0.003])
    R = Rotation.from_rotvec(turned)
    found = alignment(SKEWED, STROKE, pivot_motion=[*moved, *turned], bracket_motion=bracket)
    pivot, upper = SKEWED.pivot + moved, SKEWED.shock_on_strut + bracket

    def placed(point, q):
        return pivot + R.apply(Rotation.from_rotvec(q * SKEWED.hinge).apply(point - SKEWED.pivot))

    def surplus(q, length):
        return np.linalg.norm(placed(SKEWED.shock_on_link, q) - upper) - length

    for k, stroke in enumerate(STROKE):
        near = float(SKEWED.angle(stroke))
        q = brentq(surplus, near - 0.3, near + 0.3, args=(SKEWED.free_length - stroke,), xtol=1e-14)
        axle = R.apply(Rotation.from_rotvec(q * SKEWED.hinge).apply(SKEWED.wheel_axis.copy()))
        axle = axle * np.sign(axle[1])
        assert float(found.camber_deg[k]) == pytest.approx(np.degrees(np.arcsin(-axle[2])), abs=1e-9)
        assert float(found.toe_deg[k]) == pytest.approx(np.degrees(np.arctan2(-axle[0], axle[1])), abs=1e-9)
        assert float(found.trail[k]) == pytest.approx(float(placed(SKEWED.axle, q)[0] - pivot[0]), abs=1e-11)


def test_a_strut_that_moves_as_one_keeps_the_link_angle():
    """Rigid motion of both ends: the axle turns with the strut and nothing else changes."""
    turned, shift = np.array([0.05, 0.02, -0.04]), np.array([0.1, 0.2, 0.3])
    R = Rotation.from_rotvec(turned)
    bracket = R.apply(SKEWED.shock_on_strut - SKEWED.pivot) + SKEWED.pivot + shift - SKEWED.shock_on_strut
    found = alignment(SKEWED, 0.05, pivot_motion=[*shift, *turned], bracket_motion=bracket)
    q = float(SKEWED.angle(0.05))
    axle = (R * Rotation.from_rotvec(q * SKEWED.hinge)).apply(SKEWED.wheel_axis.copy())
    axle = axle * np.sign(axle[1])
    assert float(found.camber_deg) == pytest.approx(np.degrees(np.arcsin(-axle[2])), abs=1e-10)
    assert float(found.toe_deg) == pytest.approx(np.degrees(np.arctan2(-axle[0], axle[1])), abs=1e-10)


def test_small_rotations_add_to_toe_and_camber():
    plain = alignment(GEAR.link, STROKE)
    for axis, camber, toe in ((0, -1.0, 0.0), (1, 0.0, 0.0), (2, 0.0, 1.0)):
        motion = np.zeros(6)
        motion[3 + axis] = 1e-5
        found = alignment(GEAR.link, STROKE, pivot_motion=motion)
        change = np.radians([found.camber_deg - plain.camber_deg, found.toe_deg - plain.toe_deg]) / 1e-5
        assert_allclose(change, np.outer([camber, toe], np.ones(3)), atol=1e-4)


def test_without_motion_nothing_changes():
    plain, still = alignment(SKEWED, STROKE), alignment(SKEWED, STROKE, pivot_motion=np.zeros((3, 6)))
    for name in ("camber_deg", "toe_deg", "caster_deg", "trail"):
        assert_allclose(getattr(plain, name), getattr(still, name), atol=1e-15)


def test_rotation_of_the_tip_by_unit_loads():
    """Castigliano: the rotation about an axis is the integral of F C f, f the section forces of a unit couple there."""
    table = alignment_under_load(GEAR, STRUT, LEGS)
    on = LEGS.strut_loads(GEAR)
    station = float((GEAR.link.shock_on_strut - LINE.root) @ LINE.frame[0])
    loads = LINE.point_loads([LINE.length, station], on.points, on.force, on.moment)
    cuts = np.unique(np.r_[STRUT.bays, station])
    x, w = np.polynomial.legendre.leggauss(8)
    s = ((cuts[1:] + cuts[:-1])[:, None] + np.diff(cuts)[:, None] * x).ravel() / 2
    weight = (np.diff(cuts)[:, None] * w).ravel() / 2
    flexible = np.linalg.inv(STRUT.span.stiffness.at(s))
    F = STRUT.span.forces(loads, s)
    for column, axis in (("aft_deg", [1, 0, 0]), ("starboard_deg", [0, 1, 0]), ("up_deg", [0, 0, 1])):
        couple = PointLoads(at=[LINE.length], force=[[[0.0] * 3]], moment=[[into(LINE.frame, axis)]])
        f = STRUT.span.forces(couple, s)[0]
        turn = np.einsum("csi,sij,sj,s->c", F, flexible, f, weight)
        assert_allclose(table[column], np.degrees(turn), rtol=1e-3, atol=1e-4)
    # the hinge is athwart, so to first order the tip's rotation is all
    assert_allclose(table["camber_loaded_deg"], -table["aft_deg"], rtol=0.02)
    assert_allclose(table["toe_loaded_deg"], table["up_deg"], rtol=0.02)


def test_a_standing_leg_spreads_and_its_wheel_leans_in():
    """The leg leans outboard: weight bends its tip outboard and up, the top of the wheel comes inboard."""
    masses = np.array([400.0, 480.0, 540.0])
    legs = standing_legs(GEAR, masses)
    assert_allclose(legs.force[:, 2], masses * g)
    assert_allclose(legs.stroke, GEAR.static(masses))
    table = alignment_under_load(GEAR, STRUT, legs)
    assert (table["camber_loaded_deg"] < 0).all()
    assert (np.diff(table["camber_loaded_deg"]) < 0).all()
    assert_allclose(table[["toe_deg", "camber_deg"]], 0.0, atol=1e-12)


def landing(drag, vertical=1.0, side=0.0):
    row = {"leg": ["starboard"], "Fx": [drag], "Fy": [side], "Fz": [vertical], "applied_at": ["axle"],
           "shock": ["landing"], "attitude_deg": [0.0]}  # fmt: skip
    return leg_cases(GEAR, row, static_load=5000.0, fractions=[0.2, 0.6])


def test_drag_toes_the_outboard_wheel_out_and_spring_back_toes_it_in():
    out, back = (alignment_under_load(GEAR, STRUT, landing(drag)) for drag in (5e3, -5e3))
    assert (out["toe_loaded_deg"] < 0).all()
    assert (back["toe_loaded_deg"] > 0).all()


def test_the_change_is_in_proportion_to_a_small_load_and_vanishes_with_it():
    one, tenth = (alignment_under_load(GEAR, STRUT, landing(30 * f, 100 * f, 20 * f)) for f in (1.0, 0.1))
    names = ["toe_loaded_deg", "camber_loaded_deg"]
    assert_allclose(one[names], 10 * tenth[names], rtol=1e-3)
    assert np.abs(tenth[names].to_numpy()).max() < 1e-3


def test_plot_draws_lines_alike_once():
    legs = standing_legs(GEAR, [400.0, 450.0, 500.0, 520.0])
    legs = replace(
        legs, **{name: np.concatenate([getattr(legs, name)] * 2) for name in legs.__dataclass_fields__}
    )
    table = alignment_under_load(GEAR, STRUT, legs, labels=["light"] * 4 + ["heavy"] * 4)
    toe, camber = plot_alignment(table)
    assert len(toe.get_lines()) == 2  # one for both, and the rigid strut
    assert [t.get_text() for t in camber.get_legend().get_texts()] == ["light (and 1 alike)", "rigid strut"]
    assert "stroke of the shock [mm]" in toe.get_xlabel()


def test_a_strut_of_another_gear_is_refused():
    other = replace(GEAR, link=replace(GEAR.link, pivot=GEAR.link.pivot + [0.0, 0.0, 0.002]))
    with pytest.raises(ValueError, match=r"end of the strut to the link pivot .* the tip at the pivot"):
        alignment_under_load(other, STRUT, LEGS)
    with pytest.raises(ValueError, match="labels: got 1, must be one for each of 2"):
        alignment_under_load(GEAR, STRUT, LEGS, labels=["one"])
    with pytest.raises(ValueError, match="broadcastable"):
        alignment(GEAR.link, STROKE, pivot_motion=np.zeros((2, 6)))
    with pytest.raises(ValueError, match="beyond what the geometry of the link has"):
        alignment(GEAR.link, 0.05, bracket_motion=[0.0, 0.0, 2.0])


def test_limits_are_on_what_the_strut_adds_to_toe_and_camber():
    """The link's own turn is left out of the forms: 0.3 percent here, under a standing load."""
    legs = standing_legs(GEAR, [450.0, 527.0])
    table, on, line = alignment_under_load(GEAR, STRUT, legs), legs.strut_loads(GEAR), STRUT.mold_line
    bracket = float((GEAR.link.shock_on_strut - line.root) @ line.frame[0])
    loads = line.point_loads([line.length, bracket], on.points, on.force, on.moment)
    tip = STRUT.span.displacement(loads, [line.length])[:, 0]
    toe, camber = alignment_limits(line, toe_deg=0.3, camber_deg=0.4)
    assert (toe.limit, camber.limit) == (0.3, 0.4)
    for one, name in ((toe, "toe"), (camber, "camber")):
        change = table[f"{name}_loaded_deg"] - table[f"{name}_deg"]
        np.testing.assert_allclose(np.abs(tip @ np.array(one.form)), np.abs(change), rtol=4e-3)
    assert alignment_limits(line) == ()
