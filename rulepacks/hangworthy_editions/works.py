"""Works in a set: their rank among versions of one image, what they cost, and their answers where there is nothing to compare."""

from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from hangworthy.contract import Check, Kind, Process, Undecided, fact, holds

from .money import amount

ORIGINAL, PRINT, COPY = 0, 1, 2
RANKS = ("original", "print", "reproduction")
MULTIPLES: tuple[Kind, ...] = ("original-print", "photograph", "reproduction")
Answers = list[Check | Undecided]


class Sale(NamedTuple):
    """What a work is and costs, as facts; None where it is not known."""

    kind: Kind | None = fact("kind", optional=True)
    process: Process | None = fact("process", optional=True)
    price: Decimal | None = fact("price", optional=True)
    currency: str | None = fact("currency", optional=True)

    @property
    def is_none(self) -> bool:
        """Return whether a price is given and is nought."""
        return self.price is not None and amount(self.price) is None


class Offer(NamedTuple):
    """What a work asks for: rank (None while its kind is not known), price (None without one) and currency."""

    ref: str
    rank: int | None
    price: Fraction | None
    currency: str | None

    @property
    def lacks(self) -> tuple[str, ...]:
        """Return the paths that are missing before its price can be compared."""
        found = ("kind",) if self.rank is None else ()
        return (*found, *(("price",) if self.price is None else ()), *(("currency",) if self.currency is None else ()))


def rank_of(kind: Kind | None, process: Process | None) -> int | None:
    """Return where a work stands: unique works first (a monotype is one), then original prints and photographs, then reproductions."""
    if kind is None:
        return None
    if kind == "reproduction":
        return COPY
    return PRINT if kind in MULTIPLES and process != "monotype" else ORIGINAL


def offer_of(ref: str, sale: Sale) -> Offer:
    """Return what a work asks for."""
    return Offer(ref, rank_of(sale.kind, sale.process), amount(sale.price), sale.currency)


def fine(note: str) -> Check:
    """Return that nothing stands against a work, and why, for the artist and for the bench."""
    return holds(True, note=note, bench=note)
