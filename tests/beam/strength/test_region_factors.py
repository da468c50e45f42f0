"""Factors on the load near bands and ply ends: where they count, on what, and that margins and sizing see the same."""

from dataclasses import replace

import numpy as np
import pytest
from small_strut import CASES, LENGTH, LOADS, MOLD_LINE, REQUIREMENT, lattice

from beam.sizing.feasibility import Feasibility
from beam.strength.check import recommended
from beam.strength.margins import margins
from beam.strength.region_factors import BESIDE_BRICKS, KINDS, RegionFactor, factors_at
from beam.strut import Band, PlyBook, Rib, Strut
from materials import Source

INVENTED = Source("invented for tests")
BRACKET = Band(name="bracket", start=0.22, end=0.28, fitting="rigid")
PIVOT = Band(name="pivot", start=LENGTH - 0.05, end=LENGTH, fitting="rigid")
LATTICE = lattice()
LATTICE = replace(LATTICE, kinds=[
    replace(kind, lamina=replace(kind.lamina, allowables=replace(kind.lamina.allowables, S02=60e6)))
    for kind in LATTICE.kinds
])  # fmt: skip
BARE = Strut(MOLD_LINE, LATTICE.book([[4, 2, 1], [3, 1, 1]]))
STRUT = replace(BARE, bands=[BRACKET, PIVOT], ribs=[Rib(station=0.24)], tip_end="closed")
(DROP,) = (s for s in STRUT.ply_book.drops if 0 < s < LENGTH)
REACH = 0.5 * MOLD_LINE.width.mean()
CHECKED = replace(REQUIREMENT, checks=recommended())


def one(region, **values):
    return RegionFactor(region=region, source=INVENTED, **values)


@pytest.mark.parametrize(
    ("region", "inside", "outside"),
    [
        ("beside a band", [0.22 - REACH + 1e-6, 0.219, 0.281, 0.449], [0.22, 0.25, 0.28, 0.22 - REACH - 1e-6, 0.47]),
        ("rigid fitting", [0.22, 0.25, 0.28, 0.45, 0.455, 0.495], [0.219, 0.281, 0.465, 0.48]),
        ("end fitting", [0.461, 0.47, 0.489], [0.25, 0.449, 0.455, 0.495]),
        ("held end", [0.0, REACH - 1e-6], [REACH + 1e-6, 0.25, LENGTH]),
        ("ply end", [DROP - 0.0099, DROP, DROP + 0.0099], [DROP - 0.0101, DROP + 0.0101, 0.0, LENGTH]),
        ("thin corners", [], [0.0, 0.25, LENGTH]),
    ],
)  # fmt: skip
def test_where_a_region_is(region, inside, outside):
    for stations, value in ((inside, 1.5), (outside, 1.0)):
        found = factors_at(STRUT, [one(region, shear=1.5)], np.array(stations))
        np.testing.assert_array_equal(found[:, KINDS.index("shear")], value)
        np.testing.assert_array_equal(found[:, KINDS.index("fiber")], 1.0)


def test_regions_multiply_and_a_strut_without_bands_has_none():
    factors = [one("rigid fitting", fiber=1.2), one("thin corners", matrix=1.5), one("held end", fiber=1.1)]
    assert STRUT.thick_corners
    both = [*factors, one("rigid fitting", fiber=1.5)]
    np.testing.assert_allclose(factors_at(STRUT, both, np.array([0.25]))[0], [1.8, 1, 1, 1, 1.8])
    assert (factors_at(BARE, BESIDE_BRICKS, np.linspace(0, LENGTH, 50)) == 1.0).all()
    known = [replace(p, lamina=replace(p.lamina, G13=None, G23=None)) for p in STRUT.ply_book.plies]
    thin = replace(STRUT, ply_book=PlyBook(known))
    np.testing.assert_allclose(factors_at(thin, factors, np.array([0.1]))[0], [1, 1, 1.5, 1, 1.5])


def table(**given):
    stations = [0.12, 0.25, 0.35, 0.45, 0.475]
    required = replace(CHECKED, **given)
    return margins(STRUT, LOADS, required, cases=CASES, stations=stations, whole_strut=False)


