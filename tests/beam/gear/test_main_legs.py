"""A table of ground-load conditions, spread over the strokes of the starboard leg."""

import numpy as np
import pytest
from gears import SKEW, trailing_gear
from loads_airplane import tourer
from numpy.testing import assert_allclose
from scipy.constants import g

from beam.gear import leg_cases
from beam.loads import Landing, ground_cases

GEARS = {"plane": trailing_gear(), "skewed": trailing_gear(**SKEW)}


@pytest.fixture(params=GEARS)
def gear(request):
    return GEARS[request.param]


TABLE = {
    "leg": np.array(["starboard", "port", "nose", "port", "starboard", "port"]),
    "shock": np.array(["landing", "landing", "landing", "static", "static", "extended"]),
    "Fx": np.array([3e3, 3e3, 1e3, 0.0, 6e3, 0.0]),
    "Fy": np.array([100.0, -100.0, 0.0, -6e3, 0.0, 0.0]),
    "Fz": np.array([13e3, 13e3, 4e3, 8e3, 8e3, 0.0]),
    "applied_at": np.array(["axle", "axle", "axle", "ground", "ground", "axle"]),
    "attitude_deg": np.array([0.0, 0.0, 0.0, 0.0, 2.0, 0.0]),
    "strokes": [(0.25, 0.5, 0.75, 1.0), (0.25, 0.5, 0.75, 1.0), (0.3,), (), (), (0.0,)],
}


def test_conditions_spread_over_the_stroke(gear):
    cases = leg_cases(gear, TABLE, static_load=5168.0)
    assert cases.row.tolist() == [0] * 4 + [1] * 4 + [3, 4, 5]
    static = float(gear.static(5168.0 / g)) / gear.shock.max_stroke
    # Appendix C Note 2: 25 to 100 percent for landing conditions
    assert_allclose(cases.fraction, [0.25, 0.5, 0.75, 1.0] * 2 + [static, static, 0.0])
    assert_allclose(cases.stroke, cases.fraction * gear.shock.max_stroke)
    assert cases.applied_at.tolist() == ["axle"] * 8 + ["ground", "ground", "axle"]
    assert cases.attitude_deg[9] == 2.0


def test_another_code_brings_its_own_strokes(gear):
    strokes = [(0.4,), (0.1, 0.9, 0.5), (), (), (), ()]
    cases = leg_cases(gear, {**TABLE, "strokes": strokes}, static_load=5168.0)
    assert cases.row.tolist() == [0, 1, 1, 1, 3, 4, 5]
    assert_allclose(cases.fraction[:4], [0.4, 0.1, 0.9, 0.5])
    assert cases.fraction[6] == 0
    # what is given by hand stands for the column
    cases = leg_cases(gear, {**TABLE, "strokes": strokes}, static_load=5168.0, fractions=(0.2, 1.0))
    assert_allclose(cases.fraction[:4], [0.2, 1.0, 0.2, 1.0])
    bare = {name: column for name, column in TABLE.items() if name != "strokes"}
    assert_allclose(leg_cases(gear, bare, static_load=5168.0, fractions=(0.2, 1.0)).fraction, cases.fraction)


def test_a_table_of_the_code_is_judged_where_its_rows_say(gear):
    table = ground_cases(tourer(), Landing(load_factor=3.0))
    cases = leg_cases(gear, table, static_load=5168.0)
    main = table["leg"] != "nose"
    strokes = table["strokes"].to_numpy()
    count = np.array([max(len(one), 1) for one in strokes])
    assert cases.row.tolist() == np.repeat(np.arange(len(table))[main], count[main]).tolist()
    at = {row: cases.fraction[cases.row == row].tolist() for row in set(cases.row.tolist())}
    for row, found in at.items():
        if table["shock"][row] == "landing":
            assert found == list(strokes[row])


def test_a_symmetric_airplane_loads_both_legs_alike(gear):
    cases = leg_cases(gear, TABLE, static_load=5168.0)
    assert_allclose(cases.force[:4], cases.force[4:8])
    loads = cases.strut_loads(gear)
    assert_allclose(loads.force[:4], loads.force[4:8])
    # load on the port wheel toward port is outboard: seen on the starboard leg it is to starboard
    assert_allclose(cases.force[8], [0.0, 6e3, 8e3])


