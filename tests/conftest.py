"""What every test runs under."""

from __future__ import annotations

from hypothesis import settings

# A machine that is busy with something else makes no test wrong; benchmarks measure time.
settings.register_profile("no deadline", deadline=None)
settings.load_profile("no deadline")
