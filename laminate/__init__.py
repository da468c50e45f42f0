"""What a stack of plies does: orientation code, stiffness, response, failure, lay-up rules."""

from laminate import failure
from laminate.orientation import angles, code, labels
from laminate.response import Response
from laminate.stack import Laminate, Ply

__all__ = ["Laminate", "Ply", "Response", "angles", "code", "failure", "labels"]
