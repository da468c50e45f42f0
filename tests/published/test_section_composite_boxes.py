"""Composite box beams of the literature: AS4/3501-6, six plies of 0.005 in, 0.953 x 0.53 in.

All values are from memory. Those that stand here come out together: nine stiffnesses of one box within 0.4 percent
(with nu12 = 0.42, which is printed for this material as well, they miss by 2 percent), seven frequencies of five
boxes within 0.5 percent. Of the slopes and twists that Smith & Chopra (J. American Helicopter Society 36 (3), 1991,
23-35) and Chandra, Stemple & Chopra (J. Aircraft 27 (7), 1990, 619-626) measured on such boxes, and of the
deflections of Minguet & Dugundji (AIAA J. 28 (9), 1990) and of Dowell & Traybar (1975), no printed digit is
recalled for certain; a box of bricks stands in their place (`test_solid_bricks`).
"""

import numpy as np
import pytest
from scipy import constants

from beam.section import Section
from beam.section.solid import Orthotropic, mesh_walls, solve
from beam.strut import Span
from laminate import Laminate
from materials import Lamina, Source

INCH, POUND, PSI = constants.inch, constants.pound_force, constants.psi
WIDTH, HEIGHT, PLY = 0.953 * INCH, 0.53 * INCH, 0.005 * INCH
POPESCU = "Popescu & Hodges, Int. J. Solids Structures 37 (2000) 535-558, table; from memory"
STIFFNESS = {
    (0, 0): 1.437e6, (1, 1): 9.027e4, (2, 2): 3.943e4,
    (0, 3): 1.074e5, (1, 4): -5.204e4, (2, 5): -5.635e4,
    (3, 3): 1.679e4, (4, 4): 6.621e4, (5, 5): 1.725e5,
}  # fmt: skip
"""Of the box of one lay-up [-15]6 all around: lb, lb in, lb in^2."""

BOXES = {
    "[15]6 all around": ("[15]6",) * 4,
    "[0/30]3 all around": ("[0/30]3",) * 4,
    "[0/45]3 all around": ("[0/45]3",) * 4,
    "[30]6 mirrored": ("[30]6", "[30/-30]3", "[-30]6", "[-30/30]3"),
    "[45]6 mirrored": ("[45]6", "[45/-45]3", "[-45]6", "[-45/45]3"),
}
ARMANIOS = "Armanios & Badir, AIAA J. 33 (10), 1995, 1905-1910, tables; from memory"
CHANDRA = "Chandra & Chopra, J. Aircraft 29 (4), 1992, 657-664, measured; as cited there; from memory"
FREQUENCIES = [
    ("[15]6 all around", 0, 28.67, 28.66),
    ("[0/30]3 all around", 0, 34.23, 30.66),
    ("[0/45]3 all around", 0, 32.75, 30.00),
    ("[30]6 mirrored", 0, 19.92, 20.96),
    ("[30]6 mirrored", 1, 124.73, 128.36),
    ("[45]6 mirrored", 0, 14.69, 16.67),
    ("[45]6 mirrored", 1, 92.02, 96.15),
]
"""Box, number of the mode that bends up and down, frequency computed [Hz] and measured [Hz]."""


def tape(nu12, density=1600.0):
    """AS4/3501-6 as these papers give it."""
    return Lamina(
        name="AS4/3501-6", kind="tape", E1=20.59e6 * PSI, E2=1.42e6 * PSI, G12=0.87e6 * PSI, G13=0.87e6 * PSI,
        G23=0.696e6 * PSI, nu12=nu12, thickness=PLY, density=density, source=Source(POPESCU),
    )  # fmt: skip


def box(walls, surface, **material):
    """The box of four walls."""
    lamina = tape(**material)
    laminates = [Laminate.from_code(code, lamina) for code in walls]
    return Section.box(WIDTH, HEIGHT, laminates, surface=surface)


def pounds(K):
    """Stiffness in lb, lb in, lb in^2."""
    size = np.array([1.0, 1.0, 1.0, INCH, INCH, INCH])
    return K / np.outer(size, size) / POUND


