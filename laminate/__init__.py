"""What a stack of plies does: orientation code, stiffness, response, failure, buckling, lay-up rules.

`Laminate` is the main object. The functions on plain arrays and the packages below are loaded on first use:
`batch`, `constants`, `interlaminar`, `plots`, `rules`, `stability`, `symbolic`.
"""

from typing import TYPE_CHECKING

from laminate import failure
from laminate.orientation import angles, code, labels
from laminate.response import Response
from laminate.stack import Laminate, Ply
from materials.lazy import lazy_names

_NAMES = {
    "laminate.lamina_stiffness": (
        "OffAxisModuli",
        "invariants",
        "moduli_of",
        "off_axis_moduli",
        "q_reduced",
        "q_rotated",
        "strain_rotation",
    ),
    "laminate.lamination": ("abd_of_parameters", "lamination_parameters"),
    "laminate.transverse_shear": ("shear_modulus_rotated", "shear_spread", "shear_stiffness"),
}
_PARTS = ("batch", "constants", "interlaminar", "plots", "rules", "stability", "symbolic")
_WHERE = {name: module for module, names in _NAMES.items() for name in names}
_WHERE |= {part: f"laminate.{part}" for part in _PARTS}

__all__ = ["Laminate", "Ply", "Response", "angles", "code", "failure", "labels", *_WHERE]
__getattr__, __dir__ = lazy_names("laminate", _WHERE)

if TYPE_CHECKING:
    from laminate import batch as batch
    from laminate import constants as constants
    from laminate import interlaminar as interlaminar
    from laminate import plots as plots
    from laminate import rules as rules
    from laminate import stability as stability
    from laminate import symbolic as symbolic
    from laminate.lamina_stiffness import OffAxisModuli as OffAxisModuli
    from laminate.lamina_stiffness import invariants as invariants
    from laminate.lamina_stiffness import moduli_of as moduli_of
    from laminate.lamina_stiffness import off_axis_moduli as off_axis_moduli
    from laminate.lamina_stiffness import q_reduced as q_reduced
    from laminate.lamina_stiffness import q_rotated as q_rotated
    from laminate.lamina_stiffness import strain_rotation as strain_rotation
    from laminate.lamination import abd_of_parameters as abd_of_parameters
    from laminate.lamination import lamination_parameters as lamination_parameters
    from laminate.transverse_shear import shear_modulus_rotated as shear_modulus_rotated
    from laminate.transverse_shear import shear_spread as shear_spread
    from laminate.transverse_shear import shear_stiffness as shear_stiffness
