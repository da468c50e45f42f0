"""Each criterion against the root of the formula as the book prints it, residual stress included."""

from functools import partial

import numpy as np
import pytest
from failure_book import INDEX, root
from failure_book import hashin as hashin_book
from failure_book import larc03 as larc03_book
from failure_book import puck as puck_book
from failure_book import tsai_wu as tsai_wu_book
from failure_cases import M1, PLIES, limits_of, paths

from laminate.failure import CRITERIA, hashin, larc03, puck, tsai_wu

every = pytest.mark.parametrize("criterion", CRITERIA, ids=lambda c: c.__name__)
ply = pytest.mark.parametrize("allowables", PLIES.values(), ids=PLIES.keys())


def compare(criterion, book, allowables, n, fixed, rtol=1e-9):
    load, residual = paths(criterion, allowables, n, seed=11, fixed=fixed)
    got = criterion(load, allowables, residual=residual)
    want = []
    for s, r, R in zip(load, residual, got, strict=True):
        reach = 40.0 if np.isinf(R) or R == 0 else 3.0 * R
        want.append(root(book, s, r, reach=reach, steps=400))
    np.testing.assert_allclose(got, want, rtol=rtol)
    return got


@every
@ply
@pytest.mark.parametrize("fixed", [0.0, 0.4, 1.2])
def test_ratio_is_the_root_of_the_printed_formula(criterion, allowables, fixed):
    limits = limits_of(criterion, allowables)
    book = partial(INDEX[criterion.__name__], limits=limits)
    n, rtol = 60, 1e-9
    if criterion is larc03:
        book = partial(larc03_book, limits=limits, strain=allowables.g12)
        n, rtol = 25, 1e-5  # its table of the shear at failure is good to 2e-6
    got = compare(criterion, book, allowables, n, fixed, rtol)
    assert np.isfinite(got).sum() > n / 2
    assert (got == 0).any() == (fixed > 1)


@pytest.mark.parametrize("interaction", [-0.99, -0.2, 0.0, 0.7])
def test_tsai_wu_interaction(interaction):
    book = partial(tsai_wu_book, limits=limits_of(tsai_wu, M1), interaction=interaction)
    compare(partial_named(tsai_wu, interaction=interaction), book, M1, 30, 0.4)


@pytest.mark.parametrize(("ST", "share"), [(None, 0.0), (93e6, 0.5), (160e6, 1.0)])
def test_hashin_parameters(ST, share):
    book = partial(hashin_book, limits=limits_of(hashin, M1), ST=ST, share=share)
    compare(partial_named(hashin, transverse_shear=ST, shear_share=share), book, M1, 40, 0.4)


@pytest.mark.parametrize(("pt", "pc"), [(0.0, 0.05), (0.3, 0.25), (0.9, 0.6)])
def test_puck_inclinations(pt, pc):
    book = partial(puck_book, limits=limits_of(puck, M1), pt=pt, pc=pc)
    compare(partial_named(puck, inclination_tension=pt, inclination_compression=pc), book, M1, 40, 0.4)


def test_larc03_parameters():
    book = partial(larc03_book, limits=limits_of(larc03, M1), G=7.17e9, g=0.8, angle=55.0)
    criterion = partial_named(larc03, shear_modulus=7.17e9, toughness_ratio=0.8, fracture_angle_deg=55.0)
    compare(criterion, book, M1, 25, 0.4, rtol=1e-5)


def partial_named(criterion, **parameters):
    out = partial(criterion, **parameters)
    out.__name__ = criterion.__name__
    return out
