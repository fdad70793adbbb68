"""The checks on the page of a spike: shown with photos, decided otherwise, made anew."""

from __future__ import annotations

from typing import TYPE_CHECKING

from season_steps import CROSS, emasculate
from spikecheck.bench_check import Draft
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import Verdict

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.store import RecordedCheck, Store
    from visitor import Visitor


def file_check(store: Store, png: Callable[[int], bytes], spike: int) -> RecordedCheck:
    made = Draft()
    made.add_photo(png(spike), file="1.png", thresholds=load_thresholds())
    made.judge(finder=None, thresholds=load_thresholds())  # type: ignore[arg-type]
    return made.record(store, cross=CROSS, spike=spike, by="Ilse")


def open_spike(visitor: Visitor, spike: int) -> None:
    visitor.go_to("spikes")
    visitor.page.text_input("spike-name").set_value(f"{CROSS}/{spike}")
    visitor.press("Open this spike")


def test_a_check_is_shown_with_its_photos_and_decided_otherwise(
    visitor: Visitor, store: Store, png: Callable[[int], bytes], answer_review: None
):
    emasculate(store, 3)
    check = file_check(store, png, 3)
    open_spike(visitor, 3)
    assert "Next: Go back, take out what is left and check again" in visitor.said()
    assert "1. Green anther in floret L2." in visitor.said()
    visitor.page.toggle(f"photos-{check.id}").set_value(True).run()
    assert len(visitor.page.image) == 1
    visitor.page.text_area(f"reason-{check.id}-0").set_value("It was palea")
    visitor.page.text_input(f"override-by-{check.id}-0").set_value("Bo")
    visitor.press("Record my decision")
    assert store.spikes.one(CROSS, 3).verdict is Verdict.PASS
    assert "Bo decided pass on" in visitor.said()
    assert "Next: Bag by " in visitor.said()


def test_a_check_is_made_from_the_page_of_the_spike(visitor: Visitor, store: Store):
    emasculate(store, 3)
    open_spike(visitor, 3)
    visitor.press("Take photos and check this spike")
    assert visitor.page.number_input("spike").value == 3
    assert visitor.page.selectbox("cross").value == CROSS
