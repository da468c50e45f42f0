"""Plots of a stack, of its moduli, and of stress and strain through its thickness."""

import matplotlib as mpl
import numpy as np
import pytest
from numpy.testing import assert_allclose
from printed import printed

from laminate import Laminate, Ply, plots
from laminate.lamina_stiffness import moduli_of, q_reduced, q_rotated
from laminate.plots.carpet import family_property
from laminate.plots.lay_up import angle_label
from materials import lamina

mpl.use("Agg")
import matplotlib.pyplot as plt

T300 = lamina("T300/5208")
QUASI = Laminate.from_code("[0/±45/90]s", T300)
PLY = Laminate([Ply(T300, 0.0)])
RESPONSE = QUASI.response(N=[1e5, 0.0, 2e4], M=[50.0, 0.0, 10.0], temperature_change=-100.0)


@pytest.fixture(autouse=True)
def closed():
    yield
    plt.close("all")


def lines(ax):
    """Data of the drawn lines by label."""
    return {line.get_label(): line.get_data() for line in ax.lines}


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
    Q = q_reduced(T300.E1, T300.E2, T300.G12, T300.nu12)
    expected = moduli_of(np.linalg.inv(q_rotated(Q, np.degrees(theta))))
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
    fixed = family_property(T300, "Ex", np.full(101, 0.5), np.linspace(0.0, 0.5, 101)) / 1e9
    assert any(np.allclose(line.get_ydata(), fixed) for line in ax.lines if len(line.get_ydata()) == 101)
    fixed_90 = (
        family_property(T300, "Ex", 0.75 - np.linspace(0.0, 0.75, 101), np.linspace(0.0, 0.75, 101)) / 1e9
    )
    assert any(np.allclose(line.get_ydata(), fixed_90) for line in ax.lines if len(line.get_ydata()) == 101)
    written = [text.get_text() for text in ax.texts]
    assert written == [share for share in ("0", "25", "50", "75", "100") for _ in range(2)]
    # The shear modulus is a single line.
    assert not plots.plot_carpet(T300, "Gxy").texts


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
