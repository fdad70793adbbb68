"""Which photos a person practises with next, and how long.

Rare targets are missed more and long watching tires, so a session holds leftovers in a fifth to a
half of its photos and ends with its block; the sources stand with the thresholds.
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from spikecheck.errors import UsageError
from spikecheck.language import _
from spikecheck.practice.answers import compare
from spikecheck.practice.kinds import kind_of
from spikecheck.practice.scores import missed_by_trait

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from spikecheck.practice.answers import Answer, Item
    from spikecheck.practice.kinds import Trait
    from spikecheck.thresholds.practice import PracticeThresholds


def block_over(seconds: float, numbers: PracticeThresholds) -> bool:
    """Return whether a person who has looked for ``seconds`` without a rest needs one."""
    return seconds >= numbers.block_s


def may_answer(seconds: float, numbers: PracticeThresholds) -> bool:
    """Return whether a photo looked at for ``seconds`` may be answered."""
    return seconds >= numbers.viewing_s


def photos_in_block(numbers: PracticeThresholds) -> int:
    """Return how many photos fit a block when each is looked at for the least time."""
    return math.floor(numbers.block_s / numbers.viewing_s)


def photos_in_session(numbers: PracticeThresholds) -> int:
    """Return how many photos a session has, if there are enough."""
    return min(photos_in_block(numbers), math.floor(numbers.session_photos))


def miss_shares(answers: Iterable[Answer], numbers: PracticeThresholds) -> dict[Trait, float]:
    """Return how often a person misses leftovers of each stage, size class and third.

    The person's own misses beside ``expected_seen`` assumed anthers, of which
    ``expected_miss_share`` are missed (the mean of a beta distribution): a trait that was never
    shown, or never missed, keeps a share above 0 and is still drawn.

    Parameters
    ----------
    answers
        The person's earlier answers, in any order.
    numbers
        Thresholds of practice.

    Returns
    -------
    dict
        Share by trait, above 0 and below 1, for every trait there is.
    """
    marked = [compare(answer, numbers) for answer in answers]
    assumed = numbers.expected_miss_share * numbers.expected_seen
    return {
        trait: (sum(missed) + assumed) / (len(missed) + numbers.expected_seen)
        for trait, missed in missed_by_trait(marked, numbers).items()
    }


def weight_of(item: Item, shares: Mapping[Trait, float], numbers: PracticeThresholds) -> float:
    """Return the weight a photo with leftovers is drawn with: that of its hardest leftover.

    A leftover weighs the mean share of misses of its stage, size class and third: with 27 kinds a
    person has seen too few of each to weigh every kind alone.

    Raises
    ------
    UsageError
        If the spike is clean.
    """
    if item.clean:
        raise UsageError(_("a clean spike has no leftover to weigh"), where=item.photo)
    kinds = (kind_of(leftover, numbers) for leftover in item.leftovers)
    return max(sum(shares[trait] for trait in kind.traits) / len(kind.traits) for kind in kinds)


def draw_session(
    pool: Iterable[Item],
    earlier: Iterable[Answer],
    numbers: PracticeThresholds,
    *,
    seed: int,
    photos_most: int | None = None,
) -> tuple[Item, ...]:
    """Draw the photos of one session, in the order they are shown.

    As many as fit a block, if the pool has them. How many of them have leftovers is drawn evenly
    between the bounds, so that counting does not help. Photos with leftovers are drawn by weight
    without putting back: each waits an exponential time at a rate of its weight, and the first
    ones are taken (Efraimidis & Spirakis 2006, Information Processing Letters 97:181-185). So of
    two photos the heavier one is never drawn with the smaller chance. Clean photos are drawn
    evenly.

    Parameters
    ----------
    pool
        What may be shown, every photo once, in any order. Leave out what the person knows already.
    earlier
        The person's earlier answers.
    numbers
        Thresholds of practice.
    seed
        The same seed, pool and answers draw the same session.
    photos_most
        A shorter session than a block; None for a whole one.

    Returns
    -------
    tuple of Item
        At least two photos, each once.

    Raises
    ------
    UsageError
        If a photo is in the pool twice, or no session can be made of it.
    """
    known = sorted(pool, key=lambda item: item.photo)
    ids = [item.photo for item in known]
    if len(set(ids)) < len(ids):
        twice = next(one for one, other in pairwise(ids) if one == other)
        raise UsageError(_("a photo is there twice"), where=twice, cure=_("Give every photo once"))
    with_leftovers = [item for item in known if not item.clean]
    clean = [item for item in known if item.clean]
    room = photos_in_block(numbers)
    wanted = min(len(known), room if photos_most is None else min(room, photos_most))
    photos, fewest, most = _size(wanted, len(with_leftovers), len(clean), numbers)
    rng = np.random.default_rng(seed)
    count = int(rng.integers(fewest, most, endpoint=True))
    shares = miss_shares(earlier, numbers)
    weights = np.array([weight_of(item, shares, numbers) for item in with_leftovers])
    waits = rng.exponential(size=len(with_leftovers)) / weights
    drawn = [with_leftovers[index] for index in np.argsort(waits, kind="stable")[:count]]
    drawn += [clean[index] for index in rng.permutation(len(clean))[: photos - count]]
    return tuple(drawn[index] for index in rng.permutation(photos))


def _size(
    wanted: int, with_leftovers: int, clean: int, numbers: PracticeThresholds
) -> tuple[int, int, int]:
    """Return the most photos that keep the bounds, and with how many leftovers they do."""
    for photos in range(wanted, 1, -1):
        # Rounded, since 0.2 of 15 must not become a hair more than 3.
        least = math.ceil(round(numbers.leftovers_least * photos, 9))
        most = math.floor(round(numbers.leftovers_most * photos, 9))
        fewest, most = max(least, photos - clean, 1), min(most, with_leftovers)
        if fewest <= most:
            return photos, fewest, most
    raise UsageError(
        _("no session can be made of {n} photos with leftovers and {m} clean ones").format(
            n=with_leftovers, m=clean
        ),
        cure=_("Give photos of both kinds, two at least"),
    )
