"""`tags read`: what is told of the tags in photos."""

from __future__ import annotations

import cv2

from spikecheck.vocabulary.tag_code import shown_code
from tests.tag_reading.scenes import background, photo_of_tag, scene_of


def write(folder, name, pixels):
    path = folder / name
    cv2.imwrite(str(path), cv2.cvtColor(pixels, cv2.COLOR_RGB2BGR))
    return path


def test_code_scale_and_light_are_told_photo_by_photo(run, tmp_path):
    photo, truth = photo_of_tag(scene_of(1, cast=(1.25, 1.0, 0.8)))
    tagged = write(tmp_path, "tagged.jpg", photo)
    bare = write(tmp_path, "bare.jpg", background(scene_of(2)))
    done = run("tags", "read", tagged, bare)
    assert done.code == 0
    first, second = done.out.splitlines()
    assert first.startswith(f"{tagged}: tag {shown_code(truth.code)}, ")
    assert f"{truth.px_per_mm:.1f}" in first
    assert "red times 0.8" in first
    assert "blue times 1.2" in first
    assert second == f"{bare}: no tag was read"


def test_a_tag_without_its_grey_steps_says_so(run, tmp_path):
    photo, _ = photo_of_tag(scene_of(2, covered_share=0.6, turned_deg=0))
    done = run("tags", "read", write(tmp_path, "covered.jpg", photo))
    assert "colours not corrected" in done.out


def test_a_tag_too_bent_for_a_scale_says_so_and_keeps_its_code(run, tmp_path):
    photo, truth = photo_of_tag(scene_of(166, creases=2))
    told = run("tags", "read", write(tmp_path, "bent.jpg", photo)).out
    assert f"tag {shown_code(truth.code)}, no scale: folded, hidden or too small" in told


def test_a_file_that_is_no_photo_ends_with_two_after_the_others(run, tmp_path):
    wrong = tmp_path / "notes.txt"
    wrong.write_text("no photo")
    bare = write(tmp_path, "bare.jpg", background(scene_of(2)))
    done = run("tags", "read", wrong, bare)
    assert done.code == 2
    assert "notes.txt" in done.err
    assert "bare.jpg: no tag was read" in done.out
