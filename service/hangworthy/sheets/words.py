"""The sheet's own words: one table for each language, read once."""

import re
import tomllib
from collections.abc import Mapping
from datetime import date
from functools import cache
from importlib.resources import files
from typing import Any, Literal, get_args

from hangworthy.contract.check import show

SheetLanguage = Literal["en", "de"]
LANGUAGES: tuple[SheetLanguage, ...] = get_args(SheetLanguage)
_POINT = re.compile(r"(?<=\d)\.(?=\d)")


class Tongue:
    """One language: its words, and how it writes figures and days."""

    def __init__(self, code: SheetLanguage, table: Mapping[str, Any]) -> None:
        """Hold the table."""
        self.code, self.table = code, table

    def __call__(self, key: str, **named: object) -> str:
        """Return the words of a key (“step.clean” for one in a group), filled. A name in an open group that nobody worded stays itself."""
        group, _, name = key.rpartition(".")
        words = self.table[group].get(name, name) if group else self.table[name]
        return str(words).format(**named) if named else str(words)

    def number(self, value: float, digits: int = 1) -> str:
        """Return a number with at most so many decimals, and with a true minus sign."""
        text = f"{value:.{digits}f}"
        text = (text.rstrip("0").rstrip(".") if "." in text else text).replace("-", "−")
        return self.figures("0" if text == "−0" else text)

    def quantity(self, value: float, unit: str) -> str:
        """Return a number with its unit, as findings show it."""
        return self.figures(show(value, unit)).replace("-", "−")

    def unit(self, unit: str) -> str:
        """Return a unit as it stands behind a number."""
        return show(2, unit).removeprefix("2").strip()

    def figures(self, text: str) -> str:
        """Return a text with its decimal signs as the language writes them."""
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
def tongue(code: SheetLanguage) -> Tongue:
    """Return a language."""
    return Tongue(code, tomllib.loads((files("hangworthy.sheets") / f"words.{code}.toml").read_text("utf-8")))
