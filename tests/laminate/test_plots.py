"""Pictures of laminates: what is drawn is what was computed, on the axes that were given."""

import inspect

import matplotlib as mpl
import numpy as np
import pytest
from matplotlib.axes import Axes
from matplotlib.colors import to_rgb
from numpy.testing import assert_allclose

from laminate import Laminate, failure, plots
from laminate.plots import canvas
from materials import lamina

mpl.use("Agg")
import matplotlib.pyplot as plt

T300 = lamina("T300/5208")
QUASI = Laminate.from_code("[0/±45/90]s", T300)
RESPONSE = QUASI.response(N=[1e5, 0.0, 2e4], M=[50.0, 0.0, 10.0], temperature_change=-100.0)

DRAWINGS = {
    "stack": lambda **k: plots.plot_stack(QUASI, **k),
    "polar": lambda **k: plots.plot_polar_moduli(QUASI, **k),
    "carpet": lambda **k: plots.plot_carpet(T300, **k),
    "envelope": lambda **k: plots.plot_envelope(QUASI, (failure.MaxStress(), failure.TsaiWu()), **k),
    "thickness": lambda **k: plots.plot_through_thickness(RESPONSE, **k),
}


@pytest.fixture(autouse=True)
def closed():
    yield
    plt.close("all")


def axes_for(name):
    kind = "polar" if name == "polar" else "rectilinear"
    return plt.figure().add_subplot(projection=kind)


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
    with pytest.raises(ValueError, match=r"ax: got <Figure.*of type Axes"):
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


@pytest.mark.parametrize("wrong", [None, T300.source, "T300", [QUASI]])
@pytest.mark.parametrize("name", plots.__all__)
def test_what_is_drawn_must_be_of_its_kind(name, wrong):
    with pytest.raises(ValueError, match=rf"^{name}: (lamina|laminate|response): got .*of type"):
        getattr(plots, name)(wrong)


def test_line_arguments_pass_through_and_typos_do_not():
    ax = plots.plot_through_thickness(RESPONSE, color="black", linewidth=5.0)
    assert ax.lines[0].get_linewidth() == 5.0
    with pytest.raises(AttributeError, match="linewdth"):
        plots.plot_through_thickness(RESPONSE, linewdth=5.0)


@pytest.mark.parametrize(
    ("call", "match"),
    [
        (lambda: plots.plot_carpet(T300, step=0.3), "whole number"),
        (lambda: plots.plot_envelope(QUASI, ()), "criteria: got none"),
        (lambda: plots.plot_envelope(QUASI, space="load"), "space: got 'load'"),
        (lambda: plots.plot_envelope(QUASI, plane=("x", "x")), "plane"),
        (lambda: plots.plot_envelope(QUASI, plane=("1", "2")), "plane"),
        (lambda: plots.plot_envelope(QUASI, third=np.nan), "finite"),
        (lambda: plots.plot_envelope(QUASI, third=5e9), "failure before any load"),
        (lambda: plots.plot_envelope(QUASI, temperature_change=[-10.0, -20.0]), "a number"),
        (lambda: plots.plot_through_thickness(QUASI.response(N=np.ones((2, 3)))), "one load case"),
    ],
)
def test_bad_input(call, match):
    with pytest.raises(ValueError, match=match):
        call()


@pytest.mark.parametrize("name", plots.__all__)
def test_every_plot_takes_axes_and_units(name):
    parameters = inspect.signature(getattr(plots, name)).parameters
    assert parameters["ax"].default is None
    assert parameters["units"].default == "SI"
