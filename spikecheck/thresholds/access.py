"""How passwords are kept, guesses slowed down and sign-ins ended, in numbers.

They judge no photo, and so stay out of the digest of :class:`spikecheck.thresholds.Thresholds`
that is recorded with a check.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from spikecheck.thresholds.loading import Threshold, build_group, parse_group, read_group_text


@dataclass(frozen=True, slots=True)
class AccessThresholds:
    """How passwords are kept, how often one may guess, how long somebody stays signed in.

    Units, reasons and sources: ``access.toml``.
    """

    memory_kib: int
    passes: int
    lanes: int
    salt_bytes: int
    tag_bytes: int
    password_length_least: int
    password_length_most: int
    failures_free: int
    wait_first_s: float
    wait_longest_s: float
    failures_remembered_s: float
    failures_everywhere: int
    failures_everywhere_s: float
    signed_in_s: float
    ticket_s: float


@cache
def access_list() -> tuple[Threshold, ...]:
    """Return every threshold of access with unit, reason and source."""
    return parse_group(read_group_text("access"), group="access")


@cache
def load_access() -> AccessThresholds:
    """Return the shipped thresholds of access.

    Raises
    ------
    ThresholdError
        If the file is incomplete.
    """
    return build_group(AccessThresholds, access_list(), group="access")
