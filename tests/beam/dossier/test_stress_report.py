"""The stress report stands alone, and a checker with a calculator reaches its margins from the printed digits."""

import json
import re
import shutil
import subprocess
from dataclasses import replace
from html import escape, unescape
from html.parser import HTMLParser

import numpy as np
import pytest
import tarn
import tarn_joints

import beam
from beam.dossier import Design, lowest, plan_static_test, report, stress_report, worked_margin
from beam.dossier.plots import gear_bodies
from beam.dossier.worked_margin import wheel_steps
from beam.joints import assembly_margins, free_body, joint_load_table
from beam.joints.assembly import load_factors
from beam.loads import Landing, ground_cases, static_reactions
from beam.sizing import Problem, Sizing
from beam.strength import margins
from beam.strut import Support
from beam.strut_cases import design_cases
from beam.units import shown

CASES = ground_cases(tarn.AIRPLANE, Landing(load_factor=2.96))
LOADING = design_cases(tarn.GEAR, CASES, tarn.MOLD_LINE, static=static_reactions(tarn.AIRPLANE))
STRUT = tarn.FIRST_STRUT
PROBLEM = Problem(
    lattice=tarn.LATTICE, loads=LOADING.loads, requirement=tarn.REQUIREMENT, cases=LOADING.labels
)
CHROMIUM = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)


@pytest.fixture(scope="module")
def table():
    at = [0.0, float(LOADING.loads.at[1]), 0.45]
    return margins(
        STRUT, LOADING.loads, tarn.REQUIREMENT, cases=LOADING.labels, stations=at, whole_strut=False
    )


def numbers(text):
    """Numbers of every step of a worked margin by their names, matrices row by row."""
    out = {}
    for line in text.splitlines():
        name, _, values = line.strip().partition(" = ")
        try:
            row = [float(one) for one in values.split("  ")]
        except ValueError:
            continue
        if row:
            out.setdefault(name, []).append(row)
    return {name: np.squeeze(rows) for name, rows in out.items()}


def near(found, printed):
    """Whether a result is a printed one to its five digits, noise of the largest apart."""
    np.testing.assert_allclose(found, printed, rtol=2e-4, atol=2e-4 * np.abs(printed).max(initial=0.0))


