"""Is a price in line with the artist's own?"""

import math
from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from hangworthy.contract import Check, Effect, ExchangeRate, Stage, Step, Undecided, Words, fact, set_rule

from .formulas import modified_z_scores, theil_sen
from .limits import SCORE_TEXT, EditionLimits
from .money import Rates, shown
from .works import Answers, Offer, Sale, fine, offer_of

_RATES = ("venue.rates",)
_STEP = math.log(1.1)  # sizes closer than a tenth say nothing of how price follows size


class _Point(NamedTuple):
    """A work on the chart of log price over log area."""

    work: int
    log_area: float
    log_price: float


def _groups(found: Sequence[Offer], artists: Sequence[str | None], open_: Sequence[bool]) -> dict[tuple[str, int], list[int]]:
    """Return the works by artist and rank: prints follow another line than originals."""
    groups: dict[tuple[str, int], list[int]] = {}
    for work, one in enumerate(found):
        artist = artists[work]
        if artist is not None and one.rank is not None and open_[work]:
            groups.setdefault((artist, one.rank), []).append(work)
    return groups


def _common_currency(found: Sequence[Offer], works: Sequence[int]) -> str | None:
    """Return the currency that most of the works are priced in, the first in the alphabet where several are."""
    counts: dict[str, int] = {}
    for work in works:
        if (currency := found[work].currency) is not None and found[work].price is not None:
            counts[currency] = counts.get(currency, 0) + 1
    return min(counts, key=lambda currency: (-counts[currency], currency), default=None)


@set_rule(
    "price-in-line",
    effect=Effect.ADVISE,
    step=Step.PAPERS,
    source=SCORE_TEXT,
    due=Stage.ARRIVAL,
    uses=["price_score", "price_works", "price_step_percent"],
    words=Words(
        measure="Modified z-score of the price among the artist's own",
        met="{note}",
        unmet="At {price} it is far {side} your other works of this size; about {expected} would be in line.",
        remedy="Check the figure for a slip. If you mean it, tell us why, so that we can tell clients.",
        bench="{bench}",
    ),
)
def price_in_line(
    limits: EditionLimits,
    sales: tuple[Sale, ...],
    refs: tuple[str, ...] = fact("ref"),
    artists: tuple[str | None, ...] = fact("artist_ref", optional=True),
    widths: tuple[float | None, ...] = fact("width_mm", optional=True, as_given=True),
    heights: tuple[float | None, ...] = fact("height_mm", optional=True, as_given=True),
    rates: tuple[tuple[ExchangeRate, ...] | None, ...] = fact("venue.rates", optional=True),
    editions: tuple[str | None, ...] = fact("editions.edition_ref", optional=True),
) -> Answers:
    """Is its price in line with the artist's other works?

    The artist's originals, prints and reproductions each have their own line: log price over log area through the median of slopes, which
    a few odd prices do not pull over. The distance from it, as a modified z-score, passes up to the limit. Copies of one edition at one
    price count once; a typical spread below the limit for rounding counts as that much. Fewer works than the limit are not compared.
    """
    answers: Answers = [fine("There are too few works of the artist to compare its price with.") for _ in refs]
    if len(refs) < limits.price_works:
        return answers
    found = [offer_of(ref, sale) for ref, sale in zip(refs, sales, strict=True)]
    table = Rates(rates[0])
    open_ = [not sale.is_none for sale in sales]
    for works in _groups(found, artists, open_).values():
        if len(works) >= limits.price_works:
            areas = {work: (widths[work] or 0.0) * (heights[work] or 0.0) for work in works}
            _line(limits, works, found, areas, editions, table, answers)
    return answers


def _points(
    works: Sequence[int], found: Sequence[Offer], areas: dict[int, float], table: Rates, common: str | None
) -> tuple[list[_Point], dict[int, Undecided]]:
    """Return the works that can stand on one chart, and what the others lack."""
    points: list[_Point] = []
    lacking: dict[int, Undecided] = {}
    for work in works:
        one, missing = found[work], found[work].lacks
        if areas[work] <= 0.0:
            missing = (*missing, "width_mm", "height_mm")
        if missing or common is None or one.price is None or one.currency is None:
            lacking[work] = Undecided(missing)
        elif (price := table.convert(one.price, one.currency, common)) is None:
            lacking[work] = Undecided(_RATES)
        else:
            points.append(_Point(work, math.log(areas[work]), _log(price)))
    return points, lacking


def _line(
    limits: EditionLimits, works: Sequence[int], found: Sequence[Offer], areas: dict[int, float], editions: Sequence[str | None],
    table: Rates, answers: Answers,
) -> None:  # fmt: skip
    """Fill in the answers of one artist's works of one rank."""
    common = _common_currency(found, works)
    points, lacking = _points(works, found, areas, table, common)
    for work, open_ in lacking.items():
        answers[work] = open_
    keys = {point.work: (editions[point.work], point.log_price) if editions[point.work] is not None else (point.work,) for point in points}
    seen: dict[tuple[object, ...], _Point] = {}
    for point in points:
        seen.setdefault(keys[point.work], point)
    if common is None or len(seen) < limits.price_works:
        if len(seen) + sum(one.missing == _RATES for one in lacking.values()) >= limits.price_works:
            answers[:] = [Undecided(_RATES) if work in keys else one for work, one in enumerate(answers)]
        return
    fitted = list(seen.values())
    line = theil_sen([point.log_area for point in fitted], [point.log_price for point in fitted], _STEP)
    off = [point.log_price - line.intercept - line.slope * point.log_area for point in fitted]
    scores = dict(zip(seen, modified_z_scores(off, math.log1p(limits.price_step_percent / 100)), strict=True))
    for point in points:
        expected = math.exp(min(max(line.intercept + line.slope * point.log_area, -50.0), 50.0))
        answers[point.work] = _scored(limits, scores[keys[point.work]], found[point.work], expected, common, len(fitted))


def _log(price: Fraction) -> float:
    """Return the logarithm of a price, however many digits it has."""
    return math.log(price.numerator) - math.log(price.denominator)


def _scored(limits: EditionLimits, score: float, one: Offer, expected: float, currency: str, count: int) -> Check:
    size, price, line = abs(score), shown(one.price or Fraction(0), one.currency or ""), shown(_rounded(expected), currency)
    named = {
        "price": price,
        "side": "above" if score > 0 else "below",
        "expected": line,
        "note": "Its price is in line with the artist's other works.",
        "bench": f"{price}, where {count} works of the artist suggest {line}: score {size:.2f}, at most {limits.price_score:g}.",
    }
    return Check(size <= limits.price_score, size, None, limits.price_score, "", None, named)


def _rounded(value: float) -> Fraction:
    """Return an amount to two significant digits: more would claim what a fit cannot know."""
    return Fraction(f"{value:.1e}")


LINE_RULES = (price_in_line,)
