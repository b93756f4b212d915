"""Drawings: the sketches of a venue's packs, asked for works; only a preparation sheet does so, never an evaluation."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import msgspec

from hangworthy.contract.drawing import Drawing, Sketch
from hangworthy.engine.reading import ReadWork
from hangworthy.engine.ruleset import Ruleset
from hangworthy.engine.sketches import SketchEntry, sound
from hangworthy.engine.texts import TITLE


class Drawn(msgspec.Struct, frozen=True):
    """One drawing for one work: the pack and the sketch that it came from, and the rules, by code, whose findings it shows.

    ``title`` and ``translated`` are the sketch's words in another language, where there are any.
    """

    pack: str
    sketch: Sketch
    drawing: Drawing
    of: tuple[str, ...]
    title: str = ""
    translated: Mapping[str, str] = {}

    @property
    def says(self) -> Mapping[str, str]:
        """The words by name."""
        return {**self.sketch.says, **self.translated}


def draw(ruleset: Ruleset, reads: Sequence[ReadWork], *, strict: bool = False) -> list[list[Drawn]]:
    """Return the drawings of each work.

    A sketch that lacks a fact draws nothing. So does one that fails, and the others stand; with ``strict`` what it raised is raised.
    """
    made: list[list[Drawn]] = [[] for _ in reads]
    for entry in ruleset.sketches:
        limits = (ruleset.limit_values[entry.pack.name],) if entry.takes_limits else ()
        told = ruleset.language.drawings.get(f"{entry.pack.name}.{entry.sketch.name}", {})
        for places, args in _groups(entry, reads):
            for place, drawing in zip(places, _asked(entry, (*limits, *args), len(places), strict), strict=True):
                if drawing is not None:
                    made[place].append(Drawn(entry.pack.name, entry.sketch, drawing, entry.of, told.get(TITLE, ""), told))
    return made


def _groups(entry: SketchEntry, reads: Sequence[ReadWork]) -> Iterable[tuple[list[int], Sequence[Any]]]:
    """Yield the places of the works that are drawn together, and the facts of one, or of all in columns."""
    rows = [(place, args) for place, read in enumerate(reads) if (args := _arguments(entry, read.values)) is not None]
    if not entry.sketch.over_set:
        yield from (([place], args) for place, args in rows)
        return
    groups: dict[tuple[Any, ...], list[tuple[int, list[Any]]]] = {}
    for place, args in rows:
        groups.setdefault(tuple(reads[place].values[slot.index] for slot in entry.among), []).append((place, args))
    for members in groups.values():
        yield [place for place, _ in members], list(zip(*(args for _, args in members), strict=True))


def _arguments(entry: SketchEntry, values: list[Any]) -> list[Any] | None:
    """Return the facts that a sketch names, or None where one is missing or the work does not concern it."""
    for slots, allowed in entry.conditions:
        known = [values[slot.index] for slot in slots]
        if None in known or (allowed is not None and not _among(known[0], allowed)):
            return None
    if any(values[slot.index] is None for slot in entry.among):
        return None
    args = [values[slot.index] for slot in entry.slots]
    return None if any(value is None and not free for value, free in zip(args, entry.optional, strict=True)) else args


def _among(value: Any, allowed: frozenset[Any]) -> bool:
    return bool(allowed.intersection(value)) if isinstance(value, tuple) else value in allowed


def _asked(entry: SketchEntry, args: Sequence[Any], count: int, strict: bool) -> list[Drawing | None]:
    """Ask a sketch inside its boundary; return one drawing, or None, for each work."""
    try:
        answer = entry.sketch.function(*args)
        found = list(answer) if entry.sketch.over_set else [answer]
        if len(found) != count:
            raise ValueError(f"a sketch answered for {len(found)} works of {count}")
        return [None if one is None else sound(entry.sketch, one) for one in found]
    except (Exception, SystemExit):  # a pack's sketch may raise anything; the sheet then has one drawing less
        if strict:
            raise
        return [None] * count
