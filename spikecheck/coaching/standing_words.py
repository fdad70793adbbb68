"""Where a person stands, in plain words."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from spikecheck.coaching.numbers import changed_numbers
from spikecheck.language import _, day, listing, ngettext, number, percent
from spikecheck.practice import sign_off_test

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo

    from spikecheck.coaching.history import DecisionMade
    from spikecheck.coaching.standing import Standing
    from spikecheck.thresholds.practice import PracticeThresholds


def signed_off_words(made: DecisionMade, zone: ZoneInfo) -> str:
    """Return a sign-off in words: when, on what it rests, false alarms, under which numbers.

    The test counts misses alone, so it is told where false alarms take away what it shows.
    """
    counts = made.counts
    told = _(
        "Signed off on {day}: {misses} of {photos} spikes with a leftover missed, {alarms} of "
        "{clean} clean ones sent to review."
    ).format(
        day=day(made.at.astimezone(zone).date()),
        misses=counts.misses,
        photos=counts.photos,
        alarms=counts.false_alarms,
        clean=counts.clean,
    )
    if 2 * counts.false_alarms > counts.clean:
        told += " " + _(
            "Most clean ones were sent to review too: whoever marks everything misses nothing, so "
            "this does not show that leftovers are told apart."
        )
    under = (
        _("Under this programme's own numbers.")
        if changed_numbers(made.numbers)
        else _("Under the numbers that spikecheck comes with.")
    )
    return f"{told} {under}"


def numbers_words(numbers: PracticeThresholds) -> str:
    """Return under which numbers something was reached."""
    test = _(
        "A miss rate of {good} is good enough, {poor} is not; of attempts by a person who misses "
        "{poor}, at most {error} end with a sign-off by chance."
    ).format(
        good=percent(numbers.acceptable_miss_rate),
        poor=percent(numbers.unacceptable_miss_rate),
        error=percent(numbers.poor_signed_off / (1 - numbers.good_sent_back)),
    )
    expected = sign_off_test(numbers).trials_expected
    test += " " + _(
        "Whoever misses {good} is expected to need about {few} spikes with a leftover until it is "
        "decided, whoever misses {poor} about {many}."
    ).format(
        good=percent(numbers.acceptable_miss_rate), poor=percent(numbers.unacceptable_miss_rate),
        few=math.ceil(expected(numbers.acceptable_miss_rate)),
        many=math.ceil(expected(numbers.unacceptable_miss_rate)),
    )  # fmt: skip
    changed = [
        _("{name} {value} instead of {shipped}").format(
            name=name, value=_short(value), shipped=_short(shipped)
        )
        for name, value, shipped in changed_numbers(numbers)
    ]
    if not changed:
        return test
    return test + " " + _("Set by this programme: {changes}.").format(changes=listing(changed))


def way_words(standing: Standing, numbers: PracticeThresholds) -> str:
    """Return how far it is to the sign-off."""
    usual_share = (numbers.leftovers_least + numbers.leftovers_most) / 2
    photos = math.ceil(standing.at_best / usual_share)
    told = ngettext(
        "{n} more spike with a leftover, found, and you are signed off: about {photos} photos.",
        "{n} more spikes with a leftover, all found, and you are signed off: about {photos} "
        "photos.",
        standing.at_best,
    ).format(n=standing.at_best, photos=photos)
    alarms = standing.attempt_scores.false_alarms
    parts = [told]
    if standing.attempt.photos:
        parts.append(
            ngettext(
                "So far {misses} of {n} missed; each miss makes it longer.",
                "So far {misses} of {n} missed; each miss makes it longer.",
                standing.attempt.photos,
            ).format(misses=standing.attempt.misses, n=standing.attempt.photos)
        )
    if alarms is not None:
        parts.append(
            _("False alarms: {n} of {m} clean spikes.").format(n=alarms.events, m=alarms.trials)
        )
    if standing.sent_back:
        parts.insert(
            0,
            ngettext(
                "{n} attempt ended with more practice, so a new attempt has begun.",
                "{n} attempts ended with more practice, so a new attempt has begun.",
                standing.sent_back,
            ).format(n=standing.sent_back),
        )
    return " ".join(parts)


def _short(value: float) -> str:
    return number(value, 0 if value == round(value) else 2)
