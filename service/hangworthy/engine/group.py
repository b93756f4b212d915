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
from hangworthy.engine.sets import set_verdicts
from hangworthy.engine.told import Told, as_told
from hangworthy.engine.verdict import Verdict, verdict

# The key is the facts' own bytes, not the facts: 0.0 and -0.0, or two spellings of one amount, are equal but are shown differently.
_encode = msgspec.msgpack.Encoder().encode

_MARKS = 8  # as many keys are noted for each answer that may be kept

Asked = tuple[Verdict, Told]


class Memory:
    """Answers given lately: the last one, and at most twice ``most`` of those that were asked for more than once.

    Most measurements are of one work alone. Keeping what was told of them all would drive everything else out of the processor's caches,
    which costs more than working out twice what is asked for often. What was not asked for during ``most`` others is forgotten.
    """

    __slots__ = ("last", "met", "most", "older", "recent")

    def __init__(self, most: int) -> None:
        """Start empty."""
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

    __slots__ = ("bound", "guard", "memories", "most", "private", "reads", "slots", "take")

    def __init__(self, bound: BoundRule, schema: Schema, guard: Guard, slots: Mapping[str, Slot], most: int) -> None:
        """Work out which facts the answer depends on; no answer that holds a private one is ever kept, and none when ``most`` is 0."""
        self.bound, self.guard, self.slots = bound, guard, slots
        indexes = {
            *bound.indexes,
            *(slot.index for read, _ in bound.conditions for slot in read),
            *(one.index for one in bound.entry.among),
        }
        self.reads = frozenset(indexes)
        # What the venue lists is the same for every work that is asked here.
        self.take = taker(tuple(sorted(index for index in indexes if index < schema.venue_start)) or (0,))
        self.private = tuple(index for index in sorted(indexes) if schema.slots[index].ask.private)
        self.most = most
        self.forget()

    def forget(self) -> None:
        """Forget every answer."""
        self.memories = {stage: Memory(self.most) for stage in Stage} if self.most else {}

    def ask(self, values: list[Any], uncertain: Sequence[Uncertain], stage: Stage) -> Asked:
        """Return the verdict on a work, and the finding that explains it."""
        memory = self.memories.get(stage)
        if (
            memory is None
            or (self.private and any(values[index] is not None for index in self.private))
            or (uncertain and any(one.slot in self.reads for one in uncertain))
        ):
            return self._asked(values, uncertain, stage)
        key = _encode(self.take(values))
        found = memory.get(key)
        if found is None:
            found = self._asked(values, uncertain, stage)
            if not found[1].failed:  # what failed for want of memory, say, may not fail again
                memory.put(key, found)
        return found

    def _asked(self, values: list[Any], uncertain: Sequence[Uncertain], stage: Stage) -> Asked:
        found = self._verdict(values, uncertain)
        return found, as_told(explain(self.bound, found, values, self.slots, stage))

    def _verdict(self, values: list[Any], uncertain: Sequence[Uncertain]) -> Verdict:
        return verdict(self.bound, values, uncertain, self.guard)


class Alone(Way):
    """A rule over several works, asked of one that has no others beside it: then it, too, depends on that work's facts alone.

    It is remembered from one work to the next only (``before``): it reads whose work it is, so that no other work would be answered alike.
    """

    __slots__ = ()

    def ask(self, values: list[Any], uncertain: Sequence[Uncertain], stage: Stage) -> Asked:
        """Return the verdict on a work, and the finding that explains it."""
        return self._asked(values, uncertain, stage)

    def _verdict(self, values: list[Any], uncertain: Sequence[Uncertain]) -> Verdict:
        return set_verdicts(self.bound, [ReadWork(values, list(uncertain), [])], [""], self.guard)[0]


class Group:
    """The ways of measuring one thing, most often one."""

    def __init__(self, ways: Sequence[Way]) -> None:
        """Hold the ways, in the order of preference."""
        self.ways = tuple(ways)
        self.code = ways[0].bound.code
        self.worst = max((way.bound.worst for way in ways), key=lambda effect: effect.rank)

    def findings(self, values: list[Any], uncertain: Sequence[Uncertain], stage: Stage) -> tuple[Told, ...]:
        """Return the findings for one work."""
        return self.told([way.ask(values, uncertain, stage) for way in self.ways], values, stage)

    def told(self, asked: Sequence[Asked], values: list[Any], stage: Stage) -> tuple[Told, ...]:
        """Return the findings that come of what each way said.

        Each way that was measured gives its own; with none, one unknown remains: the way that is due and needs least, with the others
        beside it as what could be given instead.
        """
        if len(asked) == 1:
            return (asked[0][1],)
        measured = tuple(told for one, told in asked if one.state not in (State.UNKNOWN, State.NOT_APPLICABLE))
        if measured:
            return measured
        open_ways = [(way, one) for way, (one, _) in zip(self.ways, asked, strict=True) if one.state is State.UNKNOWN]
        if not open_ways:
            return (asked[0][1],)
        open_ways.sort(key=lambda pair: _need(pair[0], pair[1], stage))
        (way, best), rest = open_ways[0], open_ways[1:]
        instead = tuple(sorted({one.missing for _, one in rest if one.missing != best.missing}))
        best = msgspec.structs.replace(best, effect=self.worst)
        return (as_told(explain(way.bound, best, values, way.slots, stage, instead)),)


def _need(way: Way, one: Verdict, stage: Stage) -> tuple[bool, int, int, str]:
    """Return what an unknown way still needs, for comparing: being due, facts, and how gladly it is asked for."""
    rule = way.bound.rule
    return rule.due.rank > stage.rank, len(one.missing), rule.prefer, rule.by
