"""Copies of one edition beside each other: is a number taken, and is the price the same?"""

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from hangworthy.contract import (
    COMMON_PRACTICE,
    Check,
    Effect,
    ExchangeRate,
    Step,
    Undecided,
    Words,
    fact,
    given,
    holds,
    set_rule,
)

from .facts import ProofKind
from .money import Rates, amount, shown
from .runs import formats, size_of
from .works import Answers, fine

_LETTERS = {"artist-proof": "artist's proof", "printer-proof": "printer's proof", "hors-commerce": "copy not for sale"}
Key = tuple[object, ...]


def _mark(number: int | None, proof: ProofKind | None, proof_number: int | None) -> str:
    """Return what is written on a copy, in words; nothing for a copy that carries no number."""
    if number:
        return f"number {number}"
    letters = _LETTERS.get(proof or "")
    return f"{letters} {proof_number}" if letters and proof_number else ""


@set_rule(
    "number-taken",
    effect=Effect.REFUSE,
    step=Step.PAPERS,
    source=COMMON_PRACTICE,
    applies=[given("editions.number")],
    words=Words(
        measure="Number within its edition",
        met="{note}",
        unmet="This is {mark} of its edition, and “{other}” is offered as the same.",
        remedy="Look at both margins: each number exists once. Correct the one that is wrong, or take one of the two back.",
        bench="{bench}",
    ),
)
def number_taken(
    refs: tuple[str, ...] = fact("ref"),
    numbers: tuple[int, ...] = fact("editions.number"),
    proofs: tuple[ProofKind | None, ...] = fact("editions.proof_kind", optional=True),
    proof_numbers: tuple[int | None, ...] = fact("editions.proof_number", optional=True),
    artists: tuple[str | None, ...] = fact("artist_ref", optional=True),
    edition_refs: tuple[str | None, ...] = fact("editions.edition_ref", optional=True),
    titles: tuple[str | None, ...] = fact("title", optional=True),
    editions: tuple[int | None, ...] = fact("editions.edition_size", optional=True),
) -> Answers:
    """Is each number of an edition offered once only?

    Works of one artist with the same edition's reference are one edition, and no two of them carry the same number, proofs included. Works
    of one artist that agree in title, edition and number look like one: where the edition's reference is not told, it is asked for.
    """
    marks = [_mark(*one) for one in zip(numbers, proofs, proof_numbers, strict=True)]
    told: dict[Key, list[int]] = {}
    alike: dict[Key, list[int]] = {}
    for work, mark in enumerate(marks):
        if mark and edition_refs[work] is not None:
            told.setdefault((artists[work], edition_refs[work], mark), []).append(work)
        if mark and titles[work] is not None and editions[work] != 1:
            alike.setdefault((artists[work], str(titles[work]).casefold(), editions[work], mark), []).append(work)
    answers: Answers = [fine("Nobody else offers this number.") for _ in refs]
    for works in alike.values():
        for work in works:
            if len(works) > 1 and edition_refs[work] is None:
                answers[work] = Undecided(("editions.edition_ref",))
    for works in told.values():
        for work in works:
            if len(works) > 1:
                other = works[0] if works[0] != work else works[1]
                answers[work] = holds(
                    False, mark=marks[work], other=refs[other], bench=f"{marks[work]} of one edition twice: also {refs[other]}."
                )
    return answers


@set_rule(
    "edition-told-alike",
    effect=Effect.PREPARE,
    step=Step.PAPERS,
    source=COMMON_PRACTICE,
    applies=[given("editions.edition_ref")],
    words=Words(
        measure="Edition beside other copies of it",
        met="{note}",
        unmet="“{other}” says {theirs}, this one {own}; both must match the certificate.",
        remedy="Look at both certificates and correct the edition of the copy that is wrong; or give each edition a reference of its own.",
        bench="{bench}",
    ),
)
def edition_told_alike(
    refs: tuple[str, ...] = fact("ref"),
    edition_refs: tuple[str, ...] = fact("editions.edition_ref"),
    editions: tuple[int | None, ...] = fact("editions.edition_size", optional=True),
    artists: tuple[str | None, ...] = fact("artist_ref", optional=True),
) -> Answers:
    """Do all copies of one edition say the same of how large it is?

    Works of one artist with the same edition's reference are one edition, so they state one edition. A copy that does not say how large it
    is, beside one that does, is asked.
    """
    answers: Answers = [fine("Nothing else says another edition.") for _ in refs]
    together: dict[Key, list[int]] = {}
    for work, ref in enumerate(edition_refs):
        together.setdefault((artists[work], ref), []).append(work)
    for works in together.values():
        first: dict[int, int] = {}  # for each size of the edition that is told, the first copy that says so
        for work in sorted(works, key=lambda work: refs[work]):
            size = editions[work]
            if size is not None:
                first.setdefault(size, work)
        for work in works if first else ():
            if editions[work] is None:
                answers[work] = Undecided(("editions.edition_size",))
            elif len(first) > 1:
                answers[work] = _clash(
                    refs, editions[work] or 0, next((size, other) for size, other in first.items() if size != editions[work])
                )
    return answers


