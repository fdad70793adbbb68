"""Where a person stands: the attempt under way, the sign-off, how the sessions went."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.charts import Band, Chart, Level, Series
from spikecheck.coaching.history import DecisionMade, answers_of, attempt_of, decisions_of
from spikecheck.language import _, ngettext, percent
from spikecheck.practice import Decision, learning_curve, score, sign_off, sign_off_test

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.practice import Scores, SignOff
    from spikecheck.store.practice_session import PracticeSession
    from spikecheck.thresholds.practice import PracticeThresholds


@dataclass(frozen=True, slots=True)
class Standing:
    """Where a person stands.

    Parameters
    ----------
    signed_off
        The latest sign-off, or None.
    sent_back
        How many attempts ended with more practice.
    attempt
        What the attempt under way comes to so far.
    attempt_scores
        How that attempt went, false alarms among them.
    at_best
        How many more photos with a leftover, all of them found, sign the person off.
    in_force
        Whether the sign-off was reached under the numbers in force.
    """

    signed_off: DecisionMade | None
    sent_back: int
    attempt: SignOff
    attempt_scores: Scores
    at_best: int
    in_force: bool


def standing_of(sessions: Sequence[PracticeSession], numbers: PracticeThresholds) -> Standing:
    """Return where a person stands under these numbers.

    Parameters
    ----------
    sessions
        Of one person, in the order of beginning.
    numbers
        The numbers in force.
    """
    decisions = decisions_of(sessions)
    signed = [one for one in decisions if one.decision is Decision.SIGNED_OFF]
    attempt = attempt_of(sessions, numbers)
    result = sign_off(attempt, numbers)
    return Standing(
        signed_off=signed[-1] if signed else None,
        sent_back=sum(one.decision is Decision.MORE_PRACTICE for one in decisions),
        attempt=result,
        attempt_scores=score(attempt, numbers),
        at_best=_photos_at_best(result, numbers),
        in_force=any(one.numbers == numbers for one in signed),
    )


def session_chart(sessions: Sequence[PracticeSession], numbers: PracticeThresholds) -> Chart | None:
    """Return the learning curve: leftovers found and false alarms by session, or None without any.

    A session that showed no leftover has no point.
    """
    blocks = [answers_of(one) for one in sessions]
    found = learning_curve(blocks, numbers)
    alarms = [score(block, numbers).false_alarms for block in blocks]
    known = [(n, share) for n, share in enumerate(found, start=1) if share is not None]
    if not known:
        return None
    first, last = known[0][1], known[-1][1]
    told = ngettext(
        "{n} session: {last} of the photos with a leftover were found in the last one, {first} in "
        "the first.",
        "{n} sessions: {last} of the photos with a leftover were found in the last one, {first} in "
        "the first.",
        len(known),
    ).format(n=len(known), last=percent(last.value), first=percent(first.value))
    return Chart(
        title=_("How practice goes"),
        told=told,
        x_name=_("session"),
        y_name=_("share of photos"),
        series=(
            Series(
                _("leftover found"),
                tuple((float(n), share.value) for n, share in known),
                marked=True,
            ),
            Series(
                _("clean spike sent to review"),
                tuple(
                    (float(n), share.value)
                    for n, share in enumerate(alarms, start=1)
                    if share is not None
                ),
                marked=True,
            ),
        ),
        bands=(
            Band(
                _("{level} interval").format(level=percent(numbers.confidence)),
                tuple((float(n), share.low, share.high) for n, share in known),
            ),
        ),
        levels=(Level(_("goal"), 1 - numbers.acceptable_miss_rate),),
        y_percent=True,
    )


def _photos_at_best(so_far: SignOff, numbers: PracticeThresholds) -> int:
    test = sign_off_test(numbers)
    photos = so_far.photos
    while so_far.decision is Decision.NOT_YET:
        most = test.misses_most(photos)
        if most is not None and so_far.misses <= most:
            break
        photos += 1
    return photos - so_far.photos
