"""Reads the JSON files that ``spikecheck evaluate --json`` writes."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from spikecheck.errors import TrainingError

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from pathlib import Path

    from spikecheck.model_training.goals import Score

_CURE = "Write it with spikecheck evaluate FOLDER --json FILE"


@dataclass(frozen=True, slots=True)
class Scores:
    """Scores of some photos.

    Parameters
    ----------
    photos
        How many.
    rows
        By group and name: value, events, trials; counts are None for a plain number.
    """

    photos: int
    rows: Mapping[Score, tuple[float | None, int | None, int | None]]

    def values(self) -> dict[Score, float | None]:
        """Return the values alone."""
        return {score: value for score, (value, _, _) in self.rows.items()}


@dataclass(frozen=True, slots=True)
class PhotoEntry:
    """What was said of one photo; None where nothing was compared or it could not be read.

    Parameters
    ----------
    file, verdict, error
        Its name, the answer, and why there is none.
    reasons
        Codes of its reasons, by name.
    unfamiliar
        Whether it was told to be unlike those the finder knows.
    anthers, anthers_found
        How many are really there, and how many of them were found.
    """

    file: str
    verdict: str | None
    error: str | None
    reasons: tuple[str, ...]
    unfamiliar: bool | None
    anthers: int | None
    anthers_found: int | None


@dataclass(frozen=True, slots=True)
class EvaluationFile:
    """One evaluation.

    Parameters
    ----------
    whole
        Over all photos.
    families
        By kind and family, such as ``["light"]["led"]``.
    photos
        Every photo.
    """

    whole: Scores
    families: Mapping[str, Mapping[str, Scores]]
    photos: tuple[PhotoEntry, ...]


def read_evaluation(path: Path) -> EvaluationFile:
    """Read one file.

    Raises
    ------
    TrainingError
        If it cannot be read or is of another kind.
    """
    try:
        entry = json.loads(path.read_text(encoding="utf-8"))
        compared = sum(photo["truth"] is not None for photo in entry["photos"])
        return EvaluationFile(
            whole=_scores(compared, entry["scores"]),
            families={
                kind: {
                    family: _scores(own["photos"], own["scores"]) for family, own in each.items()
                }
                for kind, each in entry["families"].items()
            },
            photos=tuple(
                PhotoEntry(
                    reasons=tuple(photo["reasons"]),
                    **{
                        key: photo[key]
                        for key in (
                            "file",
                            "verdict",
                            "error",
                            "unfamiliar",
                            "anthers",
                            "anthers_found",
                        )
                    },
                )
                for photo in entry["photos"]
            ),
        )
    except OSError as error:
        raise TrainingError(
            f"cannot be read ({error.strerror})", where=str(path), cure=_CURE
        ) from error
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        raise TrainingError(
            f"is no evaluation ({type(error).__name__}: {error})", where=str(path), cure=_CURE
        ) from error


def pooled(parts: Iterable[Scores]) -> Scores:
    """Return the scores of several families together.

    Counts are added; plain numbers are averaged by the number of photos, which is exact for means
    per photo and near for F1 and medians.
    """
    several = list(parts)
    rows: dict[Score, tuple[float | None, int | None, int | None]] = {}
    for score in dict.fromkeys(score for part in several for score in part.rows):
        found = [(part.photos, *part.rows[score]) for part in several if score in part.rows]
        trials = sum(each[3] or 0 for each in found)
        if trials:
            events = sum(each[2] or 0 for each in found)
            rows[score] = (events / trials, events, trials)
            continue
        known = [(photos, value) for photos, value, _, _ in found if value is not None]
        weight = sum(photos for photos, _ in known)
        mean = sum(photos * value for photos, value in known) / weight if weight else None
        rows[score] = (mean, None, None)
    return Scores(sum(part.photos for part in several), rows)


def _scores(photos: int, rows: Iterable[Mapping[str, Any]]) -> Scores:
    return Scores(
        photos,
        {(row["group"], row["name"]): (row["value"], row["events"], row["trials"]) for row in rows},
    )
