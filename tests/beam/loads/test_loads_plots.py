"""The picture says what the case says."""

import matplotlib as mpl
import pytest

mpl.use("Agg")

from loads_airplane import tourer
from matplotlib import pyplot as plt

from beam.loads import Landing, case_list
from beam.loads.plots import plot_airplane


@pytest.fixture(autouse=True)
def close_figures():
    yield
    plt.close("all")


def case(start):
    return next(c for c in case_list(tourer(), Landing(load_factor=3.0)) if c.condition.startswith(start))


def texts(ax):
    return [text.get_text() for text in ax.texts]


def arrow(ax, text):
    """Tail-to-head direction of the arrow whose number is `text`."""
    (label,) = [t for t in ax.texts if t.get_text() == text]
    heads = [t for t in ax.texts if t.get_text() == "" and hasattr(t, "arrow_patch")]
    (found,) = [t for t in heads if tuple(t.get_position()) == pytest.approx(tuple(label.xy))]
    return found.xy[0] - label.xy[0], found.xy[1] - label.xy[1]


def test_standing_airplane_shows_its_angles():
    side, behind = plot_airplane(tourer())
    labels = [t.get_text() for ax in (side, behind) for t in ax.get_legend().get_texts()]
    assert "tip-back angle, aft c.g.: 16.9 deg" in labels
    assert "tail-down angle: 13.0 deg" in labels
    assert any(label.startswith("turnover angle") for label in labels)
    assert "b = 0.320 m" in texts(side)
    assert "track = 2.100 m" in texts(behind)
    for ax in (side, behind):
        assert "[m]" in ax.get_xlabel()
        assert "[m]" in ax.get_ylabel()


def test_arrows_point_where_the_loads_push():
    side, behind = plot_airplane(tourer(), case("side load, starboard"))
    assert arrow(behind, "6.08")[0] < 0  # starboard wheel pushed inboard, to port
    assert arrow(behind, "4.01")[0] < 0
    assert arrow(behind, "10.09 = 0.83 W")[0] > 0
    assert arrow(side, "2 x 8.09")[1] > 0
    assert arrow(behind, "16.17 = 1.33 W")[1] < 0


def test_drag_is_drawn_aft_and_to_scale():
    side, _ = plot_airplane(tourer(), case("nose clear, peak"))
    drag, up = arrow(side, "2 x 4.34"), arrow(side, "2 x 13.50")
    assert drag[0] > 0
    assert drag[0] / up[1] == pytest.approx(0.75 / (3 - 2 / 3), rel=1e-6)


def test_title_names_the_case_and_given_axes_are_used():
    figure, axes = plt.subplots(1, 2)
    back = plot_airplane(tourer(), case("tail-down"), axes=tuple(axes))
    assert back[0] is axes[0]
    title = figure.get_suptitle()
    for part in ("23.481(a)(2)", "tail-down", "1180 kg", "forward c.g.", "limit", "25 to 100 %", "13.0 deg"):
        assert part in title
    assert len(plt.get_fignums()) == 1
