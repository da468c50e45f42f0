"""Clearances against points laid out densely on wheel and strut."""

from itertools import pairwise

import numpy as np
import pytest
from gear_landing import SKEWED
from numpy.testing import assert_allclose
from scipy.spatial.transform import Rotation

from beam.gear import PivotAxis, bay_clearances, strut_clearances, sweep_clearances, wheel_extent

AXIS, CENTER, AXLE = SKEWED["axis"], np.array([0.0, 1.0, -0.7]), np.array([0.1, 1.0, 0.05])
WHEEL = {"radius": 0.2, "width": 0.12}
HANGS = ((0, 0, -0.8), (0, 1, 0))
"""Center and axle of a wheel that hangs straight down."""
BAY = {"lower": (-0.22, -1.02, -0.08), "upper": (0.22, -0.5, 0.07)}
FOLD = PivotAxis(point=(0, 0, 0), direction=(-1, 0, 0), angle=np.pi / 2)


def test_reach_of_a_wheel_is_that_of_its_edges():
    rng = np.random.default_rng(1)
    still = PivotAxis(point=(0, 0, 0), direction=(1, 0, 0), angle=1.0)
    for _ in range(20):
        axle, along = rng.normal(size=(2, 3))
        edges = still.swept_wheel((0, 0, 0), axle, 0.0, **WHEEL, points=4000).reshape(-1, 3)
        reach = (edges @ along).max() / np.linalg.norm(along)
        assert wheel_extent(along, axle, **WHEEL) == pytest.approx(reach, abs=1e-6)


def test_clearances_in_the_bay_are_those_of_the_edges_of_the_swept_wheel():
    turns = np.linspace(0.2, AXIS.angle, 5)
    box = Rotation.from_rotvec([0.1, -0.2, 0.3]).as_matrix()
    low, high = np.array([-0.4, -0.9, -0.6]), np.array([0.5, 1.1, 0.7])
    table = bay_clearances(AXIS, CENTER, AXLE, **WHEEL, lower=low, upper=high, orientation=box, angle=turns,
                           required=0.02)  # fmt: skip
    edges = AXIS.swept_wheel(CENTER, AXLE, turns, **WHEEL, points=4000).reshape(5, -1, 3) @ box
    want = np.stack([edges.min(axis=1) - low, high - edges.max(axis=1)], axis=-1)
    found = table["clearance [m]"].to_numpy().reshape(5, 3, 2)
    assert_allclose(found, want, rtol=0, atol=1e-6)
    assert table["met"].tolist() == (found.ravel() >= 0.02).tolist()
    assert (found < 0).any()
    assert table["face"][:6].tolist() == ["lower x", "upper x", "lower y", "upper y", "lower z", "upper z"]
    assert_allclose(table["turn [rad]"].to_numpy()[::6], turns)


def test_the_stowed_wheel_by_hand():
    """The leg of 0.8 m folds flat: wheel radius along x and y, half the width along z."""
    table = bay_clearances(FOLD, *HANGS, **WHEEL, **BAY, required=0.015)
    assert_allclose(table["clearance [m]"], [0.02, 0.02, 0.02, 0.1, 0.02, 0.01], atol=1e-12)
    assert table.loc[~table["met"], "face"].tolist() == ["upper z"]
    grown = bay_clearances(FOLD, *HANGS, radius=0.2 * 1.1, width=0.12 * 1.04, **BAY)
    assert_allclose(grown["clearance [m]"], [0.0, 0.0, 0.0, 0.08, 0.0176, 0.0076], atol=1e-12)


def test_distance_from_the_swept_wheel_is_that_from_points_on_it():
    rng = np.random.default_rng(2)
    points = rng.uniform(-1.0, 1.0, size=(6, 3))
    table = sweep_clearances(AXIS, CENTER, AXLE, points, **WHEEL, names=list("abcdef"), required=0.3)
    turns = np.linspace(0.0, AXIS.angle, 801)
    axles = AXIS.turned(AXLE / np.linalg.norm(AXLE), turns)
    centers = AXIS.at(CENTER, turns)
    for row, point in zip(table.itertuples(index=False), points, strict=True):
        arm = point - centers
        along = np.sum(arm * axles, axis=-1)
        across = np.linalg.norm(arm - along[:, None] * axles, axis=-1)
        # the nearest point of a solid cylinder, part by part
        a, s = np.clip(along, -0.06, 0.06), np.clip(across, 0.0, 0.2)
        distance = np.hypot(along - a, across - s)
        assert row[1] <= distance.min() + 1e-12
        if distance.min() > 0:
            assert row[1] == pytest.approx(distance.min(), abs=1e-5)
            assert row[2] == pytest.approx(turns[distance.argmin()], abs=0.01)
        assert row[4] == (row[1] >= 0.3)
    assert table["point"].tolist() == list("abcdef")


