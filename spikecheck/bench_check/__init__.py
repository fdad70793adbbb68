"""The check of one spike at the bench: photos, verdict with pictures, record, word against it."""

from spikecheck.bench_check.closeups import Closeup, cut_closeups
from spikecheck.bench_check.draft import Draft
from spikecheck.bench_check.judging import Judged, judge
from spikecheck.bench_check.taking import TakenPhoto, take_photo
from spikecheck.bench_check.taking_up import draft_of_check, draft_on_disk

__all__ = [
    "Closeup",
    "Draft",
    "Judged",
    "TakenPhoto",
    "cut_closeups",
    "draft_of_check",
    "draft_on_disk",
    "judge",
    "take_photo",
]
