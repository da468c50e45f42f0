"""Where a number comes from."""

from dataclasses import replace
from typing import Annotated, Literal

from materials.checks import Frozen, Limits, reject

MAY_BE_BLANK = Limits(items=0)
SOURCED = Limits(cause="write Source('document', 'table, page')")


Standing = Literal["", "read", "quoted", "memory", "placeholder"]
"""How far a number was seen: read in the document or in a transcription of all of it, quoted elsewhere, recalled and
not read, or no number of this material at all, put in to fill a gap; blank where the note says it."""

SHOWN = {"memory": "from memory"}


class Source(Frozen, eq=True, kw_only=False):
    """Document, place in it, and what a reader must know about the number.

    Parameters
    ----------
    document : str
        Author, title, year; report or standard number.
    place : str
        Table, figure, page.
    note : str
        Caveats, as in ``"printed in ksi"``.
    standing : {"", "read", "quoted", "memory", "placeholder"}
        How far the number was seen; "placeholder" is no number of this material but one put in to fill a gap.

    Examples
    --------
    >>> print(Source("Report 7", "table 4", "printed in ksi", "memory"))
    Report 7, table 4 (from memory; printed in ksi)
    """

    document: str
    place: Annotated[str, MAY_BE_BLANK] = ""
    note: Annotated[str, MAY_BE_BLANK] = ""
    standing: Annotated[Standing, Limits(cause="how far was the number seen?")] = ""

    def __str__(self) -> str:
        cited = ", ".join(part for part in (self.document, self.place) if part)
        said = "; ".join(part for part in (SHOWN.get(self.standing, self.standing), self.note) if part)
        return f"{cited} ({said})" if said else cited


def noted(source: Source, more: str) -> Source:
    """Return the same source with a remark added to its note."""
    return replace(source, note=f"{source.note}; {more}" if source.note else more)


ValueSources = tuple[tuple[str, Source], ...]
"""Source of single values by name, where it is not that of the whole."""


def check_value_sources(owner: str, sources: ValueSources, known: tuple[str, ...]) -> None:
    """Refuse a source of a value that is not there, and two sources of one value."""
    names = [name for name, _ in sources]
    if unknown := sorted(set(names) - set(known)):
        reject(f"{owner}: sources", ", ".join(unknown), f"of its values ({', '.join(known)})")
    if len(set(names)) < len(names):
        reject(f"{owner}: sources", ", ".join(names), "different names")
