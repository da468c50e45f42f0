"""The gear standing: least energy, limits, inertia."""

from dataclasses import replace

import numpy as np
import pytest
from gears import SKEW, trailing_gear, with_shock
from numpy.testing import assert_allclose
from scipy.constants import g
from scipy.integrate import quad

from beam.gear import AirSpring, MainGear
from beam.gear.parts.rotation import position

GEARS = {"plane": trailing_gear(), "skewed": trailing_gear(**SKEW)}


@pytest.fixture(params=GEARS)
def gear(request):
    return GEARS[request.param]


@pytest.mark.parametrize("slow", [True, False])
def test_standing_is_where_the_energy_is_least(gear, slow):
    # potential of gas, of link and wheel, and of the load, over the stroke; the contact is the wheel's lowest point
    mass = 500.0
    at = float(gear.static(mass, slow=slow))

    def potential(stroke):
        angle = gear.link.angle(stroke)
        axis, axle = position(gear.link.wheel_axis_terms, angle), position(gear.link.axle_terms, angle)
        turned = angle_turn(gear, angle) @ (np.asarray(gear.link_center) - gear.link.pivot) + gear.link.pivot
        low = axle[2] - gear.tire.radius * np.sqrt(1 - axis[2] ** 2)
        gas, _ = quad(lambda s: float(gear.shock.spring.force(s, slow=slow)), 0, stroke, epsrel=1e-12)
        return gas + g * (gear.wheel_mass * axle[2] + gear.link_mass * turned[2]) - mass * g * low

    step = 2e-5
    slope = (potential(at + step) - potential(at - step)) / (2 * step)
    assert slope == pytest.approx(0.0, abs=1e-6 * mass * g)
    assert potential(at) < min(potential(at + 0.01), potential(at - 0.01))


def angle_turn(gear, angle):
    from scipy.spatial.transform import Rotation

    return Rotation.from_rotvec(float(angle) * gear.link.hinge).as_matrix()


def test_static_for_many_masses(gear):
    mass = np.array([[300.0, 400.0], [500.0, 527.0]])
    stroke = gear.static(mass)
    assert stroke.shape == (2, 2)
    assert (np.diff(stroke.ravel()) > 0).all()
    assert_allclose(stroke.ravel(), [float(gear.static(m)) for m in mass.ravel()])


@pytest.mark.parametrize(("mass", "pressure"), [(60.0, 2.6e6), (5000.0, 2.6e6), (527.0, 9e6)])
def test_a_static_load_outside_the_stroke_is_refused(mass, pressure):
    gear = with_shock(
        GEARS["plane"], spring=AirSpring(pressure=pressure, volume=221e-6, area=1.6e-3, exponent=1.1)
    )
    with pytest.raises(ValueError, match=r"static position outside the stroke.*charge pressure"):
        gear.static(mass)


def test_inertia_about_the_hinge(gear):
    # wheel as a point on its arm square to the hinge, link as a slender bar at mid length
    def square_arm(point):
        d = point - gear.link.pivot
        return np.linalg.norm(np.cross(gear.link.hinge, d))

    middle = (gear.link.pivot + gear.link.axle) / 2
    want = (
        9.0 * square_arm(gear.link.axle) ** 2 + 5.0 * square_arm(middle) ** 2 + 5.0 * gear.link.length**2 / 12
    )
    assert gear.hinge_inertia == pytest.approx(want, rel=1e-12)
    assert replace(gear, link_inertia=0.5).hinge_inertia == pytest.approx(
        want - 5 * gear.link.length**2 / 12 + 0.5
    )


BASE = GEARS["plane"]


def test_a_rolling_radius_beyond_the_tire_is_refused():
    with pytest.raises(ValueError, match=r"rolling_radius.*tire's radius"):
        replace(BASE, rolling_radius=0.5)


def test_a_stroke_beyond_the_link_is_refused():
    wide = AirSpring(pressure=2.6e6, volume=900e-6, area=1.6e-3, exponent=1.1)
    with pytest.raises(ValueError, match="geometry ends before the shock does"):
        with_shock(BASE, spring=wide, max_stroke=0.3)


def test_a_shock_that_comes_to_the_pivot_is_refused():
    wide = AirSpring(pressure=2.6e6, volume=900e-6, area=1.6e-3, exponent=1.1)
    link = replace(BASE.link, shock_on_strut=(-0.02, 0.8, -0.253))
    assert isinstance(replace(BASE, link=link), MainGear)
    end = link.geometric_stroke
    with pytest.raises(ValueError, match=r"arm of the shock.*pivot|rise of the axle"):
        replace(BASE, link=link, shock=replace(BASE.shock, spring=wide, max_stroke=0.9999 * end))
