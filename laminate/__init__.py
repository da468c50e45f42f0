"""What a stack of plies does: orientation code, stiffness, response, failure, buckling, lay-up rules.

`Laminate` is the main object. The functions on plain arrays and the packages below are loaded on first use:
`batch`, `constants`, `interlaminar`, `notch`, `plots`, `rules`, `stability`, `symbolic`.
"""

from typing import TYPE_CHECKING

from laminate import failure
from laminate.orientation import angles, code, labels
from laminate.response import Response
from laminate.stack import Laminate, Ply
from materials.lazy import lazy_names

_PARTS = ("batch", "constants", "interlaminar", "notch", "plots", "rules", "stability", "symbolic")
_WHERE = dict.fromkeys(
    ("OffAxisModuli", "q_reduced", "q_rotated", "strain_rotation"), "laminate.lamina_stiffness"
)
_WHERE |= dict.fromkeys(("Block", "blocks", "in_situ", "in_situ_at_drop"), "laminate.ply_blocks")
_WHERE |= {part: f"laminate.{part}" for part in _PARTS}

__all__ = ["Laminate", "Ply", "Response", "angles", "code", "failure", "labels", *_WHERE]
__getattr__, _ = lazy_names("laminate", _WHERE)


def __dir__() -> list[str]:
    return sorted(__all__)


if TYPE_CHECKING:
    from laminate import batch as batch
    from laminate import constants as constants
    from laminate import interlaminar as interlaminar
    from laminate import notch as notch
    from laminate import plots as plots
    from laminate import rules as rules
    from laminate import stability as stability
    from laminate import symbolic as symbolic
    from laminate.lamina_stiffness import OffAxisModuli as OffAxisModuli
    from laminate.lamina_stiffness import q_reduced as q_reduced
    from laminate.lamina_stiffness import q_rotated as q_rotated
    from laminate.lamina_stiffness import strain_rotation as strain_rotation
    from laminate.ply_blocks import Block as Block
    from laminate.ply_blocks import blocks as blocks
    from laminate.ply_blocks import in_situ as in_situ
    from laminate.ply_blocks import in_situ_at_drop as in_situ_at_drop
