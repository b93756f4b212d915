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
from hangworthy.engine.reading import Uncertain
from hangworthy.engine.schema import Schema, Slot
from hangworthy.engine.told import Told, as_told
from hangworthy.engine.verdict import Verdict, verdict

# The key is the facts' own bytes, not the facts: 0.0 and -0.0, or two spellings of one amount, are equal but are shown differently.
_encode = msgspec.msgpack.Encoder().encode


Asked = tuple[Verdict, Told]


class Memory:
    """Answers given lately, at most twice ``most`` of them: what was not asked for during ``most`` others is forgotten."""

    __slots__ = ("most", "older", "recent")

    def __init__(self, most: int) -> None:
        """Start empty."""
        self.most = most
        self.recent: dict[bytes, Asked] = {}
        self.older: dict[bytes, Asked] = {}

    def get(self, key: bytes) -> Asked | None:
        """Return what was kept, and count it as asked for."""
        found = self.recent.get(key)
        if found is None and (found := self.older.get(key)) is not None:
            self.put(key, found)
        return found

    def put(self, key: bytes, asked: Asked) -> None:
        """Keep an answer; it is shared from now on and must not be changed."""
        if len(self.recent) >= self.most:
            self.older, self.recent = self.recent, {}
        self.recent[key] = asked


class Way:
    """One rule, asked of one work at a time."""

    __slots__ = ("bound", "guard", "memories", "reads", "slots", "take")

    def __init__(self, bound: BoundRule, schema: Schema, guard: Guard, slots: Mapping[str, Slot], most: int) -> None:
        """Work out which facts the answer depends on; answers that hold private ones are never kept, and none when ``most`` is 0."""
        self.bound, self.guard, self.slots = bound, guard, slots
        indexes = {*bound.indexes, *(slot.index for read, _ in bound.conditions for slot in read)}
        self.reads = frozenset(indexes)
        # What the venue lists is the same for every work that is asked here.
        self.take = taker(tuple(sorted(index for index in indexes if index < schema.venue_start)) or (0,))
        private = any(schema.slots[index].ask.private for index in indexes)
        self.memories = {stage: Memory(most) for stage in Stage} if most and not private else {}

    def ask(self, values: list[Any], uncertain: Sequence[Uncertain], stage: Stage) -> Asked:
        """Return the verdict on a work, and the finding that explains it."""
        memory = self.memories.get(stage)
        if memory is None or (uncertain and any(one.slot in self.reads for one in uncertain)):
            return self._asked(values, uncertain, stage)
        key = _encode(self.take(values))
        found = memory.get(key)
        if found is None:
            found = self._asked(values, uncertain, stage)
            if found[0].state is not State.ERROR:  # what failed for want of memory, say, may not fail again
                memory.put(key, found)
        return found

    def _asked(self, values: list[Any], uncertain: Sequence[Uncertain], stage: Stage) -> Asked:
        found = verdict(self.bound, values, uncertain, self.guard)
        return found, as_told(explain(self.bound, found, values, self.slots, stage))


class Group:
    """The ways of measuring one thing, most often one."""

    def __init__(self, ways: Sequence[Way]) -> None:
        """Hold the ways, in the order of preference."""
        self.ways = tuple(ways)
        self.keeps = all(way.memories for way in ways)
        self.reads = frozenset[int]().union(*(way.reads for way in ways))
        self.only = ways[0] if len(ways) == 1 else None
        self.worst = max((way.bound.worst for way in ways), key=lambda effect: effect.rank)

    def findings(self, values: list[Any], uncertain: Sequence[Uncertain], stage: Stage) -> tuple[Told, ...]:
        """Return the findings for one work.

        Each way that was measured gives its own; with none, one unknown remains: the way that is due and needs least, with the others
        beside it as what could be given instead.
        """
        if self.only is not None:
            return (self.only.ask(values, uncertain, stage)[1],)
        asked = [(way, *way.ask(values, uncertain, stage)) for way in self.ways]
        measured = tuple(told for _, one, told in asked if one.state not in (State.UNKNOWN, State.NOT_APPLICABLE))
        if measured:
            return measured
        open_ways = [(way, one) for way, one, _ in asked if one.state is State.UNKNOWN]
        if not open_ways:
            return (asked[0][2],)
        open_ways.sort(key=lambda pair: _need(pair[0], pair[1], stage))
        (way, best), rest = open_ways[0], open_ways[1:]
        instead = tuple(sorted({one.missing for _, one in rest if one.missing != best.missing}))
        best = msgspec.structs.replace(best, effect=self.worst)
        return (as_told(explain(way.bound, best, values, way.slots, stage, instead)),)


def _need(way: Way, one: Verdict, stage: Stage) -> tuple[bool, int, int, str]:
    """Return what an unknown way still needs, for comparing: being due, facts, and how gladly it is asked for."""
    rule = way.bound.rule
    return rule.due.rank > stage.rank, len(one.missing), rule.prefer, rule.by
