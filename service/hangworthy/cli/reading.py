"""hangworthy read: what ``POST /readings`` answers, for one line."""

import argparse
from typing import TYPE_CHECKING

import msgspec

from hangworthy.cli.commands import OK, CommandError, catalogue_of, console_of, write_json
from hangworthy.contract.reading import MOST_CHARACTERS, AsWritten, TextRead
from hangworthy.engine.written import Written, shown
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
    written = Written(catalogue_of(settings).schema)
    told = written.read(msgspec.convert({**texts, "convention": arguments.convention}, AsWritten))
    if arguments.format == "json":
        return write_json(told)
    show_reading(console_of(arguments), told)
    return OK


def _faults(given: dict[str, str | None]) -> list[str]:
    if not any(given.values()):
        return ['write what to read, such as "24 x 36 in", or give --medium or --edition']
    return [
        f"the {name} may have at most {MOST_CHARACTERS} characters; {len(text)} were given"
        for name, text in given.items()
        if text is not None and len(text) > MOST_CHARACTERS
    ]


def show_reading(screen: "Console", told: TextRead) -> None:
    """Print a reading for people: what was read and why, then what is asked."""
    from hangworthy.cli.report import clean, open_in

    for fact in told.facts:
        screen.print(clean(f"{fact.fact}  {shown(fact.value, fact.unit)}", "bold"))
        screen.print(clean(f"    “{fact.text}”: {fact.reason} Confidence {fact.confidence:.0%}."), soft_wrap=True)
    for line in open_in(told):
        screen.print(clean(line), soft_wrap=True)
