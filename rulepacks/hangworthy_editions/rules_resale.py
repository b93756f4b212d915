"""The resale right: what may be owed to the artist of a work that is sold again."""

from decimal import Decimal
from fractions import Fraction

from hangworthy.contract import CAUTION_LAW, Check, Effect, ExchangeRate, Stage, Step, Undecided, Words, fact, given, rule, where

from .formulas import resale_royalty
from .limits import RESALE_TEXT, EditionLimits
from .money import price_in, shown


@rule(
    "resale-right",
    effect=Effect.ADVISE,
    step=Step.PAPERS,
    source=RESALE_TEXT,
    due=Stage.ARRIVAL,
    applies=[given("editions.resale"), where("editions.resale", True), where("wall.law_of", "european-union")],
    uses=["resale_from_eur"],
    cautions=[CAUTION_LAW],
    words=Words(
        measure="Resale price",
        met="At this price the resale right asks for nothing.",
        unmet="On a resale at {price} about {royalty} may be owed to the artist or the heirs.",
        remedy="Set {royalty} aside, and ask the collecting society of the country how and when it is paid.",
        bench="Resale at {price}: resale right {royalty}, before any exemption of the country.",
    ),
)
def resale_right(
    limits: EditionLimits,
    price: Decimal = fact("price"),
    currency: str = fact("currency"),
    rates: tuple[ExchangeRate, ...] | None = fact("venue.rates", optional=True),
) -> Check | Undecided:
    """Does a resale stay below the price from which the European resale right applies?

    Of a resale through the trade, limited copies included, the artist or the heirs receive 4 % up to 50,000 euro, 3 % to 200,000, 1 % to
    350,000, 0.5 % to 500,000 and 0.25 % above, 12,500 at most. Each country sets the price from which it applies, 3,000 euro at most.
    Information only.
    """
    eur = price_in("EUR", price, currency, rates)
    if isinstance(eur, Undecided):
        return eur
    royalty = resale_royalty(eur) if eur >= limits.resale_from_eur else Fraction(0)
    return Check(
        eur < limits.resale_from_eur, float(eur), None, limits.resale_from_eur, "EUR", None,
        {"price": shown(eur, "EUR"), "royalty": shown(royalty, "EUR")},
    )  # fmt: skip


RESALE_RULES = (resale_right,)
