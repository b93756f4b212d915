"""One image in several editions: counted together, over all sizes."""

from hangworthy.contract import (
    CAUTION_LAW,
    COMMON_PRACTICE,
    Check,
    Effect,
    Kind,
    Undecided,
    Words,
    at_least,
    at_most,
    fact,
    given,
    holds,
    set_rule,
    where,
)

from .facts import Basis
from .images import Images, images
from .limits import PHOTOGRAPHS_TEXT, EditionLimits
from .runs import Copy, Span, size_of, span_of
from .works import MULTIPLES, Answers, fine

_TOLD = (given("kind", "editions.edition_size"),)


def _spans(shown: Images, copies: list[Copy]) -> list[Span]:
    """Return the copies that each class of works makes."""
    return [span_of([copies[work] for work in members]) for members in shown.members]


@set_rule(
    "photographs-counted",
    effect=Effect.PREPARE,
    source=PHOTOGRAPHS_TEXT,
    applies=[*_TOLD, where("kind", "photograph")],
    uses=["photographs", "fingerprint_bits"],
    cautions=[CAUTION_LAW],
    words=Words(
        measure="Copies of the photograph, all sizes together",
        met="{note}",
        unmet="There are {value} copies of this photograph in all sizes together; the European tax directive counts {limit}.",
        remedy="Correct the numbers, or name another definition on the certificate and the price list.",
    ),
)
def photographs_counted(
    limits: EditionLimits,
    refs: tuple[str, ...] = fact("ref"),
    editions: tuple[int, ...] = fact("editions.edition_size"),
    bases: tuple[Basis | None, ...] = fact("editions.basis", optional=True),
    totals: tuple[int | None, ...] = fact("editions.image_total", optional=True),
    artists: tuple[str | None, ...] = fact("artist_ref", optional=True),
    image_ofs: tuple[str | None, ...] = fact("editions.image_of", optional=True),
    edition_refs: tuple[str | None, ...] = fact("editions.edition_ref", optional=True),
    prints: tuple[str | None, ...] = fact("editions.fingerprint", optional=True),
    mirrors: tuple[str | None, ...] = fact("editions.mirror_fingerprint", optional=True),
    widths: tuple[float | None, ...] = fact("width_mm", optional=True, as_given=True),
    heights: tuple[float | None, ...] = fact("height_mm", optional=True, as_given=True),
) -> Answers:
    """Are there no more copies of a photograph than the European tax directive counts?

    Up to thirty, all sizes and supports together, whether they stand on this list or in the total that is told. It concerns photographs
    that name Annex IX as their basis; the basis is asked for where it would matter.
    """
    shown = images(refs, artists, image_ofs, edition_refs, prints, mirrors, int(limits.fingerprint_bits))
    copies = [Copy(*one) for one in zip(artists, edition_refs, editions, map(size_of, widths, heights), strict=True)]
    spans = _spans(shown, copies)
    answers: Answers = []
    for work, basis in enumerate(bases):
        span = spans[shown.of[work]]
        count, most = max(span.least, totals[work] or 0), max(span.most, totals[work] or 0)
        if basis not in (None, "eu-vat-annex-ix"):
            answers.append(fine("The definition that you name counts photographs in no such way."))
        elif basis is None and most > limits.photographs:
            answers.append(Undecided(("editions.basis",)))
        elif count <= limits.photographs < most and totals[work] is None:
            answers.append(Undecided(("editions.image_total",)))
        elif editions[work] == 0 and basis is not None:
            answers.append(Undecided(("editions.image_total",)) if totals[work] is None else _few(count, limits))
        else:
            answers.append(_few(count, limits))
    return answers


def _few(count: int, limits: EditionLimits) -> Check:
    return at_most(float(count), limits.photographs, unit="", note="There are few enough copies of this photograph.")


