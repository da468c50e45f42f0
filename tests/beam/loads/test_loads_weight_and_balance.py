"""The range of the center of gravity against every loading at its corners, and against random loadings."""

from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from brake_stop import ITEMS
from numpy.testing import assert_allclose
from tourer import TOURER

from beam.loads import MassItem, cg_range, ground_cases
from beam.loads.part23.landing import Landing

MASSES = [1240.0, 1180.0, 1000.0, 840.0]


def corners(items, mass):
    """Centers of gravity (n, 3) of all loadings of a mass in which all items but one, or all, are at a limit."""
    arms = np.array([item.arm for item in items])
    found = []
    for free, item in enumerate(items):
        rest = [i for i in range(len(items)) if i != free]
        for ends in product(*(items[i].range for i in rest)):
            loading = np.zeros(len(items))
            loading[rest] = ends
            loading[free] = mass - loading.sum()
            low, high = item.range
            within = low - 1e-9 <= loading[free] <= high + 1e-9
            if item.all_or_none:
                within = min(abs(loading[free] - low), abs(loading[free] - high)) < 1e-9
            if within:
                found.append(loading @ arms / mass)
    return np.array(found)


def random_items(rng, count, *, steps):
    least = rng.uniform(0, 50, size=count)
    return [
        MassItem(
            name=f"item {i}",
            least=least[i],
            mass=least[i] + rng.uniform(5, 200),
            arm=rng.uniform(-3, 3, size=3),
            all_or_none=bool(steps and i % 2),
        )
        for i in range(count)
    ]


@pytest.mark.parametrize("steps", [False, True], ids=["any mass", "all or none"])
def test_extremes_are_those_of_all_corner_loadings(steps):
    rng = np.random.default_rng(7)
    for _ in range(15):
        items = random_items(rng, 6, steps=steps)
        low, high = (sum(item.range[end] for item in items) for end in (0, 1))
        for mass in low + np.array([0.1, 0.5, 0.8]) * (high - low):
            every = corners(items, mass)
            if not len(every):
                with pytest.raises(ValueError, match="do not add up"):
                    cg_range(items, mass)
                continue
            found = cg_range(items, mass)
            assert found.forward[0, 0] == pytest.approx(every[:, 0].min(), abs=1e-9)
            assert found.aft[0, 0] == pytest.approx(every[:, 0].max(), abs=1e-9)


def test_no_random_loading_lies_outside():
    rng = np.random.default_rng(8)
    low, high = np.array([item.range for item in ITEMS]).T
    arms = np.array([item.arm for item in ITEMS])
    for _ in range(20):
        loading = rng.uniform(low, high)
        found = cg_range(ITEMS, loading.sum())
        x = float(loading @ arms[:, 0] / loading.sum())
        assert found.forward[0, 0] - 1e-9 <= x <= found.aft[0, 0] + 1e-9


def test_loadings_keep_their_limits_and_give_their_centers():
    found = cg_range(ITEMS, MASSES)
    low, high = np.array([item.range for item in ITEMS]).T
    for loading, centers in ((found.loading_forward, found.forward), (found.loading_aft, found.aft)):
        assert (loading >= low - 1e-9).all()
        assert (loading <= high + 1e-9).all()
        assert_allclose(loading.sum(axis=1), MASSES)
        for row, center in zip(loading, centers, strict=True):
            assert_allclose(sum(m * item.arm for m, item in zip(row, ITEMS, strict=True)) / row.sum(), center)
    table = found.table
    assert len(table) == 2 * len(MASSES)
    assert_allclose(table["x [m]"][:4], found.forward[:, 0])
    assert_allclose(table.filter(regex=r"kg").drop(columns="mass [kg]").sum(axis=1), MASSES * 2)


def test_many_masses_are_the_loop_over_each():
    together = cg_range(ITEMS, MASSES)
    for i, mass in enumerate(MASSES):
        alone = cg_range(ITEMS, mass)
        assert_allclose(together.forward[i], alone.forward[0], rtol=1e-12)
        assert_allclose(together.aft[i], alone.aft[0], rtol=1e-12)


def test_two_items_by_hand():
    items = [
        MassItem(name="empty", mass=600, arm=(2, 0, 1)),
        MassItem(name="tank", least=0, mass=100, arm=(3, 0, 0)),
    ]
    found = cg_range(items, [700.0, 650.0])
    assert_allclose(found.forward, [[15 / 7, 0, 6 / 7], [27 / 13, 0, 12 / 13]])
    assert_allclose(found.aft, found.forward)
    assert_allclose(found.cg_forward, [27 / 13, 0, 12 / 13])
    assert_allclose(found.cg_aft, [15 / 7, 0, 6 / 7])


def test_an_airplane_takes_the_range_over_both_masses():
    found = cg_range(ITEMS, [TOURER.max_mass, TOURER.landing_mass])
    sheet = replace(TOURER, cg_forward=found.cg_forward, cg_aft=found.cg_aft)
    assert sheet.cg_forward[0] == found.forward[:, 0].min()
    assert sheet.cg_aft[0] == found.aft[:, 0].max()
    assert len(ground_cases(sheet, Landing(load_factor=3.0))) > 0
    beside = [replace(item, arm=item.arm + (0, 0.02, 0)) for item in ITEMS]
    off = cg_range(beside, [1240.0])
    assert_allclose(off.forward[0, 1], 0.02)
    assert off.cg_forward[1] == 0.0


def test_a_person_on_board_or_not_narrows_the_range():
    steps = [replace(item, all_or_none=item.name != "fuel") for item in ITEMS]
    loose, whole = cg_range(ITEMS, [1100.0]), cg_range(steps, [1100.0])
    assert loose.forward[0, 0] <= whole.forward[0, 0] <= whole.aft[0, 0] <= loose.aft[0, 0]
    for row in (whole.loading_forward[0], whole.loading_aft[0]):
        for part, item in zip(row, steps, strict=True):
            assert not item.all_or_none or part in item.range


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: cg_range(ITEMS, [1240.0, 800.0]), "at their least.*heavier than the mass of 800"),
        (lambda: cg_range(ITEMS, [1400.0]), "at their most.*cannot make up the mass of 1400"),
        (lambda: cg_range([*ITEMS, ITEMS[0]], [1240.0]), "an item given twice"),
        (lambda: replace(ITEMS[1], least=300.0), "'front seats': least .*swapped"),
        (lambda: replace(cg_range(ITEMS, [1240.0]), mass=[1200.0]), "sums to the masses"),
        (lambda: replace(cg_range(ITEMS, [1240.0]), loading_aft=[[1.0]]), "CgRange: loading_aft"),
    ],
)
def test_items_that_do_not_fit_are_refused(make, says):
    with pytest.raises(ValueError, match=f"(?s){says}"):
        make()
