"""One person marks the photos of a folder: every change is on disk before the next."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from spikecheck.errors import UsageError
from spikecheck.labelling.label_file import read_label, save_label
from spikecheck.labelling.state import LabelState, blank_truth
from spikecheck.language import _

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

    from spikecheck.labelling.state import Proposal
    from spikecheck.vocabulary import PhotoTruth


class LabelSession:
    """The photos of a folder, one of them open, with what can be undone in it.

    Parameters
    ----------
    photos
        The photos that may be opened; none else ever is.
    now
        Gives the moment, with time zone.
    """

    def __init__(
        self, photos: Sequence[Path], *, now: Callable[[], datetime] = lambda: datetime.now(UTC)
    ) -> None:
        self.photos = tuple(photos)
        self._now = now
        self._open: Path | None = None
        self._saved: str | None = None
        self._before: PhotoTruth | None = None
        self._done: list[LabelState] = []
        self._undone: list[LabelState] = []
        self._state: LabelState | None = None

    @property
    def opened(self) -> Path | None:
        """The open photo, or None."""
        return self._open

    @property
    def state(self) -> LabelState:
        """Marks and proposals of the open photo.

        Raises
        ------
        UsageError
            If no photo is open.
        """
        if self._state is None:
            raise UsageError(_("no photo is open"), cure=_("Choose a photo first"))
        return self._state

    @property
    def can_undo(self) -> bool:
        """Whether there is a change to take back."""
        return bool(self._done)

    @property
    def can_redo(self) -> bool:
        """Whether there is a change to make again."""
        return bool(self._undone)

    def open(self, photo: Path, *, width: int, height: int) -> LabelState:
        """Open a photo with the marks that lie beside it; what could be undone is forgotten.

        Parameters
        ----------
        photo
            One of ``photos``.
        width, height
            Size of the upright photo, px.

        Raises
        ------
        UsageError
            If it is none of them, or its marks were made on a picture of another size.
        TruthError
            If the file beside it cannot be used.
        """
        if photo not in self.photos:
            raise UsageError(
                _("is not among the photos to mark"),
                where=photo.name,
                cure=_("Choose one of the list"),
            )
        stored = read_label(photo)
        truth = stored.truth
        if truth is not None and (truth.width, truth.height) != (width, height):
            raise UsageError(
                _(
                    "was marked as a picture of {width} x {height} pixels, but has "
                    "{now_width} x {now_height}"
                ).format(
                    width=truth.width, height=truth.height, now_width=width, now_height=height
                ),
                where=photo.name,
                cure=_("Bring the photo back as it was, or take its truth file away"),
            )
        self._open, self._saved, self._before = photo, stored.sha256, truth
        self._done, self._undone = [], []
        self._state = LabelState(truth or blank_truth(photo.name, width=width, height=height))
        return self._state

    def change(self, edit: Callable[[LabelState], LabelState], *, by: str) -> LabelState:
        """Make one change and save the marks.

        Parameters
        ----------
        edit
            Takes the state to the new one, such as a function of ``labelling.edits``.
        by
            Who makes it.

        Raises
        ------
        UsageError
            If no photo is open, nobody is named, or the change is impossible.
        CalibrationError, OutputError
            If it cannot be saved; then it is not made.
        """
        old, name = self.state, by.strip()
        if not name:
            raise UsageError(
                _("nobody is named"), cure=_("Give your name: marks carry who made them")
            )
        new = edit(old)
        if new == old:
            return old
        if new.truth != old.truth:
            stamped = replace(new.truth, marked_by=name, marked_at=self._now())
            new = replace(new, truth=stamped)
        self._put(new)
        self._done.append(old)
        self._undone.clear()
        return new

    def suggest(self, proposals: Sequence[Proposal]) -> LabelState:
        """Show proposals instead of those shown so far; nothing is saved or undone by it."""
        self._state = replace(self.state, proposals=tuple(proposals))
        return self._state

    def undo(self) -> LabelState:
        """Take the last change back, on disk too.

        Raises
        ------
        CalibrationError, OutputError
            As in :meth:`change`.
        """
        if self._done:
            old = self.state
            self._put(self._done[-1])
            self._done.pop()
            self._undone.append(old)
        return self.state

    def redo(self) -> LabelState:
        """Make the change last taken back again.

        Raises
        ------
        CalibrationError, OutputError
            As in :meth:`change`.
        """
        if self._undone:
            old = self.state
            self._put(self._undone[-1])
            self._undone.pop()
            self._done.append(old)
        return self.state

    def _put(self, state: LabelState) -> None:
        photo = self._open
        if photo is None:
            raise UsageError(_("no photo is open"), cure=_("Choose a photo first"))
        if state.truth != self.state.truth:
            # A photo that nobody had marked gets back to having no file.
            untouched = self._before is None and state.truth.marked_by is None
            self._saved = save_label(
                photo, None if untouched else state.truth, expected=self._saved
            )
        self._state = state
