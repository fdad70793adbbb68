"""Who sits in front of the page, and what that person may do: asked on the server, every time."""

from __future__ import annotations

from ipaddress import ip_address
from pathlib import Path
from typing import TYPE_CHECKING

import streamlit as st
from streamlit.runtime.scriptrunner import get_script_run_ctx

import resources
from spikecheck.access import Action, Person, Role, may, require
from spikecheck.errors import AccessError
from spikecheck.language import _
from visit import current_visit

if TYPE_CHECKING:
    from spikecheck.access.door import Door

COOKIE = "spikecheck_signed_in"
"""Name of the cookie that carries a sign-in over a reload of the page."""

_TOKEN, _OWNER, _REFUSED, _LEFT = "signed-in", "owner", "refused", "signed-out"


def current_person() -> Person:
    """Return the person of this visit, as the people file has it now.

    Where nobody signs in, the page is served to this machine alone, and whoever sits at it may do
    everything.

    Raises
    ------
    AccessError
        If this visit has to sign in first, or nobody can be let in.
    """
    person = _person()
    if person is None:
        raise AccessError(_("you are not signed in"), cure=_("Sign in first"))
    return person


def is_to_sign_in() -> bool:
    """Return whether this visit has to sign in before anything else.

    Raises
    ------
    AccessError
        If nobody can be let in.
    """
    return _person() is None


def allowed(action: Action) -> bool:
    """Return whether this visit's person may do this: for leaving out what would be refused."""
    try:
        return may(current_person().role, action)
    except AccessError:
        return False


def require_here(action: Action) -> Person:
    """Return this visit's person, who may do this.

    Every page asks it before it shows anything, and every callback before it does anything: a
    button that is not shown can still be pressed from outside. A refused callback ends there; the
    page is then drawn as it is for the person now, with a line that says why.

    Raises
    ------
    AccessError
        If the person may not, or has to sign in first.
    """
    try:
        person = current_person()
        require(person, action)
    except AccessError as error:
        if _in_callback():
            st.session_state[_REFUSED] = str(error)
            st.rerun()
        raise
    return person


def take_refusal() -> str:
    """Return why the last callback was refused, once; empty when none was."""
    return str(st.session_state.pop(_REFUSED, ""))


def served_here_only() -> bool:
    """Return whether only this machine can reach the page."""
    address = st.get_option("server.address")
    try:
        return address == "localhost" or ip_address(address or "").is_loopback
    except ValueError:
        return False


def let_in(token: str) -> None:
    """Take a sign-in for this tab."""
    st.session_state.pop(_LEFT, None)
    st.session_state[_TOKEN] = token


def let_out() -> None:
    """End the sign-in of this tab and forget all that its person did in it."""
    resources.door().sign_ins.end(_token())
    st.session_state.clear()
    st.session_state[_LEFT] = True


def left() -> bool:
    """Return whether somebody has signed out of this tab since."""
    return bool(st.session_state.get(_LEFT))


def ticket() -> str:
    """Return what lets this browser fetch the sign-in of this tab as a cookie; empty without one.

    The same is returned until it was used, so that the page does not fetch again and again.
    """
    if _TOKEN not in st.session_state:
        return ""
    if "ticket" not in st.session_state:
        st.session_state["ticket"] = resources.door().sign_ins.ticket(st.session_state[_TOKEN])
    return str(st.session_state["ticket"])


def keep_apart(person: Person) -> None:
    """Forget what somebody else did in this tab; write the person's name under what is recorded."""
    if not person.signed_in:
        return
    if st.session_state.get(_OWNER) != person.name:
        token = st.session_state.get(_TOKEN)
        st.session_state.clear()
        st.session_state[_OWNER] = person.name
        if token is not None:
            st.session_state[_TOKEN] = token
    current_visit().by = person.name


def _person() -> Person | None:
    door = resources.door()
    try:
        people = door.people()
    except AccessError as error:
        # Whoever is not let in need not know where on this machine the file lies.
        raise AccessError(error.what, where=Path(error.where).name, cure=error.cure) from error
    if people is not None:
        return door.person(_token()) or _identified(door)
    if not served_here_only():
        raise AccessError(
            _("this page is open to the network, but nobody can sign in yet"),
            cure=_("On the machine that serves it: spikecheck people add NAME --role supervisor"),
        )
    return Person(current_visit().by.strip(), Role.SUPERVISOR, signed_in=False)


def _token() -> str:
    """Return the token of this tab's sign-in, or that of the browser's where the tab has none."""
    if _TOKEN in st.session_state:
        return str(st.session_state[_TOKEN])
    return "" if left() else str(st.context.cookies.get(COOKIE, ""))


def _identified(door: Door) -> Person | None:
    return door.identified(st.user.to_dict()) if st.user.get("is_logged_in") else None


def _in_callback() -> bool:
    context = get_script_run_ctx(suppress_warning=True)
    return context is not None and not context.has_script_started
