"""What one browser tab remembers while its person practises; all that counts is recorded."""

from __future__ import annotations

import secrets
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import streamlit as st

import resources
from spikecheck.access import Action
from spikecheck.coaching import Coach, told_last
from spikecheck.errors import SpikecheckError
from spikecheck.imaging.label_view import region_view
from spikecheck.practice import Mark
from spikecheck.vocabulary import Point
from who import require_here

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.coaching import OnView, Pool, Progress
    from spikecheck.imaging.view import View
    from spikecheck.vocabulary import Photo, Verdict

_KEY = "practice-visit"
_SEEDS = 2**31
CLOSE_ZOOM = 4
"""Where a tap on the whole photo leads: a spike of 90 mm then shows some 20 mm at once."""

Place = tuple[int, int]
"""Number of the session and place of the photo in it."""


@dataclass(frozen=True, slots=True)
class Look:
    """Which part of a photo is shown.

    Parameters
    ----------
    photo
        Whose photo it is.
    centre
        Middle of the region; None is the middle of the photo.
    zoom
        How much it is enlarged, one of ``imaging.label_view.ZOOMS``.
    """

    photo: Place | None = None
    centre: Point | None = None
    zoom: int = 1


@dataclass(slots=True)
class PracticeVisit:
    """One person's practice in one browser tab.

    Parameters
    ----------
    person
        Who practises.
    told
        The answer whose truth is shown; None where none is.
    ended
        Number of the session whose results are shown; None where none are.
    look
        Which part of the photo on view is shown.
    problem
        What went wrong in the last try, one line; empty when nothing did.
    """

    person: str
    told: Place | None = None
    ended: int | None = None
    look: Look = field(default_factory=Look)
    problem: str = ""

    def begin(self) -> None:
        """Draw a new session and show its first photo."""
        require_here(Action.PRACTISE)
        self._try(lambda coach: coach.begin(secrets.randbelow(_SEEDS)))
        if not self.problem:
            self.go_on()

    def go_on(self) -> None:
        """Show the next photo, or what the session came to after its last one."""
        require_here(Action.PRACTISE)
        told, self.told, self.ended = self.told, None, None

        def work(coach: Coach) -> None:
            if coach.progress().under_way is not None:
                coach.show_next()
            elif told is not None:
                self.ended = told[0]

        self._try(work)

    def home(self) -> None:
        """Leave the results for the first view."""
        require_here(Action.PRACTISE)
        self.told = self.ended = None

    def mark(self, on_view: OnView, place: Point) -> None:
        """Mark a leftover."""
        require_here(Action.PRACTISE)
        self._change_marks(on_view, lambda marks: (*marks, Mark(place.row, place.column)))

    def take_back(self, on_view: OnView, index: int) -> None:
        """Take one mark away."""
        require_here(Action.PRACTISE)
        self._change_marks(on_view, lambda marks: (*marks[:index], *marks[index + 1 :]))

    def answer(self, place: Place, verdict: Verdict) -> None:
        """Give the answer; the server refuses it before its time."""
        require_here(Action.PRACTISE)
        if self.told == place:  # the second tap of two
            return

        def work(coach: Coach) -> None:
            coach.answer(*place, marks_of(place), verdict)
            resources.practice_marks().pop(place, None)
            self.told = place

        self._try(work)

    def view_of(self, place: Place, photo: Photo) -> View:
        """Return the part of the photo on view that is shown."""
        if self.look.photo != place:
            self.look = Look(place)
        centre = self.look.centre or Point(photo.height / 2, photo.width / 2)
        return region_view(photo.width, photo.height, centre=centre, zoom=self.look.zoom)

    def look_at(self, place: Point, zoom: int) -> None:
        """Show the region about a place."""
        require_here(Action.PRACTISE)
        self.problem = ""
        self.look = replace(self.look, centre=place, zoom=zoom)

    def look_at_all(self) -> None:
        """Show the whole photo."""
        require_here(Action.PRACTISE)
        self.problem = ""
        self.look = replace(self.look, centre=None, zoom=1)

    def move(self, view: View, rows: float, columns: float) -> None:
        """Move the region by shares of its size, as far as the photo goes."""
        require_here(Action.PRACTISE)
        tall, wide = view.bottom - view.top, view.right - view.left
        centre = Point(
            max(0.0, (view.top + view.bottom) / 2 + rows * tall),
            max(0.0, (view.left + view.right) / 2 + columns * wide),
        )
        self.look_at(centre, self.look.zoom)

    def _change_marks(
        self, on_view: OnView, change: Callable[[tuple[Mark, ...]], tuple[Mark, ...]]
    ) -> None:
        require_here(Action.PRACTISE)
        self.problem = ""
        place = (on_view.session.id, on_view.position)
        resources.practice_marks()[place] = change(marks_of(place))

    def _try(self, work: Callable[[Coach], object]) -> None:
        self.problem = ""
        try:
            with resources.one_writer():
                work(current_coach())
        except SpikecheckError as error:
            self.problem = str(error)


def marks_of(place: Place) -> tuple[Mark, ...]:
    """Return the marks set so far on a photo."""
    return resources.practice_marks().get(place, ())


def current_coach() -> Coach:
    """Return what leads this visit's person.

    Raises
    ------
    AccessError
        If the person may not practise.
    SpikecheckError
        If nobody is named, or photos, numbers or records cannot be used.
    """
    person = require_here(Action.PRACTISE)
    return coach_of(person.name, resources.practice_pool())


def coach_of(person: str, pool: Pool | None) -> Coach:
    """Return what leads a person; without photos it can still tell how practice went."""
    from spikecheck.coaching import Pool as Photos

    return Coach(
        resources.store(),
        Photos({}) if pool is None else pool,
        resources.practice_numbers(),
        person=person,
        clock=resources.moment,
    )


def current_practice(person: str, progress: Progress) -> PracticeVisit:
    """Return this tab's practice; a tab that is loaded again goes on where the last one was."""
    visit: PracticeVisit | None = st.session_state.get(_KEY)
    if visit is None or visit.person != person:
        visit = PracticeVisit(person, told=_told_last(progress))
        st.session_state[_KEY] = visit
    return visit


def _told_last(progress: Progress) -> Place | None:
    """Return the answer whose truth a page that is loaded again shows, or None."""
    position = told_last(progress, resources.moment())
    if progress.under_way is None or position is None:
        return None
    return progress.under_way.id, position
