"""Draws the sample of a session, so that anyone can draw the same again.

Nobody chooses. Every spike of the lot gets a ticket, the SHA-256 (FIPS 180-4) of the session's id,
the head of the chain of hashes, the id of the cross and the number of the spike, in one spelling;
the lowest tickets are drawn. A ticket is as good as a random number, and none can be foreseen
before the head is known. It depends on neither order of the list, machine nor version of a
language's random numbers, and any tool that hashes can repeat it.
"""

from __future__ import annotations

import hashlib
import json
from collections import defaultdict
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from spikecheck.audit.spikes import SpikeName, name_of
from spikecheck.errors import UsageError
from spikecheck.language import N_

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from spikecheck.vocabulary.spike_record import SpikeRecord

METHOD = N_(
    "Nobody chose them. The lot is what hung in its bags at the draw; the ticket of a spike is the "
    "SHA-256 of the UTF-8 text of the JSON list [session, chain head, cross, spike] without "
    "blanks. The lowest tickets are drawn: of the whole lot, or of each part of it, whose places "
    "are in proportion to its spikes, by largest remainder, one at least where they suffice."
)
"""How a sample is drawn, so that anyone can draw it again."""
_NO_VERDICT = "unchecked"


class Strata(StrEnum):
    """By what the lot is parted before the draw."""

    NONE = "none"
    TECHNICIAN = "technician"
    VERDICT = "verdict"


@dataclass(frozen=True, slots=True)
class Stratum:
    """One part of the lot.

    Parameters
    ----------
    name
        Who emasculated, or the verdict that stands; empty where the lot is not parted.
    lot
        Spikes in it.
    drawn
        The spikes drawn, by name.
    """

    name: str
    lot: int
    drawn: tuple[SpikeName, ...]


@dataclass(frozen=True, slots=True)
class Draw:
    """The sample of a session, with all that is needed to draw it again.

    Parameters
    ----------
    session
        Id of the session.
    chain_head
        Hex hash of the last entry of the history at the draw.
    strata
        By what the lot was parted.
    parts
        The strata, by name.
    method
        How it was drawn, in words.
    """

    session: str
    chain_head: str
    strata: Strata
    parts: tuple[Stratum, ...]
    method: str = METHOD

    @property
    def lot(self) -> int:
        """Spikes in the lot."""
        return sum(part.lot for part in self.parts)

    @property
    def drawn(self) -> tuple[SpikeName, ...]:
        """Every spike drawn, by name."""
        return tuple(sorted(name for part in self.parts for name in part.drawn))


def draw_sample(
    lot: Sequence[SpikeRecord],
    sample: int,
    *,
    session: str,
    chain_head: str,
    strata: Strata = Strata.NONE,
) -> Draw:
    """Draw ``sample`` spikes of ``lot`` without replacement.

    Parameters
    ----------
    lot
        Bagged spikes of the session, each once, in any order.
    sample
        How many, 1 to all.
    session
        Id of the session.
    chain_head
        Hex hash of the last entry of the history.
    strata
        By what to part the lot first, so that each part has its share of the sample.

    Raises
    ------
    UsageError
        If the lot has fewer spikes, holds one twice or one of another session, or the session or
        the head is empty.
    """
    if not session or not chain_head:
        raise UsageError("a draw needs the id of the session and the head of the chain")
    if not 1 <= sample <= len(lot):
        raise UsageError(
            f"a sample of {sample} cannot be drawn from {len(lot)} spikes", where=session,
            cure="Draw 1 spike or more, and no more than there are",
        )  # fmt: skip
    seen: set[SpikeName] = set()
    parts: dict[str, list[SpikeName]] = defaultdict(list)
    for record in lot:
        name = name_of(record)
        if record.session != session:
            raise UsageError("is of another session", where=str(name), cure="Leave it out")
        if name in seen:
            raise UsageError("stands in the lot twice", where=str(name), cure="List it once")
        seen.add(name)
        parts[_stratum(record, strata)].append(name)
    places = allocate({part: len(names) for part, names in parts.items()}, sample)
    return Draw(
        session,
        chain_head,
        strata,
        tuple(
            Stratum(
                part, len(names), _lowest(names, places[part], session=session, head=chain_head)
            )
            for part, names in sorted(parts.items())
        ),
    )


def ticket(session: str, chain_head: str, name: SpikeName) -> str:
    """Return the ticket of a spike, 64 hex digits."""
    return hashlib.sha256(ticket_text(session, chain_head, name).encode()).hexdigest()


def ticket_text(session: str, chain_head: str, name: SpikeName) -> str:
    """Return the text whose hash is the ticket of a spike."""
    return json.dumps(
        [session, chain_head, name.cross, name.spike], ensure_ascii=False, separators=(",", ":")
    )


def allocate(sizes: Mapping[str, int], sample: int) -> dict[str, int]:
    """Return how many are drawn from each stratum.

    In proportion to its size, by largest remainder; ties go to the larger stratum, then by name.
    Where the sample has as many places as there are strata, none goes empty.

    Parameters
    ----------
    sizes
        Spikes in each stratum, 1 or more.
    sample
        Places in all, no more than spikes.
    """
    total = sum(sizes.values())
    least = 1 if sample >= len(sizes) else 0
    # Whole numbers throughout, so that no rounding decides.
    places = {part: max(sample * size // total, least) for part, size in sizes.items()}

    def due(part: str) -> int:
        return sample * sizes[part] - places[part] * total

    while (missing := sample - sum(places.values())) != 0:
        step = 1 if missing > 0 else -1
        open_to = [
            part for part in sizes
            if (places[part] < sizes[part] if step > 0 else places[part] > least)
        ]  # fmt: skip
        chosen = min(open_to, key=lambda part: (-step * due(part), -step * sizes[part], part))
        places[chosen] += step
    return places


def _lowest(
    names: Sequence[SpikeName], places: int, *, session: str, head: str
) -> tuple[SpikeName, ...]:
    ranked = sorted(names, key=lambda name: ticket(session, head, name))
    return tuple(sorted(ranked[:places]))


def _stratum(record: SpikeRecord, strata: Strata) -> str:
    if strata is Strata.TECHNICIAN:
        return record.emasculated_by
    if strata is Strata.VERDICT:
        return _NO_VERDICT if record.verdict is None else record.verdict.value
    return ""