def others(K):
    """Largest of the couplings that are zero in print, measured by the diagonal."""
    size = np.sqrt(np.diagonal(K))
    rest = K / np.outer(size, size)
    for row, column in STIFFNESS:
        rest[row, column] = rest[column, row] = 0.0
    return np.abs(rest).max()


def test_stiffness_of_a_uniform_box_on_a_mesh():
    """Nine numbers, signs too, within 0.15 percent, and 0.4 for the shear along e3: around sharp corners it
    softens with every finer mesh (0.13 percent below the print on a coarse one, 0.35 on a fine one), and the mesh of
    the print is not known."""
    section = box(("[-15]6",) * 4, "outside", nu12=0.30)
    lamina = section.laminates[0].plies[0].lamina
    solid = Orthotropic.from_lamina(lamina, E3=lamina.E2, nu13=0.30, nu23=0.34)
    K = pounds(solve(mesh_walls(section, lambda _: solid, size=1.6e-3, per_layer=2)).stiffness)
    for place, value in STIFFNESS.items():
        tolerance = 4e-3 if place == (2, 2) else 1.5e-3
        assert K[place] == pytest.approx(value, rel=tolerance), (POPESCU, place)
    assert others(K) < 1e-6


@pytest.mark.parametrize(
    ("places", "apart"),
    [
        ([(0, 0), (0, 3), (1, 4), (2, 5), (4, 4), (5, 5)], 0.006),
        # Four sharp corners stiffen torsion by 1.76 t/L, 1.9 percent if isotropic (theory of `states`).
        ([(3, 3)], 0.019),
        # Shear, to first order in t over the width along the force: 0.030 / 0.923, 0.030 / 0.50.
        ([(1, 1)], 0.033),
        ([(2, 2)], 0.060),
    ],
)
def test_stiffness_of_a_uniform_box_by_thin_walls(places, apart):
    """The thin-walled theory parts from the print by what sharp corners and thickness count, and downward."""
    K = pounds(box(("[-15]6",) * 4, "outside", nu12=0.30).stiffness)
    for place in places:
        assert -apart < K[place] / STIFFNESS[place] - 1 < 0.001, (POPESCU, place)
    assert others(K) < 1e-6


def bending(walls, surface="middle", nu12=0.42):
    """Frequencies of the modes that bend the box up and down, as far as the second [Hz]."""
    section = box(walls, surface, nu12=nu12, density=1.449e-4 * POUND / INCH**4)
    span = Span(axis=33.25 * INCH, stiffness=section.stiffness, inertia=section.inertia)
    modes = span.modes(4)
    tip = np.abs(modes.shape[:, -1, 1:3])
    return modes.frequency[tip[:, 1] > tip[:, 0]][:2]


@pytest.fixture(scope="module")
def found():
    """Of every box."""
    return {name: bending(walls) for name, walls in BOXES.items()}


@pytest.mark.parametrize(("name", "mode", "computed", "measured"), FREQUENCIES)
def test_frequencies_of_cantilevered_boxes(found, name, mode, computed, measured):
    """Length 33.25 in, density 1.449e-4 lb s^2/in^4, sizes taken on the mid-line, nu12 = 0.42.

    The paper's own analysis is 12 percent off what was measured on two of the boxes; ours is as near. That holds for
    its reading of the sizes: with them on the outer surface all seven fall by 5.5 percent, and the parting from what
    was measured runs from 6 percent above to 17 below. So the ratios are the evidence, the measured values a bound.
    """
    f = found[name][mode]
    assert f == pytest.approx(computed, rel=5e-3), ARMANIOS
    assert abs(f / measured - 1) < abs(computed / measured - 1) + 5e-3, CHANDRA


def test_ratios_of_frequencies_do_not_hang_on_the_reading():
    """What may be misremembered of length, density and sizes enters all seven as one factor."""
    other = {name: bending(walls, "outside", 0.30) for name, walls in BOXES.items()}
    factor = np.array([other[name][mode] / computed for name, mode, computed, _ in FREQUENCIES])
    np.testing.assert_allclose(factor, np.exp(np.log(factor).mean()), rtol=5e-3, err_msg=ARMANIOS)
