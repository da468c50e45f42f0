"""Where a number comes from."""

from typing import Annotated

from materials.checks import Frozen, Limits

MAY_BE_BLANK = Limits(items=0)
SOURCED = Limits(cause="write Source('document', 'table, page')")


class Source(Frozen, eq=True, kw_only=False):
    """Document, place in it, and what a reader must know about the number.

    Parameters
    ----------
    document : str
        Author, title, year; report or standard number.
    place : str
        Table, figure, page.
    note : str
        Standing and caveats, as in ``"from memory"`` or ``"printed in ksi"``.

    Examples
    --------
    >>> print(Source("Report 7", "table 4", "printed in ksi"))
    Report 7, table 4 (printed in ksi)
    """

    document: str
    place: Annotated[str, MAY_BE_BLANK] = ""
    note: Annotated[str, MAY_BE_BLANK] = ""

    def __str__(self) -> str:
        cited = ", ".join(part for part in (self.document, self.place) if part)
        return f"{cited} ({self.note})" if self.note else cited


def noted(source: Source, more: str) -> Source:
    """Return the same source with a remark added to its note."""
    return Source(source.document, source.place, f"{source.note}; {more}" if source.note else more)
