"""Looking at a set: raw scores, once for each photo, on as many cores as there are."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

from spikecheck.errors import PhotoError, TrainingError
from spikecheck.model_training.case_file import case_text, read_case
from spikecheck.model_training.looked_at_set import Networks, look_at_set, networks_of
from spikecheck.networks import FLORETS, OVERVIEW, load_network
from spikecheck.pipeline.network_finder import NetworkFinder
from spikecheck.thresholds import load_thresholds
from spikecheck.vocabulary import PhotoTruth, QualityProblem, write_truth
from tests.builders import anther, findings, floret, quality
from tests.networks.colour_networks import save_florets, save_overview
from tests.pipeline.test_network_finder import painted


@pytest.fixture
def models(tmp_path):
    folder = tmp_path / "models"
    save_overview(folder, px_per_mm_in_square=16.0 * 512 / 1600)
    save_florets(folder)
    return folder


@pytest.fixture
def photos(tmp_path):
    folder = tmp_path / "set"
    folder.mkdir()
    pixels = painted().pixels
    for name, picture in (("b", pixels), ("a", pixels[:, ::-1])):
        Image.fromarray(np.ascontiguousarray(picture)).save(folder / f"{name}.png")
        write_truth(PhotoTruth(f"{name}.png", 1200, 1600, ()), folder / f"{name}.json")
    Image.fromarray(pixels).save(folder / "without truth.png")
    return folder


def test_findings_and_quality_come_back_with_every_digit():
    seen = replace(
        findings([floret("L1", p_anther=1 / 3), floret("R2")], [anther("L1", score=1e-9)]),
        unfamiliar=True,
    )
    judged = quality(QualityProblem.DARK, measures={"light_share": 0.1 + 0.2})
    again, judged_again = read_case(case_text(seen, judged))
    assert (replace(again, spike=None), judged_again) == (replace(seen, spike=None), judged)
    assert np.array_equal(again.spike.axis, seen.spike.axis)
    assert np.array_equal(again.spike.outline, seen.spike.outline)


def test_nothing_seen_comes_back_too():
    nothing = replace(findings([], with_spike=False), scale=None)
    assert read_case(case_text(nothing, quality())) == (nothing, quality())


def test_every_photo_with_truth_is_looked_at_with_raw_scores(models, photos):
    cases = look_at_set(photos, Networks(models, "1"), workers=2)
    assert [case.file for case in cases] == ["a.png", "b.png"]
    networks = (load_network(task, folder=models) for task in (OVERVIEW, FLORETS))
    shipped = NetworkFinder(load_thresholds(), *networks)
    scaled = shipped.find(photo_of(photos / "b.png")).anthers
    raw = cases[1].findings.anthers
    assert len(raw) == len(scaled) > 0
    for one, other in zip(raw, scaled, strict=True):  # shipped: 0.5 * logit + 1
        logit = np.log(one.score / (1 - one.score))
        assert other.score == pytest.approx(1 / (1 + np.exp(-(0.5 * logit + 1))), abs=1e-6)


def photo_of(path):
    from spikecheck.photo import read_photo

    return read_photo(path, thresholds=load_thresholds().reading)


def test_only_a_changed_photo_or_a_cut_record_is_looked_at_again(models, photos):
    networks = Networks(models, "1")
    Image.new("RGB", (1200, 1600)).save(photos / "c.png")
    write_truth(PhotoTruth("c.png", 1200, 1600, ()), photos / "c.json")
    look_at_set(photos, networks, workers=1)
    records = {path.name: path for path in (photos / "looked_at").glob("*/*.json")}
    records["b.png.json"].write_text(records["b.png.json"].read_text(encoding="utf-8")[:200])
    before = {name: path.stat().st_mtime_ns for name, path in records.items()}
    Image.new("RGB", (1200, 1600)).save(photos / "a.png")
    black, painted_one, _ = look_at_set(photos, networks, workers=1)
    assert black.findings.spike is None
    assert painted_one.findings.spike is not None
    changed = {name for name, path in records.items() if path.stat().st_mtime_ns != before[name]}
    assert changed == {"a.png.json", "b.png.json"}


def test_another_limit_in_the_manifest_changes_nothing_and_another_tuned_number_does(models):
    before = Networks(models, "1").digest()
    manifest = models / "florets" / "1" / "model.toml"
    text = manifest.read_text(encoding="utf-8")
    manifest.write_text(text.replace("pass_score_most = 0.2", "pass_score_most = 0.3"))
    assert Networks(models, "1").digest() == before
    copied = models.with_name("others")
    models.rename(copied)
    manifest = copied / "florets" / "1" / "model.toml"
    text = manifest.read_text(encoding="utf-8")
    manifest.write_text(text.replace("anther_least = 0.1", "anther_least = 0.2"))
    assert Networks(copied, "1").digest() != before


def test_a_photo_that_cannot_be_read_stops_it(models, photos):
    (photos / "a.png").write_bytes(b"no photo")
    with pytest.raises(PhotoError, match=r"a\.png"):
        look_at_set(photos, Networks(models, "1"), workers=1)


def test_a_set_without_truth_is_refused(models, photos):
    for truth in photos.glob("*.json"):
        truth.unlink()
    with pytest.raises(TrainingError, match="no photo here has truth"):
        look_at_set(photos, Networks(models, "1"), workers=1)


def test_networks_are_named_by_the_folder_of_a_version(models):
    assert networks_of(models / "florets" / "1") == Networks(models.resolve(), "1")
    with pytest.raises(TrainingError, match="no folder of a florets network"):
        networks_of(models / "overview" / "1")
