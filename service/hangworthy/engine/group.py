"""One requirement at one venue: a rule, or all ways of measuring it, and the findings that were made of it lately.

Rules are pure, so a finding depends on nothing but the facts that its rule reads. A form asks again after every change of one fact, a
batch holds many works that are alike in most respects, and a work is asked again at every stage: what is asked again with the same facts
need not be worked out again. Nothing but time depends on it; a test compares the bytes with and without.
"""

from collections.abc import Mapping, Sequence
from typing import Any

import msgspec

from hangworthy.contract.effect import Stage, State
from hangworthy.contract.venue import Guard
from hangworthy.engine.bound import BoundRule, taker
from hangworthy.engine.explain import explain
from hangworthy.engine.reading import ReadWork, Uncertain
from hangworthy.engine.schema import Schema, Slot
from hangworthy.engine.sets import alone
from hangworthy.engine.told import Stated, Told, as_stated, as_told
from hangworthy.engine.verdict import Verdict, verdict

# The key is the facts' own bytes, not the facts: 0.0 and -0.0, or two spellings of one amount, are equal but are shown differently.
_encode = msgspec.msgpack.Encoder().encode

_MARKS = 8  # as many keys are noted for each answer that may be kept
MOST_STATED = 64
_NOT_MEASURED = (State.UNKNOWN, State.NOT_APPLICABLE)


class Asked(msgspec.Struct, gc=False):
    """What one way of measuring says of a work, and the finding that explains it, once somebody wanted to be told."""

    verdict: Verdict
    told: Told | None = None


class Memory:
    """Answers given lately: the last one, and at most twice ``most`` of those that were asked for more than once.

    Most measurements are of one work alone. Keeping what was told of them all would drive everything else out of the processor's caches,
    which costs more than working out twice what is asked for often. What was not asked for during ``most`` others is forgotten.
    """

    __slots__ = ("last", "met", "most", "older", "recent")

    def __init__(self, most: int) -> None:
        """Start empty; ``most`` of 0 keeps the last answer only."""
        self.most = most
        self.last: tuple[bytes, Asked | None] = (b"", None)  # replaced as a whole, so that threads may share it
        self.met: set[int] = set()  # hashes of keys that were asked for
        self.recent: dict[bytes, Asked] = {}
        self.older: dict[bytes, Asked] = {}

    def get(self, key: bytes) -> Asked | None:
        """Return what was kept, and count it as asked for."""
        last = self.last
        if last[0] == key:
            return last[1]
        found = self.recent.get(key)
        if found is None and (found := self.older.get(key)) is not None:
            self._keep(key, found)
        return found

    def put(self, key: bytes, asked: Asked) -> None:
        """Note an answer; it is shared from now on and must not be changed."""
        self.last = key, asked
        if not self.most:
            return
        mark = hash(key)
        if mark in self.met:
            self._keep(key, asked)
            return
        if len(self.met) >= self.most * _MARKS:
            self.met.clear()
        self.met.add(mark)

    def _keep(self, key: bytes, asked: Asked) -> None:
        if len(self.recent) >= self.most:
            self.older, self.recent = self.recent, {}
        self.recent[key] = asked


class Way:
    """One rule, asked of one work at a time."""

    __slots__ = ("bound", "choices", "guard", "memories", "most", "private", "reads", "slots", "take")

    def __init__(self, bound: BoundRule, schema: Schema, guard: Guard, slots: Mapping[str, Slot], most: int | None) -> None:
        """Work out which facts the answer depends on; no answer that holds a private one is ever kept, and none when ``most`` is None."""
        self.bound, self.guard, self.slots = bound, guard, slots
        indexes = {
            *bound.indexes,
            *(slot.index for read, _ in bound.conditions for slot in read),
            *(one.index for one in bound.entry.among),
        }
        self.reads = frozenset(indexes)
        self.choices = frozenset(read[0].index for read, allowed in bound.conditions if allowed is not None)
        # What the venue lists is the same for every work that is asked here.
        self.take = taker(tuple(sorted(index for index in indexes if index < schema.venue_start)))
        self.private = tuple(index for index in sorted(indexes) if schema.slots[index].ask.private)
        self.most = most
        self.forget()

    def forget(self) -> None:
        """Forget every answer."""
        self.memories = {} if self.most is None else {stage: Memory(self.most) for stage in Stage}

    def settled(self, values: list[Any]) -> bool:
        """Return whether a work's answer is there before the rule is asked: it does not concern the work, or lacks a fact."""
        concerned, missing = self.bound.applies(values)
        return not concerned or bool(missing) or bool(self.bound.arguments(values)[1])

    def ask(self, values: list[Any], uncertain: Sequence[Uncertain], stage: Stage) -> Asked:
        """Return the verdict on a work."""
        memory = self.memories.get(stage)
        if (
            memory is None
            or (self.private and any(values[index] is not None for index in self.private))
            or (uncertain and any(one.slot in self.reads for one in uncertain))
        ):
            return Asked(self._verdict(values, uncertain))
        key = _encode(self.take(values))
        found = memory.get(key)
        if found is None or (found.told is not None and found.told.failed):  # what failed for want of memory, say, may not fail again
            found = Asked(self._verdict(values, uncertain))
            if found.verdict.state is not State.ERROR:
                memory.put(key, found)
        return found

    def told(self, asked: Asked, values: list[Any], stage: Stage) -> Told:
        """Return the finding that explains what was said of a work."""
        told = asked.told
        if told is None:
            told = asked.told = as_told(explain(self.bound, asked.verdict, values, self.slots, stage))
        return told

    def _verdict(self, values: list[Any], uncertain: Sequence[Uncertain]) -> Verdict:
        return verdict(self.bound, values, uncertain, self.guard)


