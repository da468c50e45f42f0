"""Rules of the shop as rules of the lattice, against `laminate.rules` and full enumeration."""

from dataclasses import replace

import numpy as np
import pytest
from enumeration import Enumeration
from hypothesis import given, settings
from hypothesis import strategies as st
from small_strut import CLOTH, LOADS, REQUIREMENT, TAPE, WALLS, lattice

from beam.sizing import AngleStep, Contiguity, LeastShare, OuterPlies, PlyKind, lightest
from beam.sizing.shop_rules import kept
from laminate import Laminate, Ply

COLD = replace(REQUIREMENT, services=REQUIREMENT.services[1:], corner_opening=False)
EVEN = replace(CLOTH, E2=CLOTH.E1)
"""The cloth alike both ways."""
ANGLES = st.sampled_from([0.0, 45.0, -45.0, 90.0, 30.0, 135.0, 180.0])
RULES = st.one_of(
    st.builds(
        Contiguity, most=st.integers(1, 4), thickness=st.sampled_from([None, 0.3e-3, 0.6e-3, 0.9e-3, 1.2e-3])
    ),
    st.builds(
        LeastShare,
        share=st.sampled_from([0.0, 0.05, 0.125, 0.25]),
        directions_deg=st.sampled_from([(0.0, 45.0, -45.0, 90.0), (90.0,), (0.0, 45.0)]),
    ),
    st.builds(AngleStep, most_deg=st.sampled_from([0.0, 30.0, 45.0, 60.0, 90.0])),
    st.builds(
        OuterPlies,
        directions_deg=st.sampled_from([(45.0, -45.0), (0.0,), (90.0, 45.0)]),
        count=st.integers(1, 4),
    ),
)


@settings(max_examples=150, deadline=None)
@given(
    RULES,
    st.lists(st.tuples(st.sampled_from([TAPE, CLOTH, EVEN]), ANGLES), min_size=1, max_size=6),
    st.integers(0, 2**32 - 1),
)
def test_many_laminates_at_once_are_judged_as_each_alone(rule, plies, seed):
    half = [Ply(lamina, angle) for lamina, angle in plies]
    present = np.random.default_rng(seed).random((8, len(half))) < 0.7
    present[:, -1] = True
    got = kept(rule, half, present)
    for here, one in zip(present, got, strict=True):
        some = [ply for ply, there in zip(half, here, strict=True) if there]
        assert one == bool(rule.verdict(Laminate(tuple(some + some[::-1]))))


def plain(bays=2, **more):
    """The small lattice with a bias of tape, so that rules have something to rule out."""
    base = lattice(bays, most=(3, 2, 1))
    base = replace(
        base, kinds=[replace(k, lamina=EVEN if k.lamina is CLOTH else k.lamina) for k in base.kinds]
    )
    bias = PlyKind(
        name="bias", lamina=TAPE, angles_deg=(45.0, -45.0), walls=base.kinds[0].walls, least=0, most=1, depth=0.5,
        pitch=1.0,
    )  # fmt: skip
    return replace(base, kinds=(*base.kinds[:3], bias), **more)


EACH = (
    Contiguity(most=2),
    LeastShare(share=0.11, directions_deg=(90.0,)),
    AngleStep(most_deg=45.0),
    OuterPlies(directions_deg=(45.0, 90.0), count=4),
)


@pytest.mark.parametrize("rules", [*((one,) for one in EACH), EACH[:2]])
def test_candidates_are_those_whose_every_wall_keeps_the_rules(rules):
    free, ruled = plain(), plain(rules=rules)
    expected = [
        counts.tolist()
        for counts in free.candidates
        if all(
            rule.verdict(free.book(np.tile(counts, (2, 1))).laminate(wall, 0.1))
            for rule in rules
            for wall in WALLS
        )
    ]
    assert ruled.candidates.tolist() == expected
    assert 0 < len(expected) < len(free.candidates)


@pytest.mark.parametrize(
    ("rules", "scale"),
    [((Contiguity(most=2),), 0.45), ((LeastShare(share=0.1, directions_deg=(90.0,)),), 0.4)],
)
def test_equals_full_enumeration_and_is_never_lighter(rules, scale):
    """The rule must rule out the lightest book of the lattice without it, or this proves nothing."""
    loads = LOADS.times(scale)
    every = Enumeration(plain(rules=rules), loads, COLD)
    feasible = [row for row in every.books() if row[2] >= -1e-9]
    best, chain, lowest, _ = min(feasible, key=lambda row: row[0])
    got = lightest(every.lattice, loads, COLD)
    assert got.mass == pytest.approx(best, rel=1e-12)
    assert got.bound == pytest.approx(best, rel=1e-12)
    np.testing.assert_array_equal(got.counts, every.counts(chain))
    assert got.margins["margin"].min() == pytest.approx(lowest, rel=1e-9)
    assert got.mass > lightest(plain(), loads, COLD).mass


def test_contradicting_rules_are_named_and_no_others():
    thick = Contiguity(most=2)
    many = LeastShare(share=0.4, directions_deg=(0.0,))
    few = replace(
        lattice(1, most=(4, 1, 1)), kinds=[replace(k, walls=WALLS) for k in lattice(1, most=(4, 1, 1)).kinds]
    )
    for extra in ((), (AngleStep(most_deg=90.0), OuterPlies(count=1))):
        with pytest.raises(
            ValueError, match="got at most 2 plies of one direction together and at least 40 %"
        ) as caught:
            replace(few, rules=(*extra, thick, many))
        assert "each of them alone can be kept" in str(caught.value)
        assert "deg from ply to ply" not in str(caught.value)
    for one in (thick, many):
        assert 0 < len(replace(few, rules=(one,)).candidates) < len(few.candidates)
