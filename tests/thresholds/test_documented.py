"""Every shipped threshold is documented, plausible, and used."""

from __future__ import annotations

import dataclasses
import math
import re
from pathlib import Path

import pytest

import spikecheck
from spikecheck.thresholds import GROUPS, load_thresholds, threshold_list
from spikecheck.thresholds.access import access_list
from spikecheck.thresholds.audit import audit_list, load_audit
from spikecheck.thresholds.bench import bench_list
from spikecheck.thresholds.practice import practice_list
from spikecheck.thresholds.scores import SCORES

PACKAGE = Path(spikecheck.__file__).parent
# Describe people's work, never a spike: no part of the digest recorded with a check.
APART = {
    "access": access_list,
    "audit": audit_list,
    "bench": bench_list,
    "practice": practice_list,
}
EVERY = [(group, threshold) for group in GROUPS for threshold in threshold_list(group)]
EVERY += [(group, threshold) for group, listed in APART.items() for threshold in listed()]
SOURCES = {
    path: path.read_text(encoding="utf-8")
    for path in PACKAGE.rglob("*.py")
    if "thresholds" not in path.relative_to(PACKAGE).parts
}


def test_there_are_thresholds_in_every_group_file():
    found = {path.stem for path in (PACKAGE / "thresholds").glob("*.toml")}
    assert found == {*GROUPS, *SCORES, *APART}
    assert all(threshold_list(group) for group in GROUPS)


@pytest.mark.parametrize(
    ("group", "threshold"), EVERY, ids=lambda part: getattr(part, "name", part)
)
def test_every_threshold_says_what_it_is_why_and_from_where(group: str, threshold):
    assert math.isfinite(threshold.value)
    assert threshold.unit.strip()
    assert len(threshold.reason.split()) >= 4, "a reason is a sentence"
    assert len(threshold.source.split()) >= 2, "a source can be looked up"


@pytest.mark.parametrize(
    ("group", "threshold"), EVERY, ids=lambda part: getattr(part, "name", part)
)
def test_every_threshold_decides_something(group: str, threshold):
    attribute = re.compile(rf"\.{threshold.name}\b")
    assert any(attribute.search(text) for text in SOURCES.values())


@pytest.mark.parametrize("group", GROUPS)
def test_the_group_holds_the_numbers_of_its_file(group: str):
    loaded = dataclasses.asdict(getattr(load_thresholds(), group))
    assert loaded == {threshold.name: threshold.value for threshold in threshold_list(group)}


def test_the_numbers_of_the_audit_stand_apart():
    assert dataclasses.asdict(load_audit()) == {one.name: one.value for one in audit_list()}
    assert not {*APART} & {field.name for field in dataclasses.fields(load_thresholds())}


def test_the_digest_is_that_of_the_files():
    import hashlib

    text = "".join(
        (PACKAGE / "thresholds" / f"{name}.toml").read_text(encoding="utf-8")
        for name in (*GROUPS, *SCORES)
    )
    assert load_thresholds().sha256 == hashlib.sha256(text.encode()).hexdigest()


def test_assessment_thresholds_make_sense_together():
    limits = load_thresholds().assessment
    assert 0 < limits.anther_score_least < limits.anther_score_sure < 1
    assert 0 < limits.floret_leftover_prior < limits.not_clipped_leftover <= 1
    for share in ("cavity_seen_least", "unexplained_share_most", "finder_recall", "cross_seed_set"):
        assert 0 < getattr(limits, share) < 1
    assert limits.p_leftover_most <= 0.5, "never passes what is more likely dirty than clean"
