"""Sentence templates: text with named values."""

from collections.abc import Callable, Mapping
from string import Formatter
from typing import Any

from hangworthy.contract.check import show


def names_in(text: str) -> tuple[str, ...]:
    """Return the values that a sentence names, sorted.

    Raises ValueError for a brace that is left open, and for a value that is not named plainly.
    """
    return tuple(sorted({name for _, name in taken_apart(text) if name}))


def taken_apart(text: str) -> list[tuple[str, str | None]]:
    """Return the pieces of a sentence, each with the value that follows it. Raises ValueError as ``names_in`` does."""
    pieces = []
    for literal, name, form, conversion in Formatter().parse(text):
        if form or conversion or not (name is None or name.isidentifier()):
            raise ValueError("a value is named plainly, as in {value}, with no format behind it")
        pieces.append((literal, name))
    return pieces


def shown(value: Any) -> str:
    """Return a value as a sentence shows it; a figure with its unit is only put into words here, when a sentence names it."""
    return value if type(value) is str else show(*value) if type(value) is tuple else str(value)


class Template:
    """A sentence with named values, in any language; one without any costs nothing to fill.

    ``text`` is the sentence of one that names no value.
    """

    __slots__ = ("names", "pieces", "say", "text")

    def __init__(self, text: str, say: Callable[[Any], str] = shown) -> None:
        """Take the sentence apart; ``say`` puts each of its values into its language.

        Raises ValueError for a brace that is left open, and for a value that is not named plainly.
        """
        self.names, self.say = names_in(text), say
        # Literal text and names take turns; the sentence is joined of them, since it is filled far more often than it is read here.
        self.pieces: list[str] = [""]
        for literal, name in taken_apart(text):
            self.pieces[-1] += literal
            if name is not None:
                self.pieces += [name, ""]
        self.text = self.pieces[0]

    def fill(self, values: Mapping[str, Any]) -> str:
        """Return the sentence with its values. Raises KeyError naming a value that the check did not carry."""
        if not self.names:
            return self.text
        said = self.pieces.copy()
        for place in range(1, len(said), 2):
            said[place] = self.say(values[said[place]])
        return "".join(said)
