"""Lugs: check values of the closed form and of the curves, oblique loads, refusals."""

from dataclasses import replace

import numpy as np
import pytest
from calls_joints import INVENTED, STEEL
from printed import printed
from small_strut import REQUIREMENT

from beam.joints import Bushing, JointFactors, JointLoads, Lug, LugCurves, ReadCurve
from materials import Metal, metal

PLAIN = replace(REQUIREMENT, deflection_allowance=1.0)
INCH, PSI, POUND = 0.0254, 6894.757293, 4.4482216
GIVEN = {
    "name": "pivot", "hole": 20e-3, "width": 50e-3, "edge": 25e-3, "thickness": 15e-3, "pin_diameter": 19.9e-3,
    "metal": STEEL,
}  # fmt: skip


def lug(**change):
    return Lug(**GIVEN | change)


def flat(value):
    return ReadCurve(x=[0.01, 10.0], y=[value, value], source=INVENTED)


def curves(net=0.95, bearing=1.24, across=0.7875, across_yield=0.7, yielding=1.0):
    return LugCurves(net=flat(net), bearing=flat(bearing), transverse=flat(across), transverse_yield=flat(across_yield),
                     yielding=flat(yielding))  # fmt: skip


def margins(one, force, level="ultimate", **more):
    force = np.atleast_2d(np.asarray(force, dtype=float))
    table = one.margins(JointLoads(force=force, level=(level,) * len(force)), replace(PLAIN, **more))
    return table.reset_index().set_index(["wall", "mode", "case"])


def test_closed_form_of_an_axial_lug():
    found = lug().strength.ultimate
    assert found["net tension"] / 1e3 == pytest.approx(415.542, abs=0.004)  # inputs printed to 0.01 MPa
    assert found["splitting"] / 1e3 == pytest.approx(449.641, abs=0.004)
    assert found["shear-out"] / 1e3 == pytest.approx(500.496, abs=0.004)
    exact = Metal(name="steel", E=200e9, nu=0.3, density=7800.0, alpha=11e-6, Ftu=1241.06e6, Fty=1123.85e6,
                  basis="specification", source=INVENTED)  # fmt: skip
    found = lug(metal=exact).strength.ultimate
    for mode, text in (("net tension", "415.542"), ("splitting", "449.641"), ("shear-out", "500.496")):
        assert found[mode] / 1e3 == printed(text)


def test_a_bushing_bears_as_a_pin_that_fills_the_hole():
    bushing = Bushing(bore=20e-3, diameter=25e-3, length=12e-3, metal=STEEL)
    filled = lug(hole=25e-3, width=60e-3, edge=30e-3, bushing=bushing).strength.ultimate
    counts = 0.6 * 17.5e-3 * STEEL.Ftu / STEEL.Fty * np.sqrt(25 / 17.5)
    assert filled["net tension"] == pytest.approx(STEEL.Ftu * 2 * 15e-3 * counts, rel=1e-12)
    neat = lug(hole=25e-3, width=60e-3, edge=30e-3, pin_diameter=25e-3).strength.ultimate
    assert filled == neat


def test_oblique_load_on_a_two_inch_lug():
    """A public calculation by the curves, with its own areas, which its author took too large."""
    alloy = Metal(name="alloy", E=7e10, nu=0.33, density=2800.0, alpha=2e-5, Ftu=71e3 * PSI, Fty=60e3 * PSI,
                  basis="A", source=INVENTED)  # fmt: skip
    one = Lug(name="public", hole=2 * INCH, width=4 * INCH, edge=2.5 * INCH, thickness=2.5 * INCH, metal=alloy,
              pin_diameter=2 * INCH, curves=curves())  # fmt: skip
    found = one.strength
    assert found.ultimate["net tension"] / POUND == pytest.approx(337250, rel=1e-6)
    assert found.ultimate["shear-bearing"] / POUND == pytest.approx(440200, rel=1e-6)
    assert found.across[0] / POUND == pytest.approx(279562.5, rel=1e-6)
    rows = margins(one, np.array([71453.0, 119090.0, 0.0]) * POUND)
    assert rows.loc[("public: lug", "oblique", 0), "margin"] == pytest.approx(0.710377, abs=2e-6)
    assert one.mean_area / one.hole / one.thickness == printed("0.588947")
    right = replace(one, areas=np.full(4, 3.75 * INCH**2))
    assert right.mean_area / INCH**2 == pytest.approx(3.75, rel=1e-12)


