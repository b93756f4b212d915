"""The sheet's own words: one table for each language, read once."""

import re
from collections.abc import Mapping
from datetime import date
from functools import cache
from typing import Any

from hangworthy.contract.effect import Stage
from hangworthy.contract.languages import DEFAULT_LANGUAGE, LanguageCode
from hangworthy.engine.translated import voice_in
from hangworthy.engine.voice import Voice
from hangworthy.words import Words, table_of

# Which words stand in for those of the offer, by stage; the later group counts.
_INSTEAD = {
    Stage.OFFER: (),
    Stage.ARRIVAL: ("here",),
    Stage.HANGING: ("here", "received_before"),
    Stage.ROTATION: ("here", "received_before", "comes_down"),
    Stage.RETURN: ("here", "received_before", "comes_down"),
}
_POINT = re.compile(r"(?<=\d)\.(?=\d)")


class Tongue(Words):
    """One language: its words, and how it writes figures and days."""

    def __init__(self, code: LanguageCode, table: Mapping[str, Any], voice: Voice) -> None:
        """Hold the table, and the host's own voice, which writes figures in findings."""
        super().__init__(table)
        self.code, self.voice = code, voice

    def at(self, stage: Stage) -> "Tongue":
        """Return the same language with the words that fit a stage: what is said before the work is brought is wrong after it."""
        table = dict(self.table)
        for group in _INSTEAD[stage]:
            for name, words in self.table[group].items():
                within, _, inner = name.rpartition(".")
                table[within or inner] = {**table[within], inner: words} if within else words
        return Tongue(self.code, table, self.voice)

    def number(self, value: float, digits: int = 1) -> str:
        """Return a number with at most so many decimals, and with a true minus sign."""
        text = f"{value:.{digits}f}"
        text = (text.rstrip("0").rstrip(".") if "." in text else text).replace("-", "−")
        return self.figures("0" if text == "−0" else text)

    def quantity(self, value: float, unit: str) -> str:
        """Return a number with its unit, as findings show it."""
        return str(self.voice.show(value, unit))

    def unit(self, unit: str) -> str:
        """Return a unit as it stands behind a number."""
        return str(self.voice.show(2, unit)).removeprefix("2").strip()

    def figures(self, text: str) -> str:
        """Return a figure with its decimal sign as the language writes it."""
        return _POINT.sub(",", text) if self.code == "de" else text

    def day(self, when: date) -> str:
        """Return a day in words."""
        return self("date", day=when.day, month=self.table["months"][when.month - 1], year=when.year)

    def day_of(self, text: object) -> str:
        """Return a day, or the day of a moment, that was sent as text; "" for what is none."""
        try:
            return self.day(date.fromisoformat(str(text)[:10]))
        except ValueError:
            return ""


@cache
def tongue(code: LanguageCode) -> Tongue:
    """Return a language."""
    voice = Voice() if code == DEFAULT_LANGUAGE else voice_in(code)[0]
    return Tongue(code, table_of(__package__ or "", code), voice)
