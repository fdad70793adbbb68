"""What the tags in a photo change in the findings: the scale, and the colours that are looked at.

*Colours.* Where one tag is in the photo and its grey steps agree, spike, florets and anthers are
looked for in the photo as it would be under neutral light; DEVELOPERS.md tells what that was
measured to do. Photo and overlay stay as taken, and so does what the photo's quality is judged on.

*Scale.* The tag's scale replaces the estimate from the spike, unless the two are so far apart that
the tag cannot hang beside the spike. With several tags in a photo none is used.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from spikecheck.thresholds import TagThresholds
    from spikecheck.vocabulary import Anther, Findings, Photo, Scale, SeenTag


def codes_of(photos: Iterable[Sequence[SeenTag]]) -> tuple[str, ...]:
    """Return the codes of all tags that were read, each once, in the order they were met."""
    return tuple(dict.fromkeys(tag.code for tags in photos for tag in tags))


def in_neutral_light(photo: Photo, tags: Sequence[SeenTag]) -> Photo:
    """Return the photo to look for the spike in; ``photo`` itself without a tag to go by."""
    if len(tags) != 1 or tags[0].correction is None:
        return photo
    from spikecheck.tag_reading import correct_colour

    return replace(photo, pixels=correct_colour(photo.pixels, tags[0].correction))


def with_tag_scale(
    findings: Findings, tags: Sequence[SeenTag], *, thresholds: TagThresholds
) -> Findings:
    """Return the findings with the tag's scale; lengths of anthers in mm follow it.

    Parameters
    ----------
    findings
        As the finder reports them, with its estimate.
    tags
        Those read in the photo.
    thresholds
        How far the tag's scale may lie beyond the bounds of the estimate.
    """
    if len(tags) != 1 or tags[0].scale is None or findings.spike is None:
        return findings
    scale, estimate = tags[0].scale, findings.scale
    if estimate is None:
        return replace(findings, scale=scale)
    most = thresholds.beyond_estimate_most
    if not estimate.low / most <= scale.px_per_mm <= estimate.high * most:
        return findings
    anthers = tuple(_rescaled(anther, estimate, scale) for anther in findings.anthers)
    return replace(findings, scale=scale, anthers=anthers)


def _rescaled(anther: Anther, before: Scale, after: Scale) -> Anther:
    if anther.length_mm is None:
        return anther
    return replace(anther, length_mm=anther.length_mm * before.px_per_mm / after.px_per_mm)
