"""What kind of plant is wanted, and the names of the families that are left out in turn."""

from __future__ import annotations

from dataclasses import dataclass

from spikecheck.errors import UsageError

STATES = ("prepared", "partly", "heading", "anthesis")
PLANT_FAMILIES = ("awnless_green", "awned_green", "waxy", "purple", "straw_tipped", "hairy")
POSE_FAMILIES = ("deep", "in_cavity", "hanging", "outside", "broken", "none")


@dataclass(frozen=True, slots=True)
class PlantWish:
    """The plant that is wanted.

    Parameters
    ----------
    state
        ``prepared``: trimmed, clipped; ``partly``: the same with uncut or central florets left;
        ``heading``: a whole spike, nothing out; ``anthesis``: a whole spike with anthers out.
    leftovers
        Leftover anthers on a prepared or partly prepared spike, anthers out at anthesis; None
        draws a number that suits the state and the pose family.
    plant_family
        One of :data:`PLANT_FAMILIES`.
    pose_family
        One of :data:`POSE_FAMILIES`: where leftovers sit.
    littered
        Whether much more than usual has fallen on, grown on or dried on it.

    Raises
    ------
    UsageError
        If a name is unknown or the number is negative.
    """

    state: str
    leftovers: int | None
    plant_family: str
    pose_family: str
    littered: bool = False

    def __post_init__(self) -> None:
        for value, known in (
            (self.state, STATES),
            (self.plant_family, PLANT_FAMILIES),
            (self.pose_family, POSE_FAMILIES),
        ):
            if value not in known:
                raise UsageError(f"{value} is none of {', '.join(known)}")
        if self.leftovers is not None and self.leftovers < 0:
            raise UsageError(f"leftovers are 0 or more, got {self.leftovers}")

    @property
    def trimmed(self) -> bool:
        """Whether scissors have been at it."""
        return self.state in ("prepared", "partly")
