"""Finds spike, florets and anthers with the two networks.

The overview network looks at the whole photo, reduced, and says where the spike is, which way it
points and how many pixels a millimetre takes. The spike is straightened at 20 px/mm, and the
florets network looks at that.
"""

from __future__ import annotations

import hashlib
from dataclasses import replace
from typing import TYPE_CHECKING

from spikecheck.networks import FloretsTuned, LogitScaling, OverviewTuned
from spikecheck.vocabulary import Findings, ModelIdentity

if TYPE_CHECKING:
    from spikecheck.imaging.strip import Strip
    from spikecheck.networks import Network
    from spikecheck.segmentation.overview_reading import OverviewReading
    from spikecheck.thresholds import Thresholds
    from spikecheck.vocabulary import Calibration, Photo

_NAME = "spike-and-florets"


class NetworkFinder:
    """Finds spike, florets and anthers with the two networks.

    Parameters
    ----------
    thresholds
        All thresholds.
    overview, florets
        The networks.
    calibration
        The pass limit to report; the one the florets network ships with when None.

    Raises
    ------
    ModelError
        If a manifest lacks a number.
    """

    def __init__(
        self,
        thresholds: Thresholds,
        overview: Network,
        florets: Network,
        calibration: Calibration | None = None,
    ) -> None:
        self._thresholds = thresholds.networks
        self._overview, self._florets = overview, florets
        self._overview_tuned = overview.manifest.numbers(OverviewTuned)
        self._tuned = florets.manifest.numbers(FloretsTuned)
        self._floret_scaling, self._anther_scaling = (
            florets.manifest.numbers(LogitScaling, "calibration", prefix=prefix)
            for prefix in ("floret_", "anther_")
        )
        self._calibration = calibration or florets.manifest.pass_limit()

    @property
    def model(self) -> ModelIdentity:
        """Name and version of the networks, and one digest over their files and manifests."""
        manifests = (self._overview.manifest, self._florets.manifest)
        versions = dict.fromkeys(manifest.version for manifest in manifests)
        digest = hashlib.sha256(
            "".join(manifest.sha256 + manifest.text_sha256 for manifest in manifests).encode()
        )
        return ModelIdentity(_NAME, "+".join(versions), digest.hexdigest())

    def find(self, photo: Photo) -> Findings:
        """Look at one photo.

        Raises
        ------
        ModelError
            If a network cannot run.
        """
        from spikecheck.networks import letterbox
        from spikecheck.segmentation.overview_reading import read_overview

        image, place = letterbox(photo.pixels)
        given = self._overview.run(image)
        strange = float(given["strangeness"].max()) > self._overview_tuned.strangeness_most
        nothing = Findings(
            self.model, None, 0, None, (), (), unexplained=1.0,
            unfamiliar=strange, calibration=self._calibration,
        )  # fmt: skip
        reading = read_overview(
            given, place, tuned=self._overview_tuned, thresholds=self._thresholds
        )
        if reading is None:
            return nothing
        seen = replace(
            nothing, spike=reading.spike, other_spikes=reading.other_spikes, scale=reading.scale,
            clear=reading.clear,
        )  # fmt: skip
        strip = self._strip(photo, reading)
        return seen if strip is None else self._with_florets(seen, reading, strip)

    def _strip(self, photo: Photo, reading: OverviewReading) -> Strip | None:
        """Straighten the spike; None when it is too small, or too long to be one at its scale."""
        from spikecheck.imaging.strip import STRIP_PX_PER_MM, straighten
        from spikecheck.networks import STRIP_MULTIPLE_PX as MULTIPLE
        from spikecheck.segmentation.overview_axis import half_width_px

        t = self._thresholds
        zoom = STRIP_PX_PER_MM / reading.scale.px_per_mm
        length = reading.spike.length_px * zoom  # strip px, as everything below
        if zoom > t.zoom_most or length > t.spike_longest_mm * STRIP_PX_PER_MM:
            return None
        half_width_mm = min(
            half_width_px(reading.spike) / reading.scale.px_per_mm + t.beside_spike_mm,
            t.strip_half_width_most_mm,
        )
        columns = _multiple(2 * half_width_mm * STRIP_PX_PER_MM, MULTIPLE)
        rows = _multiple(length + 2 * t.strip_margin_mm * STRIP_PX_PER_MM, MULTIPLE)
        return straighten(
            photo.pixels,
            reading.spike.axis,
            half_width_px=(columns - 1) / 2 / zoom,
            margin_px=(rows - 1 - length) / 2 / zoom,
            zoom=zoom,
        )

    def _with_florets(self, seen: Findings, reading: OverviewReading, strip: Strip) -> Findings:
        from spikecheck.anthers.anther_maps import anthers_in_maps
        from spikecheck.networks import run_in_tiles
        from spikecheck.segmentation.floret_maps import florets_in_maps
        from spikecheck.segmentation.strip_tissue import covered_share, unexplained_share

        t = self._thresholds
        given = run_in_tiles(
            self._florets,
            strip.pixels,
            most_rows=round(t.tile_rows_most),
            overlap_rows=round(t.tile_overlap_rows),
        )
        maps = given["maps"]
        florets = florets_in_maps(
            maps, strip, not_prepared=reading.not_prepared,
            scaling=self._floret_scaling, tuned=self._tuned, thresholds=t,
        )  # fmt: skip
        boxes = {each.floret.id: each.strip_box for each in florets}
        strange = float(given["strangeness"].max()) > self._tuned.strangeness_most
        hidden_share = max(reading.spike.hidden_share, covered_share(maps, strip, thresholds=t))
        return replace(
            seen,
            spike=replace(reading.spike, hidden_share=hidden_share),
            florets=tuple(each.floret for each in florets),
            anthers=anthers_in_maps(
                maps, strip, boxes, scaling=self._anther_scaling, tuned=self._tuned, thresholds=t
            ),
            unexplained=unexplained_share(maps, strip, florets, thresholds=t),
            unfamiliar=seen.unfamiliar or strange,
        )


def _multiple(length: float, of: int) -> int:
    """Return the least multiple that is at least ``length``."""
    return -(-round(length) // of) * of
