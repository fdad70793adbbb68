"""The page with a tag in the photo: it says which spike this is, and stops a wrong one."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest

from spikecheck.bench_check import judging
from spikecheck.tags import tag_sheets
from spikecheck.vocabulary import CrossTag
from spikecheck.vocabulary.tag_code import new_code
from tests.end_to_end.tag_photos import photo_with_tag, scale_of, tag_of_sheet
from tests.plans import planned

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from spikecheck.store import Store
    from spikecheck.vocabulary import CheckResult
    from visitor import Visitor

    Picture = Callable[[int], bytes]

DEMO = "clean_00570"


@pytest.fixture
def photo(store: Store, tmp_path: Path) -> bytes:
    """A photo with the tag of SPICA-7, spike 4."""
    sheet = tmp_path / "tags.pdf"
    code = new_code(random.Random(7))
    store.spikes.give_tags("SPICA-7", [4], new_code=lambda: code, by="Ilse")
    sheet.write_bytes(tag_sheets([CrossTag(code, "SPICA-7", "Alva", "Brinn", 4)]))
    tag = tag_of_sheet(sheet, 0, px_per_mm=scale_of(DEMO))
    return photo_with_tag(DEMO, tag, tmp_path / "photo.jpg").read_bytes()


def test_the_tag_stops_a_wrong_spike_and_leads_to_the_right_one(
    visitor: Visitor, store: Store, photo: bytes
):
    visitor.check(photo)
    assert (
        "The tag in the photo is that of SPICA-7, spike 4, which is not chosen." in visitor.said()
    )
    visitor.press("Record this check")
    assert "belongs to spike SPICA-7/4, not to SPICA-7/1" in visitor.said()
    assert store.checks("SPICA-7") == ()
    visitor.press("Choose spike 4 of that cross")
    assert "SPICA-7, spike 4" in visitor.said()
    assert "The tag in the photo says so." in visitor.said()
    visitor.press("Record this check")
    (check,) = store.checks("SPICA-7")
    assert check.spike == 4


def test_the_tag_chooses_its_spike_where_no_cross_is_chosen(visitor: Visitor, photo: bytes):
    visitor.upload(("1.png", photo))
    assert visitor.page.selectbox("cross").value == "SPICA-7"
    assert visitor.page.number_input("spike").value == 4
    said = visitor.said()
    assert "The tag in the photo says so." in said
    assert "which is not chosen" not in said
    assert "gives no scale" not in said
    visitor.page.number_input("spike").set_value(5).run()
    assert "spike 4, which is not chosen." in visitor.said()


def test_a_tag_without_a_scale_is_told(
    visitor: Visitor, photo: bytes, monkeypatch: pytest.MonkeyPatch
):
    looked_at = judging.check_photos

    def folded(*given: Any, **named: Any) -> CheckResult:
        """The same check, of a tag whose print fits no plane."""
        result = looked_at(*given, **named)
        entries = tuple(
            replace(entry, tags=tuple(replace(tag, scale=None) for tag in entry.tags))
            for entry in result.photos
        )
        return replace(result, photos=entries)

    monkeypatch.setattr(judging, "check_photos", folded)
    visitor.upload(("1.png", photo))
    assert "The tag in the photo says so." in visitor.said()
    assert "The tag gives no scale: it is folded, partly hidden or too small" in visitor.said()


def test_without_a_tag_nothing_is_chosen(visitor: Visitor, png: Picture, answer_pass: None):
    visitor.upload(("1.png", png(1)))
    assert visitor.page.selectbox("cross").value is None
    assert "The tag in the photo" not in visitor.said()
    assert "No tag was read in the photo: choose the spike yourself." in visitor.said()


def test_the_photo_of_another_spike_is_told_before_it_is_recorded(
    visitor: Visitor, png: Picture, answer_pass: None
):
    visitor.choose(spike=3)
    visitor.upload(("1.png", png(1)))
    visitor.press("Record this check")
    assert "A photo is recorded with" not in visitor.said()
    visitor.press("Leave this spike, go to the next")
    visitor.upload(("1.png", png(1)))
    said = visitor.said()
    assert "A photo is recorded with SPICA-7/3 already: make sure which spike it shows." in said


def test_a_cross_that_is_chosen_is_named_above_at_once(
    visitor: Visitor, store: Store, png: Picture, answer_pass: None
):
    store.plans.add(planned("SPICA-8", "L4", "L5"))
    visitor.upload(("1.png", png(1)))
    for cross in ("SPICA-7", "SPICA-8"):
        visitor.page.selectbox("cross").set_value(cross).run()
        said = visitor.said()
        assert f"{cross}, spike 1" in said
        assert "No tag was read in the photo: make sure that this is the spike above." in said
