"""What was told of the work before: of the next one only those rules are asked that read a fact in which the two differ.

A form asks again after every change of one fact, so that most requests are nearly the one before. This spares even looking up what each
requirement remembers (``group``). Nothing but time depends on it.
"""

from collections.abc import Iterator, Sequence
from itertools import accumulate, chain, compress
from operator import ne
from typing import Any

import msgspec

from hangworthy.contract.effect import Stage
from hangworthy.engine.bound import taker
from hangworthy.engine.group import Asked, Group
from hangworthy.engine.reading import ReadWork
from hangworthy.engine.schema import Slot
from hangworthy.engine.told import Told

_encode = msgspec.msgpack.Encoder().encode

Answers = list[tuple[Told, ...]]
_NOTHING: Any = None  # in the place of an answer that is not kept
_HIDDEN = object()  # in the place of a fact that is not kept


class Last(msgspec.Struct, frozen=True):
    """What was told last at a stage: by which facts, what each way of measuring said, what came of it, and which have to be asked again."""

    facts: tuple[Any, ...]
    asked: list[Asked]
    answers: Answers
    again: frozenset[int]


def alike(one: Any, other: Any) -> bool:
    """Return whether two values of a fact are the same and look the same: 0.0 and -0.0 are equal, but are shown differently."""
    kind = type(one)
    if kind is not type(other):
        return False
    if kind is float:
        return bool(one == other != 0.0)
    return bool(one == other) if kind is str else _encode(one) == _encode(other)


class Before:
    """Asks all requirements of one venue, and keeps what was told last at each stage, by its facts."""

    def __init__(self, groups: Sequence[Group], slots: Sequence[Slot]) -> None:
        """Note which ways of measuring read which fact; ``slots`` are those of all facts."""
        self.groups = groups
        self.ways = [way for group in groups for way in group.ways]
        ends = [*accumulate(len(group.ways) for group in groups)]
        self._spans = [*zip([0, *ends], ends, strict=False)]
        self._group_of = [number for number, group in enumerate(groups) for _ in group.ways]
        readers: dict[int, set[int]] = {}
        for number, way in enumerate(self.ways):
            for index in way.reads:
                readers.setdefault(index, set()).add(number)
        # First the facts that are the same when they are equal, then plain numbers, then those that have to be looked at closely.
        indexes = tuple(sorted(readers, key=lambda index: (_closeness(slots[index]), index)))
        self._take = taker(indexes) if indexes and all(way.most for way in self.ways) else None
        closeness = [_closeness(slots[index]) for index in indexes]
        self._numbers, self._others = closeness.index(1) if 1 in closeness else len(indexes), len(indexes) - closeness.count(2)
        self._readers = [readers[index] for index in indexes]
        self._private = [place for place, index in enumerate(indexes) if slots[index].ask.private]
        self.last: dict[Stage, Last] = {}  # each is replaced as a whole, so that threads may share it

    def forget(self) -> None:
        """Forget all that was told."""
        self.last = {}
        for way in self.ways:
            way.forget()

    def told(self, read: ReadWork, stage: Stage) -> Answers:
        """Return what each requirement tells of a work, in their order."""
        values, uncertain = read.values, read.uncertain
        if uncertain or self._take is None:
            return [group.findings(values, uncertain, stage) for group in self.groups]
        facts, last = self._take(values), self.last.get(stage)
        hidden = [place for place in self._private if facts[place] is not None]
        if hidden:
            facts = (*(_HIDDEN if place in hidden else fact for place, fact in enumerate(facts)),)
        asked: list[Asked] = [_NOTHING] * len(self.ways) if last is None else last.asked.copy()
        answers: Answers = [()] * len(self.groups) if last is None else last.answers.copy()
        stale = range(len(self.ways)) if last is None else self._stale(facts, last.facts, last.again)
        failed = []
        for number in stale:
            asked[number] = one = self.ways[number].ask(values, uncertain, stage)
            if one[1].failed:
                failed.append(number)
        for number in {self._group_of[number] for number in stale}:
            start, end = self._spans[number]
            answers[number] = self.groups[number].told(asked[start:end], values, stage)
        if hidden:
            self.last[stage] = self._without(hidden, facts, asked, answers, failed)
        else:
            self.last[stage] = Last(facts, asked, answers, frozenset(failed))
        return answers

    def _without(self, hidden: list[int], facts: tuple[Any, ...], asked: list[Asked], answers: Answers, failed: list[int]) -> Last:
        """Return what may be kept where private facts are given: nothing that was told by them; it is asked anew each time."""
        again = set[int]().union(*(self._readers[place] for place in hidden))
        groups = {self._group_of[number] for number in again}
        asked = [_NOTHING if number in again else one for number, one in enumerate(asked)]
        kept = [() if number in groups else told for number, told in enumerate(answers)]
        return Last(facts, asked, kept, frozenset(again.union(failed)))

    def _stale(self, facts: tuple[Any, ...], before: tuple[Any, ...], again: frozenset[int]) -> set[int]:
        """Return the ways of measuring whose last answers do not hold."""
        stale = set(again)
        for readers in compress(self._readers, map(ne, facts, before)):
            stale |= readers
        for place in self._close(facts, before):
            if facts[place] is not before[place] and not alike(facts[place], before[place]):
                stale |= self._readers[place]
        return stale

    def _close(self, facts: tuple[Any, ...], before: tuple[Any, ...]) -> Iterator[int]:
        """Yield the places of what may look different though it is equal: of plain numbers only zero, and 6 beside 6.0."""
        place, end = self._numbers, self._others
        numbers = facts[place:end]
        yield from range(place if int in map(type, chain(numbers, before[place:end])) else end, len(facts))
        for _ in range(numbers.count(0.0)):
            place = facts.index(0.0, place, end)
            yield place
            place += 1


def _closeness(slot: Slot) -> int:
    """Return how closely two values of a fact have to be looked at: 0 where being equal is enough, 1 for a plain number, 2 for others."""
    if slot.count is not None or slot.kind in ("money", "listed"):
        return 2
    return 1 if slot.kind == "number" else 0
