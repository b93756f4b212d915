"""What can be asked of the history and the keys on the command line."""

import argparse

from hangworthy.history.port import SCOPES
from hangworthy.origins import origin


def history_actions(into: argparse.ArgumentParser) -> None:
    """Describe the actions on the history."""
    actions = into.add_subparsers(dest="action", required=True, metavar="ACTION")
    one = _action(actions, "verify", "look whether every row is there and as it was written")
    _format(one)
    one = _action(
        actions, "replay", "ask everything again under today's packs and limits, and say which outcomes and findings would change"
    )
    _format(one)
    one = _action(actions, "export", "write everything as lines of JSON")
    one.add_argument("--output", metavar="FILE", help="write to this file instead of standard output")
    one = _action(actions, "import", "take in what was exported; what is there already stays as it is")
    one.add_argument("file", metavar="FILE", help="the exported lines; - for standard input")


def keys_actions(into: argparse.ArgumentParser) -> None:
    """Describe the actions on keys."""
    actions = into.add_subparsers(dest="action", required=True, metavar="ACTION")
    one = _action(actions, "add", "make a key and show it, once")
    one.add_argument("name", metavar="NAME", help="what the key is for, such as “the form”")
    kind = one.add_mutually_exclusive_group(required=True)
    kind.add_argument("--scope", nargs="+", action="extend", choices=SCOPES, help="what the key may do")
    kind.add_argument("--browser", action="store_true", help="a public key for a form: it only evaluates, and nothing is recorded for it")
    one.add_argument(
        "--origin",
        nargs="+",
        action="extend",
        type=_origin,
        metavar="URL",
        help="with --browser: the pages' origins, as https://form.example",
    )
    one.add_argument("--per-minute", type=_rate, metavar="NUMBER", help="with --browser: requests with the key in a minute (1200)")
    one.add_argument("--per-address", type=_rate, metavar="NUMBER", help="with --browser: requests of one client address in a minute (120)")
    one.add_argument("--venue", nargs="+", action="extend", metavar="NAME", help="the venues it may do it for; without it, every venue")
    one.add_argument("--days", type=_days, metavar="NUMBER", help="how long it lasts; without it, until it is revoked")
    _format(one)
    _format(_action(actions, "list", "list the keys, with their scopes, venues and last use"))
    one = _action(actions, "revoke", "make a key useless at once")
    one.add_argument("id", metavar="ID", help="the key's id, as keys list shows it")


def _action(actions: "argparse._SubParsersAction[argparse.ArgumentParser]", name: str, about: str) -> argparse.ArgumentParser:
    return actions.add_parser(name, help=about, description=about[0].upper() + about[1:] + ".", allow_abbrev=False)


def _format(into: argparse.ArgumentParser) -> None:
    into.add_argument("--format", choices=("text", "json"), default="text", help="text for people (the default), json for programs")


def _days(text: str) -> int:
    number = int(text)
    if not 1 <= number <= 36_500:
        raise argparse.ArgumentTypeError("a number of days from 1 to 36500")
    return number


MOST_RATE = 1_000_000


def _rate(text: str) -> int:
    number = int(text)
    if not 1 <= number <= MOST_RATE:
        raise argparse.ArgumentTypeError(f"a number of requests from 1 to {MOST_RATE}")
    return number


def _origin(text: str) -> str:
    try:
        return origin(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(str(error)) from None
