"""Retraction: pivot axis, actuator and lock."""
