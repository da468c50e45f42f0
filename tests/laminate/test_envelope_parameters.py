"""Failure envelopes with parameters of the criteria that are not the usual ones."""

import matplotlib as mpl
import numpy as np
import pytest
from failure_cases import M1, TSAI_HAHN

from laminate import Laminate
from laminate.failure import hoffman, max_strain, puck, tsai_wu
from laminate.plots import plot_envelope
from laminate.plots.envelope import first_ply_envelope
from materials import Lamina

mpl.use("Agg")
CARBON = Lamina(
    name="T300/5208", E1=181e9, E2=10.3e9, G12=7.17e9, nu12=0.28, thickness=0.125e-3, density=1600.0,
    allowables=M1, source=TSAI_HAHN,
)  # fmt: skip
PLY = Laminate.from_code("[0]T", CARBON)


@pytest.mark.parametrize("interaction", [-0.9, 0.0, 0.5])
def test_points_lie_on_the_surface_with_that_interaction(interaction):
    points = first_ply_envelope(PLY, tsai_wu, parameters={"interaction": interaction})
    stress = np.concatenate([points, np.zeros((len(points), 1))], axis=-1)
    np.testing.assert_allclose(tsai_wu(stress, M1, interaction=interaction), 1, rtol=1e-9)


def test_interaction_of_hoffman_gives_his_envelope():
    interaction = -0.5 * np.sqrt(M1.Yt * M1.Yc / (M1.Xt * M1.Xc))
    got = first_ply_envelope(PLY, tsai_wu, parameters={"interaction": interaction}, plane=("x", "y"))
    np.testing.assert_allclose(got, first_ply_envelope(PLY, hoffman), rtol=1e-9, atol=1e-3)


def test_each_parameter_goes_to_the_criteria_that_have_it():
    parameters = {"interaction": 0.0, "inclination_tension": 0.25}
    ax = plot_envelope(PLY, (tsai_wu, puck, max_strain), parameters=parameters, plane=("y", "xy"))
    labels = [line.get_label() for line in ax.lines[:3]]
    assert labels == ["Tsai-Wu, interaction 0.0", "Puck, inclination tension 0.25", "maximum strain"]
    own = first_ply_envelope(PLY, puck, parameters={"inclination_tension": 0.25}, plane=("y", "xy"))
    np.testing.assert_allclose(ax.lines[1].get_xydata(), own / 1e6, rtol=1e-12)


@pytest.mark.parametrize(
    ("call", "match"),
    [
        (lambda: first_ply_envelope(PLY, hoffman, parameters={"interaction": 0.0}), "left out: there are none"),
        (lambda: first_ply_envelope(PLY, "hoffman"), "criterion: got 'hoffman', must be one of max_stress"),
        (lambda: plot_envelope(PLY, (tsai_wu, puck), parameters={"shear_share": 0}), "got 'shear_share', must be one"),
        (lambda: plot_envelope(PLY, "tsai_wu"), "criterion: got 't', must be one of"),
        (lambda: plot_envelope(PLY, (tsai_wu,), parameters=0.0), "mapping from name to value"),
    ],
)  # fmt: skip
def test_what_no_criterion_has_is_refused(call, match):
    with pytest.raises(ValueError, match=match):
        call()
