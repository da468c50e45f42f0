"""Bolts: printed flexibilities, sizes and loads by standard, preload."""

from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from printed import printed

from beam.joints import Preload, fastener, fastener_flexibility, fasteners

F1 = {"diameter": 6.35e-3, "modulus": 200e9, "thickness": [3e-3, 4e-3], "moduli": [72e9, 72e9]}


def test_printed_flexibilities():
    """Figures in mm/N as printed in worked examples of the laws."""
    assert 1e3 * fastener_flexibility(**F1) == printed("1.92804e-05")
    carbon = F1 | {
        "modulus": 110e9,
        "thickness": [4e-3, 4e-3],
        "moduli": [55e9, 55e9],
        "laminates": (True, True),
    }
    assert 1e3 * fastener_flexibility(**carbon) == printed("3.50718e-05")
    assert 1e3 * fastener_flexibility(**F1, law="swift") == printed("1.04185e-05")
    assert 1e3 * fastener_flexibility(**F1, law="grumman") == printed("3.09337e-05")
    assert 1e3 * fastener_flexibility(**F1, law="tate") == printed("1.30959e-05")
    double = {
        "diameter": 8e-3,
        "modulus": 200e9,
        "thickness": [6e-3, 3e-3],
        "moduli": [72e9, 72e9],
        "planes": 2,
    }
    assert 1e3 * fastener_flexibility(**double, law="tate") == printed("1.1592e-05")


def test_swapping_the_plates_of_single_shear_changes_nothing():
    for law in ("huth", "swift", "grumman", "tate"):
        one = F1 | {"moduli": [72e9, 45e9]}
        other = F1 | {"moduli": [45e9, 72e9], "thickness": [4e-3, 3e-3]}
        assert fastener_flexibility(**one, law=law) == pytest.approx(
            fastener_flexibility(**other, law=law), rel=1e-14
        )


def test_metal_on_laminate_lies_between_both():
    both = [float(fastener_flexibility(**F1, laminates=kinds)) for kinds in product((False, True), repeat=2)]
    assert both[0] < min(both[1:3]) < max(both[1:3]) < both[3]
    assert both[1] + both[2] == pytest.approx(both[0] + both[3], rel=1e-14)  # each plate with its own factor
    assert both[3] / both[0] == pytest.approx(4.2 / 3.0, rel=1e-14)


def test_huth_in_double_shear_by_hand():
    d, Ef, t1, t2, E1, E2 = 8e-3, 200e9, 6e-3, 3e-3, 72e9, 60e9
    hand = 1 / (t1 * E1) + 1 / (2 * t2 * E2) + 1 / (2 * t1 * Ef) + 1 / (4 * t2 * Ef)
    hand *= ((t1 + t2) / (2 * d)) ** (2 / 3) * 3.0 / 2
    found = fastener_flexibility(d, Ef, thickness=[t1, t2], moduli=[E1, E2], planes=2)
    assert found == pytest.approx(hand, rel=1e-13)
    riveted = fastener_flexibility(d, Ef, thickness=[t1, t2], moduli=[E1, E2], planes=2, riveted=True)
    scale = (2.2 / 3.0) * ((t1 + t2) / (2 * d)) ** (2 / 5 - 2 / 3)
    assert riveted == pytest.approx(hand * scale, rel=1e-13)


def test_cases_together_equal_their_loop():
    t = np.array([[3e-3, 4e-3], [2e-3, 5e-3]])
    together = fastener_flexibility(**F1 | {"thickness": t})
    assert together.tolist() == [float(fastener_flexibility(**F1 | {"thickness": one})) for one in t]


@pytest.mark.parametrize(
    ("change", "named"),
    [
        ({"law": "swift", "laminates": (True, False)}, "laminates"),
        ({"riveted": True, "laminates": (True, False)}, "riveted=True"),
        ({"law": "grumman", "planes": 2}, "planes"),
        ({"planes": 3}, "planes"),
    ],
)
def test_laws_beyond_their_tests_are_refused(change, named):
    with pytest.raises(ValueError, match=named):
        fastener_flexibility(**F1 | change)


def test_catalog():
    table = fasteners()
    for name in table.index:
        bolt = fastener(name)
        assert bolt.source.standing == "memory"  # none was read in its standard
        shear, tension = bolt.metal.Fsu * bolt.area, bolt.metal.Ftu * bolt.thread_area
        assert bolt.shear_strength == pytest.approx(shear, rel=0.005)  # printed loads round Fsu x shank
        assert 0.85 * tension < bolt.tension_strength <= tension * (1 + 1e-9)  # AN: on the root of the thread
        assert bolt.yield_load < tension
    assert fastener("M8 8.8").yield_load == pytest.approx(640e6 * 36.6e-6, rel=1e-12)
    assert fastener("AN5").shear_strength / 4.4482216 == pytest.approx(5750, rel=1e-4)
    assert fastener("AN5").tension_strength / 4.4482216 == pytest.approx(6500, rel=1e-4)
    with pytest.raises(ValueError, match=r"M6 8\.8"):
        fastener("M6")


def test_preload():
    tight = Preload(torque=12.0, nut_factor=0.15, nut_factor_basis="lubricated", scatter=0.25, remaining=0.7)
    assert tight.most(8e-3) == pytest.approx(1.25 * 12 / (0.15 * 8e-3), rel=1e-14)
    assert tight.least(8e-3) == pytest.approx(0.7 * 0.75 * 12 / (0.15 * 8e-3), rel=1e-14)
    assert "lubricated" in tight.said


@pytest.mark.parametrize(
    ("change", "named"), [({"thread_area": 4e-5}, "thread_area"), ({"head_diameter": 5e-3}, "head_")]
)
def test_a_bolt_that_cannot_be(change, named):
    with pytest.raises(ValueError, match=named):
        replace(fastener("M6 8.8"), **change)