@pytest.mark.parametrize("mode", ["tsai_wu", "max_strain"])
def test_a_checker_reaches_the_margin_from_the_printed_digits(mode):
    # hot and wet: in the cold the cure alone takes all of the plain strengths
    required = replace(tarn.REQUIREMENT, services=tarn.REQUIREMENT.services[1:])
    given = {"cases": LOADING.labels, "stations": [float(LOADING.loads.at[1])], "whole_strut": False}
    some = margins(STRUT, LOADING.loads, required, **given)
    some = some[some["ratio"] > 1.0]
    row = lowest(some, None, by="mode", decides=None).set_index("mode", drop=False).loc[mode].to_dict()
    first = wheel_steps(tarn.GEAR, tarn.MOLD_LINE, CASES, LOADING, row["case"])
    worked = worked_margin(STRUT, LOADING.loads, required, row, cases=LOADING.labels, first=first)
    assert worked.margin == pytest.approx(row["margin"], rel=1e-9)
    n = numbers(worked.text())
    # moments about the hinge give the shock's force, its sum with the pivot's the wheel force; level case, no couple
    W, A, P, B, h, u = (n[name] for name in n if name[:2] in ("W,", "A,", "P,", "B,", "h,", "u,"))
    M = n["M, couple on the wheel in airplane axes [N m]"]
    assert not M.any()  # the ground puts no couple on the wheel in this condition, and W acts where it says
    assert "sums over the loads outboard" in worked.text()
    S = -(M + np.cross(A - P, W)) @ h / (np.cross(B - P, u) @ h)
    assert pytest.approx(n["S, shock force [N]"], rel=3e-4) == S
    frame = n["frame: rows e1, e2, e3 in airplane axes [-]"]
    for name, at in (("P", LOADING.loads.at[0]), ("B", LOADING.loads.at[1])):
        near(
            frame @ n[f"force on the strut at {name}, airplane axes [N]"],
            n[f"station {at:.5g} m: F1, F2, F3 [N]"],
        )
    near(n["force on the strut at P, airplane axes [N]"] + n["force on the strut at B, airplane axes [N]"], W)
    # section forces: the sums over the loads outboard
    arm = np.atleast_1d(n["a [m]"])
    force = np.array([n[f"station {at:.5g} m: F1, F2, F3 [N]"] for at in LOADING.loads.at])
    moment = np.array([n[f"station {at:.5g} m: M1, M2, M3 about the axis [N m]"] for at in LOADING.loads.at])
    out = arm >= -1e-9
    F, M = force[out].sum(axis=0), moment[out].sum(axis=0)
    M = M + np.array([0.0, -(arm[out] * force[out, 2]).sum(), (arm[out] * force[out, 1]).sum()])
    section = n["N, V2, V3, T, M2, M3 [N, N m]"]
    near(np.concatenate([F, M]), section)
    # wall loads, deformation, strain, stress
    running = n["Nx, Ny, Nxy, Mx, My, Mxy [N/m, N]"]
    added = n.get("added by taper, bands, ribs and ends [N/m, N]", np.zeros(6))
    near(n["C [1/m, 1/m2, -, 1/m]"] @ section + added, running)
    deformation = n["inverse of ABD [m/N, 1/N, 1/(N m)]"] @ running
    near(deformation, n["deformation [-, 1/m]"])
    if "share [-]" in n:  # in or beside a thick corner
        assert 0 < n["share [-]"] < 1.001
        near(n["P of strain [m/N, 1/N]"] @ running, n["e1, e2, g12 of load [-]"])
        near(n["P of stress [1/m, 1/m2]"] @ running, n["s1, s2, t12 of load [Pa]"])
        rest = n["e1, e2, g12 of cure and moisture, given [-]"]
    else:
        (c, s), z = n["c, s"], n["z [m]"]
        ex, ey, gxy = n["deformation [-, 1/m]"][:3] + z * n["deformation [-, 1/m]"][3:]
        strain = np.array([ex * c * c + ey * s * s + gxy * s * c, ex * s * s + ey * c * c - gxy * s * c,
                           2 * (ey - ex) * s * c + gxy * (c * c - s * s)])  # fmt: skip
        near(strain, n["e1, e2, g12 of load [-]"])
        rest = n["e1, e2, g12 of cure and moisture, given by lamination theory [-]"]
    state = n["e1, e2, g12 of load [-]"]
    names, unit = ("e1", "e2", "g12"), "-"
    if "share [-]" in n and any(f"on s{i} [1/Pa]" in n or f"on s{i} s{i} [1/Pa2]" in n for i in (1, 2)):
        state, rest = (n[f"s1, s2, t12 of {what} [Pa]"] for what in ("load", "cure and moisture"))
        names, unit = ("s1", "s2", "t12"), "Pa"
    elif "Q [Pa]" in n:
        state, rest = n["Q [Pa]"] @ state, n["Q [Pa]"] @ rest
        near(state, n["s1, s2, t12 of load [Pa]"])
        names, unit = ("s1", "s2", "t12"), "Pa"
    # the criterion: a R^2 + b R = c
    a = b = 0.0
    level = 1.0
    for i, one in enumerate(names):
        k = n.get(f"on {one} [1/{unit}]", 0.0)
        b, level = b + k * state[i], level - k * rest[i]
        for j, other in enumerate(names):
            k = n.get(f"on {one} {other} [1/{unit}2]", 0.0)
            a += k * state[i] * state[j]
            b += k * (state[i] * rest[j] + state[j] * rest[i])
            level -= k * rest[i] * rest[j]
    # c is 1 less what cure takes: nearly all in a thick corner, so that few of the printed digits remain
    digits = 2e-4 + 5e-5 / n["a, b, c"][2]
    near(np.array([a, b]), n["a, b, c"][:2])
    assert level == pytest.approx(n["a, b, c"][2], rel=digits)
    R = level / b if a == 0.0 else (-b + np.sqrt(b * b + 4 * a * level)) / (2 * a)
    assert pytest.approx(n["R [-]"], rel=digits) == R
    factor = 1.5 * tarn.SPECIAL_FACTOR * tarn.REQUIREMENT.deflection_allowance
    factor *= float(
        re.search(r"x ([\d.]+) of the region", worked.text())[1]
    )  # inside the band of the bracket
    assert factor == pytest.approx(n["factor on load [-]"], rel=1e-4)
    assert R / factor - 1 == pytest.approx(n["MS [-]"], abs=5e-4 + digits * R / factor)
    assert n["MS [-]"] == pytest.approx(row["margin"], abs=1e-4)


