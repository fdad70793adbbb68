"""Writes planned crosses and their parents, many at once."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import insert, select

from spikecheck.errors import DuplicateCrossError, SpikecheckError, UsageError
from spikecheck.language import _
from spikecheck.store.parents import DETAILS, change_parent
from spikecheck.store.season_tables import parents
from spikecheck.store.tables import crosses
from spikecheck.store.tidy_plan import tidy_cross, tidy_parent
from spikecheck.vocabulary.text import folded_id

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from sqlalchemy import Connection

    from spikecheck.store.chain_writer import ChainWriter
    from spikecheck.vocabulary.cross import Cross
    from spikecheck.vocabulary.plan import PlannedCross, PlannedParent

PLANNED_AT_ONCE = 200

Planned = tuple[str, "PlannedCross | SpikecheckError"]
_Taken = dict[str, "list[tuple[str, datetime]]"]  # ids and since when, by folded id


class PlanWriter:
    """Writes plans within one write transaction.

    Parameters
    ----------
    connection, chain
        A write transaction that holds the chain.
    by
        Who plans, tidy; may be empty.
    """

    def __init__(self, connection: Connection, chain: ChainWriter, *, by: str) -> None:
        self._connection = connection
        self._chain = chain
        self._by = by

    def crosses(self, rows: Sequence[Planned]) -> list[Cross | SpikecheckError]:
        """Write a few crosses with their parents; return each, or why it cannot be.

        Parameters
        ----------
        rows
            Where each stands and what it is; at most :data:`PLANNED_AT_ONCE`. A row that could not
            be read is the error that says why.
        """
        tidied = [_tidied(where, planned, self._chain) for where, planned in rows]
        good = [one for one in tidied if not isinstance(one, SpikecheckError)]
        taken = self._taken({cross.id for cross, _ in good})
        known = self._known({parent.name for _, both in good for parent in both})
        new_parents: dict[str, PlannedParent] = {}
        new_crosses: list[Cross] = []
        results: list[Cross | SpikecheckError] = []
        for (where, _planned), one in zip(rows, tidied, strict=True):
            if isinstance(one, SpikecheckError):
                results.append(one)
                continue
            cross, both = one
            try:
                _refuse_taken(cross.id, taken, now=self._chain.moment)
                for parent in both:
                    self._put(parent, known, new_parents)
            except SpikecheckError as error:
                results.append(at(where, error))
                continue
            taken.setdefault(folded_id(cross.id), []).append((cross.id, cross.created_at))
            new_crosses.append(cross)
            self._chain.add("cross_planned", {"data": cross_body(cross)}, by=self._by)
            results.append(cross)
        self._insert(new_parents, new_crosses)
        return results

    def parent(self, tidy: PlannedParent) -> None:
        """Write a parent, or fill in what was not known of it.

        Raises
        ------
        UsageError
            If something else is recorded of it already.
        """
        new: dict[str, PlannedParent] = {}
        self._put(tidy, self._known({tidy.name}), new)
        self._insert(new, [])

    def _put(
        self,
        parent: PlannedParent,
        known: dict[str, dict[str, str]],
        new: dict[str, PlannedParent],
    ) -> None:
        given = {detail: getattr(parent, detail) for detail in DETAILS}
        was = known.get(parent.name)
        if was is None:
            known[parent.name] = given
            new[parent.name] = parent
            body = {"data": {"name": parent.name, **given}}
            self._chain.add("parent_recorded", body, by=self._by)
            return
        filled = {}
        for detail, value in given.items():
            if value and value != was[detail]:
                if was[detail]:
                    raise UsageError(
                        _("the {detail} of {parent} is recorded as {was}, not {value}").format(
                            detail=detail, parent=parent.name, was=was[detail], value=value
                        ),
                        cure=_(
                            "Leave it out, or change the parent first (spikecheck parent change)"
                        ),
                    )
                filled[detail] = value
        if filled:
            self._insert(new, [])
            was |= filled
            change_parent(
                self._connection, self._chain, parent.name, filled, by=self._by, reason=""
            )

    def _insert(self, new_parents: dict[str, PlannedParent], new_crosses: list[Cross]) -> None:
        if new_parents:
            parent_rows = [
                {
                    "name": parent.name,
                    "created_at": self._chain.moment,
                    **{detail: getattr(parent, detail) for detail in DETAILS},
                }
                for parent in new_parents.values()
            ]
            self._connection.execute(insert(parents), parent_rows)
            new_parents.clear()
        if new_crosses:
            columns = [column.name for column in crosses.c if column is not crosses.c.folded]
            rows = [
                {name: getattr(cross, name) for name in columns} | {"folded": folded_id(cross.id)}
                for cross in new_crosses
            ]
            self._connection.execute(insert(crosses), rows)

    def _taken(self, ids: set[str]) -> _Taken:
        """Return what is recorded and alike to ``ids`` but for capitals, by folded id."""
        found = self._connection.execute(
            select(crosses.c.folded, crosses.c.id, crosses.c.created_at)
            .where(crosses.c.folded.in_({folded_id(one) for one in ids}))
            .order_by(crosses.c.created_at, crosses.c.id)
        )
        taken: _Taken = {}
        for row in found:
            taken.setdefault(row.folded, []).append((row.id, row.created_at))
        return taken

    def _known(self, names: set[str]) -> dict[str, dict[str, str]]:
        found = self._connection.execute(select(parents).where(parents.c.name.in_(names)))
        return {row.name: {detail: getattr(row, detail) for detail in DETAILS} for row in found}


def cross_body(cross: Cross) -> dict[str, object]:
    """Return what the history says of a cross."""
    return {
        "cross": cross.id, "female": cross.female, "male": cross.male, "note": cross.note,
        "purpose": cross.purpose, "seeds_wanted": cross.seeds_wanted, "crop": cross.crop,
        "project": cross.project,
    }  # fmt: skip


def at(where: str, error: SpikecheckError) -> SpikecheckError:
    """Return ``error`` with where it stands."""
    return type(error)(error.what, where=where, cure=error.cure)


def _tidied(
    where: str, planned: PlannedCross | SpikecheckError, chain: ChainWriter
) -> tuple[Cross, tuple[PlannedParent, PlannedParent]] | SpikecheckError:
    if isinstance(planned, SpikecheckError):
        return planned
    try:
        cross = tidy_cross(planned, chain.moment)
        return cross, (tidy_parent(planned.female), tidy_parent(planned.male))
    except SpikecheckError as error:
        return at(where, error)


def _refuse_taken(cross_id: str, taken: _Taken, *, now: datetime) -> None:
    """Refuse an id that is recorded, or that came before in what is written ``now``."""
    alike = dict(taken.get(folded_id(cross_id), ()))
    if not alike:
        return
    if alike.get(cross_id) == now:
        raise DuplicateCrossError(
            _("the cross {cross_id} comes twice").format(cross_id=cross_id),
            cure=_("Take one of them out, or give it another id"),
        )
    if cross_id in alike:
        raise DuplicateCrossError(
            _("the cross {cross_id} is recorded already").format(cross_id=cross_id),
            cure=_("Use it, or give another id"),
        )
    raise DuplicateCrossError(
        _("the cross {cross_id} differs from {known} in capital letters alone").format(
            cross_id=cross_id, known=next(iter(alike))
        ),
        cure=_("Use {known}, or give another id").format(known=next(iter(alike))),
    )
