"""Calibrating a network: parts by spike, scaling that comes back, a limit that keeps its word."""

from __future__ import annotations

import tomllib
from dataclasses import replace

import numpy as np
import pytest

from spikecheck.assessment.conformal import Outcome
from spikecheck.errors import CalibrationError
from spikecheck.model_training import calibrate_network
from spikecheck.model_training.calibrate_network import (
    calibrate,
    calibration_table,
    choose_limit,
    needed_limit,
    parts,
    spike_of,
)
from spikecheck.model_training.command import run
from spikecheck.model_training.scaled_case import (
    Scalings,
    anther_outcomes,
    fit_scalings,
    floret_outcomes,
    result_of,
    scaled_case,
)
from spikecheck.networks import LogitScaling
from spikecheck.vocabulary import Calibration, QualityProblem, Verdict
from tests.model_training.cases import IDS, looked_at, sigmoid, world

LOW = dict.fromkeys(IDS, -8.0)


def test_scores_are_scaled_each_with_its_own_numbers():
    case = looked_at("a.jpg", {**LOW, "L1": 2.0}, marks={"R2": -1.0})
    scalings = Scalings(LogitScaling(0.5, 1.0), LogitScaling(2.0, -0.5))
    seen = scaled_case(case, scalings).findings
    assert seen.florets[0].p_anther == pytest.approx(sigmoid(0.5 * 2.0 + 1.0))
    assert seen.anthers[0].score == pytest.approx(sigmoid(2.0 * -1.0 - 0.5))


def test_what_really_is_there_is_read_off_the_truth():
    case = looked_at("a.jpg", {**LOW, "L1": 2.0}, holding={"L1": 0.5}, marks={"L1": 3.0, "R2": 1.0})
    florets, marks = floret_outcomes([case]), anther_outcomes([case])
    assert florets.happened.tolist() == [one == "L1" for one in IDS]
    assert florets.logits == pytest.approx([2.0 if one == "L1" else -8.0 for one in IDS])
    assert dict(zip(marks.logits.round(6), marks.happened, strict=True)) == {3.0: True, 1.0: False}


def test_photos_that_cannot_be_judged_teach_nothing():
    blurred = looked_at("a.jpg", LOW, marks={"L1": 1.0}, problems=(QualityProblem.DEFOCUS,))
    unmarked = replace(blurred, truth=replace(blurred.truth, problems=(), complete=False))
    assert len(floret_outcomes([blurred, unmarked]).logits) == 0
    assert len(anther_outcomes([blurred, unmarked]).logits) == 0


def test_scaling_finds_the_log_odds_of_a_known_world():
    """Normal logits of equal spread: log-odds are linear in them, with slope 8 / 8 and the prior's

    odds, 1 floret with an anther in 20, as offset (Bayes' rule for two normal classes).
    """
    scalings = fit_scalings(world(1, 1500, stretch=2.0))
    assert scalings.floret.a == pytest.approx(0.5, abs=0.06)
    assert scalings.floret.b == pytest.approx(np.log(1 / 19), abs=0.4)


def test_photos_of_one_render_are_one_spike_and_stay_together():
    cases = [looked_at(f"s{n:07d}-{k}.jpg", LOW) for n in range(40) for k in range(3)]
    first, second = parts(cases)
    assert {spike_of(case) for case in first}.isdisjoint(spike_of(case) for case in second)
    assert len(first) % 3 == len(second) % 3 == 0
    assert 0.12 < len(first) / len(cases) < 0.4  # a quarter, of 40 spikes


def test_a_named_spike_is_its_name_and_any_other_photo_a_spike_of_its_own():
    case = looked_at("s0000001-1.jpg", LOW)
    assert spike_of(case) == "s0000001"
    assert spike_of(replace(case, truth=replace(case.truth, spike="plot 7"))) == "plot 7"
    assert spike_of(replace(case, file="IMG_1.jpg")) == "IMG_1.jpg"


