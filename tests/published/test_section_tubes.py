"""Tubes in torsion and in shear against printed values."""

import numpy as np
import pytest
from printed import printed
from scipy import constants
from section_cases import membrane, metal, stiffness_of

from beam.section import solve
from beam.section.outline import box, round_tube

INCH, KIP = constants.inch, 1e3 * constants.pound_force
KSI = KIP / INCH**2
BREDT = "Beer & Johnston, Mechanics of Materials, Example 3.09; from memory"


def thin(t, nu=0.3):
    """Walls that carry no moment, as in the book."""
    return membrane(stiffness_of([metal(x, nu=nu) for x in t]))


@pytest.mark.parametrize(
    ("thickness", "stress"),
    [((0.160,) * 4, ("8.35",) * 4), ((0.120, 0.200, 0.120, 0.200), ("11.13", "6.68", "11.13", "6.68"))],
)
def test_aluminum_tube_under_torque(thickness, stress):
    """Tube 4 x 2.5 in outside, 0.160 in walls; then two walls thinner and two thicker, the mid-line kept."""
    t = np.array(thickness) * INCH
    states = solve(box((4 - 0.16) * INCH, (2.5 - 0.16) * INCH), thin(t))
    flow = np.abs(states.recovery([0.5])[:, 0, 2, 3]) * 24 * KIP * INCH
    area = (4 - 0.16) * (2.5 - 0.16)
    assert area == printed("8.986"), BREDT
    for q, wall, tau in zip(flow, t, stress, strict=True):
        assert q / (KIP / INCH) == printed("1.335"), BREDT
        assert q / wall / KSI == printed(tau), BREDT


@pytest.mark.parametrize("nu", [0.0, 0.3])
@pytest.mark.parametrize(
    ("contour", "cowper", "at_0_3"),
    [
        (round_tube(0.05), lambda nu: 2 * (1 + nu) / (4 + 3 * nu), "0.5306"),
        (box(0.05, 0.05), lambda nu: 20 * (1 + nu) / (48 + 39 * nu), "0.4355"),
    ],
    ids=["round (page read)", "square (from memory)"],
)
def test_shear_coefficient_is_the_energy_of_the_flow(contour, cowper, at_0_3, nu):
    """Cowper, J. Appl. Mech. 33 (1966) 335-340: thin tubes.

    His coefficient relates the shear force to a displacement averaged over the area; ours is the energy of
    the shear flow. The two are one number without Poisson's contraction; ours is the same for every nu, his
    coefficient at nu = 0. At nu = 0.3 they part by 6 percent (round) and 5 percent (square).
    """
    t = 1e-5
    states = solve(contour, thin(np.full(4, t), nu))
    G, A = 70e9 / (2 * (1 + nu)), t * contour.length.sum()
    ours = 1 / states.compliance[2, 2] / (G * A)
    assert ours == pytest.approx(cowper(0.0), rel=1e-6)
    assert cowper(0.3) == printed(at_0_3)
    assert cowper(nu) / ours - 1 == pytest.approx({0.0: 0.0, 0.3: 0.05}[nu], abs=0.013)
