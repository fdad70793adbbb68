"""Writes an invented crossing session to be audited, quickly: small pictures, the chain whole."""

from __future__ import annotations

import hashlib
import io
import json
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

from PIL import Image, ImageDraw
from sqlalchemy import insert

from spikecheck.history.replay import replay
from spikecheck.history.step_json import step_data
from spikecheck.store import NewCheck, NewPhoto
from spikecheck.store.chain_writer import ChainWriter
from spikecheck.store.checks import filed_digest
from spikecheck.store.season_tables import spike_states
from spikecheck.store.spike_states import state_values
from spikecheck.store.tables import check_photos, checks, overrides, spikes
from spikecheck.vocabulary import CrossingSession, ModelIdentity, SpikeRecord, Step, Verdict
from spikecheck.vocabulary.plan import PlannedCross, PlannedParent
from spikecheck.vocabulary.steps import Bagged, Checked, Emasculated, Overridden, kind_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from spikecheck.store import Store

SESSION = "S-0504"
PEOPLE = ("Ida", "Bo", "Rut")
SPIKES_A_CROSS = 10
_EVERY_REVIEWED = 7  # every so many the check says review
_EVERY_LEFT_OPEN = 14  # and every second of those is not overridden, so not bagged
_MODEL = ModelIdentity("invented", "1", "a" * 64)
WIDTH, HEIGHT = 240, 480
Pictures = tuple[bytes, bytes]


@dataclass(frozen=True, slots=True)
class Built:
    """What was written: names of spikes in order, and those that hang in their bags."""

    names: tuple[tuple[str, int], ...]
    bagged: tuple[tuple[str, int], ...]
    overridden: tuple[tuple[str, int], ...]


def small_pictures(spike: int, face: int) -> Pictures:
    """Return a small photo and its overlay, another one for each spike and face."""
    return drawn_spike(spike, face, marked=False), drawn_spike(spike, face, marked=True)


