"""How much an evaluation costs, beside what reading and writing the same bytes costs anyway.

Run it with ``python tests/benchmarks/bench_evaluation.py``; the last line is one JSON object. All ratios are from one run, the rounds of
both sides interleaved, so that a busy machine slows both alike; each figure is the median over the rounds.

- ``evaluate_certain``: from a decoded work to its answer (``Evaluator.evaluate``: reading, every rule of the canvas pack, sentences,
  outcome, questions) for one fully filled canvas whose numbers are all exact, against msgspec's work on the same bytes: decode and encode
  the request with that work, decode and encode its answer, all four typed.
- ``evaluate_uncertain``: the same work with three uncertain facts, against the certain one (evaluation only, both).
- ``import_seconds``: importing contract and engine in a fresh interpreter, less the bare interpreter's start.
- ``check_seconds``: ``hangworthy check`` of one file, process start included.
"""

import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from statistics import median
from typing import Any

import msgspec

from hangworthy.contract import Evaluation, Stage
from hangworthy.discovery import discover
from hangworthy.engine.catalogue import build_catalogue
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.ruleset import Ruleset, Venue

WORK: dict[str, Any] = {
    "ref": "tide-7",
    "title": "Low tide, seven",
    "kind": "stretched-canvas",
    "technique": "acrylic",
    "medium": "acrylic on linen",
    "width_mm": 1600.0,
    "height_mm": 900.0,
    "depth_mm": 45.0,
    "mass_kg": 4.2,
    "framed": False,
    "from_rh_percent": 50.0,
    "canvas": {
        "fabric": "linen",
        "corner_gaps_mm": [0, 0, 5, 0],
        "edge_bow_mm": [1, 0, 1, 0],
        "diagonals_mm": [1835.0, 1836.0],
        "billow_mm": 3.0,
        "press_force_n": 2.0,
        "press_deflection_mm": 4.0,
        "press_patch_mm": 40.0,
        "tap_hz": 14.0,
        "areal_mass_kg_m2": 0.6,
        "bar_width_mm": 55.0,
        "bar_depth_mm": 38.0,
        "horizontal_braces": 0,
        "vertical_braces": 1,
        "corner_brace_mm": 0.0,
        "keyed": True,
        "bar_condition": ["sound"],
        "age_days": 120.0,
        "edge_faults": ["none"],
    },
}
UNCERTAIN = {"corner_gaps_mm": [0, 0, "5 ± 0.5", 0], "billow_mm": "3 ± 0.5"}
ROUNDS, CALLS, STARTS = 60, 40, 15
# With bytecode kept, as whoever installed it has it; the first start, which writes it, is not counted.
ENVIRONMENT = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"} | {"NO_COLOR": "1"}


def evaluator() -> Evaluator:
    """The canvas pack at a venue whose walls say everything, so that nothing is left out; and nothing is remembered between calls."""
    installed, faults = discover()
    catalogue = build_catalogue(installed, faults)
    conditions = msgspec.convert(
        {"temp_c": 21.0, "rh_percent": 45.0, "build": "brick", "room": "office", "outer_wall": False}, catalogue.schema.wall
    )
    return Evaluator(Ruleset(catalogue, Venue(name="bench", conditions=conditions, packs=("canvas",))), keep=0)


def interleaved(*calls: Callable[[], object]) -> list[float]:
    """Return each call's median time [s]; the rounds of all calls take turns."""
    times: list[list[float]] = [[] for _ in calls]
    for _ in range(ROUNDS):
        for call, found in zip(calls, times, strict=True):
            started = time.perf_counter()
            for _ in range(CALLS):
                call()
            found.append((time.perf_counter() - started) / CALLS)
    return [median(found) for found in times]


def evaluation() -> tuple[float, float, int]:
    """Return the two ratios of the evaluation, and how many findings it made."""
    one = evaluator()
    request, decoder = one.ruleset.schema.request, msgspec.json.Decoder(one.ruleset.schema.request)
    answers, encode = msgspec.json.Decoder(Evaluation), msgspec.json.Encoder().encode
    body = encode({"stage": "return", "works": [WORK]})
    certain = decoder.decode(body).works
    unsure = msgspec.convert({"works": [WORK | {"from_rh_percent": "50 ± 5", "canvas": WORK["canvas"] | UNCERTAIN}]}, request).works
    answer = one.evaluate(certain, Stage.RETURN)
    answered = encode(answer)

    def carried() -> None:
        encode(decoder.decode(body))
        encode(answers.decode(answered))

    sure_s, unsure_s, carried_s = interleaved(
        lambda: one.evaluate(certain, Stage.RETURN), lambda: one.evaluate(unsure, Stage.RETURN), carried
    )
    findings = answer.works[0].findings
    print(f"{len(findings)} findings ({', '.join(sorted({finding.state for finding in findings}))}), answer of {len(answered)} bytes")
    print(f"evaluate: {sure_s * 1e6:.0f} µs, uncertain {unsure_s * 1e6:.0f} µs; decode and encode of both: {carried_s * 1e6:.0f} µs")
    return sure_s / carried_s, unsure_s / sure_s, len(findings)


def started(*arguments: str) -> float:
    """Return how long one process takes from start to end [s]."""
    begun = time.perf_counter()
    subprocess.run([sys.executable, *arguments], check=False, stdout=subprocess.DEVNULL, env=ENVIRONMENT)
    return time.perf_counter() - begun


def starts() -> tuple[float, float]:
    """Return the time to import contract and engine, and that of one check; the kinds of process take turns."""
    bare, imported, checked = [], [], []
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "works.json"
        file.write_bytes(msgspec.json.encode({"works": [WORK]}))
        started("-m", "hangworthy", "check", str(file))
        for _ in range(STARTS):
            bare.append(started("-c", "pass"))
            imported.append(started("-c", "import hangworthy.contract, hangworthy.engine.evaluate, hangworthy.engine.ruleset"))
            checked.append(started("-m", "hangworthy", "check", str(file)))
    print(f"bare python: {median(bare):.3f} s; with contract and engine: {median(imported):.3f} s; check: {median(checked):.3f} s")
    return median(imported) - median(bare), median(checked)


def main() -> None:
    """Measure everything and print the figures."""
    certain, uncertain, _ = evaluation()
    imported, checked = starts()
    figures = {
        "evaluate_certain": (certain, 4.0),
        "evaluate_uncertain": (uncertain, 2.5),
        "import_seconds": (imported, 0.12),
        "check_seconds": (checked, 0.5),
    }
    print(json.dumps({name: {"ratio": round(figure, 3), "bar": bar, "holds": figure <= bar} for name, (figure, bar) in figures.items()}))


if __name__ == "__main__":
    main()
