"""Terms: text that a rule's check puts into its sentences by name ("the inside of the pane", "may grow by 3 mm"), in another language.

Rules stay as they are: what they put in is English, looked up here as a whole, then as a pattern ("may grow by {growth}"), then as a
list of such. What is not found stays as it is, but for its figures; nothing in it is guessed at. Names that people gave stay so too.
"""

import re
from collections.abc import Iterator, Mapping
from functools import lru_cache
from string import Formatter
from typing import Any

from hangworthy.contract.quantities import show_quantity
from hangworthy.engine.template import names_in

_FIGURE = re.compile(r"(?<![\w.,])(\d{1,3}(?:,\d{3})+|\d+)(\.\d+)?(?!(?!e[+-]?\d)\w|[.,]\d)")
_QUOTED = re.compile(r"(“[^”]*”)")
_WORD = re.compile(r"[^\W\d_]+")
_BETWEEN = re.compile(r"(, | and | or |; )")
_DEEPEST, _LONGEST, _MOST_PARTS = 4, 2_000, 24


class Shown(str):
    """Text that is in its language already."""

    __slots__ = ()


class Figures:
    """How a language writes figures, and the few words that stand behind them."""

    def __init__(self, decimal: str, thousands: str, words: Mapping[str, str], quoted: str = "“{text}”") -> None:
        """Take the signs in figures, the words for "day", "days" and so on, and how the language quotes."""
        self.decimal, self.thousands, self.words = decimal, thousands, words
        self._opens, self._closes = quoted.split("{text}")
        spelt = "|".join(sorted(map(re.escape, words), key=len, reverse=True))
        self._behind = re.compile(rf"(?<=\d )({spelt})\b") if spelt else None

    def show(self, value: float, unit: str, digits: int = 3) -> Shown:
        """Return a figure with its unit, as a sentence shows it."""
        return Shown(self.written(show_quantity(value, unit, digits)))

    def written(self, text: str) -> str:
        """Return a text with its figures and quotation marks as the language writes them; what is quoted is somebody's own."""
        return "".join(
            f"{self._opens}{part[1:-1]}{self._closes}" if _QUOTED.fullmatch(part) else self._plain(part) for part in _QUOTED.split(text)
        )

    def alone(self, text: str) -> bool:
        """Return whether a text holds no more than figures, signs, units and what is in quotation marks."""
        rest = _QUOTED.sub("", text)
        if self._behind is not None:
            rest = self._behind.sub("", rest)
        return not any(len(word) > 3 for word in _WORD.findall(rest))

    def _plain(self, text: str) -> str:
        text = _FIGURE.sub(self._one, text)
        return text if self._behind is None else self._behind.sub(lambda found: self.words[found[1]], text)

    def _one(self, found: re.Match[str]) -> str:
        return found[1].replace(",", self.thousands) + (found[2] or "").replace(".", self.decimal)


class Pattern:
    """A term with figures or other terms in it, matched from left to right without ever going back."""

    def __init__(self, english: str, other: str) -> None:
        """Read both sides. Raises ValueError when they cannot be filled alike."""
        pieces = list(Formatter().parse(english))
        self.names = [name for _, name, _, _ in pieces if name is not None]
        self.literals = [text for text, *_ in pieces] + ([""] if pieces[-1][1] is not None else [])
        self.other = other
        if any(not text for text in self.literals[1:-1]) or "" in self.names or len(set(self.names)) < len(self.names):
            raise ValueError("its places need different names, and text between them")
        if stray := set(names_in(other)) - set(self.names):
            raise ValueError(f"{{{min(stray)}}} is not in the English")

    def __len__(self) -> int:
        """Return how much of the pattern is fixed: the more, the surer a match."""
        return sum(map(len, self.literals))

    def match(self, text: str) -> dict[str, str] | None:
        """Return what stands in the pattern's places, or None for a text of another kind."""
        head, *middle, tail = self.literals
        if not (text.startswith(head) and text.endswith(tail)):
            return None
        found, start, end = [], len(head), len(text) - len(tail)
        for literal in middle:
            here = text.find(literal, start + 1, end)
            if here < 0:
                return None
            found.append(text[start:here])
            start = here + len(literal)
        return dict(zip(self.names, [*found, text[start:end]], strict=True)) if start < end else None


class Terms:
    """The terms that one rule's sentences may need."""

    def __init__(self, terms: Mapping[str, str], figures: Figures, joins: Mapping[str, str]) -> None:
        """Sort the terms: whole texts, and patterns with the surest first. Raises ValueError for a pattern that cannot be filled."""
        self.figures, self.joins = figures, joins
        self.whole = {english: other for english, other in terms.items() if not names_in(english)}
        self.patterns = sorted((Pattern(*pair) for pair in terms.items() if names_in(pair[0])), key=len, reverse=True)
        self.missed: set[str] | None = None  # what was not found, for whoever wants to know
        self._said = lru_cache(maxsize=4096)(self._text)

    def say(self, value: Any) -> str:
        """Return a value that a check carries, as a sentence in this language shows it."""
        kind = type(value)
        if kind is Shown:
            return str(value)
        if kind is tuple:
            return self.figures.show(*value)
        return self._said(value) if kind is str else self.figures.written(str(value))

    def _text(self, text: str, depth: int = 0) -> str:
        if not text or len(text) > _LONGEST or depth > _DEEPEST:
            return text
        found = self._known(text, depth)
        if found is None and self.missed is not None and not self.figures.alone(text):
            self.missed.add(text)
        return self.figures.written(text) if found is None else found

    def _known(self, text: str, depth: int) -> str | None:
        found = self._one(text, depth)
        if found is None and text[:1].isupper():  # the same words may open a sentence
            found = self._one(text[0].lower() + text[1:], depth)
            found = found and found[0].upper() + found[1:]
        elif found is None:
            found = self._one(text[:1].upper() + text[1:], depth)
        return found if found is not None else self._list(text, depth)

    def _one(self, text: str, depth: int) -> str | None:
        if (whole := self.whole.get(text)) is not None:
            return whole
        for pattern in self.patterns:
            places = pattern.match(text)
            if places is not None:
                return pattern.other.format_map({name: self._text(one, depth + 1) for name, one in places.items()})
        return None

    def _list(self, text: str, depth: int) -> str | None:
        """Return a list of terms; None unless each part of it is one, or a figure. A term may itself hold a comma or an "and"."""
        parts = _BETWEEN.split(text)
        if not 1 < len(parts) <= _MOST_PARTS:
            return None
        last = len(parts) - 1
        rest: dict[int, str | None] = {last + 2: ""}
        for start in range(last, -1, -2):
            rest[start] = next(self._from(parts, start, rest, depth), None)
        return rest[0]

    def _from(self, parts: list[str], start: int, rest: Mapping[int, str | None], depth: int) -> Iterator[str]:
        for end in range(len(parts) - 1, start - 1, -2):
            after = rest[end + 2]
            if after is None or (start == 0 and end == len(parts) - 1):
                continue
            text = "".join(parts[start : end + 1])
            found = self.figures.written(text) if self.figures.alone(text) else self._one(text, depth)
            if found is not None:
                sign = self.joins.get(parts[end + 1], parts[end + 1]) if end + 1 < len(parts) else ""
                yield found + sign + after
