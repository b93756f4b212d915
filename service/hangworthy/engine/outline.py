"""What can be told of a work before any rule is asked: most rules do not concern it, or lack a fact.

That hangs on which facts are given, and on the few choices by which rules say what they concern; on no measurement. So it is worked out
once for all works that are alike in this, as the works of a programme are, and as one is that is asked about again and again while its
measurements change. What is told of them so differs in nothing but the facts that are shown with it; only the other rules are asked.
Nothing but time depends on it; a test compares the bytes with and without.
"""

from collections.abc import Callable, Sequence
from operator import itemgetter
from typing import Any

import msgspec

from hangworthy.contract.effect import TO_ACT_ON, Stage, State
from hangworthy.contract.finding import Finding, Question
from hangworthy.engine.bound import taker
from hangworthy.engine.group import Group
from hangworthy.engine.reading import ReadWork
from hangworthy.engine.schema import Slot
from hangworthy.engine.told import Stated, Told, as_shown
from hangworthy.engine.verdict import Verdict

_encode = msgspec.json.Encoder().encode
_UNMET = State.UNMET
_OPEN, _CLOSE, _COMMA = 0, 1, 2  # where these stand among the pieces

Rank = Callable[[Sequence[Finding]], list[Question]]


class Outline:
    """What is told of all works that are alike in what they say, and which requirements have to be asked of each."""

    def __init__(self, groups: Sequence[Group], stated: Sequence[Stated | None], slots: Sequence[Slot], rank: Rank) -> None:
        """Lay the findings out in the order of ``groups``; None stands for one to be asked. ``rank`` makes questions of findings."""
        self.stated, self.slots = stated, slots
        self.asked = tuple(group for group, one in zip(groups, stated, strict=True) if one is None)
        told = [one.told for one in stated if one is not None]
        self.at_worst = max((one.at_worst for one in told), default=0)
        self.concerns = sum(one.concerns for one in told)
        self.asking = [one for one in told if one.asks]
        self.questions = rank([one.finding for one in self.asking])
        self._facts = tuple(sorted({index for one in stated if one is not None for index in one.facts}))
        self._keys = tuple(_encode(slots[index].pointer) + b":" for index in self._facts)
        self._still, places = self._laid_out()
        self._lay_out = itemgetter(*places)

    def _laid_out(self) -> tuple[list[bytes], list[int]]:
        """Return the pieces of JSON that never change, and the places of all pieces in their order.

        Behind those that never change come those with a fact each, then those that were asked.
        """
        still, order = [b"[", b"]", b","], list[tuple[str, int]]()
        facts, asked = {index: place for place, index in enumerate(self._facts)}, 0
        for number, one in enumerate(self.stated):
            order.append(("still", _COMMA if number else _OPEN))
            if one is None:
                order.append(("asked", asked))
                asked += 1
                continue
            order.append(("still", len(still)))
            still.append(one.head)
            for place, index in enumerate(one.facts):
                order += [("still", _COMMA)] if place else []
                order.append(("fact", facts[index]))
            if one.tail:
                order.append(("still", len(still)))
                still.append(one.tail)
        order += [] if self.stated else [("still", _OPEN)]
        order.append(("still", _CLOSE))
        starts = {"still": 0, "fact": len(still), "asked": len(still) + len(facts)}
        return still, [starts[kind] + place for kind, place in order]

    def encoded(self, values: Sequence[Any], asked: Sequence[Sequence[Told]]) -> bytes:
        """Return the JSON of the findings about a work: its values by slot, and what came of asking."""
        facts = [key + _encode(as_shown(self.slots[index], values[index])) for key, index in zip(self._keys, self._facts, strict=True)]
        answers = [told[0].raw() if len(told) == 1 else b",".join([one.raw() for one in told]) for told in asked]
        return b"".join(self._lay_out([*self._still, *facts, *answers]))


class Telling:
    """What is told of one work."""

    __slots__ = ("asked", "outline", "values")

    def __init__(self, outline: Outline, values: list[Any], asked: list[tuple[Told, ...]]) -> None:
        """Hold the outline, the work's values by slot, and what came of asking, in the outline's order."""
        self.outline, self.values, self.asked = outline, values, asked

    def loud(self) -> list[Told]:
        """Return what was asked and adds to the outcome, or asks in turn."""
        return [one for told in self.asked for one in told if not one.silent]

    def concerns(self) -> int:
        """Return how many findings concern the work."""
        return self.outline.concerns + sum([one.concerns for told in self.asked for one in told])

    def to_act_on(self) -> list[Finding]:
        """Return the findings that somebody has to act on; there is none among those that are told before a rule is asked."""
        return [one.finding for told in self.asked for one in told if one.finding.state in TO_ACT_ON]

    def unmet(self) -> tuple[str, ...]:
        """Return the rules that are not met."""
        return tuple(dict.fromkeys(one.rule for told in self.asked for one in told if one.finding.state is _UNMET))

    def findings(self) -> list[Finding]:
        """Return all findings."""
        asked, made = iter(self.asked), list[Finding]()
        for one in self.outline.stated:
            if one is None:
                made += [told.finding for told in next(asked)]
            else:
                made.append(one.shown(self.outline.slots, self.values))
        return made

    def encoded(self) -> msgspec.Raw:
        """Return the JSON of all findings."""
        return msgspec.Raw(self.outline.encoded(self.values, self.asked))


class Outlines:
    """Asks all requirements of one venue, and keeps the outlines of works that were asked about lately: at most twice ``keep``."""

    def __init__(self, groups: Sequence[Group], slots: Sequence[Slot], rank: Rank, keep: int) -> None:
        """Note which facts outlines hang on; ``slots`` are those of all facts. A ``keep`` of 0 asks every requirement of every work."""
        self.groups, self.keep = groups, keep
        self._slots, self._rank = slots, rank
        self._plain = Outline(groups, [None] * len(groups), slots, rank)
        self._take = taker(tuple(sorted({index for group in groups for way in group.ways for index in way.reads})))
        self._choose = taker(tuple(sorted({index for group in groups for index in group.choices})))
        self.forget()

    def forget(self) -> None:
        """Forget all that was told."""
        self.recent: dict[Any, Outline] = {}
        self.older: dict[Any, Outline] = {}
        for group in self.groups:
            group.forget()

    def tell(self, read: ReadWork, stage: Stage, beside: Sequence[Verdict] | None = None) -> Telling:
        """Return what all requirements tell of a work.

        ``beside`` holds the verdict of each rule over several works, in their order; None asks them of the work alone.
        """
        values, uncertain = read.values, read.uncertain
        outline = self._outline(values, stage) if self.keep else self._plain
        return Telling(outline, values, [group.findings(values, uncertain, stage, beside) for group in outline.asked])

    def _outline(self, values: list[Any], stage: Stage) -> Outline:
        key = (stage, *self._choose(values), *map(type, self._take(values)))
        found = self.recent.get(key)
        if found is None:
            found = self.older.get(key) or self._made(values, stage)
            if len(self.recent) >= self.keep:
                self.older, self.recent = self.recent, {}
            self.recent[key] = found
        return found

    def _made(self, values: list[Any], stage: Stage) -> Outline:
        return Outline(self.groups, [group.stated(values, stage) for group in self.groups], self._slots, self._rank)
