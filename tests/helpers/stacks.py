"""Laminae and random stacks that the laminate tests share."""

import math

from hypothesis import strategies as st

from laminate import Laminate, Ply
from materials.lamina import Lamina
from materials.source import Source

TSAI_HAHN = Source("S. W. Tsai, H. T. Hahn, Introduction to Composite Materials, 1980", note="from memory")
MADE_UP = Source("made up for tests", note="round numbers of a usual size")

# density: made up, the source gives none that is used here; G23 likewise
CARBON = Lamina(
    name="T300/5208",
    kind="tape",
    E1=181e9,
    E2=10.3e9,
    G12=7.17e9,
    nu12=0.28,
    thickness=125e-6,
    density=1600.0,
    G13=7.17e9,
    G23=3.8e9,
    alpha1=0.02e-6,
    alpha2=22.5e-6,
    beta2=0.6,
    source=TSAI_HAHN,
)
WEAVE = Lamina(
    name="weave",
    kind="fabric",
    E1=60e9,
    E2=60e9,
    G12=4e9,
    nu12=0.05,
    thickness=250e-6,
    density=1550.0,
    G13=3e9,
    G23=3e9,
    alpha1=3e-6,
    alpha2=3e-6,
    beta1=0.05,
    beta2=0.05,
    source=MADE_UP,
)
GLASS = Lamina(
    name="glass",
    kind="tape",
    E1=40e9,
    E2=9e9,
    G12=4e9,
    nu12=0.27,
    thickness=200e-6,
    density=1900.0,
    G13=4e9,
    G23=3e9,
    alpha1=7e-6,
    alpha2=25e-6,
    beta2=0.5,
    source=MADE_UP,
)

ANGLES = st.one_of(st.sampled_from([0.0, 45.0, -45.0, 90.0]), st.floats(-90, 90))
CODED = st.one_of(
    st.sampled_from([0.0, 30.0, -30.0, 45.0, -45.0, 90.0]), st.integers(-900, 900).map(lambda a: a / 10)
)


@st.composite
def laminae(draw: st.DrawFn) -> Lamina:
    """Any material that thermodynamics allows, within the sizes of fiber composites."""
    E1 = draw(st.floats(5e9, 400e9))
    E2 = draw(st.floats(2e9, 60e9))
    bound = min(math.sqrt(E1 / E2), 0.9)
    return Lamina(
        name="random",
        kind="tape",
        E1=E1,
        E2=E2,
        G12=draw(st.floats(1e9, 30e9)),
        nu12=draw(st.floats(-0.9, 0.9)) * bound,
        thickness=draw(st.floats(5e-5, 2e-3)),
        density=1500.0,
        G13=draw(st.floats(1e9, 30e9)),
        G23=draw(st.floats(1e9, 30e9)),
        alpha1=draw(st.floats(-1e-6, 3e-5)),
        alpha2=draw(st.floats(0, 6e-5)),
        beta1=draw(st.floats(0, 0.1)),
        beta2=draw(st.floats(0, 0.6)),
        source=MADE_UP,
    )


@st.composite
def stacks(draw: st.DrawFn, most: int = 8) -> Laminate:
    """A stack of up to `most` plies of up to two materials."""
    kinds = draw(st.lists(laminae(), min_size=1, max_size=2))
    plies = draw(st.lists(st.builds(Ply, st.sampled_from(kinds), ANGLES), min_size=1, max_size=most))
    return Laminate(tuple(plies))
