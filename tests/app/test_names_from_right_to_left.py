"""Names in Arabic or Hebrew keep their numbers: each stands as one piece inside a sentence.

What is asked for are the isolates of Unicode Standard Annex #9, 2.4.2, around each name.
"""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

from spikecheck.vocabulary import CrossingSession, Step
from spikecheck.vocabulary.steps import Emasculated
from tests.plans import planned

if TYPE_CHECKING:
    from spikecheck.store import Store
    from visitor import Visitor

CROSS, FEMALE, MALE, PERSON, PLACE = "הצלבה 14", "חיטה 7", "Olmo", "דנה לוי (2)", "بيت 2"


def one_piece(name: str) -> str:
    return f"\u2068{name}\u2069"


def test_on_every_page_of_the_season(visitor: Visitor, store: Store):
    store.plans.add(planned(CROSS, FEMALE, MALE))
    store.sessions.add(CrossingSession("S-1", date(2026, 5, 4), PLACE, (PERSON, "Ilse")))
    step = Step(Emasculated(20, 60), datetime.now(UTC), PERSON, "S-1")
    store.spikes.add(CROSS, 3, step)

    visitor.go_to("records")
    texts = [one.value for one in visitor.page.text]
    assert f"{one_piece(CROSS)}: {one_piece(FEMALE)} / {MALE}" in texts

    visitor.go_to("sessions")
    told = f" 4 May 2026 · {one_piece(PLACE)} · {one_piece(PERSON)}, Ilse"
    assert any(one.value.endswith(told) for one in visitor.page.text)

    visitor.go_to("agenda")
    assert f"{one_piece(CROSS)}: spike 3" in visitor.said()

    visitor.go_to("audit")
    visitor.page.segmented_control("audit-part").set_value("gallery").run()
    assert f"{one_piece(CROSS)}\\/3" in visitor.labels()

    visitor.go_to("spikes")
    assert f"<strong>{one_piece(CROSS)}/3</strong>" in visitor.said()
    assert f"S-1 · 4 May 2026 · {one_piece(PLACE)}" in visitor.page.selectbox[0].options

    # Copied from the page, it is found.
    visitor.page.text_input("spike-name").set_value(f"{one_piece(CROSS)}/3")
    visitor.press("Open this spike")
    assert f"Spike {one_piece(CROSS)}/3" in visitor.said()
    assert f"Session {one_piece(f'S-1, {one_piece(PLACE)}')}" in visitor.said()
    (entry,) = store.spikes.entries(CROSS, 3)
    assert entry.step is not None
    assert entry.step.by == PERSON
