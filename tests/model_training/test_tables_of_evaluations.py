"""Carry-over and ablation tables from evaluation files."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from spikecheck.errors import OutputError, TrainingError
from spikecheck.evaluation import PhotoOutcome, evaluation_entry, summarise
from spikecheck.model_training import ablation, carry_over, photo_table
from spikecheck.model_training.carry_over import carry_over_table, left_out
from spikecheck.model_training.evaluation_files import pooled, read_evaluation
from tests.builders import anther, findings
from tests.evaluation.cases import result_on, true_anther, truth

PASSING, REVIEWING = result_on(), result_on(findings(anthers=[anther()]))
LEFT = ("verdict", "good photos: spikes with 0.25 mm² or more of an anther in sight that pass")
FALSE = ("anthers", "good photos: false marks per photo")


def outcomes(light: str, *, leftovers: int, passed: int, clean: int = 4):
    """Leftover spikes of which some pass, and clean spikes of which one is reviewed."""
    right = truth(true_anther(area_mm2=1.0))
    answers = [PASSING] * passed + [REVIEWING] * (leftovers - passed)
    pairs = [(right, answer) for answer in answers]
    pairs += [(truth(), PASSING)] * (clean - 1) + [(truth(), REVIEWING)]
    return [
        PhotoOutcome(f"{light}{n}.jpg", replace(one, families={"light": light}), answer)
        for n, (one, answer) in enumerate(pairs)
    ]


@pytest.fixture
def file(tmp_path):
    def write(*lots) -> str:
        entry = evaluation_entry(summarise([each for lot in lots for each in lot]))
        path = tmp_path / f"{len(list(tmp_path.iterdir()))}.json"
        path.write_text(json.dumps(entry), encoding="utf-8")
        return path

    return write


def test_seen_families_are_taken_together_and_the_unseen_one_alone(file):
    path = file(outcomes("sun", leftovers=100, passed=4), outcomes("led", leftovers=100, passed=1),
                outcomes("warm", leftovers=50, passed=1))  # fmt: skip
    part = left_out("light:sun", path)
    assert part.seen.rows[LEFT] == (pytest.approx(2 / 150), 2, 150)
    assert part.unseen.rows[LEFT] == (pytest.approx(0.04), 4, 100)
    assert not part.at_most_doubles
    assert left_out("light:led", path).at_most_doubles
    text = carry_over_table([part])
    assert "| light: sun | seen families | 158 | 2 of 150 |" in text
    assert "| light: sun | this family, never seen | 104 | 4 of 100 |" in text
    assert text.splitlines()[-1].endswith("| **no** |")


def test_a_network_that_saw_the_family_stands_below(file):
    never = file(outcomes("sun", leftovers=10, passed=2), outcomes("led", leftovers=10, passed=0))
    part = left_out("light:sun", never)
    assert "saw it" not in carry_over_table([part])
    part = left_out("light:sun", never, read_evaluation(never))
    assert "| light: sun | this family, by a network that saw it | 14 | 2 of 10 |" in (
        carry_over_table([part])
    )


def test_none_seen_to_pass_is_doubled_only_beyond_twice_the_target(file):
    path = file(outcomes("sun", leftovers=100, passed=1), outcomes("led", leftovers=100, passed=0))
    assert left_out("light:sun", path).at_most_doubles  # 1 % is twice the target of 0.5 %
    path = file(outcomes("sun", leftovers=100, passed=2), outcomes("led", leftovers=100, passed=0))
    assert not left_out("light:sun", path).at_most_doubles


def test_plain_numbers_are_averaged_by_photos(file):
    path = file(outcomes("sun", leftovers=0, passed=0, clean=2),
                outcomes("led", leftovers=0, passed=0, clean=8))  # fmt: skip
    both = pooled(read_evaluation(path).families["light"].values())
    assert both.photos == 10
    assert both.rows[FALSE] == (pytest.approx(2 / 10), None, None)


@pytest.mark.parametrize("name", ["light:moon", "camera:sun", "light"])
def test_a_family_that_is_not_shown_is_refused(file, name):
    path = file(outcomes("sun", leftovers=2, passed=0), outcomes("led", leftovers=2, passed=0))
    with pytest.raises(TrainingError, match="does not show"):
        left_out(name, path)


def test_a_family_alone_has_nothing_beside_it(file):
    with pytest.raises(TrainingError, match="beside others of its kind"):
        left_out("light:sun", file(outcomes("sun", leftovers=2, passed=0)))


@pytest.mark.parametrize("text", ["{", "[]", '{"photos": []}', '{"photos": [1], "scores": []}'])
def test_what_is_no_evaluation_is_one_line(tmp_path, text):
    path = tmp_path / "x.json"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(TrainingError, match="is no evaluation") as failure:
        read_evaluation(path)
    assert "\n" not in str(failure.value)


def test_the_commands_write_tables(file, tmp_path, capsys):
    path = file(outcomes("sun", leftovers=4, passed=0), outcomes("led", leftovers=4, passed=0))
    carry_over.main([f"light:sun={path}"])
    assert capsys.readouterr().out.startswith("## Families never seen\n\n| left out |")
    ablation.main([f"a=b={path}", f"path-traced={path}", "--out", str(tmp_path / "t.md")])
    lines = (tmp_path / "t.md").read_text(encoding="utf-8").splitlines()
    assert lines[2] == "| what (target) | a=b | path-traced |"
    assert "| clean, well photographed spikes that pass (≥ 95.0 %) | 75.0 % | 75.0 % |" in lines


def test_photos_are_told_one_by_one(file, tmp_path, capsys):
    unread = [PhotoOutcome("torn.jpg", None, None, "torn.jpg: ends early")]
    path = file(outcomes("sun", leftovers=1, passed=0, clean=2), unread)
    photo_table.main([str(path), "--title", "Real photos"])
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == "## Real photos"
    assert lines[4:] == [
        "| sun0.jpg | review | anther_left |  | 1 of 1 |",
        "| sun1.jpg | pass | one_face_only |  |  |",
        "| sun2.jpg | review | anther_left |  |  |",
        "| torn.jpg | torn.jpg: ends early |  |  |  |",
    ]


def test_ways_measured_on_different_photos_are_not_set_side_by_side(file):
    few = file(outcomes("sun", leftovers=4, passed=0))
    many = file(outcomes("sun", leftovers=9, passed=0))
    with pytest.raises(TrainingError, match="measured on different photos"):
        ablation.main([f"a={few}", f"b={many}"])


def test_a_place_that_cannot_be_written(file, tmp_path):
    path = file(outcomes("sun", leftovers=4, passed=0))
    with pytest.raises(OutputError, match="cannot be written"):
        ablation.main([f"a={path}", "--out", str(tmp_path / "none" / "t.md")])
