"""Where a number comes from."""

from dataclasses import dataclass

from materials.checks import reject


@dataclass(frozen=True)
class Source:
    """Document, place in it, and what a reader must know about the number.

    Parameters
    ----------
    document : str
        Author, title, year; report or standard number.
    place : str
        Table, figure, page.
    note : str
        Standing and caveats, as in ``"from memory"`` or ``"printed in ksi"``.

    Raises
    ------
    ValueError
        If the document is empty or any part is not text.
    """

    document: str
    place: str = ""
    note: str = ""

    def __post_init__(self) -> None:
        for name in ("document", "place", "note"):
            if not isinstance(getattr(self, name), str):
                reject(f"Source: {name}", repr(getattr(self, name)), "text")
        if not self.document.strip():
            reject("Source: document", repr(self.document), "the name of a document")

    def __str__(self) -> str:
        cited = ", ".join(part for part in (self.document, self.place) if part)
        return f"{cited} ({self.note})" if self.note else cited


def source_of(owner: str, value: object) -> Source:
    """Return `value` if it is a Source; stop with the reason if it is not.

    Parameters
    ----------
    owner : str
        Who asks, for the message.
    value : object
        What was given.

    Returns
    -------
    Source
        The source.

    Raises
    ------
    ValueError
        If it is anything else.
    """
    if not isinstance(value, Source):
        reject(f"{owner}: source", repr(value), "a Source", "write Source('document', 'table, page')")
    return value
