"""Tsai-Wu, Hoffman and Tsai-Hill: parameters, limits and relations."""

from dataclasses import replace
from functools import partial

import numpy as np
import pytest
from failure_book import compare
from failure_book import tsai_wu as tsai_wu_book
from failure_cases import GLASS, M1, limits_of
from printed import printed

from laminate.failure import Hoffman, Mode, TsaiHill, TsaiWu
from laminate.lamina_stiffness import strain_rotation

SWAPPED = replace(M1, Xt=30e6, Xc=60e6, Yt=1500e6, Yc=1200e6)


@pytest.mark.parametrize("interaction", [-0.99, -0.2, 0.0, 0.7])
def test_tsai_wu_with_any_interaction_is_the_root_of_the_printed_formula(interaction):
    book = partial(tsai_wu_book, limits=limits_of(TsaiWu(), M1), interaction=interaction)
    compare(TsaiWu(interaction=interaction), book, M1, 30)


@pytest.mark.parametrize("interaction", [-0.999999, 0.999999])
def test_nearly_open_tsai_wu_surface_is_met_in_every_direction(interaction):
    angle = np.linspace(0, 2 * np.pi, 721)
    load = np.stack([np.cos(angle) * 1500e6, np.sin(angle) * 99e6, 0 * angle], axis=-1)
    assert np.isfinite(TsaiWu(interaction=interaction).ratio(load, M1)).all()


def test_hoffman_is_tsai_wu_with_the_interaction_of_hill():
    load = np.random.default_rng(3).normal(size=(50, 3)) * [1e9, 1e8, 5e7]
    for a in (M1, GLASS):
        interaction = -0.5 * np.sqrt(a.Yt * a.Yc / (a.Xt * a.Xc))
        np.testing.assert_allclose(
            Hoffman().ratio(load, a), TsaiWu(interaction=interaction).ratio(load, a), rtol=1e-12
        )


@pytest.mark.parametrize("criterion", [Hoffman(), TsaiHill()], ids=lambda c: c.name)
def test_swapped_axes_leave_the_surface_open(criterion):
    with pytest.raises(ValueError, match="swapped"):
        criterion.ratio([1e6, 0, 0], SWAPPED)


def test_equal_strengths_make_hill_mises():
    a = replace(M1, Xt=300e6, Xc=300e6, Yt=300e6, Yc=300e6, S=300e6 / np.sqrt(3))
    s = np.random.default_rng(4).normal(size=(40, 3)) * 100e6
    mises = np.sqrt(s[:, 0] ** 2 - s[:, 0] * s[:, 1] + s[:, 1] ** 2 + 3 * s[:, 2] ** 2)
    for criterion in (TsaiHill(), Hoffman(), TsaiWu()):
        np.testing.assert_allclose(criterion.ratio(s, a), 300e6 / mises, rtol=1e-12)


def test_tsai_wu_names_the_stress_nearest_its_strength():
    assert TsaiWu().mode([0, -100e6, 60e6], M1) == Mode.SHEAR
    assert TsaiWu().mode([0, -230e6, 20e6], M1) == Mode.MATRIX_COMPRESSION


# Tension off the axis of E-glass/epoxy, X, Y, S = 150, 4, 6 ksi: values of the closed form, worked out apart.
def test_tsai_hill_off_axis_strength():
    ksi = 6.894757e6
    glass = replace(M1, Xt=150 * ksi, Xc=150 * ksi, Yt=4 * ksi, Yc=20 * ksi, S=6 * ksi)
    texts = {
        0: "150",
        5: "62.446",
        10: "33.156",
        15: "22.073",
        30: "10.465",
        45: "6.6564",
        60: "4.9777",
        90: "4.0",
    }
    for angle_deg, text in texts.items():
        stress = np.linalg.inv(strain_rotation(angle_deg).T) @ [ksi, 0, 0]
        assert float(TsaiHill().ratio(stress, glass)) == printed(text)
