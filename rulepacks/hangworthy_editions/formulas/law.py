"""Figures of statutes, for information: from which price facts are owed, and the bands of the resale right."""

from typing import Any, Final

from hangworthy_handbook.checks import within

_MOST: Final = 1e12
# Width of each band [EUR] and its rate in 400ths (a quarter of a percent): 4, 3, 1, 0.5 and 0.25 %.
_BANDS: Final = ((50_000, 16), (150_000, 12), (150_000, 4), (150_000, 2))
_REST_RATE, _CAP_EUR = 1, 12_500
# First year and section, the youngest first.
_TIERS: Final = ((1982, 15.03), (1950, 15.05), (1900, 15.07), (0, 15.09))
# Price, and whether it must be above it (True) or may be equal.
_OWED: Final[dict[tuple[str, str], tuple[int, bool]]] = {
    ("new-york", "multiple"): (100, True),
    ("new-york", "sculpture"): (1_500, True),
    ("california", "multiple"): (100, False),
}


def resale_royalty(price_eur: Any) -> Any:
    """What the European resale right takes of a resale: rates by band, and a cap.

    Exact for whole numbers of cents and for fractions: the bands are multiples of a quarter of a percent, and nothing is rounded.

    Parameters
    ----------
    price_eur : price of the resale, without tax; an int, a fraction or a float [EUR]

    Returns: 4 % up to 50,000, 3 % to 200,000, 1 % to 350,000, 0.5 % to 500,000, 0.25 % above; at most 12,500 [EUR]

    Validity: from 0; whether it is owed at all hangs on the price from which a country applies it, 3,000 at most.
    Errors: ValueError below 0.
    Source: Directive 2001/84/EC, articles on rates.
    Rows: E-27a, E-27b, E-27c, E-27d, E-27e, E-27f, E-27g, E-27h.
    """
    within("price_eur", price_eur, 0, _MOST)
    left, four_hundredths = price_eur, 0
    for width, rate in _BANDS:
        four_hundredths += min(left, width) * rate
        left = max(left - width, 0)
    return min((four_hundredths + left * _REST_RATE) / 400, _CAP_EUR)


def new_york_section(year: int) -> float:
    """Section of New York's Arts and Cultural Affairs Law that lists the facts owed for a multiple of a year.

    Parameters
    ----------
    year : year in which it was made [-]

    Returns: section number, 15.03 for 1982 and later, then 15.05, 15.07, 15.09 [-]

    Validity: years from 0 to 9999. Errors: ValueError outside of it.
    Source: New York ACAL article 15.
    Rows: E-20a, E-20b, E-20c, E-20d, E-20e, E-20f, E-20g.
    """
    within("year", year, 0, 9999)
    return next(section for first, section in _TIERS if year >= first)


def facts_owed(place: str, kind: str, price_usd: Any) -> bool:
    """Whether a price is one from which a statute owes the buyer written facts.

    Parameters
    ----------
    place : new-york or california
    kind : multiple or sculpture
    price_usd : price without the frame [USD]

    Returns: True where they are owed

    Validity: prices from 0. Errors: ValueError below 0, or for a place and kind that are not listed.
    Source: New York ACAL § 15.01; California Civil Code §§ 1742 to 1744.9.
    Rows: E-18a, E-18b, E-18c, E-18d, E-22a, E-22b.
    """
    if (place, kind) not in _OWED:
        raise ValueError(f"place and kind should be one of {', '.join(map(' for '.join, _OWED))}, but are {place!r} and {kind!r}.")
    within("price_usd", price_usd, 0, _MOST)
    threshold, above = _OWED[place, kind]
    return bool(price_usd > threshold or (price_usd == threshold and not above))
