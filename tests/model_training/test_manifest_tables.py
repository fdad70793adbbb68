"""Tables of numbers put into a manifest."""

from __future__ import annotations

import tomllib

import pytest

from spikecheck.errors import ModelError, OutputError
from spikecheck.model_training.manifest_tables import with_table, write_table

TEXT = "a = 1\n\n[tuned]\nx = 1\n\n[calibration] # old\ny = 2\n\n[[odd]]\nz = 3\n"


def test_the_table_of_the_name_is_replaced_and_the_rest_kept():
    content = tomllib.loads(with_table(TEXT, "calibration", "new = 5\n"))
    assert content == {"a": 1, "tuned": {"x": 1}, "odd": [{"z": 3}], "calibration": {"new": 5}}


def test_a_table_that_is_not_there_is_added():
    assert tomllib.loads(with_table(TEXT, "metrics", "m = 1"))["metrics"] == {"m": 1}


def test_twice_is_as_once():
    once = with_table(TEXT, "tuned", "x = 7")
    assert with_table(once, "tuned", "x = 7") == once


def test_what_is_no_toml_is_refused():
    with pytest.raises(OutputError, match=r"\[tuned\] is no TOML"):
        with_table(TEXT, "tuned", "x = ")


def test_what_is_no_manifest_is_left_alone(tmp_path):
    path = tmp_path / "model.toml"
    path.write_text(TEXT, encoding="utf-8")
    with pytest.raises(ModelError):
        write_table(path, "tuned", "x = 7")
    assert path.read_text(encoding="utf-8") == TEXT
