"""What tags change in a check: identity, scale, colours, and a reason when they differ."""

from __future__ import annotations

import hashlib
from dataclasses import replace

import jsonschema
import numpy as np
import pytest

from spikecheck.errors import UsageError
from spikecheck.pipeline import check_photos, result_entry, result_schema
from spikecheck.pipeline.tag_use import in_neutral_light, with_tag_scale
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import (
    CheckedTag,
    ColourCorrection,
    Photo,
    Scale,
    ScaleSource,
    SeenTag,
    Verdict,
    identified,
)
from tests.builders import anther, findings, photo
from tests.tag_reading.scenes import photo_of_tag, scene_of

ALL = load_thresholds()
SQUARE = np.array([(10.0, 10.0), (10.0, 50.0), (50.0, 50.0), (50.0, 10.0)])


def tag(code="K7Q29XMT", px_per_mm=10.5, gains=(1.2, 1.0, 0.8)):
    scale = Scale(px_per_mm, ScaleSource.TAG, px_per_mm * 0.99, px_per_mm * 1.01)
    return SeenTag(code, SQUARE, SQUARE, scale, ColourCorrection(gains, 0.01, 7))


@pytest.fixture
def told_tags(monkeypatch):
    """Photos hold the tags a test says, by file name."""
    told = {}
    by_pixels = {}

    def read(pixels, *, thresholds):
        assert thresholds is ALL.tags
        return told.get(by_pixels.get(id(pixels)), ())

    def tagged(**by_name):
        photos = []
        for name, tags in by_name.items():
            told[name] = tuple(tags)
            photos.append(replace(photo(f"{name}.jpg"), pixels=photo().pixels.copy()))
            by_pixels[id(photos[-1].pixels)] = name
        return photos

    monkeypatch.setattr("spikecheck.tag_reading.read_tags", read)
    return tagged


@pytest.mark.usefixtures("good_photos")
def test_the_tag_says_which_spike_it_is_and_replaces_the_estimate(told_tags, finder):
    seen = findings(anthers=[anther("L3")])
    photos = told_tags(a=[tag()], b=[])
    result = check_photos(photos, finder=finder(a=seen, b=seen), thresholds=ALL)
    assert result.tag == CheckedTag("K7Q29XMT")
    first, second = (entry.findings for entry in result.photos)
    assert (first.scale.px_per_mm, first.scale.source) == (10.5, ScaleSource.TAG)
    assert second.scale.source is ScaleSource.ESTIMATE
    assert first.anthers[0].length_mm == pytest.approx(second.anthers[0].length_mm * 10 / 10.5)
    entry = result_entry(result)
    jsonschema.Draft202012Validator(result_schema()).validate(entry)
    assert entry["tag"] == {"code": "K7Q29XMT", "cross": None, "spike": None}
    assert entry["photos"][0]["scale_source"] == "tag"
    assert entry["photos"][0]["tags"] == [
        {
            "code": "K7Q29XMT",
            "outline": [[10.0, 10.0], [50.0, 10.0], [50.0, 50.0], [10.0, 50.0]],
            "colour_gains": [1.2, 1.0, 0.8],
        }
    ]


@pytest.mark.usefixtures("good_photos")
def test_the_records_say_what_the_tag_stands_for(told_tags, finder):
    result = check_photos(told_tags(a=[tag()]), finder=finder(), thresholds=ALL)
    named = identified(result, cross="C-014", spike=3)
    assert named.tag == CheckedTag("K7Q29XMT", "C-014", 3)
    assert result_entry(named)["tag"] == {"code": "K7Q29XMT", "cross": "C-014", "spike": 3}
    assert result.tag == CheckedTag("K7Q29XMT")
    jsonschema.Draft202012Validator(result_schema()).validate(result_entry(named))


@pytest.mark.usefixtures("good_photos")
def test_without_a_tag_there_is_nothing_to_look_up(told_tags, finder):
    result = check_photos(told_tags(a=[]), finder=finder(), thresholds=ALL)
    assert result.tag is None
    assert result_entry(result)["tag"] is None
    with pytest.raises(UsageError, match="no tag was read"):
        identified(result, cross="C-014", spike=3)


