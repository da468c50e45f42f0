"""Every public buckling function against what a tired engineer may hand it."""

import numpy as np
import pytest
from walls import isotropic_abd, isotropic_D

from laminate import stability as st

D, ABD = isotropic_D(0.3, 10.0), isotropic_abd(70e9, 0.3, 1e-3)

# Each with arguments that work; bad ones take the place of one of them.
FUNCTIONS = {
    st.critical_loads: {"D": D, "width": 0.1},
    st.buckling_ratio: {"D": D, "width": 0.1, "Nx": -1.0, "Nxy": 0.1, "Ny": 0.0, "Nx_bending": 0.0},
    st.strip_buckling: {"D": D, "width": 0.1, "Nx": -1.0, "Nxy": 0.1, "Ny": 0.0, "Nx_bending": 0.0},
    st.plate_buckling_ratio: {
        "D": D,
        "plate_length": 0.1,
        "width": 0.1,
        "Nx": -1.0,
        "Nxy": 0.1,
        "Nx_bending": 0.0,
    },
    st.neighbor_restraint: {"D": D, "width": 0.1},
    st.anisotropy_bound: {"D": D},
    st.reduced_bending_stiffness: {"abd": ABD},
    st.panel_buckling: {"abd": ABD, "width": 0.1, "radius": 0.5, "Nx": -1.0, "Nxy": 0.1, "Nx_bending": 0.0},
    st.curved_wall_ratio: {"abd": ABD, "width": 0.1, "radius": 0.5, "Nx": -1.0, "Nxy": 0.1},
    st.tube_buckling_ratio: {"abd": ABD, "radius": 0.05, "tube_length": 0.05, "Nx": -1.0, "Nxy": 0.1},
    st.tube_ratio: {
        "abd": ABD,
        "radius": 0.05,
        "tube_length": 0.05,
        "Nx": -1.0,
        "Nxy": 0.0,
        "Nx_bending": 0.0,
    },
    st.compression_knockdown: {"abd": ABD, "radius": 0.05},
    st.bending_knockdown: {"abd": ABD, "radius": 0.05},
    st.brazier_moment: {"abd": ABD, "radius": 0.05},
}

BAD_MATRIX = {
    "another shape": (lambda m: m[:2, :2], "of shape"),
    "unsymmetric": (lambda m: m + np.triu(np.ones_like(m), 1) * m[0, 0] * 0.1, "symmetric"),
    "zero": (lambda m: 0.0 * m, "> 0 on the diagonal"),
    "negative": (lambda m: -m, "> 0 on the diagonal"),
    "indefinite": (lambda m: m * np.where(np.eye(len(m)), 1.0, 4.0), "positive definite"),
    "nan": (lambda m: m * np.nan, "finite"),
    "infinite": (lambda m: np.where(m > 0, np.inf, m), "finite"),
    "words": (lambda m: "stiff", "array of numbers"),
}
BAD_LENGTH = {
    "zero": (0.0, "> 0"), "negative": (-0.1, "> 0"), "nan": (np.nan, "finite|> 0"),
    "mm": (120.0, "given in mm"),    "none": (None, "finite|number|> 0"), "one of many": ([0.1, -0.1], "> 0"),
}  # fmt: skip
BAD_LOAD = {
    "nan": (np.nan, "finite"),
    "infinite": (-np.inf, "finite"),
    "words": ("heavy", "array of numbers"),
}


def cases():
    for function, good in FUNCTIONS.items():
        for name in good:
            if name in ("D", "abd"):
                bad = {key: (make(good[name]), match) for key, (make, match) in BAD_MATRIX.items()}
            elif name in ("width", "plate_length", "radius", "tube_length"):
                bad = dict(BAD_LENGTH)
                if name == "radius" and function in (st.panel_buckling, st.curved_wall_ratio):
                    # The radius of a wall may be as large as it likes.
                    del bad["mm"]
            else:
                bad = BAD_LOAD
            for key, (value, match) in bad.items():
                yield pytest.param(
                    function, good | {name: value}, match, id=f"{function.__name__}-{name}-{key}"
                )


@pytest.mark.parametrize(("function", "arguments", "match"), list(cases()))
def test_bad_input_is_refused_with_reason(function, arguments, match):
    with pytest.raises(ValueError, match=match):
        function(**arguments)


