"""Spike, axis and florets of a photo without a network."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.segmentation.florets import FloretPlace, same_side_spacing_px
from spikecheck.segmentation.locate import LocatedSpike, locate_spike
from spikecheck.segmentation.numbering import number_florets
from spikecheck.segmentation.openings import find_openings, rim_candidates
from spikecheck.segmentation.recognise import RecognisedFlorets, recognise_florets, slenderness
from spikecheck.segmentation.strip_masks import rims_mask, strip_masks
from spikecheck.vocabulary import Floret, Scale, ScaleSource, Spike

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from spikecheck.thresholds import ColourThresholds, SegmentationThresholds
    from spikecheck.thresholds.scores import FittedScore
    from spikecheck.vocabulary import Photo


@dataclass(frozen=True, slots=True, eq=False)
class SpikeReading:
    """What was read of one spike.

    Parameters
    ----------
    spike, scale, florets, other_spikes, unexplained
        As in :class:`~spikecheck.vocabulary.findings.Findings`.
    places
        The florets in the strip, in the order of ``florets``.
    located
        The straightened strip and its colours.
    plant, spike_mask, openings
        bool of the strip's shape: plant tissue, the spike's outline, the inside of the rims.
    """

    spike: Spike
    scale: Scale
    florets: tuple[Floret, ...]
    other_spikes: int
    unexplained: float
    places: tuple[FloretPlace, ...]
    located: LocatedSpike
    plant: NDArray[np.bool_]
    spike_mask: NDArray[np.bool_]
    openings: NDArray[np.bool_]


def read_spike(
    photo: Photo,
    *,
    score: FittedScore,
    thresholds: SegmentationThresholds,
    colour: ColourThresholds,
) -> SpikeReading | None:
    """Read spike and florets of a photo; None when nothing in it is recognised as a spike.

    Parameters
    ----------
    photo
        The photo.
    score
        Fitted score of an opening.
    thresholds, colour
        Limits.

    Notes
    -----
    A body is a spike when it shows several cut openings or rows of spikelets; one that is too
    blurred or too small to show either is reported without florets, so that the blur or the size
    can be named. The scale is the median width of the openings over 2.5 mm; without openings,
    the distance of neighbouring spikelets over 9 mm; without either, the width of the body over
    that of a spike; each with the interval of its ruler.
    """
    located = locate_spike(photo, thresholds=thresholds, colour=colour)
    if (
        located is None
        or min(located.strip.inside.shape) < thresholds.least_strip_px
        or slenderness(located) > thresholds.slenderness_high
    ):
        return None
    plant, spike_mask = strip_masks(located, colour=colour)
    candidates = rim_candidates(located.lab, plant, spike_mask, thresholds=thresholds)
    openings = find_openings(candidates, score=score, thresholds=thresholds) if candidates else ()
    florets = recognise_florets(openings, candidates, located, thresholds=thresholds)
    if florets is None:
        return None
    strip = located.strip
    scale = _scale(florets, located, thresholds=thresholds)
    floret_px = 3.0 * scale.px_per_mm * strip.zoom
    numbered = number_florets(florets.places, strip, floret_px=floret_px)
    spike = Spike(
        outline=located.outline,
        axis=located.axis,
        cut_off=located.cut_off,
        hidden_share=located.hidden_share,
    )
    return SpikeReading(
        spike=spike,
        scale=scale,
        florets=tuple(floret for _, floret in numbered),
        other_spikes=located.others,
        unexplained=_unexplained(florets.places, located, thresholds=thresholds),
        places=tuple(place for place, _ in numbered),
        located=located,
        plant=plant,
        spike_mask=spike_mask,
        openings=rims_mask([opening.rim for opening in florets.sure], spike_mask.shape),
    )


def _scale(
    florets: RecognisedFlorets,
    located: LocatedSpike,
    *,
    thresholds: SegmentationThresholds,
) -> Scale:
    """Take the best ruler there is: openings, rows of spikelets, the width of the body."""
    t, zoom = thresholds, located.strip.zoom
    if florets.sure:
        width_px = float(np.median([np.ptp(opening.rim, axis=0).max() for opening in florets.sure]))
        px_per_mm, reach = width_px / zoom / t.opening_width_mm, t.opening_width_reach
    elif florets.rows is not None:
        px_per_mm = florets.rows.spacing_px / zoom / t.same_side_spacing_mm
        reach = t.same_side_spacing_reach
    else:
        px_per_mm, reach = located.width_px / t.spike_width_mm, t.spike_width_reach
    return Scale(
        px_per_mm=px_per_mm,
        source=ScaleSource.ESTIMATE,
        low=px_per_mm * (1 - reach),
        high=px_per_mm * (1 + reach),
    )


def _unexplained(
    places: tuple[FloretPlace, ...],
    located: LocatedSpike,
    *,
    thresholds: SegmentationThresholds,
) -> float:
    """Return the share of the axis farther from any floret than the next one should be."""
    spacing = same_side_spacing_px(places)
    strip = located.strip
    rows = np.arange(strip.tip_row, strip.base_row)
    if spacing is None or not len(rows):
        return 1.0
    own = np.array([place.row for place in places])
    distance = np.abs(rows[:, None] - own[None]).min(axis=1)
    return float((distance > thresholds.gap_spacings * spacing).mean())
