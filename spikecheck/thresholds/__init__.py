"""Every number that decides something: value, unit, reason and source.

The numbers stand in one TOML file a group; :func:`load_thresholds` reads them all once.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from functools import cache

from spikecheck.thresholds.anthers import AntherThresholds
from spikecheck.thresholds.assessment import AssessmentThresholds
from spikecheck.thresholds.colour import ColourThresholds
from spikecheck.thresholds.loading import Threshold, build_group, parse_group, read_group_text
from spikecheck.thresholds.networks import NetworkThresholds
from spikecheck.thresholds.quality import QualityThresholds
from spikecheck.thresholds.reading import ReadingThresholds
from spikecheck.thresholds.scores import SCORES, read_score_text
from spikecheck.thresholds.segmentation import SegmentationThresholds
from spikecheck.thresholds.tags import TagThresholds

__all__ = [
    "GROUPS", "AntherThresholds", "AssessmentThresholds", "ColourThresholds", "NetworkThresholds",
    "QualityThresholds", "ReadingThresholds", "SegmentationThresholds", "TagThresholds",
    "Threshold", "Thresholds", "load_thresholds", "threshold_list",
]  # fmt: skip

GROUPS = (
    "reading", "tags", "quality", "colour", "segmentation", "anthers", "networks", "assessment",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Thresholds:
    """All groups, and the digest of their files that a record keeps.

    Parameters
    ----------
    reading, tags, quality, colour, segmentation, anthers, networks, assessment
        The groups.
    sha256
        Hex digest over the TOML texts of the groups in this order, then of the fitted scores.
    """

    reading: ReadingThresholds
    tags: TagThresholds
    quality: QualityThresholds
    colour: ColourThresholds
    segmentation: SegmentationThresholds
    anthers: AntherThresholds
    networks: NetworkThresholds
    assessment: AssessmentThresholds
    sha256: str


@cache
def threshold_list(group: str) -> tuple[Threshold, ...]:
    """Return every threshold of ``group`` with unit, reason and source."""
    return parse_group(read_group_text(group), group=group)


@cache
def load_thresholds() -> Thresholds:
    """Return the shipped thresholds.

    Raises
    ------
    ThresholdError
        If a file is incomplete.
    """
    texts = [*map(read_group_text, GROUPS), *map(read_score_text, SCORES)]
    digest = hashlib.sha256("".join(texts).encode())
    return Thresholds(
        reading=build_group(ReadingThresholds, threshold_list("reading"), group="reading"),
        tags=build_group(TagThresholds, threshold_list("tags"), group="tags"),
        quality=build_group(QualityThresholds, threshold_list("quality"), group="quality"),
        colour=build_group(ColourThresholds, threshold_list("colour"), group="colour"),
        segmentation=build_group(
            SegmentationThresholds, threshold_list("segmentation"), group="segmentation"
        ),
        anthers=build_group(AntherThresholds, threshold_list("anthers"), group="anthers"),
        networks=build_group(NetworkThresholds, threshold_list("networks"), group="networks"),
        assessment=build_group(
            AssessmentThresholds, threshold_list("assessment"), group="assessment"
        ),
        sha256=digest.hexdigest(),
    )
