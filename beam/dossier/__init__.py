"""Tables, texts and files that a designer hands on."""

from beam.dossier import shop, texts
from beam.dossier.design import (
    Design,
    compare,
    read_margins,
    read_ply_book,
    write_ply_book,
    write_table,
)
from beam.dossier.packet import write_packet
from beam.dossier.proof_tests import (
    Gauge,
    StaticTest,
    compare_gauges,
    coupon_plan,
    element_plan,
    inspection_plan,
    plan_static_test,
)
from beam.dossier.stress_report import report
from beam.dossier.tables import book_table, lowest, schedule_table
from beam.dossier.worked_joint import worked_joint_margins
from beam.dossier.worked_margin import WorkedMargin, worked_margin

__all__ = [
    "Design",
    "Gauge",
    "StaticTest",
    "WorkedMargin",
    "book_table",
    "compare",
    "compare_gauges",
    "coupon_plan",
    "element_plan",
    "inspection_plan",
    "lowest",
    "plan_static_test",
    "read_margins",
    "read_ply_book",
    "report",
    "schedule_table",
    "shop",
    "texts",
    "worked_joint_margins",
    "worked_margin",
    "write_packet",
    "write_ply_book",
    "write_table",
]
