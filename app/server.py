"""What `spikecheck app` runs: the page, and two addresses that set and take a cookie.

A script of a page can set no cookie that scripts cannot read; a server can. So the page hands the
browser a ticket that is good once, and the browser fetches the cookie for it. Somebody who runs
the page without this file has to sign in again after each reload, nothing else.
"""

from __future__ import annotations

from typing import TYPE_CHECKING
from urllib.parse import urlsplit

import streamlit as st
from starlette.responses import Response
from starlette.routing import Route
from streamlit.starlette import App

import resources
from who import COOKIE

if TYPE_CHECKING:
    from starlette.requests import Request

KEEP, END = "/sign-in/keep", "/sign-in/end"
_LONGEST_TICKET = 100


async def keep(request: Request) -> Response:
    """Set the cookie of the ticket in the body: for this site alone, unseen by scripts."""
    if not _from_here(request):
        return Response(status_code=403)
    ticket = (await request.body())[:_LONGEST_TICKET].decode("ascii", "replace")
    redeemed = resources.door().sign_ins.redeem(ticket)
    if redeemed is None:
        return Response(status_code=403)
    token, seconds = redeemed
    answer = Response(status_code=204)
    answer.set_cookie(
        COOKIE, token, max_age=seconds, path="/", httponly=True, samesite="strict",
        secure=bool(st.get_option("server.sslCertFile")),
    )  # fmt: skip
    return answer


async def end(request: Request) -> Response:
    """Take the cookie away; its sign-in is over."""
    if not _from_here(request):
        return Response(status_code=403)
    resources.door().sign_ins.end(request.cookies.get(COOKIE, ""))
    answer = Response(status_code=204)
    answer.delete_cookie(COOKIE, path="/", httponly=True, samesite="strict")
    return answer


def _from_here(request: Request) -> bool:
    """Return whether a page of this server asks: no other may sign a browser in or out."""
    origin = urlsplit(request.headers.get("origin", ""))
    return bool(origin.netloc) and origin.netloc == request.headers.get("host")


app = App(
    "streamlit_app.py",
    routes=[Route(KEEP, keep, methods=["POST"]), Route(END, end, methods=["POST"])],
)