@pytest.mark.parametrize("function", FUNCTIONS)
def test_good_input_is_not(function):
    result = function(**FUNCTIONS[function])
    for part in result if isinstance(result, tuple) else (result,):
        assert np.isfinite(part).all()


@pytest.mark.parametrize(
    ("function", "good"),
    [(f, g) for f, g in FUNCTIONS.items() if "Nx" in g],
    ids=lambda x: getattr(x, "__name__", ""),
)
def test_shapes_that_do_not_fit(function, good):
    with pytest.raises(ValueError, match=r"shapes .*broadcastable"):
        function(**good | {"Nx": [-1.0, -2.0], "Nxy": [0.1, 0.2, 0.3]})


@pytest.mark.parametrize(
    ("call", "match"),
    [
        (lambda: st.critical_loads([D, D], [0.1, 0.2, 0.3]), "broadcastable"),
        (
            lambda: st.critical_loads(D, 0.1, edges="pinned"),
            "edges: got 'pinned', must be one of 'simply supported'",
        ),
        (lambda: st.buckling_ratio(D, 0.1, -1.0, edges="free"), "use strip_buckling"),
        (
            lambda: st.critical_loads(D * [[1, -1, 1], [-1, 1, 1], [1, 1, 0.1]], 0.1),
            "components of D in order",
        ),
        (lambda: st.strip_buckling(D, 0.1, -1.0, edges="clamped"), "a pair"),
        (lambda: st.strip_buckling(D, 0.1, -1.0, edges=("clamped", "glued")), "'glued', must be one of"),
        (lambda: st.strip_buckling(D, 0.1, -1.0, edge_stiffness=-1.0), ">= 0"),
        (lambda: st.strip_buckling(D, 0.1, -1.0, edge_stiffness=[1.0, 2.0, 3.0]), "shape"),
        (lambda: st.strip_buckling(D, 0.1, -1.0, longest_half_wave=0.0), "> 0"),
        (lambda: st.strip_buckling(D, 0.1, -1.0, longest_half_wave=np.nan), "> 0"),
        (lambda: st.strip_buckling(D, 0.1, -1.0, terms=3), "between 4 and 40"),
        (lambda: st.panel_buckling(ABD, 0.1, 0.5, -1.0, terms=99), "between 4 and 40"),
        (lambda: st.panel_buckling(ABD, 0.1, -0.5, -1.0), "> 0"),
        (lambda: st.panel_buckling(ABD, 0.1, 0.5, -1.0, edges=("free", "free")), "finite; it is a column"),
        (lambda: st.plate_buckling_ratio(D, 0.1, 0.1, -1.0, edges=("clamped", "clamped")), "four supports"),
        (lambda: st.plate_buckling_ratio(D, 0.1, 0.1, -1.0, terms=(8, 80)), "between 4 and 40 each"),
        (lambda: st.plate_buckling_ratio(D, 0.1, 0.1, -1.0, terms=(30, 30)), "product <= 600"),
        (lambda: st.plate_buckling_ratio(D, 0.1, 0.1, -1.0, edges=("free",) * 4), "rigid body"),
        (
            lambda: st.plate_buckling_ratio(
                D, 0.1, 0.1, -1.0, edges=("free", "simply supported", "free", "free")
            ),
            "rigid body",
        ),
        (lambda: st.neighbor_restraint(D, 0.1, far_edge="free"), "far_edge"),
        (lambda: st.neighbor_restraint(D, 0.1, load_ratio=np.nan), "finite"),
        (lambda: st.tube_buckling_ratio(ABD, 0.05, 0.05, -1.0, terms=1), "between 2 and"),
    ],
)
def test_other_slips(call, match):
    with pytest.raises(ValueError, match=match):
        call()


def test_a_plate_hinged_on_two_neighboring_edges_is_held():
    """Three corners in a row stay in place: no rigid motion is left."""
    ratio = st.plate_buckling_ratio(
        D, 0.1, 0.1, -1.0, edges=("simply supported", "free", "simply supported", "free"), terms=(10, 10)
    )
    assert 0.0 < ratio < np.inf
