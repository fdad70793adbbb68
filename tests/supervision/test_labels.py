"""What supervisors said becomes truth files that marking and calibration take in."""

from __future__ import annotations

import zipfile
from io import BytesIO
from typing import TYPE_CHECKING

import pytest

from spikecheck.errors import CalibrationError, UsageError
from spikecheck.labelling.progress import Marking, folder_progress, spike_key
from spikecheck.pipeline.batch_folder import list_photos
from spikecheck.supervision import decide, export_audit_labels, packed_audit_labels, read_again
from spikecheck.supervision.marks import read_marks
from spikecheck.vocabulary.audit_steps import AuditDecision, LeftoverMark, Leftovers
from tests.audited_session import HEIGHT, SESSION, WIDTH

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from spikecheck.audit import SpikeName
    from spikecheck.store import Store


def test_labels_say_who_where_and_which_spike(
    store: Store, drawn: tuple[SpikeName, ...], tmp_path: Path,
    photos_of: Callable[[SpikeName], list[str]],
):  # fmt: skip
    bad, clean, unsure, floret_only, *_rest = drawn
    for name in drawn[:4]:
        read_again(store, name, Leftovers.UNSURE, by="Mo")
    mark = LeftoverMark(photos_of(bad)[1], 100, 50)
    decide(store, bad, AuditDecision.SENT_BACK, by="Gro", reason="a tip",
           leftovers=Leftovers.MARKED, marks=[mark])  # fmt: skip
    decide(store, clean, AuditDecision.CONFIRMED, by="Gro", leftovers=Leftovers.NONE)
    decide(store, unsure, AuditDecision.CONFIRMED, by="Gro")
    decide(store, floret_only, AuditDecision.SENT_BACK, by="Gro", reason="somewhere in L5",
           leftovers=Leftovers.MARKED, marks=read_marks(store, floret_only, ["1:l5"]))  # fmt: skip
    made = export_audit_labels(store, SESSION, tmp_path / "labels")
    assert (len(made.photos), made.leftover_spikes, made.clean_spikes, made.unsaid) == (4, 1, 1, 2)
    progress = folder_progress(list_photos(tmp_path / "labels", recursive=False))
    assert {one.marking for one in progress.photos} == {Marking.FINISHED}
    assert (progress.leftover_spikes, progress.clean_spikes) == (1, 1)
    assert len({spike_key(one.photo, one.truth) for one in progress.photos}) == 2
    marked = [one.truth for one in progress.photos if one.truth is not None and one.truth.anthers]
    (truth,) = marked
    assert (truth.spike, truth.marked_by) == (str(bad), "Gro")
    assert (truth.width, truth.height) == (WIDTH, HEIGHT)
    assert (truth.anthers[0].centre.row, truth.anthers[0].centre.column) == (100, 50)
    again = export_audit_labels(store, SESSION, tmp_path / "labels")
    assert again.photos == made.photos


def test_packed_labels_are_those_of_the_folder(
    store: Store, drawn: tuple[SpikeName, ...], tmp_path: Path
):
    read_again(store, drawn[0], Leftovers.NONE, by="Mo")
    decide(store, drawn[0], AuditDecision.CONFIRMED, by="Gro", leftovers=Leftovers.NONE)
    folder = tmp_path / "labels"
    made = export_audit_labels(store, SESSION, folder)
    packed, data = packed_audit_labels(store, SESSION)
    assert (packed.leftover_spikes, packed.clean_spikes) == (0, 1)
    assert [path.name for path in packed.photos] == [path.name for path in made.photos]
    with zipfile.ZipFile(BytesIO(data)) as archive:
        found = {name: archive.read(name) for name in archive.namelist()}
    assert found == {path.name: path.read_bytes() for path in folder.iterdir()}


def test_the_last_decision_on_a_spike_holds(
    store: Store, drawn: tuple[SpikeName, ...], tmp_path: Path,
    photos_of: Callable[[SpikeName], list[str]],
):  # fmt: skip
    name = drawn[0]
    read_again(store, name, Leftovers.UNSURE, by="Gro")
    mark = LeftoverMark(photos_of(name)[0], 10, 5)
    decide(store, name, AuditDecision.SENT_BACK, by="Gro", reason="a tip",
           leftovers=Leftovers.MARKED, marks=[mark])  # fmt: skip
    decide(store, name, AuditDecision.CONFIRMED, by="Gro", reason="a palea after all",
           leftovers=Leftovers.NONE, anew=True)  # fmt: skip
    made = export_audit_labels(store, SESSION, tmp_path / "labels")
    assert (made.leftover_spikes, made.clean_spikes) == (0, 1)


def test_without_a_word_on_photos_there_are_no_labels(
    store: Store, drawn: tuple[SpikeName, ...], tmp_path: Path
):
    read_again(store, drawn[0], Leftovers.NONE, by="Gro")  # a reading is no decision
    with pytest.raises(CalibrationError, match="no labels"):
        export_audit_labels(store, SESSION, tmp_path / "labels")
    assert not (tmp_path / "labels").exists()


def test_places_are_typed_as_photo_and_floret_or_column_and_row(
    store: Store, drawn: tuple[SpikeName, ...], photos_of: Callable[[SpikeName], list[str]]
):
    first, second = photos_of(drawn[0])
    assert read_marks(store, drawn[0], ["1:L5", " 2:812,1430 "]) == (
        LeftoverMark(first, floret="L5"), LeftoverMark(second, row=1430, column=812),
    )  # fmt: skip
    for text in ("", "L5", "0:L5", "3:L5", "1:5", "1:8,9,1", "1:٣,٣"):
        with pytest.raises(UsageError):
            read_marks(store, drawn[0], [text])
