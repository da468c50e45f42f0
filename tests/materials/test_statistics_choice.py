"""Where the procedure of the handbook turns: the level of rejection, pooled outliers, scatter of rounding only."""

import numpy as np
import pytest

from materials import basis_from_coupons

# Weibull fits at a level between 0.025 and 0.05, the normal far above.
SKEWED = [90.9, 93.6, 89.5, 98.5, 103.8, 108.9, 97.6, 95.2, 91.8, 96.4, 95.7, 92.6]


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
