"""Every book of a lattice is symmetric, balanced, nested, and weighs what the lattice says."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_strut import LENGTH, MOLD_LINE, TAPE, WALLS, lattice

from beam.sizing import PlyKind
from beam.sizing.lattice import bay_masses, wall_thickness
from beam.strut import Strut

LATTICE = lattice(3, most=(4, 3, 3))


@st.composite
def books(draw):
    """Counts of three bays, never growing toward the tip."""
    root = [draw(st.integers(k.least, k.most)) for k in LATTICE.kinds]
    rows = [root]
    for _ in range(2):
        rows.append([draw(st.integers(k.least, n)) for k, n in zip(LATTICE.kinds, rows[-1], strict=True)])
    return np.array(rows)


@settings(max_examples=40, deadline=None)
@given(books())
def test_every_book_is_symmetric_balanced_and_nested(counts):
    book = LATTICE.book(counts)
    for wall in WALLS:
        inboard = None
        for bay in range(3):
            laminate = book.laminate(wall, float(LATTICE.stations[bay]))
            assert laminate.is_symmetric
            assert laminate.is_balanced
            numbers = set(book.numbers(wall, float(LATTICE.stations[bay])).tolist())
            assert inboard is None or numbers <= inboard
            inboard = numbers
            own = wall_thickness(LATTICE, counts[bay])[WALLS.index(wall)]
            assert laminate.thickness == pytest.approx(own, rel=1e-12)


@settings(max_examples=25, deadline=None)
@given(books())
def test_mass_of_the_bays_is_the_mass_of_the_strut(counts):
    """Second way: the strut weighs its ply book section by section."""
    bays = sum(float(bay_masses(LATTICE, n[None])[bay, 0]) for bay, n in enumerate(counts))
    assert bays == pytest.approx(Strut(MOLD_LINE, LATTICE.book(counts)).mass, rel=1e-12)


def test_group_keeps_its_place_in_the_book():
    full, few = LATTICE.book([[4, 3, 3]] * 3), LATTICE.book([[2, 2, 1]] * 3)
    order = [(p.lamina.name, p.angle_deg) for p in full.plies[: len(full.plies) // 2]]
    # Depths: wraps -1, 2, 5; hoops -0.5, 3.5, 7.5; spanwise 0, 1, 2, 3; at the tie the kind listed first.
    assert [name[5:] + f"{angle:+.0f}" for name, angle in order] == [
        "cloth+45", "cloth-45", "cloth+90", "tape+0", "tape+0", "tape+0", "cloth+45", "cloth-45", "tape+0",
        "cloth+90", "cloth+45", "cloth-45", "cloth+90",
    ]  # fmt: skip
    short = [(p.lamina.name, p.angle_deg) for p in few.plies[: len(few.plies) // 2]]
    assert short == [order[i] for i in (0, 1, 2, 3, 4, 6, 7)]


def test_least_share_holds_in_every_wall():
    hoop = replace(LATTICE.kinds[2], least_share=0.15)
    some = replace(LATTICE, kinds=(*LATTICE.kinds[:2], hoop))
    assert 0 < len(some.candidates) < len(LATTICE.candidates)
    for counts in LATTICE.candidates:
        share = min(
            counts[2] * hoop.group_thickness / wall_thickness(LATTICE, counts)[WALLS.index(wall)]
            for wall in WALLS
        )
        assert (share >= 0.15) == (some.candidates == counts).all(axis=1).any()


def test_room_at_a_boundary_is_the_shorter_bay_over_the_drop_length():
    uneven = replace(LATTICE, stations=[0.0, 0.1, 0.3, LENGTH], drop_length=20.0)
    np.testing.assert_allclose(uneven.most_dropped, [0.1 / 20, 0.2 / 20])


def test_too_thick_for_the_corner_is_infinitely_heavy():
    thick = np.array([[40, 20, 20]])
    assert np.isinf(bay_masses(LATTICE, thick)).all()


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"stations": [0.0, 250.0, 500.0]}, "in mm"),
        ({"stations": [0.0, 0.3, 0.2, LENGTH]}, "rising"),
        ({"kinds": (LATTICE.kinds[0],)}, "bare"),
        ({"kinds": (*LATTICE.kinds, LATTICE.kinds[0])}, "distinct"),
        ({"kinds": (*LATTICE.kinds[:2], replace(LATTICE.kinds[2], walls=("lid",)))}, "lid"),
        (
            {"kinds": (LATTICE.kinds[0], LATTICE.kinds[1], replace(LATTICE.kinds[2], angles_deg=(30.0,)))},
            "balanced",
        ),
        ({"drop_length": -1.0}, "drop_length"),
        ({"most_ending": 0}, "most_ending"),
    ],
)
def test_bad_lattice(change, words):
    with pytest.raises(ValueError, match=words):
        replace(LATTICE, **change)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"angles_deg": ()}, "angles_deg .* at least 1"),
        ({"least": 3, "most": 2}, "least <= most"),
        ({"pitch": 0.0}, "pitch"),
        ({"least_share": 10.0}, "percent"),
    ],
)
def test_bad_kind(change, words):
    good = {
        "name": "x",
        "lamina": TAPE,
        "angles_deg": (0.0,),
        "walls": WALLS,
        "least": 1,
        "most": 2,
        "depth": 0.0,
        "pitch": 1.0,
    }
    with pytest.raises(ValueError, match=words):
        PlyKind(**(good | change))


def test_growing_counts_are_no_book():
    with pytest.raises(ValueError, match="never growing"):
        LATTICE.book([[1, 1, 1], [2, 1, 1], [1, 1, 1]])


def test_shares_that_nothing_meets():
    with pytest.raises(ValueError, match=r"least share 0\.9 of hoop"):
        _ = replace(
            LATTICE, kinds=(*LATTICE.kinds[:2], replace(LATTICE.kinds[2], least_share=0.9))
        ).candidates
