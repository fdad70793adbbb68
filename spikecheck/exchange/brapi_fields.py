"""Where our words stand in BrAPI v2.1, both ways.

A crossing project is BrAPI's crossing project, a planned cross its planned cross, and each
emasculated spike one of its crosses: a cross made, with its own parents, pollination and outcome.
What BrAPI has no field for stands in ``additionalInfo`` under the one key ``spikecheck``; the
verdict, the leftover anthers found, the photos, the growth stage and the technician stand in
``crossAttributes``, where other programs show them. A control spike is a cross of type SELF of its
female alone: all seed it may set is selfed.
"""

from __future__ import annotations

OWN = "spikecheck"
PROJECTS, PLANNED, CROSSES = "crossingprojects", "plannedcrosses", "crosses"
ENDPOINTS = (PROJECTS, PLANNED, CROSSES)

VERDICT = "verdict of the check"
LEFTOVERS = "leftover anthers found"
PHOTO = "photo SHA-256"
GROWTH_STAGE = "growth stage (BBCH)"
TECHNICIAN = "emasculated by"

# Fields of SpikeRecord kept in additionalInfo, each with its key there.
TEXTS = {
    "crop": "crop", "session": "session", "place": "place", "tag": "tag", "method": "method",
    "checked_by": "checkedBy", "pollinated_by": "pollinatedBy", "given_up_reason": "givenUpReason",
}  # fmt: skip
NUMBERS = {
    "spike": "spike", "florets": "florets", "anthers": "anthers", "seeds": "seeds",
    "seed_florets": "seedFlorets", "tested": "tested", "selfed": "selfed",
}  # fmt: skip
MOMENTS = {
    "selected_at": "selectedAt", "emasculated_at": "emasculatedAt", "checked_at": "checkedAt",
    "bagged_at": "baggedAt", "pollen_at": "pollenAt", "rebagged_at": "rebaggedAt",
    "harvested_at": "harvestedAt", "threshed_at": "threshedAt", "given_up_at": "givenUpAt",
}  # fmt: skip
FLAGS = {"control": "control", "overridden": "overridden", "near_anthesis": "nearAnthesis"}
