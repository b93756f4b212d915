"""How long it takes to read free text, on one core.

Run it with ``python tests/benchmarks/bench_readings.py``; the last line is one JSON object.

- ``hundred_thousand_lines``: seconds of processor time for 100,000 lines, each with dimensions, medium and edition, as a share of 60; the
  museum's own lines over and over, with editions put beside them. Nothing is remembered from line to line.
- ``hardest_text``: the slowest of many texts of the greatest length that are built to be hard, as a share of 50 milliseconds.
- ``evaluation_with_texts``: evaluating a work that comes as free text, against the same work given as facts.
"""

import csv
import json
import random
import time
from collections.abc import Callable
from pathlib import Path
from statistics import median
from typing import Any

import msgspec

from hangworthy.contract.reading import MOST_CHARACTERS, AsWritten
from hangworthy.discovery import discover
from hangworthy.engine.catalogue import build_catalogue
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.ruleset import Ruleset, Venue
from hangworthy.engine.written import Written

LINES, SECONDS, LONGEST = 100_000, 60.0, 0.05
ROWS = Path(__file__).parent.parent / "readings" / "data" / "museum_lines.tsv"
EDITIONS = ("12/50", "A.P. 2/5", "edition of 50", "unique", "e.a. III/X", "ed. 3/20 + 2 AP", "open edition")
SIGNS = "0123456789/.,xXhwde+-'\"½ ()AP:;m±on"


def taken(work: Callable[[], Any]) -> float:
    """Processor seconds of this thread."""
    start = time.thread_time()
    work()
    return time.thread_time() - start


def lines() -> list[AsWritten]:
    with ROWS.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file, delimiter="\t", quoting=csv.QUOTE_NONE))
    return [
        AsWritten(dimensions=row["dimensions"] or None, medium=row["medium"] or None, edition=EDITIONS[place % len(EDITIONS)])
        for place, row in enumerate(rows)
    ]


def hardest(written: Written) -> float:
    chance = random.Random(7)
    texts = [("".join(chance.choices(SIGNS, k=chance.randint(1, 8))) * MOST_CHARACTERS)[:MOST_CHARACTERS] for _ in range(400)]
    works = [AsWritten(dimensions=text, medium=text, edition=text) for text in texts]
    return max(min(taken(lambda one=one: written.read(one)) for _ in range(3)) for one in works)


def evaluation(catalogue: Any) -> float:
    evaluator = Evaluator(Ruleset(catalogue, Venue(name="anywhere")))
    given = {"ref": "a", "kind": "stretched-canvas", "technique": "oil", "medium": "Oil on linen", "height_mm": 600.0, "width_mm": 900.0}
    text = {"ref": "a", "as_written": {"dimensions": "H 60 × W 90 cm", "medium": "Oil on linen"}}
    facts, texts = (msgspec.convert(one, catalogue.schema.work) for one in (given, text))
    rounds = [(taken(lambda: evaluator.evaluate([texts])), taken(lambda: evaluator.evaluate([facts]))) for _ in range(300)]
    return median(one for one, _ in rounds) / median(other for _, other in rounds)


def main() -> None:
    catalogue = build_catalogue(*discover())
    written = Written(catalogue.schema)
    every = lines()
    rounds = -(-LINES // len(every))
    seconds = taken(lambda: [written.read(one) for _ in range(rounds) for one in every]) * LINES / (rounds * len(every))
    slowest, ratio = hardest(written), evaluation(catalogue)
    print(
        f"{LINES} lines: {seconds:.1f} s; the hardest text: {slowest * 1000:.1f} ms; evaluation with texts: {ratio:.2f} of one with facts"
    )
    figures = {
        "hundred_thousand_lines": (seconds / SECONDS, 1.0),
        "hardest_text": (slowest / LONGEST, 1.0),
        "evaluation_with_texts": (ratio, 4.0),
    }
    print(json.dumps({name: {"ratio": round(one, 3), "bar": bar, "holds": one <= bar} for name, (one, bar) in figures.items()}))


if __name__ == "__main__":
    main()
