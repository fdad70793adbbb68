"""A port for a server that a test starts a moment later."""

from __future__ import annotations

import random
import socket

# Below those that a system gives to whoever asks for any: a browser's connection, or a server of
# another test, takes one of them at any moment (Linux 32768 to 60999; IANA, RFC 6335: from 49152).
_PORTS = range(20_000, 32_000)
_SYSTEM = random.SystemRandom()  # tests that seed the usual one would all ask for the same port


def free_port() -> int:
    """Return a port on which nobody listens, and which nobody but another test is to take."""
    for port in _SYSTEM.sample(_PORTS, 100):
        with socket.socket() as probe:
            try:
                probe.bind(("", port))
            except OSError:
                continue
            return port
    raise RuntimeError(f"no free port from {_PORTS.start} to {_PORTS.stop - 1}")
