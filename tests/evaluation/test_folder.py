"""A folder of photos, some with truth beside them."""

from __future__ import annotations

import pytest

from spikecheck.errors import PhotoError, TruthError, UsageError
from spikecheck.evaluation import Proportion, evaluate_folder
from spikecheck.vocabulary import Verdict, write_truth
from tests.builders import anther, findings
from tests.evaluation.cases import result_on, true_anther, truth


def check(path):
    """Review what is called dirty, refuse what is called broken."""
    if "broken" in path.name:
        raise PhotoError("ends early", where=path.name, cure="Copy it again")
    seen = findings(anthers=[anther()] if "dirty" in path.name else [])
    return result_on(seen, name=path.name)


@pytest.fixture
def folder(tmp_path):
    for name in (
        "dirty.jpg", "dirty.classes.png", "clean.PNG", "unknown.jpg", "broken.jpg", "notes.txt",
    ):  # fmt: skip
        (tmp_path / name).touch()
    write_truth(truth(true_anther()), tmp_path / "dirty.json")
    write_truth(truth(), tmp_path / "clean.json")
    write_truth(truth(), tmp_path / "broken.json")
    return tmp_path


def test_photos_with_truth_are_scored_the_others_listed(folder):
    evaluation = evaluate_folder(folder, check=check)
    assert [outcome.file for outcome in evaluation.outcomes] == [
        "broken.jpg", "clean.PNG", "dirty.jpg", "unknown.jpg",
    ]  # fmt: skip
    assert [comparison.file for comparison in evaluation.comparisons] == ["clean.PNG", "dirty.jpg"]
    assert evaluation.anthers.recall == Proportion(1, 1)
    assert evaluation.verdicts.clean_passed == Proportion(1, 1)
    unknown = evaluation.outcomes[-1]
    assert unknown.truth is None
    assert unknown.result is not None
    assert unknown.result.verdict is Verdict.PASS


def test_a_photo_that_cannot_be_read_is_listed_with_its_error_and_the_others_go_on(folder):
    broken = evaluate_folder(folder, check=check).outcomes[0]
    assert broken.result is None
    assert broken.error == "broken.jpg: ends early. Copy it again"


def test_progress_is_told_after_each_photo(folder):
    told = []
    evaluate_folder(folder, check=check, progress=lambda *step: told.append(step))
    assert told == [
        (1, 4, "broken.jpg"), (2, 4, "clean.PNG"), (3, 4, "dirty.jpg"), (4, 4, "unknown.jpg"),
    ]  # fmt: skip


def test_no_folder(tmp_path):
    with pytest.raises(UsageError, match=r"nowhere: no such folder\. Name a folder of photos"):
        evaluate_folder(tmp_path / "nowhere", check=check)


def test_an_empty_folder(tmp_path):
    with pytest.raises(UsageError, match="holds no photo"):
        evaluate_folder(tmp_path, check=check)


def test_a_broken_truth_file_is_told_before_any_photo_is_checked(folder):
    (folder / "unknown.json").write_text("{", encoding="utf-8")
    checked = []
    with pytest.raises(TruthError, match=r"unknown\.json: not understood"):
        evaluate_folder(folder, check=checked.append)
    assert checked == []
