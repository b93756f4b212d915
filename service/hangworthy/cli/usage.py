"""What can be asked on the command line: every command and option with its help and an example to copy."""

import argparse
from collections.abc import Iterable

from hangworthy import __version__
from hangworthy.cli.usage_keeping import history_actions, keys_actions
from hangworthy.cli.usage_plans import PLAN, plan_actions
from hangworthy.contract.effect import Stage

FAIL_ON = ("prepare", "repair", "refuse", "unsettled")
_ABOUT = "Is this artwork fit to hang there, what has to be done first, and why."
_END = """\
examples:
  hangworthy check works.json                 what each work needs, for people
  hangworthy check --format json - < works.json
  hangworthy serve --demo                     the service, with an invented venue
  hangworthy rules PACK.RULE                  what a rule asks, and where its limit is from

Settings come from the environment: HANGWORTHY_VENUES, HANGWORTHY_DEFAULT_VENUE, HANGWORTHY_PACKS,
HANGWORTHY_ON_FAULT (refuse or report), HANGWORTHY_HOST, HANGWORTHY_PORT, HANGWORTHY_CORS_ORIGINS,
HANGWORTHY_MAX_BODY_BYTES, HANGWORTHY_LOAD_SECONDS, HANGWORTHY_DATABASE, HANGWORTHY_LEASE_SECONDS, HANGWORTHY_LOG_LEVEL.
NO_COLOR is respected.
"""
_CHECK = """\
A FILE holds one request {"stage": "offer", "works": [...]}, one work, or a list of works, in JSON.

exit status:
  0  every work is ready, or the artist can put it right before drop-off
  1  a work is worse than that (choose with --fail-on)
  2  the input, the venue, a setting or a pack is bad: every fault is on standard error,
     with its file, the place in it as a JSON Pointer, and what would be right

examples:
  hangworthy check works.json
  hangworthy check --stage arrival --venue lobby.toml monday.json tuesday.json
  echo '{"ref": "a", "width_mm": "63 in"}' | hangworthy check -
  hangworthy check --format json --fail-on unsettled works.json
"""
_PACKS = "examples:\n  hangworthy packs\n  hangworthy packs --format json\n"
_LIMITS = "examples:\n  hangworthy limits\n  hangworthy limits --venue lobby.toml\n"
_RULES = "examples:\n  hangworthy rules PACK.RULE\n  hangworthy rules --format json PACK.RULE\n"
_PUBLISHED = """\
exit status: 1 when a formula differs from what was printed

examples:
  hangworthy published
  hangworthy published --pack PACK
"""
_SERVE = "examples:\n  hangworthy serve --demo\n  hangworthy serve --host 0.0.0.0 --port 80 --venue lobby.toml clinic.toml\n"
_OPENAPI = "examples:\n  hangworthy openapi\n  hangworthy openapi --output openapi\n"
_HISTORY = """\
The database is the one in HANGWORTHY_DATABASE; the service may go on running.

exit status of verify: 0 when all is as it was written, 1 when something is missing or altered

examples:
  hangworthy history verify
  hangworthy history export --output history.jsonl
  HANGWORTHY_DATABASE=postgresql://user@host/name hangworthy history import history.jsonl
"""
_KEYS = """\
The database is the one in HANGWORTHY_DATABASE; a running service notices at once.

examples:
  hangworthy keys add "the form" --scope evaluate --venue lobby clinic --days 365
  hangworthy keys list
  hangworthy keys revoke 3f9a0c51d2e4
"""


