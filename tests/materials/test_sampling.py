"""What a sample may be called, the scatter to expect, and environments pooled."""

import numpy as np
import pytest

from materials import Allowables, Source, basis_from_coupons, basis_value, tolerance_factor
from materials.statistics import modified_variation, pooled_basis, sampling
from materials.statistics.sampling import modified_batches

MEAN = Allowables(
    Xt=2000e6, Xc=1500e6, Yt=60e6, Yc=200e6, S=90e6, S02=50e6, Zt=50e6, basis="mean", condition="dry",
    source=Source("coupon tests"),
)  # fmt: skip


@pytest.mark.parametrize(
    ("basis", "coupons", "batches", "said"),
    [
        ("B", 18, 3, "B-basis, reduced"), ("B", 17, 3, "estimate, not B-basis"), ("B", 18, 2, "estimate, not B"),
        ("B", 30, 5, "B-basis, robust"), ("B", 29, 5, "B-basis, reduced"), ("B", 30, 4, "B-basis, reduced"),
        ("A", 55, 5, "A-basis, reduced"), ("A", 54, 5, "estimate, not A-basis"), ("A", 55, 4, "estimate, not A"),
        ("A", 75, 10, "A-basis, robust"), ("A", 74, 10, "A-basis, reduced"), ("A", 75, 9, "A-basis, reduced"),
        ("A", 30, 5, "estimate, not A-basis"), ("B", 200, 1, "estimate, not B-basis"),
    ],
)  # fmt: skip
def test_sampling_words(basis, coupons, batches, said):
    found = sampling(coupons, batches, basis=basis)
    assert found.said.startswith(said)
    assert found.basis == ("estimate" if said.startswith("estimate") else basis)


def test_more_batches_than_coupons():
    with pytest.raises(ValueError, match="swapped"):
        sampling(5, 18, basis="B")


def test_modified_variation():
    """Table of CMH-17-1G section 8.4.4, from memory: percent in, percent out."""
    table = {0.0: 6, 1: 6, 3.99: 6, 4: 6, 5: 6.5, 6: 7, 7.99: 7.995, 8: 8, 8.01: 8.01, 12: 12}
    cv = np.array(list(table)) / 100
    np.testing.assert_allclose(modified_variation(cv), np.array(list(table.values())) / 100, rtol=1e-12)
    dense = np.linspace(0, 0.3, 3001)
    assert (modified_variation(dense) >= dense).all()
    assert (np.diff(modified_variation(dense)) >= 0).all()


def test_modified_batches_scatter_as_the_modified_variation_says():
    rng = np.random.default_rng(3)
    groups = [rng.normal(m, 2.0, 6) for m in (99.0, 100.0, 101.0)]
    spread = modified_batches(groups)
    x, y = np.concatenate(groups), np.concatenate(spread)
    assert y.std(ddof=1) / y.mean() == pytest.approx(modified_variation(x.std(ddof=1) / x.mean()), rel=1e-12)
    for before, after in zip(groups, spread, strict=True):
        assert after.mean() == pytest.approx(before.mean(), rel=1e-12)
    assert modified_batches([np.array([95.0]), np.array([99.0]), np.array([104.0])]) is None


def test_modified_basis_is_shown_beside_and_is_lower():
    values = np.random.default_rng(5).normal(100.0, 3.0, 30)
    (result,) = basis_from_coupons(values, batch=[i % 5 for i in range(30)])
    cv = float(modified_variation(result.variation))
    assert (
        pytest.approx(result.mean * (1 - tolerance_factor(30, basis="B") * cv), rel=1e-12)
        == result.modified.B
    )
    assert result.modified.A < result.models[1].A
    assert result.modified.model == "normal, modified"
    assert f"becomes {100 * cv:.3g} %" in str(result)
    assert result.sampling(basis="B").basis == "B"
    assert result.sampling(basis="A").said.startswith("estimate, not A-basis: 30 coupons in 5 batches")


def test_modified_basis_is_left_out_where_it_may_not_stand():
    rng = np.random.default_rng(2)
    apart = [*rng.normal(80.0, 1.0, 6), *rng.normal(120.0, 1.0, 6)]
    (result,) = basis_from_coupons(apart, batch=["a"] * 6 + ["b"] * 6)
    assert result.modified is None
    assert any(step.startswith("modified coefficient of variation: left out") for step in result.steps)
    (few,) = basis_from_coupons([98.0, 101.0, 103.0], batch=["a"] * 3)
    assert few.modified is None
    skewed = [*np.linspace(99.9, 100.1, 20), 60.0, 58.0]
    (result,) = basis_from_coupons(skewed, batch=["a"] * 22)
    assert result.modified is None
    assert any("its sample is not normal" in step for step in result.steps)


def test_one_environment_pools_to_its_own_basis_value():
    x = np.random.default_rng(1).normal(100.0, 4.0, 20)
    y = np.random.default_rng(2).normal(60.0, 2.4, 20)
    for basis in ("B", "A"):
        k = basis_value(x, basis=basis)
        assert pooled_basis([x, x * 0.5], basis=basis)[0] > k
        np.testing.assert_allclose(
            pooled_basis([x, 0.5 * x], basis=basis)[1], 0.5 * pooled_basis([x, 0.5 * x], basis=basis)[0]
        )
    s = np.sqrt((((x / x.mean() - 1) ** 2).sum() + ((y / y.mean() - 1) ** 2).sum()) / 38)
    from scipy.stats import nct, norm

    k = nct.ppf(0.95, 38, norm.ppf(0.9) * np.sqrt(20)) / np.sqrt(20)
    np.testing.assert_allclose(pooled_basis([x, y]), np.array([x.mean(), y.mean()]) * (1 - k * s), rtol=1e-9)


