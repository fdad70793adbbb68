"""A tiny OpenID Connect provider for tests, on this machine: it vouches for whom it is told to.

Discovery, the authorization code flow and signed ID tokens as OpenID Connect Core 1.0 and Discovery
1.0 have them; nobody is asked anything.
"""

from __future__ import annotations

import base64
import hashlib
import json
import threading
import time
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import TYPE_CHECKING
from urllib.parse import parse_qs, urlencode, urlsplit

from joserfc import jwt
from joserfc.jwk import RSAKey

if TYPE_CHECKING:
    from collections.abc import Iterator

CLIENT, SECRET = "spikecheck-tests", "known-to-nobody-else"


class Provider(ThreadingHTTPServer):
    """Serves at ``issuer``; ``claims`` are those of whoever comes next."""

    def __init__(self) -> None:
        super().__init__(("127.0.0.1", 0), _Handler)
        self.issuer = f"http://127.0.0.1:{self.server_address[1]}"
        self.key = RSAKey.generate_key(2048, parameters={"kid": "test", "use": "sig"})
        self.claims: dict[str, object] = {}
        self.codes: dict[str, dict[str, str]] = {}

    def id_token(self, asked: dict[str, str]) -> str:
        """Return a signed ID token for a request (Core 1.0, section 2)."""
        now = int(time.time())
        claims = {
            "iss": self.issuer, "aud": CLIENT, "iat": now, "exp": now + 300,
            "nonce": asked.get("nonce", ""), **self.claims,
        }  # fmt: skip
        return jwt.encode({"alg": "RS256", "kid": "test"}, claims, self.key)


class _Handler(BaseHTTPRequestHandler):
    server: Provider

    def log_message(self, *_: object) -> None:
        """Say nothing."""

    def do_GET(self) -> None:
        address = urlsplit(self.path)
        asked = {name: values[0] for name, values in parse_qs(address.query).items()}
        issuer = self.server.issuer
        if address.path == "/.well-known/openid-configuration":
            self._answer({
                "issuer": issuer, "authorization_endpoint": f"{issuer}/authorize",
                "token_endpoint": f"{issuer}/token", "jwks_uri": f"{issuer}/keys",
                "response_types_supported": ["code"], "subject_types_supported": ["public"],
                "id_token_signing_alg_values_supported": ["RS256"],
                "code_challenge_methods_supported": ["S256"],
            })  # fmt: skip
        elif address.path == "/keys":
            self._answer({"keys": [self.server.key.as_dict(private=False)]})
        elif address.path == "/authorize" and asked.get("client_id") == CLIENT:
            code = f"code-{len(self.server.codes)}"
            self.server.codes[code] = asked
            back = urlencode({"code": code, "state": asked["state"]})
            self.send_response(302)
            self.send_header("Location", f"{asked['redirect_uri']}?{back}")
            self.end_headers()
        else:
            self.send_error(404)

    def do_POST(self) -> None:
        body = self.rfile.read(int(self.headers["Content-Length"])).decode()
        given = {name: values[0] for name, values in parse_qs(body).items()}
        asked = self.server.codes.pop(given.get("code", ""), None)
        if asked is None or not self._knows_the_secret() or not _verified(asked, given):
            self.send_error(400)
            return
        self._answer({
            "access_token": "none", "token_type": "Bearer", "expires_in": 300,
            "id_token": self.server.id_token(asked),
        })  # fmt: skip

    def _knows_the_secret(self) -> bool:
        proof = base64.b64encode(f"{CLIENT}:{SECRET}".encode()).decode()
        return self.headers.get("Authorization") == f"Basic {proof}"

    def _answer(self, told: object) -> None:
        body = json.dumps(told).encode()
        self.send_response(200)
        self.send_header("Content-Type", "application/json")
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)


def _verified(asked: dict[str, str], given: dict[str, str]) -> bool:
    """Return whether the proof key fits the one the flow began with (RFC 7636)."""
    digest = hashlib.sha256(given.get("code_verifier", "").encode()).digest()
    challenge = base64.urlsafe_b64encode(digest).rstrip(b"=").decode()
    return asked.get("code_challenge") == challenge


@contextmanager
def provider() -> Iterator[Provider]:
    """Run a provider until it is left."""
    with Provider() as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield server
        server.shutdown()
