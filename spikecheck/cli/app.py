"""`spikecheck app`: serves the page."""

from __future__ import annotations

from spikecheck.cli.serving import CertificateOption, KeyOption, LanOption, PortOption
from spikecheck.cli.store_option import StoreOption

EXAMPLES = """Example: spikecheck app

For phones in the same network: spikecheck app --lan --certificate page.pem --key page.key"""


def app(
    port: PortOption = 8501,
    lan: LanOption = False,
    certificate: CertificateOption = None,
    key: KeyOption = None,
    store: StoreOption = None,
) -> None:
    """Serve the page on this machine: check, see, record. Stop it with Ctrl-C."""
    import os

    from spikecheck.cli.serving import Serving, serve_page

    environment = dict(os.environ)
    if store is not None:
        environment["SPIKECHECK_STORE"] = store
    serve_page(Serving(port, lan, certificate, key), environment=environment)
