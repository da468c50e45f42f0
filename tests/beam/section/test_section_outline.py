"""Geometry of outlines: lengths, areas, offsets and place functions, against quadrature and by hand."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from section_cases import cross, metal, outlines

from beam.section import Contour, Section, network, rounded_box
from beam.section.contour import SERIES, chord, first_moment, place_functions, segment
from beam.section.outline import box, ellipse, filleted, polygon, round_tube, wall_names
from beam.section.wall_equations import measure

T = np.array([1.0, 2.0, 3.0, 1.5, 2.5, 1.0, 2.0, 1.8]) * 1e-3


@pytest.mark.parametrize("name", outlines())
def test_functions_of_the_place_against_quadrature(name):
    """Arc length, first moments and area swept are the running integrals of 1, y2, y3 and r x t."""
    contour = outlines()[name]
    x, w = np.polynomial.legendre.leggauss(20)
    for at in (0.37, 1.0):
        f = place_functions(contour, np.array([at]))[:, 0]
        r, t = contour.position(at * 0.5 * (1 + x)), contour.tangent(at * 0.5 * (1 + x))
        ds = at * 0.5 * w * contour.length[:, None]
        size = contour.length.max() * np.abs(contour.start).max()
        np.testing.assert_allclose(f[:, 1:3], contour.position(at), rtol=1e-13)
        np.testing.assert_allclose(f[:, 3:5], contour.tangent(at), rtol=1e-13, atol=1e-15)
        np.testing.assert_allclose(f[:, 5], ds.sum(axis=1), rtol=1e-13)
        np.testing.assert_allclose(f[:, 6:8], np.einsum("wp,wpk->wk", ds, r), rtol=0, atol=1e-13 * size)
        np.testing.assert_allclose(f[:, 8], (ds * cross(r, t)).sum(axis=1), rtol=0, atol=1e-13 * size)
        np.testing.assert_allclose(
            f[:, 9], np.einsum("wk,wk->w", contour.position(at), contour.tangent(at)), rtol=0, atol=1e-14
        )
        np.testing.assert_allclose(
            contour.position(at) - contour.start, np.einsum("wp,wpk->wk", ds, t), rtol=0, atol=1e-14
        )


@pytest.mark.parametrize("name", outlines())
def test_moments_against_finer_quadrature(name):
    contour = outlines()[name]
    x, w = np.polynomial.legendre.leggauss(30)
    f = place_functions(contour, 0.5 * (1 + x))
    exact = np.einsum("wp,wpa,wpb->wab", 0.5 * w * contour.length[:, None], f, f)
    found = measure(contour).moments
    size = np.sqrt(np.einsum("waa->wa", exact))
    np.testing.assert_allclose(found, exact, rtol=0, atol=1e-12 * (size[:, :, None] * size[:, None, :]).max())


@settings(max_examples=50, deadline=None)
@given(st.floats(-6.2, 6.2))
def test_arc_functions(x):
    """Against the integrals that define them."""
    u, w = np.polynomial.legendre.leggauss(40)
    u, w = 0.5 * (1 + u), 0.5 * w
    reached = u * np.array([complex(chord(np.asarray(x * k))) for k in u])
    np.testing.assert_allclose(complex(chord(np.asarray(x))), w @ np.exp(1j * x * u), rtol=0, atol=1e-14)
    np.testing.assert_allclose(complex(first_moment(np.asarray(x))), w @ reached, rtol=0, atol=1e-14)
    np.testing.assert_allclose(
        float(segment(np.asarray(x))), w @ (np.conj(reached) * np.exp(1j * x * u)).imag, rtol=0, atol=1e-14
    )


def test_arc_functions_join_at_the_series():
    below, above = np.nextafter(SERIES, 0.0), np.nextafter(SERIES, 1.0)
    assert float(segment(np.asarray(below))) == pytest.approx(float(segment(np.asarray(above))), rel=1e-13)
    assert float(segment(np.asarray(0.0))) == 0.0
    assert float(segment(np.asarray(1e-8))) == pytest.approx(1e-8 / 6, rel=1e-14)


@pytest.mark.parametrize(("surface", "side"), [("outside", -0.5), ("middle", 0.0), ("inside", 0.5)])
def test_rounded_box_by_hand(surface, side):
    w, h, r = 0.08, 0.05, 0.012
    c = rounded_box(w, h, r, T, surface=surface, faces=("a", "b", "c", "d"))
    assert c.names == ("a", "a-b", "b", "b-c", "c", "c-d", "d", "d-a")
    flats = [w - 2 * r, h - 2 * r] * 2
    np.testing.assert_allclose(c.length[0::2], flats, rtol=1e-12)
    np.testing.assert_allclose(c.length[1::2], np.pi / 2 * (r + side * T[1::2]), rtol=1e-12)
    np.testing.assert_allclose(
        c.position(0.5)[0::2],
        [
            [0, h / 2 + side * T[0]],
            [w / 2 + side * T[2], 0],
            [0, -h / 2 - side * T[4]],
            [-w / 2 - side * T[6], 0],
        ],
        atol=1e-15,
    )
    center, out = np.array([w / 2 - r, h / 2 - r]), np.sqrt(0.5) * (r + side * T[1])
    np.testing.assert_allclose(c.position(0.5)[1], center + out, rtol=1e-12)
    np.testing.assert_allclose(c.normal(0.5)[[0, 2, 4, 6]], [[0, 1], [1, 0], [0, -1], [-1, 0]], atol=1e-15)
    # Neighbors of different thickness stand apart by half the difference, square to both.
    gap = np.roll(c.start, -1, axis=0) - c.finish
    np.testing.assert_allclose(
        np.linalg.norm(gap, axis=1), abs(side) * np.abs(np.roll(T, -1) - T), atol=1e-15
    )


def test_sizes_broadcast_to_a_batch():
    width, radius = np.array([0.08, 0.09, 0.1])[:, None], np.array([0.01, 0.012])
    c = rounded_box(width, 0.05, radius, T)
    assert c.start.shape == (3, 2, 8, 2)
    assert c.length.shape == (3, 2, 8)
    one = rounded_box(0.09, 0.05, 0.012, T)
    np.testing.assert_allclose(c.start[1, 1], one.start, rtol=1e-14)
    np.testing.assert_allclose(c.length[1, 1], one.length, rtol=1e-14)


def test_mitred_corners_of_a_tool_surface():
    c = box(0.08, 0.05, [2e-3, 4e-3, 2e-3, 1e-3], surface="outside")
    np.testing.assert_allclose(
        c.start, [[-0.0395, 0.024], [0.038, 0.024], [0.038, -0.024], [-0.0395, -0.024]], atol=1e-15
    )
    np.testing.assert_allclose(np.roll(c.start, -1, axis=0), c.finish, atol=1e-15)


def test_mandrel_and_tool_of_one_wall_are_one_section():
    """The outside of a mandrel-wound box is the tool of the same box."""
    w, h, r, t = 0.08, 0.05, 0.012, 2e-3
    inside = rounded_box(w, h, r, np.full(8, t), surface="inside")
    outside = rounded_box(w + 2 * t, h + 2 * t, r + t, np.full(8, t), surface="outside")
    np.testing.assert_allclose(inside.start, outside.start, atol=1e-15)
    np.testing.assert_allclose(inside.length, outside.length, rtol=1e-12)
    np.testing.assert_allclose(round_tube(0.05, t, surface="inside").length, round_tube(0.05 + t / 2).length)
    np.testing.assert_allclose(round_tube(0.05, t, surface="outside").length, round_tube(0.05 - t / 2).length)


def test_a_box_is_a_filleted_rectangle():
    points = [[-0.04, 0.025], [0.04, 0.025], [0.04, -0.025], [-0.04, -0.025]]
    one, other = rounded_box(0.08, 0.05, 0.012, T), filleted(points, [0.012], T)
    np.testing.assert_allclose(one.start, other.start, atol=1e-15)


def test_hollow_corner_bends_the_other_way():
    """An L-shaped cell: five corners bulge, one is hollow; offset outward its radius shrinks."""
    points = np.array([[0, 0.06], [0.03, 0.06], [0.03, 0.03], [0.08, 0.03], [0.08, 0], [0, 0]])
    t = 1e-3
    c = filleted(points, [5e-3], t, surface="inside")
    radius = c.length[1::2] / np.abs(c.turn[1::2])
    hollow = c.turn[1::2] > 0
    assert hollow.sum() == 1
    np.testing.assert_allclose(radius[hollow], 5e-3 - t / 2)
    np.testing.assert_allclose(radius[~hollow], 5e-3 + t / 2)
    np.testing.assert_allclose(np.roll(c.start, -1, axis=0), c.finish, atol=1e-15)
    assert c.turn.sum() == pytest.approx(-2 * np.pi)


def test_point_amid_a_flat_face_steps_the_thickness():
    points = [[-0.04, 0.02], [0, 0.02], [0.04, 0.02], [0.04, -0.02], [-0.04, -0.02]]
    c = polygon(points, [1e-3, 3e-3, 1e-3, 1e-3, 1e-3], surface="outside")
    np.testing.assert_allclose(c.finish[0], [0, 0.0195], atol=1e-15)
    np.testing.assert_allclose(c.start[1], [0, 0.0185], atol=1e-15)
    np.testing.assert_allclose(c.joints[1], [0, 0.019], atol=1e-15)


def test_offset_moves_every_wall_along_its_normal():
    c = outlines()["two cells and a flange"]
    d = np.linspace(-1e-3, 2e-3, 8)
    at = np.array([0.0, 0.4, 1.0])
    np.testing.assert_allclose(
        c.offset(d).position(at), c.position(at) + d[:, None, None] * c.normal(at), atol=1e-15
    )
    np.testing.assert_allclose(c.offset(d).tangent(at), c.tangent(at), atol=1e-15)


def test_ellipse_lies_on_the_ellipse_and_is_smooth():
    c = ellipse(0.08, 0.05, pairs=3)
    np.testing.assert_allclose(np.roll(c.start, -1, axis=0), c.finish, atol=1e-15)
    np.testing.assert_allclose(np.roll(c.tangent(0.0), -1, axis=0), c.tangent(1.0), atol=1e-12)
    y = c.start[0::2]
    np.testing.assert_allclose((y[:, 0] / 0.04) ** 2 + (y[:, 1] / 0.025) ** 2, 1, rtol=1e-12)
    assert (c.turn < 0).all()
    assert c.names[0] == "+e3 1"
    np.testing.assert_allclose(c.finish[2], [0.0, 0.025], atol=2e-4)
    wound = ellipse(0.08, 0.05, [1e-3, 2e-3, 1e-3, 2e-3], surface="inside", pairs=3)
    np.testing.assert_allclose(wound.start[0] - c.start[0], 0.5e-3 * c.normal(0.0)[0], atol=1e-15)
    np.testing.assert_allclose(wound.start[6] - c.start[6], 1e-3 * c.normal(0.0)[6], atol=1e-15)


def test_network_makes_arcs_between_joints():
    half = network([[-0.05, 0.0], [0.05, 0.0]], [[0, 1], [1, 0]], turn=[-np.pi, 0.0])
    assert half.length[0] == pytest.approx(0.05 * np.pi)
    np.testing.assert_allclose(half.position(0.5)[0], [0, 0.05], atol=1e-15)
    np.testing.assert_allclose(half.finish, [[0.05, 0], [-0.05, 0]], atol=1e-15)


def test_arrays_are_copied_and_frozen():
    start = np.array([[0.0, 0.0], [1.0, 0.0]])
    c = Contour(
        start=start, direction=[0.0, np.pi], length=[1.0, 1.0], turn=[0.0, 0.0], ends=[[0, 1], [1, 0]]
    )
    start[0, 0] = 9.0
    assert c.start[0, 0] == 0.0
    with pytest.raises(ValueError, match="read-only"):
        c.length[0] = 2.0


def test_constructors_of_section_use_these_outlines():
    t = metal(2e-3)
    np.testing.assert_array_equal(Section.tube(0.05, t).contour.start, round_tube(0.05).start)
    np.testing.assert_array_equal(
        Section.box(0.08, 0.05, t, surface="outside").contour.start,
        box(0.08, 0.05, 2e-3, surface="outside").start,
    )
    points = [[-0.04, 0.025], [0.04, 0.025], [0.03, -0.025]]
    np.testing.assert_array_equal(Section.from_walls(points, t).contour.start, polygon(points).start)
    rounded = Section.from_walls(points, t, radius=5e-3, surface="inside")
    np.testing.assert_array_equal(
        rounded.contour.start, filleted(points, [5e-3], 2e-3, surface="inside").start
    )
    assert Section.rounded_box(0.08, 0.05, 0.012, t).contour.names == wall_names()
    walls = [metal(x) for x in (1e-3, 2e-3, 3e-3, 4e-3)]
    oval = Section.ellipse(0.08, 0.05, walls, pairs=1)
    assert [w.thickness for w in oval.laminates] == [1e-3] * 2 + [2e-3] * 2 + [3e-3] * 2 + [4e-3] * 2
