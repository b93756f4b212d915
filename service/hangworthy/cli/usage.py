"""What can be asked on the command line: every command and option with its help and an example to copy."""

import argparse
from collections.abc import Iterable, Sequence

from hangworthy import __version__
from hangworthy.cli.usage_keeping import history_actions, keys_actions
from hangworthy.cli.usage_plans import PLANS, plan_actions
from hangworthy.contract.effect import Stage
from hangworthy.contract.languages import DEFAULT_LANGUAGE, LANGUAGES
from hangworthy.contract.reading import CONVENTIONS

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
HANGWORTHY_MAX_BODY_BYTES, HANGWORTHY_LOAD_SECONDS, HANGWORTHY_DATABASE, HANGWORTHY_LEASE_SECONDS, HANGWORTHY_LOG_LEVEL,
HANGWORTHY_BATCH_PROCESSES, HANGWORTHY_TRUSTED_PROXIES; HANGWORTHY_SERVER and HANGWORTHY_KEY for check.
NO_COLOR is respected.
"""
_CHECK = """\
A FILE holds one request {"stage": "offer", "works": [...]}, one work, or a list of works, in JSON; or such values in JSON Lines, one
to a line; or a row for each work in CSV or XLSX, under a header that names facts (width_mm, canvas.billow_mm, canvas.corner_gaps_mm.0)
or says what they are called (Width, Breite).
A list in one cell is parted by “;”. An empty cell is a fact that is not known. “hangworthy template” writes such a sheet, empty.
Works of one request or one sheet are compared with each other (prices, editions); those of several lines or files are not.

exit status:
  0  every work is ready, or the artist can put it right before drop-off
  1  a work is worse than that (choose with --fail-on)
  2  the input, the venue, a setting or a pack is bad: every fault is on standard error,
     with its file, the place in it as a JSON Pointer, and what would be right

examples:
  hangworthy check works.json
  hangworthy check --lang de works.json
  hangworthy check --stage arrival --venue lobby.toml monday.json tuesday.json
  echo '{"ref": "a", "width_mm": "63 in"}' | hangworthy check -
  hangworthy check --format json --fail-on unsettled works.json
  hangworthy check offers/ "more/*.xlsx" --map "Breite=width_mm" --map "Notes=" --format csv > answers.csv
  hangworthy check works.jsonl --server https://works.example --format junit > answers.xml
"""
_TEMPLATE = """\
At the offer, the sheet holds what artists can tell; from the arrival on, what the coordinator looks up and measures as well.

examples:
  hangworthy template --format xlsx --kind stretched-canvas --output canvases.xlsx
  hangworthy template --format csv --stage arrival > bench.csv
  hangworthy template --format xlsx --lang de --output werke.xlsx
"""
_READ = """\
examples:
  hangworthy read "24 x 36 in"
  hangworthy read "61 × 91,4 cm" --convention height-first --medium "oil on linen"
  hangworthy read --medium "Screenprint on paper" --edition "12/50" --format json
  hangworthy read "60 x 40 cm" --medium "Öl auf Malkarton" --lang de
"""
_SHEET = """\
Two pages for each work: one for the artist (what is fine, what to do first, by when), one for the bench at arrival.

examples:
  hangworthy sheet works.json --output sheet.html
  hangworthy sheet works.json --work tide-7 --lang de --paper letter --output sheet.pdf
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
exit status of replay: 0 when every outcome would be as it was (findings that would differ are told), 1 when one would not

examples:
  hangworthy history verify
  hangworthy history replay
  hangworthy history export --output history.jsonl
  HANGWORTHY_DATABASE=postgresql://user@host/name hangworthy history import history.jsonl
"""
_KEYS = """\
The database is the one in HANGWORTHY_DATABASE; a running service notices at once.

examples:
  hangworthy keys add "the form" --scope evaluate --venue lobby clinic --days 365
  hangworthy keys add "hints" --browser --origin https://form.example --venue lobby
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
        "template": (_template, "write an empty sheet with a column for each fact that is due", _TEMPLATE),
        "read": (_read, "read what somebody wrote of size, medium and edition into facts", _READ),
        "sheet": (_sheet, "write preparation sheets of works, as HTML or PDF", _SHEET),
        "packs": (_listing, "list the installed rule packs, their rules and what is wrong with them", _PACKS),
        "limits": (_limits, "list every limit with its value, unit, range and source", _LIMITS),
        "rules": (_rules, "explain one rule: question, what is measured, limits, source", _RULES),
        "published": (_published, "recompute the printed values that the formulas are held against", _PUBLISHED),
        "plan": (plan_actions, "share frames out among works, plan a wall, or choose what replaces a work", PLANS),
        "serve": (_serve, "run the service", _SERVE),
        "openapi": (_openapi, "write the OpenAPI document of the service with the installed packs", _OPENAPI),
        "history": (history_actions, "verify, replay, export or import what is kept of evaluations", _HISTORY),
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


