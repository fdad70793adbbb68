"""How far two readers agree, in numbers and words: Cohen's kappa, and Gwet's AC1 beside it.

References
----------
Landis JR, Koch GG (1977). The measurement of observer agreement for categorical data.
Biometrics 33:159-174.
"""

from __future__ import annotations

from dataclasses import dataclass
from statistics import NormalDist
from typing import TYPE_CHECKING

from spikecheck.audit.coefficients import Kappa, Weighting, gwet_ac1, middle_shares
from spikecheck.errors import UsageError
from spikecheck.intervals import clopper_pearson_interval
from spikecheck.language import N_, _, number, percent
from spikecheck.thresholds.audit import load_audit

if TYPE_CHECKING:
    from collections.abc import Sequence

_WORDS = (
    (0.20, N_("slight")), (0.40, N_("fair")), (0.60, N_("moderate")), (0.80, N_("substantial")),
)  # fmt: skip
_BEYOND, _BELOW = N_("almost perfect"), N_("poor")
# An error of 0 comes out as the rounding of its square, 1e-7 or so; a real one of as many spikes
# as there will ever be is larger.
_NO_ERROR = 1e-5


@dataclass(frozen=True, slots=True)
class Coefficient:
    """A coefficient of agreement.

    Parameters
    ----------
    value
        1 is full agreement, 0 what chance brings.
    standard_error
        Large-sample standard error.
    low, high
        Its interval, cut at -1 and 1.
    """

    value: float
    standard_error: float
    low: float
    high: float

    @property
    def words(self) -> str:
        """What Landis and Koch (1977) call it."""
        return strength(self.value)


@dataclass(frozen=True, slots=True)
class Agreement:
    """How two readers of the same spikes agree.

    Parameters
    ----------
    spikes, same
        Spikes read by both, and those with the same answer.
    same_low, same_high
        Exact interval (Clopper and Pearson) of the share of the same answers, 0..1.
    weighting
        Of kappa.
    observed, expected
        Agreement seen and expected by chance, weighted, 0..1.
    kappa
        Cohen's kappa, or None where chance alone brings full agreement: all answers are one.
    null_standard_error
        Standard error of kappa if the readers agreed by chance only, or None.
    ac1
        Gwet's AC1, never weighted.
    commonest_share
        Share of the commonest answer among all answers of both, 0..1.
    misleading
        Whether kappa is low only since nearly all answers are the same.
    confidence
        Two-sided level of the intervals.
    """

    spikes: int
    same: int
    same_low: float
    same_high: float
    weighting: Weighting
    observed: float
    expected: float
    kappa: Coefficient | None
    null_standard_error: float | None
    ac1: Coefficient
    commonest_share: float
    misleading: bool
    confidence: float

    @property
    def sentence(self) -> str:
        """What it comes to, in words."""
        counts = {"same": self.same, "spikes": self.spikes}
        if self.kappa is None:
            return _(
                "The readers gave the same answer for {same} of {spikes} spikes; every answer was "
                "the same, so kappa cannot say whether that was more than chance. From so many "
                "spikes it is only known that they agree on {least} or more."
            ).format(least=percent(self.same_low), **counts)
        kappa = self.kappa
        if self._no_difference:
            return _(
                "The readers gave the same answer for {same} of {spikes} spikes (kappa 1); from so "
                "many spikes it is only known that they agree on {least} or more."
            ).format(least=percent(self.same_low), **counts)
        if self.same == 0:  # the large-sample error may be 0 here as well, however few the spikes
            return _(
                "The readers gave the same answer for {same} of {spikes} spikes (kappa {kappa}); "
                "from so many spikes it is only known that they agree on {most} or less."
            ).format(kappa=number(kappa.value, 2), most=percent(self.same_high), **counts)
        told = {"words": _(kappa.words), "kappa": number(kappa.value, 2), **counts}
        if kappa.standard_error < _NO_ERROR:  # whatever the other one says, kappa is 0
            return _(
                "The readers gave the same answer for {same} of {spikes} spikes; one reader gave "
                "one answer only, so kappa ({kappa}) tells nothing and has no interval."
            ).format(**told)
        return _(
            "The readers gave the same answer for {same} of {spikes} spikes; beyond chance the "
            "agreement is {words} (kappa {kappa}, {confidence} interval {low} to {high})."
        ).format(
            confidence=percent(self.confidence), low=number(kappa.low, 2),
            high=number(kappa.high, 2), **told,
        )  # fmt: skip

    @property
    def caution(self) -> str:
        """Why kappa misleads here, or nothing."""
        if not self.misleading or self._no_difference:
            return ""
        return _(
            "{share} of all answers are the same one. Kappa is then low even where readers hardly "
            "ever differ; go by AC1, {ac1} ({words})."
        ).format(
            share=percent(self.commonest_share), ac1=number(self.ac1.value, 2),
            words=_(self.ac1.words),
        )  # fmt: skip

    @property
    def ac1_line(self) -> str:
        """AC1 with its interval; nothing where the readers always or never agreed.

        It is 1 or -1 then, with an error of 0 however few the spikes.
        """
        if self._no_difference or self.ac1.standard_error < _NO_ERROR:
            return ""
        return _("Gwet's AC1: {ac1}, {confidence} interval {low} to {high}.").format(
            ac1=number(self.ac1.value, 2), confidence=percent(self.confidence),
            low=number(self.ac1.low, 2), high=number(self.ac1.high, 2),
        )  # fmt: skip

    @property
    def _no_difference(self) -> bool:
        """Whether the large-sample errors are 0, however few the spikes."""
        return self.same == self.spikes


