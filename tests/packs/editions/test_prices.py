"""The line through prices and the score, against scipy and against what must hold of them."""

import math
import random
import warnings
from decimal import Decimal
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from hangworthy.contract import State, Undecided
from hangworthy_editions.formulas import facts_owed, median, modified_z_scores, most_copies, resale_royalty, theil_sen
from hangworthy_editions.limits import EditionLimits
from hangworthy_editions.money import Rates, amount, price_in, ratio_of, shown

from .asking import asked, findings, rate

number = st.floats(-1e6, 1e6)
numbers = st.lists(number, min_size=1, max_size=40)


@given(numbers)
def test_median_is_the_librarys(values: list[float]) -> None:
    assert median(values) == pytest.approx(float(np.median(values)), rel=1e-12, abs=1e-9)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 400), st.floats(-50, 50)), min_size=2, max_size=64))
def test_the_line_is_the_librarys(points: list[tuple[int, float]]) -> None:
    xs, ys = [float(x) for x, _ in points], [y for _, y in points]
    if len(set(xs)) < 2:
        return
    line = theil_sen(xs, ys)
    with warnings.catch_warnings():  # its confidence interval, which is not used, warns for many equal points
        warnings.simplefilter("ignore", RuntimeWarning)
        want = stats.theilslopes(ys, xs, method="joint")
    assert line.slope == pytest.approx(want.slope, rel=1e-9, abs=1e-9)
    assert line.intercept == pytest.approx(want.intercept, rel=1e-9, abs=1e-7)


