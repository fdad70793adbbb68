"""Threshold files: complete and understood, or an error."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from spikecheck.errors import ThresholdError
from spikecheck.thresholds import Threshold
from spikecheck.thresholds.loading import build_group, parse_group

GOOD = """
[least_share]
value = 0.5
unit = "share"
reason = "half is enough"
source = "own judgement"
"""


@dataclass(frozen=True)
class Group:
    """A group of one number."""

    least_share: float


def test_a_good_file_is_parsed_and_built():
    parsed = parse_group(GOOD, group="some")
    assert parsed == (Threshold("least_share", 0.5, "share", "half is enough", "own judgement"),)
    assert build_group(Group, parsed, group="some") == Group(0.5)


@pytest.mark.parametrize(
    ("text", "complaint"),
    [
        ("[least_share", r"some\.toml: not valid TOML"),
        ("least_share = 0.5", r"some\.toml, least_share: needs exactly the entries"),
        (GOOD.replace("unit", "units"), r"least_share: needs exactly the entries"),
        (GOOD + 'note = "x"', r"least_share: needs exactly the entries"),
        (GOOD.replace("0.5", '"half"'), r"least_share: value is no number: 'half'"),
        (GOOD.replace("0.5", "true"), r"least_share: value is no number: True"),
        (GOOD.replace("half is enough", "  "), r"least_share: unit, reason and source need text"),
        (GOOD.replace('"own judgement"', "5"), r"least_share: unit, reason and source need text"),
    ],
)
def test_what_is_wrong_with_a_file_is_told(text: str, complaint: str):
    with pytest.raises(ThresholdError, match=complaint) as caught:
        parse_group(text, group="some")
    assert str(caught.value).endswith("Install spikecheck again or mend the file")


@pytest.mark.parametrize(
    ("text", "odd"),
    [
        ("", "least_share"),
        (GOOD + GOOD.replace("least_share", "other"), "other"),
        (GOOD.replace("least_share", "least_shere"), "least_share, least_shere"),
    ],
)
def test_file_and_group_must_name_the_same_numbers(text: str, odd: str):
    with pytest.raises(ThresholdError, match=rf"some\.toml: missing or unknown numbers: {odd}\."):
        build_group(Group, parse_group(text, group="some"), group="some")
