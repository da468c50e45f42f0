"""Unfolding of corners: the ratio, the peak through the thickness, signs, and the strut from forces to ratio."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from small_strut import CLOTH, LENGTH, LOADS, MOLD_LINE, REQUIREMENT, TAPE, lattice

from beam.section.ovalization import ovalization_loads
from beam.section.spring_in import spring_in_loads, spring_in_recovery
from beam.strength import corner_unfolding
from beam.strength.corner_unfolding import radial_influence, unfolding_ratio, unfolding_ratios
from beam.strength.margins import margins
from beam.strength.requirement import Service
from beam.strength.section_forces import PLACES
from beam.strut import PlyBook, Strut
from laminate.interlaminar import radial_peak
from laminate.interlaminar.homogenized import corner_moduli, thickness_compliance, thickness_expansion
from materials import Factor, Source

STACK = {"E_hoop": 60e9, "E_radial": 9e9, "G": 4e9, "nu": 0.3}
A, T = 8e-3, 3e-3
INFLUENCE = radial_influence(A, T, STACK)
NONE = np.zeros(2)
STRENGTH = np.array(30e6)
INVENTED = Source("invented for tests")
DATA = {"E3": 9e9, "nu13": 0.35, "nu23": 0.35, "alpha3": 5e-5, "G13": 3e9, "G23": 3e9}


def with_strength(lamina, Zt=30e6, **more):
    return replace(lamina, allowables=replace(lamina.allowables, Zt=Zt), **more)


TAPE_Z, CLOTH_Z = with_strength(TAPE, G13=4.2e9, G23=3e9), with_strength(CLOTH, **DATA)


def strut_of(tape=TAPE_Z, cloth=CLOTH_Z):
    plies = lattice().book([(4, 2, 2), (3, 1, 2)]).plies
    return Strut(
        MOLD_LINE, PlyBook(tuple(replace(p, lamina={TAPE: tape, CLOTH: cloth}[p.lamina]) for p in plies))
    )


STRUT = strut_of()
FORCES = STRUT.span.forces(LOADS, at=[0.02])[None, :, 0]


@pytest.mark.parametrize(
    ("moment", "axial"), [(60.0, 0.0), (-60.0, 0.0), (0.0, 4e4), (0.0, -4e4), (60.0, 4e4), (40.0, -4e4)]
)
def test_linear_load_opens_at_the_strength_over_the_peak(moment, axial):
    """`radial_peak` searches the peak; heights fixed through the thickness may miss it by a little."""
    peak, _ = radial_peak(A, T, moment, axial, **STACK)
    R = unfolding_ratio(INFLUENCE, NONE, np.array([axial, moment]), NONE, STRENGTH)
    if peak > 0:
        assert 30e6 / peak <= R <= 30e6 / peak * (1 + (1e-3 if moment else 3e-3))
    else:
        assert moment < 0
        assert np.isposinf(R)


def test_heights_converge_on_the_peak(monkeypatch):
    peak, _ = radial_peak(A, T, 60.0, 1e4, **STACK)
    exact, found = 30e6 / peak, {}
    for n in (5, 9, 17, 33, 201):
        monkeypatch.setattr(corner_unfolding, "POINTS", n)
        influence = radial_influence(A, T, STACK)
        found[n] = unfolding_ratio(influence, NONE, np.array([1e4, 60.0]), NONE, STRENGTH) / exact - 1
    assert min(found.values()) >= -1e-12
    assert found[5] > 1e-2 > found[17]
    assert found[33] < 1e-3
    assert found[201] < 3e-5


@settings(deadline=None, max_examples=150)
@given(st.tuples(*[st.floats(-3, 3)] * 6), st.floats(0.2, 3))
def test_ratio_is_where_a_march_first_meets_the_strength(parts, strength):
    """Brute force along the load: at no smaller factor does the tension anywhere reach the strength."""
    square, linear, fixed = np.array(parts).reshape(3, 2)
    per = np.array([[0.0, 0.0], [1.0, 0.5], [-0.3, 1.0], [0.2, -0.7]])
    R = float(unfolding_ratio(per, square, linear, fixed, np.array(strength)))

    def tension(factor):
        return (per @ (square * factor**2 + linear * factor + fixed)).max() - strength

    if R == 0.0:
        assert tension(0.0) >= 0.0
        return
    reach = min(R, 50.0)
    factors = np.linspace(0.0, reach, 400)[:-1]
    assert max(tension(one) for one in factors) < 1e-9
    if reach == R:
        assert abs(tension(R)) < 1e-8 * (1 + np.abs(parts).max() * (1 + R * R))


def test_square_law_fixed_part_and_no_load():
    peak, _ = radial_peak(A, T, 60.0, **STACK)
    moment = np.array([0.0, 60.0])
    alone = unfolding_ratio(INFLUENCE, moment, NONE, NONE, STRENGTH)
    assert alone == pytest.approx(np.sqrt(30e6 / peak), rel=1e-3)
    less = unfolding_ratio(INFLUENCE, moment, NONE, moment, STRENGTH)
    assert less == pytest.approx(np.sqrt((30e6 - peak) / peak), rel=1e-3)
    assert unfolding_ratio(INFLUENCE, NONE, NONE, moment, STRENGTH) == np.inf
    assert unfolding_ratio(INFLUENCE, NONE, NONE, moment, 0.99 * peak) == 0.0
    assert unfolding_ratio(INFLUENCE, NONE, NONE, NONE, STRENGTH) == np.inf


def test_array_equals_loop():
    rng = np.random.default_rng(2)
    square, linear, fixed = rng.normal(size=(3, 4, 5, 2)) * [1e4, 50.0]
    strength = rng.uniform(1e7, 3e7, (4, 1))
    whole = unfolding_ratio(INFLUENCE, square, linear, fixed, strength)
    assert whole.shape == (4, 5)
    for i, j in np.ndindex(4, 5):
        assert whole[i, j] == unfolding_ratio(
            INFLUENCE, square[i, j], linear[i, j], fixed[i, j], strength[i, 0]
        )


def tension(section, corner, place, change, loads):
    """Largest radial stress in a corner under loads (n, 6), one step after the other, the peak by `radial_peak`."""
    walls, contour, at = section.laminates, section.contour, [0.0, 0.5, 1.0]
    wall = walls[corner]
    soft = np.stack([thickness_compliance(one) for one in walls])
    per = spring_in_recovery(section.states, np.stack([one.abd for one in walls]), soft, at)[corner, place]
    free = np.stack([one.free_strain(change) for one in walls])
    cure = spring_in_loads(section.states, free, [thickness_expansion(one, change) for one in walls], at)
    hoop = (
        loads @ per.T + cure[corner, place] + ovalization_loads(section.states, loads, at)[:, corner, place]
    )
    inner = contour.length[corner] / (np.pi / 2) - wall.thickness / 2
    # Outer side in tension closes a corner of the skin.
    return radial_peak(inner, wall.thickness, -hoop[:, 1], hoop[:, 0], **corner_moduli(wall)._asdict())[0]


def marched(stress, strength):
    """First factor at which the stress reaches the strength, by marching in ever smaller steps."""
    low, high = 0.0, 60.0
    for _ in range(4):
        R = np.linspace(low, high, 61)
        first = int(np.argmax(stress(R) >= strength))
        assert first > 0
        low, high = R[first - 1], R[first]
    return high


@pytest.mark.parametrize(("case", "corner", "place"), [(0, 0, 0), (1, 1, 2), (2, 3, 1)])
@pytest.mark.parametrize("restrained", [False, True])
def test_strut_step_by_step(case, corner, place, restrained):
    H = np.array([8e4, 0.0, 0.0, -900.0, 2500.0, 1500.0]) * restrained
    found = unfolding_ratios(
        STRUT, 0.02, FORCES, REQUIREMENT.services, places=[0.5 * place], restraint=np.stack([0 * H, H])
    )
    assert found.walls == (1, 3, 5, 7)
    assert found.ratio.shape == found.place.shape == (2, 3, 4)
    section = STRUT.section(0.02)

    def stress(R):
        return tension(section, 2 * corner + 1, place, 233.0 - 353.0, R[:, None] * FORCES[0, case] + H)

    assert found.ratio[1, case, corner] == pytest.approx(marched(stress, 30e6), rel=1e-3)


def test_places_along_the_corner_are_enough():
    """The lowest ratio over the places by default against many; three would miss it by percents."""
    best = unfolding_ratios(STRUT, 0.02, FORCES, REQUIREMENT.services, places=np.linspace(0, 1, 101))
    found, three = (
        unfolding_ratios(STRUT, 0.02, FORCES, REQUIREMENT.services, places=places).ratio
        for places in (PLACES, [0.0, 0.5, 1.0])
    )
    assert_allclose(found, best.ratio, rtol=3e-3)
    finite = np.isfinite(best.ratio)
    assert (three[finite] / best.ratio[finite]).max() > 1.005
    alone = unfolding_ratios(STRUT, 0.02, FORCES, REQUIREMENT.services, places=[best.place[1, 2, 3]]).ratio
    assert alone[1, 2, 3] == best.ratio[1, 2, 3]


def test_cold_opens_and_heat_closes():
    """Cooling from the cure closes free corners; the frame holds them open: tension that no load is needed for."""
    cold, hot = Service(name="cold", temperature=203.0), Service(name="hot", temperature=450.0)
    weak = Factor(name="all but nothing", value=5e-3, on=("Zt",), source=INVENTED)
    found = unfolding_ratios(
        STRUT, 0.02, 1e-6 * FORCES, (replace(cold, factors=(weak,)), replace(hot, factors=(weak,)))
    )
    assert (found.ratio[0] == 0).all()
    assert (found.ratio[1] > 0).all()


def test_loads_of_a_solid_model_hold_spring_in_already():
    section, walls = STRUT.section(0.02), STRUT.section(0.02).laminates
    soft = np.array([thickness_compliance(wall) * (k % 2) for k, wall in enumerate(walls)])
    per_force = spring_in_recovery(section.states, np.stack([wall.abd for wall in walls]), soft, PLACES)
    total = np.zeros((*FORCES.shape[:2], 8, len(PLACES), 6))
    total[..., [1, 4]] = np.einsum("wpki,sci->scwpk", per_force, FORCES)
    services = REQUIREMENT.services
    solid = unfolding_ratios(STRUT, 0.02, FORCES, services, total=total, spring_in=False).ratio
    assert_allclose(solid, unfolding_ratios(STRUT, 0.02, FORCES, services).ratio, rtol=1e-9)
    twice = total + section.wall_loads(FORCES, PLACES)
    assert not np.allclose(
        unfolding_ratios(STRUT, 0.02, FORCES, services, total=twice).ratio, solid, rtol=1e-3
    )


def test_knockdowns_of_the_service_count():
    half = Factor(name="wet", value=0.5, on=("Zt",), source=INVENTED)
    service = replace(REQUIREMENT.services[0], temperature=353.0)
    full, less = unfolding_ratios(
        STRUT, 0.02, FORCES, (service, replace(service, name="wet", factors=(half,)))
    ).ratio
    open_ = np.isfinite(full)
    assert (less[open_] < full[open_]).all()
    twice = unfolding_ratios(STRUT, 0.02, 2 * FORCES, (service,)).ratio[0]
    assert_allclose(twice, full / 2, rtol=1e-9)


def test_weakest_ply_of_a_corner_counts():
    weak = strut_of(cloth=replace(CLOTH_Z, allowables=replace(CLOTH_Z.allowables, Zt=10e6)))
    all_weak = strut_of(
        tape=replace(TAPE_Z, allowables=replace(TAPE_Z.allowables, Zt=10e6)),
        cloth=replace(CLOTH_Z, allowables=replace(CLOTH_Z.allowables, Zt=10e6)),
    )
    found = [
        unfolding_ratios(one, 0.02, FORCES, REQUIREMENT.services).ratio for one in (weak, all_weak, STRUT)
    ]
    assert_allclose(found[0], found[1], rtol=1e-12)
    assert (found[0] <= found[2]).all()
    assert (found[0] < found[2]).any()


def test_services_may_have_forces_of_their_own():
    each = np.concatenate([FORCES, 0.5 * FORCES])
    both = unfolding_ratios(STRUT, 0.02, each, REQUIREMENT.services).ratio
    for i in (0, 1):
        assert_allclose(
            both[i], unfolding_ratios(STRUT, 0.02, each[i : i + 1], REQUIREMENT.services).ratio[i], rtol=1e-12
        )


@pytest.mark.parametrize(
    ("cloth", "message"),
    [(with_strength(CLOTH, None, **DATA), "Zt .* 'test cloth': got None"),
     (with_strength(CLOTH, **DATA | {"alpha3": None}), "no alpha3"),
     (with_strength(CLOTH, **DATA | {"G13": None}), "no G13")],
)  # fmt: skip
def test_says_what_a_lamina_lacks(cloth, message):
    with pytest.raises(ValueError, match=message):
        unfolding_ratios(strut_of(cloth=cloth), LENGTH / 2, FORCES, REQUIREMENT.services)


def test_rows_of_the_margin_table():
    """Each corner at each station, in its lowest service, at ultimate load, by its place."""
    at = [0.02, 0.31]
    table = margins(STRUT, LOADS, REQUIREMENT, stations=at).xs("corner opening", level="mode")
    corners = MOLD_LINE.wall_names[1::2]
    forces = STRUT.span.forces(LOADS, at=at)
    for i, station in enumerate(at):
        found = unfolding_ratios(STRUT, station, forces[None, :, i], REQUIREMENT.services)
        assert [MOLD_LINE.wall_names[wall] for wall in found.walls] == list(corners)
        for case, corner in np.ndindex(len(forces), len(corners)):
            row = table.loc[(case, station, corners[corner], 0)]
            lowest = found.ratio[:, case, corner].argmin()
            assert row["ratio"] == found.ratio[lowest, case, corner]
            assert row["service"] == REQUIREMENT.services[lowest].name
            assert row["place"] == found.place[lowest, case, corner]
            assert row["margin"] == pytest.approx(row["ratio"] / (1.5 * 1.2) - 1, rel=1e-12)


def test_switched_off_the_row_is_gone_and_no_strength_is_asked_for():
    bare = strut_of(cloth=with_strength(CLOTH, None))
    off = replace(REQUIREMENT, corner_opening=False)
    assert "corner opening" not in off.modes
    table = margins(bare, LOADS, off, stations=[0.02])
    assert "corner opening" not in table.index.get_level_values("mode")
    with pytest.raises(ValueError, match=r"Zt .* got None, must be given; .*corner_opening=False"):
        margins(bare, LOADS, REQUIREMENT, stations=[0.02])
