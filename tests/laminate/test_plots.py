"""Pictures of laminates: what is drawn is what was computed, on the axes that were given."""

import inspect
from dataclasses import replace

import matplotlib as mpl
import numpy as np
import pytest
from matplotlib.axes import Axes
from matplotlib.colors import to_rgb
from numpy.testing import assert_allclose
from printed import printed

from laminate import Laminate, Ply, failure, plots
from laminate.lamina_stiffness import off_axis_moduli
from laminate.plots import canvas
from laminate.plots.carpet import family_property
from laminate.plots.envelope import first_ply_envelope
from laminate.plots.stack import angle_label
from materials import lamina

mpl.use("Agg")
import matplotlib.pyplot as plt

T300 = lamina("T300/5208")
QUASI = Laminate.from_code("[0/±45/90]s", T300)
PLY = Laminate([Ply(T300, 0.0)])
RESPONSE = QUASI.response(N=[1e5, 0.0, 2e4], M=[50.0, 0.0, 10.0], temperature_change=-100.0)

DRAWINGS = {
    "stack": lambda **k: plots.plot_stack(QUASI, **k),
    "polar": lambda **k: plots.plot_polar_moduli(QUASI, **k),
    "carpet": lambda **k: plots.plot_carpet(T300, **k),
    "envelope": lambda **k: plots.plot_envelope(QUASI, (failure.max_stress, failure.tsai_wu), **k),
    "thickness": lambda **k: plots.plot_through_thickness(RESPONSE, **k),
}


@pytest.fixture(autouse=True)
def closed():
    yield
    plt.close("all")


def axes_for(name):
    kind = "polar" if name == "polar" else "rectilinear"
    return plt.figure().add_subplot(projection=kind)


def lines(ax):
    """Data of the drawn lines by label."""
    return {line.get_label(): line.get_data() for line in ax.lines}


@pytest.mark.parametrize("name", DRAWINGS)
def test_axes_in_axes_out_and_nothing_shown_or_saved(name, monkeypatch):
    def refuse(*_, **__):
        raise AssertionError("a plot function may not show or save")

    for target in (plt, mpl.figure.Figure):
        for method in ("show", "savefig"):
            monkeypatch.setattr(target, method, refuse)
    given = axes_for(name)
    figures = plt.get_fignums()
    assert DRAWINGS[name](ax=given) is given
    assert plt.get_fignums() == figures
    assert given.has_data()
    own = DRAWINGS[name]()
    assert isinstance(own, Axes)
    assert len(plt.get_fignums()) == len(figures) + 1
    # Every text of the picture can be set, in its place and in the font at hand.
    own.figure.canvas.draw()


@pytest.mark.parametrize("name", DRAWINGS)
def test_other_axes_than_fit_are_refused(name):
    wrong = plt.figure().add_subplot(projection="rectilinear" if name == "polar" else "polar")
    with pytest.raises(ValueError, match="ax: got"):
        DRAWINGS[name](ax=wrong)
    with pytest.raises(ValueError, match="axes of matplotlib"):
        DRAWINGS[name](ax=plt.figure())


@pytest.mark.parametrize("name", DRAWINGS)
def test_axes_say_what_they_show_and_in_which_unit(name):
    for units, symbols in (("SI", ("mm", "GPa", "MPa")), ("US", ("in", "Msi", "ksi"))):
        ax = DRAWINGS[name](units=units)
        text = " ".join([ax.get_xlabel(), ax.get_ylabel(), ax.get_title()])
        assert any(f"[{symbol}]" in text for symbol in symbols)
    with pytest.raises(ValueError, match="units: got 'imperial'"):
        DRAWINGS[name](units="imperial")


def test_units_differ_by_their_size():
    """1 in = 25.4 mm and 1 psi = 6894.757293 Pa: NIST SP 811, appendix B."""
    for name, factor in (("polar", 6.894757293), ("thickness", 25.4)):
        si, us = (DRAWINGS[name](units=u).lines[0].get_ydata() for u in ("SI", "US"))
        assert_allclose(np.asarray(si), factor * np.asarray(us), rtol=1e-9)


def test_colors_are_parted_in_lightness():
    """Lines next to each other in order differ in luminance, which color blindness leaves nearly as it is."""

    def luminance(color):
        rgb = np.array(to_rgb(color))
        linear = np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)
        return linear @ [0.2126, 0.7152, 0.0722]

    light = np.array([luminance(color) for color in canvas.COLORS])
    assert (abs(np.diff(light)) > 0.04).all()
    assert len(set(canvas.COLORS)) == len(canvas.COLORS) == len(canvas.STYLES)
    many = canvas.looks(11)
    assert many[0] == many[8]
    assert many[0] != many[1]


