"""Saddles: pressure in equilibrium, friction, bond against a collocation, pads of the ply book."""

from dataclasses import replace

import numpy as np
import pytest
from calls_joints import BOLT, BOOK, CLAMP, LAMINATE, PASTE, SADDLE, SPAN
from scipy.integrate import solve_bvp
from small_strut import CLOTH, MOLD_LINE, REQUIREMENT

from beam.joints import Clamp, Glue, InstalledBolt, JointFactors, JointLoads, Saddle
from beam.strut import Band, BookPly, PlyBook
from laminate import Laminate
from laminate.constants import inplane_moduli
from materials import metal

PLAIN = replace(REQUIREMENT, deflection_allowance=1.0)
GLUE = Glue(adhesive=PASTE, thickness=0.3e-3, saddle=metal("2024-T3 sheet"))
THICK = Laminate.from_code("[45/-45/0/90]4s", CLOTH)
L, B, H, DEPTH = 60e-3, 50e-3, 40e-3, 70e-3


def saddle(**change):
    return Saddle(**SADDLE | {"factors": JointFactors(), "torsion": "friction"} | change)


def rows(one, force=(0.0, 0.0, 0.0), moment=(0.0, 0.0, 0.0)):
    table = one.margins(JointLoads(force=[force], moment=[moment]), PLAIN).reset_index()
    table["part"] = table["wall"].astype(str).str.partition(": ")[2]
    return table.set_index(["part", "mode", "service"]).sort_index()


def ratio(found, part, mode):
    return float(found.loc[(part, mode), "ratio"].iloc[0])


def test_pressure_carries_force_and_moment():
    loads = JointLoads(force=[[0, 2e3, 5e3]], moment=[[0, 40.0, 30.0]])
    found = saddle().pressure(loads)
    x = np.linspace(-L / 2, L / 2, 200001)
    for faces, width, F, M in ((found.across_e3, B, 5e3, 40.0), (found.across_e2, H, 2e3, 30.0)):
        end, mean = faces[:, 0]
        p = mean + (end - mean) * x / (L / 2)
        assert np.trapezoid(p, x) * width == pytest.approx(F, rel=1e-9)
        assert np.trapezoid(p * x, x) * width == pytest.approx(M, rel=1e-8)


def test_torsion_by_form_is_carried_by_both_faces():
    loads = JointLoads(force=[[0, 0, 0.0]], moment=[[50.0, 0, 0]])
    edge = saddle(torsion="form").pressure(loads).across_e3[0, 0]
    y = np.linspace(0.0, B / 2, 100001)
    assert 2 * L * np.trapezoid(edge * y / (B / 2) * y, y) == pytest.approx(50.0, rel=1e-8)
    assert not saddle().pressure(loads).across_e3.any()
    assert np.isinf(ratio(rows(saddle(torsion="form"), moment=[50.0, 0, 0]), "clamp", "slip"))


def test_slip_at_the_ratio():
    one = saddle()
    found = rows(one, [900.0, 0, 1500.0], [20.0, 0, 0])
    R = ratio(found, "clamp", "slip")
    least = 4 * 0.6 * 0.7 * 6.0 / (0.2 * 6e-3)
    held = 0.15 * (2 * least - R * 1500.0)
    assert R * np.hypot(900.0, 20.0 / (DEPTH / 2)) == pytest.approx(held, rel=1e-9)
    assert ratio(rows(one, [900.0, 0, -1500.0], [20.0, 0, 0]), "clamp", "slip") == pytest.approx(R, rel=1e-12)
    for sign in (1, -1):
        mirrored = rows(one, [sign * 900.0, 0, 1500.0], [-20.0, 0, 0])
        assert ratio(mirrored, "clamp", "slip") == pytest.approx(R, rel=1e-12)
    assert np.isinf(ratio(rows(one, [0, 0, 1500.0]), "clamp", "slip"))


def test_clamp_and_load_press_to_the_strength_together():
    one = saddle()
    most = 4 * 1.3 * 6.0 / (0.2 * 6e-3) / (B * L)
    found = rows(one, [0, 0, 4e3], [0, 30.0, 0])
    added = 4e3 / (B * L) + 6 * 30.0 / (B * L**2)
    assert most + ratio(found, "wall across e3", "pressure") * added == pytest.approx(150e6, rel=1e-9)
    assert np.isinf(ratio(found, "wall across e2", "pressure"))
    pulled = 4e3 + 3 * 30.0 / L
    assert ratio(found, "clamp", "gapping") == pytest.approx(8400.0 / pulled, rel=1e-9)
    tension = 4 * 800e6 * 20.1e-6
    assert ratio(found, "clamp", "bolt tension") == pytest.approx(tension / pulled, rel=1e-9)
    weak = saddle(crush=5e6)
    assert ratio(rows(weak, [0, 0, 4e3]), "wall across e3", "pressure") == 0.0


