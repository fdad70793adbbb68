"""Makes one photo with its truth and class map out of rendered layers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.errors import UsageError
from spikecheck.synthetic.compose.ambience import draw_ambience
from spikecheck.synthetic.compose.backgrounds.backdrop import Site
from spikecheck.synthetic.compose.backgrounds.choose import (
    BACKGROUNDS,
    GREY,
    draw_background,
    grey_ground,
)
from spikecheck.synthetic.compose.classes import class_table, classes_of
from spikecheck.synthetic.compose.developing import develop
from spikecheck.synthetic.compose.elsewhere.choose import draw_elsewhere
from spikecheck.synthetic.compose.judging import (
    fault_of,
    problems_of,
    shown_kind,
    verdict_of,
)
from spikecheck.synthetic.compose.laid import lay, spike_points
from spikecheck.synthetic.compose.metering import exposed
from spikecheck.synthetic.compose.phone import draw_phone, without_errors
from spikecheck.synthetic.compose.placing import Placement, draw_placement
from spikecheck.synthetic.compose.randomness import part_stream
from spikecheck.synthetic.compose.stage import Stage
from spikecheck.synthetic.compose.staging import staged
from spikecheck.synthetic.compose.truth_reading import (
    hidden_share,
    listed_florets,
    seen_anthers,
    seen_axis,
    seen_florets,
    seen_outline,
)
from spikecheck.synthetic.randomness import chance
from spikecheck.vocabulary import PhotoTruth, QualityProblem, Verdict

if TYPE_CHECKING:
    from collections.abc import Sequence

    from spikecheck.synthetic.arrays import Bytes
    from spikecheck.synthetic.compose.picture import Picture
    from spikecheck.synthetic.solid.layers import Layers

_SAME_SHARE = 0.4


@dataclass(frozen=True, slots=True, eq=False)
class ComposedPhoto:
    """A photo with its truth.

    Parameters
    ----------
    pixels
        uint8 (H, W, 3), sRGB.
    classes
        uint8 (H, W): 0 background, 1 spike, 2 something over or beside it, 3 green, 4 yellow,
        5 dehisced anther.
    truth
        What is in it; its ``image`` is empty until it is written.
    jpeg_quality
        The quality it is to be written with.
    """

    pixels: Bytes
    classes: Bytes
    truth: PhotoTruth
    jpeg_quality: int


def compose_photo(
    layers: Sequence[Layers],
    *,
    seed: int,
    kind: str,
    on_grey: bool = False,
    littered: bool = False,
) -> ComposedPhoto:
    """Make a photo of a kind.

    Parameters
    ----------
    layers
        The spike's layers first; then others, for spikes beside and behind it. May be empty for
        a photo without a spike.
    seed
        Seed of the composition, 0 or more.
    kind
        A name in :data:`spikecheck.synthetic.kinds.KINDS`: a fault, or what the layer shows
        (:func:`~spikecheck.synthetic.compose.judging.plain_kind`).
    on_grey
        Whether the spike is shown alone on even grey, as the plainest phone takes it: what a
        render is worth without a scene. Only for what the layer shows.
    littered
        Whether many look-alikes of anthers lie on the spike, wherever something may lie on it: a
        network learns from each, and they cost little. Not for photos that anything is measured
        or chosen on.

    Raises
    ------
    UsageError
        If there is no such kind, the layer does not show it, or a fault is to be shown on grey.
    """
    main = layers[0] if layers else None
    fault = fault_of(kind, None if main is None else main.record)
    layer_seed = 0 if main is None else main.record.seed
    if on_grey and fault is not None:
        raise UsageError(f"a photo of kind {kind!r} needs a scene", cure="Leave out one of the two")
    if main is None or fault is QualityProblem.NO_SPIKE:
        return _without_spike(layers, seed, layer_seed)
    record = main.record

    def rng(part: str) -> np.random.Generator:
        return part_stream(seed, layer_seed, kind, part)

    axis_xy = np.array([(p.column, p.row) for p in record.axis])
    placement = draw_placement(rng("frame"), spike_points(main), axis_xy, record.px_per_mm, fault)
    ppm = record.px_per_mm * placement.stretch
    scene = rng("scene")
    ambience = draw_ambience(scene, record.families.get("light"))
    phone = draw_phone(scene, ppm, fault, "plain" if on_grey else None)
    if on_grey:
        phone = without_errors(phone)
    background = GREY if on_grey else _draw_family(scene, record.families.get("surround"))
    site = Site(rng("background"), placement.shape, ppm, ambience)
    backdrop = grey_ground(site) if on_grey else draw_background(site, background)
    laid = lay(rng("beyond"), main, placement)
    bare = laid.owner.copy()
    stage = Stage(
        layers, laid, backdrop, ambience, placement, ppm, background,
        strewn=not on_grey, littered=littered,
    )  # fmt: skip
    picture = staged(rng, stage, phone, fault)
    metered = exposed(picture, bare, phone, fault)
    pixels = develop(rng("noise"), picture.light, metered)

    classes = classes_of(picture.owner, class_table(record.organs))
    truth = _truth(main, placement, picture, bare=bare, classes=classes, kind=kind)
    families = {
        **{key: str(value) for key, value in record.families.items()},
        "light": ambience.family, "background": background, "camera": phone.family,
        "state": record.state,
        "kind": shown_kind(kind, truth.anthers, truth.verdict or Verdict.REVIEW),
    }  # fmt: skip
    return ComposedPhoto(pixels, classes, _with_families(truth, families), phone.jpeg_quality)


def _draw_family(rng: np.random.Generator, surround: str | None) -> str:
    """Return the background's family: as a rule what threw light on the spike, or any other."""
    if surround in BACKGROUNDS and chance(rng, _SAME_SHARE):
        return str(surround)
    return str(rng.choice(list(BACKGROUNDS)))


