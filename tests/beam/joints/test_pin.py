"""Pins: check values in shear and bending, balance with the lugs, limits."""

from dataclasses import replace

import numpy as np
import pytest
from calls_joints import INVENTED
from printed import printed
from small_strut import REQUIREMENT

from beam.joints import JointLoads, Pin
from materials import Metal, Source

STEEL = Metal(name="steel", E=200e9, nu=0.3, density=7800.0, alpha=11e-6, Ftu=1241.06e6, Fty=1123.85e6, Fsu=744.63e6,
              elongation=0.1, basis="specification", source=INVENTED)  # fmt: skip
GIVEN = {"name": "pivot", "diameter": 20e-3, "metal": STEEL, "outer": 10e-3, "middle": 15e-3, "gap": 0.5e-3}
PLAIN = replace(REQUIREMENT, deflection_allowance=1.0)


def pin(**change):
    return Pin(**GIVEN | change)


def ratios(one, force, level="ultimate"):
    table = one.margins(JointLoads(force=[force], level=(level,)), PLAIN).reset_index()
    return table.set_index("mode")["ratio"]


def test_pin_in_double_shear():
    one = pin()
    assert one.arm == pytest.approx(9.25e-3, rel=1e-12)
    assert 100e3 * one.moment_per_load == pytest.approx(462.5, rel=1e-12)
    assert one.shear_load / 1e3 == printed("467.865")
    assert one.bending_load / 1e3 == printed("328.773")
    found = ratios(one, [60e3, 80e3, 5e3], level="limit")
    assert 1 / found["shear"] == printed("0.213737")
    assert 1 / found["bending"] == printed("0.304162")
    assert found["shear and bending"] - 1 == printed("1.68998")
    assert found["bending yield"] == pytest.approx(STEEL.Fty * np.pi * 20e-3**3 / 32 / 462.5, rel=1e-12)


def test_plastic_factor():
    for rho, text in ((0.0, "1.69765"), (0.5, "1.58448"), (0.7, "1.46777")):
        assert pin(bore=rho * 20e-3).plastic_factor == printed(text)


def test_plastic_factor_is_the_first_moment_of_area():
    y = np.linspace(-1, 1, 400001)
    rho = 0.6
    width = 2 * np.sqrt(1 - y**2) - 2 * np.sqrt(np.maximum(rho**2 - y**2, 0.0))
    S = np.pi * (1 - rho**4) / 4
    assert pin(bore=12e-3).plastic_factor == pytest.approx(np.trapezoid(width * abs(y), y) / S, rel=1e-6)


def test_hollow_section():
    assert pin(bore=15e-3).area > 0  # the thinnest wall that is taken
    one = pin(bore=12e-3)
    r = np.linspace(6e-3, 10e-3, 200001)
    assert one.area == pytest.approx(np.trapezoid(2 * np.pi * r, r), rel=1e-9)
    assert one.section_modulus == pytest.approx(np.trapezoid(np.pi * r**3, r) / 10e-3, rel=1e-8)


def test_pin_in_balance_with_its_lugs():
    found = pin(lugs=(150e3, 320e3)).balanced
    assert found.governs == "outer lugs"
    assert found.load == 300e3
    assert found.outer_width == 10e-3
    assert found.middle_width * 1e3 == printed("7.46789")


def test_balance_is_the_moment_of_the_active_widths():
    """Stronger lugs: the moment of the bearing widths is that of the pin, and each lug bears at its strength."""
    one = pin(lugs=(400e3, 700e3), diameter=16e-3)
    found = one.balanced
    assert found.governs == "pin"
    moment = found.load / 2 * (found.outer_width / 2 + found.middle_width / 2 + one.gap)
    assert moment == pytest.approx(one.moment_factor * STEEL.Ftu * one.section_modulus, rel=1e-12)
    assert found.outer_width == pytest.approx(found.load / 2 / (400e3 / 10e-3), rel=1e-12)
    assert found.middle_width == pytest.approx(found.load / 2 / (700e3 / 15e-3), rel=1e-12)
    assert found.load > one.bending_load
    assert ratios(one, [1.0, 0, 0])["bending"] == pytest.approx(found.load, rel=1e-12)
    weak = pin(lugs=(400e3, 100e3)).balanced
    assert (weak.load, weak.governs, weak.middle_width) == (100e3, "middle lug", 7.5e-3)


def test_single_shear():
    free, restrained = pin(arrangement="single free"), pin(arrangement="single restrained")
    assert free.moment_per_load == pytest.approx(13e-3, rel=1e-12)
    assert restrained.bending_load == pytest.approx(2 * free.bending_load, rel=1e-12)
    assert free.shear_load == pytest.approx(pin().shear_load / 2, rel=1e-12)


def test_moment_factor_by_ductility():
    assert pin().moment_factor == pytest.approx(1.56, rel=1e-12)
    assert pin(bore=10e-3).moment_factor == pytest.approx(1.56 * 1.58448 / 1.69765, rel=1e-5)
    for elongation in (None, 0.04):
        assert pin(metal=replace(STEEL, elongation=elongation)).moment_factor == 1.0
    assert pin(bending_factor=1.3).moment_factor == 1.3


def test_a_force_along_the_pin_does_not_load_it():
    assert np.isinf(ratios(pin(), [0.0, 0.0, 1e3])).all()


def test_rows_name_the_source_of_their_strengths():
    read = Source("report of tests", "table 2")
    one = pin(metal=replace(STEEL, sources=[("Fsu", read)]))
    words = one.margins(JointLoads(force=[[1.0, 0, 0]]), PLAIN).reset_index().set_index("mode")["assumption"]
    assert "report of tests" in words["shear"]
    assert "report of tests" in words["shear and bending"]
    assert "report of tests" not in words["bending"]
    assert "even bearing, k 1.56" in words["bending"]


def test_peaking_shortens_the_arm():
    one = pin(peaking=0.6, peaking_basis="a curve")
    assert one.arm == pytest.approx(5e-3 + 0.5e-3 + 0.6 * 15e-3 / 4, rel=1e-12)
    text = one.margins(JointLoads(force=[[1.0, 0, 0]]), PLAIN)["assumption"]
    assert text.str.contains("peaking 0.6: a curve").sum() == 2


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"bore": 15.1e-3}, "bore.*3/4 of the diameter.*ovalizes"),
        ({"peaking": 0.9}, "peaking_basis"),
        ({"bore": 14e-3, "bending_factor": 1.5}, "bending_factor.*full plasticity"),
        ({"lugs": (1e5, 1e5), "arrangement": "single free"}, "double shear"),
    ],
)
def test_pins_beyond_the_method_are_refused(change, says):
    with pytest.raises(ValueError, match=says):
        pin(**change)


def test_missing_values_are_named():
    with pytest.raises(ValueError, match="Fsu"):
        pin(metal=replace(STEEL, Fsu=None)).shear_load
    with pytest.raises(ValueError, match="lugs"):
        pin().balanced
