"""Draws what was found over the photo, to be understood at a glance."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import cv2
import numpy as np

from spikecheck.imaging.anther_marks import AntherMark, anther_marks, letters_of
from spikecheck.imaging.canvas import Canvas, text_width_px
from spikecheck.imaging.captions import Headline, headline_strip, legend_strip, tag_words
from spikecheck.imaging.labels import label_places, spike_direction
from spikecheck.imaging.marks import INK, MARKS, PAPER, VERMILLION
from spikecheck.imaging.view import View, choose_view
from spikecheck.vocabulary.floret import FloretStatus
from spikecheck.vocabulary.verdict import Verdict

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from spikecheck.vocabulary.check_result import PhotoResult
    from spikecheck.vocabulary.geometry import Point
    from spikecheck.vocabulary.photo import Photo
    from spikecheck.vocabulary.seen_tag import SeenTag
    from spikecheck.vocabulary.spike import Spike
    from spikecheck.vocabulary.verdict import Reason

OVERLAY_LONGEST_PX = 2400
_NARROWEST_PX = 900  # the strips need this much to be read
_TEXT_SHARE = 1 / 50  # height of text, share of the shown part's longer side
_TEXT_PX = (20, 36)
_MARK_SHARE = 0.42  # radius of a floret's mark, share of the floret's shorter side,
_MARK = (0.35, 1.6)  # within these shares of the height of text
_LABEL_HEIGHT = 1.25  # heights of text
_TAG_WORDS_OUT = 0.6  # of the way from the middle of a tag to its corner
_CORNER_SHARE = 0.3  # length of an anther's corner strokes, share of its shorter side


def draw_overlay(
    photo: Photo,
    result: PhotoResult,
    *,
    verdict: Verdict | None = None,
    reasons: Sequence[Reason] = (),
) -> NDArray[np.uint8]:
    """Draw spike, florets and anthers over ``photo``, a headline above and a legend below.

    Parameters
    ----------
    photo
        The photo.
    result
        What was seen and concluded in it.
    verdict
        The spike's verdict; left out of the headline when None.
    reasons
        Those that concern this photo, most urgent first; without any, the photo's problems are
        told.

    Returns
    -------
    ndarray of uint8, shape (rows, columns, 3)
        RGB; neither side is longer than 2400 px.
    """
    view = choose_view(photo, result)
    size_px = int(np.clip(max(view.rows, view.columns) * _TEXT_SHARE, *_TEXT_PX))
    picture = _picture(photo, result, view, size_px)
    messages = [reason.message for reason in reasons]
    messages = messages or [problem.advice for problem in result.quality.problems]
    if not messages and verdict is Verdict.REVIEW:
        messages = ["Nothing to go back to in this photo."]
    width_px = picture.shape[1]
    overlay = np.concatenate([
        headline_strip(Headline(verdict, messages), width_px=width_px, size_px=size_px),
        picture,
        legend_strip(result, width_px=width_px, size_px=size_px),
    ])  # fmt: skip
    return _fitted(overlay)


@dataclass(frozen=True, slots=True)
class _Layout:
    """Where everything goes in the picture: text height, floret marks, labels and what they say."""

    view: View
    shift: NDArray[np.float64]
    size_px: int
    marks: NDArray[np.float64]
    labels: NDArray[np.float64]
    words: list[str]
    widths: NDArray[np.float64]

    def place(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        return self.view.place(points) + self.shift

    def place_inside(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        return self.view.place_inside(points) + self.shift


def _picture(photo: Photo, result: PhotoResult, view: View, size_px: int) -> NDArray[np.uint8]:
    """Return the shown part with everything drawn, widened where labels need room."""
    marks = view.place_inside(_array([judged.floret.centre for judged in result.florets]))
    spike = result.findings.spike
    words = [
        " ".join([judged.floret.id, *letters_of(judged, result.findings.marks)])
        for judged in result.florets
    ]
    widths = np.array([text_width_px(text, size_px=size_px) + 1.9 * size_px for text in words])
    label = (_LABEL_HEIGHT * size_px, float(widths.max(initial=0)))
    labels = label_places(
        marks,
        edges=np.empty((0, 2)) if spike is None else view.place_inside(spike.outline),
        direction=spike_direction(None if spike is None else spike.axis),
        size=label,
        gap_px=1.5 * size_px,
    )
    # Labels narrower than their place move towards the spike, so that a column lines up there.
    labels[:, 1] += np.sign(marks[:, 1] - labels[:, 1]) * (label[1] - widths) / 2
    before, after = _room(view, labels, label)
    shift = np.array(before, np.float64)
    layout = _Layout(view, shift, size_px, marks + shift, labels + shift, words, widths)
    wider = cv2.copyMakeBorder(
        view.cut(photo), before[0], after[0], before[1], after[1], cv2.BORDER_CONSTANT, value=PAPER
    )
    canvas = Canvas(np.asarray(wider, np.uint8))
    for tag in result.tags:
        _draw_tag(canvas, tag, layout)
    if spike is not None:
        _draw_spike(canvas, spike, layout)
    anthers = anther_marks(result.findings.marks, layout.place_inside)
    _draw_floret_marks(canvas, result, layout, anthers)
    told = {judged.floret.id for judged in result.florets if judged.status is FloretStatus.ANTHER}
    for mark in anthers:
        _draw_anther(canvas, mark, layout, labelled=mark.floret in told)
    _draw_labels(canvas, result, layout)
    if spike is not None:
        _draw_ends(canvas, spike, layout)
    return canvas.pixels


def _room(
    view: View, labels: NDArray[np.float64], label: tuple[float, float]
) -> tuple[tuple[int, int], tuple[int, int]]:
    """Return the rows and columns to add before and after the shown part."""
    shown = np.array([view.rows, view.columns])
    half = np.array(label) / 2 + 4
    low = np.minimum(0, (labels - half).min(axis=0, initial=0))
    high = np.maximum(shown, (labels + half).max(axis=0, initial=0))
    lacking = max(0.0, _NARROWEST_PX - float(high[1] - low[1])) / 2
    before, after = np.ceil(-low).astype(int), np.ceil(high - shown).astype(int)
    side = int(np.ceil(lacking))
    return (int(before[0]), int(before[1]) + side), (int(after[0]), int(after[1]) + side)


def _draw_spike(canvas: Canvas, spike: Spike, layout: _Layout) -> None:
    canvas.line(layout.place(spike.outline), colour=INK, width_px=2, closed=True, rim_px=1)
    canvas.line(layout.place(spike.axis), colour=INK, width_px=1, rim_px=1)


def _draw_tag(canvas: Canvas, tag: SeenTag, layout: _Layout) -> None:
    """Draw the outline of a cross tag and write its code in it; nothing where it is out of view."""
    inside = layout.place_inside(tag.outline)
    if np.ptp(inside, axis=0).min() < layout.size_px:
        return
    canvas.line(layout.place(tag.outline), colour=INK, width_px=2, closed=True, rim_px=1)
    words = tag_words(tag)
    half = text_width_px(words, size_px=layout.size_px) / 2
    middle = inside.mean(axis=0)
    # Where the labels of florets leave most room: those are drawn over it.
    places = np.concatenate([middle[None], middle + _TAG_WORDS_OUT * (inside - middle)])
    away = np.hypot(*(places[:, None] - layout.labels[None]).transpose(2, 0, 1))
    row, column = places[int(np.argmax(away.min(axis=1, initial=np.inf)))]
    right = canvas.pixels.shape[1] - 2 * half - 6
    left = float(np.clip(column - half, 6, max(right, 6)))
    canvas.tag(words, (float(row), left), size_px=layout.size_px)


def _draw_ends(canvas: Canvas, spike: Spike, layout: _Layout) -> None:
    """Write which end is the base and which the tip, just beyond the ends of the axis."""
    small = round(0.8 * layout.size_px)
    beyond = spike_direction(spike.axis).along * 1.5 * layout.size_px
    ends = layout.place_inside(spike.axis[[0, -1]]) + np.stack([-beyond, beyond])
    for word, (row, column) in zip(("base", "tip"), ends, strict=True):
        canvas.tag(word, (row, column - text_width_px(word, size_px=small) / 2), size_px=small)


def _draw_floret_marks(
    canvas: Canvas, result: PhotoResult, layout: _Layout, anthers: Sequence[AntherMark]
) -> None:
    """Draw hollow marks on the florets, so that one can look into them, and the leading lines.

    A floret whose anthers are marked gets a line to them alone: a mark would cover them.
    """
    for judged, centre, middle in zip(result.florets, layout.marks, layout.labels, strict=True):
        sign = MARKS[judged.status]
        own = [mark for mark in anthers if mark.floret == judged.floret.id]
        if judged.status is FloretStatus.ANTHER and own:
            ends = [mark.nearest(middle) for mark in own]
            end = min(ends, key=lambda end: float(np.hypot(*(end - middle))))
            canvas.line(np.stack([end, middle]), colour=sign.colour, width_px=1, rim_px=1)
            continue
        box = judged.floret.box
        shorter_px = min(box.bottom - box.top, box.right - box.left) * layout.view.scale
        radius_px = float(np.clip(_MARK_SHARE * shorter_px, *np.multiply(_MARK, layout.size_px)))
        toward = middle - centre
        away_px = float(np.hypot(*toward))
        if away_px > radius_px:
            start = centre + toward * radius_px / away_px
            canvas.line(np.stack([start, middle]), colour=sign.colour, width_px=1, rim_px=1)
        canvas.mark(
            sign.shape,
            (centre[0], centre[1]),
            radius_px=radius_px,
            colour=sign.colour,
            width_px=2 if judged.status is FloretStatus.CLEAR else 4,
        )


def _draw_labels(canvas: Canvas, result: PhotoResult, layout: _Layout) -> None:
    """Draw the florets' marks beside the spike, filled, with ids and letters of the anthers."""
    size_px = layout.size_px
    height = _LABEL_HEIGHT * size_px
    for judged, words, width, (row, column) in zip(
        result.florets, layout.words, layout.widths, layout.labels, strict=True
    ):
        sign = MARKS[judged.status]
        left = column - width / 2
        canvas.plate(row - height / 2 + 1, left, row + height / 2 - 1, left + width)
        mark = (row, left + 0.75 * size_px)
        canvas.mark(sign.shape, mark, radius_px=0.42 * size_px, colour=sign.colour, filled=True)
        canvas.text(words, (row, left + 1.5 * size_px), size_px=size_px)


