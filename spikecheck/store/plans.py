"""Planned crosses and their parents."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.errors import SpikecheckError, UsageError
from spikecheck.language import _
from spikecheck.store.chain_writer import ChainWriter
from spikecheck.store.cross_changes import change_cross
from spikecheck.store.parents import change_parent, select_parent, select_parents
from spikecheck.store.parts import in_parts
from spikecheck.store.plan_writer import PLANNED_AT_ONCE, PlanWriter
from spikecheck.store.tidy_plan import tidy_parent
from spikecheck.vocabulary.text import tidy_id, tidy_name, tidy_note

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from spikecheck.store.database import Database
    from spikecheck.store.plan_writer import Planned
    from spikecheck.vocabulary.cross import Cross
    from spikecheck.vocabulary.parent import Parent
    from spikecheck.vocabulary.plan import PlannedCross, PlannedParent

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
            If the id is taken, or one that differs from it in capital letters alone.
        UsageError
            If a text cannot be kept, both parents are the same, or something else is recorded of
            a parent.
        PedigreeError
            If a pedigree is not in Purdy notation.
        """
        name = tidy_name(by, what=_("the name of who plans")) if by else ""
        with self._database.writing() as connection, ChainWriter(connection) as chain:
            (result,) = PlanWriter(connection, chain, by=name).crosses([("", planned)])
            if isinstance(result, SpikecheckError):
                raise result
            return result

    def take_in(
        self,
        rows: Iterable[Planned],
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
        name = tidy_name(by, what=_("the name of who plans")) if by else ""
        faults: list[SpikecheckError] = []
        count = 0
        with self._database.writing() as connection:
            with ChainWriter(connection) as chain:
                writer = PlanWriter(connection, chain, by=name)
                for several in in_parts(rows, PLANNED_AT_ONCE):
                    results = writer.crosses(several)
                    found = [one for one in results if isinstance(one, SpikecheckError)]
                    count += len(results) - len(found)
                    faults += found
                    if len(faults) >= FAULTS_MOST:
                        break
            if faults or try_only:
                connection.rollback()
        return count, tuple(faults[:FAULTS_MOST])

    def change(self, cross_id: str, new: Mapping[str, object], *, by: str, reason: str) -> Cross:
        """Set fields of a recorded cross; the history keeps what they were.

        Parameters
        ----------
        cross_id
            Its id.
        new
            New value by name, of :data:`~spikecheck.store.cross_changes.CHANGEABLE`.
        by, reason
            Who changes it and why; never empty.

        Raises
        ------
        UnknownCrossError
            If there is no such cross.
        UsageError
            If nothing changes, or a text cannot be kept.
        StepError
            If what happened to a spike of it could then not have happened.
        """
        tidied = tidy_id(cross_id, what=_("the id of the cross"))
        why = tidy_note(reason, what=_("the reason of the change"), required=True)
        name = tidy_name(by, what=_("the name of who changes"))
        with self._database.writing() as connection, ChainWriter(connection) as chain:
            return change_cross(connection, chain, tidied, new, by=name, reason=why)

    def parents(self) -> tuple[Parent, ...]:
        """Return every parent in the order of names."""
        with self._database.reading() as connection:
            return select_parents(connection)

    def parent(self, name: str) -> Parent:
        """Return one parent; StoreError if there is none of this name."""
        with self._database.reading() as connection:
            return select_parent(connection, tidy_name(name, what=_("the name of the parent")))

    def add_parent(self, parent: PlannedParent, *, by: str = "") -> Parent:
        """Record a parent, or fill in what was not known of it.

        Raises
        ------
        UsageError
            If a text cannot be kept, or something else is recorded of it.
        PedigreeError
            If the pedigree is not in Purdy notation.
        """
        tidy = tidy_parent(parent)
        with self._database.writing() as connection, ChainWriter(connection) as chain:
            PlanWriter(connection, chain, by=by).parent(tidy)
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
        tidy = tidy_parent(parent)
        new = {
            name: value
            for name, value in (
                ("accession", tidy.accession), ("pedigree", tidy.pedigree), ("place", tidy.place),
            )
            if value
        }  # fmt: skip
        if not new:
            raise UsageError(_("nothing to change"), cure=_("Give accession, pedigree or place"))
        why = tidy_note(reason, what=_("the reason of the change"), required=True)
        name = tidy_name(by, what=_("the name of who changes"))
        with self._database.writing() as connection, ChainWriter(connection) as chain:
            change_parent(connection, chain, tidy.name, new, by=name, reason=why)
            return select_parent(connection, tidy.name)
