"""The museum's lines and the labelled media, as the tests of the readings use them."""

import csv
from functools import cache
from pathlib import Path

DATA = Path(__file__).parent / "data"
HALVES = {"development": 0, "held out": 1}  # odd lines, even lines; the first line is odd


@cache
def rows(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, delimiter="\t", quoting=csv.QUOTE_NONE))


def museum(half: str) -> list[dict[str, str]]:
    """The lines of one half that have dimensions."""
    return [row for row in rows("museum_lines.tsv")[HALVES[half] :: 2] if row["dimensions"]]


def labels(half: str) -> list[dict[str, str]]:
    return rows("medium_labels.tsv")[HALVES[half] :: 2]
