"""Tables, texts and files that a designer hands on."""

from beam.dossier import report, shop
from beam.dossier.design import (
    Design,
    compare,
    read_margins,
    read_ply_book,
    write_margins,
    write_ply_book,
)
from beam.dossier.tables import book_table, lowest, schedule_table

__all__ = [
    "Design",
    "book_table",
    "compare",
    "lowest",
    "read_margins",
    "read_ply_book",
    "report",
    "schedule_table",
    "shop",
    "write_margins",
    "write_ply_book",
]
