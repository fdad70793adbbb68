"""What one browser tab remembers while its person marks photos."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import streamlit as st

import resources
from spikecheck.access import Action
from spikecheck.errors import SpikecheckError
from spikecheck.imaging.label_view import region_view
from spikecheck.labelling import LabelSession
from spikecheck.labelling.florets import usual_side_px
from spikecheck.labelling.proposals import propose
from spikecheck.language import _
from spikecheck.pipeline.batch_folder import list_photos
from spikecheck.vocabulary import Point, TrueFloret
from who import current_person, require_here

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from spikecheck.imaging.view import View
    from spikecheck.labelling import LabelState
    from spikecheck.vocabulary import AntherStage, Photo

_KEY = "label-visit"
_FIRST_ZOOM = 4


@dataclass(slots=True)
class LabelVisit:
    """One person's marking in one browser tab.

    Parameters
    ----------
    session
        The photos and their marks.
    centre
        Middle of the enlarged region.
    zoom
        How much it is enlarged, one of ``imaging.label_view.ZOOMS``.
    axis
        The spike's axis as the check found it, from base to tip; None before it looked.
    stage
        The stage of the next anther; None until one was chosen.
    base
        The spike's base, clicked already while the tip is not; else None.
    problem
        What went wrong in the last try, one line; empty when nothing did.
    """

    session: LabelSession
    centre: Point = field(default_factory=lambda: Point(0, 0))
    zoom: int = _FIRST_ZOOM
    axis: tuple[Point, ...] | None = None
    stage: AntherStage | None = None
    base: Point | None = None
    problem: str = ""

    @property
    def photo(self) -> Photo:
        """The open photo, decoded."""
        path = self.session.opened
        if path is None:
            raise TypeError("a photo is opened before it is asked for")
        return resources.photo_to_mark(path)

    @property
    def view(self) -> View:
        """The enlarged region."""
        truth = self.session.state.truth
        return region_view(truth.width, truth.height, centre=self.centre, zoom=self.zoom)

    @property
    def floret_px(self) -> float:
        """How wide a floret is in the open photo, px."""
        state = self.session.state
        proposed = [p.mark for p in state.proposals if isinstance(p.mark, TrueFloret)]
        return usual_side_px([*(state.truth.florets or ()), *proposed], state.truth)

    def open(self, path: Path) -> None:
        """Open a photo, shown whole in the middle."""
        require_here(Action.LABEL)
        self._try(lambda: self._open(path))

    def change(self, edit: Callable[[LabelState], LabelState]) -> None:
        """Make one change and save it."""
        require_here(Action.LABEL)
        self._try(lambda: self.session.change(edit, by=current_person().name))

    def undo(self) -> None:
        """Take the last change back."""
        require_here(Action.LABEL)
        self._try(self.session.undo)

    def redo(self) -> None:
        """Make it again."""
        require_here(Action.LABEL)
        self._try(self.session.redo)

    def ask_the_check(self) -> None:
        """Let the check look, and show what it found as proposals."""
        require_here(Action.LABEL)
        self._try(self._ask)

    def go(self, rows: float, columns: float) -> None:
        """Move the enlarged region by shares of its size."""
        require_here(Action.LABEL)
        view = self.view
        self.look_at(
            Point(
                (view.top + view.bottom) / 2 + rows * (view.bottom - view.top),
                (view.left + view.right) / 2 + columns * (view.right - view.left),
            )
        )

    def look_at(self, place: Point) -> None:
        """Show the region about ``place``."""
        require_here(Action.LABEL)
        self.centre = place
        view = self.view
        self.centre = Point((view.top + view.bottom) / 2, (view.left + view.right) / 2)

    def _open(self, path: Path) -> None:
        photo = resources.photo_to_mark(path)
        self.session.open(path, width=photo.width, height=photo.height)
        self.axis, self.base = None, None
        self.centre, self.zoom = Point(photo.height / 2, photo.width / 2), _FIRST_ZOOM

    def _ask(self) -> None:
        findings = resources.finder().find(self.photo)
        if findings.spike is not None:
            self.axis = tuple(Point(float(r), float(c)) for r, c in findings.spike.axis)
        least = resources.thresholds().assessment.anther_score_least
        proposals = propose(findings, self.session.state.truth, score_least=least)
        self.session.suggest(
            [replace(p, number=number) for number, p in enumerate(proposals, start=1)]
        )
        if not proposals:
            self.problem = _("The check found nothing that is not marked already.")

    def _try(self, work: Callable[[], object]) -> None:
        self.problem = ""
        try:
            work()
        except SpikecheckError as error:
            self.problem = str(error)


def current_label_visit(folder: Path) -> LabelVisit:
    """Return this tab's marking of ``folder``.

    Raises
    ------
    UsageError
        If the folder holds no photo.
    """
    if _KEY not in st.session_state:
        st.session_state[_KEY] = LabelVisit(LabelSession(list_photos(folder, recursive=False)))
    visit: LabelVisit = st.session_state[_KEY]
    return visit
