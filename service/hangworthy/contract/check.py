"""What a rule returns: a measured value against a limit, a plain yes or no, or what else it would need to know."""

from typing import Any, Final

import msgspec

from hangworthy.contract.effect import Effect
from hangworthy.contract.quantities import show_quantity

_MOST_DIGITS: Final = 6  # what differs only beyond them is one and the same to a tape or a scale


class Check(msgspec.Struct, frozen=True, gc=False):
    """One rule's measurement. ``low`` and ``high`` are the limits that ``value`` must keep; None where there is none.

    ``named`` fills the rule's sentence templates: text, counts, or figures as ``(number, unit)``, shown only where a sentence needs them.
    ``effect`` narrows the rule's effect where the facts decide it.
    """

    met: bool
    value: float | None = None
    low: float | None = None
    high: float | None = None
    unit: str = ""
    effect: Effect | None = None
    named: dict[str, Any] | None = None


class Undecided(msgspec.Struct, frozen=True):
    """The rule cannot tell without these further facts (paths that it named as optional).

    In a set rule ``others`` names the works, by ref, whose facts are missing, where the work at hand lacks none itself.
    """

    missing: tuple[str, ...] = ()
    others: tuple[str, ...] = ()


def at_most(value: float, limit: float, *, unit: str, effect: Effect | None = None, **named: Any) -> Check:
    """Return a check that passes while ``value`` is not above ``limit`` (equal passes)."""
    return Check(value <= limit, value, None, limit, unit, effect, named)


def at_least(value: float, limit: float, *, unit: str, effect: Effect | None = None, **named: Any) -> Check:
    """Return a check that passes while ``value`` is not below ``limit`` (equal passes)."""
    return Check(value >= limit, value, limit, None, unit, effect, named)


def within(value: float, low: float, high: float, *, unit: str, effect: Effect | None = None, **named: Any) -> Check:
    """Return a check that passes while ``low <= value <= high``."""
    return Check(low <= value <= high, value, low, high, unit, effect, named)


def holds(condition: bool, *, effect: Effect | None = None, **named: Any) -> Check:
    """Return a check with nothing to measure: declared facts say yes or no."""
    return Check(condition, effect=effect, named=named)


def show(value: float, unit: str) -> str:
    """Return a figure as a sentence shows it: three significant digits and the unit."""
    return show_quantity(value, unit)


def digits_apart(one: float, other: float, unit: str) -> int:
    """Return how many significant digits tell two figures apart in a sentence: three, or up to six where three would look alike.

    Figures that look alike with six as well, or are equal, need no more than three.
    """
    if one == other:
        return 3
    return next(
        (digits for digits in range(3, _MOST_DIGITS + 1) if show_quantity(one, unit, digits) != show_quantity(other, unit, digits)), 3
    )


def show_apart(one: float, other: float, unit: str) -> tuple[str, str]:
    """Return two figures as one sentence shows them beside each other: "10 kg" and "10.02 kg", not "10 kg" twice."""
    digits = digits_apart(one, other, unit)
    return show_quantity(one, unit, digits), show_quantity(other, unit, digits)
