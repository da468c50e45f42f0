import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from materials import cured_thickness, fiber_volume, void_volume


@settings(deadline=None, max_examples=40)
@given(w=st.floats(0.05, 1.0), rho=st.floats(1500, 2700), v=st.floats(0.3, 0.75))
def test_thickness_and_volume_are_inverse(w, rho, v):
    h = cured_thickness(w, fiber_density=rho, fiber_volume=v)
    assert fiber_volume(w, fiber_density=rho, cured_thickness=h) == pytest.approx(v, rel=1e-13)
    assert fiber_volume(w, fiber_density=rho, cured_thickness=8 * h, plies=8) == pytest.approx(v, rel=1e-13)


def test_mass_balance():
    # 0.2 kg/m^2 of fiber of 1800 kg/m^3 in 0.2 mm: 0.2/1800 m of 0.2e-3 m.
    assert fiber_volume(0.2, fiber_density=1800.0, cured_thickness=0.2e-3) == pytest.approx(
        1 / 1.8, rel=1e-14
    )


def test_voids():
    assert void_volume(measured_density=[1580.0, 1564.2], theoretical_density=1580.0) == pytest.approx(
        [0.0, 0.01]
    )
    assert void_volume(measured_density=1581.0, theoretical_density=1580.0) < 0.0


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: fiber_volume(0.2, fiber_density=1800.0, cured_thickness=0.2),
            ">= 0.02; is the thickness in mm",
        ),
        (
            lambda: fiber_volume(0.35, fiber_density=1800.0, cured_thickness=0.2e-3),
            "<= 0.9069.*weight with resin",
        ),
        (
            lambda: void_volume(measured_density=700.0, theoretical_density=1580.0),
            "<= 0.5; is one density in g/cm",
        ),
        (lambda: void_volume(measured_density=1700.0, theoretical_density=1580.0), ">= -0.05"),
    ],
)
def test_refuses_results_that_no_laminate_has(call, message):
    with pytest.raises(ValueError, match=message):
        call()
