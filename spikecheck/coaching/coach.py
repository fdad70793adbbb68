"""Leads one person through practice: which photo is on view, when it may be answered, when to rest.

Everything is decided by what is recorded and by the clock that is given, so that a page that is
loaded again, or a server that was killed, goes on where it was.
"""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

from spikecheck.coaching.history import (
    answers_of,
    attempt_of,
    decisions_of,
    item_shown,
    looks_of,
    marks_text,
    photos_known,
)
from spikecheck.coaching.numbers import numbers_text, recorded_numbers
from spikecheck.coaching.progress import OnView, Progress
from spikecheck.coaching.truth_item import item_entry
from spikecheck.errors import UsageError
from spikecheck.language import _
from spikecheck.practice import (
    Answer,
    Decision,
    compare,
    current_block,
    draw_session,
    may_answer,
    photos_in_session,
    sign_off,
)
from spikecheck.store.practice_session import DrawnPhoto, GivenAnswer, MadeDecision

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from spikecheck.coaching.pool import Pool
    from spikecheck.practice import Mark
    from spikecheck.store import Store
    from spikecheck.store.practice_session import PhotoShown, PracticeSession
    from spikecheck.thresholds.practice import PracticeThresholds
    from spikecheck.vocabulary import Verdict


class Coach:
    """Practice of one person.

    Parameters
    ----------
    store
        Where it is recorded.
    pool
        The photos.
    numbers
        The numbers in force: for new sessions and for the attempt under way. A session keeps those
        it began with.
    person
        Who practises.
    clock
        Gives the moment, UTC.

    Raises
    ------
    UsageError
        If nobody is named.
    """

    def __init__(
        self,
        store: Store,
        pool: Pool,
        numbers: PracticeThresholds,
        *,
        person: str,
        clock: Callable[[], datetime] = lambda: datetime.now(UTC),
    ) -> None:
        if not person.strip():
            raise UsageError(_("nobody is named"), cure=_("Give your name first"))
        self._records = store.practice
        self._pool = pool
        self._numbers = numbers
        self._person = person.strip()
        self._clock = clock

    def progress(self) -> Progress:
        """Return where the person is now."""
        sessions = self._records.of(self._person)
        now = self._clock()
        session, position = next(
            ((one, at) for one in sessions[::-1] if (at := self._upcoming(one)) is not None),
            (None, None),
        )
        block = current_block(looks_of(sessions), now, self._numbers)
        on_view = None
        if session is not None and position is not None:
            on_view = self._on_view(session, position, now)
        return Progress(sessions, session, position, on_view, block)

    def begin(self, seed: int) -> PracticeSession:
        """Draw the photos of a new session; one under way goes on instead.

        Photos whose truth the person knows come only where the others make no session.

        Parameters
        ----------
        seed
            0 to 2**31 - 1. The same seed, photos and answers draw the same session.

        Raises
        ------
        UsageError
            If the photos make no session.
        """
        progress = self.progress()
        if progress.under_way is not None:
            return progress.under_way
        earlier = [answer for one in progress.sessions for answer in answers_of(one)]
        known = photos_known(progress.sessions)
        items = [photo.item for photo in self._pool.photos.values()]
        fresh = [item for item in items if item.photo not in known]
        most = photos_in_session(self._numbers)
        try:
            drawn = draw_session(fresh, earlier, self._numbers, seed=seed, photos_most=most)
        except UsageError:
            drawn = draw_session(items, earlier, self._numbers, seed=seed, photos_most=most)
        return self._records.begin(
            self._person,
            seed=seed,
            numbers=numbers_text(self._numbers),
            photos=[
                DrawnPhoto(
                    item.photo,
                    self._pool.photos[item.photo].source,
                    json.dumps(item_entry(item), sort_keys=True),
                )
                for item in drawn
            ],
            at=self._clock(),
        )

    def show_next(self) -> OnView:
        """Bring the next photo on view, or return the one that is.

        Raises
        ------
        UsageError
            If no session is under way, or a rest is due.
        """
        progress = self.progress()
        if progress.on_view is not None:
            return progress.on_view
        session, position = progress.under_way, progress.upcoming
        if session is None or position is None:
            raise UsageError(_("no session is under way"), cure=_("Begin one"))
        if progress.block.rest_until is not None:
            raise UsageError(
                _("it is time for a rest: people miss more when they look for long"),
                cure=_("Go on after it"),
            )
        self._records.show(session.id, position, at=self._clock())
        shown = self.progress().on_view
        if shown is None:
            raise UsageError(_("the photo is not on view"), cure=_("Load the page again"))
        return shown

    def answer(
        self, session_id: int, position: int, marks: Sequence[Mark], verdict: Verdict
    ) -> None:
        """Record the answer to the photo on view.

        Parameters
        ----------
        session_id, position
            Which photo the answer is meant for.
        marks
            Where leftovers are seen.
        verdict
            Pass or review.

        Raises
        ------
        UsageError
            If another photo is on view, it was not looked at long enough, or the answer cannot be.
        """
        progress = self.progress()
        view = progress.on_view
        if view is None or (view.session.id, view.position) != (session_id, position):
            raise UsageError(_("this photo is not the one on view"), cure=_("Load the page again"))
        if view.wait_s > 0:
            raise UsageError(
                _("this photo was not looked at long enough"), cure=_("Look into every floret")
            )
        shown, now = view.session.photos[position], self._clock()
        seconds = (now - shown.shown_at[-1]).total_seconds()
        given = Answer(item_shown(shown), tuple(marks), verdict, seconds)
        self._records.answer(
            session_id,
            position,
            GivenAnswer(verdict, marks_text(marks), now),
            decision=self._decision(progress.sessions, view.session, given),
        )

    def attempt(self) -> tuple[Answer, ...]:
        """Return the answers that count for the attempt under way."""
        return attempt_of(self._records.of(self._person), self._numbers)

    def _decision(
        self, sessions: Sequence[PracticeSession], session: PracticeSession, given: Answer
    ) -> MadeDecision | None:
        """Return what an answer decides, or None."""
        known = given.item.photo in photos_known(sessions)
        counts = recorded_numbers(session.numbers) == self._numbers
        if known or not counts or self.signed_off(sessions):
            return None
        attempt = (*attempt_of(sessions, self._numbers), given)
        result = sign_off(attempt, self._numbers)
        if result.decision is Decision.NOT_YET:
            return None
        clean = [compare(one, self._numbers) for one in attempt if one.item.clean]
        return MadeDecision(
            result.decision, result.photos, result.misses,
            len(clean), sum(one.false_alarm for one in clean),
        )  # fmt: skip

    def signed_off(self, sessions: Sequence[PracticeSession]) -> bool:
        """Return whether a sign-off was reached under the numbers in force."""
        return any(
            made.decision is Decision.SIGNED_OFF and made.numbers == self._numbers
            for made in decisions_of(sessions)
        )

    def _upcoming(self, session: PracticeSession) -> int | None:
        """Return the place of the first photo to answer that can still be shown."""
        return next(
            (
                photo.position
                for photo in session.photos
                if photo.answer is None and photo.drawn.photo in self._pool.photos
            ),
            None,
        )

    def _on_view(self, session: PracticeSession, position: int, now: datetime) -> OnView | None:
        """Return the photo that is open; one opened longer than a block ago was left meanwhile."""
        shown: PhotoShown = session.photos[position]
        numbers = recorded_numbers(session.numbers)
        if not shown.shown_at or now - shown.shown_at[-1] > timedelta(seconds=numbers.block_s):
            return None
        seconds = (now - shown.shown_at[-1]).total_seconds()
        wait_s = 0.0 if may_answer(seconds, numbers) else numbers.viewing_s - seconds
        return OnView(session, position, self._pool.photos[shown.drawn.photo], wait_s)