def _draw_anther(canvas: Canvas, mark: AntherMark, layout: _Layout, *, labelled: bool) -> None:
    """Draw four corners about anthers; the letters beside them where no floret's label has them."""
    stroke = max(4.0, _CORNER_SHARE * min(mark.bottom - mark.top, mark.right - mark.left))
    for row, down in ((mark.top, stroke), (mark.bottom, -stroke)):
        for column, inwards in ((mark.left, stroke), (mark.right, -stroke)):
            corner = np.array([[row + down, column], [row, column], [row, column + inwards]])
            canvas.line(corner, colour=VERMILLION, width_px=2, rim_px=2)
    if not labelled:
        small = round(0.8 * layout.size_px)
        words = ", ".join(mark.letters)
        canvas.tag(words, (mark.top - 0.5 * small, mark.right + 8), size_px=small)


def _array(points: list[Point]) -> NDArray[np.float64]:
    return np.array([(p.row, p.column) for p in points], np.float64).reshape(-1, 2)


def _fitted(overlay: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Shrink to at most 2400 px on the longer side."""
    rows, columns = overlay.shape[:2]
    shrink = OVERLAY_LONGEST_PX / max(rows, columns)
    if shrink >= 1:
        return overlay
    size = (max(1, round(columns * shrink)), max(1, round(rows * shrink)))
    return np.asarray(cv2.resize(overlay, size, interpolation=cv2.INTER_LINEAR), np.uint8)
