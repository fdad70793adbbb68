"""Files that others read and write: CSV tables, BrAPI v2.1 JSON."""

from spikecheck.exchange.cells import Cell
from spikecheck.exchange.plan import PlanRow, Problem, read_plan
from spikecheck.exchange.plan_columns import PLAN_COLUMNS, PlanColumn, plan_template
from spikecheck.exchange.table_reading import Table, TableRow, read_table
from spikecheck.exchange.table_writing import TABLE_ENCODING, table_bytes, write_table

__all__ = [
    "PLAN_COLUMNS",
    "TABLE_ENCODING",
    "Cell",
    "PlanColumn",
    "PlanRow",
    "Problem",
    "Table",
    "TableRow",
    "plan_template",
    "read_plan",
    "read_table",
    "table_bytes",
    "write_table",
]
