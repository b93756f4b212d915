"""Money: exact, and compared across currencies only by a rate that the venue gives."""

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction

from hangworthy.contract import ExchangeRate, Undecided

_MOST_RATIO = 10**9


def amount(price: Decimal | None) -> Fraction | None:
    """Return a price exactly; None for none, and for nought or less than a cent, which is no price."""
    if price is None or price < Decimal("0.01"):
        return None
    return Fraction(price)


def shown(value: Fraction, currency: str) -> str:
    """Return money for a sentence: whole where it is whole, else with two decimals."""
    cents = round(value * 100)
    whole, rest = divmod(cents, 100)
    return f"{whole:,}{f'.{rest:02d}' if rest else ''} {currency}"


def ratio_of(part: Fraction, whole: Fraction) -> float:
    """Return part over whole as a float, capped where it would say nothing more."""
    return float(min(part / whole, Fraction(_MOST_RATIO)))


class Rates:
    """The venue's rates: direct, inverse, or through one common currency."""

    def __init__(self, rates: Iterable[ExchangeRate] | None) -> None:
        """Hold both directions of each rate, exactly. The first of a pair counts; a rate that is not above 0 does not."""
        self._direct: dict[tuple[str, str], Fraction] = {}
        for one in rates or ():
            if one.worth > 0:
                worth = Fraction(one.worth)
                self._direct.setdefault((one.currency, one.of), worth)
                self._direct.setdefault((one.of, one.currency), 1 / worth)
        self._known = sorted({pair[0] for pair in self._direct})

    def rate(self, currency: str, of: str) -> Fraction | None:
        """Return what one unit is worth in another currency; None where no rate leads there.

        A rate that the venue states wins; else the first common currency, in alphabetical order, is the way.
        """
        if currency == of:
            return Fraction(1)
        if (direct := self._direct.get((currency, of))) is not None:
            return direct
        for middle in self._known:
            first, second = self._direct.get((currency, middle)), self._direct.get((middle, of))
            if first is not None and second is not None:
                return first * second
        return None

    def convert(self, value: Fraction, currency: str, of: str) -> Fraction | None:
        """Return an amount in another currency, exactly; None where no rate leads there."""
        rate = self.rate(currency, of)
        return None if rate is None else value * rate


def price_in(currency: str, price: Decimal, own: str, rates: Iterable[ExchangeRate] | None) -> Fraction | Undecided:
    """Return a price in another currency, exactly, nought where there is none; or that the venue's rates are missing for it."""
    value = amount(price)
    if value is None:
        return Fraction(0)
    found = Rates(rates).convert(value, own, currency)
    return Undecided(("venue.rates",)) if found is None else found