def test_couples_are_mirrored_like_turns():
    table = {**TABLE, "Mx": np.full(6, 1.0), "My": np.full(6, 2.0), "Mz": np.full(6, 3.0)}
    cases = leg_cases(GEARS["plane"], table, static_load=5168.0)
    assert_allclose(cases.moment[0], [1.0, 2.0, 3.0])
    assert_allclose(cases.moment[4], [-1.0, 2.0, -3.0])
    # the mirror of force and lever: M = r x F
    r, F = np.array([0.3, 0.2, -0.5]), np.array([1.0, 2.0, 3.0])
    flip = np.array([1.0, -1.0, 1.0])
    assert_allclose(np.cross(r * flip, F * flip), np.cross(r, F) * -flip)


def test_static_load_may_differ_by_row(gear):
    load = np.array([4e3, 4e3, np.pi, 4.5e3, 5e3, 4e3])
    cases = leg_cases(gear, TABLE, static_load=load)
    assert_allclose(cases.tire_load[[0, 8, 9]], [4e3, 4.5e3, 5e3])
    assert_allclose(cases.stroke[8:10], gear.static(np.array([4.5e3, 5e3]) / g), rtol=1e-12)


def test_a_table_without_main_legs_gives_no_cases(gear):
    table = {name: column[2:3] for name, column in TABLE.items()}
    cases = leg_cases(gear, table, static_load=5e3)
    assert cases.force.shape == cases.moment.shape == (0, 3)


@pytest.mark.parametrize(
    ("strokes", "message"),
    [
        ([(25, 100), (0.5,), (), (), (), ()], r"strokes of row 0.*percent"),
        ([(), (0.5,), (), (), (), ()], r"strokes of row 0.*none.*landing"),
        ([(0.5,), (0.5,), (), (0.6,), (), ()], r"strokes of row 3.*left empty.*static"),
        ([(0.5,), (0.5,), (), (), (), (0.1,)], r"strokes of row 5.*left empty.*extended"),
        ([0.5] * 6, r"strokes of row 0.*shape"),
        ([(0.5,)], "strokes.*for each of 6 rows"),
        (None, "strokes: got None.*sequence"),
    ],
)
def test_bad_strokes_are_refused(strokes, message):
    with pytest.raises(ValueError, match=message):
        leg_cases(GEARS["plane"], {**TABLE, "strokes": strokes}, static_load=5e3)


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"leg": np.array(["left"] * 6)}, "leg.*left"),
        ({"shock": np.array(["half"] * 6)}, "shock.*half"),
    ],
)
def test_unknown_words_are_refused(changes, message):
    with pytest.raises(ValueError, match=message):
        leg_cases(GEARS["plane"], {**TABLE, **changes}, static_load=5e3)


@pytest.mark.parametrize(("fractions", "message"), [((25, 100), "percent"), ((), "one at least")])
def test_bad_fractions_are_refused(fractions, message):
    with pytest.raises(ValueError, match=rf"fractions.*{message}"):
        leg_cases(GEARS["plane"], TABLE, static_load=5e3, fractions=fractions)


ROW = {
    "leg": ["starboard"],
    "Fx": [0.0],
    "Fy": [0.0],
    "Fz": [1e4],
    "applied_at": ["ground"],
    "shock": ["static"],
    "attitude_deg": [0.0],
    "strokes": [()],
}


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"Fx": [float("nan")]}, "Fx.*finite"),
        ({"Mz": [float("nan")]}, "Mz.*finite"),
        ({"Fy": ["1,5"]}, "Fy.*numbers"),
        ({"attitude_deg": [float("nan")]}, "attitude_deg.*finite"),
    ],
)
def test_bad_numbers_in_a_table_are_refused(changes, message):
    with pytest.raises(ValueError, match=message):
        leg_cases(trailing_gear(), ROW | changes, static_load=5e3)


def test_a_table_that_does_not_fit_is_refused():
    without = {name: column for name, column in ROW.items() if name != "Fz"}
    with pytest.raises(ValueError, match="missing columns: got Fz"):
        leg_cases(trailing_gear(), without, static_load=5e3)
    with pytest.raises(ValueError, match=r"static_load.*one for each of 1 rows"):
        leg_cases(trailing_gear(), ROW, static_load=[5e3, 5e3, 5e3])
