"""hangworthy read: what ``POST /readings`` answers, for one line."""

import argparse
from typing import TYPE_CHECKING

import msgspec

from hangworthy.cli.commands import OK, CommandError, catalogue_of, console_of, write_json
from hangworthy.contract.reading import MOST_CHARACTERS, AsWritten, TextRead
from hangworthy.engine.languages import language_of
from hangworthy.engine.written import Written
from hangworthy.settings import Settings

if TYPE_CHECKING:
    from rich.console import Console

TEXTS = ("dimensions", "medium", "edition")


def read(arguments: argparse.Namespace, settings: Settings) -> int:
    """Read the texts of the command and print what they say. Raises CommandError for texts that are none."""
    given = {name: getattr(arguments, name) for name in TEXTS}
    if faults := _faults(given):
        raise CommandError("\n".join(faults))
    texts = {name: text for name, text in given.items() if text}
    catalogue = catalogue_of(settings)
    written = Written(catalogue.schema, language_of(catalogue, arguments.lang))
    told = written.read(msgspec.convert({**texts, "convention": arguments.convention}, AsWritten))
    if arguments.format == "json":
        return write_json(told)
    show_reading(console_of(arguments), told, written)
    return OK


def _faults(given: dict[str, str | None]) -> list[str]:
    if not any(given.values()):
        return ['write what to read, such as "24 x 36 in", or give --medium or --edition']
    return [
        f"the {name} may have at most {MOST_CHARACTERS} characters; {len(text)} were given"
        for name, text in given.items()
        if text is not None and len(text) > MOST_CHARACTERS
    ]


def show_reading(screen: "Console", told: TextRead, written: Written) -> None:
    """Print a reading for people, in the language it was read in: what was read and why, then what is asked."""
    from hangworthy.cli.report import as_in_a_file, clean, open_in
    from hangworthy.cli.words import words_in

    say = words_in(written.language.code)
    for fact in told.facts:
        value = as_in_a_file(fact.value, written.shown(fact)) if isinstance(fact.value, str) else written.shown(fact)
        screen.print(clean(f"{fact.fact}  {value}", "bold"))
        why = say("read_from", text=fact.text, reason=fact.reason, percent=f"{fact.confidence * 100:.0f}")
        screen.print(clean(f"    {why}"), soft_wrap=True)
    for line in open_in(told, say):
        screen.print(clean(line), soft_wrap=True)
