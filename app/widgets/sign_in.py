"""The way in and the way out."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

import streamlit as st

import resources
from spikecheck.access.names import LONGEST_NAME
from spikecheck.access.roles import ROLE_WORDS
from spikecheck.errors import AccessError
from spikecheck.language import _
from who import left, let_in, let_out, ticket
from widgets.plain import Tone, heading, notice, show_problems, strong
from widgets.style import SIGN_IN

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from spikecheck.access import Person

_NAME, _PASSWORD, _PROBLEM = "sign-in-name", "sign-in-password", "sign-in-problem"


def show_sign_in() -> None:
    """Show the ways to sign in that there are."""
    if left():
        _ask_server("end", "")
    heading(_("Sign in"))
    if refused := take_unknown_identity():
        notice(refused, tone=Tone.PROBLEM)
        st.button(_("Sign in as somebody else"), on_click=_sign_out, width="stretch")
        return
    with st.container(key=SIGN_IN), st.form("sign-in", border=False):
        st.text_input(_("Name"), key=_NAME, max_chars=LONGEST_NAME, autocomplete="username")
        st.text_input(
            _("Password"), key=_PASSWORD, type="password", autocomplete="current-password"
        )
        st.form_submit_button(_("Sign in"), type="primary", on_click=_sign_in, width="stretch")
    if problem := st.session_state.get(_PROBLEM):
        show_problems([problem])
    for provider in providers():
        words = _("Sign in with {provider}").format(provider=provider or "OpenID Connect")
        if st.button(words, key=f"openid-{provider}", width="stretch"):
            st.login(provider or None)


def keep_signed_in() -> None:
    """Let the browser carry the sign-in over a reload of the page."""
    if given := ticket():
        _ask_server("keep", given)


def show_person(person: Person) -> None:
    """Show who is signed in, with the way out; nothing where nobody signs in."""
    if not person.signed_in:
        return
    strong(f"{person.name} · {_(ROLE_WORDS[person.role])}")
    st.button(_("Sign out"), on_click=_sign_out, width="stretch")


def providers() -> Sequence[str]:
    """Return the OpenID Connect providers in Streamlit's secrets; an unnamed one is empty text."""
    auth = st.secrets.get("auth", {}) if st.secrets.load_if_toml_exists() else {}
    named = [name for name, section in auth.items() if "client_id" in _section(section)]
    return ["", *named] if "client_id" in auth else named


def take_unknown_identity() -> str:
    """Return why an identity that a provider vouched for does not let in; empty without one."""
    if not st.user.get("is_logged_in"):
        return ""
    claims = st.user.to_dict()
    if resources.door().is_old(claims):
        return _("Your sign-in has ended. Sign in again.")
    return _(
        "Nobody in this team has the identity that you signed in with. Ask a supervisor to add it."
    )


def _section(value: object) -> Collection[str]:
    return value if isinstance(value, Mapping) else ()


def _sign_in() -> None:
    typed = st.session_state
    try:
        token = resources.door().sign_in(str(typed[_NAME]), str(typed[_PASSWORD]))
    except AccessError as error:
        typed[_PROBLEM] = str(error)
    else:
        typed.pop(_PROBLEM, None)
        let_in(token)
    typed[_PASSWORD] = ""


def _sign_out() -> None:
    let_out()
    if st.user.get("is_logged_in"):
        st.logout()


def _ask_server(what: str, body: str) -> None:
    """Let the browser ask this server; both texts are the server's own, safe in a script."""
    st.html(
        f'<script>fetch("/sign-in/{what}", {{method: "POST", body: "{body}"}})</script>',
        unsafe_allow_javascript=True,
    )
