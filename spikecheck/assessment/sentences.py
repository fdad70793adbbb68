"""The sentences that reasons are made of, in English and whole, as they stand in results.

They stand apart from their making so that :mod:`spikecheck.assessment.retelling` finds a recorded
reason among them. A sentence that is changed here is told in English in the records from before.
"""

from __future__ import annotations

from spikecheck.language import N_, NN_
from spikecheck.vocabulary import AntherStage, QualityProblem, ReasonCode, Side

SIDES = {Side.LEFT: N_("left side"), Side.RIGHT: N_("right side"), Side.FRONT: N_("front")}
ORDINALS = {1: N_("{n}st"), 2: N_("{n}nd"), 3: N_("{n}rd")}
OTHER_ORDINAL = N_("{n}th")
FLORET = N_("{id} ({side}, {place} from the base)")
FLORET_WITHOUT_NUMBER = N_("{id} ({side})")

STAGES = {
    AntherStage.GREEN: N_("green"),
    AntherStage.YELLOW: N_("yellow"),
    AntherStage.DEHISCED: N_("dehisced"),
}
TURNING_YELLOW = N_("yellow-green")
ANTHER = N_("{stage} anther")
PIECE = N_("piece of a {stage} anther")
POSSIBLE = N_("possible {name}")
IN_FLORET = N_("{anther} in floret {floret}")
OUTSIDE = N_("{anther} outside the florets")
MORE_THERE = NN_("{mark}, and {n} more such mark there", "{mark}, and {n} more such marks there")

TOO_CLOSE = N_("Too close to anthesis: pollen may already be out ({mark}).")
TOO_CLOSE_WITH_CURE = N_(
    "Too close to anthesis: pollen may already be out ({mark}). Set the spike aside unless you are "
    "sure that none was shed."
)
ANTHER_LEFT = NN_(
    "{mark}: pull it out and take the photo again.",
    "{mark}: pull them out and take the photo again.",
)
ANTHER_SUSPECTED = N_(
    "Possible anther in floret {floret}: look into it, pull out what is left and take the photo "
    "again."
)
ANTHER_OUTSIDE = N_("{mark}: take it off and take the photo again.")
NOT_CLIPPED = N_(
    "No cut opening was seen at floret {floret}: not clipped, turned away or hidden. Clip its top "
    "and take out its three anthers, or turn the spike until the opening shows, then take the "
    "photo again."
)
MANY_NOT_CLIPPED = N_("No cut opening was seen at {n} florets: they are marked in the photo.")
NO_OPENING = N_(
    "No cut opening was seen at floret {floret}: not clipped, turned away or hidden. Turn the "
    "spike until the opening shows, or open the floret and look, then take the photo again."
)
NOT_FAR_ENOUGH = N_(
    "The opening of floret {floret} cannot be looked into far enough: turn the spike until it can, "
    "or open the floret and look, then take the photo again."
)
UNFAMILIAR = N_(
    "This photo is unlike the ones this check knows (another crop, view or light), so what it does "
    "not see proves nothing: take it again in even light with one prepared spike flat to the "
    "camera, or look over every floret yourself."
)
PART_NOT_READ = N_(
    "{share} of the spike's length could not be read: take the photo again with the spike flat to "
    "the camera and nothing over it."
)
TOO_FEW_FLORETS = NN_(
    "Only {n} floret was recognised where a prepared spike shows {least} or more: look over the "
    "spike, and take the photo again from nearer or from another face.",
    "Only {n} florets were recognised where a prepared spike shows {least} or more: look over the "
    "spike, and take the photo again from nearer or from another face.",
)
NOT_JUDGEABLE = N_("The photo cannot be judged: take it again.")
SEVERAL_TAGS = N_(
    "Different tags are in view ({codes}): make sure that all photos are of one spike, and take "
    "them again with no other tag in the picture."
)
RISK_TOO_HIGH = N_(
    "Taken together, the chance that an anther was left is put at {chance}, above the {most} "
    "allowed: look over every floret once more."
)
ONE_FACE_ONLY = N_(
    "Only one face was photographed and nothing is known of the other: photograph the other face "
    "too, or look it over."
)
AND_MORE = {
    ReasonCode.TOO_CLOSE_TO_ANTHESIS: NN_(
        "And {n} more such anther is marked in the photo.",
        "And {n} more such anthers are marked in the photo.",
    ),
    ReasonCode.ANTHER_LEFT: NN_(
        "And {n} more anther is marked in the photo.",
        "And {n} more anthers are marked in the photo.",
    ),
    ReasonCode.ANTHER_OUTSIDE_FLORET: NN_(
        "And {n} more anther outside a floret is marked in the photo.",
        "And {n} more such anthers are marked in the photo.",
    ),
    ReasonCode.FLORET_NOT_CLIPPED: NN_(
        "And {n} more floret not clipped is marked in the photo.",
        "And {n} more florets not clipped are marked in the photo.",
    ),
    ReasonCode.FLORET_NOT_SEEN: NN_(
        "And {n} more floret not seen is marked in the photo.",
        "And {n} more florets not seen are marked in the photo.",
    ),
}
IN_PHOTO = N_("Photo {number}: {message}")
WHOLE_PERCENT = N_("{n}%")

# Whole sentences first, and of those the one that says more before the one that it begins with.
ALL: tuple[str | tuple[str, str], ...] = (
    IN_PHOTO, TOO_CLOSE_WITH_CURE, TOO_CLOSE, ANTHER_LEFT, ANTHER_SUSPECTED, ANTHER_OUTSIDE,
    NOT_CLIPPED, MANY_NOT_CLIPPED, NO_OPENING, NOT_FAR_ENOUGH, UNFAMILIAR, PART_NOT_READ,
    TOO_FEW_FLORETS, NOT_JUDGEABLE, SEVERAL_TAGS, RISK_TOO_HIGH, ONE_FACE_ONLY,
    *AND_MORE.values(), *(problem.told for problem in QualityProblem),
    MORE_THERE, IN_FLORET, OUTSIDE, POSSIBLE, PIECE, ANTHER, FLORET, FLORET_WITHOUT_NUMBER,
    *ORDINALS.values(), OTHER_ORDINAL, WHOLE_PERCENT,
    *SIDES.values(), *STAGES.values(), TURNING_YELLOW,
)  # fmt: skip
"""Every text above; a pair has a form for one thing and one for several, ``{n}`` of them."""