def test_tsai_wu_coefficients_are_those_of_the_printed_strengths(table):
    """F66 = 1/S^2 and F11 F22-like products from the printed strengths of the sense of the stress."""
    row = lowest(table, None, by="mode", decides=None).set_index("mode", drop=False).loc["tsai_wu"].to_dict()
    n = numbers(worked_margin(STRUT, LOADING.loads, tarn.REQUIREMENT, row, cases=LOADING.labels).text())
    assert n["on t12 t12 [1/Pa2]"] == pytest.approx(1 / n["S [Pa]"] ** 2, rel=2e-4)


def test_bad_rows_are_refused(table):
    row = lowest(table, 1).iloc[0].to_dict()
    given = STRUT, LOADING.loads, tarn.REQUIREMENT
    for change, said in (
        ({"case": "nowhere"}, "case: got 'nowhere', must be one of the labels"),
        ({"mode": "buckling"}, "mode: got 'buckling', must be a check of the plies"),
        ({"ply": 999}, "ply: got 999, must be one of"),
    ):
        with pytest.raises(ValueError, match=said):
            worked_margin(*given, row | change, cases=LOADING.labels)


class Reader(HTMLParser):
    """Counts what a browser would fetch, and checks that tags close in order."""

    VOID = ("meta", "br", "hr", "img", "link", "col", "path", "use", "rect", "image", "stop")

    def __init__(self):
        super().__init__()
        self.open, self.fetched, self.tables, self.captions = [], [], 0, 0

    def handle_starttag(self, tag, attrs):
        if tag not in self.VOID:
            self.open.append(tag)
        self.tables += tag == "table"
        self.captions += tag == "caption"
        for name, value in attrs:
            if name in ("src", "href", "xlink:href") and not (value or "").startswith(("#", "data:")):
                self.fetched.append(value)

    def handle_endtag(self, tag):
        if tag not in self.VOID:
            assert self.open.pop() == tag


@pytest.fixture(scope="module")
def written(table, tmp_path_factory):
    folder = tmp_path_factory.mktemp("report")
    design = Design(name="Tarn <b>&", airplane=tarn.AIRPLANE, gear=tarn.GEAR, mold_line=tarn.MOLD_LINE,
                    lattice=tarn.LATTICE, requirement=tarn.REQUIREMENT, equipment=tarn.EQUIPMENT, remarks="invented",
                    ply_book=STRUT.ply_book)  # fmt: skip
    counts = np.array([[20, 14, 4, 2, 0, 0]] * 16)
    sizing = Sizing(
        strut=STRUT, problem=PROBLEM, counts=counts, bound=2.0, margins=table, evaluations=1, passes=1
    )
    test = plan_static_test(STRUT, LOADING.loads, tarn.REQUIREMENT, table, cases=LOADING.labels, overload=1.2,
                            overload_basis="invented", count=1)  # fmt: skip
    envelope = beam.landing_envelope(tarn.AIRPLANE, tarn.GEAR, variants=())
    said = []
    file = report(design, sizing, folder=folder / "new", envelope=envelope, cases=CASES, loading=LOADING,
                  static_test=test, more=[("Own table", table.head(2))], progress=said.append)  # fmt: skip
    return design, file, said


def test_report_is_one_file_that_needs_nothing_else(written):
    design, file, said = written
    text = file.read_text(encoding="utf-8")
    reader = Reader()
    reader.feed(text)
    assert not reader.open
    assert not reader.fetched
    assert reader.captions >= 12
    assert file.stat().st_size < 5e6
    assert [one.name for one in file.parent.iterdir()] == ["report.html"]
    assert said == ["figures", "worked margins"]
    assert design.digest in text
    assert "Tarn &lt;b&gt;&amp;" in text
    assert "<b>&<" not in text


def test_report_holds_every_part(written):
    text = written[1].read_text(encoding="utf-8")
    for part in ("Not released", "Landing", "LIMIT loads", "Free body of link", "Ply book", "Worked margins",
                 "Own table",
                 "Reactions of the supports", "Static test", "Inspection in service", "licensed engineer",
                 "Checks", "Coupons", "23.303"):  # fmt: skip
        assert part in text, part
    assert text.count("<figure>") == 9