def test_reserves_are_divided_by_the_factor_of_their_kind():
    """The ratio stays; walls as a whole keep their reserve; other checks of plies take the largest of the three."""
    without = table(region_factors=())
    found = table(region_factors=[one("rigid fitting", fiber=1.3, shear=1.2, matrix=1.1, corner=1.4)])
    share = (without["reserve"] / found["reserve"]).groupby(level=["station", "mode"], observed=True)
    assert share.std().max() < 1e-9
    of = share.mean().unstack("mode")
    expected = {"limit matrix": 1.1, "limit shear": 1.2, "ultimate shear": 1.2, "fiber strain": 1.3, "crush": 1.3,
                "tsai_wu": 1.3, "corner opening": 1.4, "buckling": 1.0, "curved wall buckling": 1.0}  # fmt: skip
    for mode, value in expected.items():
        assert of.loc[[0.25, 0.45], mode].to_numpy() == pytest.approx(value), mode
        assert of.loc[[0.12, 0.35, 0.475], mode].to_numpy() == pytest.approx(1.0), mode
    assert (found["ratio"] == without["ratio"]).all()
    counts = np.isfinite(found["reserve"]) & (found["reserve"] > 0.0)
    some = found[counts]
    assert some["factor"].to_numpy() == pytest.approx((some["ratio"] / some["reserve"]).to_numpy())


def test_rows_print_the_factor_and_where_it_comes_from():
    said = table().groupby(level="station", observed=True)["assumption"].first()
    assert "rigid fitting: load x 1.16 for shear, 1.37 for matrix" in said[0.25]
    assert "estimate: bricks of one strut, the Tarn" in said[0.25]
    assert "beside a band: load x" in said[0.35] or "bricks of one strut" not in said[0.35]
    assert "end fitting: load x" in said[0.475]
    assert "of reserves above" in said[0.475]


def test_a_factor_below_one_is_refused():
    with pytest.raises(ValueError, match=r"fiber.*at least 1|fiber.*>= 1"):
        one("ply end", fiber=0.9)


def test_sizing_sees_the_reserve_of_the_margin_table():
    """The plies of one lay-up at stations in and out of every region, with the loads that bands add held."""
    required = replace(CHECKED, checks=recommended(), corner_opening=False)
    stations = np.array([0.12, 0.25, 0.35, 0.45, 0.475])
    flat = replace(STRUT, ply_book=LATTICE.book([[4, 2, 1]] * 2))
    judge = Feasibility(lattice=LATTICE, requirement=required)
    judge.hold([(flat, LOADS, np.arange(len(CASES)))], stations)
    (number,) = np.flatnonzero((LATTICE.candidates == [4, 2, 1]).all(axis=1))
    forces = np.moveaxis(flat.span.forces(LOADS, at=stations), 0, 1)
    rows = np.full(len(stations), number)
    found = judge.reserve(rows, stations, forces)
    plain = Feasibility(lattice=LATTICE, requirement=replace(required, region_factors=()))
    plain.hold([(flat, LOADS, np.arange(len(CASES)))], stations)
    before = plain.reserve(rows, stations, forces)
    least = [one.min(axis=(1, 2, 3, 4)) for one in (found, before)]
    regions = factors_at(flat, BESIDE_BRICKS, stations)[:, :3]
    assert (least[0] <= least[1]).all()
    assert (least[1] / least[0] >= regions.min(axis=1) - 1e-9).all()
    assert (least[1] / least[0] <= regions.max(axis=1) + 1e-9).all()
    screened = judge.worst(rows, stations, forces, factors_of(required), screen=True)
    every = judge.worst(rows, stations, forces, factors_of(required), screen=False)
    for one_, other in zip(screened, every, strict=True):
        assert np.minimum(one_.reserve, 1.0) == pytest.approx(np.minimum(other.reserve, 1.0))


def factors_of(required):
    return {"limit": np.full(len(CASES), required.limit_factor),
            "ultimate": np.full(len(CASES), required.ultimate_factor)}  # fmt: skip
