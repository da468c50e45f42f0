"""The whole procedure from coupons to basis values."""

import numpy as np
import pytest
from scipy import stats
from scipy.optimize import brentq

from materials import basis_from_coupons, basis_value
from materials.statistics import levene, observed_significance


def batches(k, n, *, shift=0.0, seed=1, mean=100.0, scatter=5.0):
    rng = np.random.default_rng(seed)
    return [rng.normal(mean + shift * i, scatter, n) for i in range(k)]


QUANTILES = stats.norm.ppf((np.arange(200) + 0.5) / 200)  # the most normal sample there is


def as_table(groups):
    return np.concatenate(groups), [f"lot {i + 1}" for i, one in enumerate(groups) for _ in one]


def test_like_batches_are_pooled_and_weibull_comes_first():
    values, lots = as_table([100 * one for one in np.random.default_rng(8).weibull(20, (5, 6))])
    (result,) = basis_from_coupons(values, batch=lots)
    assert result.pooling.same
    assert result.chosen.model == "weibull"
    assert pytest.approx(float(basis_value(values, model="weibull")), rel=1e-14) == result.B
    assert pytest.approx(float(basis_value(values, basis="A", model="weibull")), rel=1e-14) == result.A
    assert [one.model for one in result.models] == [
        "weibull",
        "normal",
        "lognormal",
        "nonparametric",
        "anova",
    ]
    assert result.batches == tuple((f"lot {i}", 6) for i in range(1, 6))
    assert any("robust sampling" in step for step in result.steps)
    assert any("pooled" in step and "not pooled" not in step for step in result.steps)


@pytest.mark.parametrize(
    ("draw", "model"),
    [
        # right-skewed: a Weibull fit of strengths is left-skewed
        (lambda rng: 100 * np.exp(np.abs(rng.normal(0, 0.08, 200))), "nonparametric"),
        (lambda rng: 100 + 5 * QUANTILES, "normal"),
        (lambda rng: 100 * np.exp(0.3 * QUANTILES), "lognormal"),
    ],
)
def test_order_of_choice_goes_on_until_one_fits(draw, model):
    values = np.random.default_rng(3).permutation(draw(np.random.default_rng(3)))
    (result,) = basis_from_coupons(values, batch=np.repeat(np.arange(5), 40))
    assert result.pooling.same
    levels = {one.model: one.significance for one in result.models}
    assert result.chosen.model == model
    for before in ("weibull", "normal", "lognormal", "nonparametric"):
        if before == model:
            break
        assert levels[before] <= 0.05
        assert any(step.startswith(before) and "rejected" in step for step in result.steps)
    assert any(step.startswith(model) and "taken" in step for step in result.steps)


def test_different_batches_go_to_analysis_of_variance():
    values, lots = as_table(batches(5, 6, shift=8.0))
    (result,) = basis_from_coupons(values, batch=lots)
    assert not result.pooling.same
    assert result.chosen.model == "anova"
    assert result.anova.basis_value(basis="B") == result.B
    assert basis_value(values) > result.B
    assert any("not pooled" in step for step in result.steps)


def test_different_scatter_is_told():
    values, lots = as_table(
        [np.linspace(99, 101, 8), np.linspace(70, 130, 8) + 40, np.linspace(99, 101, 8) - 9]
    )
    (result,) = basis_from_coupons(values, batch=lots)
    assert any(step.startswith("Levene") for step in result.steps)


def test_outliers_are_named_and_kept():
    groups = batches(4, 8, scatter=1.0)
    groups[2][3] = 140.0
    values, lots = as_table(groups)
    (result,) = basis_from_coupons(values, batch=lots)
    assert ("lot 3", 140.0) in result.outliers
    assert (None, 140.0) in result.outliers
    assert 140.0 in result.values
    assert any("140" in step and "kept" in step for step in result.steps)


