"""What holds for every function on arrays: cases together equal their loop, shapes fit or are refused, units scale."""

import inspect
import itertools

import numpy as np
import pytest
from calls_laminate import CALLS
from numpy.testing import assert_allclose
from refusals import ARRAYS, complaint, declarations, parts_of

from laminate import Response, batch, constants, interlaminar, notch, stability
from laminate import lamina_stiffness as ply_stiffness


def leading(function):
    """Array arguments with leading axes, each with its number of trailing axes."""
    kinds = {name: parts_of(hint) for name, hint in declarations(function).items()}
    return {
        name: len(limits.last)
        for name, (kind, limits, *_) in kinds.items()
        if kind in ARRAYS and not limits.shape
    }


def call(function, arguments):
    given = dict(arguments)
    front = [given.pop("self")] if "self" in given else []
    result = function(*front, **given)
    if isinstance(result, Response):
        result = result.load_stress, result.residual_strain, result.deformation
    return [np.asarray(part) for part in (result if isinstance(result, tuple) else (result,))]


TOGETHER = [f for f in CALLS if getattr(f, "together", False)]


def test_functions_on_arrays_are_found():
    assert len(TOGETHER) > 20
    assert stability.strip_buckling in TOGETHER


@pytest.mark.parametrize("function", TOGETHER, ids=lambda f: f.__qualname__)
def test_cases_together_equal_their_loop(function):
    """Arrays in turn on one of two new axes in front, two unlike cases on each."""
    arguments, axes = dict(CALLS[function]), leading(function)
    arguments.pop("prescribed", None)
    two = {
        name: np.stack([value := np.asarray(arguments[name], dtype=float), value * (1 - 0.01 * (place + 1))])
        for place, name in enumerate(axes)
    }
    spread = {name: two[name][:, None] if place % 2 else two[name] for place, name in enumerate(axes)}
    together = call(function, arguments | spread)
    size = (2 if len(axes) > 1 else 1, 2)
    for i, j in np.ndindex(size):
        one = {name: two[name][i if place % 2 else j] for place, name in enumerate(axes)}
        for whole, alone in zip(together, call(function, arguments | one), strict=True):
            whole = np.broadcast_to(whole, size + alone.shape)
            assert_allclose(whole[i, j], alone, rtol=1e-8, atol=1e-9 * np.abs(alone).max(initial=0.0))


@pytest.mark.parametrize("function", TOGETHER, ids=lambda f: f.__qualname__)
def test_leading_axes_that_do_not_fit_are_refused(function):
    names = list(leading(function))
    for one, other in itertools.pairwise(names):
        arguments = dict(CALLS[function])
        arguments |= {one: np.stack([arguments[one]] * 2), other: np.stack([arguments[other]] * 3)}
        assert not complaint(function, arguments, "broadcastable")


# Other base units, close to the old ones so that no limit against slips of units is crossed.
KG, M, S = 2.0, 1.25, 1.5
NEWTON = KG * M / S**2
UNIT = {
    "-": 1.0, "deg": 1.0, "m": M, "1/m": 1 / M, "N": NEWTON, "N/m": NEWTON / M, "N m": NEWTON * M,
    "Pa": NEWTON / M**2, "1/Pa": M**2 / NEWTON,
}  # fmt: skip
UNIT["N/m, N, N m"] = np.kron([[UNIT["N/m"], UNIT["N"]], [UNIT["N"], UNIT["N m"]]], np.ones((3, 3)))
MODULI = ("Pa", "Pa", "Pa", "-", "-", "-", "-")
RESULTS = {
    ply_stiffness.q_reduced: "Pa", ply_stiffness.q_rotated: "Pa",
    batch.abd_of_choices: "N/m, N, N m", constants.inplane_moduli: MODULI, constants.flexural_moduli: MODULI,
    stability.anisotropy_bound: "-", stability.reduced_bending_stiffness: "N m", stability.neighbor_restraint: "N",
    stability.critical_loads: ("N/m",) * 4, stability.buckling_ratio: "-", stability.strip_buckling: ("-", "m"),
    stability.plate_buckling_ratio: "-", stability.panel_buckling: ("-", "m"), stability.tube_buckling_ratio: "-",
    stability.compression_knockdown: "-", stability.bending_knockdown: "-", stability.brazier_moment: "N m",
    stability.tube_ratio: "-", stability.curved_wall_ratio: "-",
    interlaminar.corner_stress: ("m", "Pa", "Pa", "Pa"), interlaminar.radial_peak: ("Pa", "m"),
    interlaminar.interlaminar_shear: ("m", "Pa"), interlaminar.delamination_ratio: "-",
    notch.finite_width_factor: "-", notch.open_hole_ratio: "-", notch.characteristic_distance: "m",
}  # fmt: skip
PLAIN = {ply_stiffness.strain_rotation}  # numbers without a unit


def units_of(function):
    kinds = {name: parts_of(hint) for name, hint in declarations(function).items()}
    return {name: limits.unit for name, (kind, limits, *_) in kinds.items() if kind in (float, *ARRAYS)}


def test_every_function_of_plain_numbers_is_scaled():
    objects = {"self", "laminate", "lamina", "moduli", "response"}
    plain = {f for f in CALLS if inspect.isfunction(f) and units_of(f) and not objects & set(CALLS[f])}
    assert plain - PLAIN == set(RESULTS)


@pytest.mark.parametrize("function", RESULTS, ids=lambda f: f.__name__)
def test_base_units_scale_the_answer_by_its_unit(function):
    arguments, units = CALLS[function], units_of(function)
    scaled = {
        name: np.asarray(arguments[name]) * UNIT[unit] for name, unit in units.items() if name != "choice"
    }
    here, there = call(function, arguments), call(function, arguments | scaled)
    asked = RESULTS[function]
    results = asked if isinstance(asked, tuple) else (asked,)
    for unit, old, new in zip(results, here, there, strict=True):
        rtol = 1e-3 if results == ("-", "m") else 1e-7  # a half wave is found to this
        assert_allclose(new, old * UNIT[unit], rtol=rtol, atol=1e-9 * np.abs(old * UNIT[unit]).max())
