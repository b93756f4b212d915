"""What can be asked of the history and the keys on the command line."""

import argparse
from urllib.parse import urlsplit

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
    kind = one.add_mutually_exclusive_group(required=True)
    kind.add_argument("--scope", nargs="+", action="extend", choices=SCOPES, help="what the key may do")
    kind.add_argument("--browser", action="store_true", help="a public key for a form: it only evaluates, and nothing is recorded for it")
    one.add_argument(
        "--origin",
        nargs="+",
        action="extend",
        type=origin,
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


_DEFAULT_PORTS = {"http": 80, "https": 443}


def origin(text: str) -> str:
    """Return an origin as browsers state it (RFC 6454, 6.2). Raises ArgumentTypeError with what would be right."""
    try:
        parsed = urlsplit(text)
        port = parsed.port
        host = (parsed.hostname or "").encode("idna").decode()
    except ValueError:  # a port that is none, or a name that no host can have
        raise argparse.ArgumentTypeError(f"“{text[:80]}” is no origin; write https://form.example") from None
    if parsed.scheme not in _DEFAULT_PORTS or not host or not all(sign.isalnum() or sign in ".-:_" for sign in host):
        raise argparse.ArgumentTypeError(f"“{text[:80]}” is no origin; write it with http:// or https://, such as https://form.example")
    shown = f"[{host}]" if ":" in host else host
    made = f"{parsed.scheme}://{shown}" + ("" if port in (None, _DEFAULT_PORTS[parsed.scheme]) else f":{port}")
    if parsed.path not in ("", "/") or parsed.query or parsed.fragment or "@" in parsed.netloc:
        raise argparse.ArgumentTypeError(f"an origin has no path and no name in it; write {made}")
    return made
