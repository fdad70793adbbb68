"""Work on every core: nothing is lost, memory stays bounded, a dead process is no riddle.

The work is ``eval``, which a process started anew finds by its name; items are expressions.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from spikecheck.pipeline.batch_pool import core_count, run_pool

_LONG_S = 60
DIE = "__import__('os')._exit(9)"


def test_every_item_gets_its_own_result():
    items = [f"{number} * {number}" for number in range(20)]
    results = dict(run_pool(eval, items, workers=2))
    assert results == {item: number**2 for number, item in enumerate(items)}


def test_nothing_to_do_starts_nothing():
    assert list(run_pool(eval, [], workers=2)) == []


def test_items_are_taken_as_needed():
    taken = []

    def source():
        for number in range(50):
            taken.append(number)
            yield str(number)

    seen = 0
    for _ in run_pool(eval, source(), workers=2):
        seen += 1
        assert len(taken) <= seen + 4
    assert seen == 50


def test_a_process_that_dies_costs_its_own_item_only():
    items = ["1 + 1", "2 + 2", DIE, *[f"{number} - 1" for number in range(8)], DIE + "  "]
    results = dict(run_pool(eval, items, workers=2))
    assert set(results) == set(items)
    assert {item for item, result in results.items() if result is None} == {DIE, DIE + "  "}
    assert results["7 - 1"] == 6


def test_an_item_that_dies_only_in_company_gets_its_result(tmp_path):
    flag = tmp_path / "tried"
    once = (
        f"__import__('os')._exit(9) if not __import__('os').path.exists({str(flag)!r}) "
        f"and [open({str(flag)!r}, 'x').close()] else 'second time'"
    )
    assert dict(run_pool(eval, ["1", once, "2"], workers=2)) == {
        "1": 1, once: "second time", "2": 2,
    }  # fmt: skip


def test_a_mistake_in_the_work_is_not_hidden():
    with pytest.raises(ZeroDivisionError):
        list(run_pool(eval, ["1 / 0"], workers=1))


def test_stopping_early_does_not_wait_for_what_is_under_way():
    items = ["1", *[f"__import__('time').sleep({_LONG_S})"] * 20]
    results = run_pool(eval, items, workers=2)
    assert next(results) == ("1", 1)
    started = time.monotonic()
    results.close()
    assert time.monotonic() - started < _LONG_S / 2


def test_workers_end_when_their_parent_is_killed(tmp_path):
    script = tmp_path / "parent.py"
    script.write_text(
        "from spikecheck.pipeline.batch_pool import run_pool\n"
        "if __name__ == '__main__':\n"
        f"    items = ['__import__(\"os\").getpid()', '__import__(\"time\").sleep({_LONG_S})']\n"
        "    for _, result in run_pool(eval, items, workers=1):\n"
        "        print(result, flush=True)\n"
    )
    with subprocess.Popen([sys.executable, script], stdout=subprocess.PIPE, text=True) as parent:
        worker = int(parent.stdout.readline())
        os.kill(worker, 0)
        parent.kill()
        parent.wait()
    deadline = time.monotonic() + _LONG_S / 2
    while time.monotonic() < deadline:
        if _has_ended(worker):
            return
        time.sleep(0.05)
    pytest.fail("the worker outlived its parent")


def _has_ended(process: int) -> bool:
    """Whether it is gone, or waits for nothing but that somebody asks how it ended."""
    try:
        os.kill(process, 0)
        state = Path(f"/proc/{process}/stat").read_text().rpartition(") ")[2]
    except ProcessLookupError:
        return True
    except FileNotFoundError:  # gone meanwhile, or a system that does not tell
        return False
    return state.startswith("Z")


def test_workers_do_not_hear_ctrl_c():
    blocked = "2 in __import__('signal').pthread_sigmask(0, [])"
    assert dict(run_pool(eval, [blocked], workers=1)) == {blocked: True}


def test_there_is_a_core():
    assert 1 <= core_count() <= (os.cpu_count() or 1)
