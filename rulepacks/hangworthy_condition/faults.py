"""What a list of faults says: at the offer, at the bench, and how sentences name it."""

from collections.abc import Iterable

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
_HAZARDS: frozenset[Fault] = frozenset(("mould", "live-insects", "broken-glass"))


def faults_in(listed: Faults | None) -> frozenset[Fault] | None:
    """Return the faults of a list without ``none``; None for no list, or an empty one, which says nothing."""
    return frozenset(listed) - {"none"} if listed else None


def present(declared: Faults | None, found: Faults | None) -> frozenset[Fault] | None:
    """Return the faults there are: the bench's list where there is one, since it was looked at last, else the artist's."""
    known = faults_in(found)
    return faults_in(declared) if known is None else known


def suspected(declared: Faults | None, found: Faults | None) -> frozenset[Fault] | None:
    """Return the faults in either list: a hazard that one of two people saw is not waved through."""
    return faults_in((*(declared or ()), *(found or ())))


def untouchable(declared: Faults | None, found: Faults | None, fresh: bool | None) -> bool:
    """Return whether a hazard comes first: what is brushed, aired or fanned then spreads it. Insect holes count unless they are old."""
    faults = suspected(declared, found) or frozenset()
    return bool(_HAZARDS & faults) or ("insect-holes" in faults and fresh is not False)


def strays(detail: float | bool | None, of: frozenset[Fault], declared: Faults | None, found: Faults | None) -> bool:
    """Return whether a detail is given of faults that nobody named: the two contradict each other, and the list is asked for again."""
    return bool(detail) and not of & (suspected(declared, found) or frozenset())


def seen_by(fault: Fault, declared: Faults | None, found: Faults | None) -> str:
    """Return who saw a fault, for the coordinator."""
    who = [name for name, faults in (("declared", declared), ("found on the bench", found)) if fault in (faults or ())]
    return " and ".join(who) or "none seen"


def named(faults: Iterable[Fault], most: int | None = None) -> str:
    """Return faults as a sentence names them, in the order of the form, cut after ``most``."""
    wanted = set(faults)
    nouns = [noun for fault, noun in NOUNS.items() if fault in wanted]
    if most is not None and len(nouns) > most:
        return ", ".join(nouns[:most]) + f" and {len(nouns) - most} more"
    return " and ".join((", ".join(nouns[:-1]), nouns[-1])) if len(nouns) > 1 else "".join(nouns)
