"""Adhesive curves over temperature and moisture."""

from dataclasses import replace

import pytest

from materials import Adhesive, AdhesiveCurve, Source

ROOM = AdhesiveCurve(temperature=296.0, moisture=0.0, G=0.8e9, E=2.2e9, shear_strength=40e6, ultimate_strain=0.5,
                     peel_strength=50e6, source=Source("room tests", standing="read"))  # fmt: skip
COLD = replace(ROOM, temperature=219.0, G=1e9, E=2.8e9, shear_strength=60e6, ultimate_strain=0.15)
WET = replace(ROOM, temperature=344.0, moisture=0.01, G=0.4e9, E=1.1e9, shear_strength=20e6, ultimate_strain=0.8,
              peel_strength=25e6, source=Source("wet tests", standing="quoted"))  # fmt: skip
HOT = replace(ROOM, temperature=344.0, shear_strength=30e6)
PASTE = Adhesive(
    name="paste",
    curves=(COLD, ROOM, HOT, WET),
    stress_free_temperature=340.0,
    wet_glass_transition=375.0,
    basis="mean",
)


def test_energy_and_moduli():
    # Area of the idealized curve by hand; constrained modulus of nu = 3/8 by hand: 2.2 x 0.625 / (1.375 x 0.25).
    assert ROOM.energy == pytest.approx(40e6 * 0.05 / 2 + 40e6 * 0.45, rel=1e-14)
    assert ROOM.nu == pytest.approx(0.375, rel=1e-14)
    assert ROOM.constrained_modulus == pytest.approx(4.0e9, rel=1e-12)


def test_linear_between_tests():
    assert PASTE.at(temperature=296.0, moisture=0.0) == ROOM
    half = PASTE.at(temperature=344.0, moisture=0.005)
    assert (half.shear_strength, half.peel_strength) == (pytest.approx(25e6), pytest.approx(37.5e6))
    assert half.source.standing == "quoted"
    assert "between tests" in half.source.note


@pytest.mark.parametrize(
    ("temperature", "moisture", "said"),
    [
        (347.5, 0.0, "<= 347, the wet glass transition 375 K less 28 K"),
        (210.0, 0.0, "between its tests at"),
        (300.0, 0.01, "between its tests at"),
        (344.0, 0.02, "between its tests at"),
    ],
)
def test_service_outside_is_refused(temperature, moisture, said):
    with pytest.raises(ValueError, match=f"Adhesive 'paste'.*{said}"):
        PASTE.at(temperature=temperature, moisture=moisture)


def test_without_glass_transition_only_cool_services():
    with pytest.raises(ValueError, match="without a wet glass transition"):
        replace(PASTE, wet_glass_transition=None).at(temperature=330.0, moisture=0.0)


def test_refusals():
    with pytest.raises(ValueError, match=r"ultimate_strain.*the plastic part alone"):
        replace(ROOM, ultimate_strain=0.04)
    for E in (1.5e9, 2.4e9):
        with pytest.raises(ValueError, match=r"from 2 G to below 3 G = 2.4e\+09; nu = E"):
            replace(ROOM, E=E)
    with pytest.raises(ValueError, match="different temperature or moisture"):
        replace(PASTE, curves=(ROOM, ROOM))
