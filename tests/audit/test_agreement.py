"""Agreement of two readers against published tables, statsmodels, and the laws it obeys."""

from __future__ import annotations

import math
from itertools import product

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from statsmodels.stats.inter_rater import cohens_kappa

from spikecheck.audit.agreement import reader_agreement, strength
from spikecheck.audit.coefficients import Weighting, weights
from spikecheck.errors import UsageError

# 85 mammograms read by two radiologists: Boyd et al. 1982, as in Altman 1991, Practical Statistics
# for Medical Research, p. 403.
MAMMOGRAMS = ((21, 12, 0, 0), (4, 17, 1, 0), (3, 9, 15, 2), (0, 0, 0, 1))
KINDS = {Weighting.NONE: None, Weighting.LINEAR: "linear", Weighting.QUADRATIC: "quadratic"}


@st.composite
def tables(draw, most: int = 5):
    classes = draw(st.integers(2, most))
    row = st.lists(st.integers(0, 40), min_size=classes, max_size=classes)
    table = draw(st.lists(row, min_size=classes, max_size=classes))
    assume(sum(map(sum, table)) > 0)
    return table


@pytest.mark.parametrize(
    ("weighting", "printed"),
    [
        (Weighting.NONE, (63.53, 30.82, 0.4728, 0.0694, 6.81)),
        (Weighting.LINEAR, (86.67, 69.11, 0.5684, 0.0788, 7.22)),
        (Weighting.QUADRATIC, (94.77, 84.09, 0.6714, 0.1079, 6.22)),
    ],
)
def test_the_mammograms(weighting, printed):
    """Agreement in percent, kappa, its error under chance, and z, as statistics manuals print."""
    observed, expected, kappa, error, z = printed
    found = reader_agreement(MAMMOGRAMS, weighting=weighting)
    assert 100 * found.observed == pytest.approx(observed, abs=0.005)
    assert 100 * found.expected == pytest.approx(expected, abs=0.005)
    assert found.kappa.value == pytest.approx(kappa, abs=5e-5)
    assert found.null_standard_error == pytest.approx(error, abs=5e-5)
    assert found.kappa.value / found.null_standard_error == pytest.approx(z, abs=0.005)


@pytest.mark.parametrize(
    ("table", "kappa"),
    [
        (((20, 5), (10, 15)), 0.400),
        (((45, 15), (25, 15)), 0.1304),
        (((25, 35), (5, 35)), 0.2593),
    ],
)
def test_textbook_tables_of_two_classes(table, kappa):
    """Worked examples of Cohen's kappa in many textbooks; the last two agree in 60 % alike."""
    assert reader_agreement(table).kappa.value == pytest.approx(kappa, abs=5e-5)


def test_the_paradox_of_gwet():
    """Table of Gwet 2002, Statistical Methods for Inter-Rater Reliability Assessment 2 (from
    memory): kappa -0.0234 and AC1 0.9408 where 118 of 125 answers are the same."""
    found = reader_agreement(((118, 5), (2, 0)))
    assert found.kappa.value == pytest.approx(-0.0234, abs=5e-5)
    assert found.ac1.value == pytest.approx(0.9408, abs=5e-5)
    assert found.misleading
    assert "AC1, 0.94 (almost perfect)" in found.caution
    assert "118 of 125" in found.sentence
    assert "poor" in found.sentence


def test_no_caution_where_kappa_tells_the_truth():
    assert reader_agreement(((45, 5), (5, 45))).caution == ""
    assert not reader_agreement(((98, 0), (0, 2))).misleading  # rare, but full agreement


def test_one_answer_only_leaves_kappa_undefined_and_says_so():
    found = reader_agreement(((30, 0), (0, 0)))
    assert found.kappa is None
    assert found.null_standard_error is None
    assert found.ac1.value == 1
    assert found.misleading
    assert "cannot say" in found.sentence


