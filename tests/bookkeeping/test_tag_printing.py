"""Tags given to spikes and printed."""

from __future__ import annotations

import pypdfium2
import pytest

from spikecheck.bookkeeping.tag_printing import printed_tags
from spikecheck.errors import UnknownCrossError, UsageError
from spikecheck.vocabulary.steps import Emasculated, Selected, Tagged
from spikecheck.vocabulary.tag_code import read_code, shown_code
from tests.bookkeeping.invented import did
from tests.bookkeeping.season_of_all_kinds import TAG
from tests.plans import planned


def text_of(pdf):
    document = pypdfium2.PdfDocument(pdf)
    try:
        return "\n".join(page.get_textpage().get_text_bounded() for page in document)
    finally:
        document.close()


def test_each_spike_gets_a_tag_of_its_own_that_names_it(store):
    store.plans.add(planned("D-2", "Tarn", "Alva"))
    pdf, tags = printed_tags(store, ["C-1/1-3", "D-2/1"], by="Ida", paper="a4")
    assert [(tag.cross, tag.spike) for tag in tags] == [
        ("C-1", 1), ("C-1", 2), ("C-1", 3), ("D-2", 1),
    ]  # fmt: skip
    assert [read_code(tag.code) for tag in tags] == list(dict.fromkeys(tag.code for tag in tags))
    assert (tags[3].female, tags[3].male) == ("Tarn", "Alva")
    for tag in tags:
        assert store.spikes.of_tag(tag.code) == (tag.cross, tag.spike)
    printed = text_of(pdf)
    assert all(shown_code(tag.code) in printed for tag in tags)
    assert "Tarn" in printed


def test_a_spike_keeps_its_tag_on_a_second_print(store):
    did(store, 2, Tagged(TAG))
    _, first = printed_tags(store, ["C-1/1-2"], by="Ida", paper="a4")
    head = store.verify().head
    _, second = printed_tags(store, ["C-1/2", "C-1/1"], by="Bo", paper="letter")
    assert first[1].code == TAG
    assert second == first[::-1]
    assert store.verify().head == head, "printing again adds nothing to the history"


def test_a_spike_may_be_named_by_its_tag(store):
    did(store, 2, Tagged(TAG))
    _, (tag,) = printed_tags(store, [TAG.lower()], by="Ida", paper="a4")
    assert (tag.cross, tag.spike, tag.code) == ("C-1", 2, TAG)


@pytest.mark.parametrize(
    ("spikes", "paper", "error", "said"),
    [
        (["C-1/1"], "a3", UsageError, "no paper is called a3"),
        (["C-1/1"], "", UsageError, "no paper is called"),
        (["C-1/1", "C-9/1"], "a4", UnknownCrossError, "C-9"),
        (["C-1/1", "C-1/0"], "a4", UsageError, "numbered from 1"),
        ([], "a4", UsageError, "tag"),
    ],
)
def test_what_cannot_be_printed_gives_no_tags(store, spikes, paper, error, said):
    head = store.verify().head
    with pytest.raises(error, match=said) as refused:
        printed_tags(store, spikes, by="Ida", paper=paper)
    assert refused.value.cure
    assert store.verify().head == head


def test_without_a_name_no_tags_are_given(store):
    with pytest.raises(UsageError, match="who prints is empty"):
        printed_tags(store, ["C-1/1"], by="", paper="a4")
    assert store.spikes.entries("C-1", 1) == ()


def test_the_way_before_stays(store):
    did(store, 1, Selected(55))
    did(store, 1, Emasculated(20, 60))
    printed_tags(store, ["C-1/1"], by="Ida", paper="a4")
    record = store.spikes.one("C-1", 1)
    assert (record.florets, record.growth_stage) == (20, 55)
    assert record.tag is not None
