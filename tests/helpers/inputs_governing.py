"""One good call of every public callable that finds which ply governs, and which go after it."""

import importlib

import numpy as np
from bad_input import Argument, fixed, flag, items, number, thing, values

from laminate import Laminate, failure
from laminate.governing import Governing, allowables_of, governing
from laminate.progressive import Damage, discounted_stiffness, progressive
from materials import lamina

T300 = lamina("T300/5208")
QUASI = Laminate.from_code("[0/45/-45/90]s", T300)
PREPARED = governing(QUASI)
DEFORMED = values(np.full(6, 1e-3), 1, leading=False)
ENVIRONMENT = {"temperature_change": number(-100.0, slips=(-2000.0,)), "moisture": number(0.01, slips=(1.0,))}


def one_load(good, *, zero):
    """Running loads or moments of one case; `zero` says that 0 stands for none."""
    bad = dict(values(good, 1, leading=False, one=zero).bad)
    return Argument(good=good, bad=bad | {"two cases": [good, good], "too many": [*good, 0.0]})


REGISTRY = {
    governing: {
        "laminate": thing(QUASI),
        "criterion": Argument(
            good=failure.tsai_wu_surfaces,
            bad=dict(thing(failure.tsai_wu_surfaces).bad)
            | {"the ratio": failure.tsai_wu, "no surfaces": lambda a: (), "a factor": lambda a: 1.5},
        ),
        "residual_N": one_load([1e3, 0.0, 0.0], zero=True),
        "residual_M": one_load([1.0, 0.0, 0.0], zero=True),
    }
    | ENVIRONMENT,
    Governing.ratio: {"self": fixed(PREPARED), "deformation": DEFORMED},
    Governing.place: {"self": fixed(PREPARED), "deformation": DEFORMED},
    Governing.ratio_of_loads: {"self": fixed(PREPARED), "loads": DEFORMED},
    Governing.ratio_of_strain: {
        "self": fixed(PREPARED),
        "strain": values(np.full(3, 1e-3), 1, leading=False),
    },
    allowables_of: {"lamina": thing(T300)},
    progressive: {
        "laminate": thing(QUASI),
        "N": one_load([1e5, 0.0, 0.0], zero=False),
        "M": one_load([1.0, 0.0, 0.0], zero=False),
        "criterion": thing(failure.tsai_wu),
        "parameters": Argument(
            good={"interaction": 0.0},
            bad={
                "a word": "interaction",
                "a number": 3.0,
                "unknown": {"inter": 0.0},
                "a number as name": {1: 0.0},
                "of another criterion": {"shear_modulus": 5e9},
                "the residual": {"residual": [0.0, 0.0, 1e6]},
            },
        ),
        "complete": flag(True),
        "matrix_left": number(1e-6, "positive", slips=(10.0,)),
        "fiber_left": number(1e-6, "positive", slips=(10.0,)),
    }
    | ENVIRONMENT,
    discounted_stiffness: {
        "laminate": thing(QUASI),
        "damage": items([Damage.MATRIX] * 8, ("x", None, "intact")),
        "matrix_left": number(1e-6, "not negative", slips=(10.0,)),
        "fiber_left": number(1e-6, "not negative", slips=(10.0,)),
    },
}
# `laminate.governing` is offered as a function too in some doors: the module is asked for by its name.
MODULES = tuple(importlib.import_module(f"laminate.{name}") for name in ("governing", "progressive"))
EXCLUDED = {
    "Damage": "a list of words",
    "Governing": "made by governing",
    "PlyFailure": "a part of Progression",
    "Progression": "a result, made by progressive",
    "Step": "a part of Progression",
}
