"""Prices of one image: the original above its prints, these above its reproductions."""

from collections.abc import Sequence
from fractions import Fraction
from math import ceil, floor
from typing import NamedTuple

from hangworthy.contract import (
    OWN_POLICY,
    Check,
    Effect,
    ExchangeRate,
    Step,
    Undecided,
    Words,
    fact,
    set_rule,
    show_apart,
)

from .images import Shown, images_of
from .limits import EditionLimits
from .money import Rates, ratio_of, shown
from .works import COPY, ORIGINAL, RANKS, Answers, Offer, Sale, fine, offer_of

ExchangeRates = tuple[ExchangeRate, ...] | None
_NOTHING = "Nothing on this list is at odds with its price."


class _Top(NamedTuple):
    """The dearest share that a work costs of one that ranks above it, exactly."""

    ratio: Fraction
    other: Offer


class _Ladder:
    """Prices of one image by rank: for each class of works, rank and currency the cheapest offer, since a copy must stay below all."""

    def __init__(self, works: Sequence[Shown], sales: Sequence[Sale], rates: Rates, bits: float) -> None:
        self.works, self.sales, self.rates = works, sales, rates
        self.groups = groups = images_of(works, bits)
        self.found = [offer_of(work.ref, sale) for work, sale in zip(works, sales, strict=True)]
        self.cheapest: list[dict[tuple[int, str], Offer]] = [{} for _ in groups.members]
        self.ranks: list[set[int]] = [set() for _ in groups.members]
        for work, one in enumerate(self.found):
            if one.rank is None:
                continue
            self.ranks[groups.of[work]].add(one.rank)
            if one.price is not None and one.currency is not None:
                rungs = self.cheapest[groups.of[work]]
                known = rungs.get((one.rank, one.currency))
                if known is None or (one.price, one.ref) < (known.price or 0, known.ref):
                    rungs[one.rank, one.currency] = one

    def compares(self, work: int, highest: int) -> bool:
        """Return whether the image is there in another rank that its price could clash with."""
        rank = self.found[work].rank
        around = set().union(*(self.ranks[one] for one in self.groups.kin(work)))
        if rank is None:
            return bool(around)
        return any(other < rank and other <= highest for other in around) or any(other > rank for other in around if rank <= highest)

    def top(self, work: int, highest: int) -> tuple[_Top | None, bool]:
        """Return the dearest share of what ranks above a work, and whether a rate was missing to tell."""
        one, best, unrated = self.found[work], None, False
        if one.rank is None or one.price is None or one.currency is None:
            return None, False
        for group in self.groups.kin(work):
            for (rank, currency), other in sorted(self.cheapest[group].items()):
                if rank >= one.rank or rank > highest or other.price is None:
                    continue
                price = self.rates.convert(other.price, currency, one.currency)
                if price is None:
                    unrated = True
                elif best is None or one.price / price > best.ratio:
                    best = _Top(one.price / price, other)
        return best, unrated


def _answers(ladder: _Ladder | None, highest: int, limit: float, below: bool) -> Answers:
    """Return each work's answer: what it still needs, or its price against the limit. A work alone has no ladder."""
    if ladder is None:
        return [fine(_NOTHING)]
    answers: Answers = []
    for work, one in enumerate(ladder.found):
        if not ladder.compares(work, highest):
            crowded = ladder.groups.crowded and ladder.works[work].fingerprint is not None
            answers.append(Undecided(("editions.fingerprint",)) if crowded else fine(_NOTHING))
            continue
        if ladder.sales[work].is_none:
            answers.append(fine("It is not for sale."))
            continue
        if one.lacks:
            answers.append(Undecided(one.lacks))
            continue
        top, unrated = ladder.top(work, highest)
        judged = None if top is None else _judged(one, top, limit, below)
        if unrated and (judged is None or judged.met):
            answers.append(Undecided(("venue.rates",)))
        else:
            answers.append(judged or fine(_NOTHING))
    return answers


def _ladder(limits: EditionLimits, works: Sequence[Shown], sales: Sequence[Sale], rates: Sequence[ExchangeRates]) -> _Ladder | None:
    """Return the ladder of several works."""
    return _Ladder(works, sales, Rates(rates[0]), limits.fingerprint_bits) if len(works) > 1 else None


