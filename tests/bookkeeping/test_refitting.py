"""The window for pollen from a store's own seed set."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest

from spikecheck.bookkeeping.refitting import refit_of, take_refit
from spikecheck.bookkeeping.season_of_store import season_of
from spikecheck.errors import UsageError
from spikecheck.vocabulary import CrossingSession, Step
from spikecheck.vocabulary.steps import Bagged, Emasculated, Harvested, Pollinated, Threshed
from spikecheck.vocabulary.temperatures import Constant
from tests.bookkeeping.invented import CUT, DAY, NOW
from tests.season.refit.simulated import Truth, drawn

AIR_C = 20.0
TRUTH = Truth(best=60.0, width=30.0)


def grow(store, spikes, place="Chamber"):
    """Record spikes whose seed set follows ``TRUTH``, in a chamber at 20 degrees C."""
    start = CUT - 40 * DAY
    store.sessions.add(CrossingSession("S-1", start.date(), place, ("Ida",)))
    room = Constant(AIR_C, start - DAY, NOW)
    store.temperatures.add("Chamber", room, zone="UTC", by="Ida")
    for one in drawn(np.random.default_rng(7), TRUTH, spikes):
        pollinated = start + timedelta(days=one.degree_days / AIR_C)
        way = [
            Step(Emasculated(one.florets, 3 * one.florets), start, "Ida", "S-1"),
            Step(Bagged("no camera"), start, "Ida"),
            Step(Pollinated("Olmo"), pollinated, "Ida"),
            Step(Harvested(), CUT, "Ida"),
            Step(Threshed(one.seeds, one.florets), CUT, "Ida"),
        ]
        store.spikes.add_all([("C-1", one.spike + 1, step) for step in way])


def test_too_few_spikes_say_nothing_and_change_nothing(store):
    grow(store, 5)
    season = season_of(store, now=NOW)
    refit = refit_of(season, "wheat")
    assert (refit.spikes, refit.estimate) == (5, None)
    assert "5 spikes with known seed set, 20 are needed" in refit.statement
    before = store.verify().head
    with pytest.raises(UsageError, match="Too little to say") as refused:
        take_refit(season, "wheat", refit, by="Ida")
    assert refused.value.cure
    assert (store.verify().head, store.numbers.all()) == (before, ())


def test_the_estimate_of_a_simulated_season_is_taken_and_holds(store):
    """Seed set drawn from a curve whose best time is 60 degree-days."""
    grow(store, 60)
    season = season_of(store, now=NOW)
    before = season.numbers("wheat")
    refit = refit_of(season, "wheat")
    assert refit.spikes == 60
    best = refit.estimate.best
    assert best.low <= TRUTH.best <= best.high
    assert best.value == pytest.approx(TRUTH.best, abs=10)
    assert season.numbers("wheat") == before, "estimating changes nothing"
    taken = take_refit(season, "wheat", refit, by="Bo")
    held = season_of(store, now=NOW).numbers("wheat")
    assert held == taken
    assert held.receptive_best == round(best.value) != before.receptive_best
    assert held.receptive_first < held.receptive_best < held.receptive_last
    assert held.valid_clean == before.valid_clean
    assert {change.reason for change in store.numbers.all()} == {refit.statement}
    assert {change.by for change in store.numbers.all()} == {"Bo"}
    assert season.numbers("barley").receptive_best != round(best.value)
    assert store.verify().faults == ()


def test_without_a_name_nothing_is_taken(store):
    grow(store, 60)
    season = season_of(store, now=NOW)
    refit = refit_of(season, "wheat")
    with pytest.raises(UsageError, match="who changes is empty"):
        take_refit(season, "wheat", refit, by="")
    assert store.numbers.all() == ()


def test_spikes_without_measured_temperatures_or_of_another_crop_do_not_count(store):
    grow(store, 25, place="elsewhere")
    season = season_of(store, now=NOW)
    assert refit_of(season, "wheat").spikes == 0
    assert refit_of(season, "barley").spikes == 0
