"""Slips that only some buckling functions know; what all must refuse is in test_bad_input.py."""

import numpy as np
import pytest
from walls import isotropic_abd, isotropic_D

from laminate import stability as st

D, ABD = isotropic_D(0.3, 10.0), isotropic_abd(70e9, 0.3, 1e-3)


@pytest.mark.parametrize(
    ("call", "match"),
    [
        (
            lambda: st.critical_loads(D, 0.1, edges="pinned"),
            "edges: got 'pinned', must be one of 'simply supp",
        ),
        (lambda: st.buckling_ratio(D, 0.1, -1.0, edges="free"), "use strip_buckling"),
        (
            lambda: st.critical_loads(D * [[1, -1, 1], [-1, 1, 1], [1, 1, 0.1]], 0.1),
            "components of D in order",
        ),
        (lambda: st.critical_loads(D, 120.0), "given in mm"),
        (lambda: st.strip_buckling(D, 0.1, -1.0, edges="clamped"), "a pair"),
        (lambda: st.strip_buckling(D, 0.1, -1.0, edges=("clamped", "glued")), "'glued', must be one of"),
        (lambda: st.panel_buckling(ABD, 0.1, 0.5, -1.0, edges=("free", "free")), "finite; it is a column"),
        (lambda: st.panel_buckling(ABD, 0.32, 0.05, -1.0), "longer than the circle"),
        (lambda: st.plate_buckling_ratio(D, 0.1, 0.1, -1.0, edges=("clamped", "clamped")), "four supports"),
        (lambda: st.plate_buckling_ratio(D, 0.1, 0.1, -1.0, terms=(30, 30)), "product <= 600"),
        (lambda: st.plate_buckling_ratio(D, 0.1, 0.1, -1.0, edges=("free",) * 4), "rigid body"),
        (
            lambda: st.plate_buckling_ratio(
                D, 0.1, 0.1, -1.0, edges=("free", "simply supported", "free", "free")
            ),
            "rigid body",
        ),
    ],
)
def test_slips_that_only_some_functions_know(call, match):
    with pytest.raises(ValueError, match=match):
        call()


def test_a_plate_hinged_on_two_neighboring_edges_is_held():
    """Three corners in a row stay in place: no rigid motion is left."""
    ratio = st.plate_buckling_ratio(
        D, 0.1, 0.1, -1.0, edges=("simply supported", "free", "simply supported", "free"), terms=(10, 10)
    )
    assert 0.0 < ratio < np.inf
