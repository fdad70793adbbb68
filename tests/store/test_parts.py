from __future__ import annotations

from itertools import chain

from hypothesis import given
from hypothesis import strategies as st

from spikecheck.store.parts import in_parts


@given(things=st.lists(st.integers(), max_size=40), most=st.integers(1, 12))
def test_nothing_is_lost_and_only_the_last_part_is_smaller(things: list[int], most: int):
    parts = list(in_parts(things, most))
    assert list(chain.from_iterable(parts)) == things
    assert all(len(part) == most for part in parts[:-1])
    assert all(0 < len(part) <= most for part in parts)


def test_things_are_read_as_they_are_needed():
    given_out: list[int] = []

    def things():
        for number in range(10):
            given_out.append(number)
            yield number

    assert next(in_parts(things(), 3)) == (0, 1, 2)
    assert given_out == [0, 1, 2]
