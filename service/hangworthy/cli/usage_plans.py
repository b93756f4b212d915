"""What can be planned on the command line."""

import argparse

PLAN = """\
FILE holds one request, as POST /plans/frames takes it: {"frames": [...], "works": [...]}.

examples:
  hangworthy plan frames works.json
  hangworthy plan frames --format svg works.json > weeks.svg
  hangworthy plan frames --venue lobby.toml --format json - < works.json
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
