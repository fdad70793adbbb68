"""Puts a session report into words: which sections it has, and what stands in them."""

from __future__ import annotations

from collections import defaultdict
from datetime import UTC
from typing import TYPE_CHECKING

from spikecheck.language import Language, _, isolated, language, number, weekday
from spikecheck.language import day as day_words
from spikecheck.reports.blocks import Facts, Figure, Report, Section, Table, Text
from spikecheck.reports.contents_audit import audit_section
from spikecheck.reports.contents_checks import (
    list_section,
    overrides_section,
    picture_section,
    review_section,
    unchecked_section,
)
from spikecheck.reports.contents_origin import origin_section
from spikecheck.reports.session_charts import review_chart
from spikecheck.supervision.session_counts import spike_counts

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.reports.blocks import Block
    from spikecheck.reports.facts import SessionFacts
    from spikecheck.reports.small_pictures import SmallPictures
    from spikecheck.supervision.session_counts import SpikeCounts
    from spikecheck.vocabulary.spike_record import SpikeRecord


def session_report(facts: SessionFacts, pictures: SmallPictures) -> Report:
    """Return the report of a session in the reader's language, English where nobody chose one.

    Parameters
    ----------
    facts
        What it says.
    pictures
        Small pictures of the overlays.
    """
    session = facts.session
    title = _("Report of crossing session {session}").format(session=session.id)
    sections = (
        _session_section(facts), _numbers_section(facts), overrides_section(facts),
        unchecked_section(facts), review_section(facts), audit_section(facts),
        origin_section(facts), list_section(facts), picture_section(facts, pictures),
    )  # fmt: skip
    return Report(
        title=title,
        running=_("Session {session}, {day}").format(
            session=session.id, day=day_words(session.day)
        ),
        language=language() or Language.ENGLISH,
        made=f"{facts.made_at.astimezone(UTC):D:%Y%m%d%H%M%SZ}",
        author=f"spikecheck {facts.software_version}",
        sections=tuple(section for section in sections if section is not None),
    )


def _session_section(facts: SessionFacts) -> Section:
    session = facts.session
    pairs = [(_("Day"), weekday(session.day))]
    if session.place:
        pairs.append((_("Place"), session.place))
    if session.people:
        pairs.append((_("People"), "\n".join(session.people)))
    if session.note:
        pairs.append((_("Note"), session.note))
    crosses = "\n".join(
        f"{isolated(one.id)}: {isolated(one.female)} \N{MULTIPLICATION SIGN} {isolated(one.male)}"
        for one in facts.crosses
    )
    if crosses:
        pairs.append((_("Crosses: female, male"), crosses))
    return Section(_("The session"), (Facts(tuple(pairs)),))


def _numbers_section(facts: SessionFacts) -> Section:
    heading = _("Spikes and verdicts")
    if not facts.spikes:
        return Section(heading, (Text(_("No spike was emasculated in this session.")),))
    all_of_it = facts.audit.counts
    without = len({(bag.cross, bag.spike) for bag in facts.unchecked_bags})
    pairs = (
        (_("Spikes emasculated"), all_of_it.spikes),
        (_("Stand at pass"), all_of_it.passed),
        (_("Stand at review"), all_of_it.review),
        (_("Not checked"), all_of_it.unchecked),
        (_("Bagged"), all_of_it.ever_bagged),
        (_("Of them without a check that held"), without),
        (_("Sent back by the audit, not checked anew"), all_of_it.sent_back),
        (_("Checks recorded"), len(facts.checks)),
        (_("Overrides recorded"), len(facts.overrides)),
    )
    blocks: list[Block] = [
        Facts(tuple((name, number(count)) for name, count in pairs)),
        _tallies(_("By cross"), _("Cross"), facts, lambda one: one.cross, all_of_it),
        _tallies(
            _("By who emasculated"), _("Emasculated by"), facts, lambda one: one.emasculated_by,
            all_of_it,
        ),
    ]  # fmt: skip
    chart = review_chart(facts)
    if chart is not None:
        blocks.append(Figure(chart))
    return Section(heading, tuple(blocks))


def _tallies(
    name: str,
    first: str,
    facts: SessionFacts,
    group_of: Callable[[SpikeRecord], str],
    all_of_it: SpikeCounts,
) -> Table:
    groups: dict[str, list[SpikeRecord]] = defaultdict(list)
    for record in facts.spikes:
        groups[group_of(record)].append(record)
    rows = [(group, *_cells(spike_counts(groups[group]))) for group in sorted(groups)]
    rows.append((_("All"), *_cells(all_of_it)))
    head = (
        first, _("Spikes"), _("Pass"), _("Review"), _("Not checked"), _("Overridden"), _("Bagged"),
    )  # fmt: skip
    return Table(
        name,
        head,
        tuple(rows),
        (3.2, 1, 1, 1.1, 1.2, 1.4, 1.1),
        frozenset(range(1, 7)),
        total=True,
        named=True,
    )


def _cells(counted: SpikeCounts) -> tuple[str, ...]:
    several = (
        counted.spikes, counted.passed, counted.review, counted.unchecked, counted.overridden,
        counted.ever_bagged,
    )  # fmt: skip
    return tuple(map(number, several))