def test_full_agreement_of_few_spikes_is_not_called_perfect():
    """Clopper & Pearson (1934): 3 of 3 leave 0.025 ** (1 / 3) = 29 % as the lower bound."""
    for table in (((3, 0), (0, 0)), ((2, 0), (0, 1))):
        found = reader_agreement(table)
        assert "agree on 29 % or more" in found.sentence
        assert (found.caution, found.ac1_line) == ("", "")


def test_the_line_of_ac1_holds_its_interval():
    found = reader_agreement(((118, 5), (2, 0)))
    assert found.ac1_line == (
        f"Gwet's AC1: 0.94, 95 % interval {found.ac1.low:.2f} to {found.ac1.high:.2f}."
    )


@given(tables(), st.sampled_from(Weighting))
def test_agrees_with_statsmodels(table, weighting):
    found = reader_agreement(table, weighting=weighting)
    assume(found.kappa is not None)
    with np.errstate(all="ignore"):  # its z is 0 / 0 where one reader gave one answer only
        wanted = cohens_kappa(np.array(table), wt=KINDS[weighting])
    assert found.kappa.value == pytest.approx(wanted.kappa, abs=1e-9)
    variance, null_variance = max(wanted.var_kappa, 0), max(wanted.var_kappa0, 0)
    assert found.kappa.standard_error**2 == pytest.approx(variance, abs=1e-9)
    assert found.null_standard_error**2 == pytest.approx(null_variance, abs=1e-9)
    low, high = found.kappa.low, found.kappa.high
    if low > -1 and high < 1:
        assert (low, high) == pytest.approx((wanted.kappa_low, wanted.kappa_upp), abs=1e-6)


def same(one, other):
    for a, b in ((one.kappa, other.kappa), (one.ac1, other.ac1)):
        assert (a is None) is (b is None)
        if a is not None:
            assert a.value == pytest.approx(b.value, abs=1e-9)
            assert a.standard_error**2 == pytest.approx(b.standard_error**2, abs=1e-9)


@given(tables(), st.sampled_from(Weighting))
def test_the_readers_may_be_swapped(table, weighting):
    swapped = list(zip(*table, strict=True))
    same(
        reader_agreement(table, weighting=weighting), reader_agreement(swapped, weighting=weighting)
    )


@given(tables(), st.data())
def test_names_of_classes_do_not_matter(table, data):
    order = data.draw(st.permutations(range(len(table))))
    same(reader_agreement(table), reader_agreement([[table[i][j] for j in order] for i in order]))


@given(tables(), st.sampled_from(Weighting))
def test_an_order_may_be_read_from_its_end(table, weighting):
    turned = [row[::-1] for row in table[::-1]]
    same(
        reader_agreement(table, weighting=weighting), reader_agreement(turned, weighting=weighting)
    )


@given(tables(), st.sampled_from(Weighting))
def test_range(table, weighting):
    found = reader_agreement(table, weighting=weighting)
    for one in (found.kappa, found.ac1):
        if one is not None:
            assert -1 - 1e-9 <= one.low <= one.value + 1e-9
            assert one.value - 1e-9 <= one.high <= 1 + 1e-9
            assert not math.isnan(one.standard_error)
    assert 0 <= found.observed <= 1 + 1e-9


@given(st.lists(st.integers(1, 50), min_size=2, max_size=5), st.sampled_from(Weighting))
def test_full_agreement_is_one(diagonal, weighting):
    found = reader_agreement(np.diag(diagonal).tolist(), weighting=weighting)
    assert found.kappa.value == pytest.approx(1)
    assert found.ac1.value == pytest.approx(1)


def test_one_answer_of_one_reader_claims_no_interval():
    found = reader_agreement(((28, 2), (0, 0)))
    assert found.kappa.value == pytest.approx(0)
    assert "no interval" in found.sentence
    assert "slight" not in found.sentence  # kappa is 0 however often they agree


def test_full_agreement_of_few_spikes_claims_little():
    """The one-sided exact lower limit at 97.5 % of 9 of 9 is 0.025 ** (1 / 9) = 0.664."""
    found = reader_agreement(((6, 0), (0, 3)))
    assert found.same_low == pytest.approx(0.025 ** (1 / 9))
    assert "66 % or more" in found.sentence


