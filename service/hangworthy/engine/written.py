"""Free text of a work: what the readers find in it is put where the facts are; what was given counts more, and a contradiction is said."""

from collections.abc import Iterator
from itertools import permutations
from typing import TYPE_CHECKING, Any, Final

import msgspec

from hangworthy.contract.reading import Asked, AsWritten, Contradiction, KindRead, ReadFact, Size, TextRead, Unread
from hangworthy.engine.language import Language, english
from hangworthy.engine.schema import Schema, Slot

if TYPE_CHECKING:
    from hangworthy.readings import Unsure

_QUOTED: Final = 40  # characters of the text that a question repeats
_SAME: Final = 0.01  # the share by which a read number may differ from a given one without contradicting it
_SAME_MM: Final = 1.0
_ORDER_OPEN: Final = ("order-open", "way-open", "frame-order-open", "image-order-open")  # the numbers are known, but not which is which


class Written:
    """Reads the texts of works of one schema, and says in a language what it read. The readers are imported when there is a text."""

    def __init__(self, schema: Schema, language: Language | None = None) -> None:
        """Note which facts take up what can be read; without a ``language`` English is spoken."""
        self.language = language or english(schema, (), {}, {})
        self.voice, self.reasons = self.language.voice, self.language.readings
        # In English a choice speaks for itself, as in questions.
        self.labels = self.language.labels if self.language.told else {}
        self.slots: dict[str, tuple[Slot, ...]] = {}
        for slot in self.language.slots[: schema.wall_start]:
            if slot.ask.reads:
                self.slots[slot.ask.reads] = (*self.slots.get(slot.ask.reads, ()), slot)

    def read(self, texts: AsWritten) -> TextRead:
        """Return what the texts say of the facts there are. Pure."""
        from hangworthy.readings import RULES, Unsure, read_line

        reading = read_line(texts)
        facts, asks = list[ReadFact](), list[Asked]()
        for found in reading.found:
            name, value, source, start, end, rule, also = found
            for slot in self.slots.get(name, ()):
                if slot.choices and value not in slot.choices:
                    continue
                if not _sensible(slot, value):
                    asks += self._asked(texts, Unsure((name,), source, start, end, "sense-open"))
                    continue
                by, text = RULES[rule], _part(texts, source, start, end)
                sure = min(by.confidence, RULES[also or rule].confidence)
                facts.append(ReadFact(slot.pointer, value, source, (start, end), text, sure, rule, self._reason(rule), slot.unit))
        for open_ in reading.unsure:
            asks += self._asked(texts, open_)
        unread = tuple(Unread(source, (start, end), _part(texts, source, start, end)) for source, start, end in reading.unread)
        return TextRead(tuple(facts), tuple(asks), self._sizes(reading.sizes), self._kind(reading.kind), reading.edition, unread)

    def _reason(self, rule: str) -> str:
        """Return what a rule says to a person."""
        from hangworthy.readings import RULES

        return self.reasons.get(rule) or RULES[rule].reason

    def _asked(self, texts: AsWritten, one: "Unsure") -> list[Asked]:
        """Return the question for what a text leaves open; none where no fact waits for it."""
        slots = [slot for name in one.names for slot in self.slots.get(name, ())]
        if not slots:
            return []
        text = _part(texts, one.source, one.start, one.end)
        question = f"{self.voice.quoted(excerpt(text))}: {self._reason(one.rule)}"
        ways = tuple(self.voice.way_up(high, wide) for high, wide in one.ways)
        labels = self.labels.get(slots[0].path, {})
        shown = tuple(labels.get(value, value) for value in one.choices) if labels else ()
        pointers = tuple(slot.pointer for slot in slots)
        return [Asked(pointers, question, one.rule, one.source, (one.start, one.end), text, one.choices or ways, shown)]

    def _sizes(self, sizes: tuple[Size, ...]) -> tuple[Size, ...]:
        if not self.reasons:
            return sizes
        return tuple(msgspec.structs.replace(one, reason=self._reason(one.order)) if one.order else one for one in sizes)

    def _kind(self, kind: KindRead | None) -> KindRead | None:
        return msgspec.structs.replace(kind, reason=self._reason(kind.rule)) if kind and self.reasons else kind

    def fill(self, texts: AsWritten, values: list[Any]) -> TextRead:
        """Put what the texts say into the values by slot where nothing was given; return the reading as the answer shows it."""
        told = self.read(texts)
        by_pointer = {slot.pointer: slot for slots in self.slots.values() for slot in slots}
        used, against = list[str](), list[Contradiction]()
        for fact in told.facts:
            slot = by_pointer[fact.fact]
            given = values[slot.index]
            if given is None:
                values[slot.index] = fact.value
                used.append(fact.fact)
            elif fact.fact not in used and not _agree(slot, given, fact.value):
                against.append(Contradiction(fact.fact, given, fact.value, self._against(slot, given, fact)))
        asks = []
        for one in told.asks:
            against += self._either_way(one, told.sizes, by_pointer, values)
            waiting = tuple(pointer for pointer in one.facts if values[by_pointer[pointer].index] is None)
            if waiting:
                asks.append(msgspec.structs.replace(one, facts=waiting))
        return TextRead(told.facts, tuple(asks), told.sizes, told.kind, told.edition, told.unread, tuple(used), tuple(against))

    def _either_way(self, one: Asked, sizes: tuple[Size, ...], slots: dict[str, Slot], values: list[Any]) -> Iterator[Contradiction]:
        """Yield the facts given that a size contradicts whichever of its numbers is the height: no order of them fits."""
        size = next((size for size in sizes if size.span == one.span), None)
        given = [(slots[pointer], values[slots[pointer].index]) for pointer in one.facts if values[slots[pointer].index] is not None]
        if one.rule not in _ORDER_OPEN or size is None or not given:
            return
        numbers = size.numbers if size.depth_mm is None else size.numbers[:2]
        pair = isinstance(given[0][1], tuple)
        choices: tuple[Any, ...] = tuple(permutations(numbers[:2])) if pair else numbers
        ways = ((way,) for way in choices) if pair else permutations(numbers, len(given))
        if any(all(_agree(slot, value, read) for (slot, value), read in zip(given, way, strict=True)) for way in ways):
            return
        strays = [fact for fact in given if not any(_agree(*fact, read) for read in choices)] or given
        for slot, value in strays:
            read = self.voice.either([self._shown(slot, choice) for choice in choices])
            sentence = self.voice.against(slot.ask.title, self._shown(slot, value), self.voice.quoted(excerpt(one.text)), read)
            yield Contradiction(slot.pointer, value, choices, sentence)

    def _against(self, slot: Slot, given: Any, fact: ReadFact) -> str:
        told, read = self._shown(slot, given), self._shown(slot, fact.value)
        return self.voice.against(slot.ask.title, told, self.voice.quoted(excerpt(fact.text)), read)

    def shown(self, fact: ReadFact) -> str:
        """Return the value of a fact that was read, as a person reads it."""
        return next(self._shown(slot, fact.value) for slots in self.slots.values() for slot in slots if slot.pointer == fact.fact)

    def _shown(self, slot: Slot, value: Any) -> str:
        if isinstance(value, tuple):
            return " × ".join(self._shown(slot, one) for one in value)
        if isinstance(value, bool):
            return (self.voice.yes if value else self.voice.no).lower()
        if isinstance(value, float):
            return str(self.voice.show(value, slot.unit))
        return self.labels.get(slot.path, {}).get(value, str(value))