def test_the_limit_keeps_its_word_on_spikes_it_never_saw():
    passed = []
    for seed in range(10):
        found = calibrate(world(10 + seed, 200), alpha=0.05)
        assert found.control.outcome is Outcome.CHOSEN
        limit = Calibration("x", found.control.limit, 0, 0, 1.0, 1.0, "0" * 64)
        others = [scaled_case(case, found.scalings) for case in world(99 + seed, 200, share=1.0)]
        answers = [result_of(case, limit) for case in others]
        passed.append(np.mean([answer.verdict is Verdict.PASS for answer in answers]))
    assert 0 < np.mean(passed) <= 0.05 + 4 * np.std(passed) / np.sqrt(len(passed))
    assert found.clean_passed / found.clean > 0.5


def test_the_whole_verdict_is_asked_at_each_limit():
    """A spike whose florets together are too doubtful passes at no limit."""
    doubtful = [looked_at(f"a{n}.jpg", dict.fromkeys(IDS, -1.0), holding={"L1": 1.0})
                for n in range(10)]  # fmt: skip
    sure = [looked_at(f"b{n}.jpg", {**LOW, "L1": 3.0}, holding={"L1": 1.0}) for n in range(10)]
    control = choose_limit([*doubtful, *sure], alpha=0.1)
    assert (control.outcome, control.spikes, control.passed) == (Outcome.CHOSEN, 20, 0)


def test_the_limit_is_no_laxer_than_clean_spikes_need():
    """Leftovers that all score high certify a lax limit; clean spikes do without it."""
    sure = [looked_at(f"b{n}.jpg", {**LOW, "L1": 9.0}, holding={"L1": 1.0}) for n in range(20)]
    clean = [looked_at(f"c{n}.jpg", {**LOW, "R1": -1.0 if n < 10 else -6.0}) for n in range(300)]
    needed = needed_limit([*clean, *sure], Scalings())
    assert needed == pytest.approx(sigmoid(-1.0))  # 3 % of the clean ones score this
    assert needed_limit(clean[10:], Scalings()) == 0.1  # from here on an uncalibrated mark counts
    assert choose_limit(sure, alpha=0.1, most=needed).limit == needed
    assert choose_limit(sure, alpha=0.1).limit > 0.99


def test_a_limit_that_clean_spikes_need_is_never_laxer_than_the_certified_one():
    weak = [looked_at(f"b{n}.jpg", {**LOW, "L1": -2.0}, holding={"L1": 1.0}) for n in range(20)]
    assert choose_limit(weak, alpha=0.1, most=0.9).limit < sigmoid(-2.0)


def test_spikes_that_go_to_review_for_another_reason_do_not_count():
    cases = world(3, 400)
    hidden = [
        looked_at(f"s{5000 + n:07d}-0.jpg", LOW, holding={"L3": 1.0}, hidden="R5")
        for n in range(200)
    ]
    plain, more = calibrate(cases, alpha=0.05), calibrate([*cases, *hidden], alpha=0.05)
    assert more.control.spikes == plain.control.spikes
    assert more.held_back - plain.held_back > 60


def test_one_photo_of_a_spike_counts():
    cases = world(4, 300)
    again = [replace(case, file=case.file.replace("-0", "-1")) for case in cases]
    once, twice = calibrate(cases, alpha=0.05), calibrate([*cases, *again], alpha=0.05)
    assert twice.control.spikes == once.control.spikes


def test_a_spike_counts_with_a_photo_of_which_nothing_else_is_wrong():
    good = looked_at("s0000007-1.jpg", LOW, holding={"L3": 1.0})
    hidden = looked_at("s0000007-0.jpg", LOW, holding={"L3": 1.0}, hidden="R5")
    cases = world(8, 300)
    alone, both = (
        calibrate([*cases, good], alpha=0.05),
        calibrate([*cases, hidden, good], alpha=0.05),
    )
    assert both.control.spikes == alone.control.spikes


