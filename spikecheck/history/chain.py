"""The chain of hashes: an entry cannot change without changing every entry after it.

Each entry is one JSON object in one spelling (keys sorted, no blanks, as RFC 8785 writes objects
of text, whole numbers, truth values and null), and carries the SHA-256 (FIPS 180-4) of that
spelling after the hash of the entry before it.
"""

from __future__ import annotations

import hashlib
import json
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

# What the first entry takes for the hash of the one before it.
BEGINNING = "0" * 64


def spelled(body: Mapping[str, object]) -> str:
    """Return ``body`` in its one spelling; it holds no floating-point numbers."""
    return json.dumps(body, ensure_ascii=False, sort_keys=True, separators=(",", ":"))


def entry_hash(previous: str, text: str) -> str:
    """Return the hex hash of an entry spelled ``text`` after the one with hash ``previous``."""
    return hashlib.sha256(f"{previous}\n{text}".encode()).hexdigest()
