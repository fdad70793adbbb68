"""What people and files supply is shown as it is: no markup of theirs is ever read."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

import pytest

from literal import NASTY, read_as_markup
from tests.plans import planned

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.store import Store
    from visitor import Visitor

    Picture = Callable[[int], bytes]


@pytest.mark.parametrize("text", NASTY)
def test_names_and_reasons_are_shown_literally(
    visitor: Visitor, store: Store, png: Picture, answer_review: None, text: str
):
    visitor.add_cross(id=text, female=text, male=f"{text} 2", note=text)
    visitor.page.text_input("by").set_value(text).run()
    visitor.upload((f"{text.replace('/', '')}.png", png(1)), ("bad.png", b"bad"))
    visitor.press("Record this check")
    (check,) = store.checks(text)
    visitor.page.text_area(f"reason-{check.id}-0").set_value(text)
    visitor.press("Record my decision")
    assert escape(text) in visitor.said()  # in a notice, which escapes
    assert text not in read_as_markup(visitor).replace(escape(text), "")
    visitor.go_to("records")
    assert f"{text}: {text} / {text} 2" in [one.value for one in visitor.page.text]
    assert text not in read_as_markup(visitor)
    visitor.page.button(f"open-{text}").click().run()
    assert f"{text}: {text} / {text} 2" in [one.value for one in visitor.page.text]
    assert text not in read_as_markup(visitor).replace(escape(text), "")


@pytest.mark.parametrize("text", NASTY)
def test_a_bad_file_is_named_literally(visitor: Visitor, text: str):
    name = f"{text.replace('/', '')}.png"
    visitor.upload((name, b"no picture"))
    assert escape(name) in visitor.said()
    assert name not in read_as_markup(visitor).replace(escape(name), "")


@pytest.mark.parametrize("text", NASTY)
def test_a_refused_cross_is_named_literally(visitor: Visitor, store: Store, text: str):
    store.plans.add(planned(text, "A", "B"))
    visitor.add_cross(id=text, female="A", male="B")
    assert escape(text) in visitor.said()
    assert text not in read_as_markup(visitor).replace(escape(text), "")
