"""The command line: the same answers as the service gives, with no server. What a command needs is only imported when it runs:
``check`` knows no web stack, JSON output knows no tables.
"""

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import msgspec

from hangworthy.discovery import discover
from hangworthy.engine.catalogue import Catalogue, build_catalogue
from hangworthy.engine.fault import PackFaults, VenueError
from hangworthy.engine.languages import with_languages
from hangworthy.settings import Settings, SettingsError, settings_from

if TYPE_CHECKING:
    from rich.console import Console

OK, NOT_FIT, BAD = 0, 1, 2
READER_GONE = 141  # as a shell reports any filter whose reader has gone; 0 or 1 would be an answer about the works

Command = Callable[[argparse.Namespace, Settings], int]


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; return 0 (fit), 1 (not fit) or 2 (bad input, venue, setting or pack)."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")  # an old terminal shows “?” for a sign it lacks, instead of a trace
    from hangworthy.cli.usage import parser

    arguments = parser(COMMANDS).parse_args(argv)
    try:
        code = COMMANDS[arguments.command](arguments, settings_from(os.environ))
        sys.stdout.flush()
        return code
    except BrokenPipeError:
        return _quietly()
    except (PackFaults, SettingsError, VenueError, CommandError, OSError) as error:
        complain(str(error))
        return BAD
    except KeyboardInterrupt:
        return 130


class CommandError(ValueError):
    """Raised when a command cannot be carried out as asked; the message has one fault to a line."""


def complain(text: str) -> None:
    """Write faults to standard error, a line each, with nothing in them that could steer a terminal."""
    for line in text.split("\n"):
        print("".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in line), file=sys.stderr)


def _quietly() -> int:
    """End as a filter does whose reader has gone: without a trace, also from the interpreter's own last flush."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return READER_GONE


def catalogue_of(settings: Settings, *, tolerate: bool = False) -> Catalogue:
    """Return the installed packs, checked. Raises PackFaults unless faults are to be tolerated."""
    installed, faults = discover(settings.packs, load_seconds=settings.load_seconds)
    return build_catalogue(installed, faults, tolerate=tolerate or settings.on_fault == "report")


def console_of(arguments: argparse.Namespace) -> "Console":
    """Return the console that the arguments ask for, on standard output."""
    from hangworthy.cli.report import console

    return console(sys.stdout, arguments.color, os.environ)


def write_json(content: Any) -> int:
    """Write plain data as JSON for programs, indented; return 0."""
    sys.stdout.write(msgspec.json.format(msgspec.json.encode(content), indent=2).decode() + "\n")
    return OK


def check(arguments: argparse.Namespace, settings: Settings) -> int:
    """Evaluate works from files, folders or standard input."""
    from hangworthy.cli.checking import check as checked

    return checked(arguments, settings)


def template(arguments: argparse.Namespace, settings: Settings) -> int:
    """Write an empty sheet to fill in."""
    from hangworthy.cli.template import template as written

    return written(arguments, settings)


def read(arguments: argparse.Namespace, settings: Settings) -> int:
    """Read free text into facts."""
    from hangworthy.cli.reading import read as told

    return told(arguments, settings)


def packs(arguments: argparse.Namespace, settings: Settings) -> int:
    """List packs, their rules and faults; with faults that the service would refuse, end with 2."""
    from hangworthy.cli.listings import packs_listed

    catalogue = with_languages(catalogue_of(settings, tolerate=True), tolerate=True)
    if arguments.format == "json":
        write_json(packs_listed(catalogue))
    else:
        from hangworthy.cli.tables import show_packs

        show_packs(console_of(arguments), packs_listed(catalogue))
    if catalogue.faults and settings.on_fault == "refuse":
        complain("\n".join(map(str, catalogue.faults)))
        return BAD
    return OK


def limits(arguments: argparse.Namespace, settings: Settings) -> int:
    """List the limits, as they are in force at a venue."""
    from hangworthy.cli.listings import limits_listed
    from hangworthy.cli.submissions import Checker

    catalogue = catalogue_of(settings)
    listed = limits_listed(Checker(catalogue, settings, arguments.venue).ruleset(None))
    if arguments.format == "json":
        return write_json(listed)
    from hangworthy.cli.tables import show_limits

    show_limits(console_of(arguments), listed)
    return OK


def rules(arguments: argparse.Namespace, settings: Settings) -> int:
    """Explain one rule."""
    from hangworthy.cli.listings import rule_explained
    from hangworthy.engine.reading import nearest

    catalogue = catalogue_of(settings)
    explained = rule_explained(catalogue, arguments.code)
    if not explained:
        codes = sorted({entry.code for entry in catalogue.entries})
        hint = nearest(arguments.code, codes) or f" There are: {', '.join(codes) or 'none'}."
        raise CommandError(f"there is no rule “{arguments.code[:80]}”.{hint}")
    if arguments.format == "json":
        return write_json(explained)
    from hangworthy.cli.tables import show_rule

    show_rule(console_of(arguments), explained)
    return OK


def published(arguments: argparse.Namespace, settings: Settings) -> int:
    """Recompute the printed values that the packs' formulas are held against; end with 1 when one differs."""
    from hangworthy.engine.reading import nearest
    from hangworthy.rows import RowError, compare

    chosen = {one.pack.name: one.pack for one in catalogue_of(settings).installed}
    if arguments.pack is not None and arguments.pack not in chosen:
        raise CommandError(f"there is no pack “{arguments.pack[:80]}”.{nearest(arguments.pack, list(chosen))}")
    try:
        found = compare(pack for name, pack in chosen.items() if arguments.pack in (None, name))
    except RowError as error:
        raise CommandError(str(error)) from None
    if arguments.format == "json":
        write_json(found)
    else:
        from hangworthy.cli.tables import show_published

        show_published(console_of(arguments), found)
    return OK if all(one.agrees for one in found) else NOT_FIT


