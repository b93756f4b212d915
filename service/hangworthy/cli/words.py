"""The words around answers for people: one table for each language, read once."""

from functools import cache

from hangworthy.words import Words, table_of


@cache
def words_in(language: str) -> Words:
    """Return the words of a language. Raises FileNotFoundError for one that nobody speaks."""
    return Words(table_of(__package__ or "", language))