class Alone(Way):
    """A rule over several works, asked of one that has no others beside it: then it, too, depends on that work's facts alone.

    Only its last answer is remembered: it reads whose work it is, so that few others would be answered alike.
    """

    __slots__ = ()

    def __init__(self, bound: BoundRule, schema: Schema, guard: Guard, slots: Mapping[str, Slot], most: int | None) -> None:
        """Work out which facts the answer depends on; none is kept when ``most`` is None."""
        super().__init__(bound, schema, guard, slots, None if most is None else 0)

    def settled(self, values: list[Any]) -> bool:
        """Return whether a work's answer is there before the rule is asked, be it because nothing says with which works to compare it."""
        return super().settled(values) or any(values[slot.index] is None for slot in self.bound.entry.among)

    def _verdict(self, values: list[Any], uncertain: Sequence[Uncertain]) -> Verdict:
        return alone(self.bound, ReadWork(values, list(uncertain), []), self.guard)


class Group:
    """The ways of measuring one thing, most often one."""

    def __init__(self, ways: Sequence[Way], schema: Schema) -> None:
        """Hold the ways, in the order of preference."""
        self.ways, self.slots = tuple(ways), ways[0].slots
        self.code = ways[0].bound.code
        self.worst = max((way.bound.worst for way in ways), key=lambda effect: effect.rank)
        choices = frozenset[int]().union(*(way.choices for way in ways))
        # Nothing is kept by a private fact, not even by a choice.
        self.choices = frozenset() if any(schema.slots[index].ask.private for index in choices) else choices
        self._keeps = self.choices == choices
        self._take = taker(tuple(frozenset[int]().union(*(way.reads for way in ways))))
        self._choose = taker(tuple(self.choices))
        self.forget()

    def forget(self) -> None:
        """Forget every answer."""
        self.remembered: dict[Any, Stated | None] = {}
        for way in self.ways:
            way.forget()

    def stated(self, values: list[Any], stage: Stage) -> Stated | None:
        """Return what is told of this work, and of all that are alike in what they say, before a rule is asked; None if one has to be."""
        if not self._keeps:
            return None
        key = (stage, *self._choose(values), *map(type, self._take(values)))
        remembered = self.remembered  # another thread may put a new one in its place
        if key in remembered:
            return remembered[key]
        made = None
        if all(way.settled(values) for way in self.ways):
            (told,) = self.findings(values, (), stage)
            made = as_stated(told, self.slots)
        if len(remembered) >= MOST_STATED:
            remembered = self.remembered = {}
        remembered[key] = made
        return made

    def findings(
        self, values: list[Any], uncertain: Sequence[Uncertain], stage: Stage, beside: Sequence[Verdict] | None = None
    ) -> tuple[Told, ...]:
        """Return the findings for one work; ``beside`` are the verdicts of rules over several works, where there are several.

        Each way that was measured gives its own; with none, one unknown remains: the way that is due and needs least, with the others
        beside it as what could be given instead.
        """
        if len(self.ways) == 1:
            way = self.ways[0]
            return (way.told(way.ask(values, uncertain, stage), values, stage),)
        asked = [(way, way.ask(values, uncertain, stage)) for way in self.ways]
        measured = [(way, one) for way, one in asked if one.verdict.state not in _NOT_MEASURED]
        if measured:
            return tuple([way.told(one, values, stage) for way, one in measured])
        open_ways = [(way, one.verdict) for way, one in asked if one.verdict.state is State.UNKNOWN]
        if not open_ways:
            way, first = asked[0]
            return (way.told(first, values, stage),)
        open_ways.sort(key=lambda pair: _need(pair[0], pair[1], stage))
        (way, best), rest = open_ways[0], open_ways[1:]
        instead = tuple(sorted({one.missing for _, one in rest if one.missing != best.missing}))
        best = msgspec.structs.replace(best, effect=self.worst)
        return (as_told(explain(way.bound, best, values, way.slots, stage, instead)),)


class Together(Group):
    """A rule over several works: of one alone it is asked as any other; of several, it was asked before."""

    def __init__(self, way: Alone, schema: Schema, number: int) -> None:
        """Hold the rule, and its number among those over several works."""
        super().__init__([way], schema)
        self.number = number

    def findings(
        self, values: list[Any], uncertain: Sequence[Uncertain], stage: Stage, beside: Sequence[Verdict] | None = None
    ) -> tuple[Told, ...]:
        """Return the finding for one work."""
        if beside is None:
            return super().findings(values, uncertain, stage)
        return (self.ways[0].told(Asked(beside[self.number]), values, stage),)


def _need(way: Way, one: Verdict, stage: Stage) -> tuple[bool, int, int, str]:
    """Return what an unknown way still needs, for comparing: being due, facts, and how gladly it is asked for."""
    rule = way.bound.rule
    return rule.due.rank > stage.rank, len(one.missing), rule.prefer, rule.by
