"""What every test runs under, and a database server for those that ask for one."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, settings

from tests.postgresql_server import find_programs, running_server

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tests.postgresql_server import PostgresqlServer

# A machine that is busy with something else makes no test wrong; benchmarks measure time. In CI
# every run tries the same examples; whoever works on the code tries others each time.
settings.register_profile(
    "no deadline",
    deadline=None,
    derandomize="CI" in os.environ,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("no deadline")

# Files of these last longest. Begun first, none of them is left to one worker alone at the end.
_LONG = ("tests/end_to_end/", "tests/browser/", "tests/benchmarks/")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Begin with the longest."""
    items.sort(key=lambda item: not item.nodeid.startswith(_LONG))


@pytest.fixture(scope="session")
def postgresql() -> Iterator[PostgresqlServer]:
    """A server of this process's own; without one the test is skipped, in CI it fails."""
    programs = find_programs()
    if programs is None:
        reason = "no PostgreSQL server is installed (looked on PATH, by pg_config, in /usr/lib)"
        if os.environ.get("CI"):
            pytest.fail(f"{reason}; in CI it must be there")
        pytest.skip(reason)
    with running_server(programs) as server:
        yield server
