"""Originals and reproductions: does a work keep the basis that is declared for it, and is its like shown here?"""

from hangworthy.contract import (
    CAUTION_LAW,
    COMMON_PRACTICE,
    Check,
    Effect,
    Kind,
    Process,
    Undecided,
    Words,
    fact,
    holds,
    published,
    rule,
    where,
)

from .bases import NAMES, Making, against
from .facts import Basis, CouncilPoint, PhotoPoint, Plate, Shows, Signature

_MERIT = published("Court of Justice of the European Union, C-145/18 (5 September 2019)", "only the named criteria count, never merit")


@rule(
    "is-a-print",
    effect=(Effect.ADVISE, Effect.REFUSE),
    source=_MERIT,
    applies=[where("kind", "original-print", "photograph")],
    cautions=[CAUTION_LAW],
    words=Words(
        measure="Original under its declared basis",
        met="{basis} your {thing} counts as an original.",
        unmet="{basis} this {thing} is not an original: {reason}.",
        remedy={
            Effect.ADVISE: "Offer it as a reproduction, or name the definition that fits how it was made.",
            Effect.REFUSE: "Only originals and original prints are shown here. Offer another work, or correct what you told us.",
        },
        bench="{basis}: {reason}.",
    ),
)
def is_a_print(
    kind: Kind = fact("kind"),
    basis: Basis = fact("editions.basis"),
    shows: Shows = fact("wall.shows", try_each=True),
    process: Process | None = fact("process", optional=True),
    plate: Plate | None = fact("editions.plate", optional=True),
    existing: bool | None = fact("editions.from_existing_work", optional=True),
    edition: int | None = fact("editions.edition_size", optional=True),
    number: int | None = fact("editions.number", optional=True),
    signature: Signature | None = fact("editions.signature", optional=True),
    council: tuple[CouncilPoint, ...] | None = fact("editions.council_points", optional=True),
    photo: tuple[PhotoPoint, ...] | None = fact("editions.photo_points", optional=True),
) -> Check | Undecided:
    """Does it count as an original under the basis that is declared for it?

    What was declared of its making is held against the text that the artist names, and against nothing else: the artist's own statement
    (the image was made for it), Annex IX of the EU VAT directive, HS heading 9702, the Print Council of America's definition of 1961, or
    the US definition of visual art. A large edition or a power press speaks against none of them where the plate is made by hand (Court of
    Justice, 291/87), and merit is no criterion. Where only originals and original prints are shown it is refused, else it is advice.
    """
    found = against(basis, Making(kind, process, plate, existing, edition, number, signature, council, photo))
    if isinstance(found, Undecided):
        return found
    effect = Effect.REFUSE if shows == "originals-and-prints" else Effect.ADVISE
    thing = "photograph" if kind == "photograph" else "print"
    return holds(found is None, effect=effect, basis=NAMES[basis], thing=thing, reason=found or "the facts as declared keep to it")


@rule(
    "shown-here",
    effect=Effect.REFUSE,
    source=COMMON_PRACTICE,
    applies=[where("kind", "reproduction")],
    words=Words(
        measure="Reproduction where it is to hang",
        met="Reproductions are shown here.",
        unmet="Only originals and original prints are shown here, and this is a reproduction.",
        remedy="Offer the original or an original print; keep the reproduction for a venue that shows anything.",
    ),
)
def shown_here(shows: Shows = fact("wall.shows")) -> Check:
    """Are reproductions shown here?

    What the venue, or the wall, is agreed to show. A reproduction passes where anything is shown.
    """
    return holds(shows == "anything")


BASIS_RULES = (is_a_print, shown_here)
