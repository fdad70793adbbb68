"""`synth`: what is asked of the generator."""

from __future__ import annotations

import pytest

from spikecheck.synthetic.kinds import KINDS
from spikecheck.vocabulary import Verdict, read_truth


@pytest.fixture
def asked(monkeypatch):
    calls = []
    monkeypatch.setattr(
        "spikecheck.synthetic.draw_set.write_set",
        lambda folder, **how: calls.append((str(folder), how)),
    )
    return calls


@pytest.mark.usefixtures("folder")
def test_one_image_of_every_kind_unless_told_otherwise(run, asked):
    done = run("synth", "drawn")
    assert done.out == f"{len(KINDS)} images with truth in drawn\n"
    ((where, how),) = asked
    assert where == "drawn"
    assert how["kinds"] == list(KINDS)
    assert (how["count"], how["seed"], how["px_per_mm"]) == (len(KINDS), 0, None)


@pytest.mark.usefixtures("folder")
def test_options_are_handed_on(run, asked):
    options = ("--kind", "clean", "--kind", "leftover", "--count", 3, "--seed", 42)
    run("synth", "drawn", *options, "--px-per-mm", 21.5, "--workers", 1)
    ((_, how),) = asked
    del how["progress"]
    assert how == {
        "kinds": ["clean", "leftover"], "count": 3, "seed": 42, "px_per_mm": 21.5, "workers": 1,
    }  # fmt: skip


@pytest.mark.usefixtures("folder")
def test_an_unknown_kind_lists_the_kinds(run):
    done = run("synth", "drawn", "--kind", "purple")
    assert done.code == 2
    assert done.err.startswith("spikecheck: no kind of image is named 'purple'. Choose from clean")


def test_images_come_with_truth(run, folder):
    done = run("synth", "drawn", "--kind", "clean", "--count", 1, "--px-per-mm", 20)
    assert (done.code, done.err) == (0, "")
    (truth,) = (folder / "drawn").glob("clean*.json")
    seen = read_truth(truth)
    assert seen.verdict is Verdict.PASS
    assert (folder / "drawn" / seen.image).is_file()