def openapi(arguments: argparse.Namespace, settings: Settings) -> int:
    """Write the OpenAPI document of the installed packs."""
    from hangworthy.api.openapi import document, dump, write

    catalogue = catalogue_of(settings)
    if arguments.output is None:
        sys.stdout.buffer.write(dump(document(catalogue)))
    elif Path(arguments.output).is_dir():
        write(catalogue, Path(arguments.output))
    else:
        Path(arguments.output).write_bytes(dump(document(catalogue)))
    return OK


def serve(arguments: argparse.Namespace, settings: Settings) -> int:
    """Run the service until it is stopped."""
    from hangworthy.cli.serving import run, settings_for

    venues = tuple(map(Path, arguments.venue))

    def say(text: str) -> None:
        print(text, flush=True)

    if not arguments.demo:
        return run(settings_for(settings, arguments.host, arguments.port, venues), say)
    from tempfile import TemporaryDirectory

    from hangworthy.demo import demo_call

    with TemporaryDirectory(prefix="hangworthy-demo-") as folder:  # a demo leaves nothing behind
        venue = _demo_venue(settings, Path(folder))
        chosen = settings_for(settings, arguments.host, arguments.port, (venue, *venues), Path(folder))
        return run(chosen, say, demo_call(), demo=True, lent=chosen.database != settings.database)


def _demo_venue(settings: Settings, folder: Path) -> Path:
    """Write the demo's venue as the installed packs understand it, and return its file."""
    from hangworthy.demo import demo_venue_text

    catalogue = catalogue_of(settings, tolerate=True)
    file = folder / "venue.toml"
    file.write_text(demo_venue_text(catalogue.schema.by_path, {one.pack.name for one in catalogue.installed}), encoding="utf-8")
    return file


def keeping(arguments: argparse.Namespace, settings: Settings) -> int:
    """Do something with the history or the keys; the database's drivers are imported only now."""
    from hangworthy.cli.keeping import ACTIONS

    return ACTIONS[arguments.command][arguments.action](arguments, settings)


def sheet(arguments: argparse.Namespace, settings: Settings) -> int:
    """Write preparation sheets."""
    from hangworthy.cli.sheets import sheet as written

    return written(arguments, settings)


def plan(arguments: argparse.Namespace, settings: Settings) -> int:
    """Make a plan; the solvers are imported only now."""
    from hangworthy.cli.planning import plan as made

    return made(arguments, settings)


COMMANDS: dict[str, Command] = {
    "check": check,
    "template": template,
    "read": read,
    "sheet": sheet,
    "packs": packs,
    "limits": limits,
    "rules": rules,
    "published": published,
    "plan": plan,
    "serve": serve,
    "openapi": openapi,
    "history": keeping,
    "keys": keeping,
}
