"""How long a person has looked without a rest, by the moments at which photos were on view.

Blocks are of a person, not of a session: who begins a second session at once goes on in the same
block.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from spikecheck.practice.session import block_over

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime

    from spikecheck.thresholds.practice import PracticeThresholds


@dataclass(frozen=True, slots=True)
class Look:
    """One photo on view.

    Parameters
    ----------
    begun, ended
        From when to when; None where it was not answered: it counts as on view for a block at
        most, since nobody sees when a person leaves.
    """

    begun: datetime
    ended: datetime | None


@dataclass(frozen=True, slots=True)
class Block:
    """The block a person is in.

    Parameters
    ----------
    looked_s
        Time since it began, s; 0 after a rest.
    rest_until
        From when on the next photo may be shown, where the block is over; else None.
    """

    looked_s: float
    rest_until: datetime | None


def current_block(looks: Iterable[Look], at: datetime, numbers: PracticeThresholds) -> Block:
    """Return the block a person is in at a moment.

    Looks with less than ``rest_s`` between them are of one block. It ends after ``block_s``, and
    the next one begins with the first photo after a rest.

    Parameters
    ----------
    looks
        Of one person, in the order they began.
    at
        The moment, not before the last look began.
    numbers
        Thresholds of practice.
    """
    rest, longest = (timedelta(seconds=each) for each in (numbers.rest_s, numbers.block_s))
    begun: datetime | None = None
    ended: datetime | None = None
    for look in looks:
        if ended is None or look.begun - ended >= rest:
            begun = look.begun
        ended = min(at, look.begun + longest) if look.ended is None else look.ended
    if begun is None or ended is None or at - ended >= rest:
        return Block(0.0, None)
    looked_s = (at - begun).total_seconds()
    return Block(looked_s, ended + rest if block_over(looked_s, numbers) else None)
