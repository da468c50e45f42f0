"""Checks whose safe states are no convex set: every ply counts, in batch judge, search and margin table alike."""

from dataclasses import replace
from typing import ClassVar

import numpy as np
import pytest
from enumeration import Enumeration
from small_strut import LOADS, MOLD_LINE, REQUIREMENT, TAPE, WALLS, lattice

from beam.sizing import Problem, lightest
from beam.sizing.candidate_laminates import stacks_of
from beam.sizing.feasibility import Feasibility
from beam.strength.check import Check
from beam.strength.station_ratios import station_ratios
from beam.strut import Strut
from laminate.failure import Criterion, Hashin, LaRC03, MaxStrain, Puck, TsaiHill


class Star(Criterion):
    """Invented for this test: the roots of the strains over their limits add up to 1, residual strain left out."""

    name: ClassVar[str] = "star"
    takes: ClassVar[str] = "strain"
    modes: ClassVar = ()
    convex: ClassVar[bool] = False

    def _ratio(self, values, allowables, residual=None):
        roots = [np.sqrt(np.abs(values[..., i]) / limit) for i, limit in ((0, 0.009), (1, 0.009), (2, 0.018))]
        with np.errstate(divide="ignore"):
            return 1.0 / np.sum(roots, axis=0) ** 2


CHECKS = {
    "star": (Check(criterion=Star(), level="ultimate"),),
    "tsai_hill": (Check(criterion=TsaiHill(), level="ultimate"),),
    "hashin and larc03 of tape": (
        Check(criterion=Hashin(), level="ultimate", applies_to="tape", in_situ=False),
        Check(criterion=LaRC03(), level="limit", applies_to="tape", name="larc"),
        Check(criterion=TsaiHill(), level="ultimate", applies_to="fabric"),
    ),
}
COLD = replace(REQUIREMENT, services=REQUIREMENT.services[1:], corner_opening=False)


def required(name):
    """Requirement with checks that are not convex."""
    assert not any(check.convex for check in CHECKS[name])
    return replace(COLD, checks=CHECKS[name])


@pytest.mark.parametrize("name", CHECKS)
def test_batch_judge_equals_the_margin_table_for_every_candidate(name):
    """With every ply asked for in the table, and no screening in the judge."""
    lat, requirement = lattice(2, most=(3, 2, 2)), required(name)
    judge = Feasibility(lattice=lat, requirement=requirement)
    factors = {"limit": np.full(3, COLD.limit_factor), "ultimate": np.full(3, COLD.ultimate_factor)}
    at_limit = {check.mode for check in requirement.checks if check.level == "limit"}
    inside = 0
    for candidate, counts in enumerate(lat.candidates):
        station = (0.0, 0.25, 0.41)[candidate % 3]
        strut = Strut(MOLD_LINE, lat.book(np.tile(counts, (2, 1))))
        forces = strut.span.forces(LOADS, at=[station])[:, 0]
        judge.held.clear()
        judge.hold([(strut, LOADS, np.arange(len(LOADS.force)))], np.array([station]))
        which, at = np.array([candidate]), np.array([station])
        got = judge.reserve(which, at, forces[None])[0]
        expected = np.full(got.shape[:-1], np.inf)
        for r in station_ratios(strut, station, forces[None], requirement, every_ply=True):
            if r.mode not in {"buckling", *(check.mode for check in CHECKS[name])}:
                continue
            reserve = r.ratio / (COLD.limit_factor if r.mode in at_limit else COLD.ultimate_factor)
            state = 1 if r.mode == "buckling" else r.service
            expected[:, state, r.wall] = np.minimum(expected[:, state, r.wall], reserve.min(axis=1))
            inside += bool(
                (reserve[:, 1:-1].min(initial=np.inf, axis=1) < reserve[:, [0, -1]].min(axis=1)).any()
            )
        np.testing.assert_allclose(got.min(axis=-1), expected, rtol=1e-9)
        judge.held.clear()
        small = 0.05 * forces[None]
        worst = judge.worst(which, at, small, factors)
        for one in worst:
            if one.piece.mode != "buckling":  # none is screened, however safe it is
                alone = judge.reserve(which, at, small, (one.piece,)).min()
                assert float(one.reserve[0]) == pytest.approx(alone, rel=1e-12)
    assert inside