def test_conditions_are_apart_and_in_order():
    cold, hot = batches(3, 6, mean=120.0), batches(3, 6, mean=80.0, seed=2)
    values = np.r_[np.concatenate(hot), np.concatenate(cold)]
    lots = ["a"] * 6 + ["b"] * 6 + ["c"] * 6
    results = basis_from_coupons(values, batch=lots * 2, condition=["hot wet"] * 18 + ["cold dry"] * 18)
    assert [one.condition for one in results] == ["hot wet", "cold dry"]
    alone = basis_from_coupons(np.concatenate(cold), batch=lots)[0]
    assert results[1].B == alone.B
    assert results[1].steps == alone.steps
    assert alone.mean == pytest.approx(np.mean(cold))
    assert alone.variation == pytest.approx(np.std(cold, ddof=1) / np.mean(cold))


def test_few_coupons_of_one_batch():
    (result,) = basis_from_coupons([98.0, 101.0, 103.0], batch=["a"] * 3)
    assert (result.pooling, result.anova) == (None, None)
    assert result.chosen.model == "nonparametric"
    assert pytest.approx(103.0 * (98.0 / 103.0) ** 7.859) == result.B
    assert any("One batch" in step for step in result.steps)
    assert any("no distribution can be judged" in step for step in result.steps)
    assert any("estimate, not B-basis" in step for step in result.steps)
    assert "weibull" not in [one.model for one in result.models]


@pytest.mark.parametrize("values", [[98.0, 101.0], [98.0, 101.0, 97.0, 103.0, 100.0]])
def test_one_coupon_in_each_batch(values):
    (result,) = basis_from_coupons(values, batch=range(len(values)))
    assert (result.pooling, result.anova) == (None, None)
    assert any("cannot be compared" in step for step in result.steps)


def test_worthless_value_is_called_so():
    values, lots = as_table(batches(2, 6, shift=60.0))
    (result,) = basis_from_coupons(values, batch=lots)
    assert result.A < 0.0
    assert "not usable" in result.steps[-1]


def test_report_holds_all_steps():
    values, lots = as_table(batches(3, 6))
    (result,) = basis_from_coupons(values, batch=lots, condition=["room dry"] * 18)
    said = str(result).splitlines()
    assert said[0].startswith("room dry: 18 coupons (lot 1: 6, lot 2: 6, lot 3: 6), mean ")
    assert f"B-basis {result.B:.6g}, A-basis {result.A:.6g} by {result.chosen.model}" in said[1]
    assert [line.strip() for line in said[2:]] == list(result.steps)
    assert f"coefficient of variation {100 * stats.variation(values, ddof=1):.3g} %" in said[0]


@pytest.mark.parametrize("count", [9, 10])
def test_weibull_factors_begin_at_ten_coupons(count):
    (result,) = basis_from_coupons(batches(1, count)[0], batch=["a"] * count)
    assert ("weibull" in [one.model for one in result.models]) == (count == 10)


def test_scatter_of_pairs_is_not_compared():
    """Two values lie equally far from their median, so Levene's test says nothing of batches of two."""
    values, lots = as_table([np.array([100.0 + 20 * i, 101.0 + (20 + i) * i]) for i in range(6)])
    (result,) = basis_from_coupons(values, batch=lots)
    assert not result.pooling.same
    assert not any(step.startswith("Levene") for step in result.steps)


def test_takes_columns_of_a_table():
    import pandas as pd

    values, lots = as_table(batches(3, 6))
    frame = pd.DataFrame({"value": values, "batch": lots})
    assert (
        basis_from_coupons(frame["value"], batch=frame["batch"])[0].B
        == basis_from_coupons(values, batch=lots)[0].B
    )


# Weibull fits at a level between 0.025 and 0.05, the normal far above.
SKEWED = [90.9, 93.6, 89.5, 98.5, 103.8, 108.9, 97.6, 95.2, 91.8, 96.4, 95.7, 92.6]


@pytest.mark.parametrize(("level", "model"), [(0.0505, "weibull"), (0.0495, "normal")])
def test_the_limit_of_rejection_is_the_printed_five_percent(level, model):
    """MIL-HDBK-17-1F section 8.3.4: rejected if the observed significance level is 0.05 or less."""

    def sample(shift):
        return np.array(SKEWED) + shift

    shift = brentq(lambda s: observed_significance(sample(s), "weibull") - level, -70.0, 0.0)
    (result,) = basis_from_coupons(sample(shift), batch=["a"] * 12)
    assert result.models[0].significance == pytest.approx(level, abs=1e-9)
    assert result.chosen.model == model