def test_pooled_basis_covers_as_it_claims():
    """Second way: 95 % of 2000 pooled B-basis values lie below the true tenth percentile of their environment."""
    rng = np.random.default_rng(11)
    mean, n, cv = np.array([120.0, 100.0, 60.0]), 8, 0.06
    x = mean[:, None] * (1 + cv * rng.standard_normal((2000, 3, n)))
    ratio = x / x.mean(-1, keepdims=True)
    s = np.sqrt(((ratio - 1) ** 2).sum((-1, -2)) / (3 * n - 3))
    k = (1 - pooled_basis(x[0])[0] / x[0, 0].mean()) / s[0]
    low = x.mean(-1) * (1 - k * s[:, None])
    share = (low <= mean * (1 - 1.2815515655 * cv)).mean(0)
    np.testing.assert_allclose(share, 0.95, atol=0.02)


def test_environments_that_may_not_be_pooled():
    rng = np.random.default_rng(4)
    with pytest.raises(ValueError, match=r"Levene .* take each environment by itself"):
        pooled_basis([rng.normal(100, 1, 20), rng.normal(100, 12, 20)])
    skewed = np.exp(rng.normal(0, 0.9, (2, 30)))
    with pytest.raises(ValueError, match="normal fit"):
        pooled_basis(list(skewed))


def test_to_basis_takes_measured_scatter_or_the_default_marked():
    k = float(tolerance_factor(55, basis="A"))
    tested = MEAN.to_basis("A", kind="tape", coupons=55, batches=5, fiber=0.09, matrix=0.1, shear=0.05)
    assert tested.basis == "A"
    assert tested.basis_said.startswith("A-basis, reduced sampling: 55 coupons in 5 batches")
    assert tested.Xt == pytest.approx(2000e6 * (1 - k * 0.09), rel=1e-12)
    assert tested.Yt == pytest.approx(60e6 * (1 - k * 0.10), rel=1e-12)
    assert pytest.approx(50e6 * (1 - k * 0.065), rel=1e-12) == tested.S02
    assert tested.stated is MEAN
    default = MEAN.to_basis("A", kind="tape", coupons=55, batches=5)
    assert default.basis == "estimate"
    assert default.basis_said.startswith("estimate, not A-basis: scatter not measured")
    assert (default.Xt, default.Zt) == pytest.approx(
        (2000e6 * (1 - k * 0.06), 50e6 * (1 - k * 0.1)), rel=1e-12
    )
    assert "default scatter, not measured" in default.explain("Xt")
    cloth = MEAN.to_basis("A", kind="fabric", coupons=55, batches=5)
    assert cloth.Yt == pytest.approx(60e6 * (1 - k * 0.06), rel=1e-12)
    few = MEAN.to_basis("A", kind="tape", coupons=30, batches=5, fiber=0.06, matrix=0.06, shear=0.06)
    assert few.basis == "estimate"
    for again in (tested, default):
        with pytest.raises(ValueError, match="'mean' or 'typical'; scatter counts twice"):
            again.to_basis("B", kind="tape", coupons=30, batches=5)


def test_two_coupons_in_each_environment_do_not_show_whether_they_scatter_alike():
    with pytest.raises(ValueError, match="two values at most in each"):
        pooled_basis([[100.0, 103.0], [50.0, 51.0], [80.0, 84.0]])
    assert (pooled_basis([[100.0, 103.0, 101.0], [50.0, 51.0, 52.0]]) < [101.0, 51.0]).all()


def test_to_basis_takes_the_coupons_themselves():
    """Mean times basis value over the mean of the sample; of two factors the weaker basis counts."""
    rng = np.random.default_rng(8)
    many, few = rng.normal(2020.0, 101.0, 60), rng.normal(61.0, 4.0, 20)
    (fiber,) = basis_from_coupons(many, batch=[i % 6 for i in range(60)])
    (across,) = basis_from_coupons(few, batch=[i % 4 for i in range(20)])
    names = {"Xt": fiber, "Yt": across}
    found = MEAN.to_basis("A", kind="tape", coupons=55, batches=5, samples=names)
    for name, sample in names.items():
        lowest = min(sample.A, sample.modified.A)
        assert getattr(found, name) == pytest.approx(getattr(MEAN, name) * lowest / sample.mean, rel=1e-12)
    assert found.basis == "estimate"
    assert "20 coupons in 4 batches, 55 in 5 needed" in found.explain("Yt")
    assert "A-basis, reduced sampling: 60 coupons in 6 batches" in found.explain("Xt")
    every = dict.fromkeys(("Xt", "Xc", "Yt", "Yc", "S", "S02", "Zt"), fiber)
    tested = MEAN.to_basis("A", kind="tape", coupons=2, batches=1, samples=every)
    assert tested.basis == "A"
    assert tested.basis_said.startswith("A-basis, reduced sampling: 60 coupons in 6 batches")
    mixed = tested.before.times(
        tested.factors[0], *MEAN.to_basis("A", kind="tape", coupons=55, batches=5).factors[1:]
    )
    assert mixed.basis == "estimate"
    assert mixed.basis_said.startswith("estimate")
    with pytest.raises(ValueError, match="samples: got e1t, must be values that are given"):
        MEAN.to_basis("A", kind="tape", coupons=55, batches=5, samples={"e1t": fiber})
