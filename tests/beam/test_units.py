"""Shown units against the exact definitions of inch and pound (NIST SP 811, appendix B; from memory)."""

import pytest

from beam.units import shown, symbol


@pytest.mark.parametrize(
    ("value", "quantity", "expected", "unit"),
    [
        (0.0254, "length", 1.0, "in"),
        (0.3048, "distance", 1.0, "ft"),
        (4.4482216152605, "force", 1.0, "lbf"),
        (0.45359237, "mass", 1.0, "lb"),
        (6894.757293168, "pressure", 1.0, "psi"),
        (1.3558179483314, "energy", 1.0, "ft lbf"),
        (0.1129848290276, "moment", 1.0, "lbf in"),
    ],
)
def test_us(value, quantity, expected, unit):
    assert shown(value, quantity, "US") == pytest.approx(expected, rel=1e-12)
    assert symbol(quantity, "US") == unit


def test_si():
    assert shown(1234.0, "force") == pytest.approx(1.234)
    assert symbol("running load") == "kN/m"


@pytest.mark.parametrize(("quantity", "units"), [("force", "CGS"), ("beauty", "SI")])
def test_unknown(quantity, units):
    with pytest.raises(ValueError, match="one of"):
        shown(1.0, quantity, units)
