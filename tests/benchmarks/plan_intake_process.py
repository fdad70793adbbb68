"""Takes one plan into a new store and writes wall time, s, and peak memory, MB."""

import re
import sys
import time
from pathlib import Path

from spikecheck.bookkeeping.plan_intake import take_in_plan
from spikecheck.store import open_store

plan, place = map(Path, sys.argv[1:])
with open_store(str(place)) as store, plan.open("rb") as file:
    started = time.perf_counter()
    count, faults = take_in_plan(store, file, name=plan.name)
    seconds = time.perf_counter() - started
if faults:
    raise SystemExit(f"{faults[0]}")
peak = re.search(r"VmHWM:\s+(\d+) kB", Path("/proc/self/status").read_text())
sys.stdout.write(f"{seconds} {int(peak[1]) / 1024 if peak else float('nan')}\n")
