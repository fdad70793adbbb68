"""Every error the project raises, in one tree.

::

    SpikecheckError
    ├── UsageError            options that do not fit together, names that do not exist
    ├── AccessError           a person who may not do this, or could not sign in
    ├── PhotoError            a file that cannot be read as a photo
    ├── TruthError            a truth file that cannot be understood
    ├── ThresholdError        a threshold file that is incomplete or out of range
    ├── InstallationError     a part that travels with the package is not there
    ├── ModelError            a network or its manifest that cannot be used
    ├── CalibrationError      labels or a calibration that cannot be used
    ├── RenderError           a scene that cannot be rendered
    ├── TrainingError         a training set or run that cannot be used
    ├── SeasonError           temperatures or times that cannot be
    ├── PedigreeError         a pedigree that is not in Purdy notation
    ├── TagError              a tag code that cannot be, or a tag of another cross
    ├── TableError            a CSV file that cannot be taken in, by line and column
    ├── ExchangeError         an exchange file that does not follow its standard
    ├── StoreError            the records cannot be opened or written
    │   ├── UnknownCrossError     no cross of this id
    │   ├── DuplicateCrossError   a cross of this id is there already
    │   ├── StepError             a step that cannot have happened, or not in this order
    │   ├── ChainError            history or photos are not what they were when written
    │   └── BackupError           a backup that cannot be made or restored
    └── OutputError           a result that cannot be written where it should go

Catch :class:`SpikecheckError` at the edge (command, page): its text is one line that says what
was wrong, where, and the cure. A bad photo of a spike (blurred, too dark) is no error: it is a
finding, and its verdict is review.
"""

from __future__ import annotations

# What keeps names written from right to left in one piece, where a page shows the error.
_ISOLATES = "\N{FIRST STRONG ISOLATE}\N{POP DIRECTIONAL ISOLATE}"


class SpikecheckError(Exception):
    """Base of all errors of the project.

    Parameters
    ----------
    what
        What was found, in a few words.
    where
        The file, record or option it was found in; empty when there is only one.
    cure
        What the user can do about it.
    """

    def __init__(self, what: str, *, where: str = "", cure: str = "") -> None:
        self.what = what
        self.where = where
        self.cure = cure
        super().__init__(what, where, cure)

    def __reduce__(self) -> tuple[object, ...]:
        """Pickle with the keyword arguments: errors cross process borders in a batch."""
        return _rebuild, (type(self), self.what, self.where, self.cure)

    def __str__(self) -> str:
        """One line: where, what, cure; control characters never reach a terminal."""
        head = f"{self.where}: {self.what}" if self.where else self.what
        line = f"{head}. {self.cure}" if self.cure else head
        return "".join(one if one.isprintable() or one in _ISOLATES else " " for one in line)


def _rebuild(kind: type[SpikecheckError], what: str, where: str, cure: str) -> SpikecheckError:
    return kind(what, where=where, cure=cure)


class UsageError(SpikecheckError):
    """Options that do not fit together, or a name that does not exist."""


class AccessError(SpikecheckError):
    """A person who may not do this, or could not sign in."""


class PhotoError(SpikecheckError):
    """A file that cannot be read as a photo."""


class TruthError(SpikecheckError):
    """A truth file that cannot be understood."""


class ThresholdError(SpikecheckError):
    """A threshold file that is incomplete or holds a value out of range."""


class InstallationError(SpikecheckError):
    """A part that should travel with the package is not there."""


class ModelError(SpikecheckError):
    """A network or its manifest is missing, altered or does not fit this version."""


class CalibrationError(SpikecheckError):
    """Labels or a calibration file that cannot be used."""


class RenderError(SpikecheckError):
    """A scene cannot be rendered here."""


class TrainingError(SpikecheckError):
    """A training set or a training run that cannot be used."""


class SeasonError(SpikecheckError):
    """Temperatures or times that cannot be, or do not reach far enough."""


class PedigreeError(SpikecheckError):
    """A pedigree that does not follow Purdy notation."""


class TagError(SpikecheckError):
    """A tag code that cannot be, or a tag that belongs to another cross."""


class TableError(SpikecheckError):
    """A CSV file that cannot be taken in; the message names line and column."""


class ExchangeError(SpikecheckError):
    """An exchange file that does not follow its standard."""


class StoreError(SpikecheckError):
    """The records cannot be opened, read or written."""


class UnknownCrossError(StoreError):
    """No cross of this id is recorded."""


class DuplicateCrossError(StoreError):
    """A cross of this id, capital letters aside, is recorded already."""


class StepError(StoreError):
    """A step that cannot have happened, or not in this order."""


class ChainError(StoreError):
    """History or photos are not what they were when they were written."""


class BackupError(StoreError):
    """A backup that cannot be made, read or restored."""


class OutputError(SpikecheckError):
    """A result cannot be written where it should go."""
