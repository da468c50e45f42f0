"""Squeezed tubes: printed values, a frame of beams as second way; bolts through a tube and their spacers."""

from dataclasses import replace

import numpy as np
import pytest
from calls_joints import LAMINATE, THROUGH, TIGHT
from printed import printed
from scipy.integrate import quad
from small_strut import REQUIREMENT

from beam.joints import (
    InstalledBolt,
    JointFactors,
    JointLoads,
    Spacer,
    ThroughBolt,
    fastener,
    squeezed_box,
    squeezed_ring,
)

PLAIN = replace(REQUIREMENT, deflection_allowance=1.0)
M6 = InstalledBolt(fastener=fastener("M6 8.8"), preload=TIGHT)


def through(**change):
    return ThroughBolt(**THROUGH | {"bolt": M6, "factors": JointFactors(), "length": None} | change)


def test_printed_ring():
    found = squeezed_ring(1000.0, radius=35e-3, stiffness=50.0)
    assert found.loaded == printed("11.1408")
    assert found.far == printed("-6.35915")
    assert 1e3 * found.closure == printed("0.127577")


def test_printed_box():
    found = squeezed_box(1000.0, width=80e-3, height=60e-3, stiffness=[50.0, 50.0])
    assert -found.far == printed("5.71429")
    assert found.loaded == printed("14.2857")


def test_ring_does_not_turn_under_the_load_and_closes_by_its_energy():
    R, EI, P = 0.04, 30.0, 1.0

    def moment(angle):  # from the load; the section at the side carries P / 2
        return squeezed_ring(P, radius=R, stiffness=EI).loaded - P * R / 2 * np.sin(angle)

    assert quad(moment, 0, np.pi / 2)[0] == pytest.approx(0.0, abs=1e-12)
    assert moment(np.pi / 2) == pytest.approx(squeezed_ring(P, radius=R, stiffness=EI).far, rel=1e-12)
    energy = 4 * quad(lambda angle: moment(angle) ** 2 * R / (2 * EI), 0, np.pi / 2)[0]
    assert squeezed_ring(P, radius=R, stiffness=EI).closure == pytest.approx(2 * energy / P, rel=1e-9)


@pytest.mark.parametrize("spread", ["middle", "even"])
def test_box_keeps_its_corners_square_and_closes_by_its_energy(spread):
    """Second way: slope of the pressed wall at the corner equals that of the other wall; closure by virtual work."""
    b, h, EI_b, EI_h, P = 0.08, 0.05, 40.0, 25.0, 1.0
    found = squeezed_box(P, width=b, height=h, stiffness=[EI_b, EI_h], spread=spread)

    def moment(x):
        return found.far + (P / 2 * x if spread == "middle" else P / 2 * x * (1 - x / b))

    def virtual(x):  # simple wall under a unit load at its middle
        return x / 2

    assert moment(b / 2) == pytest.approx(float(found.loaded), rel=1e-12)
    pressed = quad(moment, 0, b / 2)[0] / EI_b  # turn of the corner, zero slope at the middle
    assert pressed == pytest.approx(-float(found.far) * h / 2 / EI_h, rel=1e-10)
    sag = 2 * quad(lambda x: moment(x) * virtual(x) / EI_b, 0, b / 2)[0]
    assert found.closure == pytest.approx(2 * sag, rel=1e-10)


def test_spacer_shares_the_preload():
    """Second way: the compression x at which both springs carry the force."""
    one = through(spacer=Spacer(**THROUGH["spacer"].__dict__ | {"gap": 2e-4}))
    kw, ks = 1 / float(one._squeezed(1.0).closure), one.spacer.metal.E * one.spacer.area / (60e-3 - 3e-3)
    assert one.bending_stiffness == pytest.approx(1 / LAMINATE.compliance[4, 4], rel=1e-12)
    assert one.takes_part == pytest.approx(18e-3 + 2 * 3e-3, rel=1e-12)
    for gap in (2e-4, -1e-4, 0.0):
        one = replace(one, spacer=replace(one.spacer, gap=gap))
        x = np.linspace(0.0, 6e-4, 7)
        force = kw * np.maximum(x, 0) + ks * np.maximum(x - gap, 0)
        assert one.wall_load(force) == pytest.approx(kw * np.maximum(x, 0), rel=1e-9, abs=1e-6)
    longer = replace(one, spacer=replace(one.spacer, gap=-1e-4))
    assert longer.wall_load(0.5 * ks * 1e-4) == 0.0
    assert replace(one, spacer=None).wall_load([5.0, 7.0]).tolist() == [5.0, 7.0]


