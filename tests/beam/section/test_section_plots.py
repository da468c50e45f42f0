"""Section drawings: drawn on the axes given, to scale, and never shown or saved."""

import matplotlib

matplotlib.use("Agg")

import matplotlib.pyplot as plt
import numpy as np
import pytest
from section_cases import metal

from beam.section import Section
from beam.section.plots import plot_section, plot_wall_load


@pytest.fixture
def ax():
    figure, axes = plt.subplots()
    yield axes
    plt.close(figure)


SECTION = Section.rounded_box(0.08, 0.05, 0.012, [metal(3e-3), *[metal(2e-3)] * 7])


def test_walls_are_drawn_to_scale(ax):
    assert plot_section(SECTION, ax=ax) is ax
    vertices = np.concatenate([path.vertices for path in ax.collections[0].get_paths()])
    np.testing.assert_allclose(vertices.min(axis=0), [-40, -25], atol=1e-9)
    np.testing.assert_allclose(vertices.max(axis=0), [40, 25], atol=1e-9)
    assert [text.get_text() for text in ax.texts] == list(SECTION.contour.names)
    marks = {line.get_label(): line.get_xydata()[0] for line in ax.lines}
    np.testing.assert_allclose(marks["centroid"], 1e3 * SECTION.centroid)
    np.testing.assert_allclose(marks["shear center"], 1e3 * SECTION.shear_center)


@pytest.mark.parametrize("component", ["Nx", "Nxy", "Mx"])
def test_largest_wall_load_is_written(ax, component):
    F = [0, 0, 1000.0, 0, 50.0, 0]
    plot_wall_load(SECTION, F, component, ax=ax)
    row = ["Nx", "Ny", "Nxy", "Mx", "My", "Mxy"].index(component)
    value = SECTION.wall_loads(F, np.linspace(0, 1, 41))[..., row].ravel()
    shown = [text.get_text() for text in ax.texts if text.get_text()]
    scale, unit = (1.0, "N") if component == "Mx" else (1e-3, "kN/m")
    assert shown == [f"{value[np.abs(value).argmax()] * scale:.4g} {unit}"]


def test_arrows_follow_the_shear_flow(ax):
    """Positive torque turns e2 toward e3: every arrow runs counter-clockwise."""
    plot_wall_load(SECTION, [0, 0, 0, 100.0, 0, 0], ax=ax)
    arrows = [text for text in ax.texts if text.arrow_patch]
    assert len(arrows) == 24
    for arrow in arrows:
        head, tail = np.array(arrow.xy), np.array(arrow.xyann)
        assert tail[0] * head[1] - tail[1] * head[0] > 0


def test_without_load_the_walls_alone_are_drawn(ax):
    plot_wall_load(SECTION, np.zeros(6), ax=ax)
    assert [text.get_text() for text in ax.texts] == ["0 kN/m"]
    walls = SECTION.contour.position(np.linspace(0, 1, 41)) * 1e3
    for line, wall in zip(ax.lines[3:], walls, strict=True):
        np.testing.assert_allclose(line.get_xydata(), wall)


def test_own_axes():
    ax = plot_section(SECTION)
    assert ax.get_xlabel() == "y2, along e2 [mm]"
    assert not plot_section(SECTION, names=False).texts
    plt.close("all")
