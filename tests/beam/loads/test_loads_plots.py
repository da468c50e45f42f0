"""The picture says what the case says."""

import dataclasses

import matplotlib as mpl
import numpy as np
import pytest

mpl.use("Agg")

from brake_stop import ITEMS
from loads_airplane import tourer
from matplotlib import pyplot as plt
from scipy.constants import foot, g, pound, pound_force

from beam.loads import Landing, balance, case_list, cg_range
from beam.loads.part23 import pivoting
from beam.loads.plots import plot_airplane, plot_cg_range

CASES = case_list(tourer(), Landing(load_factor=3.0))


@pytest.fixture(autouse=True)
def close_figures():
    yield
    plt.close("all")


def case(start):
    return next(c for c in CASES if c.condition.startswith(start))


def texts(ax):
    return [text.get_text() for text in ax.texts]


def legend(ax):
    return [text.get_text() for text in ax.get_legend().get_texts()]


def arrow(ax, text):
    """Tail-to-head direction of the arrow whose number is `text`."""
    (label,) = [t for t in ax.texts if t.get_text() == text]
    heads = [t for t in ax.texts if t.get_text() == "" and hasattr(t, "arrow_patch")]
    (found,) = [t for t in heads if tuple(t.get_position()) == pytest.approx(tuple(label.xy))]
    return found.xy[0] - label.xy[0], found.xy[1] - label.xy[1]


def key(ax):
    """Length on the page of the arrow that shows the scale, per shown unit of force."""
    (text,) = [t for t in texts(ax) if t.startswith("scale: ")]
    return arrow(ax, text)[0] / float(text.split()[1])


def test_standing_airplane_shows_its_angles():
    side, front = plot_airplane(tourer())
    labels = legend(side) + legend(front)
    assert "tip-back angle, aft c.g.: 16.9 deg" in labels
    assert "tail-down angle: 13.0 deg" in labels
    assert any(label.startswith("turnover angle") for label in labels)
    assert "b = 0.320 m" in texts(side)
    assert "track = 2.100 m" in texts(front)
    for ax in (side, front):
        assert "[m]" in ax.get_xlabel()
        assert "[m]" in ax.get_ylabel()


def test_front_view_is_seen_from_ahead():
    """Whoever stands ahead and looks at the airplane has its starboard side on the left."""
    side, front = plot_airplane(tourer())
    at = {t.get_text(): t.get_position()[0] for t in front.texts if t.get_text() in ("starboard", "port")}
    assert at["starboard"] == pytest.approx(-1.05)
    assert at["port"] == pytest.approx(1.05)
    assert "starboard on the left" in front.get_title()
    assert front.get_xlabel().startswith("to port")
    assert not front.xaxis_inverted()
    (nose,) = [t.get_position()[0] for t in side.texts if t.get_text() == "nose wheel"]
    assert nose < 0
    assert "nose on the left" in side.get_title()


def test_arrows_point_where_the_loads_push():
    side, front = plot_airplane(tourer(), case("side load, starboard"))
    assert arrow(front, "6.08")[0] > 0  # starboard wheel pushed inboard, to port: to the right of the page
    assert arrow(front, "4.01")[0] > 0
    assert arrow(front, "10.09 = 0.83 W")[0] < 0
    assert arrow(side, "2 x 8.09")[1] > 0
    assert arrow(front, "16.17 = 1.33 W")[1] < 0


def test_drag_is_drawn_aft_and_to_scale():
    side, _ = plot_airplane(tourer(), case("nose clear, peak"))
    drag, up = arrow(side, "2 x 4.34"), arrow(side, "2 x 13.50")
    assert drag[0] > 0
    assert drag[0] / up[1] == pytest.approx(0.75 / (3 - 2 / 3), rel=1e-6)


def test_both_views_have_one_scale_and_show_it():
    shown = case("side load, starboard")
    side, front = plot_airplane(tourer(), shown)
    assert key(side) == pytest.approx(key(front))
    assert arrow(front, "6.08")[0] == pytest.approx(0.5 * 1240 * g / 1e3 * key(front))
    assert arrow(side, "2 x 8.09")[1] == pytest.approx(0.665 * 1240 * g / 1e3 * key(side))


