"""One entity of a BrAPI file, whose every error says where it stands."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from spikecheck.errors import ExchangeError, PedigreeError, UsageError
from spikecheck.exchange import brapi_fields as at
from spikecheck.exchange.brapi_checking import pointer
from spikecheck.vocabulary import format_pedigree, parse_pedigree
from spikecheck.vocabulary.text import tidy_name

if TYPE_CHECKING:
    from collections.abc import Callable

_CROSSES_OF_TWO = (None, "BIPARENTAL")


@dataclass(frozen=True, slots=True)
class Entity:
    """An entity, or an object inside one, of types that were checked.

    Parameters
    ----------
    endpoint
        Whose list it is of.
    place
        Its place in the list, from 0.
    data
        Its fields.
    path
        Where it stands in the entity; empty for the entity itself.
    ignored
        Counts of what of it could not be kept.
    """

    endpoint: str
    place: int
    data: dict[str, Any]
    path: tuple[str | int, ...] = ()
    ignored: Counter[str] = field(default_factory=Counter)

    @property
    def own(self) -> Entity:
        """What stands in additionalInfo under our own key, empty in files of others."""
        return self.inner("additionalInfo").inner(at.OWN)

    def inner(self, key: str) -> Entity:
        """Return the object ``key``, empty where there is none."""
        return Entity(self.endpoint, self.place, self.data.get(key) or {}, (*self.path, key))

    def inners(self, key: str) -> list[Entity]:
        """Return the objects in the list ``key``, empty where there is none."""
        return [
            Entity(self.endpoint, self.place, one, (*self.path, key, number))
            for number, one in enumerate(self.data.get(key) or [])
        ]

    def where(self, *keys: str) -> str:
        """Return endpoint and JSON pointer of a field."""
        return f"{self.endpoint} {pointer(('result', 'data', self.place, *self.path, *keys))}"

    def text(self, key: str, tidy: Callable[..., str]) -> str:
        """Return a text as ``tidy`` leaves it, empty where there is none."""
        text = self.data.get(key)
        if not text:
            return ""
        try:
            return tidy(text, what=key)
        except UsageError as error:
            raise ExchangeError(error.what, where=self.where(key), cure=error.cure) from error

    def first_text(self, *keys: str, tidy: Callable[..., str], required: bool = True) -> str:
        """Return the first of several texts that is there."""
        found = next((text for key in keys if (text := self.text(key, tidy))), "")
        if required and not found:
            raise ExchangeError(
                f"{keys[0]} is missing", where=self.where(), cure=f"Add {' or '.join(keys)}"
            )
        return found

    def number(self, key: str) -> int | None:
        """Return a whole number, None where there is none; JSON may write it as 3.0."""
        value = self.data.get(key)
        return None if value is None else int(value)

    def moment(self, key: str) -> datetime | None:
        """Return a moment in UTC, None where there is none."""
        text = self.data.get(key)
        if not text:
            return None
        try:
            moment = datetime.fromisoformat(text)
            if moment.tzinfo is not None:
                return moment.astimezone(UTC)
        except (ValueError, OverflowError):
            pass
        raise ExchangeError(
            f"{text[:40]} is no moment with time zone", where=self.where(key),
            cure="Write it as RFC 3339 has it: 2026-05-04T09:00:00Z",
        )  # fmt: skip

    def pedigree(self, key: str) -> str:
        """Return a pedigree in its canonical form, empty where there is none."""
        text = self.data.get(key)
        if not text:
            return ""
        try:
            return format_pedigree(parse_pedigree(text))
        except PedigreeError as error:
            what = f"{error.what} ({error.where})" if error.where else error.what
            raise ExchangeError(what, where=self.where(key), cure=error.cure) from error

    def name(self) -> str:
        """Return the name of a parent."""
        return self.first_text("germplasmName", "germplasmDbId", tidy=tidy_name)

    def parents(self) -> tuple[Entity | None, Entity | None]:
        """Return the female and the male; None in an entity that is no cross of two.

        Raises
        ------
        ExchangeError
            If it is a cross of two and they are not told apart.
        """
        sides = [one for key in ("parent1", "parent2") if (one := self.inner(key)).data]
        by_type = {one.data.get("parentType"): one for one in sides}
        female, male = by_type.get("FEMALE"), by_type.get("MALE")
        if (female is None or male is None) and self.data.get("crossType") in _CROSSES_OF_TWO:
            missing = "FEMALE" if female is None else "MALE"
            raise ExchangeError(
                f"no parent is of type {missing}", where=self.where(),
                cure="Give parent1 and parent2 the parentType FEMALE and MALE",
            )  # fmt: skip
        return female, male

    def without_parents(self) -> str:
        """Return why an entity without female and male is left out."""
        return f"{self.where()}: crosses of type {self.data.get('crossType')} are not taken in"
