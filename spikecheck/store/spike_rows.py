"""Spikes in the database: found by cross and number, or by tag; made when first named."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import insert, select

from spikecheck.errors import StoreError, TagError, UsageError
from spikecheck.language import _
from spikecheck.store.season_tables import tags
from spikecheck.store.tables import fits_integer, spikes
from spikecheck.vocabulary.tag_code import shown_code

if TYPE_CHECKING:
    from sqlalchemy import Connection


def find_spike(connection: Connection, cross: str, number: int) -> int | None:
    """Return the row of a spike, or None where it was never named."""
    query = select(spikes.c.id).where(spikes.c.cross_id == cross, spikes.c.number == number)
    found = connection.execute(query).scalar_one_or_none()
    return None if found is None else int(found)


def known_spike(connection: Connection, cross: str, number: int) -> int:
    """Return the row of a spike.

    Raises
    ------
    StoreError
        If nothing was ever recorded of it.
    """
    found = find_spike(connection, cross, number) if fits_integer(number) else None
    if found is None:
        raise StoreError(
            _("nothing is recorded of spike {cross}/{number}").format(cross=cross, number=number),
            cure=_("Look the number up at its cross, or record its first step"),
        )
    return found


def make_spike(connection: Connection, cross: str, number: int) -> int:
    """Return the row of a spike, made if it is new, in a write transaction.

    Raises
    ------
    UsageError
        If spikes cannot have that number.
    """
    if not fits_integer(number):
        raise UsageError(
            _("spikes are numbered from 1, got {number}").format(number=number),
            cure=_("Give its number"),
        )
    found = find_spike(connection, cross, number)
    if found is not None:
        return found
    values = insert(spikes).values(cross_id=cross, number=number)
    return int(connection.execute(values.returning(spikes.c.id)).scalar_one())


def is_tag(connection: Connection, code: str) -> bool:
    """Say whether a spike has the tag with this code."""
    found = connection.execute(select(tags.c.code).where(tags.c.code == code))
    return found.one_or_none() is not None


def spike_of_tag(connection: Connection, code: str) -> tuple[str, int]:
    """Return cross and number of the spike that the tag with this code belongs to.

    Raises
    ------
    TagError
        If no spike has it.
    """
    row = connection.execute(
        select(spikes.c.cross_id, spikes.c.number)
        .join_from(tags, spikes, tags.c.spike_id == spikes.c.id)
        .where(tags.c.code == code)
    ).one_or_none()
    if row is None:
        raise TagError(
            _("no spike has the tag {code}").format(code=shown_code(code)),
            cure=_(
                "Compare the code, or record the tag as a spike's own first "
                "(spikecheck record tagged)"
            ),
        )
    return str(row.cross_id), int(row.number)


def tag_fits(connection: Connection, code: str, *, cross: str, spike: int) -> None:
    """Refuse a tag that is not the one of this spike.

    Raises
    ------
    TagError
        If it belongs to another spike, or to none.
    """
    owner, number = spike_of_tag(connection, code)
    if (owner, number) != (cross, spike):
        raise TagError(
            _(
                "the tag {code} in the photo belongs to spike {owner}/{number}, not to "
                "{cross}/{spike}"
            ).format(code=shown_code(code), owner=owner, number=number, cross=cross, spike=spike),
            cure=_("Look which spike this is, and choose that one; nothing was recorded"),
        )


def hold_tags(connection: Connection, spike_id: int, codes: set[str], *, shown: str) -> None:
    """Make the tags of a spike these ones and no others.

    Raises
    ------
    TagError
        If one belongs to another spike.
    """
    held = set(connection.execute(select(tags.c.code).where(tags.c.spike_id == spike_id)).scalars())
    for code in held - codes:
        connection.execute(tags.delete().where(tags.c.code == code))
    for code in sorted(codes - held):
        if is_tag(connection, code):
            cross, number = spike_of_tag(connection, code)
            raise TagError(
                _("the tag {code} belongs to spike {cross}/{number}").format(
                    code=shown_code(code), cross=cross, number=number
                ),
                where=_("spike {shown}").format(shown=shown),
                cure=_("Look at the tag again; give this spike another"),
            )
        connection.execute(insert(tags).values(code=code, spike_id=spike_id))
