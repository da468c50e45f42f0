"""23.507, 23.509 and 23.511(a): jacking, towing, pivoting."""

import numpy as np
import pytest
from loads_airplane import tourer, wheels
from scipy.constants import g

from beam.loads import Landing, stance
from beam.loads.part23 import jacking, pivoting, towing

LANDING = Landing(load_factor=3.0)


def weight(airplane):
    return airplane.max_mass * g


def static(airplane, cg):
    at = stance(airplane, cg)
    nose = weight(airplane) * at.main_arm / at.wheelbase
    return nose, (weight(airplane) - nose) / 2


def test_jacking():
    airplane = tourer()
    cases = jacking(airplane, LANDING)
    assert len(cases) == 2 * 3 * 9
    for cg in ("forward", "aft"):
        nose, main = static(airplane, cg)
        for leg, reaction in (("starboard", main), ("port", main), ("nose", nose)):
            found = [c.wheels[0] for c in cases if c.cg == cg and c.wheels[0].leg == leg]
            assert {round(w.Fz / reaction, 12) for w in found} == {1.35}
            pushes = {(round(w.Fx / reaction, 12), round(w.Fy / reaction, 12)) for w in found}
            assert pushes == {(x, y) for x in (-0.4, 0.0, 0.4) for y in (-0.4, 0.0, 0.4)}


def test_towing():
    airplane = tourer()
    W = weight(airplane)
    cases = towing(airplane, LANDING)
    for case in cases:
        assert sum(w.Fz for w in case.wheels) == pytest.approx(W, rel=1e-14)
        (pulled,) = [w for w in case.wheels if w.applied_at == "axle"]
        pull = np.hypot(pulled.Fx, pulled.Fy) / W
        swivelled = "45 deg" in case.condition
        assert pull == pytest.approx(0.225 if pulled.leg != "nose" else 0.15 if swivelled else 0.3)
        assert all(w.Fx == w.Fy == 0 for w in case.wheels if w is not pulled)
    starboard = [w for c in cases for w in c.wheels if w.applied_at == "axle" and w.leg == "starboard"]
    directions = np.degrees([np.arctan2(w.Fy, w.Fx) for w in starboard])
    assert sorted({round(d) for d in directions}) == [-150, -30, 0, 30, 150, 180]
    nose = [w for c in cases for w in c.wheels if w.applied_at == "axle" and w.leg == "nose"]
    assert sorted({round(d) for d in np.degrees([np.arctan2(w.Fy, w.Fx) for w in nose])}) == [
        -135,
        -45,
        0,
        45,
        135,
        180,
    ]


def test_pivoting_couple_is_friction_over_the_footprint():
    """Second way: sum 0.8 p r dA over rings of the circle that carries V at the tire pressure."""
    airplane = tourer()
    main = static(airplane, "aft")[1]
    p = airplane.main_tire_pressure
    edges = np.linspace(0.0, np.sqrt(main / (np.pi * p)), 4001)
    middle = (edges[1:] + edges[:-1]) / 2
    couple = np.sum(0.8 * p * middle * 2 * np.pi * middle * np.diff(edges))
    cases = pivoting(airplane, LANDING)
    found = wheels(cases, "pivoting about starboard wheel, turning to starboard")
    assert found["starboard"].Mz == pytest.approx(couple, rel=1e-6)
    assert found["port"].Mz == 0.0
    back = wheels(cases, "pivoting about starboard wheel, turning to port")
    assert back["starboard"].Mz == -found["starboard"].Mz
    assert sum(w.Fz for w in found.values()) == pytest.approx(weight(airplane), rel=1e-14)
    with pytest.raises(ValueError, match="main_tire_pressure"):
        pivoting(tourer(main_tire_pressure=None), LANDING)
