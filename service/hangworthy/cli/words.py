"""The words around answers for people: one table for each language, read once."""

import tomllib
from collections.abc import Mapping
from functools import cache
from pkgutil import get_data


class Words:
    """One language's words."""

    def __init__(self, table: Mapping[str, str]) -> None:
        """Hold the table."""
        self.table = table

    def __call__(self, key: str, **named: object) -> str:
        """Return words, filled. Raises KeyError for a key that the table has not."""
        return self.table[key].format_map(named)


@cache
def words_in(language: str) -> Words:
    """Return the words of a language. Raises FileNotFoundError for one that nobody speaks."""
    return Words(tomllib.loads((get_data(__package__ or "", f"words.{language}.toml") or b"").decode("utf-8")))
