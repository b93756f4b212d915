"""What buyers are owed in writing, and the resale right: information, never advice."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from hangworthy.contract import (
    CAUTION_LAW,
    Check,
    Effect,
    ExchangeRate,
    Process,
    Stage,
    Step,
    Undecided,
    Words,
    fact,
    given,
    holds,
    published,
    rule,
    where,
)

from .facts import LawOf, Signature
from .formulas import new_york_section
from .limits import CALIFORNIA_TEXT, NEW_YORK_CASTS_TEXT, NEW_YORK_TEXT, EditionLimits
from .money import price_in
from .works import MULTIPLES

_MULTIPLE = where("kind", *MULTIPLES)
_NEW_YORK_FULL = 1982


_WRITE = "Write the facts of this form on a certificate or an invoice before the sale."
_WRITE_NEW_YORK = f"{_WRITE} Artists who sell their own prints owe them too."


def _words(place: str, remedy: str = _WRITE) -> Words:
    return Words(measure=f"Facts in writing for a buyer in {place}", met="{said}", unmet="{said}", remedy=remedy, bench="{said}")


def _owed(place: str, facts: Mapping[str, Any], certificate: bool | None, remedy: str = "") -> Check | Undecided:
    """Return whether the facts are known and written down; a fact that is missing is asked for."""
    missing = tuple(path for path, value in {**facts, "editions.certificate": certificate}.items() if value is None)
    if certificate is False:
        return holds(
            False, said=f"A buyer in {place} is owed the facts of this work in writing, and nothing is written yet.", remedy=remedy
        )
    if missing:
        return Undecided(missing)
    return holds(True, said=f"The facts that buyers in {place} are owed are known and written down.")


def _too_cheap(place: str) -> Check:
    return holds(True, said=f"At this price no facts are owed in writing in {place}.")


@rule(
    "disclosed-new-york",
    effect=Effect.ADVISE,
    step=Step.PAPERS,
    source=NEW_YORK_TEXT,
    due=Stage.ARRIVAL,
    applies=[_MULTIPLE, where("wall.law_of", "new-york")],
    uses=["new_york_usd"],
    cautions=[CAUTION_LAW],
    words=_words("New York", "{remedy}"),
)
def disclosed_new_york(
    limits: EditionLimits,
    price: Decimal = fact("price"),
    currency: str = fact("currency"),
    rates: tuple[ExchangeRate, ...] | None = fact("venue.rates", optional=True),
    year: int | None = fact("editions.year_made", optional=True),
    artist: str | None = fact("artist_name", optional=True),
    signature: Signature | None = fact("editions.signature", optional=True),
    process: Process | None = fact("process", optional=True),
    existing: bool | None = fact("editions.from_existing_work", optional=True),
    posthumous: bool | None = fact("editions.posthumous", optional=True),
    edition: int | None = fact("editions.edition_size", optional=True),
    proofs: int | None = fact("editions.artist_proofs", optional=True),
    certificate: bool | None = fact("editions.certificate", optional=True),
) -> Check | Undecided:
    """Are the facts that buyers of multiples are owed in New York there, in writing?

    Above the price of the statute, the frame left out: artist, signature, process, whether it reproduces another work or is posthumous,
    year, edition and proofs. Prints made before 1982 have shorter lists, which are not held here. A buyer who gets the facts only with the
    work may give it back within thirty days.
    """
    usd = price_in("USD", price, currency, rates)
    if isinstance(usd, Undecided):
        return usd
    if usd <= limits.new_york_usd:
        return _too_cheap("New York")
    if year is not None and year < _NEW_YORK_FULL:
        said = f"For a print of {year} New York has a shorter list of facts, in § {new_york_section(year):.2f}."
        return holds(False, said=said, remedy="Look that list up, and write its facts on a certificate or an invoice before the sale.")
    facts = {
        "editions.year_made": year, "artist_name": artist, "editions.signature": signature, "process": process,
        "editions.from_existing_work": existing, "editions.posthumous": posthumous, "editions.edition_size": edition,
        "editions.artist_proofs": proofs,
    }  # fmt: skip
    return _owed("New York", facts, certificate, _WRITE_NEW_YORK)


@rule(
    "disclosed-new-york-casts",
    effect=Effect.ADVISE,
    step=Step.PAPERS,
    source=NEW_YORK_CASTS_TEXT,
    due=Stage.ARRIVAL,
    applies=[where("kind", "sculpture"), given("editions.edition_size"), where("wall.law_of", "new-york")],
    uses=["new_york_sculpture_usd"],
    cautions=[CAUTION_LAW],
    words=_words("New York"),
)
def disclosed_new_york_casts(
    limits: EditionLimits,
    price: Decimal = fact("price"),
    currency: str = fact("currency"),
    edition: int = fact("editions.edition_size"),
    rates: tuple[ExchangeRate, ...] | None = fact("venue.rates", optional=True),
    year: int | None = fact("editions.year_made", optional=True),
    artist: str | None = fact("artist_name", optional=True),
    posthumous: bool | None = fact("editions.posthumous", optional=True),
    workshop: str | None = fact("editions.workshop", optional=True),
    certificate: bool | None = fact("editions.certificate", optional=True),
) -> Check | Undecided:
    """Are the facts that buyers of casts are owed in New York there, in writing?

    Above the statute's price for sculpture in an edition: artist, foundry, year, whether it is posthumous, and the edition. The price was
    read; the list of facts is from memory.
    """
    usd = price_in("USD", price, currency, rates)
    if isinstance(usd, Undecided):
        return usd
    if usd <= limits.new_york_sculpture_usd:
        return _too_cheap("New York")
    facts = {"artist_name": artist, "editions.year_made": year, "editions.posthumous": posthumous, "editions.workshop": workshop}
    return _owed("New York", {**facts, "editions.edition_size": edition}, certificate)


@rule(
    "disclosed-california",
    effect=Effect.ADVISE,
    step=Step.PAPERS,
    source=CALIFORNIA_TEXT,
    due=Stage.ARRIVAL,
    applies=[_MULTIPLE, where("wall.law_of", "california")],
    uses=["california_usd"],
    cautions=[CAUTION_LAW],
    words=_words("California", f"{_WRITE} The certificate is due with the consignment already."),
)
def disclosed_california(
    limits: EditionLimits,
    price: Decimal = fact("price"),
    currency: str = fact("currency"),
    rates: tuple[ExchangeRate, ...] | None = fact("venue.rates", optional=True),
    artist: str | None = fact("artist_name", optional=True),
    signature: Signature | None = fact("editions.signature", optional=True),
    process: Process | None = fact("process", optional=True),
    existing: bool | None = fact("editions.from_existing_work", optional=True),
    posthumous: bool | None = fact("editions.posthumous", optional=True),
    earlier: bool | None = fact("editions.earlier_editions", optional=True),
    year: int | None = fact("editions.year_made", optional=True),
    edition: int | None = fact("editions.edition_size", optional=True),
    proofs: int | None = fact("editions.artist_proofs", optional=True),
    cancelled: bool | None = fact("editions.matrix_cancelled", optional=True),
    certificate: bool | None = fact("editions.certificate", optional=True),
) -> Check | Undecided:
    """Are the facts that buyers of multiples are owed in California there, in a certificate?

    From the price of the statute, the frame left out, and before a sale or a consignment: artist, signature, process, whether it reproduces
    another medium or is posthumous, earlier editions, year, edition and proofs, and whether the plate is cancelled.
    """
    usd = price_in("USD", price, currency, rates)
    if isinstance(usd, Undecided):
        return usd
    if usd < limits.california_usd:
        return _too_cheap("California")
    facts = {
        "artist_name": artist, "editions.signature": signature, "process": process, "editions.from_existing_work": existing,
        "editions.posthumous": posthumous, "editions.earlier_editions": earlier, "editions.year_made": year,
        "editions.edition_size": edition, "editions.artist_proofs": proofs, "editions.matrix_cancelled": cancelled,
    }  # fmt: skip
    return _owed("California", facts, certificate)


@rule(
    "disclosed-proofs",
    effect=Effect.ADVISE,
    step=Step.PAPERS,
    source=published("Hawaii Revised Statutes § 481F-4; Maryland Commercial Law § 14-504", "fields beyond the common ones"),
    due=Stage.ARRIVAL,
    applies=[_MULTIPLE, where("wall.law_of", "hawaii", "maryland")],
    cautions=[CAUTION_LAW],
    words=_words("Hawaii or Maryland"),
)
def disclosed_proofs(
    law: LawOf = fact("wall.law_of"),
    artist: str | None = fact("artist_name", optional=True),
    signature: Signature | None = fact("editions.signature", optional=True),
    process: Process | None = fact("process", optional=True),
    year: int | None = fact("editions.year_made", optional=True),
    edition: int | None = fact("editions.edition_size", optional=True),
    proofs: int | None = fact("editions.artist_proofs", optional=True),
    printer: int | None = fact("editions.printer_proofs", optional=True),
    hors: int | None = fact("editions.hors_commerce", optional=True),
    workshop: str | None = fact("editions.workshop", optional=True),
    cancelled: bool | None = fact("editions.matrix_cancelled", optional=True),
    certificate: bool | None = fact("editions.certificate", optional=True),
) -> Check | Undecided:
    """Are the facts that buyers of multiples are owed in Hawaii and Maryland there, in writing?

    Beyond artist, signature, process, year and edition: each kind of proof, the workshop, and whether the plate is cancelled. No price is
    held here from which they are owed, so they are asked for at any.
    """
    facts = {
        "artist_name": artist, "editions.signature": signature, "process": process, "editions.year_made": year,
        "editions.edition_size": edition, "editions.artist_proofs": proofs, "editions.printer_proofs": printer,
        "editions.hors_commerce": hors, "editions.workshop": workshop, "editions.matrix_cancelled": cancelled,
    }  # fmt: skip
    return _owed(law.title(), facts, certificate)


LAW_RULES = (disclosed_new_york, disclosed_new_york_casts, disclosed_california, disclosed_proofs)
