"""The tolerance of a printed number: half a unit in its last printed digit."""

from decimal import Decimal
from typing import Any

import pytest


def printed(text: str) -> Any:
    """Return an approx that accepts what would be printed as `text` (plain or with an exponent)."""
    value = Decimal(text)
    exponent = value.as_tuple().exponent
    assert isinstance(exponent, int), text
    half = Decimal(5).scaleb(exponent - 1)
    return pytest.approx(float(value), rel=1e-12, abs=float(half))