def parser(commands: Iterable[str]) -> argparse.ArgumentParser:
    """Return the parser for all commands; each of ``commands`` must be described here."""
    top = _parser_like(argparse.ArgumentParser, prog="hangworthy", description=_ABOUT, epilog=_END)
    top.add_argument("--version", action="version", version=f"hangworthy {__version__}", help="show the version and end")
    below = top.add_subparsers(dest="command", required=True, metavar="COMMAND")
    describe = {
        "check": (_check, "say of each work what it needs before it can hang", _CHECK),
        "packs": (_listing, "list the installed rule packs, their rules and what is wrong with them", _PACKS),
        "limits": (_limits, "list every limit with its value, unit, range and source", _LIMITS),
        "rules": (_rules, "explain one rule: question, what is measured, limits, source", _RULES),
        "published": (_published, "recompute the printed values that the formulas are held against", _PUBLISHED),
        "plan": (plan_actions, "share out frames, plan a wall, or choose what replaces a work", PLAN),
        "serve": (_serve, "run the service", _SERVE),
        "openapi": (_openapi, "write the OpenAPI document of the service with the installed packs", _OPENAPI),
        "history": (history_actions, "verify, export or import what is kept of evaluations", _HISTORY),
        "keys": (keys_actions, "make, list or revoke the keys of forms and tools", _KEYS),
    }
    for name in commands:
        fill, about, end = describe[name]
        fill(_parser_like(below.add_parser, name, help=about, description=about[0].upper() + about[1:] + ".", epilog=end))
    return top


def _parser_like(make: object, *names: str, **details: str) -> argparse.ArgumentParser:
    """Return a parser whose examples keep their lines, and whose options may not be cut short (scripts would break later)."""
    made: argparse.ArgumentParser = make(*names, formatter_class=argparse.RawDescriptionHelpFormatter, allow_abbrev=False, **details)  # type: ignore[operator]
    return made


def _format(into: argparse.ArgumentParser, json_help: str = "json for programs") -> None:
    into.add_argument("--format", choices=("text", "json"), default="text", help=f"text for people (the default), {json_help}")
    into.add_argument(
        "--color",
        choices=("auto", "always", "never"),
        default="auto",
        help="colour in the text: auto (the default) only on a terminal and without NO_COLOR",
    )


def _venue(into: argparse.ArgumentParser) -> None:
    into.add_argument(
        "--venue",
        metavar="NAME-or-FILE",
        help="a venue's TOML file, or the name of one listed in HANGWORTHY_VENUES; without it the default venue",
    )


def _check(into: argparse.ArgumentParser) -> None:
    into.add_argument("files", nargs="+", metavar="FILE", help="a JSON file of works; - for standard input")
    into.add_argument(
        "--stage", choices=[stage.value for stage in Stage], help="where the works are; without it the request's own, or offer"
    )
    _venue(into)
    _format(into, "json for programs: one evaluation per FILE, one to a line")
    into.add_argument(
        "--fail-on",
        choices=FAIL_ON,
        default="repair",
        help="end with 1 from this outcome on (default: repair); unsettled: as repair, and also while a work is not settled",
    )


def _listing(into: argparse.ArgumentParser) -> None:
    _format(into)


def _limits(into: argparse.ArgumentParser) -> None:
    _venue(into)
    _format(into)


def _rules(into: argparse.ArgumentParser) -> None:
    into.add_argument("code", metavar="CODE", help="the rule's code, such as hangworthy packs lists it")
    _format(into)


def _published(into: argparse.ArgumentParser) -> None:
    into.add_argument("--pack", metavar="NAME", help="only the rows of this pack")
    _format(into)


def _serve(into: argparse.ArgumentParser) -> None:
    into.add_argument("--host", metavar="ADDRESS", help="the address to listen on (default: HANGWORTHY_HOST, or 127.0.0.1)")
    into.add_argument("--port", type=int, metavar="NUMBER", help="the port (default: HANGWORTHY_PORT, or 8470); 0 takes a free one")
    into.add_argument("--venue", nargs="+", metavar="FILE", default=[], help="TOML files of venues; the first is the default venue")
    into.add_argument("--demo", action="store_true", help="load an invented venue as the default one and print a call to try")


def _openapi(into: argparse.ArgumentParser) -> None:
    into.add_argument("--output", metavar="PATH", help="write to this file, or document and examples into this folder")
