"""Micromechanics and moisture against printed values, recalled and recomputed unless said otherwise."""

import numpy as np
import pytest
from printed import printed

from materials import (
    Fiber,
    Matrix,
    Source,
    halpin_tsai,
    mixture,
    moisture_profile,
    moisture_uptake,
    unidirectional,
)

# Kaw, Mechanics of Composite Materials, 2nd ed. (2006), chapter 3: glass/epoxy, fiber volume 0.7
GLASS = Fiber(
    name="glass", E1=85e9, E2=85e9, G12=35.42e9, nu12=0.2, density=2500.0, alpha1=5e-6, alpha2=5e-6,
    source=Source("Kaw (2006)", "table 3.1", "from memory"),
)  # fmt: skip
EPOXY = Matrix(
    name="epoxy", E=3.4e9, nu=0.3, density=1200.0, alpha=63e-6, beta=0.33,
    source=Source("Kaw (2006)", "table 3.2", "from memory"),
)  # fmt: skip
PLY = unidirectional(GLASS, EPOXY, name="glass/epoxy", fiber_volume=0.7, areal_weight=0.3)


@pytest.mark.parametrize(
    ("value", "text", "source"),
    [
        (PLY.density, "2110", "Kaw ex. 3.1, from memory"),
        (0.7 * 2500.0 / PLY.density, "0.8294", "Kaw ex. 3.1, fiber mass fraction, from memory"),
        (PLY.E1 / 1e9, "60.52", "Kaw ex. 3.3, from memory"),
        (halpin_tsai(85.0, 3.4, 0.7, reinforcement=0.0), "10.37", "Kaw ex. 3.4, from memory"),
        (PLY.nu12, "0.230", "Kaw ex. 3.5, from memory"),
        (
            halpin_tsai(35.42, 1.308, 0.7, reinforcement=0.0),
            "4.014",
            "Kaw ex. 3.6, moduli as printed, from memory",
        ),
        (PLY.E2 / 1e9, "20.20", "Kaw ex. 3.7, xi = 2, from memory"),
        (halpin_tsai(35.42, 1.308, 0.7, reinforcement=1.0), "6.169", "Kaw ex. 3.8, xi = 1, from memory"),
        (PLY.alpha1 * 1e6, "5.978", "Kaw, thermal expansion example, from memory"),
        (PLY.alpha2 * 1e6, "27.40", "Kaw, thermal expansion example, from memory"),
        (PLY.beta1, "0.03260", "Kaw, moisture expansion example, from memory"),
        (PLY.beta2, "0.7468", "Kaw, moisture expansion example, from memory"),
        (mixture(70.0, 3.0, 0.60), "43.2", "Schaffer et al., ex. 14.5-1, page read"),
        (halpin_tsai(70.0, 3.0, 0.60, reinforcement=0.0), "7.05", "Schaffer et al., ex. 14.5-1, page read"),
        (mixture(131.0, 2.4, 0.45), "60.27", "Callister, aramid in polycarbonate, page read"),
        (mixture(mixture(131.0, 72.5, 0.25 / 0.60), 4.0, 0.60), "59.7", "Callister, hybrid, page read"),
    ],
)
def test_printed(value, text, source):
    assert value == printed(text), source


# The first two terms of the series, set to one half and solved to first order in the second (same place)
half_time = -np.log(np.pi**2 / 16 - (np.pi**2 / 16) ** 9 / 9) / np.pi**2


def test_equilibrium_after_067():
    # Shen & Springer, J. Compos. Mater. 10 (1976) 2-20: 99.9 % at D t / h^2 = 0.67, from memory
    c = moisture_uptake(0.67 * 4e-6 / 1e-12, thickness=2e-3, diffusivity=1e-12, equilibrium=0.01)
    assert c / 0.01 == printed("0.999")


def test_half_time():
    # Crank, The Mathematics of Diffusion (1975), section 10.3: half uptake at D t / h^2 = 0.049, from memory
    assert half_time == printed("0.049")
    c = moisture_uptake(half_time * 4e-6 / 1e-12, thickness=2e-3, diffusivity=1e-12, equilibrium=0.01)
    assert c / 0.01 == pytest.approx(0.5, abs=5e-5)


@pytest.mark.parametrize(("argument", "erfc"), [(0.5, "0.4795"), (1.0, "0.1573"), (1.5, "0.0339")])
def test_early_profile_is_the_half_space(argument, erfc):
    # erfc from Abramowitz & Stegun, table 7.1 (1 - erf), from memory
    t, D = 4e3, 1e-12
    depth = argument * np.sqrt(4 * D * t)
    c = moisture_profile(depth, t, thickness=5e-3, diffusivity=D, equilibrium=0.01)
    assert c / 0.01 == printed(erfc)
