"""The two addresses that set and take the cookie of a sign-in."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING

import pytest
from starlette.requests import Request
from streamlit import config

import resources
import server

if TYPE_CHECKING:
    from starlette.responses import Response

    from spikecheck.access.sign_ins import SignIns

HERE = {"origin": "http://127.0.0.1:8501", "host": "127.0.0.1:8501"}


def ask(what: str, body: str = "", **headers: str) -> Response:
    """Ask the server as a browser does."""

    async def receive() -> dict[str, object]:
        return {"type": "http.request", "body": body.encode(), "more_body": False}

    given = [(name.encode(), value.encode()) for name, value in headers.items()]
    request = Request({"type": "http", "method": "POST", "headers": given}, receive)
    return asyncio.run(getattr(server, what)(request))


@pytest.fixture
def sign_ins(store: object) -> SignIns:
    """The sign-ins of this server."""
    return resources.door().sign_ins


def test_a_ticket_fetches_the_cookie_once(sign_ins: SignIns):
    token = sign_ins.begin("Ines", "digest")
    ticket = sign_ins.ticket(token)
    answer = ask("keep", ticket, **HERE)
    assert answer.status_code == 204
    cookie = answer.headers["set-cookie"]
    assert cookie.startswith(f"spikecheck_signed_in={token}; HttpOnly; Max-Age=4")
    assert "; Path=/; SameSite=strict" in cookie
    assert "Secure" not in cookie
    assert ask("keep", ticket, **HERE).status_code == 403


def test_with_a_certificate_the_cookie_goes_by_https_alone(sign_ins: SignIns):
    config.set_option("server.sslCertFile", "page.pem")
    try:
        answer = ask("keep", sign_ins.ticket(sign_ins.begin("Ines", "digest")), **HERE)
    finally:
        config.set_option("server.sslCertFile", None)
    assert "; Secure" in answer.headers["set-cookie"]


@pytest.mark.parametrize(
    "headers",
    [
        {"host": "127.0.0.1:8501"},
        {"origin": "null", "host": "127.0.0.1:8501"},
        {"origin": "http://elsewhere.example", "host": "127.0.0.1:8501"},
        {"origin": "http://127.0.0.1:8502", "host": "127.0.0.1:8501"},
    ],
)
def test_another_site_signs_nobody_in_or_out(sign_ins: SignIns, headers: dict[str, str]):
    token = sign_ins.begin("Ines", "digest")
    ticket = sign_ins.ticket(token)
    assert ask("keep", ticket, **headers).status_code == 403
    answer = ask("end", cookie=f"spikecheck_signed_in={token}", **headers)
    assert answer.status_code == 403
    assert sign_ins.of(token) is not None
    assert ask("keep", ticket, **HERE).status_code == 204


@pytest.mark.parametrize("ticket", ["", "x", "\N{EAR OF RICE}" * 400])
def test_no_other_ticket_fetches_anything(sign_ins: SignIns, ticket: str):
    sign_ins.ticket(sign_ins.begin("Ines", "digest"))
    answer = ask("keep", ticket, **HERE)
    assert answer.status_code == 403
    assert "set-cookie" not in answer.headers


def test_signing_out_ends_what_the_cookie_began(sign_ins: SignIns):
    token = sign_ins.begin("Ines", "digest")
    answer = ask("end", cookie=f"spikecheck_signed_in={token}", **HERE)
    assert answer.status_code == 204
    assert "Max-Age=0" in answer.headers["set-cookie"]
    assert sign_ins.of(token) is None
