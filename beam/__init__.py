"""The strut as a beam, and all that loads it: ground loads, gear, section, strut, margins, sizing."""

from beam.strength.margins import margins
from beam.strength.requirement import Requirement, Service

__all__ = ["Requirement", "Service", "margins"]