def test_stack_is_to_scale_inner_side_below():
    thick = lamina("7781/5245C")
    hybrid = Laminate([Ply(T300, 30.0), Ply(thick, -60.0), Ply(T300, 90.0)])
    ax = plots.plot_stack(hybrid)
    bars = [(bar.get_y(), bar.get_height()) for bar in ax.patches]
    assert_allclose(bars, np.stack([hybrid.interfaces[:-1], hybrid.ply_thickness], axis=-1) * 1e3, atol=1e-12)
    labels = [
        text.get_text() for text in ax.texts if T300.name in text.get_text() or thick.name in text.get_text()
    ]
    assert labels == [f"+30°  {T300.name}", f"−60°  {thick.name}", f"90°  {T300.name}"]
    assert ax.get_ylim() == pytest.approx((-hybrid.thickness * 500, hybrid.thickness * 500))


def test_fiber_stroke_points_along_the_fiber():
    """In points on the page, so that the scale of the axes does not turn it."""
    ax = plots.plot_stack(Laminate([Ply(T300, 30.0)]))
    x, y = next(text.xyann for text in ax.texts if text.get_text() == "")
    assert np.degrees(np.arctan2(y, x)) == pytest.approx(30.0)


def test_stack_of_many_plies_has_a_legend_in_place_of_text():
    ax = plots.plot_stack(Laminate.from_code("[(0/±45/90)6]s", T300))
    assert [text.get_text() for text in ax.get_legend().get_texts()] == ["0°", "+45°", "−45°", "90°"]
    assert [text.get_text() for text in ax.texts] == ["mid"]


@pytest.mark.parametrize(
    ("angle", "text"),
    [
        (0, "0°"),
        (90, "90°"),
        (-90, "90°"),
        (45, "+45°"),
        (-45, "−45°"),
        (135, "−45°"),
        (180, "0°"),
        (22.5, "+22.5°"),
    ],
)
def test_angle_label(angle, text):
    assert angle_label(angle) == text


def test_polar_moduli_of_a_ply_are_its_off_axis_moduli():
    ax = plots.plot_polar_moduli(PLY)
    theta, E = lines(ax)["E"]
    _, G = lines(ax)["G"]
    expected = off_axis_moduli(T300.E1, T300.E2, T300.G12, T300.nu12, np.degrees(theta))
    assert_allclose(E, expected.Ex / 1e9, rtol=1e-9)
    assert_allclose(G, expected.Gxy / 1e9, rtol=1e-9)
    assert ax.get_rmin() == 0.0


# M1 = T300/5208 at 15, 30, 60 deg: derived from the constants of Tsai and Hahn 1980.
@pytest.mark.parametrize(
    ("angle", "E", "G"), [(15, "72.629", "7.6319"), (30, "28.780", "8.7606"), (60, "12.418", "8.7606")]
)
def test_polar_moduli_against_table(angle, E, G):
    drawn = lines(plots.plot_polar_moduli(PLY))
    at = np.argmin(abs(drawn["E"][0] - np.radians(angle)))
    assert drawn["E"][1][at] == printed(E)
    assert drawn["G"][1][at] == printed(G)


def test_second_stack_on_the_same_axes_looks_different():
    ax = plots.plot_polar_moduli(QUASI, label="first")
    plots.plot_polar_moduli(PLY, ax=ax, label="second", shear=False, linewidth=4.0)
    assert list(lines(ax)) == ["first: E", "first: G", "second: E"]
    assert len({line.get_color() for line in ax.lines}) == 3
    assert ax.lines[-1].get_linewidth() == 4.0


def test_carpet_values():
    assert family_property(T300, "Ex", np.array(0.25), np.array(0.5)) / 1e9 == printed("69.676")  # derived
    assert family_property(T300, "Ex", np.array(1.0), np.array(0.0)) == pytest.approx(T300.E1)
    assert family_property(T300, "Ey", np.array(1.0), np.array(0.0)) == pytest.approx(T300.E2)
    assert family_property(T300, "nu_xy", np.array(1.0), np.array(0.0)) == pytest.approx(T300.nu12)
    built = Laminate.from_code("[0_3/±45/90]s", T300).moduli()
    for name in ("Ex", "Ey", "Gxy", "nu_xy"):
        value = family_property(T300, name, np.array(0.5), np.array(1 / 3))
        assert value == pytest.approx(getattr(built, name), rel=1e-9)