@pytest.mark.parametrize(("level", "told"), [(0.0505, False), (0.0495, True)])
def test_the_limit_of_like_scatter_is_the_printed_five_percent(level, told):
    """MIL-HDBK-17-1F section 8.3.5.1."""
    one = np.array([-3.0, -1.0, -0.4, 0.3, 1.2, 2.9])

    def groups(wide):
        return [100.0 + one, 120.0 + wide * one, 140.0 - one]

    wide = brentq(lambda w: levene(groups(w)) - level, 1.0, 9.0)
    values, lots = as_table(groups(wide))
    (result,) = basis_from_coupons(values, batch=lots)
    assert any(step.startswith("Levene") for step in result.steps) == told


@pytest.mark.parametrize(
    ("coupons", "lots", "said"),
    [
        (30, 5, "robust"), (29, 5, "reduced"), (30, 4, "reduced"), (18, 3, "reduced"), (17, 3, "estimate, not B"),
        (18, 2, "estimate, not B"), (18, 1, "18 coupons in 1 batch, 18 in 3 needed"),
    ],
)  # fmt: skip
def test_sampling_of_the_handbook(coupons, lots, said):
    values = np.random.default_rng(1).normal(100.0, 5.0, coupons)
    (result,) = basis_from_coupons(values, batch=[i % lots for i in range(coupons)])
    assert said in result.steps[0]


def test_a_model_is_rejected_at_five_percent():
    (result,) = basis_from_coupons(SKEWED, batch=["a"] * 12)
    level = {one.model: one.significance for one in result.models}
    assert 0.025 < level["weibull"] < 0.05 < level["normal"]
    assert result.chosen.model == "normal"


def test_batches_are_searched_for_outliers_together_only_if_pooled():
    rng = np.random.default_rng(0)
    one, far = rng.normal(100, 1, 24), [80.0, 80.3]
    labels = ["one"] * 24 + ["far"] * 2
    (result,) = basis_from_coupons([*one, *far], batch=labels)
    assert not result.pooling.same
    assert not any(batch is None for batch, _ in result.outliers)
    (result,) = basis_from_coupons([*one, 80.0], batch=["one", "two"] * 12 + ["two"])
    assert result.pooling.same
    assert (None, 80.0) in result.outliers


@pytest.mark.parametrize("last", [5e8, np.nextafter(5e8, np.inf), 5e8 * (1 + 1e-13)])
def test_scatter_of_rounding_is_no_scatter(last):
    with pytest.raises(ValueError, match="equal values only"):
        basis_from_coupons([5e8, 5e8, 5e8, last], batch=["a"] * 4)
    assert basis_from_coupons([5e8, 5e8, 5.1e8, last], batch=["a"] * 4)[0].B < 5e8


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: basis_from_coupons([], batch=[]), "batch: got none, must be at least 1"),
        (lambda: basis_from_coupons([1.0, 2.0], batch=["a"]), "batch: length"),
        (lambda: basis_from_coupons([1.0, 2.0], batch=["a", "a"], condition=["dry"]), "condition: length"),
        (
            lambda: basis_from_coupons([1.0, 2.0, 3.0], batch=["a"] * 3, condition=["x", "y", "y"]),
            "got 1, must be >= 2",
        ),
    ],
)
def test_refuses(call, message):
    with pytest.raises(ValueError, match=message):
        call()


@pytest.mark.parametrize("blank", [None, np.nan, " ", "", ["a"], {}, np.array(["a", "b"])], ids=repr)
def test_a_blank_label_is_refused(blank):
    for name in ("batch", "condition"):
        labels = {"batch": ["a", "a", "b"], "condition": ["x"] * 3} | {name: ["a", "a", blank]}
        with pytest.raises(ValueError, match=f"{name}: label: got .* a blank cell"):
            basis_from_coupons([1.0, 2.0, 3.0], **labels)
