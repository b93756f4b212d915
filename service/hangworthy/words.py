"""Words around answers: a table of them for each language, in a file beside what shows them."""

import tomllib
from collections.abc import Mapping
from pkgutil import get_data
from typing import Any


class Words:
    """One language's words."""

    def __init__(self, table: Mapping[str, Any]) -> None:
        """Hold the table."""
        self.table = table

    def __call__(self, key: str, **named: object) -> str:
        """Return the words of a key (“step.clean” for one in a group), filled. A name in an open group that nobody worded stays itself."""
        group, _, name = key.rpartition(".")
        words = self.table[group].get(name, name) if group else self.table[name]
        return str(words).format(**named) if named else str(words)


def table_of(package: str, language: str) -> dict[str, Any]:
    """Return the words that a package keeps in a language. Raises FileNotFoundError for a language that it does not speak."""
    return tomllib.loads((get_data(package, f"words.{language}.toml") or b"").decode("utf-8"))
