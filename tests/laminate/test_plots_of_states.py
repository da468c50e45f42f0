"""Plots of failure envelopes."""

from dataclasses import replace

import matplotlib as mpl
import numpy as np
import pytest
from numpy.testing import assert_allclose

from laminate import Laminate, Ply, failure, plots
from laminate.plots.envelope import first_ply_envelope
from materials import lamina

mpl.use("Agg")
import matplotlib.pyplot as plt

T300 = lamina("T300/5208")
QUASI = Laminate.from_code("[0/±45/90]s", T300)
PLY = Laminate([Ply(T300, 0.0)])


@pytest.fixture(autouse=True)
def closed():
    yield
    plt.close("all")


def lines(ax):
    """Data of the drawn lines by label."""
    return {line.get_label(): line.get_data() for line in ax.lines}


SURFACES = [(c, s) for c in failure.CRITERIA for s in ("stress", "strain")]


@pytest.mark.parametrize(("criterion", "space"), SURFACES, ids=lambda x: getattr(x, "name", x))
def test_envelope_points_lie_on_the_surface(criterion, space):
    """Loading the stack up to a point of the envelope meets the criterion, residual stress included."""
    third = 20e6 if space == "stress" else 3e-4
    points = first_ply_envelope(
        QUASI, criterion, space=space, plane=("y", "xy"), third=third, temperature_change=-60.0
    )
    for y, xy in points[:: len(points) // 7]:
        if space == "stress":
            whole = QUASI.response(N=np.array([third, y, xy]) * QUASI.thickness, temperature_change=-60.0)
        else:
            N = QUASI.A @ [third, y, xy]
            whole = QUASI.response(N=N, temperature_change=-60.0)
        state = whole.strain if criterion.takes == "strain" else whole.stress
        assert criterion.ratio(state, T300.allowables).min() == pytest.approx(1.0, rel=1e-5)


def test_envelope_of_a_ply_passes_through_its_strengths():
    a = T300.allowables
    for criterion in failure.CRITERIA:
        x, y = first_ply_envelope(PLY, criterion).T
        quarter = (len(x) - 1) // 4
        assert_allclose(
            [x[0], y[quarter], -x[2 * quarter], -y[3 * quarter]], [a.Xt, a.Yt, a.Xc, a.Yc], rtol=1e-6
        )
        assert_allclose((x[-1], y[-1]), (x[0], y[0]), atol=1e-6 * a.Xt)


def test_envelope_drawing():
    ax = plots.plot_envelope(QUASI, space="strain", plane=("x", "xy"))
    drawn = {label: data for label, data in lines(ax).items() if not label.startswith("_")}
    assert list(drawn)[:2] == ["maximum stress", "maximum strain"]
    assert len(drawn) == len(failure.CRITERIA)
    points = first_ply_envelope(QUASI, failure.TsaiWu(), space="strain", plane=("x", "xy"))
    assert_allclose(np.array(drawn["Tsai-Wu"]).T, points * 1e6)
    assert "microstrain" in ax.get_xlabel()
    widths = [line.get_linewidth() for line in ax.lines if not line.get_label().startswith("_")]
    assert (np.diff(widths) < 0).all()


def test_lamina_without_allowables_has_no_envelope():
    bare = Laminate([Ply(replace(T300, allowables=None), 0.0)])
    with pytest.raises(ValueError, match="allowables"):
        plots.plot_envelope(bare)
