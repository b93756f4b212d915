"""What the readers hand to each other, before it is known which facts there are."""

from fractions import Fraction
from typing import Any, NamedTuple

from hangworthy.contract.reading import EditionRead, KindRead, Size, Source
from hangworthy.contract.units import Unit


class Measure(NamedTuple):
    """One number with its unit and its axis, as far as they are written; ``choices`` where the digits can be read in two ways."""

    number: Fraction
    unit: Unit | None
    axis: str
    start: int
    end: int
    bad: bool = False
    choices: tuple[Fraction, ...] = ()
    spread: bool = False


class Piece(NamedTuple):
    """A piece of a line. ``kind``: group, word, order or mark; ``text`` in small letters, for an order its axes (“hw”), for a group
    that is a size of paper by its name, “paper”.
    """

    kind: str
    text: str
    start: int
    end: int
    measures: tuple[Measure, ...] = ()


class Found(NamedTuple):
    """One thing that a text says: its name among READABLE, its value in the fact's unit, where it stands, and the rule that decided.

    ``also`` is a further rule that it rests on; a chain is as strong as its weakest link.
    """

    name: str
    value: Any
    source: Source
    start: int
    end: int
    rule: str
    also: str = ""


class Unsure(NamedTuple):
    """What a text leaves open: the names that wait for it, the rule that says so, the place, and the answers it could have.

    ``choices`` are values of the fact; ``ways`` are the ways in which two numbers can be a size, height and width with their unit.
    """

    names: tuple[str, ...]
    source: Source
    start: int
    end: int
    rule: str
    choices: tuple[str, ...] = ()
    ways: tuple[tuple[str, str], ...] = ()


class Reading(NamedTuple):
    """All that a line says, before it is known which facts there are."""

    found: tuple[Found, ...]
    unsure: tuple[Unsure, ...]
    sizes: tuple[Size, ...]
    kind: KindRead | None
    edition: EditionRead | None
    unread: tuple[tuple[Source, int, int], ...]