@pytest.mark.usefixtures("good_photos")
@pytest.mark.parametrize(
    "shown", [{"a": ["K7Q29XMT"], "b": ["CDFG2345"]}, {"a": ["K7Q29XMT", "CDFG2345"]}]
)
def test_different_tags_never_pass(told_tags, finder, shown):
    photos = told_tags(**{name: [tag(code) for code in codes] for name, codes in shown.items()})
    result = check_photos(photos, finder=finder(), thresholds=ALL)
    assert result.verdict is Verdict.REVIEW
    assert result.reasons[0].code == "several_tags"
    assert result.tag is None
    jsonschema.Draft202012Validator(result_schema()).validate(result_entry(result))


@pytest.mark.usefixtures("good_photos")
def test_the_same_tag_on_both_faces_is_one(told_tags, finder):
    result = check_photos(told_tags(a=[tag()], b=[tag()]), finder=finder(), thresholds=ALL)
    assert result.verdict is Verdict.PASS
    assert result.tag == CheckedTag("K7Q29XMT")


@pytest.mark.parametrize(
    ("px_per_mm", "taken"), [(10.5, True), (13.0, True), (7.6, True), (13.5, False), (7.3, False)]
)
def test_a_tag_that_cannot_hang_beside_the_spike_gives_no_scale(px_per_mm, taken):
    """The estimate is 10 px/mm, between 9 and 11."""
    after = with_tag_scale(findings(), [tag(px_per_mm=px_per_mm)], thresholds=ALL.tags)
    assert (after.scale.source is ScaleSource.TAG) is taken


def test_two_tags_or_a_tag_without_scale_leave_the_estimate():
    before = findings()
    for tags in ([tag(), tag("CDFG2345")], [replace(tag(), scale=None)], []):
        assert with_tag_scale(before, tags, thresholds=ALL.tags) is before


def test_without_a_spike_there_is_no_scale_at_the_spike():
    before = replace(findings(with_spike=False), scale=None)
    assert with_tag_scale(before, [tag()], thresholds=ALL.tags).scale is None
    bare = replace(findings(), scale=None)
    assert with_tag_scale(bare, [tag()], thresholds=ALL.tags).scale == tag().scale


@pytest.mark.usefixtures("good_photos")
def test_the_finder_looks_under_neutral_light_and_the_quality_at_the_photo_as_taken(
    told_tags, finder, monkeypatch
):
    looked, judged = [], []
    told = finder()
    find = type(told).find
    monkeypatch.setattr(type(told), "find", lambda self, one: looked.append(one) or find(self, one))
    from tests.builders import quality

    def judge(one, seen, *, thresholds):
        judged.append(one)
        return quality()

    monkeypatch.setattr("spikecheck.photo.judge_quality", judge, raising=False)
    (taken,) = told_tags(a=[tag()])
    check_photos([taken], finder=told, thresholds=ALL)
    assert judged == [taken]
    assert looked[0].sha256 == taken.sha256
    assert looked[0].pixels[0, 0, 0] > taken.pixels[0, 0, 0] > looked[0].pixels[0, 0, 2]


def test_colours_stay_as_taken_without_one_tag_that_knows():
    taken = photo()
    for tags in ([], [replace(tag(), correction=None)], [tag(), tag("CDFG2345")]):
        assert in_neutral_light(taken, tags) is taken


@pytest.mark.usefixtures("good_photos")
def test_a_real_tag_in_a_photo_goes_the_whole_way(finder):
    pixels, truth = photo_of_tag(scene_of(1, px_per_mm=10.0, cast=(1.2, 1.0, 0.8)))
    one = Photo("a.jpg", hashlib.sha256(pixels.tobytes()).hexdigest(), pixels)
    result = check_photos([one], finder=finder(), thresholds=ALL)
    assert result.tag == CheckedTag(truth.code)
    assert result.photos[0].findings.scale.px_per_mm == pytest.approx(truth.px_per_mm, rel=0.02)
    assert result.photos[0].tags[0].correction.gains[2] == pytest.approx(1.25, rel=0.03)
