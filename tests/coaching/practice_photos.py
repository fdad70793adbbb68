"""Photos with truth, and a clock that a test sets."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

from spikecheck.coaching import Coach, Pool, PoolPhoto, Source
from spikecheck.practice import Item, LeftoverAnther, Mark
from spikecheck.thresholds.practice import load_practice
from spikecheck.vocabulary import AntherStage, PhotoTruth, Point, Side, TrueAnther, Verdict

NUMBERS = load_practice()
WIDTH, HEIGHT = 300, 400
AXIS = (Point(390.0, 150.0), Point(10.0, 150.0))


def anther(**given):
    """A yellow anther, half a square millimetre of it in sight, upper right."""
    values = {
        "centre": Point(105.0, 200.0), "stage": AntherStage.YELLOW, "visible_area_mm2": 0.5,
    }  # fmt: skip
    return TrueAnther(**(values | given))


def truth(*anthers, **given):
    """The finished truth of a photo with a spike that stands upright in its middle."""
    values = {"image": "photo.png", "width": WIDTH, "height": HEIGHT, "px_per_mm": 20.0}
    return PhotoTruth(anthers=anthers, axis=AXIS, problems=(), **(values | given))


@dataclass
class Clock:
    """The time a test sets."""

    moment: datetime = field(default_factory=lambda: datetime(2026, 5, 3, 8, tzinfo=UTC))

    def __call__(self):
        return self.moment

    def on(self, seconds):
        """Let time pass."""
        self.moment += timedelta(seconds=seconds)


def pool_of(leftovers, cleans, path=None, stage=AntherStage.YELLOW):
    """So many photos with one leftover in the middle, and clean ones."""
    one = LeftoverAnther(Point(200, 150), stage, 0.5, 0.5, Side.FRONT)
    items = [Item(f"{'a' if n < leftovers else 'b'}{n:063}", 20.0, (one,) if n < leftovers else ())
             for n in range(leftovers + cleans)]  # fmt: skip
    return Pool({item.photo: PoolPhoto(path, item, Source.RENDERED) for item in items})


class Learner:
    """Someone led by a coach, who sees a leftover or not as told."""

    def __init__(self, store, pool, numbers=NUMBERS, person="Ida", clock=None):
        self.clock = clock or Clock()
        self.coach = Coach(store, pool, numbers, person=person, clock=self.clock)
        self.numbers = numbers

    def answer(self, *, sees=True, alarm=False, seconds=12.0):
        """Look at the next photo, resting first where it is due, and answer it."""
        rest_until = self.coach.progress().block.rest_until
        if rest_until is not None:
            self.clock.moment = max(self.clock.moment, rest_until)
        view = self.coach.show_next()
        self.clock.on(seconds)
        item = view.photo.item
        if item.clean:
            self.coach.answer(
                view.session.id, view.position, (), Verdict.REVIEW if alarm else Verdict.PASS
            )
            return item
        centre = item.leftovers[0].centre
        marks = (Mark(centre.row, centre.column),) if sees else ()
        verdict = Verdict.REVIEW if sees else Verdict.PASS
        self.coach.answer(view.session.id, view.position, marks, verdict)
        return item

    def practise(self, seed, **how):
        """Go through a whole session."""
        session = self.coach.begin(seed)
        for _photo in session.photos:
            self.answer(**how)
        return self.coach.progress().sessions[-1]