def _sensible(slot: Slot, value: Any) -> bool:
    """Return whether a value is within the sane range of its fact, and short enough."""
    if slot.kind == "text":
        return len(value) <= slot.ask.max_length
    if slot.kind not in ("number", "count"):
        return True
    lo, hi = slot.ask.lo, slot.ask.hi
    return all((lo is None or lo <= one) and (hi is None or one <= hi) for one in (value if isinstance(value, tuple) else (value,)))


def _agree(slot: Slot, given: Any, read: Any) -> bool:
    if slot.kind == "text":
        return True  # a label may be worded otherwise
    if slot.kind != "number":
        return bool(given == read)
    near = _SAME_MM if slot.unit == "mm" else 0.0
    pairs = zip(given, read, strict=True) if isinstance(read, tuple) else ((given, read),)
    return all(abs(one - other) <= max(near, _SAME * abs(one)) for one, other in pairs)


def _part(texts: AsWritten, source: str, start: int, end: int) -> str:
    return (getattr(texts, source) or "")[start:end]


def excerpt(text: str) -> str:
    """Return as much of a text as a question repeats, without signs that could disturb it."""
    short = text if len(text) <= _QUOTED else text[: _QUOTED - 1] + "…"
    return " ".join("".join(char if char.isprintable() else " " for char in short).split())