def test_mean_area_of_a_plain_lug():
    assert lug().mean_area * 1e6 == printed("252.499")
    short = lug(edge=16e-3).mean_area
    assert short < lug().mean_area


@pytest.mark.parametrize(("angle", "text"), [(15, "177.858"), (40, "140.006"), (90, "120.000")])
def test_oblique_strength_over_the_angle(angle, text):
    one = lug(curves=curves(net=10.0, bearing=1.0, across=1.0))
    along, across = one.strength.ultimate["shear-bearing"], one.strength.across[0]
    bearing, wanted = 200e3 / along, 120e3 / across
    one = lug(curves=curves(net=10.0, bearing=bearing, across=wanted))
    c, s = np.cos(np.radians(angle)), np.sin(np.radians(angle))
    rows = margins(one, [1e3 * c, 1e3 * s, 0.0])
    assert rows.loc[("pivot: lug", "oblique", 0), "ratio"] == printed(text)


def test_each_mode_has_its_own_load():
    one = lug(curves=curves(), arm=40e-3)
    rows = margins(one, [[10e3, 0, 0], [-10e3, 0, 0], [0, 10e3, 0]], level="limit")
    ratio = rows["ratio"].unstack("case").xs("pivot: lug")
    assert np.isinf(ratio.loc["net tension"]).tolist() == [False, True, True]
    assert np.isinf(ratio.loc["pushed"]).tolist() == [True, False, True]
    assert np.isfinite(ratio.loc["oblique"]).all()
    assert ratio.loc["oblique", 0] == pytest.approx(
        ratio.loc[["net tension", "shear-bearing"], 0].min(), rel=1e-12
    )
    assert ratio.loc["oblique", 2] == pytest.approx(one.strength.across[0] / 10e3, rel=1e-12)
    assert ratio.loc["oblique yield", 1] == pytest.approx(ratio.loc["pushed yield", 1], rel=1e-12)
    area, modulus = 50e-3 * 15e-3, 50e-3 * 15e-3**2 / 6
    assert ratio.loc["root section", 0] == pytest.approx(
        STEEL.Ftu / (10e3 / area + 1e3 * 40e-3 / modulus), rel=1e-12
    )


def test_limit_strengths_of_the_closed_form():
    found = lug(metal=metal("2024-T3 sheet")).strength
    sheet = metal("2024-T3 sheet")
    assert found.limit["net yield"] == pytest.approx(sheet.Fty * 30e-3 * 15e-3, rel=1e-12)
    assert found.limit["shear-out yield"] == pytest.approx(
        2 * 15e-3 * 15e-3 * sheet.Fty_across / 3**0.5, rel=1e-12
    )
    assert found.limit["bearing yield"] == pytest.approx(
        sheet.Fty_across * 20e-3 * 15e-3, rel=1e-12
    )  # e/D 1.25
    longer = lug(metal=sheet, edge=35e-3).strength
    Fbru, Fbry = sheet.bearing_strength(1.75)
    assert longer.limit["bearing yield"] == pytest.approx(Fbry * 20e-3 * 15e-3, rel=1e-12)
    assert longer.ultimate["bearing"] == pytest.approx(Fbru * 20e-3 * 15e-3, rel=1e-12)
    assert "bearing" not in found.ultimate
    assert longer.pushed == pytest.approx((sheet.Fbru * 3e-4, sheet.Fbry * 3e-4), rel=1e-12)
    assert (
        "tensile strength for bearing"
        in margins(lug(), [-1.0, 0, 0]).loc["pivot: lug"].loc["pushed", "assumption"][0]
    )


def test_yield_by_the_curve():
    found = lug(curves=curves(yielding=0.9)).strength
    assert found.limit == {
        "axial yield": pytest.approx(0.9 * STEEL.Fty / STEEL.Ftu * min(found.ultimate.values()))
    }
    without = LugCurves(net=flat(0.9), bearing=flat(1.2), transverse_yield=flat(0.8))
    across = lug(curves=without).strength.across
    assert across[0] == across[1] == pytest.approx(0.8 * STEEL.Fty * 3e-4)