@set_rule(
    "sizes-add-up",
    effect=Effect.PREPARE,
    source=COMMON_PRACTICE,
    applies=[*_TOLD, where("kind", *MULTIPLES)],
    uses=["fingerprint_bits"],
    words=Words(
        measure="Copies of the image as stated, against the editions on the list",
        met="{note}",
        unmet="You state {value} copies of this image in all, and its editions on this list make {limit}.",
        remedy="State the sum over all sizes and papers, on the certificate too: buyers count an image, not its sizes.",
    ),
)
def sizes_add_up(
    limits: EditionLimits,
    refs: tuple[str, ...] = fact("ref"),
    editions: tuple[int, ...] = fact("editions.edition_size"),
    totals: tuple[int | None, ...] = fact("editions.image_total", optional=True),
    artists: tuple[str | None, ...] = fact("artist_ref", optional=True),
    image_ofs: tuple[str | None, ...] = fact("editions.image_of", optional=True),
    edition_refs: tuple[str | None, ...] = fact("editions.edition_ref", optional=True),
    prints: tuple[str | None, ...] = fact("editions.fingerprint", optional=True),
    mirrors: tuple[str | None, ...] = fact("editions.mirror_fingerprint", optional=True),
    widths: tuple[float | None, ...] = fact("width_mm", optional=True, as_given=True),
    heights: tuple[float | None, ...] = fact("height_mm", optional=True, as_given=True),
) -> Answers:
    """Are the editions of one image, in several sizes, counted together?

    The editions on the list that show one image make a sum; the copies stated for the image in all are at least that many. Where an
    image comes in several editions and none is stated, the figure is asked for. Works that only look alike are asked what they show.
    """
    shown = images(refs, artists, image_ofs, edition_refs, prints, mirrors, int(limits.fingerprint_bits))
    copies = [Copy(*one) for one in zip(artists, edition_refs, editions, map(size_of, widths, heights), strict=True)]
    spans = _spans(shown, copies)
    answers: Answers = []
    for work, edition in enumerate(editions):
        span, total = spans[shown.of[work]], totals[work]
        near = [spans[one].least for one in shown.linked[shown.of[work]]]
        if total is not None:
            answers.append(at_least(float(total), float(span.least), unit="", note="The total that you state covers its editions."))
        elif edition and span.most > edition:
            answers.append(Undecided(("editions.image_total",)))
        elif any(near) and image_ofs[work] is None:
            answers.append(Undecided(("editions.image_of",)))
        else:
            answers.append(fine("Its image comes in one edition on this list."))
    return answers


@set_rule(
    "unique-is-one",
    effect=Effect.PREPARE,
    source=COMMON_PRACTICE,
    applies=[*_TOLD, where("kind", "original-print", "photograph")],
    uses=["fingerprint_bits"],
    words=Words(
        measure="Works of one image where one is said to be unique",
        met="{note}",
        unmet="It is offered as unique, and “{other}” shows the same image.",
        remedy="Give the true edition for both, or tell us what sets them apart and call it a variation.",
        bench="{bench}",
    ),
)
def unique_is_one(
    limits: EditionLimits,
    refs: tuple[str, ...] = fact("ref"),
    kinds: tuple[Kind, ...] = fact("kind"),
    editions: tuple[int, ...] = fact("editions.edition_size"),
    artists: tuple[str | None, ...] = fact("artist_ref", optional=True),
    image_ofs: tuple[str | None, ...] = fact("editions.image_of", optional=True),
    edition_refs: tuple[str | None, ...] = fact("editions.edition_ref", optional=True),
    prints: tuple[str | None, ...] = fact("editions.fingerprint", optional=True),
    mirrors: tuple[str | None, ...] = fact("editions.mirror_fingerprint", optional=True),
) -> Answers:
    """Is what is offered as unique the only one of its image?

    An edition of one, beside another print (or photograph) that is declared to show the same image, is no edition of one. A reproduction of
    it takes nothing from it. A work that only looks alike is asked what it shows.
    """
    shown = images(refs, artists, image_ofs, edition_refs, prints, mirrors, int(limits.fingerprint_bits))
    answers: Answers = []
    for work, kind in enumerate(kinds):
        if editions[work] != 1:
            answers.append(fine("It is not offered as unique."))
            continue
        own = shown.of[work]
        same = next((other for other in shown.members[own] if other != work and kinds[other] == kind), None)
        like = any(kinds[other] == kind for one in shown.linked[own] for other in shown.members[one])
        if same is not None:
            answers.append(holds(False, other=refs[same], bench=f"Said to be unique, with the same image: {refs[same]}."))
        elif like and image_ofs[work] is None:
            answers.append(Undecided(("editions.image_of",)))
        else:
            answers.append(fine("No other work on this list shows its image."))
    return answers


IMAGE_RULES = (photographs_counted, sizes_add_up, unique_is_one)
