"""Tables and texts that a designer hands on."""

from beam.dossier import report
from beam.dossier.tables import book_table, lowest, schedule_table

__all__ = ["book_table", "lowest", "report", "schedule_table"]
