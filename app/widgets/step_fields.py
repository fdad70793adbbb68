"""What is asked of each kind of step, and the step that the answers make."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import streamlit as st

from spikecheck.bookkeeping.local_time import read_moment
from spikecheck.bookkeeping.seed_count import seed_count
from spikecheck.errors import UsageError
from spikecheck.language import _
from spikecheck.vocabulary import StepKind
from spikecheck.vocabulary.steps import (
    THIRDS,
    Bagged,
    Emasculated,
    GivenUp,
    Harvested,
    KeptAsControl,
    Pollinated,
    Rebagged,
    SeedTested,
    Selected,
    Tagged,
)
from spikecheck.vocabulary.tag_code import read_code
from spikecheck.vocabulary.words import third_word

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import datetime

    from spikecheck.bookkeeping.recording import DetailOf
    from spikecheck.bookkeeping.season_of_store import SeasonOfStore
    from spikecheck.vocabulary import SpikeRecord
    from spikecheck.vocabulary.steps import StepDetail


def show_fields(kind: StepKind, *, key: str) -> None:
    """Show what is asked of this kind of step; ``key`` begins the keys of the inputs."""
    if kind in _ASK:
        _ASK[kind](key)


def read_detail(kind: StepKind, *, key: str, season: SeasonOfStore) -> DetailOf:
    """Return what makes the step of a spike from the answers.

    Raises
    ------
    SpikecheckError
        If an answer is missing or cannot be.
    """
    if kind in _PLAIN:
        return lambda _: _PLAIN[kind]
    return _READ[kind](key, season)


def _ask_selected(key: str) -> None:
    _whole(_("Growth stage, BBCH (may stay empty)"), f"{key}-stage")


def _selected(key: str, _: SeasonOfStore) -> DetailOf:
    detail = Selected(_number(f"{key}-stage"))
    return lambda _: detail


def _ask_tagged(key: str) -> None:
    st.text_input(_("Code of the tag, as printed on it"), key=f"{key}-code")


def _tagged(key: str, _: SeasonOfStore) -> DetailOf:
    detail = Tagged(read_code(_text(f"{key}-code")))
    return lambda _: detail


def _ask_emasculated(key: str) -> None:
    _whole(_("Florets kept"), f"{key}-florets")
    _whole(_("Anthers pulled, counted"), f"{key}-anthers")
    st.text_input(_("How, in your own words (may stay empty)"), key=f"{key}-method")
    st.checkbox(_("Some anthers were turning yellow: pollen is close"), key=f"{key}-yellow")


def _emasculated(key: str, _season: SeasonOfStore) -> DetailOf:
    detail = Emasculated(
        _needed(f"{key}-florets", _("florets kept")),
        _needed(f"{key}-anthers", _("anthers pulled")),
        _text(f"{key}-method"),
        bool(st.session_state[f"{key}-yellow"]),
    )
    return lambda _: detail


def _ask_bagged(key: str) -> None:
    st.text_input(_("Only without a check that holds: the reason why"), key=f"{key}-unchecked")


def _bagged(key: str, _: SeasonOfStore) -> DetailOf:
    detail = Bagged(_text(f"{key}-unchecked"))
    return lambda _: detail


def _ask_pollinated(key: str) -> None:
    with st.expander(_("Another male, or when the pollen was shed")):
        st.text_input(_("Male"), key=f"{key}-male", placeholder=_("As planned"))
        st.text_input(_("For another male than planned: the reason why"), key=f"{key}-other")
        st.text_input(
            _("When the pollen was shed or gathered"),
            key=f"{key}-pollen",
            placeholder=_("Like {clock} or {moment}").format(
                clock="09:30", moment="2026-05-04 09:30"
            ),
        )


def _pollinated(key: str, season: SeasonOfStore) -> DetailOf:
    male, reason, pollen = (_text(f"{key}-{name}") for name in ("male", "other", "pollen"))
    shed: datetime | None = None
    if pollen:
        shed = read_moment(pollen, now=season.now, zone=season.zone)

    def detail(spike: SpikeRecord) -> StepDetail:
        return Pollinated(male or spike.male, shed, reason)

    return detail


def _ask_threshed(key: str) -> None:
    _whole(_("Seeds set"), f"{key}-seeds")
    _whole(_("Of how many florets (empty: those kept)"), f"{key}-florets")
    with st.expander(_("By thirds of the spike")):
        for third in THIRDS:
            _whole(
                _("{third} third: seeds").format(third=third_word(third).capitalize()),
                f"{key}-{third}-seeds",
            )
            _whole(
                _("{third} third: florets").format(third=third_word(third).capitalize()),
                f"{key}-{third}-florets",
            )


def _threshed(key: str, _: SeasonOfStore) -> DetailOf:
    seeds, florets = _number(f"{key}-seeds"), _number(f"{key}-florets")
    thirds = [(_number(f"{key}-{one}-seeds"), _number(f"{key}-{one}-florets")) for one in THIRDS]
    return lambda spike: seed_count(spike, seeds, florets, thirds)


def _ask_seed_tested(key: str) -> None:
    _whole(_("F1 seeds tested"), f"{key}-tested")
    _whole(_("How many of them were selfed"), f"{key}-selfed")


def _seed_tested(key: str, _season: SeasonOfStore) -> DetailOf:
    detail = SeedTested(
        _needed(f"{key}-tested", _("seeds tested")), _needed(f"{key}-selfed", _("selfed seeds"))
    )
    return lambda _: detail


def _ask_given_up(key: str) -> None:
    st.text_input(_("Why nothing more comes of it"), key=f"{key}-why")


def _given_up(key: str, _: SeasonOfStore) -> DetailOf:
    detail = GivenUp(_text(f"{key}-why"))
    return lambda _: detail


_PLAIN: dict[StepKind, StepDetail] = {
    StepKind.KEPT_AS_CONTROL: KeptAsControl(),
    StepKind.REBAGGED: Rebagged(),
    StepKind.HARVESTED: Harvested(),
}
_ASK: dict[StepKind, Callable[[str], None]] = {
    StepKind.SELECTED: _ask_selected,
    StepKind.TAGGED: _ask_tagged,
    StepKind.EMASCULATED: _ask_emasculated,
    StepKind.BAGGED: _ask_bagged,
    StepKind.POLLINATED: _ask_pollinated,
    StepKind.THRESHED: _ask_threshed,
    StepKind.SEED_TESTED: _ask_seed_tested,
    StepKind.GIVEN_UP: _ask_given_up,
}
_READ: dict[StepKind, Callable[[str, SeasonOfStore], DetailOf]] = {
    StepKind.SELECTED: _selected,
    StepKind.TAGGED: _tagged,
    StepKind.EMASCULATED: _emasculated,
    StepKind.BAGGED: _bagged,
    StepKind.POLLINATED: _pollinated,
    StepKind.THRESHED: _threshed,
    StepKind.SEED_TESTED: _seed_tested,
    StepKind.GIVEN_UP: _given_up,
}


def _whole(label: str, key: str) -> None:
    st.number_input(label, min_value=0, value=None, step=1, key=key)


def _number(key: str) -> int | None:
    value: Any = st.session_state[key]
    return None if value is None else int(value)


def _needed(key: str, what: str) -> int:
    value = _number(key)
    if value is None:
        raise UsageError(
            _("{what}: no number is given").format(what=what), cure=_("Count, and fill it in")
        )
    return value


def _text(key: str) -> str:
    return str(st.session_state[key]).strip()
