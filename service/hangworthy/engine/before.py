"""What was told of the work before: of the next one only those rules are asked that read a fact in which the two differ.

A form asks again after every change of one fact, so that most requests are nearly the one before. This spares even looking up what each
requirement remembers (``group``). Nothing but time depends on it.
"""

from collections.abc import Sequence
from itertools import compress
from operator import is_not
from typing import Any

import msgspec

from hangworthy.contract.effect import Stage
from hangworthy.engine.bound import taker
from hangworthy.engine.group import Group
from hangworthy.engine.reading import ReadWork
from hangworthy.engine.told import Told

_encode = msgspec.msgpack.Encoder().encode

Answers = list[tuple[Told, ...]]


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

    def __init__(self, groups: Sequence[Group]) -> None:
        """Note which requirements read which fact. What may not be remembered is asked anew each time, and its facts are not kept."""
        self.groups = groups
        self.always = frozenset(number for number, group in enumerate(groups) if not group.keeps)
        readers: dict[int, set[int]] = {}
        for number, group in enumerate(groups):
            for index in group.reads if group.keeps else ():
                readers.setdefault(index, set()).add(number)
        indexes = tuple(sorted(readers))
        self._take = taker(indexes) if indexes else None
        self._readers = [readers[index] for index in indexes]
        # Facts, answers, and those that have to be asked again; replaced as a whole, so that threads may share it.
        self.last: dict[Stage, tuple[tuple[Any, ...], Answers, frozenset[int]]] = {}

    def told(self, read: ReadWork, stage: Stage) -> Answers:
        """Return what each requirement tells of a work, in their order."""
        values, uncertain = read.values, read.uncertain
        if uncertain or self._take is None:
            return [group.findings(values, uncertain, stage) for group in self.groups]
        facts = self._take(values)
        last = self.last.get(stage)
        answers: Answers = [()] * len(self.groups) if last is None else last[1].copy()
        failed = []
        for number in range(len(self.groups)) if last is None else self._stale(facts, last[0], last[2]):
            answers[number] = told = self.groups[number].findings(values, uncertain, stage)
            for one in told:
                if one.failed:
                    failed.append(number)
        kept, again = answers, self.always.union(failed) if failed else self.always
        if self.always:
            kept = [() if number in self.always else told for number, told in enumerate(answers)]
        self.last[stage] = facts, kept, again
        return answers

    def _stale(self, facts: tuple[Any, ...], before: tuple[Any, ...], again: frozenset[int]) -> set[int]:
        """Return the requirements that the last answers do not hold for."""
        stale = set(again)
        for mine, other, readers in compress(zip(facts, before, self._readers, strict=True), map(is_not, facts, before)):
            if not alike(mine, other):
                stale |= readers
        return stale