def drawn_spike(
    spike: int, face: int, *, marked: bool, size: tuple[int, int] = (WIDTH, HEIGHT)
) -> bytes:
    """Return a plain drawing of a spike as a JPEG file, with or without a ring as overlays have."""
    width, height = size
    shade = 150 + (spike * 37 + face * 11) % 60
    picture = Image.new("RGB", size, (shade // 2 + 40, shade // 2 + 60, shade // 2 + 20))
    pen = ImageDraw.Draw(picture)
    middle = width / 2 + (spike % 5 - 2) * width / 60
    for floret in range(12):
        row = height * (0.93 - 0.07 * floret)
        for side in (-1, 1):
            centre = middle + side * width * 0.11
            box = (centre - width * 0.10, row - height * 0.045, centre + width * 0.10, row)
            pen.ellipse(box, fill=(shade - 50, shade, 70), outline=(60, 80, 30))
    pen.line((middle, height * 0.1, middle, height * 0.97), fill=(120, 140, 60), width=width // 60)
    if marked:
        row = height * 0.4
        box = (middle - 20, row - 20, middle + 20, row + 20)
        pen.ellipse(box, outline=(213, 94, 0), width=max(3, width // 80))
    pen.point((spike % width, face), fill=(255, 255, 255))
    pen.point((spike // width, 3 + face), fill=(255, 255, 255))
    file = io.BytesIO()
    picture.save(file, "JPEG", quality=85)
    return file.getvalue()


def build_session(
    store: Store,
    *,
    count: int = 200,
    faces: int = 2,
    pictures: Callable[[int, int], Pictures] = small_pictures,
    session: str = SESSION,
    reviewed: bool = True,
    days_ago: float = 1.0,
) -> Built:
    """Write a session of ``count`` spikes, each checked with ``faces`` photos, most of them bagged.

    Parameters
    ----------
    store
        Without crosses of the same ids.
    count, faces
        Spikes, and photos of each.
    pictures
        Makes photo and overlay of a spike's face.
    session
        Its id, which also begins the ids of its crosses.
    reviewed
        Whether the check sends some to review, half of which people override and bag.
    days_ago
        When it was.
    """
    start = datetime.now(UTC) - timedelta(days=days_ago)
    number_of_crosses = -(-count // SPIKES_A_CROSS)
    for number in range(number_of_crosses):
        store.plans.add(
            PlannedCross(_cross(session, number), PlannedParent("Ferra"), PlannedParent("Olmo"))
        )
    store.sessions.add(CrossingSession(session, start.date(), "House 2", PEOPLE))
    names, bagged, overridden = [], [], []
    with store._database.writing() as connection, ChainWriter(connection) as chain:
        first_spike = connection.exec_driver_sql("SELECT COUNT(*) FROM spikes").scalar_one()
        first_check = connection.exec_driver_sql("SELECT COUNT(*) FROM checks").scalar_one()
        for n in range(count):
            row, check = first_spike + n + 1, first_check + n + 1
            cross, number = _cross(session, n // SPIKES_A_CROSS), n % SPIKES_A_CROSS + 1
            verdict = Verdict.REVIEW if reviewed and n % _EVERY_REVIEWED == 3 else Verdict.PASS
            kept = [
                (_keep(store, photo), _keep(store, overlay))
                for photo, overlay in (pictures(n, face) for face in range(faces))
            ]
            by, at = PEOPLE[n % len(PEOPLE)], start + timedelta(minutes=2 * n % 300)
            result = _result(n, verdict, [photo for photo, _overlay in kept])
            files = [f"IMG_{n:04d}_{face}.jpg" for face in range(faces)]
            detail = Checked(
                check, verdict, False, hashlib.sha256(result.encode()).hexdigest(),
                tuple(photo for photo, _o in kept), tuple(overlay for _p, overlay in kept),
                filed_digest(_MODEL, thresholds_sha256="b" * 64, software_version="0.1",
                             files=files),
            )  # fmt: skip
            way = [
                Step(Emasculated(20, 60, "clip"), at, by, session),
                Step(detail, at + timedelta(minutes=3), by),
            ]
            left_open = verdict is Verdict.REVIEW and n % _EVERY_LEFT_OPEN == 3
            if verdict is Verdict.REVIEW and not left_open:
                said = Overridden(check, Verdict.PASS, "a bit of palea, seen in the hand lens")
                way.append(Step(said, at + timedelta(minutes=4), "Rut"))
                overridden.append((cross, number))
            if not left_open:
                way.append(Step(Bagged(), at + timedelta(minutes=5), by))
                bagged.append((cross, number))
            connection.execute(insert(spikes).values(id=row, cross_id=cross, number=number))
            connection.execute(
                insert(checks).values(
                    id=check, spike_id=row, checked_by=by, checked_at=chain.moment,
                    verdict=verdict.value, result=result, model_name=_MODEL.name,
                    model_version=_MODEL.version, model_sha256=_MODEL.sha256,
                    thresholds_sha256="b" * 64, software_version="0.1",
                )
            )  # fmt: skip
            connection.execute(
                insert(check_photos),
                [
                    {"check_id": check, "position": face, "file_name": files[face],
                     "sha256": photo, "overlay_sha256": overlay}
                    for face, (photo, overlay) in enumerate(kept)
                ],
            )  # fmt: skip
            if len(way) > 3 and isinstance(way[2].detail, Overridden):
                connection.execute(
                    insert(overrides).values(
                        check_id=check, overridden_by="Rut", overridden_at=chain.moment,
                        verdict="pass", reason=way[2].detail.reason,
                    )
                )  # fmt: skip
            record = SpikeRecord(cross, number, "wheat", "Ferra", "Olmo")
            for step in way:
                body = {"cross": cross, "spike": number, "step": step_data(step),
                        "corrects": None, "reason": ""}  # fmt: skip
                chain.add(kind_of(step.detail), body, by=step.by, spike_id=row)
            record = replay(record, way, places={session: "House 2"})
            connection.execute(insert(spike_states).values(spike_id=row, **state_values(record)))
            names.append((cross, number))
    return Built(tuple(names), tuple(bagged), tuple(overridden))


def check_anew(store: Store, cross: str, spike: int, *, by: str) -> None:
    """File another check of a spike, with a photo of its own and the verdict pass."""
    photo, overlay = small_pictures(10_000 + spike, 0)
    result = _result(0, Verdict.PASS, [hashlib.sha256(photo).hexdigest()])
    check = NewCheck(
        Verdict.PASS, result, _MODEL, "b" * 64, "0.1", (NewPhoto("anew.jpg", photo, overlay),)
    )
    store.add_check(check, cross=cross, spike=spike, by=by)


def _keep(store: Store, content: bytes) -> str:
    """Put a file where the store keeps it, without waiting for the disk."""
    sha256 = hashlib.sha256(content).hexdigest()
    path = store._photos._path(sha256, ".jpg")
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content)
    return sha256


def _cross(session: str, number: int) -> str:
    return f"{session.replace('S-', 'C-')}-{number:03d}"


def _result(n: int, verdict: Verdict, photos: list[str]) -> str:
    """Return a result as the contract has it, as far as an audit reads it."""
    place = n % 20 + 1
    side = "LR"[n % 2]
    found = verdict is Verdict.REVIEW
    florets = [
        {
            "id": f"{letter}{k}", "x": 100 + 30 * (letter == "R"), "y": 450 - 20 * k,
            "box": [0, 0, 1, 1], "side": {"L": "left", "R": "right"}[letter],
            "position": k / 20, "clipped": True, "cavity_seen": 1.0,
            "status": "anther" if found and (letter, k) == (side, place) else "clear",
            "p_leftover": 0.7 if found and (letter, k) == (side, place) else 0.02,
        }
        for letter in "LR" for k in range(1, 21)
    ]  # fmt: skip
    reasons = [
        {"code": "anther_left", "message": f"Green anther in floret {side}{place}.", "photo": 0,
         "floret": f"{side}{place}", "place": [100, 450 - 20 * place]}
    ]  # fmt: skip
    return json.dumps(
        {
            "schema": "spikecheck.result/1", "verdict": verdict.value,
            "reasons": reasons if found else [],
            "risk": {
                "p_leftover": round(0.35 + n % 50 / 100 if found else n % 20 / 200, 4),
                "expected_selfed_share": None, "calibrated": False,
            },
            "tag": None,
            "photos": [
                {"file": f"IMG_{n:04d}_{face}.jpg", "sha256": sha256, "width": WIDTH,
                 "height": HEIGHT, "taken_at": None, "florets": florets if face == 0 else [],
                 "anthers": []}
                for face, sha256 in enumerate(photos)
            ],
            "timing_ms": {}, "software": {"version": "0.1"},
        }
    )  # fmt: skip
