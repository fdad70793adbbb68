"""The kinds of image the generator makes, each with its right answer."""

from __future__ import annotations

from dataclasses import dataclass

from spikecheck.errors import UsageError
from spikecheck.synthetic.leftovers import LeftoverWish, Place
from spikecheck.synthetic.preparation import Preparation
from spikecheck.vocabulary import AntherStage, QualityProblem, Verdict

FULLY_PREPARED = Preparation()


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of image.

    Parameters
    ----------
    name
        Its name.
    shows
        What it shows, in one sentence.
    verdict
        The right answer.
    problems
        The right photo problems.
    leftovers
        What anthers are left, or None.
    preparation
        What was done to the spike.
    """

    name: str
    shows: str
    verdict: Verdict = Verdict.REVIEW
    problems: tuple[QualityProblem, ...] = ()
    leftovers: LeftoverWish | None = None
    preparation: Preparation = FULLY_PREPARED

    @property
    def picture_problem(self) -> QualityProblem | None:
        """What is wrong with the picture rather than with the spike."""
        return next((p for p in self.problems if p is not QualityProblem.NOT_PREPARED), None)

    @property
    def has_spike(self) -> bool:
        """Whether a spike is in it."""
        return QualityProblem.NO_SPIKE not in self.problems


_FAULTS = {
    QualityProblem.DEFOCUS: "A prepared spike out of focus.",
    QualityProblem.MOTION: "A prepared spike smeared by movement.",
    QualityProblem.DARK: "A prepared spike much too dark.",
    QualityProblem.OVEREXPOSED: "A prepared spike burnt out to white.",
    QualityProblem.TOO_SMALL: "A prepared spike from too far away.",
    QualityProblem.CUT_OFF: "A prepared spike that runs out of the frame.",
    QualityProblem.OCCLUDED: "A prepared spike with a finger, leaf or tag over florets.",
    QualityProblem.SEVERAL_SPIKES: "Two prepared spikes side by side.",
    QualityProblem.NO_SPIKE: "No spike: a leaf, fingers, a tag or an empty background.",
}

_ALL = (
    Kind("clean", "A fully prepared spike without a leftover.", Verdict.PASS),
    Kind("leftover", "Anthers of any stage left at any height.", leftovers=LeftoverWish()),
    Kind("leftover_green", "Green anthers left.",
         leftovers=LeftoverWish(stages=(AntherStage.GREEN,))),
    Kind("leftover_yellow", "Yellow anthers left.",
         leftovers=LeftoverWish(stages=(AntherStage.YELLOW,))),
    Kind("leftover_dehisced", "Dehisced anthers left.",
         leftovers=LeftoverWish(stages=(AntherStage.DEHISCED,))),
    Kind("leftover_outside", "Anthers that cling outside the florets.",
         leftovers=LeftoverWish(places=(Place.OUTSIDE,))),
    Kind("leftover_broken", "Pieces of anthers left.", leftovers=LeftoverWish(broken=1.0)),
    Kind("turned_away", "A clean spike, part of its openings turned away.",
         preparation=Preparation(turned_away_share=0.35)),
    Kind("partly_prepared", "Some florets not clipped or central florets left.",
         problems=(QualityProblem.NOT_PREPARED,),
         preparation=Preparation(clipped_share=0.6, central_share=0.35)),
    Kind("unprepared", "A spike at heading, untouched.",
         problems=(QualityProblem.NOT_PREPARED,),
         preparation=Preparation(
             clipped_share=0.0, central_share=1.0, spikelets=(16, 20))),
    *(Kind(problem.value, shows, problems=(problem,)) for problem, shows in _FAULTS.items()),
)  # fmt: skip

KINDS: dict[str, Kind] = {kind.name: kind for kind in _ALL}


def kind_of(name: str) -> Kind:
    """Return a kind by its name.

    Raises
    ------
    UsageError
        If there is none of that name.
    """
    if name not in KINDS:
        raise UsageError(
            f"no kind of image is named {name!r}", cure=f"Choose from {', '.join(KINDS)}"
        )
    return KINDS[name]
