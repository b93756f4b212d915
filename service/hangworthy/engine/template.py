"""Sentence templates: text with named values."""

from collections.abc import Callable, Mapping
from string import Formatter
from typing import Any

from hangworthy.contract.check import show


def names_in(text: str) -> tuple[str, ...]:
    """Return the values that a sentence names, sorted. Raises ValueError for a brace that is left open."""
    return tuple(sorted({name for _, name, _, _ in Formatter().parse(text) if name}))


class Template:
    """A sentence with named values; one without any costs nothing to fill."""

    __slots__ = ("names", "text")

    def __init__(self, text: str) -> None:
        """Note which values the sentence names. Raises ValueError for a brace that is left open."""
        self.text = text
        self.names = names_in(text)

    def fill(self, values: Mapping[str, Any]) -> str:
        """Return the sentence with its values; a figure with its unit is only put into words if the sentence names it.

        Raises KeyError naming a value that the check did not carry.
        """
        if not self.names:
            return self.text
        shown = {name: values[name] for name in self.names}
        for name, value in shown.items():
            if type(value) is tuple:
                shown[name] = show(*value)
        return self.text.format_map(shown)


class SpokenTemplate(Template):
    """A sentence in another language; ``say`` puts each of its values into that language."""

    __slots__ = ("say",)

    def __init__(self, say: Callable[[Any], str], text: str) -> None:
        """Note which values the sentence names, and who says them. Raises ValueError for a brace that is left open."""
        super().__init__(text)
        self.say = say

    def fill(self, values: Mapping[str, Any]) -> str:
        """Return the sentence with its values, each said in its language. Raises KeyError as the English one does."""
        if not self.names:
            return self.text
        return self.text.format_map({name: self.say(values[name]) for name in self.names})
