"""Peaks of heat maps against the truth."""

from __future__ import annotations

import numpy as np
import pytest

torch = pytest.importorskip("torch")

from spikecheck.model_training.peaks import Matches, peaks  # noqa: E402


def logits(*scored):
    """A map of 20 x 20 cells that is cold but for (row, column, score)."""
    heat = torch.full((20, 20), 0.01)
    for row, column, score in scored:
        heat[row, column] = score
    return torch.logit(heat)


def centre(row, column):
    return np.array([[4 * row + 1.5, 4 * column + 1.5]], np.float32)


def added(matches, heat, centres, counts=True):
    count = len(centres)
    return matches.add(
        heat, centres, np.full(count, 8.0), np.full(count, counts), np.zeros(count, np.int64)
    )


def test_peaks_are_local_maxima_best_first():
    score, cells = peaks(logits((3, 4, 0.5), (3, 5, 0.4), (10, 10, 0.9), (15, 15, 0.03)))
    assert cells.tolist() == [[10, 10], [3, 4]]
    assert score.tolist() == pytest.approx([0.9, 0.5])


def test_each_object_is_found_once_and_the_rest_is_wrong():
    matches = Matches()
    pairs = added(matches, logits((5, 5, 0.8), (5, 7, 0.6), (15, 15, 0.4)), centre(5, 5))
    assert pairs == [(0, (5, 5))]
    best_first = sorted(zip(matches.scores, matches.right, strict=True), reverse=True)
    assert [right for _, right in best_first] == [True, False, False]
    assert matches.found_scores == pytest.approx([0.8])
    assert matches.best_f1() == pytest.approx((1.0, 0.8))


def test_recall_at_a_number_of_false_marks_a_photo():
    matches = Matches()
    for score in (0.9, 0.7, 0.5, 0.3):
        added(matches, logits((5, 5, score), (15, 15, 0.4)), centre(5, 5))
    assert matches.photos == 4
    # one false mark in four photos is 0.25 a photo; all four have the same score
    assert matches.recall(matches.score_at(0.0)) == 0.75
    assert matches.recall(matches.score_at(1.0)) == 1.0


def test_an_object_that_does_not_count_is_neither_found_nor_false():
    matches = Matches()
    assert added(matches, logits((5, 5, 0.8)), centre(5, 5), counts=False) == [(0, (5, 5))]
    assert (matches.scores, matches.found_scores) == ([], [])


def test_a_photo_without_objects_only_counts_wrong_ones():
    matches = Matches()
    added(matches, logits((5, 5, 0.8)), np.empty((0, 2), np.float32))
    assert matches.right == [False]
    assert np.isnan(matches.recall(0.5))
    assert matches.best_f1() == (0.0, 0.5)
