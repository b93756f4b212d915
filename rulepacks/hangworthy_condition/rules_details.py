"""Details that belong to no fault in the list: one of the two is a slip, and until it is known which, the fault counts."""

import math
from typing import Any

from hangworthy.contract import COMMON_PRACTICE, Check, Effect, Rule, Step, Undecided, Words, at_most, fact, given, holds, rule

from .facts import Faults, Smell
from .faults import at_odds, settled_faults

_NAME = "details-fit"


def _words(detail: str, fault: str) -> Words:
    return Words(
        measure=f"Details and the list of faults ({detail})",
        met="The details fit your list of faults.",
        unmet=f"You gave {detail}, but there is no {fault} in your list of faults.",
        remedy=f"Add {fault} to the list, or take {detail} out of the form.",
    )


def _fits(detail: str, value: Any, declared: Faults, effect: Effect | None = None) -> Check | Undecided:
    """Return the check that a detail which speaks of a fault stands beside one that explains it. An empty list is asked for again."""
    faults = settled_faults(declared)
    return faults if isinstance(faults, Undecided) else holds(not at_odds(detail, value, faults), effect=effect)


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
    return _fits("mould_area_m2", area, declared)


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
    return _fits("fresh_dust", fresh, declared)


@rule(
    _NAME,
    by="smell",
    effect=(Effect.PREPARE, Effect.REFUSE),
    step=Step.PAPERS,
    source=COMMON_PRACTICE,
    applies=[given("condition.smell")],
    words=_words("what it smells of", "smell"),
)
def smell_fits(declared: Faults = fact("condition.faults"), smell: Smell = fact("condition.smell")) -> Check | Undecided:
    """Do the details fit the list of faults?

    A kind of smell needs a smell in the list. Only a musty one may be mould; another airs out.
    """
    return _fits("smell", smell, declared, Effect.REFUSE if smell == "musty" else Effect.PREPARE)


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
    return _fits("cracks_lift", lifting, declared)


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
    return _fits("tear_mm", tear, declared)


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
