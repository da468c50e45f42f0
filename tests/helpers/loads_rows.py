"""Rows of a table of ground cases."""

from typing import Any


def rows(cases: Any, condition: str, **where: Any) -> Any:
    """Return the rows of a condition with the given values in other columns; at least one."""
    found = cases[cases.condition == condition]
    for column, value in where.items():
        found = found[found[column] == value]
    assert len(found)
    return found