def rows(one, squeeze):
    loads = JointLoads(force=[[0.0, 0.0, squeeze]])
    table = one.margins(loads, PLAIN).reset_index()
    table["part"] = table["wall"].astype(str).str.partition(": ")[2]
    return table.set_index(["part", "mode"])


@pytest.mark.parametrize("gap", [1e-4, -5e-5])
@pytest.mark.parametrize("shape", ["box", "round"])
def test_the_wall_reaches_its_strain_at_the_ratio(gap, shape):
    tube = {"shape": shape, "across": 60e-3, "strain": 0.02}
    one = through(**tube, spacer=replace(THROUGH["spacer"], gap=gap))
    found = rows(one, 5e3)
    R = found.loc[("wall", "bending by squeezing"), "ratio"]
    assert R > 0.1
    squeezed = one._squeezed(one.wall_load(6500.0 + R * 5e3))
    M = max(abs(squeezed.loaded), abs(squeezed.far))
    assert M * 1.5e-3 / one.bending_stiffness == pytest.approx(0.02, rel=1e-9)
    alone = found.loc[("wall", "bending by squeezing, preload alone"), "ratio"]
    squeezed = one._squeezed(one.wall_load(6500.0 * alone))
    assert max(abs(squeezed.loaded), abs(squeezed.far)) * 1.5e-3 / one.bending_stiffness == pytest.approx(
        0.02, rel=1e-9
    )
    R = found.loc[("spacer", "yield"), "ratio"]
    force = 6500.0 + R * 5e3
    stress = (force - one.wall_load(force)) / one.spacer.area
    assert stress == pytest.approx(one.spacer.metal.Fcy, rel=1e-9)
    bears = np.pi / 4 * (18e-3**2 - 6e-3**2) * 150e6
    assert found.loc[("wall", "washer pressure"), "ratio"] == pytest.approx((bears - 6500.0) / 5e3, rel=1e-9)


def test_an_empty_tube_is_crushed_by_the_preload():
    found = rows(through(spacer=None), 1e3)
    assert found.loc[("wall", "bending by squeezing"), "ratio"] == 0.0
    assert found.loc[("wall", "bending by squeezing, preload alone"), "margin"] < 0.0
    assert "own length of tube; torque 6 N m" in found.loc[("wall", "washer pressure"), "assumption"]
    assert "length of tube 24 mm" in found.loc[("wall", "washer pressure"), "assumption"]
    assert "own length" not in rows(through(length=40e-3), 1e3).loc[("wall", "washer pressure"), "assumption"]
    assert np.isinf(rows(through(), -1e3).loc[("spacer", "yield"), "ratio"])  # a pull does not squeeze


@pytest.mark.parametrize(
    ("change", "named"),
    [
        ({"bolt": replace(M6, preload=None)}, "preload"),
        ({"washer": 6e-3}, "washer"),
        ({"bolt": replace(M6, fastener=fastener("M8 8.8"))}, "bore of the spacer"),
        ({"shape": "round", "across": 70e-3, "depth": 60e-3}, "depth"),
    ],
)
def test_through_bolts_that_cannot_be(change, named):
    with pytest.raises(ValueError, match=named):
        through(**change)


def test_a_spacer_without_a_wall():
    with pytest.raises(ValueError, match="bore"):
        replace(THROUGH["spacer"], bore=12e-3)
