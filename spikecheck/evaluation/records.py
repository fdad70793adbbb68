"""What an evaluation counts: one photo against its truth, and all photos together."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from spikecheck.intervals import (
    clopper_pearson_interval,
    upper_limit,
    wilson_interval,
)
from spikecheck.vocabulary import Verdict

if TYPE_CHECKING:
    from collections.abc import Mapping

    from spikecheck.vocabulary import (
        AntherStage,
        CheckResult,
        PhotoTruth,
        QualityProblem,
    )


@dataclass(frozen=True, slots=True)
class Proportion:
    """So many of so many, with its intervals; everything is None when there was nothing to count.

    Parameters
    ----------
    events, trials
        Counts, ``0 <= events <= trials``.
    """

    events: int
    trials: int

    @property
    def share(self) -> float | None:
        """Events divided by trials."""
        return self.events / self.trials if self.trials else None

    @property
    def wilson(self) -> tuple[float, float] | None:
        """Wilson's interval, 95 %."""
        return wilson_interval(self.events, self.trials) if self.trials else None

    @property
    def exact(self) -> tuple[float, float] | None:
        """Interval of Clopper and Pearson, 95 %."""
        return clopper_pearson_interval(self.events, self.trials) if self.trials else None

    @property
    def upper(self) -> float | None:
        """Exact one-sided upper limit, 95 %: what a safety rate is at most."""
        return upper_limit(self.events, self.trials) if self.trials else None


@dataclass(frozen=True, slots=True)
class PhotoOutcome:
    """One photo and its answer.

    Parameters
    ----------
    file
        Name of the image.
    truth
        What is there, or None without a truth file.
    result
        The answer, or None when the file could not be read.
    error
        Why it could not be read, or None.
    """

    file: str
    truth: PhotoTruth | None
    result: CheckResult | None
    error: str | None = None


@dataclass(frozen=True, slots=True)
class AntherCount:
    """One true anther and what became of it.

    Parameters
    ----------
    stage
        True stage, None when not recorded.
    ripe
        Whether it is truly near anthesis or past it; None when not recorded.
    visible_area_mm2
        What shows of it; None when not recorded.
    found
        Whether it was found: a mark that counts lies on it.
    found_score
        Score of the mark on it, whether it counts or not; None when there is none.
    told
        Whether it was found, or its floret was told as one that may hold an anther.
    found_stage
        Stage it was taken for, None when missed.
    found_ripe
        Whether it was taken for near anthesis or past it.
    right_floret
        Whether it was put into its floret; None when missed or not recorded.
    """

    stage: AntherStage | None
    ripe: bool | None
    visible_area_mm2: float | None
    found: bool
    found_score: float | None
    told: bool
    found_stage: AntherStage | None
    found_ripe: bool
    right_floret: bool | None


@dataclass(frozen=True, slots=True)
class FloretCount:
    """Florets of one photo.

    Parameters
    ----------
    there, found, matched
        How many there are, were reported and belong together.
    clipped_right
        In how many pairs clipped or not was told rightly.
    """

    there: int
    found: int
    matched: int
    clipped_right: int


@dataclass(frozen=True, slots=True)
class CavityCount:
    """Florets of one photo that can be looked into.

    Parameters
    ----------
    there
        How many clipped ones show at least half of their opening.
    matched
        How many of them were reported.
    imagined
        Florets reported as looked into where there is none at all. One reported where there is one
        that shows less of its opening is neither right nor wrong.
    """

    there: int
    matched: int
    imagined: int


@dataclass(frozen=True, slots=True)
class Comparison:
    """One photo set against its truth.

    Parameters
    ----------
    file
        Name of the image.
    true_verdict, verdict
        The right answer (None when not known) and the answer.
    has_leftover
        Whether an anther is really there.
    judgeable
        Whether nothing hides florets; a photo whose problems are not recorded counts as such.
    anthers
        Every true anther.
    reported
        Stage of every reported anther that counts and whether it is one, however small; None when
        not every visible anther is marked, so that a report without a partner proves nothing.
    false_scores
        Scores of all marks that are no anther, whether they count or not; None as above.
    false_florets
        Florets told as such that may hold an anther, without a mark and without an anther; None
        when anthers or florets are not all marked.
    florets, cavities
        None when not marked.
    true_problems, problems
        The right photo problems (None when not known) and the reported ones.
    scale_error
        Reported scale divided by the true one, minus 1; None when either is missing.
    scale_held
        Whether the true scale lies within the reported bounds.
    unfamiliar
        Whether the photo was told to be unlike those the finder knows.
    families
        To which family of each kind the image belongs; empty for photos.
    """

    file: str
    true_verdict: Verdict | None
    verdict: Verdict
    has_leftover: bool
    judgeable: bool
    anthers: tuple[AntherCount, ...]
    reported: tuple[tuple[AntherStage, bool], ...] | None
    false_scores: tuple[float, ...] | None
    false_florets: int | None
    florets: FloretCount | None
    cavities: CavityCount | None
    true_problems: frozenset[QualityProblem] | None
    problems: frozenset[QualityProblem]
    scale_error: float | None
    scale_held: bool | None
    unfamiliar: bool
    families: Mapping[str, str]

    @property
    def passed(self) -> bool:
        """Whether the answer is pass."""
        return self.verdict is Verdict.PASS

    @property
    def good(self) -> bool:
        """Whether nothing is wrong with photo and preparation, as far as anybody recorded."""
        return not self.true_problems

    @property
    def false_marks(self) -> int | None:
        """Reported anthers that are none; None when that cannot be said."""
        return None if self.reported is None else sum(not there for _, there in self.reported)

    def shows(self, least_mm2: float) -> bool:
        """Whether this much of a leftover shows; one whose area nobody recorded shows enough."""
        return any(
            anther.visible_area_mm2 is None or anther.visible_area_mm2 >= least_mm2
            for anther in self.anthers
        )
