import warnings

import pytest

from materials import GlassTransitionWarning, check_glass_transition


def test_returns_the_operational_limit_and_stays_silent_up_to_it():
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert check_glass_transition(382.0, 410.0) == 382.0


def test_warns_above_it():
    with pytest.warns(GlassTransitionWarning, match="382.1 K is above 382 K"):
        check_glass_transition(382.1, 410.0)


@pytest.mark.parametrize("given", [(71.0, 410.0), (344.0, 137.0), (float("nan"), 410.0)])
def test_refuses(given):
    with pytest.raises(ValueError, match=r"degC|finite"):
        check_glass_transition(*given)