def test_a_bearing_factor_counts_on_bearing_only():
    factors = JointFactors(bearing=2.0, bearing_basis="practice")
    one, loose = lug(curves=curves()), lug(curves=curves(), factors=factors)
    before, after = (margins(this, [50e3, 10e3, 0])["reserve"].xs("pivot: lug") for this in (one, loose))
    assert after["net tension"][0] == before["net tension"][0]
    assert after["shear-bearing"][0] == pytest.approx(before["shear-bearing"][0] * 1.15 / 2.0, rel=1e-12)
    only = replace(loose, curves=curves(net=10.0, across=10.0))
    rows = margins(only, [50e3, 0, 0])["reserve"].xs("pivot: lug")
    assert rows["oblique"][0] == pytest.approx(rows["shear-bearing"][0], rel=1e-12)


def test_bushing_of_a_moving_pivot():
    bushing = Bushing(
        bore=20e-3, diameter=25e-3, length=12e-3, metal=STEEL, allowed_pressure=60e6, pressure_basis="a"
    )
    factors = JointFactors(bearing=2.0, bearing_basis="practice")
    one = lug(hole=25e-3, width=60e-3, edge=30e-3, bushing=bushing, moves=True, factors=factors)
    rows = margins(one, [-9e3, 0, 0], level="limit").xs("pivot: bushing")
    contact = 19.9e-3 * 12e-3
    assert rows.loc[("pressure", 0), "ratio"] == pytest.approx(60e6 * contact / 9e3, rel=1e-12)
    assert rows.loc[("pressure", 0), "reserve"] == pytest.approx(60e6 * contact / 9e3 / 2, rel=1e-12)
    assert rows.loc[("bearing yield", 0), "ratio"] == pytest.approx(
        1.85 * STEEL.Fcy * contact / 9e3, rel=1e-12
    )
    for missing, says in (
        ({"factors": JointFactors()}, "factors: bearing.*23.623"),
        ({"bushing": None, "pin_diameter": 24.9e-3}, "allowed_pressure"),
    ):
        with pytest.raises(ValueError, match=says):
            replace(one, **missing)


def test_a_wider_thicker_or_longer_lug_is_never_weaker():
    for name, values in (("width", (30e-3, 40e-3, 60e-3)), ("thickness", (8e-3, 12e-3, 20e-3)),
                         ("edge", (15e-3, 25e-3, 40e-3))):  # fmt: skip
        found = [lug(**{name: value, "metal": metal("2024-T3 sheet")}).strength for value in values]
        for parts in ([one.ultimate for one in found], [one.limit for one in found]):
            least = [min(part.values()) for part in parts]
            assert least == sorted(least)


def test_reversed_transverse_load_mirrors():
    rows = margins(lug(curves=curves()), [[5e3, 9e3, 0], [5e3, -9e3, 0]])["ratio"].unstack("case")
    assert (rows[0] == rows[1]).all()


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"edge": 11e-3}, "edge.*0.6 to 4 diameters"),
        ({"width": 23e-3}, "width.*1.2 to 5 diameters"),
        ({"width": 101e-3}, "width.*1.2 to 5 diameters"),
        ({"pin_diameter": 18e-3}, "pin_diameter.*a pin thinner than that"),
        ({"pin_diameter": 21e-3}, "pin_diameter.*up to 1 of its hole"),
        ({"bushing": Bushing(bore=10e-3, diameter=15e-3, length=1e-2, metal=STEEL)}, "bushing.*of the hole"),
    ],
)
def test_proportions_beyond_the_method_are_refused(change, says):
    with pytest.raises(ValueError, match=says):
        lug(**change)


@pytest.mark.parametrize(
    ("force", "moment", "says"),
    [
        ([1.0, 2.0, 0.0], 0.0, "transverse force.*0 without its curve"),
        ([1.0, 0.0, 2.0], 0.0, "sideways force.*arm"),
        ([1.0, 0.0, 0.0], [[0.0, 0.0, 1.0]], "moment.*one pin holds no moment"),
    ],
)
def test_loads_that_no_mode_covers_are_refused(force, moment, says):
    with pytest.raises(ValueError, match=says):
        lug().margins(JointLoads(force=[force], moment=moment), PLAIN)


def test_curves_are_not_extrapolated_and_come_in_pairs():
    curve = ReadCurve(x=[1.0, 2.0], y=[0.9, 0.8], source=INVENTED)
    with pytest.raises(ValueError, match="1 to 2; invented: not read there"):
        curve.at(2.1)
    with pytest.raises(ValueError, match="x ascending"):
        ReadCurve(x=[2.0, 1.0], y=[0.9, 0.8], source=INVENTED)
    for given in ({"net": curve}, {"bearing": curve}, {"transverse": curve}):
        with pytest.raises(ValueError, match="given with"):
            LugCurves(**given)
