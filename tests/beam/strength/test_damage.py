"""Categories of damage, load-enhancement factors to the printed digits, and rainflow against counts by hand."""

from dataclasses import replace

import numpy as np
import pytest
from small_strut import INVENTED, LOADS, MOLD_LINE, REQUIREMENT, lattice

from beam.strength import GUIDANCE, Caps, margins
from beam.strength.damage import Damage, life_factor, load_enhancement, no_growth_reserve, rainflow
from beam.strut import Strut

CAPS = Caps(name="cut", tension=0.004, compression=0.003, basis="A", condition="hot wet", shares=(0.25, 0.5, 0.25),
            source=INVENTED)  # fmt: skip


@pytest.mark.parametrize(
    ("basis", "articles", "lifetimes", "factors"),
    [
        ("B", 1, [1, 1.5, 2, 5, 10], [1.177, 1.148, 1.127, 1.064, 1.019]),
        ("B", 5, [1], [1.148]),
        ("A", 1, [1, 2, 5, 10], [1.324, 1.268, 1.197, 1.146]),
    ],
)
def test_load_enhancement_factors(basis, articles, lifetimes, factors):
    """Whitehead, NADC-87042-60; FAA AR-10/6, from memory: three digits."""
    got = load_enhancement(lifetimes, basis=basis, articles=articles)
    np.testing.assert_allclose(got, factors, atol=5.1e-4)


def test_life_factors():
    assert life_factor(basis="B") == pytest.approx(13.558, abs=5e-4)
    assert life_factor(basis="A") == pytest.approx(88.8, abs=0.05)
    assert load_enhancement(100.0, basis="B") == 1.0


def test_each_category_carries_its_load():
    for category, level in ((1, "ultimate"), (2, "limit"), (3, "limit"), (4, "limit")):
        checks = Damage(category=category, caps=CAPS, standing="invented").checks
        assert {one.level for one in checks} == {level}
        assert all(
            f"category {category}" in one.assumption and "invented" in one.assumption for one in checks
        )
    with pytest.raises(ValueError, match="tested caps"):
        Damage(category=2, caps=GUIDANCE, standing="none")
    with pytest.raises(ValueError, match="reported and inspected"):
        Damage(category=5, caps=CAPS, standing="none")
    assert Damage(category=1, caps=GUIDANCE, standing="guidance").checks[0].caps == GUIDANCE


def test_rows_of_residual_strength():
    """Category 2 at limit load beside category 1 at ultimate: reserves as cap over load factor."""
    worse = replace(CAPS, tension=0.003, compression=0.002, outside="mark")
    first, second = (
        Damage(category=n, caps=caps, standing="invented")
        for n, caps in ((1, replace(CAPS, outside="mark")), (2, worse))
    )
    required = replace(REQUIREMENT, checks=(*first.checks, *second.checks), corner_opening=False)
    strut = Strut(MOLD_LINE, lattice().book([[4, 2, 1], [3, 1, 1]]))
    table = margins(strut, LOADS.take([0]), required, stations=[0.0], whole_strut=False)
    cap = {1: CAPS, 2: worse}
    least = {}
    for n, factor in ((1, 1.5 * 1.2), (2, 1.0)):
        rows = table.xs(f"category {n}, fiber strain", level="mode")
        assert set(rows["level"]) == {"ultimate" if n == 1 else "limit"}
        np.testing.assert_allclose(rows["ratio"], rows["reserve"] * factor, rtol=1e-12)
        assert rows["assumption"].astype(str).str.contains(f"damage category {n}").all()
        least[n] = rows["ratio"].min()
    share = least[2] / least[1] * (1 + 1e-12)
    assert cap[2].compression / cap[1].compression <= share <= cap[2].tension / cap[1].tension
    shear = (table.xs(f"category {n}, shear", level="mode") for n in (1, 2))
    np.testing.assert_allclose(*(one["ratio"] for one in shear), rtol=1e-12)


def test_rainflow_by_hand():
    """Inner cycle 3-1-3 taken out of 0-5-0: counted on paper."""
    got = rainflow([0.0, 3.0, 1.0, 5.0, 0.0])
    assert got.tolist() == [[2.0, 2.0, 1.0], [5.0, 2.5, 0.5], [5.0, 2.5, 0.5]]
    assert rainflow([1.0, 1.0, 2.0, 3.0]).tolist() == [[2.0, 2.0, 0.5]]
    with pytest.raises(ValueError, match="two at least"):
        rainflow([1.0])


def test_rainflow_keeps_half_the_path():
    """Every range is counted once: ranges times counts are half the sum of all movements."""
    rng = np.random.default_rng(2)
    for _ in range(20):
        history = rng.normal(size=60)
        found = rainflow(history)
        assert 2 * (found[:, 0] * found[:, 2]).sum() == pytest.approx(np.abs(np.diff(history)).sum())
        np.testing.assert_allclose(rainflow(history + 3.0)[:, [0, 2]], found[:, [0, 2]])
        assert found[:, 0].max() == pytest.approx(np.ptp(history))


def test_no_growth():
    assert no_growth_reserve(1.0e-3, strain=1.5e-3) == pytest.approx(1.5)
    with pytest.raises(ValueError, match="microstrain"):
        no_growth_reserve(1500.0, strain=1.5e-3)
    assert replace(CAPS, compression=0.002) != CAPS
