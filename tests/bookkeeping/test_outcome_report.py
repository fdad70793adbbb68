"""Outcomes of a store against counts worked out by hand."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from spikecheck.bookkeeping.outcome_report import outcome_report
from spikecheck.errors import StoreError, UsageError
from spikecheck.outcomes import By, Measure, Standing
from spikecheck.vocabulary import SpikeRecord, Verdict
from spikecheck.vocabulary.steps import (
    Bagged,
    Emasculated,
    Harvested,
    KeptAsControl,
    Pollinated,
    SeedTested,
    ThirdCount,
    Threshed,
)
from tests.bookkeeping.invented import CUT, DAY, HOUR, checked, did
from tests.plans import planned


def ended(store, spike, detail, *, control=False, by="Ida", verdict=None, risk=None, tested=None):
    """Take a spike all the way to a count of its seed."""
    did(store, spike, Emasculated(30, 90), by=by)
    if verdict is not None:
        result = json.dumps({} if risk is None else {"risk": risk})
        checked(store, spike, CUT + HOUR, verdict=verdict, result=result)
    did(store, spike, Bagged("" if verdict else "no camera"), CUT + HOUR)
    if control:
        did(store, spike, KeptAsControl(), CUT + HOUR)
    else:
        did(store, spike, Pollinated("Olmo"), CUT + 3 * DAY, by="Bo")
    did(store, spike, Harvested(), CUT + 5 * DAY)
    did(store, spike, detail, CUT + 6 * DAY)
    if tested is not None:
        did(store, spike, SeedTested(*tested), CUT + 6 * DAY)


def rates(report):
    return {rate.measure: (rate.events, rate.trials, rate.spikes) for rate in report.rates}


def grouped(report, measure):
    return {
        rate.name: (rate.events, rate.trials) for rate in report.grouped if rate.measure is measure
    }


@pytest.fixture
def harvested(store):
    """Four crossed spikes, 12 + 9 + 15 + 6 of 20 + 18 + 25 + 20 florets, two of them tested with
    1 of 10 and 0 of 8 seeds selfed; two controls with 1 of 30 and 0 of 28."""
    ended(store, 1, Threshed(12, 20), tested=(10, 1))
    ended(store, 2, Threshed(9, 18), by="Bo", tested=(8, 0))
    thirds = (ThirdCount(4, 8), ThirdCount(9, 10), ThirdCount(2, 7))
    ended(store, 3, Threshed(15, 25, thirds), by="Bo")
    ended(store, 4, Threshed(6, 20))
    ended(store, 5, Threshed(1, 30), control=True)
    ended(store, 6, Threshed(0, 28), control=True, by="Bo")
    return store


def test_counts_are_those_of_the_spikes(harvested):
    report = outcome_report(harvested, bound=0.05)
    assert rates(report) == {
        Measure.SEED_SET: (42, 83, 4),
        Measure.SELFING: (1, 58, 2),
        Measure.SELFED_SEED: (1, 18, 2),
    }
    assert (report.controls_seen, report.grouped, report.promises) == (58, (), ())
    text = "\n".join(report.sentences)
    assert "42 of 83 florets set seed, 51 %" in text
    assert "1 of 58 control florets set selfed seed, 1.7 %" in text
    assert "1 of 18 tested seeds selfed, 5.6 %" in text
    # (1 / 58) / (42 / 83): seed of controls a floret, by seed of crosses a floret.
    assert "3.4 %" in report.expected


def test_apart_by_technician_and_third(harvested):
    report = outcome_report(harvested, by=By.TECHNICIAN, bound=0.05)
    assert grouped(report, Measure.SEED_SET) == {"Ida": (18, 40), "Bo": (24, 43)}
    assert grouped(report, Measure.SELFING) == {"Ida": (1, 30), "Bo": (0, 28)}
    assert grouped(report, Measure.SELFED_SEED) == {"Ida": (1, 10), "Bo": (0, 8)}
    assert rates(report)[Measure.SEED_SET] == (42, 83, 4)
    thirds = grouped(outcome_report(harvested, by=By.THIRD, bound=0.05), Measure.SEED_SET)
    assert thirds == {"basal": (4, 8), "central": (9, 10), "apical": (2, 7)}


def test_of_one_cross_alone(harvested):
    harvested.plans.add(planned("D-1"))
    report = outcome_report(harvested, bound=0.05, cross="D-1")
    assert report.rates == ()
    assert report.sentences[0].startswith("No spike is threshed yet")
    assert rates(outcome_report(harvested, bound=0.05, cross="C-1"))[Measure.SEED_SET][0] == 42


@pytest.mark.parametrize(("bound", "florets"), [(0.05, 59), (0.01, 299)])
def test_controls_that_show_a_bound(store, bound, florets):
    """The least n with (1 - bound)^n of 0.05 or less: 0.95^59 = 0.0485 and 0.95^58 = 0.0510;
    0.99^299 = 0.0495 and 0.99^298 = 0.0500003 (Clopper & Pearson 1934)."""
    assert outcome_report(store, bound=bound).controls_needed == florets
    ended(store, 1, Threshed(0, 30), control=True)
    report = outcome_report(store, bound=bound)
    assert report.controls_needed == florets - 30
    assert f"takes {florets - 30} more control florets to the 30 there are" in report.sentences[-1]


def test_a_bound_that_is_shown_needs_no_more(store):
    ended(store, 1, Threshed(0, 30), control=True)
    ended(store, 2, Threshed(0, 29), control=True)
    report = outcome_report(store, bound=0.05)
    assert report.controls_needed == 0
    assert report.sentences[-1].startswith("Control florets show that selfing is at most 5 %")


def test_controls_that_differ_show_no_bound_floret_by_floret(store):
    """4 of 210 florets: one-sided upper limit 4.3 %; but all four come from one spike of seven."""
    ended(store, 1, Threshed(4, 30), control=True)
    for spike in range(2, 8):
        ended(store, spike, Threshed(0, 30), control=True)
    report = outcome_report(store, bound=0.05)
    assert (report.controls_seen, report.controls_needed) == (210, 0)
    assert "by spike it is" in report.sentences[0]
    assert "it is not shown. It takes more control spikes." in report.sentences[-1]
    apart = outcome_report(store, by=By.TECHNICIAN, bound=0.05).sentences
    assert apart[1].startswith("Selfing in control spikes (Ida): 4 of 210 control florets")
    assert "so the interval is too narrow: by spike it is" in apart[1]
    wide = outcome_report(store, bound=0.5).sentences[-1]
    assert wide == (
        "Control florets show that selfing is at most 50 % (95 %, one-sided, florets taken one by "
        "one)."
    )


RISK = {"p_leftover": 0.02, "expected_selfed_share": 0.1}


def test_what_passes_promised_stands_beside_what_came_of_those_spikes(store):
    ended(store, 1, Threshed(10, 20), verdict=Verdict.PASS, risk=RISK, tested=(10, 6))
    risk = {"p_leftover": 0.04, "expected_selfed_share": 0.2}
    ended(store, 2, Threshed(12, 20), verdict=Verdict.PASS, risk=risk, tested=(10, 6))
    # Nothing came of this one yet, so that its risk is no part of the promise.
    ended(store, 3, Threshed(12, 20), verdict=Verdict.PASS, risk={**RISK, "p_leftover": 0.9})
    leftover, selfed = outcome_report(store, bound=0.05).promises
    assert leftover.promise.high == pytest.approx(0.03)
    assert (leftover.came.events, leftover.came.trials) == (2, 2)
    assert leftover.standing is Standing.BROKEN
    assert selfed.promise.high == pytest.approx(0.15)
    assert (selfed.came.events, selfed.came.trials) == (12, 20)
    assert selfed.standing is Standing.BROKEN
    text = "\n".join(outcome_report(store, bound=0.05).sentences)
    assert "Promised: at most 15 % of the seed of passed spikes is selfed." in text
    assert "12 of 20 tested seeds selfed, 60 %" in text


def test_a_promise_is_about_the_spikes_and_the_seed_that_were_counted(store):
    """Of seed: (10 * 0.1 + 2 * 0.4) / 12 = 0.15 of the tested ones, whatever a control promised,
    which has no seed of the cross. Of spikes: the third one promised nothing and is in no count."""
    ended(store, 1, Threshed(10, 20), verdict=Verdict.PASS, risk=RISK, tested=(10, 0))
    risk = {"p_leftover": 0.02, "expected_selfed_share": 0.4}
    ended(store, 2, Threshed(12, 20), verdict=Verdict.PASS, risk=risk, tested=(2, 0))
    ended(store, 3, Threshed(9, 20), verdict=Verdict.PASS, tested=(9, 9))
    risk = {"p_leftover": 0.05, "expected_selfed_share": 0.9}
    ended(store, 4, Threshed(0, 20), verdict=Verdict.PASS, risk=risk, control=True)
    leftover, selfed = outcome_report(store, bound=0.05).promises
    assert leftover.promise.high == pytest.approx(0.03)
    assert (leftover.came.events, leftover.came.trials) == (0, 3)
    assert selfed.promise.high == pytest.approx(0.15)
    assert (selfed.came.events, selfed.came.trials) == (0, 12)


def test_an_overridden_review_promised_nothing(store):
    did(store, 1, Emasculated(20, 60))
    check = checked(store, 1, CUT, verdict=Verdict.REVIEW, result=json.dumps({"risk": RISK}))
    store.override(check.id, "Ida", "palea", at=CUT)
    did(store, 1, Bagged(), CUT + HOUR)
    did(store, 1, Pollinated("Olmo"), CUT + DAY)
    did(store, 1, Harvested(), CUT + 2 * DAY)
    did(store, 1, Threshed(9, 20), CUT + 3 * DAY)
    did(store, 1, SeedTested(9, 9), CUT + 3 * DAY)
    assert outcome_report(store, bound=0.05).promises == ()


def test_a_result_without_risk_promises_nothing(store):
    ended(store, 1, Threshed(10, 20), verdict=Verdict.PASS, tested=(10, 5))
    none = {"p_leftover": None, "expected_selfed_share": None}
    ended(store, 2, Threshed(10, 20), verdict=Verdict.PASS, risk=none, tested=(10, 5))
    assert outcome_report(store, bound=0.05).promises == ()


def test_spikes_that_no_count_holds_are_named_ten_at_most(store):
    several = tuple(SpikeRecord("C-1", n, "wheat", "Ferra", "Olmo") for n in range(1, 12))
    report = outcome_report(store, bound=0.05)
    assert report.left_out == ()
    ten = replace(report, left_out=several[:10]).sentences[-1]
    assert ten.startswith("In no count, neither pollinated nor kept as controls: C-1/1, C-1/2, ")
    assert ten.endswith("C-1/9, C-1/10.")
    assert replace(report, left_out=several).sentences[-1].endswith("C-1/10 and more.")


@pytest.mark.parametrize("bound", [0.0, 1.0, -0.1, 5.0, float("nan")])
def test_a_bound_that_cannot_be_is_refused(store, bound):
    with pytest.raises(UsageError, match="between 0 and 1"):
        outcome_report(store, bound=bound)


def test_a_check_whose_result_is_gone_is_no_crash(harvested):
    assert list(harvested.results([999])) == []
    with pytest.raises(StoreError):
        harvested.check(999)
