"""Code letters, sizes and acceptance numbers of ISO 2859-1."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spikecheck.audit.iso_2859 import (
    LIMITS,
    SAMPLE_SIZES,
    code_letter,
    reference_plan,
)
from spikecheck.errors import UsageError

LEVELS = ("S-1", "S-2", "S-3", "S-4", "I", "II", "III")
# ISO 2859-1, Table 1, read from a chart of it: the largest lot of a row, then its letters.
TABLE_1 = [
    (8, "AAAAAAB"), (15, "AAAAABC"), (25, "AABBBCD"), (50, "ABBCCDE"), (90, "BBCCCEF"),
    (150, "BBCDDFG"), (280, "BCDEEGH"), (500, "BCDEFHJ"), (1200, "CCEFGJK"), (3200, "CDEGHKL"),
    (10000, "CDFGJLM"), (35000, "CDFHKMN"), (150000, "DEGJLNP"), (500000, "DEGJMPQ"),
    (10**9, "DEHKNQR"),
]  # fmt: skip
# ISO 2859-1, Table 2-A, acceptance numbers (from memory; F and J at 0.65 also read): "^" and "v"
# are arrows, "." stands above the staircase, where the arrow points down.
TABLE_2A = {
    "E": ". . . 0 ^ v 1 2 3",
    "F": ". . 0 ^ v 1 2 3 5",
    "G": ". 0 ^ v 1 2 3 5 7",
    "H": "0 ^ v 1 2 3 5 7 10",
    "J": "^ v 1 2 3 5 7 10 14",
    "K": "v 1 2 3 5 7 10 14 21",
}
LOT_OF = {"E": 90, "F": 150, "G": 280, "H": 500, "J": 1200, "K": 3200}
ENTRIES = [
    (letter, limit, entry)
    for letter, row in TABLE_2A.items()
    for limit, entry in zip(LIMITS, row.split(), strict=True)
]


@pytest.mark.parametrize(("most", "letters"), TABLE_1)
def test_table_1(most, letters):
    assert "".join(code_letter(most, level) for level in LEVELS) == letters


def test_a_row_begins_where_the_one_before_ends():
    for (most, _), (_, letters) in pairwise(TABLE_1):
        assert "".join(code_letter(most + 1, level) for level in LEVELS) == letters
    assert code_letter(2) == "A"


def test_sample_sizes():
    """ISO 2859-1, Table 2-A, read from a chart of it."""
    assert list(SAMPLE_SIZES) == list("ABCDEFGHJKLMNPQR")
    assert list(SAMPLE_SIZES.values()) == [
        2, 3, 5, 8, 13, 20, 32, 50, 80, 125, 200, 315, 500, 800, 1250, 2000,
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("letter", "limit", "accept"), [one for one in ENTRIES if one[2].isdigit()]
)
def test_table_2a(letter, limit, accept):
    plan = reference_plan(LOT_OF[letter], limit)
    assert (plan.code_letter, plan.used_letter) == (letter, letter)
    assert (plan.sample, plan.accept) == (SAMPLE_SIZES[letter], int(accept))
    assert plan.reject == plan.accept + 1


@pytest.mark.parametrize(
    ("letter", "limit", "arrow"), [one for one in ENTRIES if not one[2].isdigit()]
)
def test_arrows_lead_to_the_first_plan_on_their_way(letter, limit, arrow):
    """Up to the plan that accepts with 0, down to the one with 0 or 1."""
    plan = reference_plan(LOT_OF[letter], limit)
    assert plan.code_letter == letter
    if arrow == "^":
        assert plan.used_letter < letter
        assert plan.accept == 0
    else:
        assert plan.used_letter > letter
        assert plan.accept == (1 if arrow == "v" else 0)
    column = [row.split()[LIMITS.index(limit)] for row in TABLE_2A.values()]
    letters = list(TABLE_2A)
    if plan.used_letter in TABLE_2A:
        assert column[letters.index(plan.used_letter)] == str(plan.accept)
        passed = sorted((letters.index(letter), letters.index(plan.used_letter)))
        assert not any(entry.isdigit() for entry in column[passed[0] + 1 : passed[1]])


@pytest.mark.parametrize(
    ("lot", "limit", "plan"),
    [
        (90, 1.5, (8, 0)),  # E, up to D
        (90, 2.5, (20, 1)),  # E, down to F
        (90, 0.25, (50, 0)),  # E, down to H
        (3200, 0.25, (200, 1)),  # K, down to L
        (8, 10.0, (5, 1)),  # A: nothing above, so down to C
        (40, 1.5, (8, 0)),  # D
        (20, 4.0, (3, 0)),  # C, up to B
    ],
)
def test_plans_where_the_arrows_lead(lot, limit, plan):
    """ISO 2859-1, Table 2-A (from memory)."""
    found = reference_plan(lot, limit)
    assert (found.sample, found.accept) == plan


@given(st.integers(2, 3200), st.sampled_from(LIMITS))
def test_laws(lot, limit):
    plan = reference_plan(lot, limit)
    assert plan.sample <= lot
    assert plan.whole_lot is (plan.sample == lot)
    better = LIMITS.index(limit) + 1
    if better < len(LIMITS) and plan.code_letter == plan.used_letter and plan.accept:
        looser = reference_plan(lot, LIMITS[better])
        assert looser.accept > plan.accept


def test_a_lot_smaller_than_its_sample_is_looked_at_whole():
    plan = reference_plan(40, 0.25)
    assert (plan.sample, plan.whole_lot, plan.used_letter) == (40, True, "H")


@pytest.mark.parametrize(
    ("lot", "limit", "level"),
    [(1, 1.0, "II"), (50, 1.1, "II"), (50, 1.0, "IV"), (3201, 1.0, "II"), (0, 1.0, "II")],
)
def test_what_is_not_in_the_tables_is_refused(lot, limit, level):
    with pytest.raises(UsageError):
        reference_plan(lot, limit, level)