def _truth(
    main: Layers,
    placement: Placement,
    picture: Picture,
    *,
    bare: np.ndarray,
    classes: Bytes,
    kind: str,
) -> PhotoTruth:
    record, ppm = main.record, picture.px_per_mm
    seen = seen_florets(record, placement, bare, picture.owner)
    florets = listed_florets(seen, picture.shape)
    anthers = seen_anthers(record, picture.owner, ppm, florets)
    axis = seen_axis(record, placement)
    hidden = hidden_share(axis, classes, ppm)
    problems = problems_of(fault_of(kind, record), record, hidden, ppm)
    height, width = picture.shape
    return PhotoTruth(
        image="", width=width, height=height, anthers=anthers,
        florets=tuple(sorted(florets.values(), key=lambda f: (f.side, int(f.id[1:])))),
        verdict=verdict_of(seen, anthers, problems), problems=problems, px_per_mm=ppm,
        outline=seen_outline(record, picture.owner), axis=axis,
    )  # fmt: skip


def _without_spike(layers: Sequence[Layers], seed: int, layer_seed: int) -> ComposedPhoto:
    """Return a photo of anything but a close spike."""
    kind = QualityProblem.NO_SPIKE.value
    scene = part_stream(seed, layer_seed, kind, "scene")
    ambience = draw_ambience(scene, None)
    phone = draw_phone(scene, 24.0, None)
    elsewhere = draw_elsewhere(part_stream(seed, layer_seed, kind, "elsewhere"), ambience, layers)
    picture = elsewhere.picture
    metered = exposed(picture, picture.owner, phone, None)
    pixels = develop(part_stream(seed, layer_seed, kind, "noise"), picture.light, metered)
    height, width = picture.shape
    truth = PhotoTruth(
        image="", width=width, height=height, anthers=(), florets=(), verdict=Verdict.REVIEW,
        problems=(QualityProblem.NO_SPIKE,), px_per_mm=None,
        families={"light": ambience.family, "background": elsewhere.family,
                  "camera": phone.family, "kind": kind},
    )  # fmt: skip
    return ComposedPhoto(pixels, np.zeros((height, width), np.uint8), truth, phone.jpeg_quality)


def _with_families(truth: PhotoTruth, families: dict[str, str]) -> PhotoTruth:
    from dataclasses import replace

    return replace(truth, families=families)
