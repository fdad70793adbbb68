"""The README says the same cautions as the page."""

from __future__ import annotations

import importlib.util
import re
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def cautions():
    spec = importlib.util.spec_from_file_location(
        "page_cautions", ROOT / "app" / "widgets" / "cautions.py"
    )
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


def test_the_readme_carries_every_caution_of_the_page():
    readme = re.sub(r"\s+", " ", (ROOT / "README.md").read_text(encoding="utf-8"))
    page = cautions()
    missing = [
        text for text in (page.DEFER, *(each.short for each in page.CAUTIONS)) if text not in readme
    ]
    assert missing == []
