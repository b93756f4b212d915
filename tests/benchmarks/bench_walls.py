"""Benchmark: does the cost of a replacement grow with the number of candidates, and no faster? Ratios of one run; last line JSON.

Run: .venv/bin/python tests/benchmarks/bench_walls.py
"""

import json
import sys
import time
from typing import Any

import msgspec

from hangworthy.demo import demo_venue_path
from hangworthy.discovery import discover
from hangworthy.engine.catalogue import build_catalogue
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.ruleset import Ruleset
from hangworthy.intake import Intake
from hangworthy.plans.replacement.choosing import replace
from hangworthy.venues import load_venue

FEW, MANY, STAY, BAR = 100, 500, 20, 6.5


def work(ref: str, place: int) -> dict[str, Any]:
    return {
        "ref": ref, "kind": "work-on-paper", "technique": "graphite", "framed": False, "width_mm": 300 + place, "height_mm": 420,
        "price": str(100 + place), "currency": "EUR", "artist_ref": f"ar-{place % 9}",
    }  # fmt: skip


def seconds(intake: Intake, evaluators: dict[str, Evaluator], default: str, count: int) -> float:
    asked = {
        "wall_name": "corridor-2",
        "candidates": [work(f"c-{place}", place) for place in range(count)],
        "neighbours": [work(f"n-{place}", place) for place in range(STAY)],
    }
    body, best = msgspec.json.encode(asked), float("inf")
    for _ in range(3):
        start = time.process_time()
        replace(intake, evaluators, default, body)
        best = min(best, time.process_time() - start)
    return best


def main() -> int:
    catalogue = build_catalogue(*discover())
    venue = load_venue(demo_venue_path(), catalogue.schema)
    evaluators = {venue.name: Evaluator(Ruleset(catalogue, venue))}
    intake = Intake(catalogue.schema, evaluators, venue.name)
    few, many = (seconds(intake, evaluators, venue.name, count) for count in (FEW, MANY))
    ratio = many / few
    print(
        f"{FEW} candidates beside {STAY}: {few:.2f} s of one core; {MANY}: {many:.2f} s; {ratio:.2f} times, {MANY / FEW:g} would be linear"
    )
    print(json.dumps({"replacement grows with the candidates": {"ratio": round(ratio, 2), "bar": BAR, "holds": ratio <= BAR}}))
    return 0


if __name__ == "__main__":
    sys.exit(main())
