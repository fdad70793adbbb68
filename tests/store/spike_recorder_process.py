"""A program that writes in the histories of spikes beside others; run by the tests.

Arguments: the store's location, a task, who records, and what the task takes. It says ``ready``,
waits for a line on its input, does the task and ends with one line of JSON.

``claim ROUNDS``
    Claims the same codes as the others do, each for a spike of its own: what came of each.
``correct ENTRY…``
    Corrects each of these entries, of spikes 1, 2, …: None, or the error and what it says.
``add ROUNDS``
    Takes spikes of its own a few steps on: their numbers.
"""

from __future__ import annotations

import json
import sys
from datetime import UTC, datetime, timedelta
from random import Random

import psycopg  # noqa: F401  (loaded before the start signal, so that all go off at once)

import spikecheck.store.store  # noqa: F401
from spikecheck.errors import StepError, TagError
from spikecheck.store import Store, open_store
from spikecheck.vocabulary import Step
from spikecheck.vocabulary.steps import Bagged, Emasculated, Selected, Tagged
from spikecheck.vocabulary.tag_code import new_code

PLACES = {"Ida": 1, "Bo": 2, "Ann": 3, "Tom": 4}
AGO = datetime.now(UTC) - timedelta(days=1)


def claim(store: Store, by: str, words: list[str]) -> object:
    """Claim each code; tell the code, the spike and the error."""
    told = []
    for number in range(int(words[0])):
        code, spike = new_code(Random(number)), 1000 * PLACES[by] + number
        error = None
        try:
            store.spikes.add("C-1", spike, Step(Tagged(code), AGO, by))
        except TagError as refused:
            error = type(refused).__name__
        told.append({"code": code, "spike": spike, "error": error})
    return told


def correct(store: Store, by: str, words: list[str]) -> object:
    """Correct each entry; tell the error, if any."""
    told: list[list[str] | None] = []
    detail = Emasculated(17 + PLACES[by], 60)
    for spike, entry in enumerate(map(int, words), start=1):
        try:
            step = Step(detail, AGO, "Ann")
            store.spikes.correct("C-1", spike, entry, step, by=by, reason="counted again")
        except StepError as refused:
            told.append([type(refused).__name__, refused.what])
        else:
            told.append(None)
    return told


def add(store: Store, by: str, words: list[str]) -> object:
    """Take spikes a few steps on; tell their numbers."""
    spikes = [4 * number + PLACES[by] for number in range(int(words[0]))]
    for spike in spikes:
        store.spikes.add("C-1", spike, Step(Selected(55), AGO, by))
        both = [Step(Emasculated(20, 60), AGO, by), Step(Bagged("no camera"), AGO, by)]
        store.spikes.add_all([("C-1", spike, step) for step in both])
    return spikes


def say(line: str) -> None:
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    place, task, who, *more = sys.argv[1:]
    say("ready")
    sys.stdin.readline()
    with open_store(place) as opened:
        say(json.dumps({"claim": claim, "correct": correct, "add": add}[task](opened, who, more)))
