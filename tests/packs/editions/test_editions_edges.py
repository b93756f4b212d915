"""The formulas at their edges: the last number that is accepted and the next one that is not, and every figure of the texts."""

import statistics

import numpy as np
import pytest
from scipy import stats

from hangworthy_editions import formulas

MOST = 10**9
ALL_ONES = 2**64 - 1


@pytest.mark.parametrize(
    ("call", "edge", "beyond", "said"),
    [
        (lambda count: formulas.total_in_circulation(count), MOST, MOST + 1, "edition"),
        (lambda count: formulas.total_in_circulation(1, 1, 1, count), MOST, MOST + 1, "hors_commerce"),
        (lambda count: formulas.counted_together([1, count]), MOST, MOST + 1, "runs"),
        (lambda count: formulas.proofs_allowed(count, 10.0), 1, 0, "edition"),
        (lambda share: formulas.proofs_allowed(50, share), 100.0, 100.1, "share_percent"),
        (lambda value: formulas.hamming(value, 0), ALL_ONES, ALL_ONES + 1, "one"),
        (lambda value: formulas.hamming(0, value), ALL_ONES, ALL_ONES + 1, "other"),
        (lambda bits: formulas.near_pairs([1, 2], bits), 16, 17, "distance"),
        (lambda price: formulas.resale_royalty(price), 10**12, 10**12 + 1, "price_eur"),
        (lambda price: formulas.facts_owed("california", "multiple", price), 10**12, 10**12 + 1, "price_usd"),
        (lambda year: formulas.new_york_section(year), 9999, 10_000, "year"),
        (lambda angle: formulas.arc_minutes(angle), 60.0, 60.1, "angle_arcmin"),
    ],
)
def test_the_edge_is_accepted_and_the_next_number_refused(call, edge: float, beyond: float, said: str) -> None:
    call(edge)
    with pytest.raises(ValueError, match=said):
        call(beyond)


@pytest.mark.parametrize(
    ("text", "kind", "most"),
    [
        *((text, kind, 8) for text in ("eu-vat-annex-ix", "fr-cgi-98-a") for kind in ("sculpture", "textile", "enamel")),
        *((text, "photograph", 30) for text in ("eu-vat-annex-ix", "fr-cgi-98-a")),
        ("fr-cgi-98-a", "monotype", 1),
        ("us-visual-art", "print", 200),
    ],
)
def test_each_text_allows_as_many_as_it_says(text: str, kind: str, most: int) -> None:
    assert formulas.most_copies(text, kind) == most


@pytest.mark.parametrize(("edition", "share", "proofs"), [(1, 10, 1), (5, 10, 1), (19, 10, 1), (20, 10, 2), (50, 100, 50), (100, 29, 29)])
def test_proofs_by_hand(edition: int, share: float, proofs: int) -> None:
    """A share of each run, whole proofs only, and one at least; 29 % of 100 is 29, though 0.29 has no exact binary form."""
    assert formulas.proofs_allowed(edition, share) == proofs


@pytest.mark.parametrize(
    ("place", "kind", "price", "owed"),
    [
        ("new-york", "multiple", 100, False),
        ("new-york", "multiple", 100.01, True),
        ("new-york", "sculpture", 1500, False),
        ("new-york", "sculpture", 1500.01, True),
        ("california", "multiple", 99.99, False),
        ("california", "multiple", 100, True),
    ],
)
def test_facts_are_owed_from_the_price_of_the_statute(place: str, kind: str, price: float, owed: bool) -> None:
    assert formulas.facts_owed(place, kind, price) is owed


@pytest.mark.parametrize(
    ("year", "section"), [(1982, 15.03), (1981, 15.05), (1950, 15.05), (1949, 15.07), (1900, 15.07), (1899, 15.09), (0, 15.09)]
)
def test_the_section_changes_with_the_first_year_of_each(year: int, section: float) -> None:
    assert formulas.new_york_section(year) == section


def test_as_many_pairs_as_can_be_kept_and_a_few_more() -> None:
    """Numbers of ten bits are all within ten bits: a thousand make 499,500 pairs, one more makes 500,500 of at most 500,000."""
    assert len(formulas.near_pairs(range(1000), 10)) == 499_500
    with pytest.raises(formulas.Crowded, match="500000"):
        formulas.near_pairs(range(1001), 10)


def scattered(count: int) -> tuple[list[float], list[float]]:
    chance = np.random.default_rng(count)
    return [float(x) for x in range(count)], [float(y) for y in chance.uniform(0, 100, count)]


@pytest.mark.parametrize("count", [58, 60, 63, 64])
def test_up_to_64_points_all_pairs_tell_the_slope(count: int) -> None:
    xs, ys = scattered(count)
    assert formulas.theil_sen(xs, ys).slope == pytest.approx(stats.theilslopes(ys, xs).slope, rel=1e-12)


@pytest.mark.parametrize("count", [65, 66, 70])
def test_above_64_points_each_of_the_lower_half_has_one_partner(count: int) -> None:
    xs, ys = scattered(count)
    apart = count - count // 2
    pairs = [(ys[place + apart] - ys[place]) / apart for place in range(count // 2)]
    everything = stats.theilslopes(ys, xs).slope
    assert formulas.theil_sen(xs, ys).slope == pytest.approx(statistics.median(pairs), rel=1e-12)
    assert statistics.median(pairs) != pytest.approx(everything, rel=0.01), "else this would tell nothing"


@pytest.mark.parametrize(
    ("price", "due"),
    [
        (50_000, 2_000), (200_000, 6_500), (350_000, 8_000), (500_000, 8_750), (600_000, 9_000), (1_990_000, 12_475),
        (2_000_000, 12_500), (3_000_000, 12_500),
    ],
)  # fmt: skip
def test_the_resale_right_by_hand(price: int, due: float) -> None:
    """2,000 + 4,500 + 1,500 + 750 fill the bands; above 500,000 a quarter of a percent, until 12,500 are reached."""
    assert formulas.resale_royalty(price) == due
