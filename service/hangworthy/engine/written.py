"""Free text of a work: what the readers find in it is put where the facts are; what was given counts more, and a contradiction is said."""

from typing import Any, Final

from hangworthy.contract.quantities import show_quantity
from hangworthy.contract.reading import Asked, AsWritten, Contradiction, ReadFact, TextRead, Unread
from hangworthy.engine.schema import Schema, Slot

_QUOTED: Final = 40  # characters of the text that a question repeats
_SAME: Final = 0.01  # the share by which a read number may differ from a given one without contradicting it
_SAME_MM: Final = 1.0


class Written:
    """Reads the texts of works of one schema. The readers themselves are imported when there is a text."""

    def __init__(self, schema: Schema) -> None:
        """Note which facts take up what can be read."""
        self.slots: dict[str, tuple[Slot, ...]] = {}
        for slot in schema.slots[: schema.wall_start]:
            if slot.ask.reads:
                self.slots[slot.ask.reads] = (*self.slots.get(slot.ask.reads, ()), slot)

    def read(self, texts: AsWritten) -> TextRead:
        """Return what the texts say of the facts there are. Pure."""
        from hangworthy.readings import RULES, read_line

        reading = read_line(texts)
        facts, asks = list[ReadFact](), list[Asked]()

        def quoted(source: str, start: int, end: int) -> str:
            return (getattr(texts, source) or "")[start:end]

        def ask(names: tuple[str, ...], rule: str, source: Any, start: int, end: int, choices: tuple[str, ...]) -> None:
            pointers = tuple(slot.pointer for name in names for slot in self.slots.get(name, ()))
            text = quoted(source, start, end)
            if pointers:
                asks.append(Asked(pointers, f"{_quote(text)}: {RULES[rule].reason}", rule, source, (start, end), text, choices))

        for found in reading.found:
            name, value, source, start, end, rule, also = found
            for slot in self.slots.get(name, ()):
                if slot.choices and value not in slot.choices:
                    continue
                if not _sensible(slot, value):
                    ask((name,), "sense-open", source, start, end, ())
                    continue
                by = RULES[rule]
                sure = min(by.confidence, RULES[also or rule].confidence)
                text = quoted(source, start, end)
                facts.append(ReadFact(slot.pointer, value, source, (start, end), text, sure, rule, by.reason, slot.unit))
        for names, source, start, end, rule, choices in reading.unsure:
            ask(names, rule, source, start, end, choices)
        unread = tuple(Unread(source, (start, end), quoted(source, start, end)) for source, start, end in reading.unread)
        return TextRead(tuple(facts), tuple(asks), reading.sizes, reading.kind, reading.edition, unread)

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
                against.append(Contradiction(fact.fact, given, fact.value, _against(slot, given, fact)))
        asks = []
        for one in told.asks:
            waiting = tuple(pointer for pointer in one.facts if values[by_pointer[pointer].index] is None)
            if waiting:
                asks.append(Asked(waiting, one.question, one.rule, one.source, one.span, one.text, one.choices))
        return TextRead(told.facts, tuple(asks), told.sizes, told.kind, told.edition, told.unread, tuple(used), tuple(against))


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


def _against(slot: Slot, given: Any, fact: ReadFact) -> str:
    told, read = shown(given, slot.unit), shown(fact.value, slot.unit)
    return f"{slot.ask.title}: {told} was given, but {_quote(fact.text)} says {read}. What was given counts."


def shown(value: Any, unit: str) -> str:
    """Return a value that was given or read, as a person reads it."""
    if isinstance(value, tuple):
        return " × ".join(shown(one, unit) for one in value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return show_quantity(value, unit) if isinstance(value, float) else str(value)


def _quote(text: str) -> str:
    short = text if len(text) <= _QUOTED else text[: _QUOTED - 1] + "…"
    return f"“{' '.join(''.join(char if char.isprintable() else ' ' for char in short).split())}”"
