"""The file a batch writes its results to: one JSON object a line, picked up again after a stop.

A line is written in one piece and never changed. Killed in the middle of one, the batch leaves a
torn last line, which the next start takes off. A photo whose file name, bytes, software version,
model, thresholds and calibration all agree with a line there is not checked again; when one of them
differs it is, and its new line is added: of several lines for one file the last one holds.
"""

from __future__ import annotations

import json
import os
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Self

from spikecheck.errors import OutputError
from spikecheck.file_lock import try_lock
from spikecheck.pipeline.interrupts import interrupts_held
from spikecheck.vocabulary import SCHEMA, Calibration, ModelIdentity, Verdict

if TYPE_CHECKING:
    from pathlib import Path
    from types import TracebackType

_CURE_OTHER = "Give another name after --jsonl"
_OPENING = f'{{"schema": "{SCHEMA}"'.encode()


@dataclass(frozen=True, slots=True)
class Means:
    """What a photo was checked with: results of other means are not taken over.

    Parameters
    ----------
    software_version, model, thresholds_sha256
        As in the records.
    own_calibration
        Digest and limit of the user's own calibration, see :func:`calibration_word`; None for the
        shipped one, which belongs to the model.
    """

    software_version: str
    model: ModelIdentity
    thresholds_sha256: str
    own_calibration: str | None = None


def calibration_word(calibration: Calibration | None) -> str | None:
    """Return in one word what tells a calibration from others, or None for none."""
    if calibration is None:
        return None
    return f"{calibration.sha256}:{calibration.pass_score_most!r}"


class Journal:
    """The results of a batch, open for adding; holds the file alone until it is closed.

    Parameters
    ----------
    path
        The file; made where there is none.

    Raises
    ------
    OutputError
        If it cannot be written, holds something else than results, or another batch writes to it.
    """

    def __init__(self, path: Path) -> None:
        self._path = path
        self._files: set[str] = set()
        self._known: dict[tuple[str, str, Means], Verdict] = {}
        try:
            if path.exists() and not path.is_file():
                raise OutputError("is no ordinary file", where=str(path), cure=_CURE_OTHER)
            self._file = path.open("a+b", buffering=0)
        except OSError as error:
            raise _unwritable(path, error) from error
        try:
            self._take_over()
        except BaseException:
            self._file.close()
            raise

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._file.close()

    def has(self, file: str) -> bool:
        """Tell whether there is any line for this file."""
        return file in self._files

    def verdict(self, file: str, sha256: str, means: Means) -> Verdict | None:
        """Return the verdict already here for these bytes by these means, or None."""
        return self._known.get((file, sha256, means))

    def add(
        self, entry: dict[str, Any], *, thresholds_sha256: str, own_calibration: str | None = None
    ) -> None:
        """Write one result; when this returns, the system has all of it.

        Parameters
        ----------
        entry
            Object of the result contract, of one photo.
        thresholds_sha256
            Hex digest of the thresholds in force; written as ``thresholds.sha256``.
        own_calibration
            As in :class:`Means`; written only where there is one.

        Raises
        ------
        OutputError
            If it cannot be written; what was written of it is taken back.
        """
        entry = {**entry, "thresholds": {"sha256": thresholds_sha256}}
        if own_calibration is not None:
            entry["own_calibration"] = own_calibration
        line = json.dumps(entry, allow_nan=False).encode("ascii") + b"\n"
        with interrupts_held():
            start = self._file.seek(0, os.SEEK_END)
            try:
                left = memoryview(line)
                while left:
                    left = left[self._file.write(left) or 0 :]
            except OSError as error:
                self._file.truncate(start)
                raise _unwritable(self._path, error) from error

    def _take_over(self) -> None:
        """Lock the file, read what is there and take off a torn last line."""
        try:
            locked = try_lock(self._file)
        except OSError as error:
            raise OutputError(
                f"the file cannot be locked ({error.strerror})",
                where=str(self._path),
                cure="Write to a local disk",
            ) from error
        if not locked:
            raise OutputError(
                "another batch is writing to this file",
                where=str(self._path),
                cure="Wait for it to end, or give another name after --jsonl",
            )
        whole_bytes = 0
        with self._path.open("rb") as reader:
            for number, line in enumerate(reader, start=1):
                if not line.endswith(b"\n"):
                    if not (line.startswith(_OPENING) or _OPENING.startswith(line)):
                        raise self._foreign(number)
                    break
                self._learn(line, number)
                whole_bytes += len(line)
        self._file.truncate(whole_bytes)

    def _learn(self, line: bytes, number: int) -> None:
        try:
            entry = json.loads(line)
            if entry["schema"] != SCHEMA:
                raise self._foreign(number)
            (photo,) = entry["photos"]
            key = (photo["file"], photo["sha256"], _means(entry, photo))
            self._files.add(photo["file"])
            self._known[key] = Verdict(entry["verdict"])
        except (ValueError, KeyError, TypeError) as error:
            raise self._foreign(number) from error

    def _foreign(self, number: int) -> OutputError:
        return OutputError(
            f"line {number} is no result of a batch", where=str(self._path), cure=_CURE_OTHER
        )


def _means(entry: dict[str, Any], photo: dict[str, Any]) -> Means:
    model = photo["model"]
    return Means(
        entry["software"]["version"],
        ModelIdentity(model["name"], model["version"], model["sha256"]),
        entry["thresholds"]["sha256"],
        entry.get("own_calibration"),
    )


def _unwritable(path: Path, error: OSError) -> OutputError:
    return OutputError(
        f"cannot be written ({error.strerror})",
        where=str(path),
        cure="Check that the folder exists, that you may write there and that the disk has room",
    )
