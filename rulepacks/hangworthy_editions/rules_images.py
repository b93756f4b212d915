"""One image in several editions: counted together, over all sizes."""

from collections.abc import Sequence

from hangworthy.contract import (
    CAUTION_LAW,
    COMMON_PRACTICE,
    Check,
    Effect,
    Kind,
    Step,
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
from .images import Images, Shown, images_of
from .limits import PHOTOGRAPHS_TEXT, EditionLimits
from .runs import Copy, Run, Span, size_of, span_of
from .works import MULTIPLES, Answers, fine

_TOLD = (given("kind", "editions.edition_size"),)


def _spans(shown: Images, works: Sequence[Shown], runs: Sequence[Run]) -> list[Span]:
    """Return the copies that each class of works makes."""
    columns = zip(works, runs, strict=True)
    copies = [Copy(one.artist, one.edition_ref, run.edition, size_of(run.width, run.height)) for one, run in columns]
    return [span_of([copies[work] for work in members]) for members in shown.members]


@set_rule(
    "photographs-counted",
    effect=Effect.PREPARE,
    step=Step.PAPERS,
    source=PHOTOGRAPHS_TEXT,
    applies=[*_TOLD, where("kind", "photograph")],
    uses=["photographs", "fingerprint_bits"],
    cautions=[CAUTION_LAW],
    words=Words(
        measure="Copies of the photograph, all sizes together",
        met="{note}",
        unmet=(
            "There are {value} copies of this photograph in all sizes together; "
            "the European tax directive counts at most {limit} as works of art."
        ),
        remedy="Correct the numbers, or name another definition on the certificate and the price list.",
    ),
)
def photographs_counted(
    limits: EditionLimits,
    works: tuple[Shown, ...],
    runs: tuple[Run, ...],
    bases: tuple[Basis | None, ...] = fact("editions.basis", optional=True),
    totals: tuple[int | None, ...] = fact("editions.image_total", optional=True),
) -> Answers:
    """Are there no more copies of a photograph than the European tax directive counts?

    Up to thirty, all sizes and supports together, whether they stand on this list or in the total that is told. It concerns photographs
    that name Annex IX as their basis; the basis is asked for where it would matter.
    """
    shown = images_of(works, limits.fingerprint_bits)
    spans = _spans(shown, works, runs)
    answers: Answers = []
    for work, basis in enumerate(bases):
        span = spans[shown.of[work]]
        count, most = max(span.least, totals[work] or 0), max(span.most, totals[work] or 0)
        if basis not in (None, "eu-vat-annex-ix"):
            answers.append(fine("You do not name the European tax directive, so its count of photographs does not apply."))
        elif basis is None and most > limits.photographs:
            answers.append(Undecided(("editions.basis",)))
        elif count <= limits.photographs < most and totals[work] is None:
            answers.append(Undecided(("editions.image_total",)))
        elif runs[work].edition == 0 and basis is not None:
            answers.append(Undecided(("editions.image_total",)) if totals[work] is None else _few(count, limits))
        else:
            answers.append(_few(count, limits))
    return answers


def _few(count: int, limits: EditionLimits) -> Check:
    return at_most(float(count), limits.photographs, unit="", note="There are few enough copies of this photograph.")


@set_rule(
    "sizes-add-up",
    effect=Effect.PREPARE,
    step=Step.PAPERS,
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
    works: tuple[Shown, ...],
    runs: tuple[Run, ...],
    totals: tuple[int | None, ...] = fact("editions.image_total", optional=True),
) -> Answers:
    """Are the editions of one image, in several sizes, counted together?

    The editions on the list that show one image make a sum; the copies stated for the image in all are at least that many. Where an
    image comes in several editions and none is stated, the figure is asked for. Works that only look alike are asked what they show.
    """
    shown = images_of(works, limits.fingerprint_bits)
    spans = _spans(shown, works, runs)
    answers: Answers = []
    for work, run in enumerate(runs):
        span, total = spans[shown.of[work]], totals[work]
        near = [spans[one].least for one in shown.linked[shown.of[work]]]
        if total is not None:
            answers.append(at_least(float(total), float(span.least), unit="", note="The total that you state covers its editions."))
        elif run.edition and span.most > run.edition:
            answers.append(Undecided(("editions.image_total",)))
        elif any(near) and works[work].image_of is None:
            answers.append(Undecided(("editions.image_of",)))
        else:
            answers.append(fine("Its image comes in one edition on this list."))
    return answers


@set_rule(
    "unique-is-one",
    effect=Effect.PREPARE,
    step=Step.PAPERS,
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
    works: tuple[Shown, ...],
    kinds: tuple[Kind, ...] = fact("kind"),
    editions: tuple[int, ...] = fact("editions.edition_size"),
) -> Answers:
    """Is what is offered as unique the only one of its image?

    An edition of one, beside another print (or photograph) that is declared to show the same image, is no edition of one. A reproduction of
    it takes nothing from it. A work that only looks alike is asked what it shows.
    """
    shown = images_of(works, limits.fingerprint_bits)
    answers: Answers = []
    for work, kind in enumerate(kinds):
        if editions[work] != 1:
            answers.append(fine("It is not offered as unique."))
            continue
        own = shown.of[work]
        same = next((other for other in shown.members[own] if other != work and kinds[other] == kind), None)
        like = any(kinds[other] == kind for one in shown.linked[own] for other in shown.members[one])
        if same is not None:
            answers.append(holds(False, other=works[same].ref, bench=f"Said to be unique, with the same image: {works[same].ref}."))
        elif like and works[work].image_of is None:
            answers.append(Undecided(("editions.image_of",)))
        else:
            answers.append(fine("No other work on this list shows its image."))
    return answers


IMAGE_RULES = (photographs_counted, sizes_add_up, unique_is_one)