@pytest.mark.parametrize(
    ("start", "view", "says", "against_clock"),
    [
        # the starboard wheel alone lifts its side: inertia pushes it down, on the left of the front view
        ("starboard wheel only, peak", 1, "starboard wheel down", True),
        ("port wheel only, peak", 1, "starboard wheel up", False),
        # mains behind the c.g. push the nose down: inertia holds it up, clockwise with the nose on the left
        ("nose clear, peak", 0, "nose up", False),
    ],
)
def test_turn_of_the_inertia(start, view, says, against_clock):
    shown = case(start)
    ax = plot_airplane(tourer(), shown)[view]
    moment = balance(tourer(), [shown])[0].inertia_moment
    assert any(label.endswith(f"kN m ({says})") for label in legend(ax))
    assert any(f"{abs(moment[1 - view]) / 1e3:.2f} kN m" in label for label in legend(ax))
    (line,) = [line for line in ax.lines if line.get_gid() == "turn"]
    x, y = line.get_data()
    swept = (
        np.sum(x[:-1] * np.diff(y) - y[:-1] * np.diff(x)) + x[-1] * (y[0] - y[-1]) - y[-1] * (x[0] - x[-1])
    )
    assert (swept > 0) == against_clock


def test_us_units_are_honored_everywhere():
    shown = case("side load, starboard")
    side, front = plot_airplane(tourer(), shown, units="US")
    assert "to port [ft]" in front.get_xlabel()
    assert f"{0.5 * 1240 * g / pound_force:.0f}" in texts(front)
    assert f"{1240 / pound:.0f} lb," in side.get_figure().get_suptitle()
    words = [*texts(side), *texts(front), *legend(side), *legend(front)]
    assert not [text for text in words if "kN" in text or "[m]" in text]
    at = {t.get_text(): t.get_position()[0] for t in front.texts if t.get_text() == "port"}
    assert at["port"] == pytest.approx(1.05 / foot)
    assert arrow(front, "1367")[0] == pytest.approx(0.5 * 1240 * g / pound_force * key(front))
    standing = plot_airplane(tourer(), units="US")[1]
    assert f"track = {2.1 / foot:.2f} ft" in texts(standing)
    with pytest.raises(ValueError, match="units"):
        plot_airplane(tourer(), units="imperial")


def test_couples_are_written_out():
    shown = pivoting(tourer(), Landing(load_factor=3.0))[0]
    labels = legend(plot_airplane(tourer(), shown)[0])
    couple = next(w.Mz for w in shown.wheels if w.Mz)
    assert f"couple on starboard wheel [kN m]: Mz {couple / 1e3:.2f}" in labels


def test_title_names_the_case_and_given_axes_are_used():
    figure, axes = plt.subplots(1, 2)
    back = plot_airplane(tourer(), case("tail-down"), axes=tuple(axes))
    assert back[0] is axes[0]
    title = figure.get_suptitle()
    for part in ("23.481(a)(2)", "tail-down", "1180 kg", "forward c.g.", "limit", "25 to 100 %", "13.0 deg"):
        assert part in title
    assert len(plt.get_fignums()) == 1
    plot_airplane(tourer(), dataclasses.replace(case("tail-down"), strokes=(0.6,)), axes=tuple(axes))
    assert "at 60 % of its stroke" in figure.get_suptitle()


def test_picture_refuses_by_name():
    with pytest.raises(ValueError, match="main_wheel_radius"):
        plot_airplane(tourer(main_wheel_radius=None))
    with pytest.raises(ValueError, match="plot_airplane: axes"):
        plot_airplane(tourer(), axes=(1.0, 2.0))


def test_a_drag_larger_than_the_weight_sets_the_scale_of_both_views():
    wheels = tuple(dataclasses.replace(w, Fx=4 * w.Fz) for w in case("tail-down").wheels)
    side, front = plot_airplane(tourer(), dataclasses.replace(case("tail-down"), wheels=wheels))
    assert key(side) == pytest.approx(key(front))


def test_range_of_the_center_of_gravity():
    found = cg_range(ITEMS, [1240.0, 1000.0, 1180.0])
    ax = plot_cg_range(found, tourer(), units="US")
    assert (ax.get_xlabel(), ax.get_ylabel()) == ("center of gravity, x aft [ft]", "mass [lb]")
    forward, aft, *sheet = ax.lines
    order = [1, 2, 0]
    for line, centers in ((forward, found.forward), (aft, found.aft)):
        np.testing.assert_allclose(line.get_xdata() * foot, centers[order, 0])
        np.testing.assert_allclose(line.get_ydata() * pound, [1000.0, 1180.0, 1240.0])
    assert sheet[0].get_xdata()[0] == pytest.approx(tourer().cg_forward[0] / foot)
    assert [text.get_text() for text in ax.texts] == ["landing mass", "maximum mass"]
    assert len(plot_cg_range(found, ax=plt.figure().subplots()).lines) == 2
