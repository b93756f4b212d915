"""What a list of faults says: at the offer, at the bench, and how sentences name it."""

from collections.abc import Iterable
from typing import Any, NamedTuple

from hangworthy.contract import Undecided, fact

from .facts import Fault, Faults

NOUNS: dict[Fault, str] = {
    "dusty": "dust or dirt",
    "flaking": "flaking paint",
    "cracked": "cracks",
    "torn": "a tear",
    "hole": "a hole",
    "dented": "dents or creases",
    "scratched": "scratches",
    "stained": "stains",
    "damp": "damp",
    "mould": "mould",
    "live-insects": "live insects",
    "insect-holes": "insect holes",
    "broken-glass": "broken glass",
    "loose-frame": "a loose frame",
    "sticky": "a sticky surface",
    "smells": "a smell",
    "sharp-hardware": "sharp hardware",
}
DECLARED = "condition.faults"
FOUND = "condition.found_faults"
HAZARDS: frozenset[Fault] = frozenset(("mould", "live-insects", "broken-glass"))
LOOSE_PAINT: Fault = "flaking"
_UNTOUCHABLE = HAZARDS | {LOOSE_PAINT}


def faults_in(listed: Faults | None) -> frozenset[Fault] | None:
    """Return the faults of a list without ``none``; None for no list, or an empty one, which says nothing."""
    return frozenset(listed) - {"none"} if listed else None


# The details that are given beside a list, and the faults of which each speaks: any one of them explains it.
SPEAKS_OF: dict[str, frozenset[Fault]] = {
    "mould_area_m2": frozenset(("mould",)),
    "fresh_dust": frozenset(("insect-holes", "live-insects")),
    "smell": frozenset(("smells",)),
    "cracks_lift": frozenset(("cracked", "flaking")),
    "tear_mm": frozenset(("torn",)),
    "dust_on": frozenset(("dusty",)),
    "touch": frozenset(("sticky", "damp")),
}
_NOTHING_WRONG = {"dust_on": (("none",),), "touch": ("dry",)}


def at_odds(detail: str, value: Any, faults: frozenset[Fault]) -> bool:
    """Return whether a detail speaks of a fault that its list leaves out. A size of 0, a no, and nothing at all speak of none."""
    return bool(value) and value not in _NOTHING_WRONG.get(detail, ()) and not faults & SPEAKS_OF[detail]


def settled_faults(listed: Faults, path: str = DECLARED, **details: Any) -> frozenset[Fault] | Undecided:
    """Return the faults of a list, which is asked for again where it says nothing or a detail beside it speaks of what it leaves out.

    One of the two is a slip then, and a fault that a detail speaks of is not to be passed as absent.
    """
    faults = faults_in(listed)
    if faults is None or any(at_odds(detail, value, faults) for detail, value in details.items()):
        return Undecided((path,))
    return faults


def told(fault: Fault, declared: Faults) -> str:
    """Return what the coordinator reads of a fault that may be declared."""
    return "declared" if fault in declared else "none declared"


class Hints(NamedTuple):
    """What tells of a hazard beside the artist's list."""

    found: Faults | None = fact(FOUND, optional=True)
    fresh: bool | None = fact("condition.fresh_dust", optional=True)
    lifting: bool | None = fact("condition.cracks_lift", optional=True)


def untouchable(declared: Faults | None, hints: Hints) -> bool:
    """Return whether a hazard comes first: what is brushed, aired or fanned spreads it, or takes loose paint off.

    Insect holes count unless they are old, cracks where they lift. It only chooses words, so either list will do, and one that is missing
    changes no verdict.
    """
    faults = {*(declared or ()), *(hints.found or ())}
    holes = "insect-holes" in faults and hints.fresh is not False
    return bool(_UNTOUCHABLE & faults) or holes or ("cracked" in faults and bool(hints.lifting))


def named(faults: Iterable[Fault], most: int | None = None) -> str:
    """Return faults as a sentence names them, in the order of the form, cut after ``most``."""
    wanted = set(faults)
    nouns = [noun for fault, noun in NOUNS.items() if fault in wanted]
    if most is not None and len(nouns) > most:
        return ", ".join(nouns[:most]) + f" and {len(nouns) - most} more"
    return " and ".join((", ".join(nouns[:-1]), nouns[-1])) if len(nouns) > 1 else "".join(nouns)