def test_hollow_walls_bend_under_the_pressure():
    one = saddle(hold=GLUE, strain=0.01)
    found = rows(one, [0, 3e3, 4e3])
    t, EI = 3e-3, 1 / LAMINATE.compliance[4, 4]
    for part, b, h, F in (("wall across e3", B, H, 4e3), ("wall across e2", H, B, 3e3)):
        p = F / (b * L)
        corner = p * b**2 / 12 / (1 + h / b)
        M = max(corner, p * b**2 / 8 - corner)
        expected = 0.01 * EI / (M * t / 2)
        assert ratio(found, part, "wall bending") == pytest.approx(expected, rel=1e-9)
    assert "wall bending" not in rows(saddle(filled=True), [0, 3e3, 4e3]).index.get_level_values("mode")


def bond_shear(n, K, strain, length):
    """Peak shear of a wall bonded to a rigid saddle, by collocation: wall force n at x = 0, none at the far end."""
    curve = PASTE.at(temperature=233.0, moisture=0.0)

    def grow(x, y):  # y: wall force, slip
        tau = curve.G * y[1] / GLUE.thickness
        return np.stack([-tau, -(y[0] / K + strain)])

    x = np.linspace(0, length, 400)
    solved = solve_bvp(
        grow, lambda a, b: np.array([a[0] - n, b[0]]), x, np.zeros((2, 400)), tol=1e-8, max_nodes=20000
    )
    assert solved.success
    return curve, curve.G * solved.y[1] / GLUE.thickness


def test_bond_against_collocation():
    one = saddle(hold=GLUE, sides=False)
    moduli = inplane_moduli(LAMINATE.abd, LAMINATE.thickness, curvature="held")
    E, G = float(moduli.Ex) * 3e-3, float(moduli.Gxy) * 3e-3
    curve, along = bond_shear(5e3 / (2 * B), E, 0.0, L)
    _, around = bond_shear(40.0 / (B * DEPTH), G, 0.0, L)
    heat = 233.0 - 340.0
    free = abs(GLUE.saddle.alpha * heat - float(LAMINATE.free_strain(heat)[..., 0]))
    _, thermal = bond_shear(0.0, E, free, L)
    left = curve.shear_strength - abs(thermal).max()
    assert left > 0
    both = np.hypot(abs(along).max(), abs(around).max())
    found = rows(one, [5e3, 0, 0], [40.0, 0, 0])
    assert found.loc[("bond", "shear", "cold"), "ratio"] == pytest.approx(left / both, rel=1e-5)
    four = rows(saddle(hold=GLUE), [5e3, 0, 0])
    _, wide = bond_shear(5e3 / (2 * (B + H)), E, 0.0, L)
    assert f"heat {abs(thermal).max() / 1e6:.3g} MPa" in four.loc[("bond", "shear", "cold"), "assumption"]
    assert four.loc[("bond", "shear", "cold"), "ratio"] == pytest.approx(left / abs(wide).max(), rel=1e-5)
    twisted = rows(saddle(hold=GLUE), moment=[40.0, 0, 0])
    _, half = bond_shear(40.0 / (2 * B * DEPTH), G, 0.0, L)
    assert twisted.loc[("bond", "shear", "cold"), "ratio"] == pytest.approx(left / abs(half).max(), rel=1e-5)
    assert set(found.loc[("bond", "shear")].index) == {"room", "cold"}


def test_pull_of_a_bond():
    found = rows(saddle(hold=GLUE), [0, -2e3, 4e3])
    assert ratio(found, "bond across e3", "pull") == pytest.approx(0.2 * 20e6 * B * L / 4e3, rel=1e-9)
    assert ratio(found, "bond across e2", "pull") == pytest.approx(0.2 * 20e6 * H * L / 2e3, rel=1e-9)
    bent = rows(saddle(hold=GLUE), moment=[0, 30.0, 20.0])
    assert ratio(bent, "bond across e3", "pull") == pytest.approx(4e6 * B * L**2 / (6 * 30.0), rel=1e-9)
    assert ratio(bent, "bond across e2", "pull") == pytest.approx(4e6 * H * L**2 / (6 * 20.0), rel=1e-9)


