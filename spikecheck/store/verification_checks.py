"""Whether checks, what was filed with them and their overrides are kept as the entries say."""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from spikecheck.history.step_json import moment_text
from spikecheck.store.checks import filed_digest
from spikecheck.store.tables import check_photos, checks, overrides, spikes
from spikecheck.store.verification_rows import Said, entry_faults, sequence_faults
from spikecheck.vocabulary.findings import ModelIdentity

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sqlalchemy import Connection, Row


def check_faults(connection: Connection) -> Iterator[str]:
    """Yield a line for each check that its entry contradicts, and for other overrides than said."""
    yield from entry_faults(connection, "checked", checks, _check)
    yield from sequence_faults(
        connection, "overridden", overrides,
        said=_override_said, kept=_override, shown=lambda check: f"the overrides of check {check}",
    )  # fmt: skip


def _check(connection: Connection, said: Said) -> Said | None:
    step = said["step"]
    row = connection.execute(
        select(checks, spikes.c.cross_id, spikes.c.number)
        .join_from(checks, spikes)
        .where(checks.c.id == step["detail"]["check"])
    ).one_or_none()
    photos = connection.execute(
        select(check_photos)
        .where(check_photos.c.check_id == step["detail"]["check"])
        .order_by(check_photos.c.position)
    ).all()
    if row is None or [photo.position for photo in photos] != list(range(len(photos))):
        return None
    detail = {
        **step["detail"],
        "verdict": row.verdict,
        "result_sha256": hashlib.sha256(row.result.encode()).hexdigest(),
        "photos": [photo.sha256 for photo in photos],
        "overlays": [photo.overlay_sha256 for photo in photos],
        "filed_sha256": filed_digest(
            ModelIdentity(row.model_name, row.model_version, row.model_sha256),
            thresholds_sha256=row.thresholds_sha256,
            software_version=row.software_version,
            files=[photo.file_name for photo in photos],
        ),
    }
    return {
        "recorded_at": moment_text(row.checked_at),
        "cross": row.cross_id,
        "spike": row.number,
        "step": {**step, "by": row.checked_by, "detail": detail},
    }


def _override_said(said: Said) -> tuple[object, Said]:
    step = said["step"]
    values = {
        "verdict": step["detail"]["verdict"], "reason": step["detail"]["reason"],
        "by": step["by"], "at": said["recorded_at"],
    }  # fmt: skip
    return step["detail"]["check"], values


def _override(row: Row[Any]) -> tuple[object, Said]:
    values = {
        "verdict": row.verdict, "reason": row.reason,
        "by": row.overridden_by, "at": moment_text(row.overridden_at),
    }  # fmt: skip
    return row.check_id, values
