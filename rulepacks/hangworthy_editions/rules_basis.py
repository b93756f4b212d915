"""Originals and reproductions: does a work keep the basis that is declared for it, and is its like shown here?"""

from hangworthy.contract import (
    CAUTION_LAW,
    COMMON_PRACTICE,
    Check,
    Effect,
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

from .bases import NAMES, UNNUMBERED, UNSIGNED, Making, against
from .facts import Basis, Shows

_MERIT = published("Court of Justice of the European Union, C-145/18 (5 September 2019)", "only the named criteria count, never merit")
_PUT_RIGHT = {
    UNSIGNED: "Sign this copy by hand, then tell us so; or name a definition that fits it.",
    UNNUMBERED: "Number this copy by hand, then tell us so; or name a definition that fits it.",
}
_ELSE = "Offer it as a reproduction, or name the definition that fits how it was made."


def _judged(basis: Basis, made: Making) -> Check | Undecided:
    """Return whether what is declared keeps to the basis, in words."""
    found = against(basis, made)
    if isinstance(found, Undecided):
        return found
    thing = "photograph" if made.kind == "photograph" else "print"
    verdict = f"this {thing} cannot be called an original" if basis == "none" else f"this {thing} is not an original"
    told = found or "the facts as declared keep to it"
    return holds(found is None, basis=NAMES[basis], verdict=verdict, reason=told, right=_PUT_RIGHT.get(told, _ELSE))


@rule(
    "is-a-print",
    effect=Effect.ADVISE,
    step=Step.PAPERS,
    source=_MERIT,
    applies=[where("kind", "original-print", "photograph")],
    cautions=[CAUTION_LAW],
    words=Words(
        measure="Original under its declared basis",
        met="{basis} your work counts as an original.",
        unmet="{basis} {verdict}: {reason}.",
        remedy="{right}",
        bench="{basis}: {reason}.",
    ),
)
def is_a_print(
    made: Making,
    basis: Basis = fact("editions.basis"),
) -> Check | Undecided:
    """Does it count as an original under the basis that is declared for it?

    What was declared of its making is held against the text that the artist names, and against nothing else: the artist's own statement
    (the image was made for it), Annex IX of the EU VAT directive, HS heading 9702, the Print Council of America's definition of 1961, or
    the US definition of visual art. A large edition or a power press speaks against none of them where the plate is made by hand (Court
    of Justice, 291/87), and merit is no criterion. Where no text is named there is nothing to hold it against, which is no fault of the
    print.
    """
    return _judged(basis, made)


@rule(
    "originals-only",
    effect=Effect.REFUSE,
    step=Step.PAPERS,
    source=COMMON_PRACTICE,
    applies=[
        given("wall.shows"),
        where("wall.shows", "originals-and-prints"),
        where("kind", "original-print", "photograph", "reproduction"),
    ],
    words=Words(
        measure="Original where only originals are shown",
        met="It may hang where only originals and original prints are shown.",
        unmet="Only originals and original prints are shown here. {basis}, this work counts as neither: {reason}.",
        remedy="Offer another work for this venue, or correct what you told us of this one.",
        bench="Only originals and original prints are shown. {basis}: {reason}.",
    ),
)
def originals_only(
    made: Making,
    shows: Shows = fact("wall.shows"),
    basis: Basis | None = fact("editions.basis", optional=True),
) -> Check | Undecided:
    """Is it an original or an original print, where nothing else is shown?

    A venue, or a wall, that is agreed to show only originals and original prints takes no reproduction, and no print or photograph that
    does not keep the basis declared for it. It does not concern a venue that has not said so: there the same facts are advice.
    """
    if made.kind == "reproduction":
        return holds(False, basis="As declared", reason="it is a reproduction")
    if basis is None:
        return Undecided(("editions.basis",))
    return _judged(basis, made)


BASIS_RULES = (is_a_print, originals_only)
