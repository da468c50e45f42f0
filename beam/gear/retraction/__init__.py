"""Retraction: pivot axis, swept path, actuator force over the travel, lock loads."""
