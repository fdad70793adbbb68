"""Seeds counted of a spike, whole or by thirds."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.errors import UsageError
from spikecheck.language import _
from spikecheck.vocabulary.steps import THIRDS, ThirdCount, Threshed
from spikecheck.vocabulary.words import third_word

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.vocabulary.spike_record import SpikeRecord


def seed_count(
    record: SpikeRecord,
    seeds: int | None,
    florets: int | None,
    thirds: Sequence[tuple[int | None, int | None]] = (),
) -> Threshed:
    """Return the count of a spike; what is left out is filled in from what is known.

    Parameters
    ----------
    record
        The spike as it stands.
    seeds, florets
        Seeds set and of how many florets; None takes the sum of the thirds, or the florets kept.
    thirds
        The same for the basal, central and apical third; empty, or all None, when not counted
        apart.

    Raises
    ------
    UsageError
        If no seeds or no florets are known, or the thirds are not complete.
    """
    where = _("spike {cross}/{spike}").format(cross=record.cross, spike=record.spike)
    counts = _whole_thirds(thirds, where)
    if counts is not None:
        seeds = sum(one.seeds for one in counts) if seeds is None else seeds
        florets = sum(one.florets for one in counts) if florets is None else florets
    if florets is None:
        florets = record.florets
    if seeds is None:
        raise UsageError(
            _("no seeds are given"), where=where, cure=_("Count them; 0 is a count too")
        )
    if florets is None:
        raise UsageError(_("no florets are known"), where=where, cure=_("Give how many were kept"))
    return Threshed(seeds, florets, counts)


def _whole_thirds(
    thirds: Sequence[tuple[int | None, int | None]], where: str
) -> tuple[ThirdCount, ThirdCount, ThirdCount] | None:
    if all(seeds is None and florets is None for seeds, florets in thirds):
        return None
    counts = []
    for third, (seeds, florets) in zip(THIRDS, thirds, strict=True):
        if seeds is None or florets is None:
            raise UsageError(
                _("the {third} third is not complete").format(third=third_word(third)),
                where=where,
                cure=_("Give seeds and florets of all three thirds, or of none"),
            )
        counts.append(ThirdCount(seeds, florets))
    basal, central, apical = counts
    return basal, central, apical
