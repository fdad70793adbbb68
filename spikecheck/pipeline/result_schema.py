"""The JSON Schema of the result contract, as it ships with the package."""

from __future__ import annotations

import json
from functools import cache
from importlib.resources import files
from typing import Any, cast


@cache
def _schema_text() -> str:
    return files("spikecheck.pipeline").joinpath("result-1.schema.json").read_text("utf-8")


def result_schema() -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of ``spikecheck.result/1``.

    Returns
    -------
    dict
        A fresh copy at every call.
    """
    return cast("dict[str, Any]", json.loads(_schema_text()))
