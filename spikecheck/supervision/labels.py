"""What supervisors said is really in the photos, as finished truth files beside copies of them.

Only words that cover the whole of a photo count: nothing is left, or it is left at these places.
A spike of which nobody is sure, or of which only the floret is named, is left out.
"""

from __future__ import annotations

import json
import re
import tempfile
import zipfile
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from spikecheck.errors import CalibrationError
from spikecheck.labelling.export import export_labels
from spikecheck.labelling.label_file import save_label
from spikecheck.labelling.progress import folder_progress
from spikecheck.language import _
from spikecheck.vocabulary import PhotoTruth, Point, TrueAnther
from spikecheck.vocabulary.audit_steps import AuditDecided, Leftovers

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from spikecheck.store import RecordedPhoto, Store
    from spikecheck.vocabulary import Step

_NOT_IN_NAMES = re.compile(r"[^\w.-]+")


@dataclass(frozen=True, slots=True)
class AuditLabels:
    """What was written.

    Parameters
    ----------
    photos
        The copies, each with its truth file.
    leftover_spikes, clean_spikes
        Spikes they show.
    unsaid
        Decided spikes left out, since nobody said where a leftover is, or that none is.
    """

    photos: tuple[Path, ...]
    leftover_spikes: int
    clean_spikes: int
    unsaid: int


def export_audit_labels(store: Store, session: str, folder: Path) -> AuditLabels:
    """Write the photos of a session that supervisors decided about, with what they said.

    The folder is one that ``spikecheck calibrate`` and ``spikecheck label`` take in. Photos of one
    spike carry its name, so that they count once; of several decisions on a spike the last holds.

    Parameters
    ----------
    store
        The records.
    session
        Id of the session.
    folder
        Where to; made where it lacks. What is there already and the same is left alone.

    Raises
    ------
    CalibrationError
        If nobody said of any spike what is in its photos.
    StoreError
        If there is no such session, or a photo is missing or damaged.
    UsageError
        If the folder holds another photo of the same name.
    OutputError
        If it cannot be written.
    """
    known = store.sessions.one(session)
    last: dict[tuple[str, int], tuple[AuditDecided, Step]] = {}
    for cross, spike, entry in store.spikes.audit_entries(known.id):
        step = entry.step
        if step is not None and isinstance(step.detail, AuditDecided):
            last[cross, spike] = step.detail, step
    said = {spike: one for spike, one in last.items() if _is_label(one[0])}
    if not said:
        raise CalibrationError(
            _("of no spike it was said what is in its photos, so there are no labels"),
            where=known.id,
            cure=_("Decide about spikes of the sample, and mark what is left or say that none is"),
        )
    checks = [detail.check for detail, _step in said.values() if detail.check is not None]
    photos, sizes = store.photos_of(checks), _sizes(store, checks)
    with tempfile.TemporaryDirectory(prefix="spikecheck-labels-") as name:
        paths = []
        for (cross, spike), (detail, step) in said.items():
            if detail.check is not None:
                of_check = _Photos(store, photos[detail.check], sizes)
                paths += of_check.write(Path(name), f"{cross}/{spike}", detail, step)
        written = export_labels(folder_progress(paths), folder)
    leftover = sum(detail.leftovers is Leftovers.MARKED for detail, _step in said.values())
    return AuditLabels(written, leftover, len(said) - leftover, len(last) - len(said))


def packed_audit_labels(store: Store, session: str) -> tuple[AuditLabels, bytes]:
    """Return the labels of a session as one ZIP file: a page writes into nobody's folders.

    Parameters
    ----------
    store
        The records.
    session
        Id of the session.

    Returns
    -------
    tuple of AuditLabels and bytes
        What :func:`export_audit_labels` would write, and the archive of it, all in its root; the
        paths of the photos are gone.

    Raises
    ------
    CalibrationError, StoreError, UsageError, OutputError
        As :func:`export_audit_labels`.
    """
    packed = BytesIO()
    with tempfile.TemporaryDirectory(prefix="spikecheck-labels-") as name:
        folder = Path(name)
        made = export_audit_labels(store, session, folder)
        # Photos are packed already: they are only put together.
        with zipfile.ZipFile(packed, "w", zipfile.ZIP_STORED) as archive:
            for path in sorted(folder.iterdir()):
                archive.write(path, path.name)
    return made, packed.getvalue()


def _is_label(detail: AuditDecided) -> bool:
    if detail.check is None or detail.leftovers is Leftovers.UNSURE:
        return False
    return all(mark.row is not None for mark in detail.marks)


def _sizes(store: Store, checks: Sequence[int]) -> Mapping[str, tuple[int, int]]:
    """Return width and height of every upright photo of the checks by its digest, px."""
    return {
        photo["sha256"]: (photo["width"], photo["height"])
        for result in store.results(checks)
        for photo in json.loads(result)["photos"]
    }


@dataclass(frozen=True, slots=True)
class _Photos:
    """Photos of one check, with width and height of each by its digest."""

    store: Store
    photos: Sequence[RecordedPhoto]
    sizes: Mapping[str, tuple[int, int]]

    def write(self, folder: Path, spike: str, detail: AuditDecided, step: Step) -> list[Path]:
        """Write them with their truth files into ``folder``."""
        paths = []
        for face, photo in enumerate(self.photos, start=1):
            stem = _NOT_IN_NAMES.sub("-", f"{spike}_check{detail.check}_photo{face}")
            ending = Path(photo.file_name).suffix or ".jpg"
            path = folder / f"{stem}{ending}"
            path.write_bytes(self.store.photo(photo))
            width, height = self.sizes[photo.sha256]
            truth = PhotoTruth(
                path.name, width, height,
                anthers=tuple(
                    TrueAnther(Point(float(mark.row), float(mark.column)))
                    for mark in detail.marks
                    if mark.photo == photo.sha256
                    and mark.row is not None and mark.column is not None
                ),
                complete=True, spike=spike, marked_by=step.by, marked_at=step.at,
            )  # fmt: skip
            save_label(path, truth, expected=None)
            paths.append(path)
        return paths
