"""What can be planned on the command line."""

import argparse

PLAN = """\
FILE holds one request, as POST /plans/frames, /plans/wall or /plans/replacement takes it.

exit status:
  0  there is a plan
  1  works do not fit on the wall, or none can replace what dropped out; the answer says why
  2  the input, the venue, a setting or a pack is bad: every fault is on standard error

examples:
  hangworthy plan frames works.json
  hangworthy plan frames --format svg works.json > weeks.svg
  hangworthy plan frames --venue lobby.toml --format json - < works.json
  hangworthy plan wall lobby.json
  hangworthy plan wall --format svg lobby.json > lobby.svg
  hangworthy plan replacement free-place.json
"""


def plan_actions(into: argparse.ArgumentParser) -> None:
    """Describe the plans."""
    actions = into.add_subparsers(dest="action", required=True, metavar="PLAN")
    about = "share the stock frames out among works: who gets which, when, and what stays out"
    one = actions.add_parser("frames", help=about, description=about[0].upper() + about[1:] + ".", allow_abbrev=False)
    one.add_argument("file", metavar="FILE", help="a JSON file with works, and frames unless the venue lists them; - for standard input")
    one.add_argument("--venue", metavar="NAME-or-FILE", help="a venue's TOML file, or the name of one listed in HANGWORTHY_VENUES")
    one.add_argument(
        "--format", choices=("text", "json", "svg"), default="text", help="text for people (the default), json, svg: the weeks"
    )
    one.add_argument("--color", choices=("auto", "always", "never"), default="auto", help="colour in the text")
    _action(actions, "wall", "say where works hang on one wall, and where their hooks go", ("text", "json", "svg"))
    _action(actions, "replacement", "rank the works that could hang in a free place", ("text", "json"))


def _action(actions: "argparse._SubParsersAction[argparse.ArgumentParser]", name: str, about: str, formats: tuple[str, ...]) -> None:
    one = actions.add_parser(name, help=about, description=about[0].upper() + about[1:] + ".", allow_abbrev=False)
    one.add_argument("file", metavar="FILE", help="the request in JSON; - for standard input")
    one.add_argument("--venue", metavar="NAME-or-FILE", help="a venue's TOML file, or one in HANGWORTHY_VENUES; else the default venue")
    one.add_argument("--format", choices=formats, default="text", help="text for people (the default), json for programs, svg to draw it")
    one.add_argument("--color", choices=("auto", "always", "never"), default="auto", help="colour in the text (default: auto)")
