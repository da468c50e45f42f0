"""Worked margins of joints: a checker reaches the load of the joint and its margin from the printed digits alone."""

import re

import numpy as np
import pytest
import tarn
import tarn_joints
from calculator import follow

import beam
from beam.dossier import lowest, worked_joint_margins
from beam.dossier.worked_margin import wheel_steps
from beam.joints import assembly_margins
from beam.strut_cases import design_cases

CASES = beam.ground_cases(tarn.AIRPLANE, beam.Landing(load_factor=2.96))
LOADING = design_cases(tarn.GEAR, CASES, tarn.MOLD_LINE, static=beam.static_reactions(tarn.AIRPLANE))
JUDGED = (tarn_joints.FITTINGS, tarn.FIRST_STRUT, LOADING.loads, tarn.REQUIREMENT)
LINE = re.compile(r"(\w+)(?: = ([^\[]*?))? \[[^\]]*\](?:: .*)? = (\S+)$")

SIDES = {
    "the loads and the reactions of supports": {"load", "reaction"},
    "the loads": {"load"},
    "the reactions of supports": {"reaction"},
    "what the outboard tube puts on the inboard one": {"inboard"},
    "what is outboard": {"outboard"},
}  # of the forces on the fitting, by what the worked margin says that it sums


@pytest.fixture(scope="module")
def rows():
    table = assembly_margins(*JUDGED, cases=LOADING.labels)
    low = lowest(table, None, by="wall")
    return low[np.isfinite(low["ratio"])].to_dict("records")


def numbers(text):
    """Every printed row of numbers by its name, in order."""
    out = {}
    for line in text.splitlines():
        name, _, values = line.strip().rpartition(" = ")
        try:
            row = [float(one) for one in values.split("  ")]
        except ValueError:
            continue
        out.setdefault(name, []).append(row)
    return out


def follow_text(margin, row):
    """Work one margin from its text; the reserve found."""
    body, load, lines = margin.text().split("\n\n")[-3:]
    acts = {name: np.array(value[0]) for name, value in numbers(body).items() if "[N]" in name}
    force, turn = np.zeros(3), np.zeros(3)
    for name, wrench in acts.items():
        at = float(re.search(r"at (\S+) m:", name)[1])
        force += wrench[:3]
        turn += wrench[3:] + np.cross([at, 0, 0], wrench[:3])
    size = max(np.abs(one).max() for one in acts.values())
    assert np.abs(force).max() < 3e-4 * size  # what is printed is in equilibrium
    assert np.abs(turn).max() < 3e-4 * size
    given = numbers(load)
    P, axes = np.array(given["point P [m]"][0]), np.array(given["axes of the joint, rows in strut axes [-]"])
    share = np.array(given.get("share of force and moment [-, m, 1/m]", np.eye(6)))
    sides = SIDES[re.search(r"sum of (.*?), moments", load)[1]]
    F, M = np.zeros(3), np.zeros(3)
    for name, wrench in acts.items():
        if re.search(r", (\w+), about", name)[1] in sides:
            at = float(re.search(r"at (\S+) m:", name)[1])
            F += wrench[:3]
            M += wrench[3:] + np.cross(np.array([at, 0, 0]) - P, wrench[:3])
    sign = -1.0 if "inboard" in sides else 1.0
    own = share @ np.concatenate([axes @ F, axes @ M]) * sign
    printed = np.concatenate([given["F1, F2, F3 [N]"][0], given["M1, M2, M3 [N m]"][0]])
    np.testing.assert_allclose(own[:3], printed[:3], atol=5e-4 * max(np.abs(F).max(), np.abs(M).max()))
    np.testing.assert_allclose(own[3:], printed[3:], atol=5e-4 * max(np.abs(F).max(), np.abs(M).max()))
    found = [LINE.fullmatch(line.strip()) for line in lines.splitlines()[2:]]
    assert all(found), lines
    start = dict(zip(("F1", "F2", "F3", "M1", "M2", "M3"), printed, strict=True))
    ends = follow([(m[1], float(m[3]), m[2] or "") for m in found], start)
    assert ends["MS"] == pytest.approx(row["margin"], rel=2e-4, abs=2e-4)
    return ends


def test_a_checker_reaches_every_governing_margin_of_the_joints(rows):
    assert len(rows) > 30
    margins = worked_joint_margins(*JUDGED, rows, cases=LOADING.labels)
    said = {re.search(r"sum of (.*?), moments", one.text())[1] for one in margins}
    assert said == set(SIDES)
    for row, margin in zip(rows, margins, strict=True):
        assert margin.margin == pytest.approx(row["margin"], rel=1e-9)
        follow_text(margin, row)


def test_the_lines_hold_in_inch_and_pound(rows):
    row = next(one for one in rows if "pivot lug, first: lug" in one["wall"])
    (si,), (us,) = (worked_joint_margins(*JUDGED, [row], cases=LOADING.labels, units=u) for u in ("SI", "US"))
    assert us.margin == si.margin
    text = us.text()
    assert "[psi]" in text
    assert "[in]" in text
    lines = [LINE.fullmatch(one.strip()) for one in text.split("\n\n")[-1].splitlines()[2:]]
    load = numbers(text.split("\n\n")[-2])
    start = dict(zip(("F1", "F2", "F3"), load["F1, F2, F3 [lbf]"][0], strict=True))
    assert follow([(m[1], float(m[3]), m[2] or "") for m in lines], start)["MS"] == pytest.approx(
        row["margin"], rel=2e-4
    )
    newton = numbers(si.text().split("\n\n")[-2])["F1, F2, F3 [N]"][0]
    np.testing.assert_allclose(np.array(list(start.values())) * 4.4482216, newton, rtol=1e-4)


def test_the_way_begins_at_the_wheel(rows):
    (found,) = worked_joint_margins(
        *JUDGED, rows[:1], cases=LOADING.labels,
        first=lambda label: wheel_steps(tarn.GEAR, tarn.MOLD_LINE, CASES, LOADING, label),
    )  # fmt: skip
    assert [step[0] for step in found.steps][:2] == [
        "Force of the ground on the wheel",
        "Equilibrium of link and wheel",
    ]


def test_rows_that_cannot_be_worked_are_named(rows):
    for change, said in (
        ({"case": "none"}, "case"),
        ({"ratio": np.inf}, "no load in this mode"),
        ({"wall": "another: lug"}, "joint of your own"),
    ):
        with pytest.raises(ValueError, match=said):
            worked_joint_margins(*JUDGED, [rows[0] | change], cases=LOADING.labels)
