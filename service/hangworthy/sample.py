"""Text that resembles what a history keeps, with nobody's facts in it: with it at hand, answers are packed smaller, and faster."""

from collections.abc import Iterator
from contextlib import suppress
from typing import Any

import msgspec

from hangworthy.demo import demo_works
from hangworthy.engine.catalogue import Catalogue
from hangworthy.engine.evaluate import BadWorks, Evaluator
from hangworthy.engine.ruleset import Ruleset
from hangworthy.engine.schema import Schema
from hangworthy.venues import default_venue

_KINDS = ("work-on-paper", "stretched-canvas")  # of each the most fully told of the invented works; a longer sample packs no better


def sample_of(catalogue: Catalogue) -> bytes:
    """Return what is told of some invented works and of one of which nothing is known, by the installed packs at no venue in particular.

    Most sentences that are ever said are among it. The last is the likest to most answers.
    """
    evaluator = Evaluator(Ruleset(catalogue, default_venue()), keep=0)
    answers = []
    for facts in (*_invented(catalogue.schema), {"ref": "blank"}):
        with suppress(msgspec.ValidationError, BadWorks):  # one that other packs cannot read is no loss
            answers.append(msgspec.json.encode(evaluator.evaluate([msgspec.convert(facts, catalogue.schema.work)])))
    return b"\n".join(answers)


def _invented(schema: Schema) -> Iterator[dict[str, Any]]:
    """Yield invented works, with those facts that the installed packs know."""
    works = [work for work in msgspec.json.decode(demo_works())["works"] if work.get("kind") in _KINDS]
    fullest = {work["kind"]: work for work in sorted(works, key=_told)}
    for kind in _KINDS:
        known: dict[str, Any] = {"ref": kind}
        for name, value in fullest[kind].items():
            if isinstance(value, dict):
                value = {key: one for key, one in value.items() if f"{name}.{key}" in schema.by_path}
            if value and (isinstance(value, dict) or name in schema.by_path) and name not in ("ref", "wall_name"):
                known[name] = value
        yield known


def _told(work: dict[str, Any]) -> int:
    """Return how many facts are told of a work."""
    return sum(len(value) if isinstance(value, dict) else 1 for value in work.values())
