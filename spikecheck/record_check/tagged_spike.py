"""Which spike the tag in the photos says this is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.errors import TagError
from spikecheck.language import _
from spikecheck.vocabulary.tag_code import shown_code

if TYPE_CHECKING:
    from spikecheck.store.store import Store
    from spikecheck.vocabulary.check_result import CheckResult


def spike_of_tag(store: Store, result: CheckResult) -> tuple[str, int]:
    """Return id of the cross and number of the spike that the tag in the photos belongs to.

    Raises
    ------
    TagError
        If no tag was read, several that differ, or one that no spike has.
    """
    codes = sorted({tag.code for entry in result.photos for tag in entry.tags})
    if not codes:
        raise TagError(
            _("no tag was read in the photos"), cure=_("Name the spike with --cross and --spike")
        )
    if len(codes) > 1:
        raise TagError(
            _("the photos show several tags ({codes})").format(
                codes=" and ".join(map(shown_code, codes))
            ),
            cure=_("Take photos with only this spike's tag in view"),
        )
    return store.spikes.of_tag(codes[0])
