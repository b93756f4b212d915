"""The declared bases of calling a print or photograph an original: which facts each of them asks about, and what speaks against it.

Only what a text names is looked at: no basis asks whether the work is good.
"""

from collections.abc import Callable, Mapping
from typing import NamedTuple

from hangworthy.contract import Kind, Process, Undecided, fact

from .facts import Basis, CouncilPoint, PhotoPoint, Plate, Signature

Reason = str | Undecided | None

# No plate, block, stone or screen comes before these. An offset press is no obstacle in itself: a press may be a machine where the
# plate is made by hand (Court of Justice, 291/87).
_WITHOUT_PLATE: frozenset[Process] = frozenset(
    ("inkjet", "laser-print", "gelatin-silver", "chromogenic", "dye-transfer", "albumen", "platinum", "cyanotype", "instant-photograph")
)
_PLATES: Mapping[Plate, str] = {
    "by-hand-by-others": "somebody else made its plate",
    "photographically": "its plate was made photographically",
    "digitally": "its plate was made digitally",
    "no-plate": "it was printed without a plate made by hand",
}
_COUNCIL: Mapping[CouncilPoint, str] = {
    "artist-made-image-for-print": "the artist did not make the image for this print",
    "printed-by-or-for-artist": "it was not printed by the artist or as directed",
    "artist-approved": "the artist has not approved it",
}
UNSIGNED, UNNUMBERED = "it is not signed by hand", "this copy carries no number"
NAMES: Mapping[Basis, str] = {
    "artist-statement": "By your own statement",
    "eu-vat-annex-ix": "Under Annex IX of the European tax directive",
    "hs-9702": "Under heading 9702 of the customs tariff",
    "print-council-1961": "By the Print Council's definition of 1961",
    "us-visual-art": "Under the American definition of visual art",
    "none": "Without a definition",
}


class Making(NamedTuple):
    """What is known of how a print or photograph was made, as facts; None where it is not known."""

    kind: Kind = fact("kind")
    process: Process | None = fact("process", optional=True)
    plate: Plate | None = fact("editions.plate", optional=True)
    existing: bool | None = fact("editions.from_existing_work", optional=True)
    edition: int | None = fact("editions.edition_size", optional=True)
    number: int | None = fact("editions.number", optional=True)
    signature: Signature | None = fact("editions.signature", optional=True)
    council: tuple[CouncilPoint, ...] | None = fact("editions.council_points", optional=True)
    photo: tuple[PhotoPoint, ...] | None = fact("editions.photo_points", optional=True)


def against(basis: Basis, made: Making) -> Reason:
    """Return what speaks against a basis: a reason, the facts that it still asks about, or None when nothing does."""
    return _TESTS[basis](made)


def _first(*reasons: Reason) -> Reason:
    """Return the first plain reason; else all the facts that are missing; else nothing."""
    told = next((one for one in reasons if isinstance(one, str)), None)
    if told is not None:
        return told
    missing = tuple(path for one in reasons if isinstance(one, Undecided) for path in one.missing)
    return Undecided(missing) if missing else None


def _wants(path: str) -> Undecided:
    return Undecided((f"editions.{path}",))


def _none(made: Making) -> Reason:
    return "none is named for it"


def _statement(made: Making) -> Reason:
    if made.existing is None:
        return _wants("from_existing_work")
    return "it shows a work that exists in another medium" if made.existing else None


def _limited(made: Making) -> Reason:
    if made.edition is None:
        return _wants("edition_size")
    return "its edition is open" if made.edition == 0 else None


def _by_hand(made: Making) -> Reason:
    """The plate: wholly made by hand by the artist. A monotype has none and is unique."""
    if made.process == "monotype":
        return None
    if made.process in _WITHOUT_PLATE:
        return _PLATES["no-plate"]
    if made.plate is None:
        return _wants("plate")
    return _PLATES.get(made.plate)


def _points(given: tuple[str, ...] | None, needed: Mapping[str, str], path: str) -> Reason:
    if not given:  # an empty list says nothing
        return _wants(path)
    if "none" in given and len(set(given)) > 1:
        return _wants(path)  # none, and some: a slip
    return next((reason for point, reason in needed.items() if point not in given), None)


_TAKEN = {"taken-by-artist": "the artist did not take it", "printed-under-supervision": "it was not printed under the artist's eyes"}


def _eu_vat(made: Making) -> Reason:
    if made.kind == "photograph":
        return _first(_points(made.photo, _TAKEN, "photo_points"), _signed(made), _numbered(made))
    return _first(_limited(made), _by_hand(made))


def _customs(made: Making) -> Reason:
    return "it covers prints, not photographs" if made.kind == "photograph" else _by_hand(made)


def _council(made: Making) -> Reason:
    if made.kind == "photograph":
        return "it covers prints, not photographs"
    return _points(made.council, {str(point): reason for point, reason in _COUNCIL.items()}, "council_points")


def _signed(made: Making) -> Reason:
    if made.signature is None:
        return _wants("signature")
    return None if made.signature == "by-hand" else UNSIGNED


def _numbered(made: Making) -> Reason:
    """Limited, and this copy carries its number; a single copy needs none."""
    limited = _limited(made)
    if limited is not None or made.edition == 1:
        return limited
    if made.number is None:
        return _wants("number")
    return None if made.number else UNNUMBERED


def _visual_art(made: Making) -> Reason:
    shown = _points(made.photo, {"made-for-exhibition": "it was not made for exhibition only"}, "photo_points")
    return _first(shown if made.kind == "photograph" else None, _signed(made), _numbered(made))


_TESTS: Mapping[Basis, Callable[[Making], Reason]] = {
    "artist-statement": _statement,
    "eu-vat-annex-ix": _eu_vat,
    "hs-9702": _customs,
    "print-council-1961": _council,
    "us-visual-art": _visual_art,
    "none": _none,
}
