"""Failure envelopes with parameters of the criteria that are not the usual ones."""

from dataclasses import replace

import matplotlib as mpl
import numpy as np
import pytest
from failure_cases import M1, TSAI_HAHN

from laminate import Laminate
from laminate.failure import Hoffman, MaxStrain, Puck, TsaiWu
from laminate.plots import plot_envelope
from laminate.plots.envelope import first_ply_envelope
from materials import Factor, Lamina

mpl.use("Agg")
CARBON = Lamina(
    name="T300/5208", kind="tape", E1=181e9, E2=10.3e9, G12=7.17e9, nu12=0.28, thickness=0.125e-3, density=1600.0,
    allowables=M1, source=TSAI_HAHN,
)  # fmt: skip
PLY = Laminate.from_code("[0]T", CARBON)


@pytest.mark.parametrize("interaction", [-0.9, 0.0, 0.5])
def test_points_lie_on_the_surface_with_that_interaction(interaction):
    criterion = TsaiWu(interaction=interaction)
    points = first_ply_envelope(PLY, criterion)
    stress = np.concatenate([points, np.zeros((len(points), 1))], axis=-1)
    np.testing.assert_allclose(criterion.ratio(stress, M1), 1, rtol=1e-9)


def test_interaction_of_hoffman_gives_his_envelope():
    interaction = -0.5 * np.sqrt(M1.Yt * M1.Yc / (M1.Xt * M1.Xc))
    got = first_ply_envelope(PLY, TsaiWu(interaction=interaction), plane=("x", "y"))
    np.testing.assert_allclose(got, first_ply_envelope(PLY, Hoffman()), rtol=1e-9, atol=1e-3)


def test_parameters_that_differ_from_the_default_are_named():
    criteria = (TsaiWu(interaction=0.0), Puck(inclination_tension=0.25), MaxStrain())
    ax = plot_envelope(PLY, criteria, plane=("y", "xy"))
    labels = [line.get_label() for line in ax.lines[:3]]
    assert labels == ["Tsai-Wu, interaction 0.0", "Puck, inclination tension 0.25", "maximum strain"]
    own = first_ply_envelope(PLY, criteria[1], plane=("y", "xy"))
    np.testing.assert_allclose(ax.lines[1].get_xydata(), own / 1e6, rtol=1e-12)


def test_a_plane_of_one_component_is_refused():
    with pytest.raises(ValueError, match=r"plane: .* two different ones"):
        first_ply_envelope(PLY, Hoffman(), plane=("x", "x"))


def test_knockdowns_are_drawn_beside_the_pristine_envelope():
    wet = Factor(
        name="hot wet", value=0.7, on=("Xc", "Yt", "Yc", "S", "e1c", "e2t", "e2c", "g12"), source=TSAI_HAHN
    )
    criteria = (TsaiWu(), MaxStrain())
    ax = plot_envelope(PLY, criteria, plane=("y", "xy"), factors=[wet])
    labels = [line.get_label() for line in ax.lines[:4]]
    assert labels[:3] == ["Tsai-Wu", "maximum strain", "before knockdowns"]
    assert labels[3].startswith("_")  # the legend says it once
    for reduced, pristine in zip(ax.lines[:2], ax.lines[2:4], strict=True):
        assert reduced.get_color() == pristine.get_color()
        sizes = [np.abs(line.get_xydata()).max(axis=0) for line in (reduced, pristine)]
        assert sizes[0][0] / sizes[1][0] == pytest.approx(0.7, rel=1e-3)  # pure transverse compression
        assert sizes[0][1] / sizes[1][1] < 0.701
    own = first_ply_envelope(PLY, criteria[0], plane=("y", "xy"))
    np.testing.assert_allclose(ax.lines[2].get_xydata(), own / 1e6, rtol=1e-12)
    assert len(plot_envelope(PLY, criteria).lines) == 4  # two criteria and the axes


def test_default_criteria_are_those_of_every_ply():
    woven = Laminate.from_code("[0]T", replace(CARBON, kind="fabric"))
    assert len(plot_envelope(PLY).lines) - len(plot_envelope(woven).lines) == 3
