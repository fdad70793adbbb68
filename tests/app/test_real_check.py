"""The page with the real method: a drawn spike goes all the way from upload to record."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

import resources
from spikecheck.imaging.encoding import encode_jpeg
from spikecheck.photo import decode_photo
from spikecheck.pipeline import check_photos
from spikecheck.synthetic.image import make_image
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import Verdict

if TYPE_CHECKING:
    from spikecheck.store import Store
    from visitor import Visitor


@pytest.mark.parametrize("kind", ["leftover_yellow", "clean"])
def test_the_page_records_what_the_method_says(visitor: Visitor, store: Store, kind: str):
    data = encode_jpeg(make_image(kind, seed=5).pixels)
    thresholds = load_thresholds()
    photo = decode_photo(data, file="1.png", thresholds=thresholds.reading)
    expected = check_photos([photo], finder=resources.finder(), thresholds=thresholds)
    visitor.record(data)
    (check,) = store.checks("SPICA-7")
    assert check.verdict is expected.verdict
    assert check.verdict.upper() in visitor.said()
    for reason in expected.reasons:
        assert reason.message in visitor.said()
    recorded = json.loads(check.result)
    assert recorded["photos"][0]["sha256"] == photo.sha256
    assert check.model == resources.finder().model


def test_a_drawn_spike_with_yellow_anthers_never_passes(visitor: Visitor, store: Store):
    visitor.record(encode_jpeg(make_image("leftover_yellow", seed=6).pixels))
    assert store.checks("SPICA-7")[0].verdict is Verdict.REVIEW
