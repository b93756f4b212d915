"""Sentence templates: text with named values."""

from collections.abc import Mapping
from string import Formatter
from typing import Any

from hangworthy.contract.check import show


class Template:
    """A sentence with named values; one without any costs nothing to fill."""

    __slots__ = ("names", "text")

    def __init__(self, text: str) -> None:
        """Note which values the sentence names. Raises ValueError for a brace that is left open."""
        self.text = text
        self.names = tuple(sorted({name for _, name, _, _ in Formatter().parse(text) if name}))

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
