"""How sensitive a work is to the air: 0 wide (metal, stone), 1 medium (canvas, paper, boards, cloth), 2 strict (solid wood). Own policy."""

from collections.abc import Callable, Mapping
from typing import Final

from hangworthy.contract import Check, Kind, Undecided

from .facts import Support

WIDE, MEDIUM, STRICT = 0, 1, 2
DAMP_KINDS: Final = frozenset(("stretched-canvas", "work-on-paper", "original-print", "photograph", "reproduction", "textile"))
SHEETS: Final = frozenset(("work-on-paper", "original-print", "photograph", "reproduction"))
WATER_TAKING: Final = (*sorted(DAMP_KINDS), "panel", "relief")
_SUPPORTS: Final[Mapping[Support, int]] = {
    "solid-wood": STRICT,
    "plywood": MEDIUM,
    "mdf": MEDIUM,
    "cardboard": MEDIUM,
    "paper": MEDIUM,
    "other": MEDIUM,
    "metal": WIDE,
    "glass": WIDE,
    "stone": WIDE,
    "ceramic": WIDE,
    "plastic": WIDE,
}


def possible(kind: Kind, support: Support | None) -> tuple[int, ...]:
    """Return the sensitivities that a work may have, the strictest first; one where kind or support tells."""
    if kind in DAMP_KINDS:
        return (MEDIUM,)
    return (STRICT, MEDIUM, WIDE) if support is None else (_SUPPORTS[support],)


def for_all(kind: Kind, support: Support | None, check: Callable[[int], Check]) -> Check | Undecided:
    """Return what holds for every sensitivity that a work may have; where they differ, its support is asked for."""
    checks = [check(one) for one in possible(kind, support)]
    if all(one.met for one in checks):
        return checks[0]
    return Undecided(("climate.support",)) if any(one.met for one in checks) else checks[-1]
