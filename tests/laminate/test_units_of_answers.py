"""Other base units must change what a whole laminate answers as its declared unit says."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from stacks import CARBON, GLASS

from laminate import Laminate, Ply, constants, failure
from laminate.governing import governing
from laminate.interlaminar import delamination_ratio, interlaminar_shear
from laminate.plots.envelope import first_ply_envelope
from laminate.progressive import progressive
from materials import Allowables, Source

# Small steps, so that no limit that is there to catch MPa or mm is crossed on the way.
KG, M, S, K = 2.0, 1.25, 1.5, 0.8
UNIT = {
    "-": 1.0,
    "m": M,
    "1/m": 1 / M,
    "K": K,
    "Pa": KG / M / S**2,
    "N": KG * M / S**2,
    "N/m": KG / S**2,
    "kg/m2": KG / M**2,
    "m/N": S**2 / KG,
}
PA, PER_K = UNIT["Pa"], 1 / K
STRENGTHS = Allowables(
    Xt=1500e6, Xc=1200e6, Yt=40e6, Yc=246e6, S=68e6, e1t=0.009, e1c=0.007, e2t=0.004, e2c=0.02, g12=0.01,
    basis="typical", condition="dry", source=Source("made up for tests"),
)  # fmt: skip


def in_other_units(lamina):
    limits = {name: getattr(lamina.allowables, name) * PA for name in ("Xt", "Xc", "Yt", "Yc", "S")}
    moduli = {name: getattr(lamina, name) * PA for name in ("E1", "E2", "G12", "G13", "G23")}
    return replace(
        lamina,
        **moduli,
        thickness=lamina.thickness * M,
        density=lamina.density * KG / M**3,
        alpha1=lamina.alpha1 * PER_K,
        alpha2=lamina.alpha2 * PER_K,
        allowables=replace(lamina.allowables, **limits),
    )


def stack(change=lambda lamina: lamina):
    kinds = [change(replace(one, allowables=STRENGTHS)) for one in (CARBON, GLASS)]
    return Laminate(
        [Ply(kinds[i], angle) for i, angle in ((0, 20.0), (1, -45.0), (0, 90.0), (0, 5.0), (1, 0.0))]
    )


HERE, THERE = stack(), stack(in_other_units)
N, BEND, SHEAR = np.array([2e5, -3e4, 5e4]), np.array([20.0, 5.0, -8.0]), np.array([3e4, -1e4])
PROFILE = np.linspace(-20.0, 30.0, 10).reshape(5, 2)
FLAT = np.array([1e-3, -4e-4, 8e-4])
DEFORMED = np.concatenate([FLAT, [0.4, -0.2, 0.3]])


def six(first, second):
    return np.repeat([UNIT[first], UNIT[second]], 3)


def respond(laminate, unit):
    return laminate.response(
        N * unit["N/m"],
        [BEND[0] * unit["N"], 0.0, BEND[2] * unit["N"]],
        temperature_change=-90.0 * unit["K"],
        moisture=0.008,
        prescribed={"ky": 0.7 * unit["1/m"]},
        residual_N=-0.3 * N * unit["N/m"],
        residual_M=[2.0 * unit["N"], 0.0, 1.0 * unit["N"]],
        temperature_profile=PROFILE * unit["K"],
        moisture_profile=PROFILE * 1e-5,
    )


SAME = dict.fromkeys(UNIT, 1.0)


@pytest.mark.parametrize(
    ("result", "unit"),
    [
        ("midplane_strain", "-"), ("curvature", "1/m"), ("load_strain", "-"), ("residual_strain", "-"), ("strain", "-"),
        ("load_stress", "Pa"), ("residual_stress", "Pa"), ("stress", "Pa"), ("laminate_strain", "-"),
        ("laminate_stress", "Pa"), ("N", "N/m"), ("M", "N"),
    ],
)  # fmt: skip
def test_response(result, unit):
    here = getattr(respond(HERE, SAME), result)
    assert_allclose(
        getattr(respond(THERE, UNIT), result), here * UNIT[unit], rtol=1e-9, atol=1e-12 * abs(here).max()
    )


def loaded(u):
    return np.concatenate([N * u["N/m"], BEND * u["N"]])


def deformed(u):
    return np.concatenate([FLAT, DEFORMED[3:] * u["1/m"]])


CONSTANTS = np.array([PA, PA, PA, 1.0, 1.0, 1.0, 1.0])
ANSWERS = {
    "ply_free_strain": (lambda s, u: s.ply_free_strain([[-90.0 * u["K"]]], [[0.008]]), 1.0),
    "resultants_of": (lambda s, u: s.resultants_of(np.full((5, 1, 3), 1e-3)), six("N/m", "N")),
    "free_strain": (lambda s, u: s.free_strain(-90.0 * u["K"], 0.008), six("-", "1/m")),
    "moduli": (lambda s, u: s.moduli(), CONSTANTS),
    "flexural_moduli": (lambda s, u: s.flexural_moduli(), CONSTANTS),
    "moduli_along": (lambda s, u: constants.moduli_along(s.moduli(), 33.0), CONSTANTS),
    "areal_density": (lambda s, u: s.areal_density, UNIT["kg/m2"]),
    "transverse_shear": (lambda s, u: s.transverse_shear, UNIT["N/m"]),
    "interfaces": (lambda s, u: s.interfaces, M),
    "interlaminar_shear": (
        lambda s, u: interlaminar_shear(s.q_bar, s.ply_thickness, SHEAR * u["N/m"])[1],
        PA,
    ),
    "interlaminar_shear, heights": (
        lambda s, u: interlaminar_shear(s.q_bar, s.ply_thickness, SHEAR * u["N/m"])[0],
        M,
    ),
    "delamination_ratio": (
        lambda s, u: delamination_ratio(
            9e6 * u["Pa"], 2e7 * u["Pa"], tensile_strength=3e7 * u["Pa"], shear_strength=6e7 * u["Pa"]
        ),
        1.0,
    ),
    "governing of deformation": (lambda s, u: governing(s).ratio(deformed(u)), 1.0),
    "governing of loads, with residuals": (
        lambda s, u: governing(
            s, failure.MaxStrain(), temperature_change=-50.0 * u["K"], moisture=0.003,
            residual_N=1e-2 * N * u["N/m"], residual_M=1e-2 * BEND * u["N"],
        ).ratio_of_loads(loaded(u)),
        1.0,
    ),
    "governing of strain": (lambda s, u: governing(s, failure.Hoffman()).ratio_of_strain(FLAT), 1.0),
    "envelope in stress": (
        lambda s, u: first_ply_envelope(s, failure.TsaiWu(), third=5e6 * u["Pa"], temperature_change=-30.0 * u["K"]),
        PA,
    ),
    "envelope in strain": (lambda s, u: first_ply_envelope(s, failure.Hashin(), space="strain"), 1.0),
}  # fmt: skip


@pytest.mark.parametrize("name", ANSWERS)
def test_answers(name):
    ask, factor = ANSWERS[name]
    here = np.asarray(ask(HERE, SAME))
    assert_allclose(ask(THERE, UNIT), here * factor, rtol=1e-8, atol=1e-10 * abs(here).max())


@pytest.mark.parametrize("criterion", failure.CRITERIA, ids=lambda c: c.name)
def test_progressive_failure(criterion):
    here, there = (
        progressive(
            s, N * u["N/m"], BEND * u["N"], criterion=criterion, temperature_change=-30.0 * u["K"], moisture=0.002
        ).steps
        for s, u in ((HERE, SAME), (THERE, UNIT))
    )  # fmt: skip
    assert len(here) > 1
    assert [one.failures for one in there] == [one.failures for one in here]
    assert_allclose([one.factor for one in there], [one.factor for one in here], rtol=1e-7)
    for one, other in zip(here, there, strict=True):
        assert_allclose(other.deformation, one.deformation * six("-", "1/m"), rtol=1e-6, atol=1e-12)
