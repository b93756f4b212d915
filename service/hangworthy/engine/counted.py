"""Days counted: how long ago a day was that is given, on the day of the evaluation. The host says which day that is; nothing here knows."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any

import msgspec

from hangworthy.contract.finding import CountedFact, Question
from hangworthy.engine.language import Language
from hangworthy.engine.schema import Schema

AHEAD = 1  # the host's day is that of UTC; where the sun rises first it is already the next one


class Counted:
    """Fills the facts of one schema that count from a day, and says in a language what it counted."""

    def __init__(self, schema: Schema, language: Language) -> None:
        """Note which facts count from which day."""
        self.voice = language.voice
        self.pairs = [(slot, language.slots[schema.by_path[slot.ask.since].index]) for slot in language.slots if slot.ask.since]

    def fill(self, values: list[Any], day: date) -> Iterator[CountedFact]:
        """Put the days into the values by slot where they were not given; a day that is still to come everywhere counts nothing.

        What is older than the fact can say is as old as it can say. A day that may be today somewhere is today.
        """
        for slot, since in self.pairs:
            first = values[since.index]
            if first is None or values[slot.index] is not None or (first - day).days > AHEAD:
                continue
            until = max(first, day)
            days = float((until - first).days)
            values[slot.index] = days if slot.ask.hi is None else min(days, float(slot.ask.hi))
            shown = self.voice.show(days, slot.unit)
            sentence = self.voice.counted(slot.ask.title, shown, first.isoformat(), until.isoformat())
            yield CountedFact(slot.pointer, values[slot.index], slot.unit, since.pointer, first, until, sentence)

    def to_come(self, values: Sequence[Any], day: date) -> Mapping[str, tuple[str, str]]:
        """Return, by pointer of the fact that could not be counted, what is to be said of a day that is still to come, and what to do."""
        return {
            slot.pointer: self.voice.to_come(since.ask.title, values[since.index].isoformat())
            for slot, since in self.pairs
            if values[slot.index] is None and values[since.index] is not None and values[since.index] > day
        }


def asked_again(questions: Sequence[Question], to_come: Mapping[str, tuple[str, str]]) -> list[Question]:
    """Return questions that say, where a fact could not be counted, that its day is still to come: else it would be passed over.

    Prompt and help both begin with it, since a form shows the one or the other.
    """
    return [_asked(one, *to_come[one.fact]) if one.fact in to_come else one for one in questions]


def _asked(one: Question, said: str, to_do: str) -> Question:
    return msgspec.structs.replace(one, prompt=f"{said} {one.prompt}", how=f"{to_do} {one.how}".rstrip())
