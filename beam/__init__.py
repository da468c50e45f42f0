"""The strut as a beam, and all that loads it: ground loads, gear, section, strut, margins, sizing."""

from beam.margin import margins
from beam.requirement import Requirement, Service

__all__ = ["Requirement", "Service", "margins"]