def test_a_point_in_the_way_of_the_wheel_has_a_clearance_below_zero():
    inside = AXIS.at(CENTER, 0.7) + 0.01 * AXIS.turned(AXLE, 0.7)
    found = sweep_clearances(AXIS, CENTER, AXLE, [inside], **WHEEL).iloc[0]
    assert found["clearance [m]"] <= -0.049
    assert not found["met"]
    hub = sweep_clearances(FOLD, *HANGS, [(0, 0, -0.8)], **WHEEL).iloc[0]
    assert hub["clearance [m]"] == pytest.approx(-0.06)


def test_distance_from_the_deflected_strut_is_that_from_points_along_it():
    rng = np.random.default_rng(4)
    axis = np.cumsum(rng.uniform(0.05, 0.3, size=(6, 3)), axis=0)
    shift = 0.05 * rng.normal(size=(2, 4, 6, 3))
    points = rng.uniform(0.0, 1.2, size=(7, 3))
    table = strut_clearances(axis, shift, points, size=0.04, required=0.1)
    way = np.linspace(0.0, 1.0, 2001)

    def near(line):
        dense = np.concatenate([a + way[:, None] * (b - a) for a, b in pairwise(line)])
        return np.linalg.norm(dense[:, None] - points, axis=-1).min(axis=0) - 0.04

    assert_allclose(table["unloaded [m]"], near(axis), atol=1e-6)
    each = np.array([near(axis + one) for one in shift.reshape(-1, 6, 3)])
    assert_allclose(table["least [m]"], each.min(axis=0), atol=1e-6)
    assert table["case"].tolist() == each.argmin(axis=0).tolist()
    assert table["met"].tolist() == (np.minimum(each.min(axis=0), near(axis)) >= 0.1).tolist()


def test_the_larger_size_of_a_tapered_piece_counts():
    line, point = [(0, 0, 0), (0, 0, -0.5), (0, 0, -1.0)], [(0.3, 0, -0.75)]
    free = strut_clearances(line, np.zeros((1, 3, 3)), point, size=[0.08, 0.06, 0.04]).iloc[0]
    assert free["unloaded [m]"] == pytest.approx(0.3 - 0.06)
    assert free["station"] == 1
    bent = strut_clearances(line, [[[0, 0, 0], [0, 0, 0], [0.2, 0, 0]]], point, size=0.04).iloc[0]
    assert bent["least [m]"] == pytest.approx((0.3 - 0.1) * 0.5 / np.hypot(0.5, 0.2) - 0.04)


LINE = [(0, 0, 0), (0, 0, -1)]


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: bay_clearances(FOLD, *HANGS, **WHEEL, lower=BAY["upper"], upper=BAY["lower"]), "swapped"),
        (lambda: bay_clearances(FOLD, *HANGS, **WHEEL, **BAY, orientation=2 * np.eye(3)), "rotation"),
        (lambda: wheel_extent((0, 0, 0), (0, 1, 0), **WHEEL), "a zero vector"),
        (lambda: wheel_extent(np.ones((2, 3)), np.ones((3, 3)), **WHEEL), "broadcastable"),
        (lambda: sweep_clearances(FOLD, *HANGS, [(0, 0, 0)], **WHEEL, names=["a", "b"]), "names: got 2"),
        (lambda: strut_clearances(LINE[:1], np.zeros((1, 3)), [(0, 0, 0)], size=0.1), "2 stations"),
        (lambda: strut_clearances(LINE, np.zeros((3, 3)), [(0, 0, 0)], size=0.1), "broadcastable"),
        (lambda: strut_clearances(LINE, np.zeros((1, 3)), [(0, 0, 0)], size=0.1), "displacement: got shape"),
        (lambda: strut_clearances(LINE, np.zeros((2, 3)), [(0, 0, 0)], size=[0.1] * 3), "size"),
    ],
)  # fmt: skip
def test_what_does_not_fit_is_refused(make, says):
    with pytest.raises(ValueError, match=says):
        make()
