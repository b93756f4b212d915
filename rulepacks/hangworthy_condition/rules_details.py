"""Details that belong to no fault in the list: one of the two is a slip, and until it is known which, the fault counts."""

import math

from hangworthy.contract import COMMON_PRACTICE, Check, Effect, Rule, Step, Undecided, Words, at_most, fact, given, holds, rule

from .facts import Fault, Faults, Smell
from .faults import DECLARED, faults_in

_NAME = "details-fit"


def _words(detail: str, fault: str) -> Words:
    return Words(
        measure=f"Details and the list of faults ({detail})",
        met="The details fit your list of faults.",
        unmet=f"You gave {detail}, but there is no {fault} in your list of faults.",
        remedy=f"Add {fault} to the list, or take {detail} out of the form.",
    )


def _fits(there: bool, faults: set[Fault], declared: Faults) -> Check | Undecided:
    """Return the check that a detail which speaks of a fault stands beside one of them. An empty list is asked for again."""
    listed = faults_in(declared)
    return Undecided((DECLARED,)) if listed is None else holds(not there or bool(listed & faults))


@rule(
    _NAME,
    by="mould",
    effect=Effect.REFUSE,
    step=Step.PAPERS,
    source=COMMON_PRACTICE,
    applies=[given("condition.mould_area_m2")],
    words=_words("a size of mould", "mould"),
)
def mould_fits(declared: Faults = fact("condition.faults"), area: float = fact("condition.mould_area_m2")) -> Check | Undecided:
    """Do the details fit the list of faults?

    A size of mould needs mould in the list.
    """
    return _fits(area > 0, {"mould"}, declared)


@rule(
    _NAME,
    by="insects",
    effect=Effect.REFUSE,
    step=Step.PAPERS,
    source=COMMON_PRACTICE,
    applies=[given("condition.fresh_dust")],
    words=_words("fresh dust from insect holes", "insect hole"),
)
def insects_fit(declared: Faults = fact("condition.faults"), fresh: bool = fact("condition.fresh_dust")) -> Check | Undecided:
    """Do the details fit the list of faults?

    Fresh dust from insect holes needs holes, or live insects, in the list.
    """
    return _fits(fresh, {"insect-holes", "live-insects"}, declared)


@rule(
    _NAME,
    by="smell",
    effect=Effect.REFUSE,
    step=Step.PAPERS,
    source=COMMON_PRACTICE,
    applies=[given("condition.smell")],
    words=_words("what it smells of", "smell"),
)
def smell_fits(declared: Faults = fact("condition.faults"), smell: Smell = fact("condition.smell")) -> Check | Undecided:
    """Do the details fit the list of faults?

    A musty smell needs a smell in the list; another one does no harm.
    """
    return _fits(smell == "musty", {"smells"}, declared)


@rule(
    _NAME,
    by="cracks",
    effect=Effect.REPAIR,
    step=Step.PAPERS,
    source=COMMON_PRACTICE,
    applies=[given("condition.cracks_lift")],
    words=_words("lifting cracks", "crack"),
)
def cracks_fit(declared: Faults = fact("condition.faults"), lifting: bool = fact("condition.cracks_lift")) -> Check | Undecided:
    """Do the details fit the list of faults?

    Cracks that lift need cracks, or flaking paint, in the list.
    """
    return _fits(lifting, {"cracked", "flaking"}, declared)


@rule(
    _NAME,
    by="tear",
    effect=Effect.REPAIR,
    step=Step.PAPERS,
    source=COMMON_PRACTICE,
    applies=[given("condition.tear_mm")],
    words=_words("the length of a tear", "tear"),
)
def tear_fits(declared: Faults = fact("condition.faults"), tear: float = fact("condition.tear_mm")) -> Check | Undecided:
    """Do the details fit the list of faults?

    The length of a tear needs a tear in the list.
    """
    return _fits(tear > 0, {"torn"}, declared)


@rule(
    "tear-fits-work",
    effect=Effect.PREPARE,
    step=Step.PAPERS,
    source=COMMON_PRACTICE,
    applies=[given("condition.tear_mm")],
    words=Words(
        measure="Longest tear against the diagonal",
        met="The tear is no longer than the work.",
        unmet="You gave a tear of {value}, and the work is only {limit} from corner to corner.",
        remedy="Measure the tear and the sides once more, and correct the one that is off.",
    ),
)
def tear_fits_work(tear: float = fact("condition.tear_mm"), width: float = fact("width_mm"), height: float = fact("height_mm")) -> Check:
    """Is the tear no longer than the work?

    The longest tear against the diagonal of the work; equal passes.
    """
    return at_most(tear, math.hypot(width, height), unit="mm")


DETAIL_RULES: tuple[Rule, ...] = (mould_fits, insects_fit, smell_fits, cracks_fit, tear_fits, tear_fits_work)