def _clash(refs: tuple[str, ...], own: int, other: tuple[int, int]) -> Check:
    theirs, work = other
    bench = f"One edition is stated as {_edition(own)} here and as {_edition(theirs)} for {refs[work]}."
    return holds(False, other=refs[work], theirs=_edition(theirs), own=_edition(own), bench=bench)


def _edition(size: int) -> str:
    return f"an edition of {size}" if size else "an open edition"


class _Priced(NamedTuple):
    """A copy with its price in the currency of its run."""

    work: int
    number: int
    price: Fraction


@set_rule(
    "same-edition-same-price",
    effect=Effect.ADVISE,
    step=Step.PAPERS,
    source=COMMON_PRACTICE,
    applies=[given("editions.edition_ref", "price")],
    words=Words(
        measure="Price beside other copies of the edition",
        met="{note}",
        unmet="This copy costs {price}, and “{other}” of the same edition and size costs {theirs}.",
        remedy="Ask one price for one edition and size; it may rise with the number, and never fall.",
        bench="{bench}",
    ),
)
def same_edition_same_price(
    refs: tuple[str, ...] = fact("ref"),
    edition_refs: tuple[str, ...] = fact("editions.edition_ref"),
    prices: tuple[Decimal, ...] = fact("price"),
    currencies: tuple[str | None, ...] = fact("currency", optional=True),
    rates: tuple[tuple[ExchangeRate, ...] | None, ...] = fact("venue.rates", optional=True),
    artists: tuple[str | None, ...] = fact("artist_ref", optional=True),
    numbers: tuple[int | None, ...] = fact("editions.number", optional=True),
    framed: tuple[bool | None, ...] = fact("framed", optional=True),
    widths: tuple[float | None, ...] = fact("width_mm", optional=True, as_given=True),
    heights: tuple[float | None, ...] = fact("height_mm", optional=True, as_given=True),
) -> Answers:
    """Does one edition in one size have one price?

    Copies of one edition in one size, framed or not framed alike, ask the same price; later numbers may cost more and never less, so a
    later number that is cheaper is told. Where prices differ and a copy's number or currency is not known, it is asked for.
    """
    answers: Answers = [fine("The price is that of its edition.") for _ in refs]
    sizes = [size_of(width, height) for width, height in zip(widths, heights, strict=True)]
    editions: dict[Key, list[int]] = {}
    for work, ref in enumerate(edition_refs):
        if amount(prices[work]) is not None:
            editions.setdefault((artists[work], ref, framed[work]), []).append(work)
    table = Rates(rates[0])
    for copies in editions.values():
        runs: dict[Key, list[int]] = {}
        for work, size in zip(copies, formats([sizes[work] for work in copies]), strict=True):
            runs.setdefault(size, []).append(work)
        for works in runs.values():
            for work, answer in _run(works, refs, prices, currencies, numbers, table):
                answers[work] = answer
    return answers


def _run(
    works: list[int],
    refs: tuple[str, ...],
    prices: tuple[Decimal, ...],
    currencies: tuple[str | None, ...],
    numbers: tuple[int | None, ...],
    table: Rates,
) -> Iterable[tuple[int, Check | Undecided]]:
    """Yield the works of one run that have another answer than the usual one."""
    if len({(prices[work], currencies[work]) for work in works}) == 1:
        return
    common = next((currencies[work] for work in works if currencies[work] is not None), None)
    known: list[_Priced] = []
    for work in works:
        currency, price = currencies[work], amount(prices[work])
        if currency is None:
            yield work, Undecided(("currency",))
        elif common is None or price is None or (converted := table.convert(price, currency, common)) is None:
            yield work, Undecided(("venue.rates",))
        elif numbers[work] is None and len(works) > 1:
            yield work, Undecided(("editions.number",))
        elif numbers[work]:
            known.append(_Priced(work, numbers[work] or 0, converted))
    yield from _cheaper_later(known, refs, common or "")


def _cheaper_later(known: list[_Priced], refs: tuple[str, ...], currency: str) -> Iterable[tuple[int, Check | Undecided]]:
    """Yield the copies that cost less than one with an earlier number; copies of one number clash elsewhere."""
    dearest: _Priced | None = None
    for one in sorted(known, key=lambda one: (one.number, one.price, refs[one.work])):
        if dearest is not None and dearest.number < one.number and one.price < dearest.price:
            price, theirs, other = shown(one.price, currency), shown(dearest.price, currency), refs[dearest.work]
            bench = f"{price} for number {one.number}, beside {theirs} for {other}, number {dearest.number}."
            yield one.work, holds(False, price=price, theirs=theirs, other=other, bench=bench)
        elif dearest is None or one.price > dearest.price:
            dearest = one


COPY_RULES = (number_taken, edition_told_alike, same_edition_same_price)
