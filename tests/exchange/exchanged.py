"""Exchanges, invented and drawn at random."""

from __future__ import annotations

from datetime import UTC, datetime

from hypothesis import strategies as st

from spikecheck.exchange import CheckedSpike, CrossingProject, ExchangedCross, ExchangeSet
from spikecheck.vocabulary import Cross, Parent, SpikeRecord, Verdict, format_pedigree
from spikecheck.vocabulary.steps import ThirdCount
from spikecheck.vocabulary.text import tidy_note
from tests.vocabulary.test_pedigree import pedigrees

MOMENT = datetime(2026, 5, 4, 9, tzinfo=UTC)
SHA = "0123456789abcdef" * 4

moments = st.datetimes(timezones=st.just(UTC))
maybe_moments = st.none() | moments
seen = st.characters(exclude_categories=("Cc", "Cf", "Cs", "Zl", "Zp"))


def tidied(least: int, most: int):
    return (
        st.text(seen, min_size=least, max_size=most)
        .map(lambda text: tidy_note(text, what="text"))
        .filter(lambda text: least <= len(text))
    )


words, maybe_words = tidied(1, 8), tidied(0, 8)
counts = st.none() | st.integers(0, 90)
verdicts = st.none() | st.sampled_from(Verdict)
shas = st.text("0123456789abcdef", min_size=64, max_size=64)
thirds = st.none() | st.tuples(*[st.builds(ThirdCount, st.just(1), st.integers(1, 9))] * 3)


@st.composite
def planned(draw):
    cross = draw(
        st.builds(
            Cross, id=words, female=words, male=words, note=maybe_words, created_at=moments,
            purpose=maybe_words, seeds_wanted=st.none() | st.integers(1, 900), crop=words,
            project=maybe_words,
        )
    )  # fmt: skip
    sides = [
        draw(
            st.none()
            | st.builds(
                Parent, name=st.just(name), accession=maybe_words,
                pedigree=st.just("") | pedigrees.map(format_pedigree), place=maybe_words,
                created_at=moments,
            )
        )
        for name in (cross.female, cross.male)
    ]  # fmt: skip
    return ExchangedCross(cross, *sides)


@st.composite
def spikes(draw):
    control = draw(st.booleans())
    pollinated_at = None if control else draw(maybe_moments)
    return CheckedSpike(
        draw(
            st.builds(
                SpikeRecord, cross=words, spike=st.integers(1, 999), crop=words, female=words,
                male=words, session=maybe_words, place=maybe_words, tag=st.none() | words,
                control=st.just(control), selected_at=maybe_moments,
                growth_stage=st.none() | st.integers(0, 99), emasculated_at=maybe_moments,
                emasculated_by=maybe_words, method=maybe_words, florets=counts, anthers=counts,
                checked_at=maybe_moments, checked_by=maybe_words, verdict=verdicts,
                computed_verdict=verdicts, overridden=st.booleans(), near_anthesis=st.booleans(),
                bagged_at=maybe_moments, pollinated_at=st.just(pollinated_at),
                pollinated_by=maybe_words,
                pollinated_male=words if pollinated_at else st.just(""), pollen_at=maybe_moments,
                rebagged_at=maybe_moments, harvested_at=maybe_moments, threshed_at=maybe_moments,
                seeds=counts, seed_florets=counts, thirds=thirds, tested=counts, selfed=counts,
                given_up_at=maybe_moments, given_up_reason=maybe_words,
            )
        ),
        tuple(draw(st.lists(shas, max_size=2))),
        draw(counts),
    )  # fmt: skip


exchanges = st.builds(
    ExchangeSet,
    st.lists(st.builds(CrossingProject, words, maybe_words, maybe_words), max_size=2).map(tuple),
    st.lists(planned(), max_size=2).map(tuple),
    st.lists(spikes(), max_size=2).map(tuple),
)


def one_of_each() -> ExchangeSet:
    """A project with a cross, a spike of it and a control spike."""
    cross = Cross("X-1", "Tarn", "Alva", "", MOMENT, "rust", 40, "wheat", "North")
    spike = SpikeRecord(
        "X-1", 1, "wheat", "Tarn", "Alva", emasculated_at=MOMENT, emasculated_by="Ada",
        florets=20, anthers=59, checked_at=MOMENT, verdict=Verdict.PASS,
        computed_verdict=Verdict.REVIEW, overridden=True, growth_stage=57, pollinated_at=MOMENT,
        pollinated_male="Alva", seeds=12, seed_florets=20,
    )  # fmt: skip
    control = SpikeRecord("X-1", 2, "wheat", "Tarn", "Alva", control=True)
    return ExchangeSet(
        (CrossingProject("North", "wheat"),),
        (ExchangedCross(cross, Parent("Tarn", "ACC 7", "Brinn/Corve", "plot 12", MOMENT)),),
        (CheckedSpike(spike, (SHA,), 1), CheckedSpike(control)),
    )