def _alone(ladder: _Ladder | None, work: int) -> bool:
    """Return whether no other work shows the image of one."""
    return ladder is None or ladder.groups.alone(work)


def _judged(one: Offer, top: _Top, limit: float, below: bool) -> Check:
    """Return a price against the limit, compared exactly; ``below`` asks for less, not for at most."""
    bound = Fraction(str(limit))
    met = top.ratio < bound if below else top.ratio <= bound
    how = "costs as much as" if top.ratio == 1 else "costs more than" if top.ratio > 1 else "comes close to"
    price, other, share = one.price or Fraction(0), top.other, ratio_of(top.ratio, Fraction(1))
    part, most = show_apart(share * 100, limit * 100, "%")
    named = {
        "how": how,
        "thing": RANKS[one.rank or 0],
        "what": RANKS[other.rank or 0],
        "other": other.ref,
        "price": shown(price, one.currency or ""),
        "theirs": shown(other.price or Fraction(0), other.currency or ""),
        "most": shown(Fraction(floor(price / top.ratio * bound * 100), 100), one.currency or ""),
        "least": shown(Fraction(ceil((other.price or Fraction(0)) * top.ratio / bound * 100), 100), other.currency or ""),
        "note": "Its price leaves room below the original.",
        "bench": f"{part} of the price of {other.ref}; {'below' if below else 'at most'} {most} is right.",
    }
    return Check(met, share, None, limit, "", None, named)


@set_rule(
    "price-order",
    effect=Effect.PREPARE,
    step=Step.PAPERS,
    source=OWN_POLICY,
    uses=["order_ratio", "fingerprint_bits"],
    words=Words(
        measure="Price over the price of what it is a version of",
        met="{note}",
        unmet="This {thing} at {price} {how} the {what} “{other}” at {theirs}.",
        remedy="Set its price below {most}, or that of the {what} above {least}: nobody should be asked the same for both.",
        bench="{bench}",
    ),
)
def price_order(
    limits: EditionLimits,
    works: tuple[Shown, ...],
    sales: tuple[Sale, ...],
    rates: tuple[ExchangeRates, ...] = fact("venue.rates", optional=True),
) -> Answers:
    """Does the original cost more than its prints, and these more than its reproductions?

    Works of one image, by what is declared and by fingerprints near each other, are ranked: original (a monotype is one), original print
    or photograph, reproduction. Each must cost less than all that rank above it; the same price is the worst, since a client then
    wonders which is which. A reproduction that names no image is asked for it. Prices in two currencies are compared by the venue's
    rates alone.
    """
    ladder = _ladder(limits, works, sales, rates)
    answers = _answers(ladder, COPY, limits.order_ratio, below=True)
    for number, (work, sale) in enumerate(zip(works, sales, strict=True)):
        if sale.kind == "reproduction" and work.image_of is None and work.fingerprint is None and _alone(ladder, number):
            answers[number] = Undecided(("editions.image_of",))
    return answers


@set_rule(
    "price-apart",
    effect=Effect.ADVISE,
    step=Step.PAPERS,
    source=OWN_POLICY,
    uses=["print_ratio", "fingerprint_bits"],
    words=Words(
        measure="Price over the price of the original",
        met="{note}",
        unmet="This {thing} at {price} {how} its original “{other}” at {theirs}.",
        remedy="Lower its price to {most} or less, or raise that of the original to {least} or more.",
        bench="{bench}",
    ),
)
def price_apart(
    limits: EditionLimits,
    works: tuple[Shown, ...],
    sales: tuple[Sale, ...],
    rates: tuple[ExchangeRates, ...] = fact("venue.rates", optional=True),
) -> Answers:
    """Is a print or reproduction well below the price of its original?

    Its price over that of the cheapest original of the same image passes up to the limit, one half by the programme's own policy.
    """
    return _answers(_ladder(limits, works, sales, rates), ORIGINAL, limits.print_ratio, below=False)


PRICE_RULES = (price_order, price_apart)
