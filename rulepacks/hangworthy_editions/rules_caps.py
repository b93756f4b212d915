"""How many copies a declared basis allows: casts, textiles and limited editions. Photographs are counted over all sizes, in a set."""

from hangworthy.contract import CAUTION_LAW, Check, Effect, Step, Undecided, Words, at_most, fact, given, holds, rule, where

from .formulas import total_in_circulation
from .limits import CASTS_TEXT, EIGHT_AND_FOUR, TAPESTRIES_TEXT, VISUAL_ART_TEXT, EditionLimits

_EUROPEAN = (given("editions.basis", "editions.edition_size"), where("editions.basis", "eu-vat-annex-ix"))
_BEFORE = 1989  # casts made before it may exceed the number where a country allows it
_REMEDY = "Correct the number, or name another definition on the certificate and the price list."


@rule(
    "casts-counted",
    effect=Effect.PREPARE,
    step=Step.PAPERS,
    source=CASTS_TEXT,
    applies=[*_EUROPEAN, where("kind", "sculpture", "relief")],
    uses=["casts"],
    cautions=[CAUTION_LAW],
    words=Words(
        measure="Numbered casts",
        met="The number of casts is within what the European tax directive counts as works of art.",
        unmet="{said}",
        remedy=_REMEDY,
    ),
)
def casts_counted(
    limits: EditionLimits,
    edition: int = fact("editions.edition_size"),
    year: int | None = fact("editions.year_made", optional=True),
) -> Check | Undecided:
    """Are there no more casts than the European tax directive counts?

    Up to eight. Casts made before 1989 may be more where a country allows it, so the year is asked for when there are more. An open
    edition has no number, and does not pass.
    """
    if edition == 0 or edition > limits.casts:
        if year is None:
            return Undecided(("editions.year_made",))
        if year < _BEFORE:
            return holds(True)
    if edition == 0:
        return holds(False, said="The edition of casts is open, and the European tax directive counts only a fixed number as works of art.")
    said = f"There are {edition} casts, and the European tax directive counts at most {limits.casts:g} as works of art."
    return at_most(float(edition), limits.casts, unit="", said=said)


@rule(
    "casts-and-proofs",
    effect=Effect.ADVISE,
    step=Step.PAPERS,
    source=EIGHT_AND_FOUR,
    applies=[*_EUROPEAN, where("kind", "sculpture", "relief"), given("editions.artist_proofs")],
    uses=["casts_and_proofs"],
    cautions=[CAUTION_LAW],
    words=Words(
        measure="Casts with the artist's own",
        met="Casts and artist's casts together are customary.",
        unmet="With the artist's own there are {value} casts, and {limit} is the most that is customary.",
        remedy="Check the count, and state numbered casts and artist's casts apart on the certificate.",
    ),
)
def casts_and_proofs(
    limits: EditionLimits, edition: int = fact("editions.edition_size"), proofs: int = fact("editions.artist_proofs")
) -> Check:
    """Are there no more casts, the artist's own included, than is customary?

    Eight numbered ones and four for the artist.
    """
    return at_most(float(total_in_circulation(edition, proofs)), limits.casts_and_proofs, unit="")


@rule(
    "textiles-counted",
    effect=Effect.PREPARE,
    step=Step.PAPERS,
    source=TAPESTRIES_TEXT,
    applies=[*_EUROPEAN, where("kind", "textile")],
    uses=["tapestries"],
    cautions=[CAUTION_LAW],
    words=Words(
        measure="Copies of a tapestry or wall textile",
        met="The number of copies is within what the European tax directive counts as works of art.",
        unmet="{said}",
        remedy=_REMEDY,
    ),
)
def textiles_counted(limits: EditionLimits, edition: int = fact("editions.edition_size")) -> Check:
    """Are there no more copies of a textile than the European tax directive counts?

    Up to eight. An open edition has no number, and does not pass.
    """
    if edition == 0:
        return holds(
            False, said="The edition is open, and the European tax directive counts only a fixed number of textiles as works of art."
        )
    said = f"There are {edition} copies, and the European tax directive counts at most {limits.tapestries:g} as works of art."
    return at_most(float(edition), limits.tapestries, unit="", said=said)


@rule(
    "limited-edition-counted",
    effect=Effect.PREPARE,
    step=Step.PAPERS,
    source=VISUAL_ART_TEXT,
    applies=[
        given("editions.basis", "editions.edition_size"),
        where("editions.basis", "us-visual-art"),
        where("kind", "original-print", "photograph", "sculpture", "relief"),
    ],
    uses=["limited_us"],
    cautions=[CAUTION_LAW],
    words=Words(
        measure="Copies in the limited edition",
        met="The edition is small enough for the American definition of visual art.",
        unmet="The edition of {value} is larger than {limit}, the most under the American definition of visual art.",
        remedy=_REMEDY,
    ),
)
def limited_edition_counted(limits: EditionLimits, edition: int = fact("editions.edition_size")) -> Check:
    """Is the limited edition small enough for the US definition of visual art?

    Up to 200 copies, signed and consecutively numbered. That it is limited at all is asked by its declared basis.
    """
    return at_most(float(edition), limits.limited_us, unit="")


CAP_RULES = (casts_counted, casts_and_proofs, textiles_counted, limited_edition_counted)
