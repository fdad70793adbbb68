"""A session: saved after every change, undone on disk, never over somebody else's marks."""

from __future__ import annotations

import hashlib
import json
import os
from functools import partial

import pytest

from spikecheck.errors import CalibrationError, OutputError, TruthError, UsageError
from spikecheck.labelling import LabelSession, answers, edits
from spikecheck.labelling.label_file import label_path, read_label
from spikecheck.labelling.proposals import propose
from spikecheck.vocabulary import AntherStage, PhotoTruth, Point, read_truth, write_truth
from tests.builders import anther, findings
from tests.labelling.conftest import HEIGHT, NOON, WIDTH, write_photo

GREEN = AntherStage.GREEN
add = partial(edits.add_anther, place=Point(10, 20), stage=GREEN)


def saved(photo) -> PhotoTruth:
    return read_truth(label_path(photo))


def test_every_change_is_on_disk_with_who_and_when(session, photos):
    session.change(add, by=" Ilse ")
    truth = saved(photos[0])
    assert (truth.marked_by, truth.marked_at, truth.complete) == ("Ilse", NOON, False)
    assert (truth.image, truth.width, truth.height) == ("a.png", WIDTH, HEIGHT)
    session.change(edits.finish, by="Jan")
    assert saved(photos[0]).complete
    assert saved(photos[0]).marked_by == "Jan"
    assert saved(photos[0]) == session.state.truth


def test_photos_are_never_changed(session, photos):
    before = [hashlib.sha256(photo.read_bytes()).hexdigest() for photo in photos]
    session.change(add, by="Ilse")
    session.undo()
    session.redo()
    assert [hashlib.sha256(photo.read_bytes()).hexdigest() for photo in photos] == before


def test_undo_and_redo_reach_the_disk_and_an_unmarked_photo_has_no_file(session, photos):
    session.change(add, by="Ilse")
    session.change(partial(edits.set_stage, index=0, stage=AntherStage.YELLOW), by="Ilse")
    session.undo()
    assert saved(photos[0]).anthers[0].stage is GREEN
    session.undo()
    assert not label_path(photos[0]).exists()
    assert not session.can_undo
    session.undo()
    session.redo()
    session.redo()
    assert saved(photos[0]).anthers[0].stage is AntherStage.YELLOW
    assert not session.can_redo


def test_a_new_change_ends_what_could_be_redone(session):
    session.change(add, by="Ilse")
    session.undo()
    session.change(edits.finish, by="Ilse")
    assert not session.can_redo


def test_the_marks_that_were_there_first_come_back(photos):
    first = PhotoTruth("a.png", WIDTH, HEIGHT, (), complete=True)
    write_truth(first, label_path(photos[0]))
    session = LabelSession(photos)
    session.open(photos[0], width=WIDTH, height=HEIGHT)
    session.change(add, by="Ilse")
    session.undo()
    assert saved(photos[0]) == first


def test_work_goes_on_where_it_stopped(session, photos):
    session.change(add, by="Ilse")
    again = LabelSession(photos)
    assert again.open(photos[0], width=WIDTH, height=HEIGHT).truth == session.state.truth
    assert not again.can_undo


def test_a_change_that_changes_nothing_is_not_saved(session, photos):
    session.change(lambda state: state, by="Ilse")
    assert not session.can_undo
    assert not label_path(photos[0]).exists()


def test_nobody_marks_without_a_name(session, photos):
    with pytest.raises(UsageError, match="nobody is named"):
        session.change(add, by="  ")
    assert not label_path(photos[0]).exists()


def test_proposals_are_never_saved(session, photos):
    state = session.state
    seen = findings([], [anther(None, at=Point(40, 40)), anther(None, at=Point(80, 30))])
    session.suggest(propose(seen, state.truth, score_least=0.1))
    assert not label_path(photos[0]).exists()
    session.change(partial(answers.refuse, number=1), by="Ilse")
    assert not label_path(photos[0]).exists()
    session.change(edits.finish, by="Ilse")
    assert saved(photos[0]).anthers == ()
    session.change(partial(answers.confirm, number=2, axis=None), by="Ilse")
    assert [mark.centre for mark in saved(photos[0]).anthers] == [Point(80, 30)]


