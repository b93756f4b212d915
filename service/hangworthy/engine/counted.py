"""Days counted: how long ago a day was that is given, on the day of the evaluation. The host says which day that is; nothing here knows."""

from collections.abc import Iterator
from datetime import date
from typing import Any

from hangworthy.contract.finding import CountedFact
from hangworthy.engine.language import Language
from hangworthy.engine.schema import Schema


class Counted:
    """Fills the facts of one schema that count from a day, and says in a language what it counted."""

    def __init__(self, schema: Schema, language: Language) -> None:
        """Note which facts count from which day."""
        self.voice = language.voice
        self.pairs = [(slot, schema.by_path[slot.ask.since]) for slot in language.slots if slot.ask.since]

    def fill(self, values: list[Any], day: date) -> Iterator[CountedFact]:
        """Put the days into the values by slot where they were not given; a day that is still to come counts nothing.

        What is older than the fact can say is as old as it can say.
        """
        for slot, since in self.pairs:
            first = values[since.index]
            if first is None or values[slot.index] is not None or first > day:
                continue
            days = float((day - first).days)
            values[slot.index] = days if slot.ask.hi is None else min(days, float(slot.ask.hi))
            shown = self.voice.show(days, slot.unit)
            sentence = self.voice.counted(slot.ask.title, shown, first.isoformat(), day.isoformat())
            yield CountedFact(slot.pointer, values[slot.index], slot.unit, since.pointer, first, day, sentence)
