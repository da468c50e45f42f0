import numpy as np
import pytest
from numpy.testing import assert_allclose

from beam.strut import MoldLine

ROOT, TIP = np.array([2.0, 0.4, 0.9]), np.array([2.0, 0.75, 0.4])
L = float(np.linalg.norm(TIP - ROOT))


def mold(**changed):
    given = {
        "root": ROOT,
        "tip": TIP,
        "stations": [0.0, 0.3, L],
        "width": [0.11, 0.10, 0.07],
        "height": [0.08, 0.07, 0.055],
        "corner_radius": [0.02, 0.018, 0.015],
    }
    return MoldLine(**(given | changed))


def test_axes_and_walls():
    line = mold()
    assert line.length == pytest.approx(L)
    assert_allclose(line.frame[1], [1, 0, 0], atol=1e-15)
    assert line.frame[2, 1] < 0
    assert line.frame[2, 2] < 0
    assert line.wall_names == (
        "inboard",
        "inboard-aft",
        "aft",
        "aft-outboard",
        "outboard",
        "outboard-forward",
        "forward",
        "forward-inboard",
    )


def test_wall_names_agree_with_the_section():
    from beam.section.outline import wall_names

    assert mold().wall_names == wall_names(("inboard", "aft", "outboard", "forward"))


def test_faces_look_where_their_names_say():
    """+e3 looks inboard, +e2 aft, so in airplane axes the outward normals are -y-ish and +x."""
    inboard, aft = mold().frame[2], mold().frame[1]
    assert inboard @ [0, -1, 0] > 0.5
    assert aft @ [1, 0, 0] == pytest.approx(1)


def test_sizes_are_linear_between_stations():
    line = mold()
    width, height, radius = line.at([0.0, 0.15, 0.3, L])
    assert_allclose(width, [0.11, 0.105, 0.10, 0.07])
    assert_allclose(height, [0.08, 0.075, 0.07, 0.055])
    assert_allclose(radius, [0.02, 0.019, 0.018, 0.015])
    assert line.at(0.15).width.shape == ()
    assert_allclose(line.flat_widths([0.0]), [[0.07, 0.04, 0.07, 0.04]])
    assert line.flat_walls == ("inboard", "aft", "outboard", "forward")
    assert_allclose(line.position([0, L]), [ROOT, TIP])


def test_loads_anywhere_become_loads_on_the_axis():
    """Resultant about any point is kept, whatever the axes."""
    rng = np.random.default_rng(0)
    line = mold()
    at = np.array([0.2, L])
    p, f, m = rng.normal(size=(3, 5, 2, 3))
    loads = line.point_loads(at, p, f, m)
    force = np.einsum("ji,...j->...i", line.frame, loads.force)
    moment = np.einsum("ji,...j->...i", line.frame, loads.moment)
    about = np.array([0.3, -1.0, 2.0])
    ours = (moment + np.cross(line.position(at) - about, force)).sum(axis=1)
    assert_allclose(force.sum(axis=1), f.sum(axis=1), atol=1e-14)
    assert_allclose(ours, (m + np.cross(p - about, f)).sum(axis=1), atol=1e-13)
    arm = np.einsum("ji,...j->...i", line.frame, loads.arm)
    assert_allclose(arm, p - line.position(at), atol=1e-14)


def test_drag_at_a_wheel_aft_and_below_twists_and_bends():
    """Drag on a wheel outboard of the axis: torsion has the sign of the right hand about e1."""
    line = mold(
        root=[0, 0, 0],
        tip=[0, 0, -0.6],
        stations=[0, 0.6],
        width=[0.1] * 2,
        height=[0.08] * 2,
        corner_radius=[0.02] * 2,
    )
    loads = line.point_loads([0.6], [[[0.0, 0.1, -0.6]]], [[[1000.0, 0, 0]]])
    assert_allclose(loads.force[0, 0], [0, 1000, 0], atol=1e-12)
    # (0, 0.1, 0) x (1000, 0, 0) = (0, 0, -100) in airplane axes; e1 points down, so T = +100.
    assert_allclose(loads.moment[0, 0], [100, 0, 0], atol=1e-12)


@pytest.mark.parametrize(
    ("changed", "message"),
    [
        ({"width": [112.0, 100.0, 70.0]}, "width.*got 112, must be < the length.*given in mm"),
        ({"height": [80.0, 70.0, 55.0]}, "height.*got 80.*given in mm"),
        ({"root": 1e3 * ROOT, "tip": 1e3 * TIP}, "root to tip.*in mm"),
        ({"root": 1e3 * ROOT}, "root to tip.*in mm"),
        ({"names": ("a", "b", "c")}, "3 items"),
        ({"tip": ROOT}, "root to tip.*got 0"),
        ({"stations": [0.0, 0.5, 0.3]}, "growing"),
        ({"stations": [0.0, 0.3, 0.62]}, "from 0 to the tip"),
        ({"stations": [0.1, 0.3, L]}, "from 0 to the tip"),
        ({"width": [0.1, 0.1]}, "one for each station"),
        ({"width": [0.1, 0.1, 0.0]}, "> 0"),
        ({"corner_radius": [0.02, 0.018, 0.03]}, "flat part"),
        ({"names": ("a", "b", "c", "a")}, "four different names"),
        ({"aft": TIP - ROOT}, "parallel"),
        ({"root": [1.0, 2.0]}, "shape"),
        ({"height": [0.08, np.nan, 0.05]}, "finite"),
    ],
)
def test_bad_input(changed, message):
    with pytest.raises(ValueError, match=message):
        mold(**changed)


def test_beyond_the_tip():
    with pytest.raises(ValueError, match="given in mm"):
        mold().at(300.0)
