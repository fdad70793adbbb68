"""Charts of a session that need no second look."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from spikecheck.audit import Count, share_chart
from spikecheck.charts import Band, Chart, Level, Series
from spikecheck.language import _, listing, percent
from spikecheck.vocabulary.verdict import Verdict

if TYPE_CHECKING:
    from spikecheck.audit import ShareChart
    from spikecheck.reports.facts import SessionFacts

_FEWEST_PEOPLE = 2


def review_chart(facts: SessionFacts) -> Chart | None:
    """Return the control chart of what the program sent to review, by who emasculated.

    None where there is nothing to compare: fewer than two people, or all of one verdict.
    """
    checked = [record for record in facts.spikes if record.computed_verdict is not None]
    seen = Counter(record.emasculated_by for record in checked)
    bad = Counter(
        record.emasculated_by for record in checked if record.computed_verdict is Verdict.REVIEW
    )
    if len(seen) < _FEWEST_PEOPLE or not 0 < bad.total() < seen.total():
        return None
    return _drawn(share_chart([Count(name, seen[name], bad[name]) for name in sorted(seen)]))


def _drawn(found: ShareChart) -> Chart:
    limits = [point.exact if point.exact_decides else point.usual for point in found.points]
    outside = [point.count.name for point in found.outside]
    told = (
        _("Outside of what chance explains: {names}.").format(names=listing(outside))
        if outside
        else _("Nobody lies outside of what chance explains.")
    )
    return Chart(
        title=_("Spikes that the program sent to review, by who emasculated"),
        told=told,
        x_name=_("Who emasculated (spikes checked)"),
        y_name=_("Share sent to review"),
        series=(
            Series(
                _("Share of this person's spikes"),
                tuple((at, point.count.share) for at, point in enumerate(found.points)),
                joined=False,
                marked=True,
                flagged=tuple(
                    at for at, point in enumerate(found.points) if point in found.outside
                ),
            ),
        ),
        bands=(
            Band(
                _("Explained by chance"),
                tuple((at, one.low, one.high) for at, one in enumerate(limits)),
            ),
        ),
        levels=(
            Level(_("All together {share}").format(share=percent(found.centre)), found.centre),
        ),
        y_percent=True,
        x_names=tuple(f"{point.count.name} ({point.count.inspected})" for point in found.points),
    )
