"""The order of the stages."""

from __future__ import annotations

import pytest

from spikecheck import __version__
from spikecheck.errors import PhotoError, UsageError
from spikecheck.pipeline import check_files, check_photos
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import QualityProblem, Verdict
from tests.builders import anther, findings, photo, quality

ALL = load_thresholds()


@pytest.mark.usefixtures("good_photos")
def test_faces_of_one_spike_give_one_verdict(finder):
    spotted = finder(b=findings(anthers=[anther("R2")]))
    result = check_photos([photo("a.jpg"), photo("b.jpg")], finder=spotted, thresholds=ALL)
    assert result.verdict is Verdict.REVIEW
    assert [entry.file for entry in result.photos] == ["a.jpg", "b.jpg"]
    assert (result.reasons[0].photo, result.reasons[0].floret) == (1, "R2")
    assert [judged.status for judged in result.photos[0].florets] == ["clear"] * 10
    assert result.software_version == __version__


@pytest.mark.usefixtures("good_photos")
def test_what_was_read_is_kept_but_not_the_pixels(finder):
    one = photo("a.jpg")
    entry = check_photos([one], finder=finder(), thresholds=ALL).photos[0]
    assert (entry.sha256, entry.width, entry.height) == (one.sha256, 400, 1000)
    assert not hasattr(entry, "pixels")


@pytest.mark.usefixtures("good_photos")
def test_time_is_told_by_stage_and_adds_up(finder):
    result = check_photos([photo()], finder=finder(), thresholds=ALL)
    timing = dict(result.timing_ms)
    total = timing.pop("total")
    assert set(timing) == {"tags", "find", "quality", "assess"}
    assert total == pytest.approx(sum(timing.values()))


def test_stages_run_in_order_and_hand_on_what_they_found(monkeypatch: pytest.MonkeyPatch, finder):
    handed = []

    def judge(one, seen, *, thresholds):
        handed.append((one.file, seen, thresholds))
        return quality(QualityProblem.DEFOCUS)

    monkeypatch.setattr("spikecheck.photo.judge_quality", judge, raising=False)
    seen = findings(unexplained=0.05)
    result = check_photos([photo("a.jpg")], finder=finder(a=seen), thresholds=ALL)
    assert handed == [("a.jpg", seen, ALL.quality)]
    assert result.reasons[0].code == "defocus"
    assert result.photos[0].quality.problems == (QualityProblem.DEFOCUS,)


def test_no_photo_is_an_error(finder):
    with pytest.raises(UsageError, match=r"no photo was given\. Name at least one photo"):
        check_photos([], finder=finder(), thresholds=ALL)


def test_the_same_photo_twice_is_no_second_face(finder):
    with pytest.raises(UsageError, match=r"a\.jpg: the same photo is given more than once"):
        check_photos([photo("a.jpg"), photo("a.jpg")], finder=finder(), thresholds=ALL)


@pytest.mark.usefixtures("good_photos")
def test_files_are_read_checked_and_handed_back(monkeypatch, tmp_path, finder):
    def read(path, *, thresholds):
        assert thresholds is ALL.reading
        return photo(path.name)

    monkeypatch.setattr("spikecheck.photo.read_photo", read)
    result, photos = check_files(
        [tmp_path / "a.jpg", tmp_path / "b.jpg"], finder=finder(), thresholds=ALL
    )
    assert [one.file for one in photos] == ["a.jpg", "b.jpg"]
    assert result.verdict is Verdict.PASS
    assert list(result.timing_ms) == ["read", "tags", "find", "quality", "assess", "total"]
    parts = [ms for name, ms in result.timing_ms.items() if name != "total"]
    assert result.timing_ms["total"] == pytest.approx(sum(parts))


def test_a_file_that_cannot_be_read_is_the_photo_rooms_error(tmp_path, finder):
    empty = tmp_path / "empty.jpg"
    empty.touch()
    with pytest.raises(PhotoError, match=r"empty\.jpg"):
        check_files([empty], finder=finder(), thresholds=ALL)
