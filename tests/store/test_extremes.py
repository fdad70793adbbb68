"""The longest text, the largest numbers and any script come back the same from any database."""

from __future__ import annotations

import json
import unicodedata
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
import sqlalchemy as sa
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy.exc import DBAPIError

from spikecheck.store.engine import writing
from spikecheck.store.tables import crosses, fits_integer, spikes
from tests.plans import planned

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.store import NewCheck, Store

_EAR = "\N{EAR OF RICE}"  # beyond the basic plane: four bytes in UTF-8, two units in UTF-16
_NOTE = st.text(
    st.characters(exclude_categories=("Cc", "Cf", "Cs", "Zl", "Zp"), include_characters="\n\t"),
    max_size=80,
)


def test_longest_texts_of_wide_characters_come_back(
    store: Store, make_check: Callable[..., NewCheck]
):
    name, note = _EAR * 200, _EAR * 4000
    store.plans.add(planned(_EAR * 64, name, "x" * 200, note=note))
    assert store.cross(_EAR * 64).note == note
    check = store.add_check(make_check(), cross=_EAR * 64, spike=1, by=name)
    assert check.by == name
    assert store.override(check.id, name, note).overrides[0].reason == note


def test_long_result_comes_back_letter_by_letter(store: Store, make_check: Callable[..., NewCheck]):
    result = json.dumps({"text": f"a\0b {_EAR} ' \" \\ %s :x ?" * 100_000}, ensure_ascii=False)
    assert len(result) > 2_000_000
    store.plans.add(planned("W26-014", "Ferra", "Olmo"))
    check = store.add_check(
        replace(make_check(), result=result), cross="W26-014", spike=1, by="Ida"
    )
    assert store.check(check.id).result == result


def test_largest_spike_number_fits(store: Store, make_check: Callable[..., NewCheck]):
    largest = 2**31 - 1
    assert fits_integer(largest)
    assert not fits_integer(largest + 1)
    store.plans.add(planned("W26-014", "Ferra", "Olmo"))
    check = store.add_check(make_check(), cross="W26-014", spike=largest, by="Ida")
    assert store.check(check.id).spike == largest


def test_numbers_below_one_are_refused_by_the_database_too(store: Store):
    store.plans.add(planned("W26-014", "Ferra", "Olmo"))
    with pytest.raises(DBAPIError), writing(store._database.engine) as connection:
        connection.execute(spikes.insert().values(cross_id="W26-014", number=0))


@given(note=_NOTE)
@settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_any_note_is_the_same_text_for_the_database(store: Store, note: str):
    """Compared inside the database as well, where it may be kept in another encoding."""
    with writing(store._database.engine) as connection:
        connection.execute(crosses.delete())
    store.plans.add(planned("W26-014", "Ferra", "Olmo", note=note))
    kept = store.cross("W26-014").note
    assert kept == unicodedata.normalize("NFC", note).strip()
    with store._database.reading() as connection:
        found = connection.execute(
            sa.select(sa.func.length(crosses.c.note)).where(crosses.c.note == kept)
        ).scalar_one()
    assert found == len(kept)