def test_carpet_lines():
    ax = plots.plot_carpet(T300, "Ex", step=0.25)
    held = family_property(T300, "Ex", np.full(101, 0.5), np.linspace(0.0, 0.5, 101)) / 1e9
    assert any(np.allclose(line.get_ydata(), held) for line in ax.lines if len(line.get_ydata()) == 101)
    held_90 = (
        family_property(T300, "Ex", 0.75 - np.linspace(0.0, 0.75, 101), np.linspace(0.0, 0.75, 101)) / 1e9
    )
    assert any(np.allclose(line.get_ydata(), held_90) for line in ax.lines if len(line.get_ydata()) == 101)
    written = [text.get_text() for text in ax.texts]
    assert written == [share for share in ("0", "25", "50", "75", "100") for _ in range(2)]
    # The shear modulus is a single line.
    assert not plots.plot_carpet(T300, "Gxy").texts


SURFACES = [(c, s) for c in failure.CRITERIA for s in ("stress", "strain")]


@pytest.mark.parametrize(("criterion", "space"), SURFACES, ids=lambda x: getattr(x, "__name__", x))
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
        state = whole.strain if criterion in failure.STRAIN_CRITERIA else whole.stress
        assert criterion(state, T300.allowables).min() == pytest.approx(1.0, rel=1e-5)


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
    points = first_ply_envelope(QUASI, failure.tsai_wu, space="strain", plane=("x", "xy"))
    assert_allclose(np.array(drawn["Tsai-Wu"]).T, points * 1e6)
    assert "microstrain" in ax.get_xlabel()
    widths = [line.get_linewidth() for line in ax.lines if not line.get_label().startswith("_")]
    assert (np.diff(widths) < 0).all()


@pytest.mark.parametrize("along", ["ply", "laminate"])
@pytest.mark.parametrize("quantity", ["stress", "strain"])
@pytest.mark.parametrize("component", [0, 1, 2])
def test_through_thickness_draws_the_response(along, quantity, component):
    ax = plots.plot_through_thickness(RESPONSE, component, quantity=quantity, along=along)
    x, z = ax.lines[0].get_data()
    state = getattr(RESPONSE, f"laminate_{quantity}" if along == "laminate" else quantity)[..., component]
    assert_allclose(x, state.ravel() / (1e6 if quantity == "stress" else 1e-6))
    assert_allclose(z, QUASI.surfaces.ravel() * 1e3)
    angles = [text.get_text() for text in ax.texts]
    assert angles == ["0°", "+45°", "−45°", "90°", "90°", "−45°", "+45°", "0°"]


def test_line_arguments_pass_through_and_typos_do_not():
    ax = plots.plot_through_thickness(RESPONSE, color="black", linewidth=5.0)
    assert ax.lines[0].get_linewidth() == 5.0
    with pytest.raises(AttributeError, match="linewdth"):
        plots.plot_through_thickness(RESPONSE, linewdth=5.0)


@pytest.mark.parametrize(
    ("call", "match"),
    [
        (lambda: plots.plot_carpet(T300, "E1"), "name: got 'E1'"),
        (lambda: plots.plot_carpet(T300, step=10.0), "given in percent"),
        (lambda: plots.plot_carpet(T300, step=0.3), "whole number"),
        (lambda: plots.plot_envelope(QUASI, ()), "criteria: got none"),
        (lambda: plots.plot_envelope(QUASI, space="load"), "space: got 'load'"),
        (lambda: plots.plot_envelope(QUASI, plane=("x", "x")), "plane"),
        (lambda: plots.plot_envelope(QUASI, plane=("1", "2")), "plane"),
        (lambda: plots.plot_envelope(QUASI, third=np.nan), "finite"),
        (lambda: plots.plot_envelope(QUASI, third=5e9), "failure before any load"),
        (lambda: plots.plot_envelope(QUASI, temperature_change=[-10.0, -20.0]), "one number each"),
        (lambda: plots.plot_through_thickness(RESPONSE, 3), "0, 1 or 2"),
        (lambda: plots.plot_through_thickness(RESPONSE, quantity="force"), "along, quantity"),
        (lambda: plots.plot_through_thickness(QUASI.response(N=np.ones((2, 3)))), "one load case"),
    ],
)
def test_bad_input(call, match):
    with pytest.raises(ValueError, match=match):
        call()


def test_lamina_without_allowables_has_no_envelope():
    bare = Laminate([Ply(replace(T300, allowables=None), 0.0)])
    with pytest.raises(ValueError, match="allowables"):
        plots.plot_envelope(bare)


@pytest.mark.parametrize("name", plots.__all__)
def test_every_plot_takes_axes_and_units(name):
    parameters = inspect.signature(getattr(plots, name)).parameters
    assert parameters["ax"].default is None
    assert parameters["units"].default == "SI"