def strength(value: float) -> str:
    """Return what Landis and Koch (1977) call a coefficient of agreement."""
    if value < 0:
        return _BELOW
    # The scale is given to two decimals, so 0.204 is still slight.
    return next((word for most, word in _WORDS if round(value, 2) <= most), _BEYOND)


def reader_agreement(
    table: Sequence[Sequence[int]],
    *,
    weighting: Weighting = Weighting.NONE,
    confidence: float | None = None,
) -> Agreement:
    """Return how two readers agree.

    Parameters
    ----------
    table
        Shape (k, k), two classes or more: spikes that the first reader put into the class of the
        row and the second into that of the column.
    weighting
        How much different answers count.
    confidence
        Two-sided level; the shipped one if None.

    Raises
    ------
    UsageError
        If the table is not square, too small, empty or holds a negative number, or the level is
        out of range.
    """
    numbers = load_audit()
    level = numbers.confidence if confidence is None else confidence
    if not 0 < level < 1:
        raise UsageError(
            _("a confidence level lies between 0 and 1, got {level}").format(level=level)
        )
    shares, spikes = _shares(table)
    z = NormalDist().inv_cdf((1 + level) / 2)
    plain = Kappa(shares, Weighting.NONE)
    kappa = plain if weighting is Weighting.NONE else Kappa(shares, weighting)
    ac1 = _bounded(*gwet_ac1(shares, spikes), z)
    commonest = max(middle_shares(shares))
    misleading = commonest >= numbers.commonest_share and (
        plain.degenerate or ac1.value - plain.value >= numbers.kappa_gap
    )
    same = sum(table[i][i] for i in range(len(table)))
    same_low, same_high = clopper_pearson_interval(same, spikes, level)
    return Agreement(
        spikes=spikes,
        same=same,
        same_low=same_low,
        same_high=same_high,
        weighting=weighting,
        observed=kappa.observed,
        expected=kappa.expected,
        kappa=None if kappa.degenerate else _bounded(kappa.value, kappa.error(spikes), z),
        null_standard_error=None if kappa.degenerate else kappa.null_error(spikes),
        ac1=ac1,
        commonest_share=commonest,
        misleading=misleading,
        confidence=level,
    )


def _bounded(value: float, error: float, z: float) -> Coefficient:
    return Coefficient(value, error, max(value - z * error, -1.0), min(value + z * error, 1.0))


def _shares(table: Sequence[Sequence[int]]) -> tuple[list[list[float]], int]:
    fewest_classes = 2
    if len(table) < fewest_classes or any(len(row) != len(table) for row in table):
        raise UsageError(
            _("a table of agreement is square, with two classes or more"),
            cure=_("Give a row and a column for each class"),
        )
    if any(count < 0 for row in table for count in row):
        raise UsageError(_("a number of spikes is below 0"), where="table of agreement")
    spikes = sum(sum(row) for row in table)
    if spikes == 0:
        raise UsageError(_("no spike was read by both"), cure=_("Have some read a second time"))
    return [[count / spikes for count in row] for row in table], spikes