def test_bond_of_a_short_saddle():
    short = saddle(hold=GLUE, sides=False, length=4e-3, wall=THICK)
    moduli = inplane_moduli(THICK.abd, THICK.thickness, curvature="held")
    E, G = float(moduli.Ex) * THICK.thickness, float(moduli.Gxy) * THICK.thickness
    curve, along = bond_shear(1e3 / (2 * B), E, 0.0, 4e-3)
    _, around = bond_shear(10.0 / (B * DEPTH), G, 0.0, 4e-3)
    heat = 233.0 - 340.0
    _, thermal = bond_shear(
        0.0, E, abs(GLUE.saddle.alpha * heat - float(THICK.free_strain(heat)[..., 0])), 4e-3
    )
    left = curve.shear_strength - abs(thermal).max()
    found = rows(short, [1e3, 0, 0], [10.0, 0, 0]).loc[("bond", "shear", "cold"), "ratio"]
    assert found == pytest.approx(left / np.hypot(abs(along).max(), abs(around).max()), rel=1e-5)


def test_saddle_on_a_band():
    rest = {"hold": Clamp(**CLAMP), "crush": 150e6, "strain": 0.004, "strength_basis": "invented"}
    pads = [
        BookPly(lamina=CLOTH, angle_deg=a, walls=["inboard", "outboard"], start=0.19, end=0.26)
        for a in (45, -45)
    ]
    book = PlyBook([*BOOK.plies, *pads])
    band = Band(name="bracket", start=0.2, end=0.25)
    one = Saddle.on_band(band, MOLD_LINE, book, **rest)
    profile, flats = MOLD_LINE.at(0.225), MOLD_LINE.flat_widths(0.225)
    assert (one.name, one.station, one.sides) == ("bracket", 0.225, True)
    assert [one.length, one.width, one.height, one.depth] == pytest.approx(
        [0.05, *flats[:2], float(profile.height)]
    )
    assert one.wall == book.laminate("aft", 0.225)  # no pad there: the thinnest of the walls
    two = replace(band, walls=["inboard", "outboard"])
    padded = Saddle.on_band(two, MOLD_LINE, book, **rest)
    assert not padded.sides
    assert len(padded.wall.plies) == len(one.wall.plies) + 2
    flush = PlyBook([*BOOK.plies, *(replace(ply, start=0.2, end=0.25) for ply in pads)])
    assert Saddle.on_band(two, MOLD_LINE, flush, **rest).wall == padded.wall
    short = PlyBook([*BOOK.plies, *(replace(ply, end=0.24) for ply in pads)])
    with pytest.raises(ValueError, match="a pad shorter than the band"):
        Saddle.on_band(two, MOLD_LINE, short, **rest)
    late = PlyBook([*BOOK.plies, *(replace(ply, start=0.21) for ply in pads)])
    with pytest.raises(ValueError, match="ply 5 on wall 'inboard' ends"):
        Saddle.on_band(two, MOLD_LINE, late, **rest)
    Saddle.on_band(replace(band, walls=["inboard", "outboard"]), MOLD_LINE, book, **rest)
    for walls in (["aft"], ["aft", "forward"], ["inboard"]):
        with pytest.raises(ValueError, match="walls of a saddle"):
            Saddle.on_band(replace(band, walls=walls), MOLD_LINE, book, **rest)
    assert SPAN["end"] > 0.26


def test_cases_together_equal_their_loop():
    force, moment = np.array([[1e3, 2e3, 3e3], [-2e3, 0, 1e3]]), np.array([[10.0, 20, 30], [-5, 0, 8]])
    for hold in (Clamp(**CLAMP), GLUE):
        one = saddle(hold=hold)
        together = one.margins(JointLoads(force=force, moment=moment), PLAIN)["margin"]
        for i in range(2):
            alone = one.margins(JointLoads(force=force[i : i + 1], moment=moment[i : i + 1]), PLAIN)["margin"]
            assert together.xs(i, level="case").to_numpy() == pytest.approx(alone.to_numpy(), rel=1e-12)


def test_saddles_and_loads_that_cannot_be():
    for change, named in (({"hold": GLUE, "pull": None}, "pull"), ({"depth": 6e-3}, "depth")):
        with pytest.raises(ValueError, match=named):
            saddle(**change)
    assert saddle(depth=6.1e-3).depth == 6.1e-3
    with pytest.raises(ValueError, match=r"depth.* two walls, 0\.006"):
        saddle(depth=5.9e-3)
    with pytest.raises(ValueError, match="preload"):
        Clamp(**CLAMP | {"bolt": InstalledBolt(**BOLT | {"preload": None})})
    for loads in ({"force": [0, 1e3, 0]}, {"moment": [0, 0, 5.0]}):
        with pytest.raises(ValueError, match="F2"):
            rows(saddle(sides=False), **loads)
    hot = replace(PLAIN, services=[replace(PLAIN.services[0], name="hot", temperature=340.0)])
    with pytest.raises(ValueError, match="Adhesive 'paste'"):
        saddle(hold=GLUE).margins(JointLoads(force=[[1e3, 0, 0]]), hot)
