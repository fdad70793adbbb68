"""The columns of a crossing plan."""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.errors import TableError

if TYPE_CHECKING:
    from spikecheck.exchange.table_reading import TableRow


@dataclass(frozen=True, slots=True)
class PlanColumn:
    """One column of a crossing plan.

    Parameters
    ----------
    name
        Its header.
    meaning
        What stands in it, for people.
    required
        Whether a plan must have it, filled in every row.
    """

    name: str
    meaning: str
    required: bool = False


PLAN_COLUMNS = (
    PlanColumn("cross", "your own short id of the cross", required=True),
    PlanColumn("female", "name of the parent that is emasculated", required=True),
    PlanColumn("male", "name of the parent that gives the pollen", required=True),
    PlanColumn("crop", "such as wheat; wheat where it is empty"),
    PlanColumn("purpose", "what the cross is made for"),
    PlanColumn("seeds_wanted", "how many F1 seeds are wanted, a whole number"),
    PlanColumn("project", "the crossing project it belongs to"),
    PlanColumn("female_accession", "accession number of the female"),
    PlanColumn("female_pedigree", "pedigree of the female in Purdy notation, such as A/B//C"),
    PlanColumn("female_place", "plot or pot of the female"),
    PlanColumn("male_accession", "accession number of the male"),
    PlanColumn("male_pedigree", "pedigree of the male in Purdy notation"),
    PlanColumn("male_place", "plot or pot of the male"),
    PlanColumn("note", "free text, may have several lines"),
)
PLAN_COLUMN_NAMES = tuple(column.name for column in PLAN_COLUMNS)


def plan_template() -> str:
    """Return a plan without rows: the header with every column, to be filled in."""
    return ",".join(PLAN_COLUMN_NAMES) + "\r\n"


def column_places(header: TableRow) -> dict[str, int]:
    """Return the place, from 0, of each column by name; upper case and blanks do not matter.

    Raises
    ------
    TableError
        If one is unknown, given twice, or a required one is missing.
    """
    where = f"line {header.line}"
    places: dict[str, int] = {}
    for place, cell in enumerate(header.cells):
        name = "_".join(cell.casefold().split())
        if not name:
            continue
        if name not in PLAN_COLUMN_NAMES:
            near = difflib.get_close_matches(name, PLAN_COLUMN_NAMES, n=1)
            meant = f"Did you mean {near[0]}? " if near else ""
            raise TableError(
                f"no column is called {cell.strip()}", where=f"{where}, column {place + 1}",
                cure=f"{meant}Columns are {', '.join(PLAN_COLUMN_NAMES)}",
            )  # fmt: skip
        if name in places:
            raise TableError(
                f"{name} stands in column {places[name] + 1} already",
                where=f"{where}, column {place + 1}", cure="Leave one of the two out",
            )  # fmt: skip
        places[name] = place
    missing = [one.name for one in PLAN_COLUMNS if one.required and one.name not in places]
    if missing:
        raise TableError(
            f"the plan has no column {' and '.join(missing)}", where=where,
            cure="Add it to the header, which is the first row",
        )  # fmt: skip
    return places
