"""A program that records beside others like it; run by the tests, never imported.

Arguments: the store's location, who records, how many rounds. It says ``ready``, waits for a line
on its input, then tries in every round to add a cross that the others want too, to check a spike
of it, and to override. It ends with one line of JSON: the crosses it ``made``, those where it
came second (``lost``), its ``checks`` as [number, cross, spike], and ``overridden`` checks.
"""

from __future__ import annotations

import json
import sys

import alembic.command  # noqa: F401  (loaded before the start signal, so that all go off at once)
import psycopg  # noqa: F401

import spikecheck.store.store  # noqa: F401
from spikecheck.errors import DuplicateCrossError
from spikecheck.store import NewCheck, NewPhoto, open_store
from spikecheck.vocabulary import ModelIdentity, Verdict
from spikecheck.vocabulary.plan import PlannedCross, PlannedParent


def main(location: str, by: str, rounds: int) -> None:
    told = {"made": [], "lost": [], "checks": [], "overridden": []}
    say("ready")
    sys.stdin.readline()
    with open_store(location) as store:
        for number in range(rounds):
            cross = f"W26-{number}"
            try:
                store.plans.add(
                    PlannedCross(cross, PlannedParent(f"by {by}"), PlannedParent("Olmo"), note=by)
                )
            except DuplicateCrossError:
                told["lost"].append(cross)
            else:
                told["made"].append(cross)
            check = store.add_check(check_of(f"{by} {number}"), cross=cross, spike=1, by=by)
            told["checks"].append([check.id, check.cross, check.spike])
            first = store.checks(cross)[-1]  # by whoever came first: all want to override it
            store.override(first.id, by, f"{by} looked again")
            told["overridden"].append(first.id)
    say(json.dumps(told))


def check_of(mark: str) -> NewCheck:
    photo = NewPhoto("a.jpg", b"\xff\xd8\xff" + mark.encode(), b"\x89PNG\r\n\x1a\n" + mark.encode())
    return NewCheck(
        verdict=Verdict.REVIEW,
        result="{}",
        model=ModelIdentity("invented", "1", "a" * 64),
        thresholds_sha256="b" * 64,
        software_version="0.1",
        photos=(photo,),
    )


def say(line: str) -> None:
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], int(sys.argv[3]))