@pytest.mark.parametrize("table", [((0, 1), (1, 0)), ((0, 3), (1, 0)), ((0, 4), (0, 0))])
def test_no_agreement_of_few_spikes_claims_little(table):
    """The exact upper limit of 0 of n is 1 - 0.025 ** (1 / n); the large-sample errors are 0 for
    the first table though both readers gave both answers."""
    found = reader_agreement(table)
    spikes = sum(map(sum, table))
    assert found.sentence.startswith(f"The readers gave the same answer for 0 of {spikes} spikes")
    assert f"agree on {100 * (1 - 0.025 ** (1 / spikes)):.0f} % or less" in found.sentence
    assert "one reader gave one answer only" not in found.sentence
    assert found.ac1_line == ""


@given(tables(most=2))
def test_two_classes_have_no_order(table):
    same(reader_agreement(table), reader_agreement(table, weighting=Weighting.QUADRATIC))


@given(tables(), st.sampled_from(Weighting), st.integers(2, 9))
def test_more_of_the_same_narrows_by_the_root(table, weighting, times):
    one = reader_agreement(table, weighting=weighting)
    more = reader_agreement(
        [[times * count for count in row] for row in table], weighting=weighting
    )
    narrowed = one.ac1.standard_error / math.sqrt(times)
    assert more.ac1.standard_error == pytest.approx(narrowed, abs=1e-7)
    if one.kappa is not None:
        narrowed = one.kappa.standard_error / math.sqrt(times)
        assert more.kappa.standard_error == pytest.approx(narrowed, abs=1e-7)


def ac1_of(shares):
    middle = (shares.sum(axis=-1) + shares.sum(axis=-2)) / 2
    chance = (middle * (1 - middle)).sum(axis=-1) / (shares.shape[-1] - 1)
    return (np.trace(shares, axis1=-2, axis2=-1) - chance) / (1 - chance)


@pytest.mark.parametrize("table", [MAMMOGRAMS, ((118, 5), (2, 3)), ((20, 5), (10, 15))])
def test_error_of_ac1_is_the_scatter_of_repeated_readings(table):
    """20,000 multinomial tables of 2,000 spikes; the scatter is known to about half a percent."""
    spikes, counts = 2_000, np.array(table, float)
    shares = counts / counts.sum()
    drawn = np.random.default_rng(7).multinomial(spikes, shares.ravel(), size=20_000)
    scatter = ac1_of(drawn.reshape(-1, *shares.shape) / spikes).std()
    error = reader_agreement(table).ac1.standard_error * math.sqrt(counts.sum() / spikes)
    assert error == pytest.approx(scatter, rel=0.02)


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (-0.01, "poor"), (0, "slight"), (0.20, "slight"), (0.21, "fair"), (0.40, "fair"),
        (0.41, "moderate"), (0.60, "moderate"), (0.61, "substantial"), (0.80, "substantial"),
        (0.81, "almost perfect"), (1, "almost perfect"),
    ],
)  # fmt: skip
def test_words_of_landis_and_koch(value, words):
    """Landis & Koch 1977, Biometrics 33:165."""
    assert strength(value) == words


@pytest.mark.parametrize("weighting", Weighting)
def test_weights_are_symmetric_and_full_on_the_diagonal(weighting):
    found = weights(4, weighting)
    for i, j in product(range(4), repeat=2):
        assert found[i][j] == found[j][i]
        assert (found[i][j] == 1) is (i == j)
    assert found[0][3] == 0


@pytest.mark.parametrize(
    "table", [((1, 2),), ((1, 2), (3,)), ((5,),), ((0, 0), (0, 0)), ((1, -1), (0, 1))]
)
def test_tables_that_cannot_be_are_refused(table):
    with pytest.raises(UsageError):
        reader_agreement(table)


@pytest.mark.parametrize("level", [0, 1, -1])
def test_levels_that_cannot_be_are_refused(level):
    with pytest.raises(UsageError):
        reader_agreement(MAMMOGRAMS, confidence=level)
