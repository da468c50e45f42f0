"""Margins of a strut: what it must withstand, and how far it is from failing."""

from beam.strength.margins import check_stations, margins
from beam.strength.requirement import Requirement, Service
from beam.strength.strain import SpanStrain, span_strain

__all__ = ["Requirement", "Service", "SpanStrain", "check_stations", "margins", "span_strain"]