def test_long_texts_of_tables_stand_in_the_notes(written):
    text = written[1].read_text(encoding="utf-8")
    cells = re.findall(r"<td[^>]*>([^<]*)</td>", text)
    assert max(map(len, cells)) < 100
    named = {int(one) for one in re.findall(r'href="#n(\d+)"', text)}
    noted = {int(one): said for one, said in re.findall(r'<li id="n(\d+)">([^<]*)</li>', text)}
    assert named == set(noted) == set(range(1, len(noted) + 1))
    assert any("GUIDANCE" in said for said in noted.values())
    assert "<th>" not in text
    assert 'scope="row"' in text  # the table given has an index
    assert ">station [mm]</th>" in text
    assert ">station</th>" not in text.replace("Own table", "", 1).partition("Own table")[0]
    for name, unit in (("E1", "Pa"), ("density", "kg/m3"), ("alpha1", "1/K"), ("nu12", "-")):
        assert re.search(rf'<td class="t">{name}</td>\s*<td>[^<]*</td>\s*<td[^>]*>{unit}</td>', text), name


def test_stations_are_shown_in_the_units_asked(table):
    rows = lowest(table, 3)
    for units, name, size in (("SI", "station [mm]", 1e-3), ("US", "station [in]", 0.0254)):
        far = stress_report._placed(rows, units)[name].astype(float) * size
        np.testing.assert_allclose(far, rows["station"])


def test_free_bodies_of_link_and_strut_are_at_rest():
    """Forces and moments about the origin add up to nothing, whatever the supports, and meet the loads on the strut."""
    held = [Support.motions(0.0, ["u1", "u2", "u3", "r1"]), Support.motions(0.2, ["u2", "u3"])]
    for strut in (STRUT, replace(STRUT, supports=held)):
        for case in (0, 40, len(LOADING.labels) - 1):
            bodies = gear_bodies(tarn.GEAR, strut, LOADING, case)
            assert len(bodies["strut"]) == 2 + len(strut.supports or [1])
            for acting in bodies.values():
                at, force, moment = (np.array(one) for one in zip(*acting.values(), strict=True))
                size = abs(force).max()
                np.testing.assert_allclose(force.sum(axis=0), 0.0, atol=1e-8 * size)
                np.testing.assert_allclose((np.cross(at, force) + moment).sum(axis=0), 0.0, atol=1e-8 * size)
            shock = bodies["link and wheel"]["shock"]
            along = shock[0] - tarn.GEAR.link.shock_on_strut
            np.testing.assert_allclose(np.cross(along, shock[1]), 0.0, atol=1e-8 * size)
            pushes = float(shock[1] @ along / np.linalg.norm(along))
            assert pushes == pytest.approx(LOADING.shock_force[case], abs=1e-6)


@pytest.mark.skipif(CHROMIUM is None, reason="no headless browser: the parser's test is the one that runs")
def test_a_browser_opens_the_report_and_fetches_nothing(written, tmp_path):
    """A copy whose script counts what was asked for, and what the page would scroll sideways, on paper and screen."""
    probe = (
        "<script>window.faults=[];window.addEventListener('error',e=>faults.push('error '+e.message),true);"
        "window.addEventListener('load',()=>{const asked=performance.getEntriesByType('resource').map(r=>r.name);"
        "const root=document.documentElement;"
        "document.title=JSON.stringify({faults,asked,wide:root.scrollWidth-root.clientWidth,"
        "figures:[...document.querySelectorAll('figure svg')].filter(s=>s.getBoundingClientRect().width>200).length,"
        "parsed:document.body.lastElementChild.tagName})})</script>"
    )
    text = written[1].read_text(encoding="utf-8")
    page = tmp_path / "page.html"
    page.write_text(text.replace("<head>", "<head>" + probe, 1), encoding="utf-8")
    command = [
        CHROMIUM,
        "--headless",
        "--no-sandbox",
        "--disable-gpu",
        f"--user-data-dir={tmp_path / 'profile'}",
    ]
    ran = subprocess.run([*command, "--window-size=1280,900", "--dump-dom", page.as_uri()], capture_output=True,
                         encoding="utf-8", timeout=120, check=True)  # fmt: skip
    found = json.loads(unescape(re.search("<title>(.*?)</title>", ran.stdout, re.DOTALL)[1]))
    assert found == {"faults": [], "asked": [], "wide": 0, "figures": 9, "parsed": "OL"}