def test_marks_that_are_all_anthers_keep_their_raw_scores():
    cases = [looked_at(f"s{n:07d}-0.jpg", {**LOW, "L1": 2.0 if n % 2 else -8.0},
                       holding={"L1": 1.0} if n % 2 else None,
                       marks={"L1": 2.0} if n % 2 else None) for n in range(20)]  # fmt: skip
    assert fit_scalings(cases).anther == LogitScaling(1.0, 0.0)


def test_an_error_of_a_command_is_one_line_and_ends_with_two(capsys):
    def fails() -> None:
        raise CalibrationError("too few", where="set", cure="Use more")

    with pytest.raises(SystemExit) as ending:
        run(fails)
    assert ending.value.code == 2
    assert capsys.readouterr().err == "set: too few. Use more\n"


def test_too_few_for_the_wish_take_one_in_a_hundred_and_too_few_for_that_none():
    some = calibrate(world(5, 400), alpha=0.005)  # about 150 leftover spikes in the second part
    assert 99 <= some.control.spikes < 199
    assert some.control.alpha == 0.01
    few = calibrate(world(5, 200), alpha=0.005)
    assert few.control.outcome is Outcome.TOO_FEW
    table = tomllib.loads(calibration_table(few, name="x", sha256="0" * 64))
    assert set(table) == {"floret_a", "floret_b", "anther_a", "anther_b"}


@pytest.fixture
def network(tmp_path):
    from tests.networks.colour_networks import save_florets, save_overview

    save_overview(tmp_path, px_per_mm_in_square=5.0)
    save_florets(tmp_path)
    return tmp_path / "florets" / "1"


def test_the_command_writes_scaling_limit_and_what_they_rest_on(
    network, tmp_path, monkeypatch, caplog
):
    from spikecheck.networks import read_manifest

    cases = world(6, 1000)
    photos = tmp_path / "set"
    photos.mkdir()
    for case in cases:
        (photos / case.file).write_bytes(case.file.encode())
        (photos / case.file).with_suffix(".json").write_bytes(b"{}")
    monkeypatch.setattr(calibrate_network, "look_at_set", lambda *_, **__: cases)
    before = read_manifest(network / "model.toml")
    calibrate_network.main([str(photos), str(network), "--name", "drawn"])
    after = read_manifest(network / "model.toml")
    limit = after.pass_limit()
    assert (limit.name, limit.alpha) == ("drawn", 0.005)
    assert limit.spikes >= 199
    assert limit.bound == (limit.passed + 1) / (limit.spikes + 1) <= 0.005
    assert after.numbers(LogitScaling, "calibration", prefix="floret_").a == pytest.approx(
        1.0, abs=0.2
    )
    assert (after.tuned, after.sha256) == (before.tuned, before.sha256)


def test_the_command_says_when_there_are_too_few(network, tmp_path, monkeypatch):
    from spikecheck.networks import read_manifest

    cases = world(7, 100)
    for case in cases:
        (tmp_path / case.file).write_bytes(b"x")
        (tmp_path / case.file).with_suffix(".json").write_bytes(b"{}")
    monkeypatch.setattr(calibrate_network, "look_at_set", lambda *_, **__: cases)
    with pytest.raises(CalibrationError, match=r"too few with \d+ leftover spikes"):
        calibrate_network.main([str(tmp_path), str(network)])
    assert read_manifest(network / "model.toml").pass_limit() is None


def test_a_network_that_tells_nothing_keeps_raw_scores_and_no_limit(network, tmp_path, monkeypatch):
    from spikecheck.networks import read_manifest

    cases = [looked_at(f"s{n:07d}-0.jpg", LOW) for n in range(20)]
    monkeypatch.setattr(calibrate_network, "look_at_set", lambda *_, **__: cases)
    with pytest.raises(CalibrationError, match="anther"):
        calibrate_network.main([str(tmp_path), str(network)])
    manifest = read_manifest(network / "model.toml")
    for kind in ("floret_", "anther_"):
        assert manifest.numbers(LogitScaling, "calibration", prefix=kind) == LogitScaling(1.0, 0.0)
    assert manifest.pass_limit() is None