@pytest.mark.parametrize(
    ("name", "scale"), [("star", 0.2), ("tsai_hill", 0.6), ("hashin and larc03 of tape", 0.7)]
)
def test_equals_full_enumeration(name, scale):
    every = Enumeration(lattice(2, most=(2, 2, 1)), LOADS.times(scale), required(name))
    books = list(every.books())
    feasible = [row for row in books if row[2] >= -1e-9]
    assert 0 < len(feasible) < len(books)
    best, chain, lowest, _ = min(feasible, key=lambda row: row[0])
    got = lightest(every.lattice, every.loads, every.requirement)
    assert got.mass == pytest.approx(best, rel=1e-12)
    assert got.bound == pytest.approx(best, rel=1e-12)
    np.testing.assert_array_equal(got.counts, every.counts(chain))
    deciding = got.margins[got.margins["decides"]]["margin"]
    assert deciding.min() == pytest.approx(lowest, rel=1e-9)


def test_a_ply_inside_governs_and_is_judged():
    """Bent over its thickness, a wall has a tape between two of its kind that is nearer to failure than both."""
    lat = lattice(1, most=(4, 1, 1))
    stack = next(one for one in stacks_of(lat, lat.candidates, COLD.services) if 0 in one.walls)
    row, criterion, allowables = len(stack.counts) - 1, Star(), TAPE.allowables
    lowest = {}
    for convex in (True, False):
        faces = next(one for one in stack.faces(convex=convex, in_situ=False) if one.ply.lamina is TAPE)
        used = faces.place[row] >= 0
        z = np.concatenate([faces.height[row, used], -faces.height[row, used]])
        top = np.abs(z).max()
        strain = np.stack([0.009 * (1 + z / top) / 2, 0 * z, 0.018 * (1 - z / top) / 2], axis=-1)
        lowest[convex] = float(criterion._ratio(strain, allowables).min())
    laminate = lat.book([stack.counts[row]]).laminate(WALLS[0], 0.1)
    edges = np.cumsum([0.0, *laminate.ply_thickness]) - laminate.thickness / 2
    every = [z for i, ply in enumerate(laminate.plies) if ply.lamina is TAPE for z in edges[i : i + 2]]
    top = max(np.abs(every))
    strain = [[0.009 * (1 + z / top) / 2, 0.0, 0.018 * (1 - z / top) / 2] for z in every]
    assert lowest[False] == pytest.approx(criterion._ratio(np.array(strain), allowables).min(), rel=1e-9)
    assert lowest[False] < 0.8 * lowest[True]


GOOD = TAPE.allowables
LACKING = {
    "hashin.*test cloth.*must be 'tape'": ((Check(criterion=Hashin(), level="ultimate"),), {}),
    "max_strain.*test tape.*e1t": (
        (Check(criterion=MaxStrain(), level="ultimate"),),
        {"allowables": replace(GOOD, e1t=None)},
    ),
    "limit matrix.*test tape.*GIIc": (
        (Check(criterion=Puck(fiber=False), level="limit", name="limit matrix", applies_to="tape", in_situ=True,
               in_situ_shear=True),),
        {},
    ),
    "max_strain.*test tape.*allowables": ((Check(criterion=MaxStrain(), level="ultimate"),), {"allowables": None}),
}  # fmt: skip


@pytest.mark.parametrize("words", LACKING)
def test_a_check_that_lacks_data_of_a_lamina_is_refused_before_anything_is_judged(words):
    checks, change = LACKING[words]
    lat = lattice(2)
    lat = replace(lat, kinds=(replace(lat.kinds[0], lamina=replace(TAPE, **change)), *lat.kinds[1:]))
    requirement = replace(COLD, checks=checks)
    with pytest.raises(ValueError, match=f"Requirement: check '{words}"):
        Problem(lattice=lat, loads=LOADS, requirement=requirement)
    with pytest.raises(ValueError, match=f"Requirement: check '{words}"):
        lightest(lat, LOADS, requirement)
    told = [*(replace(one, decides=False) for one in checks), Check(criterion=TsaiHill(), level="ultimate")]
    assert Problem(lattice=lattice(2), loads=LOADS, requirement=replace(requirement, checks=told))


def test_no_case_is_refused():
    none = LOADS.take([])
    with pytest.raises(ValueError, match="Problem: loads: got no case"):
        Problem(lattice=lattice(2), loads=none, requirement=COLD)
    with pytest.raises(ValueError, match="lightest: loads: got no case"):
        lightest(lattice(2), none, COLD)
