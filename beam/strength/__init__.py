"""Margins of a strut: what it must withstand, and how far it is from failing."""

from beam.strength.margins import margins
from beam.strength.requirement import Requirement, Service

__all__ = ["Requirement", "Service", "margins"]
