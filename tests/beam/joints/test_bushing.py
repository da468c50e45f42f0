"""Press fits: Lame's check values, over temperature, in laminates against Lame, friction."""

from dataclasses import replace

import numpy as np
import pytest
from calls_joints import INVENTED
from printed import printed
from small_strut import REQUIREMENT

from beam.joints import Bushing, JointLoads, PressFit
from beam.strength.requirement import Service
from laminate import Laminate
from materials import Metal, lamina

ALLOY = {"density": 5000.0, "Ftu": 700e6, "Fty": 500e6, "Fcy": 500e6, "basis": "A", "source": INVENTED}
STEEL = Metal(name="steel", E=200e9, nu=0.3, alpha=11.3e-6, **ALLOY)
ALUMINUM = Metal(name="aluminum", E=71e9, nu=0.33, alpha=23.2e-6, **ALLOY)
BUSHING = Bushing(bore=20e-3, diameter=25e-3, length=15e-3, metal=STEEL)
GIVEN = {
    "name": "pivot", "bushing": BUSHING, "member": ALUMINUM, "width": 45e-3, "interference": (20e-6, 40e-6),
    "temperature": 296.0, "friction": 0.12, "friction_basis": "invented",
}  # fmt: skip
QUASI = Laminate.from_code("[45/0/-45/90]2s", lamina("IM7/8552"))
STRONG = Laminate.from_code("[0/45/0/-45/0/90/0/0]2s", lamina("IM7/8552"))


def fit(**change):
    return PressFit(**GIVEN | change)


def pressed(member, **change):
    return fit(member=member, width=0.2, test_basis="invented", **change)


def test_fit_in_metal():
    found = fit().stress(40e-6, temperature=296.0)
    assert found.pressure / 1e6 == printed("30.4266")
    assert found.member_hoop / 1e6 == printed("57.5931")
    assert found.member_outside / 1e6 == printed("27.1666")
    assert found.bushing_inside / 1e6 == printed("-169.036")
    assert found.bushing_outside / 1e6 == printed("-138.610")
    assert found.member_shear / 1e6 == printed("44.0099")
    assert found.closure * 1e6 == printed("16.9036")


def test_fit_over_temperature():
    cold, hot = (fit().stress(40e-6, temperature=T) for T in (218.0, 343.0))
    assert cold.pressure / 1e6 == printed("48.0778")
    assert cold.member_hoop / 1e6 == printed("91.0044")
    same = fit().stress(63.205e-6, temperature=296.0).pressure
    assert same == pytest.approx(cold.pressure, rel=1e-12)
    assert hot.pressure == pytest.approx(fit().stress(26.0175e-6, temperature=296.0).pressure, rel=1e-12)
    assert fit().stress(1e-6, temperature=343.0).pressure == 0.0


def test_hoop_of_the_lug_balances_the_pressure():
    """Half of the ring: hoop over the wall carries the pressure on the diameter."""
    one = fit().stress(40e-6, temperature=296.0)
    R, W = 12.5e-3, 22.5e-3
    a = one.pressure * R**2 / (W**2 - R**2)
    x, weight = np.polynomial.legendre.leggauss(40)
    r = R + (x + 1) / 2 * (W - R)
    hoop = a * (1 + W**2 / r**2)
    assert hoop @ weight / 2 * (W - R) == pytest.approx(one.pressure * R, rel=1e-10)
    assert one.member_hoop == pytest.approx(a * (1 + W**2 / R**2), rel=1e-12)
    assert one.member_outside == pytest.approx(2 * a, rel=1e-12)


def test_quasi_isotropic_laminate_is_a_wide_lug_of_lame():
    E, _, _, nu = QUASI.moduli()[:4]
    alpha = QUASI.free_strain(temperature_change=1.0)[0]
    metal = Metal(name="same", E=E, nu=nu, alpha=alpha, **ALLOY)
    wide = fit(member=metal, width=2.0)
    for T in (218.0, 296.0, 343.0):
        one, other = pressed(QUASI).stress(30e-6, temperature=T), wide.stress(30e-6, temperature=T)
        for name in (
            "pressure",
            "member_hoop",
            "member_shear",
            "bushing_inside",
            "bushing_outside",
            "closure",
        ):
            assert getattr(one, name) == pytest.approx(getattr(other, name), rel=3e-4), name


def test_fit_in_a_strong_laminate_presses_unevenly():
    one, even = (
        pressed(STRONG).stress(40e-6, temperature=296.0),
        pressed(QUASI).stress(40e-6, temperature=296.0),
    )
    assert one.member_hoop > 1.3 * one.pressure
    assert even.member_hoop == pytest.approx(even.pressure, rel=1e-5)
    assert one.bushing_inside < one.pressure * -2 / (1 - 0.8**2)
    shapes = pressed(STRONG).stress([[2e-5], [4e-5]], temperature=[218.0, 296.0, 343.0])
    assert all(column.shape == (2, 3) for column in shapes)
    assert shapes.pressure[1, 1] == one.pressure


def test_retention_is_that_of_the_loosest_fit_in_the_worst_service():
    services = [Service(name="cold", temperature=218.0), Service(name="hot", temperature=323.0)]
    required = replace(REQUIREMENT, services=services, checks=REQUIREMENT.checks)
    loads = JointLoads(
        force=[[9e3, 0, 300.0], [0, 0, 0.0], [0, 0, 0.0]], moment=[[0, 0, 0], [0, 0, 5.0], [1, 1, 0]]
    )
    rows = fit().margins(loads, required)
    p = fit().stress(20e-6, temperature=323.0).pressure
    wall = 0.12 * p * np.pi * 25e-3 * 15e-3
    assert rows["ratio"].tolist() == pytest.approx([wall / 300.0, wall * 12.5e-3 / 5.0, np.inf], rel=1e-12)
    assert set(rows["service"]) == {services[1].title}
    both = JointLoads(force=[[0, 0, 300.0]], moment=[[0, 0, 4.0]])
    found = fit().margins(both, required)["ratio"].iloc[0]
    assert (300.0 / wall) ** 2 + (4.0 / (wall * 12.5e-3)) ** 2 == pytest.approx(1 / found**2, rel=1e-12)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"interference": (4e-5, 2e-5)}, "loosest first"),
        ({"width": 25e-3}, "width.*> the hole"),
        ({"member": QUASI, "width": 0.2}, "test_basis.*breaks plies"),
        ({"member": QUASI, "test_basis": "a"}, "5 diameters"),
        ({"interference": (2e-5, 1.3e-4)}, "bushing at .*within yield"),
        ({"member": replace(ALUMINUM, Fty=80e6, Fcy=80e6)}, "member at .*within yield"),
    ],
)
def test_fits_beyond_the_method_are_refused(change, says):
    with pytest.raises(ValueError, match=says):
        fit(**change)


def test_yield_in_a_cold_service_is_named():
    services = [Service(name="cold", temperature=218.0)]
    tight = fit(interference=(2e-5, 1.0e-4))
    with pytest.raises(ValueError, match=r"interference.*218 K.*within yield"):
        tight.margins(JointLoads(force=[[0, 0, 1.0]]), replace(REQUIREMENT, services=services))


def test_bushings_that_make_no_sense_are_refused():
    with pytest.raises(ValueError, match="swapped"):
        Bushing(bore=25e-3, diameter=20e-3, length=1e-2, metal=STEEL)
    with pytest.raises(ValueError, match="pressure_basis"):
        Bushing(bore=20e-3, diameter=25e-3, length=1e-2, metal=STEEL, allowed_pressure=5e7)
