"""From what is known of a photo to what is asked of a person who practises with it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from spikecheck.errors import UsageError
from spikecheck.labelling.florets import FRONT_SHARE, place_on_spike, usual_side_px
from spikecheck.language import _
from spikecheck.practice import Item, LeftoverAnther, worth_showing
from spikecheck.vocabulary import AntherStage, QualityProblem, Side

if TYPE_CHECKING:
    from spikecheck.thresholds.practice import PracticeThresholds
    from spikecheck.vocabulary import PhotoTruth, TrueAnther


def item_of(truth: PhotoTruth, photo: str, numbers: PracticeThresholds) -> Item:
    """Return what a person is asked about one photo.

    An anther of which nothing shows is not asked for.

    Parameters
    ----------
    truth
        What is known of it.
    photo
        The id it gets.
    numbers
        Thresholds of practice.

    Raises
    ------
    UsageError
        If the photo cannot be used; its text says why in a few words.
    """
    problems = truth.problems or ()
    if not truth.complete:
        raise UsageError(_("its marking is not finished"))
    if QualityProblem.NO_SPIKE in problems:
        raise UsageError(_("it shows no spike"))
    if problems:
        raise UsageError(_("the photo itself cannot be judged"))
    if truth.px_per_mm is None:
        raise UsageError(_("its scale is not known"))
    seen = [one for one in truth.anthers if one.visible_area_mm2 != 0]
    if truth.anthers and not seen:
        raise UsageError(_("what is left does not show"))
    item = Item(photo, truth.px_per_mm, tuple(_leftover(one, truth) for one in seen))
    if not worth_showing(item, numbers):
        raise UsageError(_("what is left hardly shows"))
    return item


def _leftover(anther: TrueAnther, truth: PhotoTruth) -> LeftoverAnther:
    if anther.stage is None:
        raise UsageError(_("the stage of a leftover is not told"))
    position, side = _place(anther, truth)
    return LeftoverAnther(anther.centre, anther.stage, anther.visible_area_mm2, position, side)


def _place(anther: TrueAnther, truth: PhotoTruth) -> tuple[float, Side]:
    for floret in truth.florets or ():
        if floret.id == anther.floret:
            return floret.position, floret.side
    if not truth.axis:
        raise UsageError(_("base and tip of its spike are not marked"))
    half_px = FRONT_SHARE * usual_side_px(truth.florets or (), truth)
    return place_on_spike(anther.centre, truth.axis, half_width_px=half_px)


def item_entry(item: Item) -> dict[str, object]:
    """Return ``item`` as an object for JSON; :func:`read_item` takes it back without loss."""
    return {
        "px_per_mm": item.px_per_mm,
        "leftovers": [
            {
                "row": one.centre.row,
                "column": one.centre.column,
                "stage": one.stage,
                "visible_area_mm2": one.visible_area_mm2,
                "position": one.position,
                "side": one.side,
            }
            for one in item.leftovers
        ],
    }


def read_item(photo: str, entry: dict[str, object]) -> Item:
    """Return the item written by :func:`item_entry`.

    Raises
    ------
    UsageError
        If the entry is not what that function writes.
    """
    from spikecheck.vocabulary import Point

    try:
        return Item(
            photo,
            entry["px_per_mm"],  # type: ignore[arg-type]
            tuple(
                LeftoverAnther(
                    Point(one["row"], one["column"]),
                    AntherStage(one["stage"]),
                    one["visible_area_mm2"],
                    one["position"],
                    Side(one["side"]),
                )
                for one in entry["leftovers"]  # type: ignore[attr-defined]
            ),
        )
    except (KeyError, TypeError, ValueError) as error:
        raise UsageError(f"a photo of practice cannot be read ({error})") from error
