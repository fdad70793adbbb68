"""Does one step of an audit when told to; tells what came of it."""

from __future__ import annotations

import json
import sys

from spikecheck.audit import SamplingPlan, SpikeName
from spikecheck.errors import SpikecheckError
from spikecheck.store import Store, open_store
from spikecheck.supervision import decide, draw_session, read_again, session_audit
from spikecheck.vocabulary.audit_steps import AuditDecision, Leftovers


def do(store: Store, task: str, by: str, session: str, spike: SpikeName) -> None:
    if task == "draw":
        lot = session_audit(store, session).lot
        draw_session(store, session, SamplingPlan(lot, 6, 0), by=by)
    elif task == "read":
        read_again(store, spike, Leftovers.UNSURE, by=by)
    else:
        decide(store, spike, AuditDecision.SENT_BACK, by=by, reason=f"so says {by}")


def main() -> None:
    location, task, by, session, cross, number = sys.argv[1:]
    refused = ""
    with open_store(location) as store:
        print("ready", flush=True)  # noqa: T201
        sys.stdin.readline()
        try:
            do(store, task, by, session, SpikeName(cross, int(number)))
        except SpikecheckError as error:
            refused = str(error)
    print(json.dumps(refused))  # noqa: T201


main()
