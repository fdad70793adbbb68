"""People learn to see leftovers: what is shown, how it is scored, when they are signed off."""

from spikecheck.practice.answers import Answer, Item, LeftoverAnther, Mark, MarkedAnswer, compare
from spikecheck.practice.blocks import Block, Look, current_block
from spikecheck.practice.detection import Detection, detection_of_counts, detection_of_rates
from spikecheck.practice.kinds import Kind, SizeClass, kind_of, worth_showing
from spikecheck.practice.scores import Scores, Share, learning_curve, score
from spikecheck.practice.sequential import Decision, SequentialTest
from spikecheck.practice.session import (
    block_over,
    draw_session,
    may_answer,
    miss_shares,
    photos_in_block,
    photos_in_session,
    weight_of,
)
from spikecheck.practice.sign_off import SignOff, sign_off, sign_off_test

__all__ = [
    "Answer",
    "Block",
    "Decision",
    "Detection",
    "Item",
    "Kind",
    "LeftoverAnther",
    "Look",
    "Mark",
    "MarkedAnswer",
    "Scores",
    "SequentialTest",
    "Share",
    "SignOff",
    "SizeClass",
    "block_over",
    "compare",
    "current_block",
    "detection_of_counts",
    "detection_of_rates",
    "draw_session",
    "kind_of",
    "learning_curve",
    "may_answer",
    "miss_shares",
    "photos_in_block",
    "photos_in_session",
    "score",
    "sign_off",
    "sign_off_test",
    "weight_of",
    "worth_showing",
]