def test_joints_of_the_design_stand_in_the_report(written, table, tmp_path):
    """The same job with fittings: margins, loads, masses and worked margins of the joints beside those of the plies."""
    design = replace(written[0], fittings=tarn_joints.FITTINGS)
    sizing = Sizing(strut=STRUT, problem=PROBLEM, counts=np.array([[20, 14, 4, 2, 0, 0]] * 16), bound=2.0,
                    margins=table, evaluations=1, passes=1)  # fmt: skip
    envelope = beam.landing_envelope(tarn.AIRPLANE, tarn.GEAR, variants=())
    given = {"envelope": envelope, "cases": CASES, "loading": LOADING}
    text = report(design, sizing, folder=tmp_path, units="US", **given).read_text(encoding="utf-8")
    rows = assembly_margins(design.fittings, STRUT, LOADING.loads, tarn.REQUIREMENT, cases=LOADING.labels)
    low = rows.loc[rows["decides"], "margin"].min()
    assert f"of the joints {low:+.4f}" in text
    for part in ("Lowest deciding margin of each part of a joint", "Loads of the fittings at limit and ultimate",
                 "F1 [lbf]", "Cases of these loads",
                 "Masses of strut and fittings", "Load of &#x27;trunnion socket&#x27;", "Free body of the fitting",
                 "Force of the ground on the wheel", "[psi]"):  # fmt: skip
        assert part in text, part
    kinds = ("pivot lug, first: lug", "pivot pin, first lug: pin", "pivot bushing: bushing", "trunnion socket: bond",
             "trunnion socket, bond gone: bolt", "saddle, bond: bond", "saddle, clamp: clamp")  # fmt: skip
    for kind in kinds:
        assert re.search(rf"<h3>[^<]*{kind}[^<]*: MS [+-]", text), kind
    assert "Free body of the fitting" not in written[1].read_text(encoding="utf-8")
    deciding = rows[rows["decides"]].reset_index()
    for (
        one
    ) in tarn_joints.FITTINGS:  # one picture for each fitting, of its lowest row, with the wrench of its cut
        own = deciding[np.isclose(deciding["station"].astype(float), one.middle)]
        row = own.loc[own["margin"].idxmin()]
        caption = f"Free body of {one.name} at {row['level']} load in the case of its lowest margin, "
        caption += f"{row['margin']:+.4f}"
        (figure,) = (part for part in text.split("<figure>")[1:] if caption in part.partition("</figure>")[0])
        assert f"{row['case']}" in figure
        assert f"{row['level'].upper()} load = " in figure
        body = free_body(STRUT, LOADING.loads, one)
        factor = load_factors(tarn.REQUIREMENT, LOADING.loads)[row["level"]]
        i = LOADING.labels.tolist().index(row["case"])
        tube = next(k for k, name in enumerate(body.names) if name.startswith("tube"))
        assert f"F ({shown(factor[i] * body.wrench[i, tube, 0], 'force', 'US'):+.0f}," in figure
    loads = joint_load_table(
        design.fittings, STRUT, LOADING.loads, tarn.REQUIREMENT, cases=LOADING.labels, units="US"
    )
    printed = text.partition("Loads of the fittings at limit")[2].partition("</table>")[0]
    assert printed.count("<tr") == 1 + 2 * len(loads.groupby(level=[0, 1, 2], observed=True))
    most = loads.loc[("trunnion", "tube outboard", "ultimate")]["M3 [lbf in]"]
    for value in (most.max(), most.min()):
        (number,) = re.findall(rf"{re.escape(f'{value:+.4g}')} \((c\d+)\)</td>\s*</tr>", printed)[:1]
        case = loads[loads["M3 [lbf in]"] == value]["case"].iloc[0]
        cases = text.partition("Cases of these loads")[2].partition("</table>")[0]
        assert re.search(rf">{number}</td>\s*<td[^>]*>{re.escape(escape(case))}<", cases)


def test_folder_that_cannot_be_written_is_named(written, table, tmp_path):
    (tmp_path / "file").write_text("x")
    counts = np.array([[20, 14, 4, 2, 0, 0]] * 16)
    sizing = Sizing(
        strut=STRUT, problem=PROBLEM, counts=counts, bound=2.0, margins=table, evaluations=1, passes=1
    )
    with pytest.raises(OSError, match="file"):
        report(written[0], sizing, folder=tmp_path / "file" / "a")
