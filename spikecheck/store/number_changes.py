"""Numbers of the season that a programme changed for a crop; the latest change holds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import insert, select

from spikecheck.store.chain_writer import ChainWriter
from spikecheck.store.season_tables import season_changes
from spikecheck.vocabulary.text import tidy_name, tidy_note

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

    from spikecheck.store.database import Database


@dataclass(frozen=True, slots=True)
class NumberChange:
    """One change of a number.

    Parameters
    ----------
    crop
        The crop.
    name
        Name of the number.
    value
        What it is from then on, in the number's unit.
    reason, by, at
        Why, by whom and when, UTC.
    """

    crop: str
    name: str
    value: float
    reason: str
    by: str
    at: datetime


class NumberChanges:
    """The changed numbers of one store.

    Parameters
    ----------
    database
        Where they are.
    """

    def __init__(self, database: Database) -> None:
        self._database = database

    def add(self, crop: str, name: str, value: float, *, by: str, reason: str) -> NumberChange:
        """Record a change that the caller has found to be allowed; see :meth:`add_all`."""
        return self.add_all(crop, {name: value}, by=by, reason=reason)[0]

    def add_all(
        self, crop: str, changes: Mapping[str, float], *, by: str, reason: str
    ) -> tuple[NumberChange, ...]:
        """Record changes of a crop, all of them or none.

        Parameters
        ----------
        crop
            The crop.
        changes
            New value by name of the number; the caller has found them to be allowed.
        by
            Who changes.
        reason
            Why; never empty.

        Raises
        ------
        UsageError
            If a text cannot be kept or no reason is given.
        """
        who = tidy_name(by, what="the name of who changes")
        why = tidy_note(reason, what="the reason of the change", required=True)
        made = []
        with self._database.writing() as connection, ChainWriter(connection) as chain:
            for name, value in changes.items():
                connection.execute(
                    insert(season_changes).values(
                        crop=crop, name=name, value=value, reason=why, changed_by=who,
                        changed_at=chain.moment,
                    )
                )  # fmt: skip
                # As text: the chain's spelling has no floating-point numbers.
                data = {"crop": crop, "name": name, "value": repr(float(value)), "reason": why}
                chain.add("number_changed", {"data": data}, by=who)
                made.append(NumberChange(crop, name, value, why, who, chain.moment))
        return tuple(made)

    def all(self) -> tuple[NumberChange, ...]:
        """Return every change in the order of making."""
        with self._database.reading() as connection:
            rows = connection.execute(select(season_changes).order_by(season_changes.c.id))
            return tuple(
                NumberChange(
                    row.crop, row.name, row.value, row.reason, row.changed_by, row.changed_at
                )
                for row in rows
            )

    def in_force(self, crop: str) -> dict[str, float]:
        """Return the changed numbers of a crop."""
        return {change.name: change.value for change in self.all() if change.crop == crop}
