"""What can be asked of the history and the keys on the command line."""

import argparse

from hangworthy.history.port import SCOPES


def history_actions(into: argparse.ArgumentParser) -> None:
    """Describe the actions on the history."""
    actions = into.add_subparsers(dest="action", required=True, metavar="ACTION")
    one = _action(actions, "verify", "look whether every row is there and as it was written")
    _format(one)
    one = _action(actions, "replay", "ask everything again under today's packs and limits, and say what would be decided otherwise")
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
    one.add_argument("--scope", nargs="+", action="extend", choices=SCOPES, required=True, help="what the key may do")
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