@pytest.mark.parametrize("count", [9, 64, 65, 300])
def test_a_fifth_of_wild_points_does_not_pull_the_line_over(count: int) -> None:
    chance = random.Random(count)
    xs = [float(place) for place in range(count)]
    ys = [2.0 * x + 1.0 + chance.uniform(-0.1, 0.1) for x in xs]
    for place in chance.sample(range(count), count // 5):
        ys[place] = chance.uniform(0, 5000)
    line = theil_sen(xs, ys)
    assert line.slope == pytest.approx(2.0, abs=0.15)


@pytest.mark.parametrize("count", [65, 66, 200])
def test_the_incomplete_method_finds_a_straight_line(count: int) -> None:
    xs = [float(place % 50) for place in range(count)]
    line = theil_sen(xs, [3.0 - 0.5 * x for x in xs])
    assert line == (pytest.approx(-0.5), pytest.approx(3.0))


@given(numbers)
def test_scores_are_the_librarys(values: list[float]) -> None:
    scores = modified_z_scores(values)
    middle = float(np.median(values))
    mad = float(stats.median_abs_deviation(values))
    if mad > 0:
        assert scores == pytest.approx([0.6745 * (value - middle) / mad for value in values], rel=1e-9, abs=1e-9)
    assert all(math.isfinite(score) for score in scores)


@given(numbers, st.floats(0.01, 100), number)
def test_scores_keep_for_any_unit_and_origin(values: list[float], unit: float, origin: float) -> None:
    if float(stats.median_abs_deviation(values)) < 1e-3:
        return
    moved = modified_z_scores([value * unit + origin for value in values])
    assert moved == pytest.approx(modified_z_scores(values), rel=1e-4, abs=1e-4)


def test_constants_of_the_score() -> None:
    assert float(stats.norm.ppf(0.75)) == pytest.approx(0.6745, abs=5e-5)
    assert math.sqrt(math.pi / 2) == pytest.approx(1.253314, abs=5e-7)


def test_refusals() -> None:
    with pytest.raises(ValueError, match="eu-vat-annex-ix for photograph"):
        most_copies("eu-vat-annex-ix", "poster")
    with pytest.raises(ValueError, match="new-york for multiple"):
        facts_owed("elsewhere", "multiple", 1)
    with pytest.raises(ValueError, match="at least one"):
        median([])
    with pytest.raises(ValueError, match="equally many"):
        theil_sen([1.0], [1.0, 2.0])
    with pytest.raises(ValueError, match="least_mad"):
        modified_z_scores([1.0], -1.0)


# Money


def test_the_resale_right_is_exact_for_fractions() -> None:
    assert resale_royalty(Fraction("60000.01")) == Fraction(2300) + Fraction("0.0003")
    assert resale_royalty(Fraction("3000.03")) == Fraction("120.0012")


@given(st.integers(0, 10**11), st.integers(0, 10**8))
def test_the_resale_right_rises_and_is_capped(cents: int, more: int) -> None:
    first, second = (resale_royalty(Fraction(value, 100)) for value in (cents, cents + more))
    assert 0 <= first <= second <= 12_500
    assert second - first <= Fraction(more, 100) * Fraction(4, 100)


RATES = (rate("EUR", "1.1", "USD"), rate("GBP", "1.25", "USD"), rate("CHF", "0.9", "GBP"))


@pytest.mark.parametrize(
    ("currency", "of", "worth"),
    [
        ("EUR", "EUR", Fraction(1)),
        ("EUR", "USD", Fraction("1.1")),
        ("USD", "EUR", 1 / Fraction("1.1")),
        ("EUR", "GBP", Fraction("1.1") / Fraction("1.25")),
        ("GBP", "EUR", Fraction("1.25") / Fraction("1.1")),
        ("CHF", "USD", Fraction("0.9") * Fraction("1.25")),
        ("CHF", "EUR", None),
        ("EUR", "JPY", None),
    ],
)
def test_rates_direct_inverse_and_through_one_currency(currency: str, of: str, worth: Fraction | None) -> None:
    assert Rates(RATES).rate(currency, of) == worth


def test_a_stated_rate_wins_and_worthless_ones_do_not_count() -> None:
    table = Rates((*RATES, rate("EUR", "0.9", "GBP"), rate("EUR", "0", "JPY"), rate("EUR", "7", "USD")))
    assert table.rate("EUR", "GBP") == Fraction("0.9")
    assert table.rate("EUR", "JPY") is None
    assert table.rate("EUR", "USD") == Fraction("1.1")
    assert Rates(None).rate("EUR", "USD") is None


@given(st.decimals("0.01", "1000000", places=2), st.decimals("0.0001", "1000", places=4))
def test_there_and_back_is_the_same_to_the_last_digit(price: Decimal, worth: Decimal) -> None:
    table = Rates((rate("AAA", str(worth), "BBB"),))
    there = table.convert(Fraction(price), "AAA", "BBB")
    assert there is not None
    assert table.convert(there, "BBB", "AAA") == Fraction(price)


def test_amounts() -> None:
    assert amount(None) is None
    assert amount(Decimal("0.009")) is None
    assert amount(Decimal("0.10")) == Fraction(1, 10)
    assert price_in("USD", Decimal(0), "EUR", None) == 0
    assert price_in("USD", Decimal(1), "EUR", None) == Undecided(("venue.rates",))
    assert ratio_of(Fraction(10**12), Fraction(1, 10**6)) == 1e9
    assert [shown(Fraction(value), "EUR") for value in ("1250", "0.5", "1234567.899")] == ["1,250 EUR", "0.50 EUR", "1,234,567.90 EUR"]


# The rule


def catalogue(count: int, start: int, *, noise: float = 0.06, artist: str = "a") -> list[dict]:
    """Works whose price follows area to the power 0.8, within a few percent, rounded to tens."""
    chance, works = random.Random(start), []
    for _ in range(count):
        w, h = chance.randrange(200, 1400), chance.randrange(200, 1400)
        price = 0.02 * (w * h) ** 0.8 * math.exp(chance.gauss(0, noise))
        price = max(10, round(price, -1))
        works.append({"artist_ref": artist, "kind": "panel", "width_mm": w, "height_mm": h, "price": f"{price:.0f}", "currency": "EUR"})
    return works


@pytest.mark.parametrize("count", [8, 20, 70])
@pytest.mark.parametrize("start", range(5))
def test_ordinary_price_lists_have_no_outlier_and_one_slip_is_found(count: int, start: int) -> None:
    works = catalogue(count, start)
    states = [finding.state for finding in findings(asked(works), "price-in-line").values()]
    assert states == [State.MET] * count
    works[3]["price"] += "0"
    found = findings(asked(works), "price-in-line")
    assert [ref for ref, finding in found.items() if finding.state is State.UNMET] == ["w0003"]
    assert "far above" in found["w0003"].artist


def test_a_price_list_by_formula_with_rounding_has_no_outlier() -> None:
    """MAD is next to nothing there; without a floor under it, rounding to tens would be news."""
    works = [
        {"artist_ref": "a", "kind": "panel", "width_mm": w, "height_mm": w, "price": str(round(w * w / 1000, -1)), "currency": "EUR"}
        for w in range(200, 1300, 37)
    ]
    assert {finding.state for finding in findings(asked(works), "price-in-line").values()} == {State.MET}


def test_all_of_one_size_and_one_price() -> None:
    works = [{"artist_ref": "a", "kind": "panel", "width_mm": 300, "height_mm": 400, "price": "100", "currency": "EUR"}] * 9
    assert {finding.measured for finding in findings(asked(works), "price-in-line").values()} == {0.0}


def test_more_than_half_in_a_currency_without_a_rate_leaves_all_open() -> None:
    works = catalogue(9, 1)
    for place, work in enumerate(works):
        work["currency"] = ("EUR", "GBP", "USD")[place % 3]
    found = findings(asked(works), "price-in-line")
    assert {finding.missing for finding in found.values() if finding.state is State.UNKNOWN} == {("/venue/rates",)}
    assert sum(finding.state is State.UNKNOWN for finding in found.values()) == 9
    rated = asked(works, rates=(rate("EUR", "1.1", "USD"), rate("GBP", "1.25", "USD")))
    assert not any(finding.state is State.UNKNOWN for finding in findings(rated, "price-in-line").values())


def test_two_artists_and_unnamed_ones_are_not_mixed() -> None:
    works = [*catalogue(7, 1, artist="a"), *catalogue(7, 2, artist="b")]
    works += [{**work, "artist_ref": None, "price": "999999"} for work in catalogue(9, 3)]
    assert {finding.state for finding in findings(asked(works), "price-in-line").values()} == {State.MET}


def test_defaults_are_those_of_the_texts() -> None:
    limits = EditionLimits()
    european = [most_copies("eu-vat-annex-ix", kind) for kind in ("photograph", "sculpture", "textile")]
    assert [limits.photographs, limits.casts, limits.tapestries] == european
    assert limits.limited_us == most_copies("us-visual-art", "print")
    assert limits.monotype == most_copies("fr-cgi-98-a", "monotype")
    assert not facts_owed("new-york", "multiple", limits.new_york_usd)
    assert not facts_owed("new-york", "sculpture", limits.new_york_sculpture_usd)
    assert facts_owed("california", "multiple", limits.california_usd)
    assert limits.resale_from_eur == 3000
