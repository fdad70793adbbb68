"""What a report says of checks, decisions by hand and bags."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from spikecheck.assessment import retold
from spikecheck.language import _, day, ngettext, number, pgettext
from spikecheck.reports.blocks import Pictures, Section, Shot, Table, Text
from spikecheck.reports.words import (
    NOTHING,
    held_word,
    moment,
    standing_words,
    verdict_word,
)
from spikecheck.vocabulary.verdict import Verdict
from spikecheck.vocabulary.words import spike_name

if TYPE_CHECKING:
    from spikecheck.reports.blocks import Block
    from spikecheck.reports.facts import SessionFacts
    from spikecheck.reports.small_pictures import SmallPictures
    from spikecheck.store.records import RecordedCheck

_REASONS_TOLD = 3


def overrides_section(facts: SessionFacts) -> Section:
    """Return every decision by hand, with who and why."""
    rows = tuple(
        (
            spike_name(check.cross, check.spike), number(check.id), verdict_word(check.verdict),
            verdict_word(override.verdict), override.by, moment(facts, override.at),
            override.reason,
        )
        for check, override in facts.overrides
    )  # fmt: skip
    head = (
        _("Spike"), _check_number(), _("Computed"), _("Set to"), _("By"), _("When"), _("Reason"),
    )  # fmt: skip
    return _listed(
        _("Overrides"),
        Table(_("Overrides with their reasons"), head, rows, (1.5, 0.8, 1.2, 1, 1.5, 1.6, 4)),
        none=_("No verdict was overridden."),
    )


def unchecked_section(facts: SessionFacts) -> Section:
    """Return every bag that went on without a check that held, with who and why."""
    rows = tuple(
        (spike_name(bag.cross, bag.spike), bag.by, moment(facts, bag.at), bag.reason)
        for bag in facts.unchecked_bags
    )
    head = (_("Spike"), _("Bagged by"), _("When"), _("Reason"))
    return _listed(
        _("Bagged without a check"),
        Table(_("Bags without a check that held"), head, rows, (1.6, 1.8, 1.8, 5)),
        none=_("No spike was bagged without a check that held."),
    )


def review_section(facts: SessionFacts) -> Section:
    """Return the spikes that stand at review, with what the program said."""
    checks = facts.latest_checks
    rows = []
    for record in facts.spikes:
        check = checks.get((record.cross, record.spike))
        if record.verdict is Verdict.REVIEW and check is not None:
            rows.append(
                (
                    spike_name(record.cross, record.spike), number(check.id), check.by,
                    _yes(record.bagged_at is not None), _reasons(check),
                )
            )  # fmt: skip
    head = (
        _("Spike"),
        _check_number(),
        _("Checked by"),
        _bagged(),
        _("What was seen"),
    )
    return _listed(
        _("Spikes that stand at review"),
        Table(_("Spikes at review, and why"), head, tuple(rows), (1.6, 0.9, 1.8, 1.1, 5)),
        none=_("No spike stands at review."),
    )


def list_section(facts: SessionFacts) -> Section | None:
    """Return one line a spike."""
    if not facts.spikes:
        return None
    rows = tuple(
        (
            spike_name(one.cross, one.spike), one.emasculated_by,
            NOTHING if one.florets is None else number(one.florets), standing_words(one),
            NOTHING if one.check is None else number(one.check), one.checked_by or NOTHING,
            NOTHING if one.bagged_at is None
            else day(one.bagged_at.astimezone(facts.zone).date()),
        )
        for one in facts.spikes
    )  # fmt: skip
    head = (
        _("Spike"), _("Emasculated by"), _("Florets"), _("Verdict"), _check_number(),
        _("Checked by"), _bagged(),
    )  # fmt: skip
    shares = (1.6, 1.8, 0.9, 2.2, 0.8, 1.8, 1.5)
    return Section(
        _("Spike by spike"),
        (Table(_("All spikes of the session"), head, rows, shares),),
    )


def picture_section(facts: SessionFacts, pictures: SmallPictures) -> Section:
    """Return small pictures of the overlays."""
    shots = []
    for record in facts.spikes:
        of_check = pictures.of_check(record.check) if record.check is not None else ()
        name, verdict = spike_name(record.cross, record.spike), held_word(record)
        for one in of_check:
            named = _("{spike}, photo {number}").format(spike=name, number=number(one.photo))
            missing = _("{picture}: the picture is missing or damaged").format(picture=named)
            told = _("{picture}, with what was found marked; stands at {verdict}").format(
                picture=named, verdict=verdict
            )
            shots.append(
                Shot(
                    one.jpeg, one.width, one.height, f"{named}: {verdict}",
                    told if one.jpeg else missing,
                )
            )  # fmt: skip
    blocks: list[Block] = [Pictures(tuple(shots))] if shots else [Text(_("There is no picture."))]
    if pictures.left_out:
        blocks.append(
            Text(
                ngettext(
                    "{n} more picture has no room in this report; it is in the records.",
                    "{n} more pictures have no room in this report; they are in the records.",
                    pictures.left_out,
                ).format(n=number(pictures.left_out))
            )
        )
    return Section(_("Pictures of the checks that count"), tuple(blocks))


def _listed(heading: str, table: Table, *, none: str) -> Section:
    return Section(heading, (table,) if table.rows else (Text(none),))


def _reasons(check: RecordedCheck) -> str:
    told = [retold(reason["message"]) for reason in json.loads(check.result).get("reasons", [])]
    more = len(told) - _REASONS_TOLD
    lines = told[:_REASONS_TOLD]
    if more > 0:
        lines.append(
            ngettext("and {n} more reason", "and {n} more reasons", more).format(n=number(more))
        )
    return "\n".join(lines) or NOTHING


def _yes(true: bool) -> str:  # noqa: FBT001  (a cell)
    return _("yes") if true else _("no")


def _check_number() -> str:
    return pgettext("column of numbers", "Check")


def _bagged() -> str:
    return pgettext("of one spike", "Bagged")