def _format(into: argparse.ArgumentParser, json_help: str = "json for programs", forms: Sequence[str] = ("text", "json")) -> None:
    into.add_argument("--format", choices=forms, default="text", help=f"text for people (the default); {json_help}")
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
    into.add_argument("files", nargs="+", metavar="FILE", help="a file of works, a folder or a pattern of such; - for standard input")
    into.add_argument(
        "--stage", choices=[stage.value for stage in Stage], help="where the works are; without it the request's own, or offer"
    )
    into.add_argument("--lang", choices=LANGUAGES, help="the language of the sentences; without it the request's own, or en")
    _venue(into)
    _check_forms(into)
    into.add_argument(
        "--fail-on",
        choices=FAIL_ON,
        default="repair",
        help="end with 1 from this outcome on (default: repair); unsettled: as repair, and also while a work is not settled",
    )


def _check_forms(into: argparse.ArgumentParser) -> None:
    _format(
        into,
        "json: an evaluation to a line, for each FILE; jsonl, csv: a work to a line; junit: XML; github: annotations",
        ("text", "json", "jsonl", "csv", "junit", "github"),
    )
    into.add_argument(
        "--input", choices=("auto", "json", "jsonl", "csv", "xlsx"), default="auto", help="what the files are; auto goes by their names"
    )
    into.add_argument(
        "--map", metavar="NAME=FACT-or-FILE", action="append", default=[],
        help="the column NAME holds this fact (no fact: pass it over); or a JSON or TOML file of such pairs; may be given several times",
    )  # fmt: skip
    into.add_argument("--sheet", metavar="NAME", help="the sheet of an XLSX file; without it the first one that is not hidden")
    into.add_argument("--server", metavar="URL", help="ask this service instead of the packs here (or HANGWORTHY_SERVER)")
    into.add_argument("--key", metavar="KEY", help="the key to the service; HANGWORTHY_KEY hides it from other users of the computer")
    into.add_argument("--record", action="store_true", help="let the service record the evaluations; without it nothing is kept")


def _template(into: argparse.ArgumentParser) -> None:
    into.add_argument("--format", choices=("csv", "xlsx"), required=True, help="csv, with the questions in a second row; or xlsx")
    into.add_argument("--output", metavar="FILE", help="write to this file instead of standard output")
    into.add_argument("--kind", metavar="KIND", help="only what concerns works of this kind, such as stretched-canvas")
    into.add_argument(
        "--stage", choices=[stage.value for stage in Stage], default=Stage.OFFER.value, help="what is due up to this stage (default: offer)"
    )
    into.add_argument("--lang", choices=LANGUAGES, default=DEFAULT_LANGUAGE, help="the language of questions and choices (default: en)")
    _venue(into)


def _read(into: argparse.ArgumentParser) -> None:
    into.add_argument("dimensions", nargs="?", metavar="DIMENSIONS", help="a line of dimensions, in quotation marks")
    into.add_argument("--medium", metavar="TEXT", help="what it is made of")
    into.add_argument("--edition", metavar="TEXT", help="which copy it is, of how many")
    into.add_argument("--convention", choices=CONVENTIONS, help="which number the line writes first, where that is agreed")
    into.add_argument("--lang", choices=LANGUAGES, default=DEFAULT_LANGUAGE, help="the language of the sentences (default: en)")
    _format(into)


def _sheet(into: argparse.ArgumentParser) -> None:
    into.add_argument("file", metavar="FILE", help="a JSON file of works; - for standard input")
    into.add_argument("--output", metavar="PATH", required=True, help="the file to write; its name ends in .html or .pdf")
    into.add_argument("--work", metavar="REF", help="only this work; without it, every work of the file")
    into.add_argument(
        "--stage", choices=[stage.value for stage in Stage], help="where the works are; without it the request's own, or offer"
    )
    into.add_argument("--lang", choices=LANGUAGES, default=DEFAULT_LANGUAGE, help="the language (default: en)")
    into.add_argument("--paper", choices=("a4", "letter"), default="a4", help="the size of paper (default: a4)")
    _venue(into)


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
