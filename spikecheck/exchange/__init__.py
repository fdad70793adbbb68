"""Files that others read and write: CSV tables, BrAPI v2.1 JSON."""

from spikecheck.exchange.brapi_checking import brapi_schema
from spikecheck.exchange.brapi_reading import Received, from_brapi
from spikecheck.exchange.brapi_writing import brapi_texts, to_brapi
from spikecheck.exchange.cells import Cell
from spikecheck.exchange.exchange_set import (
    CheckedSpike,
    CrossingProject,
    ExchangedCross,
    ExchangeSet,
    exchange_set,
)
from spikecheck.exchange.plan import PlanRow, Problem, read_plan
from spikecheck.exchange.plan_columns import PLAN_COLUMNS, PlanColumn, plan_template
from spikecheck.exchange.table_reading import Table, TableRow, read_table
from spikecheck.exchange.table_writing import TABLE_ENCODING, table_bytes, write_table

__all__ = [
    "PLAN_COLUMNS",
    "TABLE_ENCODING",
    "Cell",
    "CheckedSpike",
    "CrossingProject",
    "ExchangeSet",
    "ExchangedCross",
    "PlanColumn",
    "PlanRow",
    "Problem",
    "Received",
    "Table",
    "TableRow",
    "brapi_schema",
    "brapi_texts",
    "exchange_set",
    "from_brapi",
    "plan_template",
    "read_plan",
    "read_table",
    "table_bytes",
    "to_brapi",
    "write_table",
]
