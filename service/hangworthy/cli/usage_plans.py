"""What can be asked of plans on the command line."""

import argparse

PLANS = """\
A FILE holds one request in JSON, as the service takes it; - stands for standard input.

exit status:
  0  there is a plan
  1  the works do not fit, or none can replace what dropped out; the answer says why
  2  the input, the venue, a setting or a pack is bad: every fault is on standard error

examples:
  hangworthy plan frames works.json
  hangworthy plan frames --format svg works.json > weeks.svg
  hangworthy plan wall lobby.json
  hangworthy plan wall --format svg lobby.json > lobby.svg
  hangworthy plan replacement free-place.json
"""


def plan_actions(into: argparse.ArgumentParser) -> None:
    """Describe the plans."""
    actions = into.add_subparsers(dest="action", required=True, metavar="PLAN")
    _action(actions, "frames", "share the stock frames out among works: who gets which, when, and what stays out", ("text", "json", "svg"))
    _action(actions, "wall", "say where works hang on one wall, and where their hooks go", ("text", "json", "svg"))
    _action(actions, "replacement", "rank the works that could hang in a free place", ("text", "json"))


def _action(actions: "argparse._SubParsersAction[argparse.ArgumentParser]", name: str, about: str, formats: tuple[str, ...]) -> None:
    one = actions.add_parser(name, help=about, description=about[0].upper() + about[1:] + ".", allow_abbrev=False)
    one.add_argument("file", metavar="FILE", help="the request in JSON; - for standard input")
    one.add_argument("--venue", metavar="NAME-or-FILE", help="a venue's TOML file, or one in HANGWORTHY_VENUES; else the default venue")
    drawn = ", svg to draw it" if "svg" in formats else ""
    one.add_argument("--format", choices=formats, default="text", help=f"text for people (the default), json for programs{drawn}")
    one.add_argument("--color", choices=("auto", "always", "never"), default="auto", help="colour in the text (default: auto)")
