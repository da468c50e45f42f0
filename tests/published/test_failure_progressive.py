"""First-ply to last-ply failure as printed.

A. K. Kaw, Mechanics of Composite Materials, 2nd ed. 2006, ex. 5.3: [0/90] with a 90 ply in the middle,
three plies of T300/5208 of 5 mm, Tsai-Wu, load Nx (from memory, recomputed).
"""

import numpy as np
import pytest
from failure_cases import M1, TSAI_HAHN
from printed import printed

from laminate import Laminate
from laminate.failure import TsaiWu
from laminate.governing import governing
from laminate.progressive import progressive
from materials import Lamina

LAMINA = Lamina(
    name="T300/5208", kind="tape", E1=181e9, E2=10.3e9, G12=7.17e9, nu12=0.28, thickness=5e-3, density=1600.0,
    allowables=M1, source=TSAI_HAHN,
)  # fmt: skip
LAMINATE = Laminate.from_code("[0/90/0]T", LAMINA)
UNIT = LAMINATE.response([1.0, 0, 0])


@pytest.mark.parametrize(("component", "text"), [(0, "5.353e-10"), (1, "-2.297e-11")])
def test_strain_per_load(component, text):
    assert UNIT.midplane_strain[component] == printed(text)


@pytest.mark.parametrize(
    ("ply", "component", "text"),
    [(0, 0, "9.726e1"), (0, 1, "1.313"), (1, 0, "-2.626"), (1, 1, "5.472")],
)
def test_ply_stress_per_load(ply, component, text):
    assert UNIT.load_stress[ply, 0, component] == printed(text)


@pytest.mark.parametrize(("ply", "text"), [(0, "1.339e7"), (1, "7.277e6"), (2, "1.339e7")])
def test_ratio_of_each_ply(ply, text):
    assert float(TsaiWu().ratio(UNIT.load_stress[ply, 0], M1)) == printed(text)


def test_first_ply():
    assert progressive(LAMINATE, [1.0, 0, 0]).first_ply == printed("7.277e6")
    assert float(governing(LAMINATE).ratio_of_loads([1.0, 0, 0, 0, 0, 0])) == printed("7.277e6")


def test_last_ply_with_the_cracked_ply_out():
    got = progressive(LAMINATE, [1.0, 0, 0], complete=True)
    assert got.last_ply == printed("1.5e7")
    assert [f.ply for f in got.steps[-1].failures] == [0, 2]
    np.testing.assert_allclose(got.last_ply, 1500e6 * 10e-3, rtol=1e-4)