def test_the_second_of_two_people_does_not_overwrite_the_first(session, photos):
    other = LabelSession(photos)
    other.open(photos[0], width=WIDTH, height=HEIGHT)
    other.change(edits.finish, by="Jan")
    theirs = saved(photos[0])
    with pytest.raises(CalibrationError, match="somebody else changed the marks"):
        session.change(add, by="Ilse")
    assert saved(photos[0]) == theirs
    assert session.state.truth.anthers == ()
    session.open(photos[0], width=WIDTH, height=HEIGHT)
    session.change(add, by="Ilse")
    with pytest.raises(CalibrationError, match="somebody else"):
        other.undo()
    assert len(saved(photos[0]).anthers) == 1
    assert other.can_undo


def test_marks_taken_away_meanwhile_are_noticed_too(session, photos):
    session.change(add, by="Ilse")
    label_path(photos[0]).unlink()
    with pytest.raises(CalibrationError, match="somebody else"):
        session.change(edits.finish, by="Ilse")


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="root may write anywhere")
def test_a_folder_that_is_read_only_is_told(session, tmp_path):
    tmp_path.chmod(0o500)
    try:
        with pytest.raises(OutputError, match="the marks cannot be saved"):
            session.change(add, by="Ilse")
    finally:
        tmp_path.chmod(0o700)


def test_a_failed_save_changes_nothing_and_leaves_nothing(session, photos, monkeypatch):
    session.change(add, by="Ilse")
    before = saved(photos[0])

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OutputError, match="No space left on device"):
        session.change(edits.finish, by="Ilse")
    assert saved(photos[0]) == before == session.state.truth
    assert sorted(path.name for path in photos[0].parent.iterdir()) == [
        "a.json", "a.png", "b.png", "c.png",
    ]  # fmt: skip


def test_entries_of_others_in_a_truth_file_are_kept(session, photos):
    path = label_path(photos[0])
    session.change(add, by="Ilse")
    entry = json.loads(path.read_text("utf-8"))
    path.write_text(json.dumps({**entry, "note": "plot 7"}), encoding="utf-8")
    session.open(photos[0], width=WIDTH, height=HEIGHT)
    session.change(edits.finish, by="Ilse")
    assert json.loads(path.read_text("utf-8"))["note"] == "plot 7"


def test_only_photos_of_the_list_are_opened(session, tmp_path):
    with pytest.raises(UsageError, match="not among the photos"):
        session.open(tmp_path / ".." / "other.png", width=WIDTH, height=HEIGHT)


def test_marks_of_a_picture_of_another_size_are_refused(session, photos):
    session.change(add, by="Ilse")
    with pytest.raises(UsageError, match=f"a picture of {WIDTH} x {HEIGHT} pixels, but has 120"):
        session.open(photos[0], width=HEIGHT, height=WIDTH)


def test_a_file_that_is_no_truth_is_never_overwritten(session, photos):
    label_path(photos[1]).write_text('{"camera": "of another program"}', encoding="utf-8")
    with pytest.raises(TruthError):
        session.open(photos[1], width=WIDTH, height=HEIGHT)
    assert session.opened == photos[0]


def test_two_photos_that_differ_in_their_ending_do_not_share_marks(tmp_path):
    photos = [write_photo(tmp_path / name) for name in ("a.png", "a.webp")]
    session = LabelSession(photos)
    session.open(photos[0], width=WIDTH, height=HEIGHT)
    session.change(add, by="Ilse")
    with pytest.raises(TruthError, match=r"belongs to a\.png"):
        session.open(photos[1], width=WIDTH, height=HEIGHT)


@pytest.mark.parametrize("name", ["Ähre 1.png", "a.b.c.PNG", "-x.png", "spike #3 (50%).png"])
def test_odd_names_work(tmp_path, name):
    photo = write_photo(tmp_path / name)
    session = LabelSession([photo])
    session.open(photo, width=WIDTH, height=HEIGHT)
    session.change(add, by="Ilse")
    assert read_label(photo).truth == session.state.truth


def test_before_a_photo_is_open_there_is_nothing_to_change(photos):
    with pytest.raises(UsageError, match="no photo is open"):
        LabelSession(photos).change(add, by="Ilse")
