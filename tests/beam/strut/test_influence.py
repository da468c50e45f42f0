import numpy as np
import pytest
from numpy.testing import assert_allclose
from spans import coupled
from struts import LENGTH, strut

from beam.strut import PointLoads, Span, Support, flexibility, force_influence, point_stiffness

STRUT, L = strut(), 0.62
LOADS = PointLoads(at=[0.5, LENGTH], force=np.random.default_rng(1).normal(size=(3, 2, 3)) * 5e3)


def test_influence_lines_sum_to_the_response():
    at = [0.0, 0.25]
    F = force_influence(STRUT.span, at, LOADS.at)
    u = flexibility(STRUT.span, at, LOADS.at)
    assert F.shape == u.shape == (2, 6, 2, 6)
    assert_allclose(
        np.einsum("clj,ljsi->csi", LOADS.wrench, F), STRUT.span.forces(LOADS, at), rtol=1e-11, atol=1e-9
    )
    assert_allclose(
        np.einsum("clj,ljsi->csi", LOADS.wrench, u), STRUT.span.displacement(LOADS, at), rtol=1e-9, atol=1e-15
    )


def test_influence_line_of_a_propped_cantilever():
    """Root moment of a unit load at a: a (L-a)(2L-a)/(2 L^2), Roark (from memory)."""
    span = Span(
        axis=1.0,
        stiffness=np.diag([1e12] * 3 + [1.0, 1, 1]),
        supports=[Support.clamp(), Support.motions(1.0, ("u3",))],
    )
    a = np.linspace(0.1, 0.9, 9)
    M2 = force_influence(span, [0.0], a)[:, 2, 0, 4]
    assert_allclose(-M2, a * (1 - a) * (2 - a) / 2, rtol=1e-9)


def test_stiffness_at_the_axle():
    K = np.diag([1e12, 1e12, 1e12, 5e3, 2e4, 3e4])
    span = Span(axis=0.6, stiffness=K)
    fore, lateral = point_stiffness(span, 0.6, [[0, 2, 0], [0, 0, 1]])
    assert fore == pytest.approx(3 * 3e4 / 0.6**3, rel=1e-6)
    assert lateral == pytest.approx(3 * 2e4 / 0.6**3, rel=1e-6)
    # An arm aft of the axis: lateral load twists as well.
    soft = point_stiffness(span, 0.6, [[0, 0, 1]], arm=[0, 0.3, 0])[0]
    assert 1 / soft == pytest.approx(1 / lateral + 0.3**2 * 0.6 / 5e3, rel=1e-6)
    # An arm beyond the tip.
    beyond = point_stiffness(span, 0.6, [[0, 0, 1]], arm=[0.2, 0, 0])[0]
    assert 1 / beyond == pytest.approx((0.6**3 / 3 + 0.2 * 0.6**2 + 0.2**2 * 0.6) / 2e4, rel=1e-6)
    with pytest.raises(ValueError, match="zero length"):
        point_stiffness(span, 0.6, [[0, 0, 0]])


def test_reciprocity_of_displacements():
    places = [0.11, 0.4, L]
    F = flexibility(Span(axis=L, stiffness=coupled()), places, places)
    assert_allclose(F, np.transpose(F, (2, 3, 0, 1)), rtol=1e-11, atol=1e-20)
