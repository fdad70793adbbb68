"""How likely it is that an anther was left: a small model with every assumption in sight.

The model, floret by floret:

- A floret nobody could look into keeps the *prior*: the worst published share of florets that set
  selfed seed after emasculation.
- A floret that was seen and is clear is updated by Bayes' rule. If an anther were in it, it would
  have been found with probability ``recall * cavity_seen``; it was not found, so ::

      p = prior * (1 - recall * cavity_seen) / (1 - prior * recall * cavity_seen)

- Where the finder says how likely it is that an anther *shows* in a floret, that stands for what
  can be seen, with a recall of 1; only the part of the opening out of sight is left to the prior.
- A floret that is not clipped counts as hardly emasculated.
- An anther in a floret is there with the probability of its score. Several marks, and what the
  floret would be without them, are taken as independent; where two marks are one anther, that errs
  to the high side.

A spike is clean if all its florets are and nothing clings elsewhere: ``1 - prod(1 - p)``, florets
taken as independent. With three anthers a floret, each missed with probability q, a spike of F
florets is clean with probability ``(1 - q) ** (3 * F)``, as binomial arithmetic wants.

The published rates are of selfed *seed*, so they stand for anthers that matter. Whether the
finder's probabilities are calibrated is said in every result.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence


def probability_of_any(probabilities: Iterable[float]) -> float:
    """Return the probability that at least one of independent events happens.

    Parameters
    ----------
    probabilities
        Probability of each event, 0..1, in any order.

    Returns
    -------
    float
        ``1 - prod(1 - p)``, 0..1; the same for every order of the events.
    """
    return min(1.0, max(0.0, 1.0 - math.prod(sorted(1.0 - p for p in probabilities))))


def clear_floret_risk(cavity_seen: float, *, prior: float, recall: float) -> float:
    """Return the probability that a floret in which no anther was found holds one.

    Parameters
    ----------
    cavity_seen
        Share of the opening that was looked into, 0..1.
    prior
        Probability of a leftover before looking, 0..1.
    recall
        Probability that an anther in a fully visible opening is found, 0..1.

    Returns
    -------
    float
        Posterior probability, never above ``prior``.
    """
    found_if_there = recall * cavity_seen
    nothing_found = 1.0 - prior * found_if_there
    if nothing_found <= 0:  # an anther is certain and was certain to be found, yet was not
        return prior
    return min(prior, prior * (1.0 - found_if_there) / nothing_found)


def selfed_share(
    floret_risks: Sequence[float], outside: Sequence[float], *, cross_seed_set: float
) -> float | None:
    """Return the expected share of selfed seed in the harvest of the florets.

    Selfed seed per floret divided by seed per floret, as control spikes (emasculated, bagged,
    never pollinated) are set against crossed ones: 4.9 % of 68.3 % is 7.2 % in University of
    Tennessee MSc thesis 7752 (1980). An upper bound, because florets of control spikes hold no
    competing foreign pollen.

    Parameters
    ----------
    floret_risks
        Probability of a leftover in each floret, 0..1.
    outside
        Probability of each anther outside a floret, 0..1; each can self one floret.
    cross_seed_set
        Seeds per pollinated floret, above 0.

    Returns
    -------
    float or None
        0..1, or None without florets.
    """
    if not floret_risks:
        return None
    selfed_per_floret = (math.fsum(floret_risks) + math.fsum(outside)) / len(floret_risks)
    return min(1.0, selfed_per_floret / cross_seed_set)
