"""Why a book is as it is, against books judged one by one, and what gives a book where there is none."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from small_strut import CAPS, CASES, LENGTH, LOADS, REQUIREMENT, STRAIGHT, lattice
from small_strut import TAPE as STRIP
from straight_tube import TUBE

from beam.sizing import Contiguity, InfeasibleSizing, LeastShare, PlyKind, Problem, size, what_if
from beam.sizing.problem import RADIUS, broken_rule, with_kind, with_lattice
from beam.sizing.what_if import EXACT, Knob, apart, knobs, smallest_change
from beam.sizing.why import bay_table
from beam.strut import Support

TAPE = TUBE.lattice.kinds[0]
PROBLEM = Problem(
    lattice=replace(lattice(2, most=(3, 2, 1)), mold_line=STRAIGHT),
    loads=LOADS.times(0.5),
    requirement=replace(REQUIREMENT, services=REQUIREMENT.services[:1], corner_opening=False),
    cases=CASES,
)


@pytest.fixture(scope="module")
def sized():
    return size(PROBLEM)


def least(problem, counts, stations=None):
    table = problem.margins(problem.strut(counts), stations=stations)
    return table.loc[table["decides"], "margin"].min()


def failure(problem):
    with pytest.raises(InfeasibleSizing) as caught:
        size(problem)
    return caught.value


def test_every_lighter_neighbor_is_refused_by_what_is_said(sized):
    """Each is judged once more as a whole book, and each rule looked up in the lattice."""
    table, kinds = sized.why(), PROBLEM.lattice.kinds
    assert table.index.tolist() == [0, 1, 2]
    refused = []
    for bay in (1, 2):
        words = table.loc[bay, "neighbors"].split("; ")
        assert [one.partition(" 1 less: ")[0] for one in words] == [kind.name for kind in kinds]
        for i, one in enumerate(words):
            changed, said = sized.counts.copy(), one.partition(" 1 less: ")[2]
            changed[bay - 1 :, i] = np.minimum(changed[bay - 1 :, i], sized.counts[bay - 1, i] - 1)
            if said.startswith("at least "):
                assert changed.min() < kinds[i].least
                refused.append("count")
            else:
                assert broken_rule(PROBLEM.lattice, changed) is None
                margin = least(PROBLEM, changed)
                assert margin <= float(said.partition(",")[0]) + 5e-4
                assert margin < 0
                refused.append("margin")
        assert set(table.loc[bay, "binding"].split("; ")) == set(refused[-len(kinds) :])
    assert set(refused) == {"count", "margin"}


def test_the_governing_row_of_a_bay_is_the_lowest_of_its_stations(sized):
    table = sized.why()
    for bay in (1, 2):
        row, start, end = table.loc[bay], *PROBLEM.lattice.stations[bay - 1 : bay + 1]
        inside = np.linspace(start, end, 5)[: 5 if bay == 2 else 4]
        assert row["margin"] <= least(PROBLEM, sized.counts, inside[1:-1]) + 1e-12
        key = tuple(row[name] for name in ("case", "station", "wall", "ply", "mode"))
        assert sized.margins.loc[key, "margin"] == row["margin"]
        assert start <= row["station"] <= end
    assert table.loc[0, "mode"] == "column"


@pytest.mark.parametrize(
    ("counts", "rule"),
    [
        ([[2, 1, 1], [1, 1, 1]], None),
        ([[4, 1, 1], [1, 1, 1]], "count"),
        ([[1, 1, 1], [1, 0, 1]], "count"),
        ([[1, 1, 1], [2, 1, 1]], "growth toward the tip"),
        ([[3, 1, 1], [1, 1, 1]], "drop rule"),
        ([[3, 1, 1], [3, 1, 1]], "least share"),
    ],
)
def test_the_rule_that_a_book_breaks(counts, rule):
    grid = with_kind(
        replace(PROBLEM, lattice=lattice(2, most=(3, 2, 1), most_ending=1)), 1, {"least_share": 0.35}
    )
    broken = broken_rule(grid.lattice, np.array(counts))
    assert (broken and broken.rule) == rule


def test_thick_walls_break_the_corner_radius_and_long_drops_the_drop_rule():
    thin = with_lattice(PROBLEM, {"mold_line": replace(STRAIGHT, corner_radius=[2.5e-3] * 3)})
    broken = broken_rule(thin.lattice, np.array([[3, 2, 1], [1, 1, 1]]))
    assert (broken.rule, broken.where) == (RADIUS, "a wall of 4.3 mm in bay 1")
    long = with_lattice(PROBLEM, {"drop_length": 250.0})
    broken = broken_rule(long.lattice, np.array([[3, 1, 1], [1, 1, 1]]))
    assert (broken.rule, broken.where) == ("drop rule", "at 0.25 m at most 1 mm end")


def test_no_book_names_every_failing_bay_and_the_count(monkeypatch):
    """Second way: the book of the most groups everywhere fails in both bays, and one group more helps."""
    grid = replace(TUBE.lattice, stations=[0.0, 0.2, 0.4], kinds=[replace(TAPE, most=3)])
    heavy = replace(TUBE, lattice=grid, loads=TUBE.loads.times(3.0))
    monkeypatch.setattr(what_if, "NEAR", 0.2)
    error = failure(heavy)
    table = error.why()
    assert "the worst of 2 bays" in str(error)
    assert len(str(error)) < 320
    assert sorted(table.index) == [1, 2]
    assert np.diff(table["margin"])[0] >= 0
    assert set(table["binding"]) == {"count"}
    assert table["margin"].min() == pytest.approx(least(heavy, np.full((2, 1), 3)), abs=1e-9)
    assert table.columns.tolist() == size(TUBE).why().columns.tolist()


def holds(problem):
    try:
        size(problem)
    except InfeasibleSizing:
        return False
    return True


@pytest.mark.parametrize("name", ["all loads", "most tape"])
def test_the_smallest_change_holds_and_a_little_less_does_not(name):
    """Sized again at its value, and 10 % or one group short of it."""
    heavy = replace(
        TUBE, loads=TUBE.loads.times(3.0), lattice=replace(TUBE.lattice, kinds=[replace(TAPE, most=4)])
    )
    (knob,) = (one for one in knobs(heavy) if one.name == name)
    found = smallest_change(size, 500.0, 5 * EXACT, knob)
    assert size(knob.build(found.value)).mass == pytest.approx(found.mass, rel=1e-12)
    short = found.value + np.sign(knob.now - knob.limit) * (1.0 if knob.whole else 0.1 * found.value)
    assert short != knob.now
    assert not holds(knob.build(short))


def pretended(problem, progress):
    """A sizing that only light loads, strong tape or seven groups get."""
    kind = problem.lattice.kinds[0]
    enough = (
        problem.loads.force.max() <= 0.37 * TUBE.loads.force.max(),
        kind.lamina.allowables.Xt >= 1.234 * TAPE.lamina.allowables.Xt,
        kind.most >= TAPE.most + 7,
    )
    if not any(enough):
        raise InfeasibleSizing("bay 1: no lay-up; and more")
    return SimpleNamespace(mass=1.5, counts=np.array([[3]]))


def test_the_table_of_changes():
    """The three thresholds to 1 %, in order of the change; every other change says how far it was tried."""
    said = []
    table = InfeasibleSizing("no book", TUBE, pretended).what_if(progress=said.append)
    strong = f"strengths of {TAPE.lamina.name}"
    assert table.index[:3].tolist() == [strong, "most tape", "all loads"]
    assert set(table.index) == {one.name for one in knobs(TUBE)}
    assert 1.234 <= table.loc[strong, "after"] <= 1.234 * 1.011
    assert 0.37 * 0.989 <= table.loc["all loads", "after"] <= 0.37
    assert table.loc["most tape", "after"] == TAPE.most + 7
    assert table["mass"][:3].eq(1.5).all()
    rest = table[3:]
    assert rest[["mass", "after"]].isna().all(axis=None)
    assert table.loc["width and height", "note"] == "does not help up to 3 (no lay-up)"
    assert len(said) == len(table)
    assert said[-1].endswith("about 0 s left")


def test_a_change_that_the_library_refuses_is_no_geometry_error():
    def build(x):
        if x > 1.5:
            raise ValueError("too wide")
        return TUBE

    found = smallest_change(pretended, 9.0, EXACT, Knob("width", "section", 1.0, 5.0, build))
    assert 1.49 < float(found.note.removeprefix("does not help up to ").partition(";")[0]) <= 1.5
    assert "is refused (no lay-up)" in found.note


def test_a_thinnest_lay_up_beyond_the_corner_radius_is_a_row_and_a_radius_is_found():
    tight = with_lattice(TUBE, {"mold_line": replace(TUBE.lattice.mold_line, corner_radius=[0.02, 5e-4])})
    error = failure(tight)
    table = error.why()
    assert table["binding"].tolist() == [RADIUS]
    assert table["margin"].isna().all()
    assert "passes the outside corner radius" in str(error)
    (knob,) = (one for one in knobs(tight) if one.name.startswith("least corner radius"))
    found = smallest_change(size, 500.0, 0.3, knob)
    assert found.value >= found.counts[0, 0] * TAPE.group_thickness >= 2 * TAPE.group_thickness


def test_where_the_corner_radius_binds_the_reason_is_no_geometry_error():
    """Outboard the corners are smaller than the lay-up that is best at the root."""
    line = replace(
        TUBE.lattice.mold_line, width=[0.1, 0.08], height=[0.08, 0.06], corner_radius=[0.02, 0.004]
    )
    grid = replace(TUBE.lattice, mold_line=line, stations=[0.0, 0.2, 0.4], kinds=[replace(TAPE, most=80)])
    problem = replace(TUBE, lattice=grid, loads=TUBE.loads.times(12.0))
    assert "in bay 2" in str(failure(problem))
    assert "the worst of 2 bays" in str(failure(replace(problem, loads=TUBE.loads.times(60.0))))
    full = np.full((2, 1), int(0.004 / TAPE.group_thickness))
    table = bay_table(problem, full, problem.margins(problem.strut(full)), lighter=False)
    assert table.loc[2, "margin"] < 0
    assert table.loc[2, "binding"] == RADIUS
    assert table.loc[2, "neighbors"] == "tape 1 more: a wall of 4.26 mm in bay 2"


def test_a_limit_of_the_whole_strut_is_row_zero(monkeypatch):
    monkeypatch.setattr(what_if, "NEAR", 0.5)
    stiff = replace(TUBE, requirement=replace(TUBE.requirement, deflection_limit=1e-5))
    table = failure(stiff).why(seconds=20.0)
    assert table.loc[0, "mode"] == "deflection"
    assert table.loc[0, "binding"] == "supports"


def test_an_error_without_its_problem_says_so():
    with pytest.raises(ValueError, match="problem, size"):
        InfeasibleSizing("no book").why()


def test_time_runs_out_in_words():
    heavy = replace(TUBE, loads=TUBE.loads.times(30.0))
    table = failure(heavy).what_if(seconds=1e-9)
    assert table["note"].str.contains("out of time after 1e-09 s").all()


def test_widening_finds_what_direct_sizing_finds(sized):
    """Each change by hand; kinds that run all round are not taken apart."""
    table, apart_ = sized.widened(), "spanwise apart on inboard and outboard"
    limited = sized.kinds_at_limit
    assert 0 < len(limited) < 3
    assert table.index[: len(limited) + 1].tolist() == [*(f"most {name}" for name in limited), apart_]
    for name in limited:
        index = [kind.name for kind in PROBLEM.lattice.kinds].index(name)
        for more in (1, 2, 4, 8):
            wide = {"most": PROBLEM.lattice.kinds[index].most + more}
            if name not in (direct := size(with_kind(PROBLEM, index, wide))).kinds_at_limit:
                break
        assert table.loc[f"most {name}", "mass"] == pytest.approx(direct.mass, rel=1e-12)
    kind = PROBLEM.lattice.kinds[0]
    halves = [
        replace(kind, name=side, walls=walls)
        for side, walls in (
            ("in", ["inboard", "inboard-aft", "forward-inboard"]),
            ("out", ["outboard", "aft-outboard", "outboard-forward"]),
        )
    ]
    split = size(with_lattice(PROBLEM, {"kinds": [*halves, *PROBLEM.lattice.kinds[1:]]}))
    assert table.loc[apart_, "mass"] == pytest.approx(split.mass, rel=1e-12)
    assert (table["change_g"] <= 1e-9).all()
    assert table["change_g"].min() < -1
    np.testing.assert_allclose(table["percent"], 100 * (table["mass"] / sized.mass - 1), atol=1e-9)
    joint = [one for one in table.index if one == "these together"]
    assert not joint or table.loc["these together", "mass"] <= table["mass"].min() * (1 + 1e-12)


def test_least_counts_are_lowered_only_where_asked(sized):
    names = set(sized.widened(lower=True, seconds=1e-9).index)
    assert any(name.startswith("least ") for name in names)
    short = sized.widened(seconds=1e-9)
    assert not any(name.startswith("least ") for name in short.index)
    assert short["note"].str.contains("out of time").all()


def test_walls_apart():
    wraps, caps = PROBLEM.lattice.kinds[1], PROBLEM.lattice.kinds[0]
    assert apart(PROBLEM.lattice, wraps) == {}
    parts = apart(PROBLEM.lattice, caps)
    assert sorted(wall for part in parts.values() for wall in part) == sorted(caps.walls)
    assert apart(PROBLEM.lattice, replace(caps, walls=["aft", "forward"])) == {
        "aft": ["aft"],
        "forward": ["forward"],
    }
    assert apart(PROBLEM.lattice, replace(caps, walls=["aft-outboard"])) == {}


def on_supports(scale, rules):
    """A pad in the middle bay alone, shop rules, and each case on supports of its own."""
    pad = PlyKind(name="pad", lamina=STRIP, angles_deg=(0.0,), walls=CAPS, least=0, most=3, depth=0.5, pitch=1.0,
                  start=0.1, end=0.35)  # fmt: skip
    plain = lattice(1, most=(3, 2, 2), most_ending=2)
    grid = replace(
        plain, mold_line=STRAIGHT, stations=[0, 0.1, 0.35, LENGTH], kinds=(*plain.kinds, pad), rules=rules
    )
    bearing = Support.point(0.0, np.eye(3), arm=[0.0, 0.05, 0.0])
    other = Support.point(0.0, [[1, 0, 0], [0, 0, 1]], arm=[0.0, -0.05, 0.0])
    brace = Support.point(0.3, [[-0.5, 0.1, 0.8]], arm=[0.0, 0.02, 0.0], stiffness=2e7)
    lock = Support.point(0.1, [[0.0, 0.0, 1.0]])
    sets = (bearing, other, brace), (bearing, other, lock), ()
    return replace(PROBLEM, lattice=grid, loads=LOADS.times(scale), supports=sets)


def test_every_case_keeps_its_supports_and_a_local_group_its_bay():
    """The margin said of each lighter book is in its own table on all supports; the pad leaves its bay alone."""
    problem = on_supports(0.3, [LeastShare(share=0.12, directions_deg=(90,)), Contiguity(most=3)])
    sized = size(problem)
    assert sized.counts[:, 3].tolist() == [0, 1, 0]
    table, tried = sized.why(), 0
    for bay in (1, 2, 3):
        for one in table.loc[bay, "neighbors"].split("; "):
            name, _, said = one.partition(" 1 less: ")
            if said.startswith("at least"):
                continue
            i = [kind.name for kind in problem.lattice.kinds].index(name)
            changed = sized.counts.copy()
            changed[bay - 1 : bay if name == "pad" else None, i] -= 1
            rows = problem.margins(problem.strut(np.maximum(changed, problem.lattice.limits[0])))
            margin, mode, wall, case = said.split(", ")
            own = rows.xs((case.removeprefix("case "), wall, mode), level=("case", "wall", "mode"))["margin"]
            assert float(margin) == pytest.approx(own.min(), abs=6e-4)
            assert float(margin) < 0
            tried += 1
    assert "pad" in table.loc[2, "neighbors"]
    assert "pad" not in table.loc[1, "neighbors"] + table.loc[3, "neighbors"]
    assert tried >= 2


def test_the_shop_rule_and_the_stretch_that_bind_are_named():
    """The rule is looked up in the laminate of the wall; without it the group would help as much as is said."""
    rule = Contiguity(most=2)
    problem = replace(on_supports(1.2, [rule]), supports=None)
    counts = np.array([[1, 1, 1, 0], [1, 1, 1, 0], [1, 1, 1, 0]])
    assert broken_rule(problem.lattice, counts) is None
    table = bay_table(problem, counts, problem.margins(problem.strut(counts)), lighter=False)
    assert table.loc[1, "binding"] in (str(rule), "stretch")
    assert table.loc[2, "binding"] == str(rule)
    words = dict(one.split(" 1 more: ") for one in table.loc[2, "neighbors"].split("; "))
    assert words["spanwise"].startswith(f"{rule}, in bay 1, else ")
    assert words["pad"].startswith(f"{rule}, in bay 2, else ")
    assert "pad lies from 0.1 to 0.35 m alone, else " in table.loc[1, "neighbors"]
    more = counts + [[0, 0, 0, 0], [0, 0, 0, 1], [0, 0, 0, 0]]
    free = with_lattice(problem, {"rules": []})
    strut = free.strut(more)
    assert not rule.verdict(strut.ply_book.laminate("inboard", 0.2)).holds
    said = float(words["pad"].rpartition("else ")[2])
    inside = free.margins(strut).reset_index()
    inside = inside[
        inside["decides"] & inside["station"].between(0.1, 0.35 - 1e-6) & (inside["wall"] != "whole strut")
    ]
    assert said == pytest.approx(inside["margin"].min(), abs=6e-4)
