"""Runs of one image: how many copies there are for certain, and how many there may be, from what several works say of their editions."""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from hangworthy.contract import fact

from .formulas import counted_together

Size = tuple[float, float]
_SAME_MM, _SAME_SHARE = 3.0, 0.01  # tapes, hands and papers differ by as much


class Run(NamedTuple):
    """A work's edition and size, as facts."""

    edition: int = fact("editions.edition_size")
    width: float | None = fact("width_mm", optional=True, as_given=True)
    height: float | None = fact("height_mm", optional=True, as_given=True)


class Copy(NamedTuple):
    """What one work says of its edition. ``edition`` is None where it is not known, 0 where it is open."""

    artist: str | None
    edition_ref: str | None
    edition: int | None
    size: Size


class Span(NamedTuple):
    """Copies of one image: for certain, and at most if every size is an edition of its own."""

    least: int
    most: int


def size_of(width_mm: float | None, height_mm: float | None) -> Size:
    """Return a print's size, short side first; noughts where it is not known."""
    if width_mm is None or height_mm is None:
        return 0.0, 0.0
    return (width_mm, height_mm) if width_mm <= height_mm else (height_mm, width_mm)


def _steps(sides: Iterable[float]) -> dict[float, int]:
    """Return a number for each length: lengths that follow each other closely share one."""
    numbers: dict[float, int] = {}
    last, number = None, 0
    for side in sorted(set(sides)):
        if last is not None and side - last > _SAME_MM + _SAME_SHARE * last:
            number += 1
        numbers[side] = number
        last = side
    return numbers


def formats(sizes: Sequence[Size]) -> list[tuple[int, int]]:
    """Return a format for each size: sizes that a tape would not tell apart share one."""
    short, long = _steps(size[0] for size in sizes), _steps(size[1] for size in sizes)
    return [(short[size[0]], long[size[1]]) for size in sizes]


def span_of(copies: Sequence[Copy]) -> Span:
    """Return how many copies the editions of one image make.

    Copies of one edition's reference are one run. Of the others, each edition size is a run of its own for certain, unless a named run
    has it too; at most, each format with it is one.
    """
    named: dict[tuple[str, str], int] = {}
    loose: set[tuple[int, tuple[int, int]]] = set()
    for copy, kind in zip(copies, formats([copy.size for copy in copies]), strict=True):
        if not copy.edition:
            continue
        if copy.edition_ref is None:
            loose.add((copy.edition, kind))
        else:
            key = (copy.artist or "", copy.edition_ref)
            named[key] = max(named.get(key, 0), copy.edition)
    told = tuple(named.values())
    certain = {edition for edition, _ in loose}.difference(told)
    return Span(counted_together((*told, *certain)), counted_together((*told, *(edition for edition, _ in loose))))
