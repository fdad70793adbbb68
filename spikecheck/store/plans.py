"""Planned crosses and their parents."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.errors import SpikecheckError, UsageError
from spikecheck.store.chain_writer import ChainWriter
from spikecheck.store.crosses import insert_cross
from spikecheck.store.parents import (
    change_parent,
    put_parent,
    select_parent,
    select_parents,
)  # fmt: skip
from spikecheck.vocabulary.cross import WHEAT, Cross
from spikecheck.vocabulary.pedigree import format_pedigree
from spikecheck.vocabulary.pedigree_notation import parse_pedigree
from spikecheck.vocabulary.plan import SEEDS_MOST, PlannedParent
from spikecheck.vocabulary.text import tidy_id, tidy_name, tidy_note

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime

    from sqlalchemy import Connection

    from spikecheck.store.database import Database
    from spikecheck.vocabulary.parent import Parent
    from spikecheck.vocabulary.plan import PlannedCross

FAULTS_MOST = 50


class Plans:
    """Parents and crosses of one store.

    Parameters
    ----------
    database
        Where they are.
    """

    def __init__(self, database: Database) -> None:
        self._database = database

    def add(self, planned: PlannedCross, *, by: str = "") -> Cross:
        """Record a cross, and its parents where they are new.

        Parameters
        ----------
        planned
            What to record.
        by
            Who records it; may be empty.

        Raises
        ------
        DuplicateCrossError
            If the id is taken.
        UsageError
            If a text cannot be kept, both parents are the same, or something else is recorded of
            a parent.
        PedigreeError
            If a pedigree is not in Purdy notation.
        """
        name = tidy_name(by, what="the name of who plans") if by else ""
        with self._database.writing() as connection, ChainWriter(connection) as chain:
            return _put(connection, chain, planned, by=name)

    def take_in(
        self,
        rows: Iterable[tuple[str, PlannedCross | SpikecheckError]],
        *,
        by: str = "",
        try_only: bool = False,
    ) -> tuple[int, tuple[SpikecheckError, ...]]:
        """Record all crosses of a plan or none.

        Parameters
        ----------
        rows
            Each with where it stands, such as ``"plan.csv, line 3"``, read as they are needed; a
            row that could not be read is the error that says why, and counts as a fault.
        by
            Who records them; may be empty.
        try_only
            Find out what would happen and record nothing.

        Returns
        -------
        count, faults
            How many could be recorded and the first faults, :data:`FAULTS_MOST` at most. With any
            fault nothing is recorded.
        """
        name = tidy_name(by, what="the name of who plans") if by else ""
        faults: list[SpikecheckError] = []
        count = 0
        with self._database.writing() as connection:
            with ChainWriter(connection) as chain:
                for where, planned in rows:
                    fault = _try(connection, chain, planned, by=name, where=where)
                    if fault is None:
                        count += 1
                    else:
                        faults.append(fault)
                        if len(faults) >= FAULTS_MOST:
                            break
            if faults or try_only:
                connection.rollback()
        return count, tuple(faults)

    def parents(self) -> tuple[Parent, ...]:
        """Return every parent in the order of names."""
        with self._database.reading() as connection:
            return select_parents(connection)

    def parent(self, name: str) -> Parent:
        """Return one parent; StoreError if there is none of this name."""
        with self._database.reading() as connection:
            return select_parent(connection, tidy_name(name, what="the name of the parent"))

    def add_parent(self, parent: PlannedParent, *, by: str = "") -> Parent:
        """Record a parent, or fill in what was not known of it.

        Raises
        ------
        UsageError
            If a text cannot be kept, or something else is recorded of it.
        PedigreeError
            If the pedigree is not in Purdy notation.
        """
        tidy = _tidy_parent(parent)
        with self._database.writing() as connection, ChainWriter(connection) as chain:
            _put_parent(connection, chain, tidy, by=by)
            return select_parent(connection, tidy.name)

    def change_parent(self, parent: PlannedParent, *, by: str, reason: str) -> Parent:
        """Set the details of a recorded parent that are given; the history keeps what they were.

        Raises
        ------
        StoreError
            If there is no such parent.
        UsageError
            If nothing is given, a text cannot be kept or no reason is given.
        PedigreeError
            If the pedigree is not in Purdy notation.
        """
        tidy = _tidy_parent(parent)
        new = {
            name: value
            for name, value in (
                ("accession", tidy.accession), ("pedigree", tidy.pedigree), ("place", tidy.place),
            )
            if value
        }  # fmt: skip
        if not new:
            raise UsageError("nothing to change", cure="Give accession, pedigree or place")
        why = tidy_note(reason, what="the reason of the change", required=True)
        name = tidy_name(by, what="the name of who changes")
        with self._database.writing() as connection, ChainWriter(connection) as chain:
            change_parent(connection, chain, tidy.name, new, by=name, reason=why)
            return select_parent(connection, tidy.name)


def _try(
    connection: Connection,
    chain: ChainWriter,
    planned: PlannedCross | SpikecheckError,
    *,
    by: str,
    where: str,
) -> SpikecheckError | None:
    if isinstance(planned, SpikecheckError):
        return planned
    try:
        _put(connection, chain, planned, by=by)
    except SpikecheckError as error:
        return type(error)(error.what, where=where, cure=error.cure)
    return None


def _put(connection: Connection, chain: ChainWriter, planned: PlannedCross, *, by: str) -> Cross:
    cross = _tidy_cross(planned, chain.moment)
    for parent in (planned.female, planned.male):
        _put_parent(connection, chain, _tidy_parent(parent), by=by)
    insert_cross(connection, cross)
    body = {
        "cross": cross.id, "female": cross.female, "male": cross.male, "note": cross.note,
        "purpose": cross.purpose, "seeds_wanted": cross.seeds_wanted, "crop": cross.crop,
        "project": cross.project,
    }  # fmt: skip
    chain.add("cross_planned", {"data": body}, by=by)
    return cross


def _put_parent(
    connection: Connection, chain: ChainWriter, tidy: PlannedParent, *, by: str
) -> None:  # fmt: skip
    put_parent(
        connection, chain, tidy.name, by=by, accession=tidy.accession, pedigree=tidy.pedigree,
        place=tidy.place,
    )  # fmt: skip


def _tidy_cross(planned: PlannedCross, moment: datetime) -> Cross:
    female = tidy_name(planned.female.name, what="the female parent")
    male = tidy_name(planned.male.name, what="the male parent")
    if female == male:
        raise UsageError(
            f"female and male are both {female}", cure="A line selfs by itself; name another male"
        )
    seeds = planned.seeds_wanted
    if seeds is not None and not 1 <= seeds <= SEEDS_MOST:
        raise UsageError(f"seeds wanted are 1 or more, got {seeds}", cure="Leave it out or mend it")
    return Cross(
        id=tidy_id(planned.id, what="the id of the cross"),
        female=female,
        male=male,
        note=tidy_note(planned.note, what="the note"),
        created_at=moment,
        purpose=tidy_note(planned.purpose, what="the purpose"),
        seeds_wanted=seeds,
        crop=planned.crop or WHEAT,
        project=tidy_name(planned.project, what="the project") if planned.project.strip() else "",
    )


def _tidy_parent(parent: PlannedParent) -> PlannedParent:
    return PlannedParent(
        name=tidy_name(parent.name, what="the name of the parent"),
        accession=_tidy(parent.accession, "the accession"),
        pedigree=_tidy_pedigree(parent.pedigree),
        place=_tidy(parent.place, "the plot or pot"),
    )


def _tidy_pedigree(text: str) -> str:
    tidied = tidy_note(text, what="the pedigree")
    return format_pedigree(parse_pedigree(tidied)) if tidied else ""


def _tidy(text: str, what: str) -> str:
    return tidy_name(text, what=what) if text.strip() else ""
